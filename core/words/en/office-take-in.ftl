# Bundles that come in, what was set aside, phones and their replies, how the office itself is.
take-in-title = Taken in
take-in-bring = Bring bundles in
take-in-choose = Bundles that scouts handed over, files that end in .yard
take-in-limit = Up to { $files } files, { $most } in all. They are sealed: only this office can open them.
take-in-button = Take them in
take-in-drop-hint = Or drop the files here.
take-in-progress = How far it is
take-in-repeatable = Taking a file in again changes nothing. What cannot be taken in and may matter later is kept as it came.
take-in-not-yours = Scout leads and up take bundles in at this page.
take-in-js-sending = File { $n } of { $files }, { $file }: { $percent } in 100 has arrived
take-in-js-taking = File { $n } of { $files }, { $file }: { $percent } in 100 is taken in
take-in-js-done = Done: { $n } of { $files } taken in.
take-in-js-large = { $file } is larger than { $most }. It was not sent: make smaller bundles on the phone.
take-in-js-many = At most { $most } files at once. Nothing was sent: choose fewer.
take-in-js-lost = { $file } did not arrive, or the office page did not answer. Look in the log below before you send it again; taking it in twice changes nothing.
take-in-js-report = What they brought
take-in-log = Bundles
take-in-newest-first = newest first
take-in-newest = Newest
take-in-older = Older
take-in-none-yet = Nothing was taken in yet.
take-in-files-so-far = { $n } { $n ->
    [one] file was
   *[other] files were
} handed in. Taking a file in again changes nothing.
take-in-office-has-it = Office has it
take-in-place-no-number = The place in it is not a number.
take-in-bad-number = Bundles are numbered 1, 2, 3; bundles that came together are 3-7.

take-in-somebody = somebody not known here
take-in-at = Taken in at { $when }
take-in-made-at = made on the phone at { $when } by its own clock
take-in-of-file = file { $file }
take-in-from = Bundle from { $who }
take-in-file = File { $file }
take-in-why = Why:
take-in-what-to-do = What to do:
take-in-stands-kept = Set aside, kept sealed
take-in-stands-refused = Not taken in
take-in-sum-none = not taken in.
take-in-sum-new = { $n } { $n ->
    [one] change
   *[other] changes
} new, { $here } already here
take-in-sum-aside = { $n } set aside
take-in-pictures = { $n } { $n ->
    [one] picture
   *[other] pictures
}
take-in-changes = { $n } { $n ->
    [one] change
   *[other] changes
}
take-in-unit-changes = { $n ->
    [one] change
   *[other] changes
}
take-in-unit-pieces = { $n ->
    [one] piece of a log
   *[other] pieces of a log
}
take-in-unit-pictures = { $n ->
    [one] picture
   *[other] pictures
}
take-in-unit-files = { $n ->
    [one] file
   *[other] files
}
take-in-unit-end = end
take-in-nothing-taken = Nothing of it was taken in, and nothing here was changed.
take-in-kept-until = The file is kept sealed until someone decides.
take-in-no-change = No change came with it.
take-in-all-here = The office had all of it already. Nothing changed.
take-in-accounted = Nothing is unaccounted for. { $new } { $new ->
    [one] record is
   *[other] records are
} here for the first time, { $grew } { $grew ->
    [one] record
   *[other] records
} grew. Taking the same file in again changes nothing.
take-in-changes-aside = { $n } { $n ->
    [one] change
   *[other] changes
} set aside:
take-in-pieces-aside = { $n } { $n ->
    [one] piece
   *[other] pieces
} of a log set aside:
take-in-forks = One log, two stories at { $n } { $n ->
    [one] place
   *[other] places
}.
take-in-cut = Its end is missing.
take-in-cut-do = What is whole was used; ask for the file again to get the rest.
take-in-damaged-parts = { $n } { $n ->
    [one] part
   *[other] parts
} damaged.
take-in-pictures-missing = { $n } { $n ->
    [one] picture has
   *[other] pictures have
} not come.
take-in-on-the-phone = They are still on the phone.
take-in-clock-ahead = The phone's clock runs ahead.
take-in-nothing-new = Nothing new.
take-in-had-it = The office had all of it already.
take-in-end-why = The file stops before its end.
take-in-end-do = Ask for the file again. What is whole was used.
take-in-pictures-why = Announced by a phone, and not here.
take-in-still-on-phone = They are still on the phone. It offers them again by itself at the next hand-over.
take-in-nothing-to-do = Nothing; it is kept.
take-in-code-newer = A newer version calls it { $code }. It is kept.
take-in-gap = Of { $who }, saves { $from } to { $to } of log { $log }.
take-in-gap-lost = The phone can no longer read them and says so. Only an older bundle or a backup of it may have them.
take-in-waits-nothing = Nothing is set aside.
take-in-waits-changes = { $changes } { $changes ->
    [one] change is
   *[other] changes are
} set aside, kept unchanged.
take-in-waits-files = { $files } { $files ->
    [one] file is
   *[other] files are
} set aside, kept unchanged.
take-in-waits-both = { $changes } { $changes ->
    [one] change
   *[other] changes
} and { $files } { $files ->
    [one] file
   *[other] files
} are set aside, kept unchanged.
take-in-waits-from = From { $who }. { $why }
take-in-kept-since = { $why } Kept sealed since { $day } under { $id }.
take-in-erased-do = It names a record that was erased: decide on the page of what was set aside, or with dooryard office quarantine, whether it is kept.

