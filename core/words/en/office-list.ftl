# The list of inquiries: filters, saved views, downloads.
list-found = { $n } of { $all } { $all ->
    [one] inquiry
   *[other] inquiries
}; { $open } of { $n } not closed.
list-sealed-head = Under seal
list-sealed = { $n ->
    [one] One sealed record exists. It is open to the educator only, and in no list or count here.
   *[other] { $n } sealed records exist. They are open to the educator only, and in no list or count here.
}
list-none-yet = No inquiry has come yet. What to do: take in a bundle from a phone, then open this page again.
list-none = None of { $all } { $all ->
    [one] inquiry
   *[other] inquiries
} is like this. What to do: take away a filter, or write fewer words.
list-span = Rows { $from } to { $to } of { $n }
list-bad-filter = A filter in it is not of its form.

list-choose = Choose inquiries
list-words = Words: plant, place, scout, what was said
list-words-names = Words: names of plants and causes
list-words-short = Words
list-since = Opened on or after
list-until = Opened on or before
list-day-wrong = “{ $day }” is no day, so it chooses nothing. What to do: write it like 2026-07-01.
list-status = Where it stands
list-status-open = open
list-status-waiting = waiting
list-status-answered = answered
list-status-closed = closed
list-host = Plant
list-cause = Cause named
list-answer = How far confirmed
list-answer-presumptive = presumptive
list-answer-reviewed = reviewed
list-answer-laboratory = laboratory
list-answer-authority = authority
list-township = Township
list-scout = Taken by
list-stop = A stop was raised
list-conflict = Two phones disagree
list-yes = yes
list-all = all
list-choose-these = Choose these
list-show-all = Show all

list-chosen = Chosen
list-chosen-is = Chosen:
list-every = All
list-newest-first = newest first
list-pages = Pages
list-newer = Newer
list-older = Older
list-no-plant = No plant yet
list-nobody = Nobody wrote down who
list-disagree = Two phones disagree
list-disagree-on = on { $n } { $n ->
    [one] value
   *[other] values
}; all are kept.

list-views = Saved views
list-views-keep = Rename or delete
list-views-none = You have saved no view yet. What to do: choose inquiries, then give the choice a name here.
list-views-yours = Choices of inquiries under your own names. Nobody else sees them.
list-view-name = Name for this view
list-view-about = A view keeps the words that are searched for: no resident’s name belongs in it.
list-view-save = Save this view
list-view-new-name = Name
list-view-rename = Rename
list-view-delete = Delete
list-view-delete-which = Delete “{ $name }”
list-view-deleted = “{ $name }” is deleted
list-view-keep = Keep it after all
list-view-not-saved = Not saved yet
list-view-taken = You have a view of this name already. Give it another.
list-view-gone = You have no such view any more.
list-view-many = You have { $n } views, and there is room for no more. Delete one first.

list-download = Download
list-download-count = { $n } { $n ->
    [one] inquiry
   *[other] inquiries
} chosen
list-download-about = Exactly what is chosen, on all pages of the list. Sealed inquiries are in no file, nor what a resident did not agree to. Each file says what it was chosen by and out of how many.
list-download-form = Form
list-form-xlsx = Spreadsheet, all tables (XLSX)
list-form-csv = All tables (CSV in a ZIP)
list-form-csv-inquiries = Inquiries (CSV)
list-form-csv-plants = Plants (CSV)
list-form-csv-visits = Visits (CSV)
list-form-csv-findings = Findings (CSV)
list-form-csv-diagnoses = Causes of diagnoses (CSV)
list-form-csv-photos = Photos, without the pictures (CSV)
list-form-geojson = Counts by area for a map (GeoJSON)
list-form-darwin-core = Visits and living causes (Darwin Core Archive)
list-form-dump = Everything, for the office only (JSON)
list-form-state-report = Report to the state, by month (CSV)
list-form-state-report-json = Report to the state, by month (JSON)
list-download-for = Who reads it
list-download-public = Anybody: coarse places, days and counts, of those who agreed
list-download-office = The office: also its words and numbers; never an address, a point or a contact
list-download-do = Download this
