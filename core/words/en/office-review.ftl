# What awaits a reviewer, one review, values that two phones wrote apart, several at once, inquiries that look alike.
review-title = Review
review-of = Review: { $title }
review-count = { $n } { $n ->
    [0] answers await a reviewer. Everything that the rule asks for is reviewed.
    [one] answer awaits a reviewer.
   *[other] answers await a reviewer.
}
review-besides = { $asked } { $asked ->
    [one] waits
   *[other] wait
} for a word from a scout or a laboratory. { $spared } { $spared ->
    [one] answer is
   *[other] answers are
} not in the queue: the rule asks no review of them.
review-why = Why they are here
review-why-note = an answer may be here for several reasons; choose one to see only those
review-why-all = chosen; press again for all
review-why-stop = A stop was raised
review-why-pesticide = A spray is named
review-why-high-consequence = A plant is to be removed
review-why-food = Somebody means to eat of it
review-why-first-report = The first of its cause this season
review-why-low-confidence = Below likely, or no cause named
review-why-random = Drawn by lot, one in ten
review-why-here = Here because:
review-none = Nothing awaits a reviewer. What to do: take in the next bundles.
review-order = Most urgent first
review-span = { $n } on this page, { $of } in all
review-first = From the first
review-more = The next ones
review-pick = Choose
review-pick-one = Choose { $title }
review-several = Change those chosen at once
review-no-plant = No plant written down yet
review-somebody = Somebody
review-soon-today = today
review-soon-week = this week
review-begun = { $who } has kept an answer and not decided yet.
review-queue-news = The queue has changed.
review-queue-again = Show it anew
review-earlier = Earlier
review-later = Later
review-queue = Queue
review-closed = The resident's own words are open to scout leads and reviewers.
review-no-words = The resident's own words were not written down.
review-answers = Both answers
review-own-head = Your answer, written before you saw any other · { $at }
review-scout-head = The answer of { $who } · { $at }
review-no-own = You have not written an answer of your own.
review-no-cause = Somebody looked and named no cause.
review-not-known = Do not know yet
review-not-said = nobody wrote down how sure
review-regulated-cause = A regulated pest or disease, not named here
review-regulated = The reasons are not shown here: they may name what is regulated. The educator has them.
review-sure = { $word }, { $n } in 100
review-differ-same = You agree on the first cause.
review-differ-none = Neither of you names a cause.
review-differ-advice-same = You differ on the first cause. The advice is the same for both.
review-differ-advice-other = You differ on the first cause, and the advice differs with it.
review-differ-scout-none = You name a cause and the scout does not.
review-differ-own-none = The scout names a cause and you do not.
review-whole = Everything about this inquiry
review-looked = What was looked at
review-looked-at = { $title }: what was looked at
review-no-plant-yet = No plant was written down. Nobody says that anyone looked.
review-no-finding = No finding was written down for this plant. Nobody says that anyone looked.
review-guess = a guess
review-fairly = fairly sure
review-sure-word = sure
review-part = Part
review-nothing = nothing
review-status-seen = Seen
review-status-absent = Looked, not there
review-status-unclear = Could not tell
review-status-unlooked = Not looked
review-reasons = Reasons for and against
review-reasons-of = from the key, pack { $pack }; several can be true at once
review-cause = Cause
review-how-sure = How sure
review-for = For
review-against = Against
review-unlooked = Not looked, would say more
review-visits = Visits
review-photos = Photos
review-photos-n = { $n ->
    [0] none taken
    [one] 1; it opens larger
   *[other] { $n }; each opens larger
}
review-photo = Photo { $n }
review-photo-not-here = The picture has not come yet. It is still on the phone.
review-own = Your own answer first
review-own-note = The scout's answer opens once yours is kept. It is not in this page yet.
review-cause-first = The main cause
review-cause-n = Cause { $n }, if there is one
review-choose-cause = Choose a cause
review-causes-host = On { $host }
review-causes-other = Any other
review-sure-in-100 = How sure, in 100
review-role = Its part
review-role-primary = the cause itself
review-role-stress = follows stress
review-role-secondary = follows other damage
review-role-environment = site, weather or people
review-role-harmless = harmless
review-scale = 0 almost no chance, 5 very unlikely, 20 unlikely, 45 about even, 55 likely, 80 very likely, 95 nearly certain. Several causes can be true at once.
review-own-unknown = I do not know yet
review-grounds = Why, in your words
review-own-keep = Keep my answer and open the scout's
review-draft-kept = Kept as you type.
review-draft-not-kept = What you type could not be kept just now. It stands here; send it before you leave.
review-draft-again = This is as you left it.
review-decide = Decide
review-decide-correct = Mine stands
review-decide-correct-note = a new answer is made; the scout's is kept
review-decide-agree = The scout's stands
review-decide-ask = Ask for one more look first
review-decide-ask-note = the words below go to the scout as a question
review-decide-sample = Send a sample to the laboratory
review-decide-sample-note = the words below tell the scout what to take and how
review-decide-unknown = Do not know yet
review-words = Why, in a sentence the scout will read
review-question = What to ask of each scout
review-due = Answer wanted by
review-sample-part = Which part of the plant
review-decide-keep = Keep as decided
review-may-not = Reviewers decide here. You see what they see.
review-open-all-the-same = It is decided. Open the scout's answer without writing one.
review-other-kept = { $who } has kept an answer at { $at } and not decided yet.
review-other-reviewed = { $who } has just reviewed this, at { $at }.
review-other-decided = { $who } has reviewed this at { $at }: { $what }.
review-other-answer = The answer was: { $what }.
review-decided-agree = the scout's answer stands
review-decided-correct = the reviewer's own answer stands
review-decided-ask-back = one more look was asked for
review-decided-sample = a sample goes to the laboratory
review-decided-not-known = nobody knows yet
review-meanwhile = Somebody was here meanwhile
review-meanwhile-note = Nothing of yours was written yet, and nothing that you typed is lost: it stands in the form. Look at what changed, then send it again.
review-wrong = This has to be put right first
review-wrong-no-cause = A number stands here without a cause. Choose the cause, or take the number away.
review-wrong-cause = This cause is not one that can be chosen here. Choose another.
review-wrong-twice = This cause stands here twice. Choose another, or leave it empty.
review-wrong-sure = Write a whole number from 0 to 100.
review-wrong-nothing = Name a cause, or say that you do not know yet.
review-wrong-both = You name a cause and say that you do not know. Take one of them away.
review-wrong-secondary = What follows other damage is never the only cause. Name what came first.
review-wrong-long = This is longer than 16,000 letters. Shorten it.
review-wrong-long-question = A question has 2,000 letters at most. Shorten it.
review-wrong-part = Write which part of the plant to take.
review-wrong-decision = Choose one of the five.
review-wrong-no-own = Your own answer names no cause, so it cannot stand. Choose another.
review-wrong-question = Write what the scout should look at or take.
review-wrong-due = Write a day.
review-wrong-choice = Choose one of the values, or write another.
review-wrong-third = This is not a value that this field can hold. Write another.
review-wrong-do = Choose what to do to each.
review-clash = Two phones disagree
review-clash-kept = { $n ->
    [2] The second was written without having seen the first. Both are kept, whatever is chosen.
   *[other] None was written having seen the others. All are kept, whatever is chosen.
}
review-clash-third = Neither: I write another
review-clash-value = The other value
review-clash-keep = Keep what is chosen
review-clash-private = Show the private values that differ. It is noted that you looked.
review-yes = yes
review-no = no
review-alike = May be the same trouble
review-alike-note = Found by the same photo, the same contact, or the same place with a common host within 14 days. Linking joins nothing: each inquiry stays as it is.
review-alike-photo = The same photo.
review-alike-contact = The same contact.
review-alike-place = The same place, a common host, within 14 days.
review-alike-linked = Linked: the same trouble.
review-alike-same = The same trouble
review-alike-apart = Not the same
review-alike-unlink = Take the link away
review-bar = What was done last
review-undo = Undo
review-forget = Put this away
review-undone = It was taken back. The history holds both.
review-undone-some = { $back } { $back ->
    [one] change was
   *[other] changes were
} taken back. { $left } { $left ->
    [one] was
   *[other] were
} left as { $left ->
    [one] it is
   *[other] they are
}: somebody changed { $left ->
    [one] it
   *[other] them
} since.
review-undone-nothing = There was nothing to take back.
review-done-agree = Kept: the scout's answer stands.
review-done-correct = Kept: your answer stands, and the scout's is in the history.
review-done-ask-back = Kept: one more look is asked for.
review-done-sample = Kept: a sample is asked for.
review-done-not-known = Kept: nobody knows yet.
review-done-choose = Kept: your choice. Undo puts the other value in its place; both stay in the history.
review-done-same = Linked as the same trouble.
review-done-apart = Said to be apart.
review-done-unlink = The link is taken away.
review-done-several-ask = Asked of the scouts of { $n } { $n ->
    [one] answer.
   *[other] answers.
}
review-done-several-urgency = Changed how soon { $n } { $n ->
    [one] inquiry is needed.
   *[other] inquiries are needed.
}
review-several-title = Several at once
review-several-count = { $n } { $n ->
    [one] answer is chosen.
   *[other] answers are chosen.
}
review-several-chosen = Chosen
review-several-none = None is chosen, or those chosen await no reviewer any more. What was not chosen is as it was. At most { $n } can be changed at once.
review-several-many = More than { $n } are chosen. Choose fewer.
review-several-what = What to do to each
review-several-do-ask = Ask each scout the same question
review-several-do-today = An answer is needed today
review-several-do-week = An answer is needed this week
review-several-do-ordinary = An answer is not urgent
review-several-look = Look at what would change
review-several-preview = { $n } { $n ->
    [one] change, if you do it
   *[other] changes, if you do it
}
review-several-do = Make { $n } { $n ->
    [one] change
   *[other] changes
}
review-several-nothing = Nothing would change.
review-several-ask = { $who } is asked about { $title }: “{ $words }”
review-several-urgency = { $title }: { $from } becomes { $to }
review-several-meanwhile = Some of those chosen changed meanwhile. Nothing was done. Look at what would change now, then do it again.
review-urgency-today = needed today
review-urgency-this-week = needed this week
review-urgency-ordinary = not urgent
review-back = Back to the queue
review-keys-open = Keys: press ?
review-keys-head = Keys
review-keys-note = They do nothing while you type, and nothing together with other keys.
review-keys-on = Single keys are on
review-keys-close = Close
review-key-next-row = the next row
review-key-row-before = the row before
review-key-pick = choose the row
review-key-later = the next review
review-key-earlier = the review before
review-key-own = your own answer
review-key-agree = the scout's answer stands
review-key-correct = mine stands
review-key-ask = ask for one more look
review-key-sample = send a sample
review-key-unknown = do not know yet
review-key-words = to the words
review-key-queue = back to the queue
review-key-undo = to Undo
review-key-help = these keys
# What the audit says of it.
audit-saw-review = looked at a review
audit-kept-answer = kept an own answer before seeing the scout's
audit-decided = decided a review
audit-chose-value = chose between two values
audit-linked = linked or parted inquiries that look alike
audit-reviewed-many = changed several reviews at once
audit-took-back = took back what was done
review-bad-part = A part of it is not of its form.
review-bad-reason = The reason in it is none that a review has.
review-bad-place = The place in it is not one of the queue.
