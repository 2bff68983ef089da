# Photos and samples on a phone.
phone-shots-site = Photos of the place
phone-shot-whole = Step back until the whole plant and the ground around it are in the picture.
phone-shot-boundary = Where sick meets healthy, both in the picture, about an arm's length off.
phone-shot-close-up = One spot, as close as it stays sharp, with the ruler beside it.
phone-shot-underside = Turn the leaf over. The same leaf, from below.
phone-shot-trunk-base = The stem or trunk down to the soil. Move mulch aside, put it back after.
phone-shot-other-side = The same plant from the other side.
phone-shot-healthy = A healthy one of the same kind near by, if there is one.
phone-shot-site = What stands around: road, wall, lawn, low spot.
phone-shot-open = Not taken
phone-shot-skipped = Skipped
phone-shot-taken = { $n ->
    [one] Taken
   *[other] Taken, { $n } photos
}
phone-photo-elsewhere = Only the small picture is here; the office has the original.
phone-photo-no-date = No date stands in the file.
phone-photo-not-agreed = The resident did not agree to keeping photos. Ask again before you take one.
phone-photo-no-person = Nobody under 18 may be in a picture, and no place of theirs.
phone-sample-sealed = A regulated pest is suspected: nothing of the plant is moved. Mark it, leave it, wait for the office.
phone-pack-1 = The laboratory's own packing card comes first. This is what holds where there is none.
phone-pack-2 = Take the edge of sick and healthy, from more than one place. Dead tissue says little.
phone-pack-3 = Leaves and twigs flat between dry paper towels, in a bag that closes. No water.
phone-pack-4 = Roots with their soil in a bag of their own, tied off at the stem.
phone-pack-5 = Keep it cool and out of the sun. Not frozen.
phone-pack-6 = Send it early in the week, so that it does not lie over a weekend.
phone-label-inquiry = Inquiry
phone-label-sample = Sample
phone-label-plant = Plant
phone-label-part = Part
phone-label-pieces = Pieces
phone-label-taken = Taken
phone-label-by = Taken by
phone-label-seal = Seal