take-in-another = Take in another
take-in-make-reply = Make the reply for { $who }
take-in-the-sum = The sum
take-in-sum-in-it = { $n ->
    [one] change in the bundle
   *[other] changes in the bundle
}
take-in-sum-all = changes in all
take-in-sum-is-new = new
take-in-sum-is-here = already here
take-in-sum-is-aside = set aside
take-in-together = { $n } files, { $kept } taken in
take-in-together-nothing = The office had all of it already. Nothing changed.
take-in-together-accounted = Nothing is unaccounted for. Taking the same files in again changes nothing.
take-in-each = What each brought
take-in-brought = New and changed
take-in-col-inquiry = Inquiry
take-in-col-plants = Plants
take-in-col-findings = Findings
take-in-col-photos = Photos
take-in-col-what = What it is
take-in-no-plant = no plant written down
take-in-no-township = no township written down
take-in-is-new = New inquiry
take-in-grew = Known here, now with more
take-in-others = { $n } { $n ->
    [one] record belongs
   *[other] records belong
} to no inquiry, such as hours of work.
take-in-more-inquiries = { $n } more { $n ->
    [one] inquiry is
   *[other] inquiries are
} not shown here.
take-in-more = { $n } more { $n ->
    [one] record is
   *[other] records are
} not named here.
take-in-some-sealed = Some of it is under seal and shown nowhere.
take-in-disagree = Disagrees with another phone
take-in-disagree-note = in what this bundle brought; all is kept until someone chooses
take-in-disagree-none = Nothing in this bundle disagrees with another phone now.
take-in-look-at-inquiry = Look at the inquiry
take-in-decide-there = Decide on what was set aside
take-in-nothing-missing = Nothing is missing from what this bundle announced.
take-in-phone-now = How { $who } stands now

