# El tablero de la temporada y el informe de un mes.
season-nav = Temporada
# $year es texto: un año no lleva coma.
season-title = La temporada { $year }, semanas { $first } a { $last }
season-title-week = La temporada { $year }, semana { $week }
season-line = { $n } { $n ->
    [one] consulta comunicada
   *[other] consultas comunicadas
} a esta oficina, del { $from } al { $to }.
season-late = Las dos últimas semanas todavía crecerán: hay teléfonos fuera.
season-left-out = { $n ->
    [one] Se dejó fuera { $n } consulta
   *[other] Se dejaron fuera { $n } consultas
} por deseo de quien preguntó.
season-to-report = Informe del mes
season-choose-label = Elegir semanas, un lugar, una planta
season-year = Año
season-from = Desde la semana
season-to = Hasta la semana
season-township = Municipio
season-plant = Planta
season-bad-address = Un año tiene cuatro cifras; una semana es un número del 1 al 53.
season-bad-month = Un mes se escribe 2026-07.
season-empty = No se comunicó nada en este tiempo. Que nada se comunicara no es que no hubiera nada.
season-empty-do = elija otras semanas, o reciba lo que guardan los teléfonos.
season-weekly = Registros comunicados, semana por semana
season-key-asked = comunicadas
season-key-found = de estas, halladas (arriba: con respuesta)
season-key-late = semana incompleta
season-key-before = comunicadas en { $year }
season-all = Todas las consultas
season-answered = con respuesta
season-panels = Plantas y causas, semana por semana
season-one-scale = todo en una misma escala; el contorno es todo lo preguntado sobre la planta
season-share = { $share } ({ $between })
season-bars = { $plant }, { $cause }: { $count } consultas. Las tablas de abajo dan cada semana.
season-to-list = Consultas
season-to-map = Mapa
season-list-of = Consultas: { $plant }, { $cause }
season-map-of = Mapa: { $plant }, { $cause }
season-mind = Son registros comunicados, no casos. La gente informa de lo que está cerca, a la vista, de lo que aprecia y de lo que fue noticia; que nada se comunicara no es que no hubiera nada. Una causa cuenta cuando la respuesta más nueva la da por tan probable como no, o más; en una consulta pueden contar varias.
season-interval = Entre paréntesis: dónde estaría la proporción verdadera 19 de cada 20 veces, si quienes preguntaron fueran un sorteo.
season-tables = Lo mismo en tablas
season-tables-about = halladas, de todas las consultas sobre esa planta en esa semana; * semana incompleta
season-weeks = Semanas { $first } a { $last }
season-week = Semana { $week }
season-none = ninguna
season-sum = Todas
season-plants-head = Plantas y causas
season-plants-about = cada una de todas las consultas; las causas, de las consultas sobre la planta
season-plants-caption = Plantas y causas, con aquello de lo que son parte
season-asked = Preguntas sobre ella
season-answered-head = Con respuesta
season-found = Causas sostenidas
season-no-cause = ninguna sostenida
season-plants = { $n } de { $of } plantas lo muestran
season-inquiries = { $n } { $n ->
    [one] consulta
   *[other] consultas
}
season-before = Junto a las mismas semanas de { $year }
season-before-about = cada una de todas las consultas de esas semanas; más teléfonos traen más consultas
season-this-year = Este año
season-report = Informe de { $month }
season-month = { $month } de { $year }
season-days = Consultas abiertas del { $from } al { $to }.
season-made = Hecho el { $day }.
season-earlier = Mes anterior
season-later = Mes siguiente
season-print = Imprimir
season-summary = En breve
season-came = { $n ->
    [one] Llegó { $n } consulta.
   *[other] Llegaron { $n } consultas.
}
season-answered-of = Con respuesta: { $count }.
season-month-before = En el mismo mes de { $year }: { $n }.
season-report-weeks = con respuesta, de todas las comunicadas en esa semana del mes
season-report-bars = Consultas del mes por semana; la tabla de al lado dice lo mismo.
season-by-township = Por municipio
season-by-channel = Cómo llegaron
season-by-status = En qué están
season-by-diagnosis = Hasta dónde están confirmadas las respuestas
season-by-outcome = Qué fue de la planta
season-no-answer = todavía sin respuesta
season-no-word = sin anotar
season-channel-phone = teléfono
season-channel-email = correo electrónico
season-channel-clinic_table = mesa de consulta
season-channel-yard = encuentro en el jardín
season-channel-letter = carta
season-channel-school = escuela
season-status-open = abierta
season-status-waiting = en espera
season-status-answered = con respuesta
season-status-closed = cerrada
season-diagnosis-presumptive = presunta
season-diagnosis-reviewed = revisada
season-diagnosis-laboratory = por un laboratorio
season-diagnosis-authority = por la autoridad
season-outcome-recovered = recuperada
season-outcome-same = igual
season-outcome-worse = peor
season-outcome-removed = retirada
season-outcome-unknown = no se sabe
