# Días y horas como los dice la gente.
time-month-1 = enero
time-month-2 = febrero
time-month-3 = marzo
time-month-4 = abril
time-month-5 = mayo
time-month-6 = junio
time-month-7 = julio
time-month-8 = agosto
time-month-9 = septiembre
time-month-10 = octubre
time-month-11 = noviembre
time-month-12 = diciembre
time-day = { $day } de { $month }
# $year es texto: un año no lleva coma.
time-day-of-year = { $day } de { $month } de { $year }
time-morning = { $clock } a. m.
time-afternoon = { $clock } p. m.
time-full = { $clock }, { $day }
time-unsayable = un día que el reloj no supo decir
time-today = hoy
time-tomorrow = mañana
time-ahead = en { $n } días
time-late = con { $n } { $n ->
    [one] día
   *[other] días
} de retraso
time-weekday-1 = lunes
time-weekday-2 = martes
time-weekday-3 = miércoles
time-weekday-4 = jueves
time-weekday-5 = viernes
time-weekday-6 = sábado
time-weekday-7 = domingo
time-of-week = { $weekday }, { $day }