take-in-aside = Set aside
take-in-aside-unchanged = unchanged, nothing thrown away
take-in-aside-note = Each with its reason and what can be done.
take-in-not-come = Has not come
take-in-not-come-none = No log has a hole, and no photo that was announced is missing.
take-in-answer = Answer the phones
take-in-answer-note = What each phone handed over, what it was told, and its reply to hand back.
take-in-all-phones = All phones
take-in-aside-title = Set aside
take-in-aside-about = What could not be taken in and may matter later is kept as it came.
take-in-all-bundles = All bundles
take-in-aside-files = Whole files
take-in-aside-no-files = No file waits for a decision.
take-in-again = Try again
take-in-again-all = Try all { $n } again
take-in-throw = Throw away
take-in-throw-note = For good. It stays where it came from, if somebody kept it there.
take-in-throw-sure = Throw it away for good
take-in-erased-head = It names a record that was erased.
take-in-erased-page = Taken in, its words stay erased. Kept here, they could be opened with the office's key: decide whether the file is still wanted.
take-in-erased-waits = It waits until its phone is admitted; then its words are taken in, and what was erased stays out. Kept here, it could be opened with the office's key. Thrown away, what else is in it stands on the phone alone.
take-in-aside-changes = Changes that do not count yet
take-in-aside-no-changes = Every change that came counts.
take-in-which = Which records
take-in-let-count = { $n ->
    [one] Let it count
   *[other] Let all { $n } count
}
take-in-refuse = { $n ->
    [one] Refuse it
   *[other] Refuse all { $n }
}
take-in-decide-note = Nothing is lost either way: what is refused is kept and not shown, and the later decision holds. The phone learns of it with its next reply.
take-in-reviewer-decides = A reviewer decides
take-in-admin-decides = An admin decides
take-in-about-new = a record of which nothing counts yet
take-in-about-sealed = a record under seal
take-in-kind-inquiry = inquiry
take-in-kind-contact = who asked
take-in-kind-site = site
take-in-kind-site_note = note on the site
take-in-kind-plant = plant
take-in-kind-visit = visit
take-in-kind-finding = finding
take-in-kind-photo = photo
take-in-kind-sample = sample
take-in-kind-custody = hand-over of a sample
take-in-kind-diagnosis = diagnosis
take-in-kind-advice = advice
take-in-kind-follow_up = follow-up
take-in-kind-review = review
take-in-kind-alert = sealed record
take-in-kind-hours = hours of work
take-in-counts-changed = Meanwhile { $n } { $n ->
    [one] change waits
   *[other] changes wait
} here. Look at them once more.
take-in-damaged = Damaged files of the office's notebook
take-in-damaged-why = A notebook that could not be read was set aside here. What could be read of it is in use.
take-in-damaged-erased = Decide whether what is left of it is still wanted.
take-in-damaged-erase = Erase it

take-in-phones = Phones
take-in-phones-table = Phones and what the office has of each
take-in-phones-heard = { $heard } of { $n } { $n ->
    [one] phone has
   *[other] phones have
} handed over so far.
take-in-no-phones = No phone is this office's yet.
take-in-phones-note = What a phone holds and has not handed over is safe on that phone, and missing from every count here.
take-in-col-phone = Phone
take-in-col-last = Last seen
take-in-col-here = The office has
take-in-col-told = It was told
take-in-col-open = Still to come, or open
take-in-col-reply = Reply
take-in-role-scout = scout
take-in-role-lead = lead
take-in-role-educator = educator
take-in-role-office = office
take-in-pictures-of = { $n } of { $named } pictures that it names
take-in-saves = saves { $saves }
take-in-saves-none = none
take-in-saves-span = { $from } to { $to }
take-in-saves-new-log = {"; then, in a new log, "}
take-in-original = The file itself
take-in-original-kept = It is kept here as it came, sealed to this office.
take-in-original-erased = It was removed: something in it was erased since.
take-in-original-old = It was kept for { $n } { $n ->
    [one] day
   *[other] days
}, and is gone. What it brought is in the book.
take-in-original-none = It was not kept. What it brought is in the book.
take-in-original-out = Take the file out
take-in-original-again = Read it in again
take-in-told-nothing = nothing yet
take-in-told-when = Reply { $number }, { $when }
take-in-told-sum = { $n } { $n ->
    [one] change
   *[other] changes
}, { $photos } { $photos ->
    [one] picture
   *[other] pictures
}
take-in-told-stored = stored at the office
take-in-told-safe = stored, and what is in a backup off this machine is safe
take-in-untold = { $n } { $n ->
    [one] change
   *[other] changes
} here that no reply has said yet
take-in-open-come = { $n } { $n ->
    [one] change
   *[other] changes
} not come
take-in-open-pictures = { $n } { $n ->
    [one] picture
   *[other] pictures
} not come
take-in-open-lost = { $n } { $n ->
    [one] change
   *[other] changes
} lost on the phone
take-in-open-aside = { $n } { $n ->
    [one] change
   *[other] changes
} set aside
take-in-open-logs = { $n } logs, for it was restored from a backup
take-in-open-closed = closed: what it writes now waits for a person
take-in-open-nothing = nothing
take-in-last-none = not yet
take-in-sealed-bundles = { $n } { $n ->
    [one] sealed bundle waits
   *[other] sealed bundles wait
} with it.

