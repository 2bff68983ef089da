# Handing over, conflicts, the bin, privacy, backups and the first screens of a phone.
phone-hand-what = { $n ->
    [0] No inquiry
    [one] 1 inquiry
   *[other] { $n } inquiries
}, { $photos ->
    [one] 1 photo
   *[other] { $photos } photos
}, { $size }
phone-hand-sealed = Sealed: nobody on the way can read it.
phone-hand-kept = Everything stays on this phone until the office's answer proves that it has it.
phone-hand-no-office = This phone belongs to no office yet. Ask your county's office for its code; what is here can be handed over as soon as you took it.
phone-handed-holds = The file holds everything not handed over, { $photos } pictures, { $size }.
phone-handed-next = Carry or send it to the office by any way. If it gets lost, make another one: nothing is twice at the office.
phone-handed-more = Not all of it fitted; { $n } pictures are left. Make another file after the office's answer.
phone-reply-received = { $n ->
    [0] The office has nothing new of this phone.
    [one] The office has 1 change of this phone for certain.
   *[other] The office has { $n } changes of this phone for certain.
}
phone-reply-photos = { $n ->
    [one] It has 1 picture for certain.
   *[other] It has { $n } pictures for certain.
}
phone-reply-shows = { $n ->
    [one] It shows this phone 1 record.
   *[other] It shows this phone { $n } records.
}
phone-reply-restored = This phone was brought back from a copy. Nothing was lost: what the office does not have is offered again.
phone-reply-waiting = { $n ->
    [one] 1 change waits at the office. Why:
   *[other] { $n } changes wait at the office. Why:
}
phone-conflict-none = Nobody wrote differently about the same thing.
phone-conflict-more = There are more. They come when these are settled.
phone-conflict-two = Written without having seen the first. Both are kept.
phone-conflict-many = None had seen the others. All are kept.
phone-conflict-gone = something that is not on this phone
phone-conflict-keep = Keep: { $what }
phone-conflict-note = { $who } wrote otherwise, { $when }: { $field }: { $what }
phone-bin-none = Nothing was taken away.
phone-place-away = The position is taken away.
phone-taken-away = { $what } taken away.
phone-holds-inquiry = Inquiries
phone-holds-contact = People who asked (private)
phone-holds-site = Places (private)
phone-holds-visit = Visits
phone-holds-finding = Findings
phone-holds-photo = Photos
phone-holds-pictures = Files of pictures
phone-holds-size = { $n }, { $size }
phone-leaves-1 = A bundle holds what the office has not confirmed: records with names and places, photos as the camera wrote them.
phone-leaves-2 = It is sealed to the office before it leaves. Only the office's key opens it.
phone-leaves-3 = Nothing else leaves this phone. There is no account and no one to report to.
phone-leaves-4 = A letter that you share holds what you see in it, and goes where you send it.
phone-let-go-nothing = Keep everything on this phone
phone-let-go-originals = Let go of photos once the office has them safely; small pictures stay
phone-let-go-contacts = Let go of photos, names and numbers once the office has them safely
phone-erase-loses = Erasing loses what the office does not have. { $what }
phone-erase-nothing = Everything was handed over. What the office has not confirmed is lost here all the same.
phone-erase-elsewhere = Files that were made before (bundles, backups, letters) stay where they were put.
phone-erase-office = What the office has stays there. It can be erased there.
phone-backup-never = No backup was made yet.
phone-backup-last = Last backup: { $day }
phone-backup-due = { $n ->
    [one] 1 change since. A backup is due.
   *[other] { $n } changes since. A backup is due.
}
phone-backup-note-1 = A backup holds the whole notebook with its photos, sealed.
phone-backup-note-2 = Only this phone's key opens it, or the office's recovery key. Keep it somewhere else than on this phone.
phone-backup-note-alone = Until this phone belongs to an office, only this phone's key opens it. Write your own data into a file too: that one opens anywhere.
phone-backup-note-3 = Bringing one back adds to what is here and replaces nothing.
phone-backup-made = Read back once and whole: { $photos } pictures, { $size }.
phone-merged-new = { $n ->
    [one] 1 change was not here.
   *[other] { $n } changes were not here.
}
phone-merged-here = { $n ->
    [one] 1 change was here already.
   *[other] { $n } changes were here already.
}
phone-merged-photos = { $n ->
    [one] 1 picture was not here.
   *[other] { $n } pictures were not here.
}
phone-merged-drafts = { $n ->
    [one] Something typed stands beside another; both are kept.
   *[other] { $n } things typed stand beside others; all are kept.
}
phone-own-data-1 = Your own data: one zip file with tables, all records and the photos. Any computer reads it.
phone-own-data-2 = It is not sealed: names and places can be read in it.
phone-own-data-made = { $records ->
    [one] 1 record
   *[other] { $records } records
}, { $photos ->
    [one] 1 picture
   *[other] { $photos } pictures
}, { $size }.
phone-own-data-elsewhere = { $n ->
    [one] 1 picture is not on this phone and not in the file.
   *[other] { $n } pictures are not on this phone and not in the file.
}
phone-brought-new = { $n ->
    [one] 1 value was written.
   *[other] { $n } values were written.
}
phone-brought-here = { $n ->
    [one] 1 value was here already.
   *[other] { $n } values were here already.
}
phone-brought-not-yours = { $n ->
    [one] 1 value is the office's to write and was left out.
   *[other] { $n } values are the office's to write and were left out.
}
phone-brought-erased = { $n ->
    [one] 1 record was erased meanwhile and stays out.
   *[other] { $n } records were erased meanwhile and stay out.
}
phone-office = Office
phone-role = Role
phone-role-scout = scout
phone-role-lead = scout lead
phone-role-educator = educator
phone-role-office = office
phone-called = This phone is called
phone-units-customary = Feet, inches, miles
phone-units-metric = Meters, centimeters, kilometers
phone-first-none = This phone belongs to no office yet.
# At the head of a letter where an office's name would stand.
phone-letter-no-office = Notes of a visit to a yard
phone-first-new-key = The key of this phone was lost, and it has a new one. Everything is kept here. The office has to take this phone on again before anything can be handed over; then all of it can, also what was written before.
phone-first-kept = Everything works without one and is kept here. Nothing can be handed over until you take an office's code; then all of it can.
phone-first-code = Take the code that the office gave you: scan it, paste it, or type it. It needs no signal.
phone-first-compare = The office reads out six words. They have to be these, in this order. Compare them before you write down a name.
phone-first-asking = Everything can be written down and handed over. The office answers with its first reply.
phone-first-enrolled = This phone is one of { $office }.
phone-first-past = By this phone's clock the code was good until { $day }. The clock may be wrong; the office decides.
phone-go-can = { $n ->
    [one] 1 photo is proven to be safe at the office and can leave this phone: { $size }.
   *[other] { $n } photos are proven to be safe at the office and can leave this phone: { $size }.
}
phone-go-stays = { $n ->
    [one] Its small picture stays here, and everything that was written down. The photo itself stays at the office.
   *[other] Their small pictures stay here, and everything that was written down. The photos themselves stay at the office.
}
phone-go-none = No photo on this phone can leave it now.
phone-go-unproven = { $n ->
    [one] 1 photo stays: no answer of the office proves yet that it is safe there.
   *[other] { $n } photos stay: no answer of the office proves yet that they are safe there.
}
phone-go-no-office = { $n ->
    [one] 1 photo stays: this phone belongs to no office yet, and it is nowhere else.
   *[other] { $n } photos stay: this phone belongs to no office yet, and they are nowhere else.
}
phone-go-contacts = By the rule that you chose, names and numbers that are safe at the office go too.
phone-went = { $n ->
    [one] 1 photo left this phone. { $size } are free.
   *[other] { $n } photos left this phone. { $size } are free.
}
phone-went-none = No photo left this phone.
phone-content-version = Version
phone-content-day = Of
phone-content-until = Meant to be used until
phone-content-from = Came
phone-content-with-app = with the app
phone-content-sent = from the office, later than the app
phone-content-reviewed = Looked over
phone-content-reviewed-yes = every part by a specialist
phone-content-reviewed-no = by nobody yet
phone-file-is-reply = An answer of the office for this phone
phone-file-is-bundle = A sealed file
phone-file-is-backup = A backup
phone-file-is-own-data = Somebody's own data
phone-file-is-pack = Content: what to look at, causes, advice
phone-file-is-code = An office's code
phone-file-is-answer = An office's answer code
phone-file-is-other = None of this app's files
phone-file-for-other = Only whoever it was sealed to can open it: an office, or another phone. Carry it on as it is.
phone-file-backup-of-other = This phone's key does not open it. The phone that made it can, or the office's recovery key.
phone-file-empty = The file is empty. Ask for it again.
phone-file-other = This app cannot use it. It was not changed.
phone-in-days = in { $n } days, { $day }
phone-asked-already = A question waits already, for { $day }.
