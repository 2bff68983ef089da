# The season board and the report of a month.
season-nav = Season
# $year is text: a year has no comma.
season-title = The season { $year }, weeks { $first } to { $last }
season-title-week = The season { $year }, week { $week }
season-line = { $n } { $n ->
    [one] inquiry
   *[other] inquiries
} reported to this office, { $from } to { $to }.
season-late = The last two weeks will still grow: phones are out.
season-left-out = { $n } { $n ->
    [one] inquiry is
   *[other] inquiries are
} left out at the resident’s wish.
season-to-report = Report of the month
season-choose-label = Choose weeks, a place, a plant
season-year = Year
season-from = From week
season-to = To week
season-township = Township
season-plant = Plant
season-bad-address = A year has four digits, a week is a number from 1 to 53.
season-bad-month = A month is written 2026-07.
season-empty = Nothing was reported in this time. None reported is not none there.
season-empty-do = choose other weeks, or take in what the phones hold.
season-weekly = Records reported, week by week
season-key-asked = reported
season-key-found = of these, found (above: answered)
season-key-late = week not complete
season-key-before = reported in { $year }
season-all = All inquiries
season-answered = answered
season-panels = Plants and causes, week by week
season-one-scale = all on one scale; the outline is all who asked about the plant
season-share = { $share } ({ $between })
season-bars = { $plant }, { $cause }: { $count } inquiries. The tables below give every week.
season-to-list = Inquiries
season-to-map = Map
season-list-of = Inquiries: { $plant }, { $cause }
season-map-of = Map: { $plant }, { $cause }
season-mind = These are records reported, not cases. People report what is near, in sight, dear to them and lately in the news; none reported is not none there. A cause counts where the newest answer holds it about even or likelier; several can count in one inquiry.
season-interval = In brackets: where the true share would lie 19 times in 20, had those who asked been drawn by lot.
season-tables = The same as tables
season-tables-about = found, of all who asked about that plant in that week; * week not complete
season-weeks = Weeks { $first } to { $last }
season-week = Week { $week }
season-none = none
season-sum = All
season-plants-head = Plants and causes
season-plants-about = each out of all inquiries; causes out of those who asked about the plant
season-plants-caption = Plants and causes with what they are out of
season-asked = Asked about it
season-answered-head = Answered
season-found = Causes held
season-no-cause = none held
season-plants = { $n } of { $of } plants show it
season-inquiries = { $n } { $n ->
    [one] inquiry
   *[other] inquiries
}
season-before = Beside the same weeks of { $year }
season-before-about = each out of all inquiries of those weeks; more phones bring more inquiries
season-this-year = This year
season-report = Report for { $month }
season-month = { $month } { $year }
season-days = Inquiries opened { $from } to { $to }.
season-made = Made { $day }.
season-earlier = Month before
season-later = Month after
season-print = Print
season-summary = In short
season-came = { $n } { $n ->
    [one] inquiry came.
   *[other] inquiries came.
}
season-answered-of = Answered: { $count }.
season-month-before = In the same month of { $year }: { $n }.
season-report-weeks = answered, of all that were reported in that week of the month
season-report-bars = Inquiries of the month by week; the table beside it says the same.
season-by-township = By township
season-by-channel = How they came
season-by-status = Where they stand
season-by-diagnosis = How far the answers are confirmed
season-by-outcome = What became of the plant
season-no-answer = no answer yet
season-no-word = not written down
season-channel-phone = telephone
season-channel-email = e-mail
season-channel-clinic_table = clinic table
season-channel-yard = met in the yard
season-channel-letter = letter
season-channel-school = school
season-status-open = open
season-status-waiting = waiting
season-status-answered = answered
season-status-closed = closed
season-diagnosis-presumptive = presumptive
season-diagnosis-reviewed = reviewed
season-diagnosis-laboratory = by a laboratory
season-diagnosis-authority = by the authority
season-outcome-recovered = recovered
season-outcome-same = the same
season-outcome-worse = worse
season-outcome-removed = removed
season-outcome-unknown = not known