take-in-reply-make = Make the reply
take-in-reply-all = All replies in one file
take-in-reply-note = A reply is a file for one phone, which nobody else can open. It never fits a code: a code holds { $most } bytes, and the smallest reply has over 4,000. Hand it over as a file.
take-in-close = Close
take-in-close-note = What it handed over stays. What it writes from now on waits for a person.
take-in-close-sure = Close { $who }

take-in-asking = Phones that ask to come in
take-in-frozen-head = Two phones came with this code:
take-in-frozen = both wait until somebody says which is the right one. The other is turned away.
take-in-asking-do = call back and have the six words read aloud from the phone, in either language. Admit it only when all six are the same.
take-in-compared = The six words are the same
take-in-this-one = This is the right one of the two
take-in-admit = Admit { $who }
take-in-turn-away = Turn away
take-in-turn-away-note = Its sealed bundles are removed here. On the phone everything stays.
take-in-turn-away-sure = Turn it away
take-in-not-compared = Nobody has said that the six words are the same. The phone was not admitted.
take-in-invite = Invite a phone
take-in-invite-label = What people call it, such as “Scout 9”; never a person's name
take-in-invite-role = Role of whoever carries it
take-in-invite-days = Days that it is good, 1 to { $most }
take-in-invite-button = Make the invitation
take-in-invite-note = A code for one phone, once: on this screen or printed. Another machine of the office is invited with dooryard office invite.
take-in-invite-no-role = Choose a role from the list.
take-in-invite-no-days = The days are a whole number, 1 to { $most }.
take-in-invite-no-label = The label has 1 to 40 letters.
take-in-hear = Read a phone's code
take-in-hear-about = With both people at one table, the phone answers the invitation with a code of its own. Paste its text here; the six words appear above.
take-in-hear-code = The phone's code as text
take-in-hear-button = Read it
take-in-ask-unread = This is not the text of a phone's code. Copy it whole.
take-in-invited = Invitation for { $label }
take-in-invited-about = { $label } is invited as { $role } until { $until }. The phone reads this code.
take-in-invited-once = It is for one phone, once. Keep it out of sight of others; it is shown only now.
take-in-invited-next = At one table: read the phone's own code on the page of phones. On paper: wait for its first bundle, then call back.
take-in-admitted = { $label } is admitted
take-in-admitted-about = { $label } is one of this office's phones now, as { $role }. The phone reads this code.
take-in-admitted-next = Or make a reply for it: that brings the same.
take-in-waited = What had waited was taken in
take-in-code = The code
take-in-code-alt = QR code; the same stands as text beside it
take-in-code-text = The same as text
take-in-code-too-long = The text is too long for a code. Hand it over as text.

