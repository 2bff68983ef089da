# The page of one inquiry, and photos side by side.
## The head of the page.
inquiry-all = All inquiries
inquiry-number = number
inquiry-bad-address = What it asks to see is not of its form.
inquiry-no-plant-yet = No plant written down yet
inquiry-taken-by = taken by { $who }
inquiry-urgent-today = needs an answer today
inquiry-urgent-week = needs an answer this week
inquiry-outcome = the plant: { $outcome }
inquiry-taken-away = taken away; kept and not counted
inquiry-list-last = { $most } and { $last }
## Whose words these are.
inquiry-resident = The resident
inquiry-by-phone = by telephone
inquiry-by-email = by e-mail
inquiry-by-clinic_table = at a clinic table
inquiry-by-yard = in the yard
inquiry-by-letter = by letter
inquiry-by-school = at school
inquiry-in-spanish = in Spanish
inquiry-words-erased = The resident's own words were erased.
inquiry-words-closed = The resident's own words, the address and who asked are open to scout leads and reviewers.
inquiry-words-none = The resident's own words were not written down.
## What was agreed to.
inquiry-consent-unknown = Nobody wrote down what the resident agreed to. Ask before a visit.
inquiry-agreed = Agreed to { $what }.
inquiry-not-agreed = Did not agree to { $what }.
## Visits.
inquiry-visits = Visits
inquiry-visit = { $at } by { $who }
inquiry-no-day = No day written down,
inquiry-no-date = no day
inquiry-somebody = somebody
inquiry-minutes = { $n } { $n ->
    [one] minute
   *[other] minutes
}
inquiry-looked-at = { $n } { $n ->
    [one] plant
   *[other] plants
} looked at
inquiry-protocol = protocol { $protocol }
inquiry-pack = pack { $pack }
## Plants and findings.
inquiry-looked-at-head = What was looked at
inquiry-no-plant = no plant yet
inquiry-no-plant-why = No plant was written down. Nobody says that anyone looked.
inquiry-plant-looked-at = { $plant }: what was looked at
inquiry-no-finding = No finding was written down for this plant. Nobody says that anyone looked.
inquiry-findings-of = Findings by plant part: { $plant }
inquiry-source = Looked at by { $source }, where a finding says nothing else.
inquiry-part = Part
inquiry-findings = { $n } { $n ->
    [one] finding
   *[other] findings
}
inquiry-from-field = in the field
inquiry-from-photo = from a photo
inquiry-from-told = as told
inquiry-from-laboratory = at a laboratory
inquiry-counted = { $n } counted
inquiry-share = { $share } in 100
inquiry-not-in-pack = not in this pack
inquiry-phones-disagree = two phones disagree
inquiry-rest-all = Nobody wrote anything down about { $n } { $n ->
    [one] character
   *[other] characters
} of the pack. That says nothing for or against.
inquiry-rest = Nobody wrote anything down about { $n } other { $n ->
    [one] character
   *[other] characters
} of the pack. That says nothing for or against.
inquiry-show-it = { $n } of { $of } show it
inquiry-show-it-of-unknown = { $n } show it, nobody wrote down out of how many
inquiry-present-only = { $n } { $n ->
    [one] plant
   *[other] plants
} there, nobody wrote down how many show it
inquiry-count-unknown = nobody wrote down how many show it
inquiry-host-sure = host: { $sure }
inquiry-cultivar = cultivar { $cultivar }
inquiry-planted = planted { $planted }
inquiry-edible = somebody means to eat of it
inquiry-no-pack = no pack here
## Reasons.
inquiry-reasons = { $plant }: reasons for and against
inquiry-from-key = from the key, pack { $pack }; several can be true at once
inquiry-other-pack = Looks and answers here were made with { $used }; the key here reckons with { $here }.
inquiry-cause = Cause
inquiry-how-sure = How sure
inquiry-for = For
inquiry-against = Against
inquiry-unlooked = Not looked, would say more
inquiry-in-100 = { $n } in 100
inquiry-sure = { $word }, { $n } in 100
inquiry-nothing-looked = nothing that was looked at
inquiry-no-cause = The findings raise no cause of the pack. Do not know yet is an answer.
inquiry-not-settled = The findings do not settle it: no cause stands out. Another look is due.
inquiry-not-used = { $n ->
    [one] { $n } finding was not used: this pack does not know its name.
   *[other] { $n } findings were not used: this pack does not know their names.
}
inquiry-none-of-them = None of the causes of the pack: { $n } in 100.
inquiry-together = Most probable together: { $causes }, { $n } in 100.
inquiry-needs-educator = the educator confirms first
inquiry-needs-sample = a sample before more than general care
inquiry-needs-arborist = a qualified tree-care professional on site
inquiry-needs-authority = needs an official look; the educator decides
inquiry-other-seen = { $about }: something else was seen than { $states }
inquiry-what-it-brings = what it brings
inquiry-or = { $a } or { $b }
inquiry-others = { $n ->
    [one] { $n } other
   *[other] { $n } others
}
inquiry-and-others = { $some }, and { $others }
## What would change the answer.
inquiry-next-head = What would change it: look at these next
inquiry-next-enough = No look that is left would change what to do. Stopping here is just as good.
inquiry-next-none = No look that is left would say more.
inquiry-next-effect = If “{ $answer }”: { $cause } goes from { $from } to { $to } in 100.
inquiry-next-changes = It changes what to do in { $n } of 100 cases.
inquiry-next-same = It does not change what to do.
inquiry-cost-glance = eyes only
inquiry-cost-touch = hand, lens, white paper or ruler
inquiry-cost-knife = a clean knife; the cut harms the plant a little
inquiry-cost-dig = a hand trowel
inquiry-cost-lab = a sample for a laboratory, a fee, days of waiting
## Photos.
inquiry-photos = Photos
inquiry-photo = Photo
inquiry-photos-none = none taken
inquiry-photos-all = { $n }; { $n ->
    [one] it opens larger
   *[other] each opens larger
}
inquiry-photos-some = { $here } of { $n } have come
inquiry-photo-not-here = The picture has not come yet. It is still on the phone.
inquiry-photo-by = by { $who }
inquiry-photo-scale = { $scale } for scale
inquiry-beside = Photos side by side
inquiry-beside-back = Back to the inquiry
inquiry-beside-none = Choose two photos or more below, then look at them side by side.
inquiry-beside-chosen = The chosen photos
inquiry-beside-together = Move all together
inquiry-beside-full = Full screen
inquiry-beside-keys = With a picture chosen: + and − bring it closer and farther, the arrows move along, 0 shows it whole. A wheel and dragging do it too.
inquiry-beside-zoom = Zoom
inquiry-beside-called = { $letter }: photo { $number }. { $shows }
inquiry-beside-closer = Closer
inquiry-beside-farther = Farther
inquiry-beside-left = To the left
inquiry-beside-right = To the right
inquiry-beside-up = Up
inquiry-beside-down = Down
inquiry-beside-whole = Whole picture
inquiry-beside-alone = This picture alone, as large as it is shown
inquiry-beside-choose = Choose photos
inquiry-beside-most = at most { $n } at a time
inquiry-beside-own = Of this inquiry
inquiry-beside-other = Also photos of another inquiry: its number, or the last letters of it
inquiry-beside-not-found = No inquiry, or more than one, has this number. Give the whole number, or at least its last { $n } letters.
inquiry-beside-show = Show the chosen side by side
inquiry-beside-tick = side by side
inquiry-beside-one-more = One photo is chosen. Choose another below to compare it with.
inquiry-beside-too-many = { $n } photos were chosen; the first { $most } are shown.
inquiry-beside-gone = { $n ->
    [one] { $n } chosen photo is not one of these inquiries, and is not shown.
   *[other] { $n } chosen photos are not of these inquiries, and are not shown.
}
## Answers.
inquiry-answers = Answers
inquiry-answers-now = { $now } held now
inquiry-answers-now-past = { $now } held now, { $past } earlier, kept
inquiry-answers-none = Nobody has answered yet.
inquiry-answers-no-cause = No cause was named.
inquiry-nobody-wrote-who = nobody wrote down who
inquiry-nobody-wrote-sure = nobody wrote down how sure
inquiry-replaced = replaced by a later answer; kept
inquiry-withdrawn = withdrawn; kept
inquiry-reasons-hidden = The reasons are not shown here: they may name what is regulated. The educator has them.
inquiry-office = The office
inquiry-review = Review
inquiry-review-looked = { $who } looked at it.
inquiry-review-blind = { $who }, before seeing any other answer: { $causes }.
inquiry-review-same = Both say the same.
inquiry-review-differ = The two differ.
inquiry-review-why = Why it was looked at: { $reason }.
## Advice and follow-ups.
inquiry-advice = Advice given
inquiry-by = by { $who }
inquiry-given-spoken = spoken
inquiry-given-email = by e-mail
inquiry-given-letter = by letter
inquiry-given-print = printed
inquiry-after-answer = after the answer of { $at }
inquiry-blocks = Text of the pack, with its version:
inquiry-block = { $text }, version { $version }
inquiry-no-caution = no caution shown
inquiry-cautions = cautions shown: { $cautions }
inquiry-label-shown = shown: the label is the law
inquiry-read-back = the resident said it back
inquiry-follow-ups = Follow-ups
inquiry-no-question = What to ask was not written down.
inquiry-answered = answered
inquiry-answered-on = answered { $day }
## Samples.
inquiry-samples = Samples
inquiry-samples-line = with every hand-over
inquiry-sample = Sample
inquiry-sample-step-1 = Taken, not handed over yet.
inquiry-sample-step-2 = Handed over; no number of a laboratory yet.
inquiry-sample-step-3 = A laboratory has it; no result yet.
inquiry-sample-step-4 = The result has come.
inquiry-sample-no-way = No hand-over was written down.
inquiry-sample-taken = Taken
inquiry-sample-handed = { $from } to { $to }
inquiry-sample-number = The laboratory has it under number { $number }
inquiry-sample-result = Result
inquiry-sample-disposal = What became of it: { $what }
inquiry-sample-words = The laboratory, in its own words
inquiry-sample-no-result = No result yet.
inquiry-pieces = { $n } { $n ->
    [one] piece
   *[other] pieces
}
inquiry-seal = seal { $seal }
inquiry-cool = kept cool
inquiry-not-cool = not kept cool
## Who has it.
inquiry-held = Who has it
inquiry-held-has = { $who } has it
inquiry-held-nobody = Nobody has it yet.
inquiry-held-by = Who has it
inquiry-held-by-note = Role and number, such as Scout 3. No name: phones read it.
inquiry-held-due = Answer by
inquiry-held-due-words = { $day } ({ $due })
inquiry-held-waiting = Waiting on
inquiry-held-waiting-note = What has to come first, such as a result of a laboratory. No name, no place.
inquiry-held-said-by = Said by { $who } at { $at }.
inquiry-held-educator = Educator
inquiry-held-save = Keep this
inquiry-held-save-mine = Keep what I typed
inquiry-held-leave = Leave it as it is
inquiry-held-meanwhile = Somebody else changed this meanwhile.
inquiry-held-meanwhile-why = What holds now stands here, what you typed stands in the form below. Nothing of yours was kept yet.
inquiry-held-long = { $n } letters long; the limit is { $most }. Make it shorter.
inquiry-held-no-day = This is not a day. Write it as year, month, day: 2026-07-30.
## Conflicts, place, contact.
inquiry-clashes = Two phones disagree
inquiry-clashes-line = { $n }; all are kept until someone chooses
inquiry-clash-about = { $field } ({ $kind })
inquiry-clash-who = { $who } wrote
inquiry-clash-at = at { $at }
inquiry-clash-gone = something that is not here
inquiry-clash-end = { $n ->
    [2] without having seen the first. Both are kept.
   *[other] none having seen the others. All are kept.
}
inquiry-where = Where
inquiry-no-place = No place was written down.
inquiry-township = Township
inquiry-township-of = { $name } township
inquiry-county = County
inquiry-cell = Cell
inquiry-cell-about = { $cell } (about 5 miles across)
inquiry-ground = Ground
inquiry-mind = Mind
inquiry-address = Address
inquiry-point = Point
inquiry-height = Height
inquiry-way-in = Way in
inquiry-north = N
inquiry-south = S
inquiry-east = E
inquiry-west = W
inquiry-within = within { $feet }
inquiry-feet = { $feet } ft
inquiry-point-phone = from the phone
inquiry-point-photo = from a photo
inquiry-point-pin = from a pin set by hand
inquiry-point-map = from a map
inquiry-point-survey = from a survey
inquiry-point-other = from another way
inquiry-address-erased = The address was erased.
inquiry-show-address = Show address
inquiry-hide-address = Hide address
inquiry-address-private = and point. They are private.
inquiry-address-shown = Address and point are private.
inquiry-asked = Who asked
inquiry-minor = A child asked. Nothing of the person is kept here.
inquiry-contact-closed = Open to scout leads and reviewers.
inquiry-show-contact = Show contact
inquiry-hide-contact = Hide contact
inquiry-contact-private = It is private.
inquiry-contact-shown = The contact is private.
inquiry-contact-erased = Who asked was erased.
inquiry-contact-none = Nobody to reach is written down here.
inquiry-name = Name
inquiry-phone = Telephone
inquiry-email = E-mail
inquiry-best-by = Best by
inquiry-note = Note
inquiry-kept-until = Kept until
## What happened.
inquiry-history = What happened
inquiry-history-line = oldest first
inquiry-h-all = Every field
inquiry-h-more = Open every field of every save
inquiry-h-less = Close them
inquiry-h-wrote = wrote down { $what }
inquiry-h-withdrew = withdrew { $thing }; it is kept and no longer counts
inquiry-h-took-away = took away { $thing }; it is kept and not shown
# $changed and $added are lists of fields; each sentence takes what it needs.
inquiry-h-back = brought back { $thing }
inquiry-h-wrote-fields = wrote down { $thing }: { $added }
inquiry-h-added = added to { $thing }: { $added }
inquiry-h-changed = changed { $thing }: { $changed }
inquiry-h-changed-added = changed { $thing }: { $changed }; added { $added }
inquiry-h-waits = Does not count yet. { $why }
inquiry-h-now = { $field } is now { $value }
inquiry-h-field-changed = { $field }: was { $before }, is now { $value }
inquiry-h-beside = another value stands beside it; both are kept
inquiry-h-erased = erased, or kept elsewhere
inquiry-h-private = something private
inquiry-h-words = words; they stand with the answers
inquiry-h-link = a link
inquiry-h-links = { $n } { $n ->
    [one] link
   *[other] links
}
inquiry-h-save = { $at }, { $thing }
inquiry-h-phone = Phone of { $who }, number { $number }
inquiry-h-office = At the office
inquiry-to-letter = Write the letter
inquiry-to-walk = Walk the key
inquiry-to-desk = Who asked and what
inquiry-ask-later = Ask later
inquiry-ask-later-by = Who asks; empty: you
inquiry-ask-later-keep = Keep it
inquiry-nothing-left = nothing left to ask

# What was read and asked of danger on a phone.
inquiry-stop-was-read = Read on the phone { $time }
inquiry-danger-asked = Asked about danger: { $said }
