# Stops, looking, thinking, telling and the letter on a phone.
phone-stop-read = Read at { $time }
phone-stop-held = While it stands, not: { $what }.
phone-held-diagnosis = naming a cause
phone-held-advice = advice beyond these words
phone-held-digging = digging
phone-held-visit = going there or staying
phone-held-contact = keeping what is known of the person
phone-held-spray = anything about a spray
phone-held-sharing = sharing it with anyone but the office
phone-held-eating = saying that it can be eaten
phone-held-blame = saying who did it
phone-held-medical = saying what to do for a body
phone-read-first = There is a stop to read first.
phone-after-findings = { $n ->
    [0] before the first finding
    [one] after 1 finding
   *[other] after { $n } findings
}
phone-findings = { $n ->
    [0] Nobody looked yet
    [one] 1 finding
   *[other] { $n } findings
}
phone-harm-none = Harms nothing.
phone-harm-cut = Harms the plant a little: ask first.
phone-harm-dig = Harms some roots: ask first.
phone-harm-lab = The office decides on it.
phone-moved = { $cause }: { $sure }, was { $was }.
phone-think-note = More than one can be true, so the numbers do not add up to 100.
phone-same-advice = The advice is the same for the first two.
phone-other-advice = What to do hangs on which of the first two it is.
phone-next-look = One more look would say most: { $look }
phone-say-cause = “From what we saw it could be this: { $cause }. That is { $sure }. The office will look too.”
phone-say-unknown = “We do not know yet what it is. That is an answer too. The office will look.”
phone-say-official = “This has to go to the office. Please leave the plant as it is, and move nothing of it.”
phone-advice-held = A stop holds advice back. Its own words are what to tell.
phone-letter-sealed = No letter goes out of an inquiry under seal.
phone-letter-bare = Nothing was looked at yet. The letter says so.
