# The first screen of a phone, its lists, and where each inquiry is on its way.
phone-saved = Saved on this phone { $time }
phone-saved-day = Saved on this phone { $day }
phone-feet = { $n } ft
phone-meters = { $n } m
phone-miles = { $n } mi
phone-kilometers = { $n } km
phone-sure = { $word }, { $n } in 100
phone-waits-nothing = Nothing on this phone waits to be handed over.
phone-waits-inquiries = { $n ->
    [one] 1 inquiry on this phone, not handed over.
   *[other] { $n } inquiries on this phone, not handed over.
}
phone-waits-changes = { $n ->
    [one] 1 change on this phone, not handed over.
   *[other] { $n } changes on this phone, not handed over.
}
phone-waits-since = { $n ->
    [0] Oldest: today.
    [one] Oldest: 1 day.
   *[other] Oldest: { $n } days.
}
phone-due-more = There is more. It stands under Later.
phone-not-answered-yet = The office has not answered yet. Everything is kept here, and can be handed over all the same.
phone-no-office = This phone belongs to no office yet. Everything is kept here.
phone-pack-old = The content of this phone was meant to be used until { $day }. Ask the office for a newer one.
phone-left = Left at: { $screen }
phone-left-ask = taking the inquiry
phone-left-stop = a stop to read
phone-left-place = the place
phone-left-plant = the plant
phone-left-look = looking
phone-left-shots = the photos
phone-left-think = what it could be
phone-left-tell = what to tell
phone-left-letter = the letter
phone-left-sample = the sample
phone-left-inquiry = the inquiry
phone-sealed = An inquiry under seal
phone-sealed-what = Under seal: it stands in no list by its plant or place, on no map and in no letter. Tell nobody what is suspected; the office tells whoever has to know.
phone-unfinished = Not finished
phone-none-yet = No inquiries yet.
phone-none-so = None of them.
phone-none-found = No inquiry holds all these words.
phone-way-here = On this phone
phone-way-handed = Handed over
phone-way-office = Office has it
phone-way-reviewed = Reviewed
phone-way-no-word = No word back yet. Kept here until then.
phone-conflicts = { $n ->
    [one] Two people wrote differently about 1 record. Both are kept.
   *[other] Two people wrote differently about { $n } records. Both are kept.
}
phone-conflicts-of-one = { $n ->
    [one] Two people wrote differently about 1 thing here. Both are kept.
   *[other] Two people wrote differently about { $n } things here. Both are kept.
}
phone-later-none = Nothing to ask later.
phone-no-day = no day
phone-laboratory = Laboratory
phone-stands = Where it stands
phone-review-on = The office looked at it, { $day }
phone-review-open = Nothing decided yet.
phone-review-agree = The office says the same.
phone-review-correct = The office says otherwise.
phone-review-ask-back = The office asks for one more look.
phone-review-sample = The office asks for a sample.
phone-review-not-known = The office does not know either, and says so.
phone-useful-words = What the resident said, in their own words
phone-useful-place = The township
phone-useful-plant = Which plant it is about
phone-useful-host = What kind of plant it is: looking needs it
phone-useful-count = How many there are, and how many show it
phone-useful-look = A first look
phone-useful-photo = A photo of the whole plant
phone-useful-consent = What the resident agrees to
phone-useful-tell = What was told

# What was found in earlier visits to one place.
phone-again-plants = { $n ->
    [one] Another visit to this plant
   *[other] Another visit to these plants
}
phone-again-place = Another visit to this place
phone-past-none = Nothing written down as seen
phone-past-more = { $text }; and { $n } more
