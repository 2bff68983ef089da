# Days and times as people say them.
time-month-1 = January
time-month-2 = February
time-month-3 = March
time-month-4 = April
time-month-5 = May
time-month-6 = June
time-month-7 = July
time-month-8 = August
time-month-9 = September
time-month-10 = October
time-month-11 = November
time-month-12 = December
time-day = { $day } { $month }
# $year is text: a year has no comma.
time-day-of-year = { $day } { $month } { $year }
time-morning = { $clock } am
time-afternoon = { $clock } pm
time-full = { $clock }, { $day }
time-unsayable = a day the clock could not say
time-today = today
time-tomorrow = tomorrow
time-ahead = in { $n } days
time-late = { $n } { $n ->
    [one] day
   *[other] days
} late
time-weekday-1 = Monday
time-weekday-2 = Tuesday
time-weekday-3 = Wednesday
time-weekday-4 = Thursday
time-weekday-5 = Friday
time-weekday-6 = Saturday
time-weekday-7 = Sunday
time-of-week = { $weekday } { $day }