take-in-health = How the office is
take-in-health-about = Version, disk, backups, what was erased, what waits.
take-in-health-version = Version
take-in-health-version-is = { $version }; tables of the notebook { $book }, of the accounts { $people }
take-in-health-disk = Disk
take-in-health-disk-is = { $free } free of { $whole }
take-in-health-disk-unknown = The system does not say how much is free.
take-in-health-disk-do = make room: a large bundle needs its own size twice.
take-in-health-backup = Last backup
take-in-health-backup-none = None was made yet.
take-in-health-backup-is = { $when }, { $days ->
    [0] less than a day ago
    [one] { $days } day ago
   *[other] { $days } days ago
}
take-in-health-backup-do = make one now; how, stands below.
take-in-health-backup-off-do = none is off this machine: make one onto a stick or another machine, with --off-machine.
take-in-health-ledger = Erasures
take-in-health-ledger-is = { $erased } { $erased ->
    [one] record
   *[other] records
} erased in whole or in part; { $behind ->
    [0] no backup lacks one of them
    [one] { $behind } backup does not know of all of it
   *[other] { $behind } backups do not know of all of it
}
take-in-health-ledger-do = bring the places of those backups within reach and make a new backup.
take-in-health-waits = Waiting
take-in-health-phones = { $phones } { $phones ->
    [one] phone asks
   *[other] phones ask
} to come in, with { $files } sealed { $files ->
    [one] bundle
   *[other] bundles
}.
take-in-health-damaged = { $n } damaged { $n ->
    [one] file
   *[other] files
} of the notebook set aside.
take-in-health-keys = Keys
take-in-health-keys-here = The recovery key is still in the office's folder.
take-in-health-keys-away = The recovery key was put away.
take-in-health-keys-do = move it into a drawer with dooryard office put-away.
take-in-health-backups = Backups
take-in-health-off = off this machine
take-in-health-here = on this machine
take-in-health-not-there = Its place cannot be reached now.
take-in-health-behind = Its ledger does not know all that was erased.
take-in-health-whole = It is there, and its ledger knows all that was erased.
take-in-health-how = How to back up and bring back
take-in-health-how-1 = On this machine, in a terminal. The file is sealed and read back before it counts; it holds everything, the accounts and the county’s lines too, but no base map: keep a copy of basemap.pmtiles.
take-in-health-how-2 = When this machine is gone: with the recovery key from the drawer, into an empty folder.
take-in-health-how-3 = Accounts and the audit come back, sessions do not: everybody signs in anew. Then make a reply for each phone.
take-in-bytes = { $n } bytes
take-in-kilobytes = { $n } kB
take-in-megabytes = { $n } MB
take-in-gigabytes = { $n } GB

trouble-files-large = Too much at once
trouble-files-large-why = More than { $most } was sent at once. Nothing was taken in.
trouble-files-large-do = send fewer files, or have smaller bundles made on the phone.
trouble-files-many = Too many files at once
trouble-files-many-why = More than { $most } files were sent at once. Nothing was taken in.
trouble-files-many-do = send them in several goes.
trouble-no-file = No file
trouble-no-file-why = No file was chosen. Nothing was taken in.
trouble-no-file-do = go back, choose the files that end in .yard, and send them.
trouble-cut-short = Cut short
trouble-cut-short-why = It ended before all of it had come. Nothing was taken in.
trouble-cut-short-do = send it again.
trouble-no-room = No room
trouble-no-room-why = The disk of the office has no room for it. Nothing was taken in.
trouble-no-room-do = make room on the disk, then send it again.
trouble-refused = Refused
trouble-refused-do = go back and look at the page once more. Nothing was changed.

audit-took-original = took a bundle out as it came
audit-took-in = took a file in
audit-tried-again = tried a file again that was set aside
audit-threw-away = threw a file away that was set aside
audit-let-count = let a change count
audit-refused-change = refused a change
audit-erased-damaged = erased a damaged file of the notebook
audit-invited-phone = invited a phone
audit-heard-phone = read a phone's code
audit-admitted-phone = admitted a phone
audit-turned-phone-away = turned a phone away
audit-closed-phone = closed a phone
audit-made-reply = made the reply for a phone
audit-file = file that begins with { $begin }
audit-phone = phone that begins with { $begin }
