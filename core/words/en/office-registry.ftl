# Words of the field registry as people say them: words of lists, fields, kinds of records, parts of a plant.
registry-word-phone = telephone
registry-word-email = e-mail
registry-word-clinic_table = clinic table
registry-word-yard = met in the yard
registry-word-letter = letter
registry-word-school = school
registry-word-en = English
registry-word-es = Spanish
registry-word-other = other
registry-word-save_it = hopes to save the plant
registry-word-know_it_is_safe = wants to know whether it does harm
registry-word-replace_it = means to replace the plant
registry-word-eat_it = hopes to eat of it
registry-word-stop_it_spreading = wants to stop it spreading
registry-word-know = wants to know what it is
registry-word-today = today
registry-word-this_week = this week
registry-word-ordinary = ordinary
registry-word-yes = yes
registry-word-unsure = not sure
registry-word-no = no
registry-word-open = open
registry-word-waiting = waiting
registry-word-answered = answered
registry-word-closed = closed
registry-word-recovered = recovered
registry-word-same = the same
registry-word-worse = worse
registry-word-removed = removed
registry-word-unknown = not known
registry-word-photo = photo
registry-word-pin = a pin set by hand
registry-word-map = map
registry-word-survey = survey
registry-word-none = none
registry-word-home_yard = home yard
registry-word-street = street
registry-word-park = park
registry-word-allotment = allotment
registry-word-farm = farm
registry-word-business = business
registry-word-dog = dog
registry-word-wire = wire
registry-word-slope = slope
registry-word-traffic = traffic
registry-word-well = well
registry-word-under_1_m = under 3 ft
registry-word-1_to_3_m = 3 to 10 ft
registry-word-3_to_10_m = 10 to 33 ft
registry-word-over_10_m = over 33 ft
registry-word-balled = balled
registry-word-container = container
registry-word-bare_root = bare root
registry-word-seed = seed
registry-word-bulb = bulb
registry-word-seen = seen
registry-word-absent = looked, not there
registry-word-could_not_tell = could not tell
registry-word-not_looked = not looked
registry-word-glance = at a glance
registry-word-touch = by touch
registry-word-lens = with a lens
registry-word-knife = with a knife
registry-word-dig = with a trowel
registry-word-laboratory = laboratory
registry-word-told = as told
registry-word-whole = whole plant, with ground
registry-word-boundary = edge of sick and healthy
registry-word-close_up = close up
registry-word-underside = underside
registry-word-trunk_base = stem down to the soil
registry-word-other_side = other side
registry-word-healthy = something healthy
registry-word-site = site
registry-word-ruler_card = ruler card
registry-word-coin = coin
registry-word-hand = hand
registry-word-true = true north
registry-word-magnetic = magnetic north
registry-word-primary = first cause
registry-word-stress_triggered = follows stress
registry-word-secondary = follows other damage
registry-word-environment = site, weather or people
registry-word-harmless = harmless
registry-word-field = seen in the field
registry-word-photo_only = from photos only
registry-word-presumptive = presumptive
registry-word-reviewed = reviewed
registry-word-authority = of the authority
registry-word-withdrawn = withdrawn
registry-word-spoken = spoken
registry-word-print = printed
registry-word-low_confidence = the answer was not sure
registry-word-high_consequence = much hangs on it
registry-word-pesticide = a spray was named
registry-word-food = it is a food plant
registry-word-stop = a stop was raised
registry-word-first_report = it is the first of this season
registry-word-random = drawn by lot
registry-word-almost_no_chance = almost no chance
registry-word-very_unlikely = very unlikely
registry-word-unlikely = unlikely
registry-word-about_even = about even
registry-word-likely = likely
registry-word-very_likely = very likely
registry-word-nearly_certain = nearly certain
registry-word-field_visit = field visit
registry-word-training = training
registry-word-travel = travel
## Fields
registry-field-opened = opened
registry-field-channel = how it came
registry-field-taken_by = taken by
registry-field-language = language
registry-field-question = the resident's own words
registry-field-wish = wish
registry-field-urgency = urgency
registry-field-stops = stops
registry-field-consent = what was agreed to
registry-field-status = status
registry-field-closed = closing
registry-field-outcome = outcome
registry-field-contact = who asked
registry-field-site = site
registry-field-summary = short line
registry-field-asked = safety questions
registry-field-stops_read = stops that were read
registry-field-shots_skipped = shots skipped
registry-field-held = who has it
registry-field-reach = name and ways to reach the person
registry-field-minor = a child asked
registry-field-expires = end of keeping
registry-field-note = note
registry-field-address = address
registry-field-point = point
registry-field-elevation_m = height over the sea
registry-field-land_use = use of the ground
registry-field-county = county
registry-field-township = township
registry-field-cell = coarse cell
registry-field-access = way in
registry-field-hazards = what to mind
registry-field-visit = visit
registry-field-probe_depth_cm = depth of the probe, cm
registry-field-ph = soil pH
registry-field-drain_cm_per_h = drainage, cm an hour
registry-field-watering = watering
registry-field-works = works
registry-field-weather_station = weather station
registry-field-winter_low_c = winter low, °C
registry-field-host = kind of plant
registry-field-scientific_name = scientific name
registry-field-cultivar = cultivar
registry-field-host_comfort = how sure of the kind
registry-field-affected = how many show it
registry-field-present = how many stand there
registry-field-trunk = trunk
registry-field-height = height
registry-field-planted = planted
registry-field-stock = how it was sold
registry-field-tag = tag
registry-field-inquiry = inquiry
registry-field-edible = meant to be eaten
registry-field-start = start
registry-field-end = end
registry-field-observer = who looked
registry-field-protocol = protocol
registry-field-minutes = minutes
registry-field-plants_looked_at = plants looked at
registry-field-app_version = version of the app
registry-field-pack_version = content pack
registry-field-clock_checked = clock checked
registry-field-plant = plant
registry-field-character = what was looked at
registry-field-state = what was found
registry-field-comfort = how sure
registry-field-method = how it was looked at
registry-field-count = count
registry-field-percent = share in 100
registry-field-part = where on the plant
registry-field-photos = photos
registry-field-at = when
registry-field-image = picture
registry-field-thumbnail = small picture
registry-field-taken = when it was taken
registry-field-scale = scale
registry-field-bearing = direction
registry-field-place = place
registry-field-size = size
registry-field-orientation = orientation
registry-field-region = region
registry-field-mime = kind of file
registry-field-people_checked = looked over for faces and numbers
registry-field-caption = caption
registry-field-order = place in order
registry-field-plant_part = part of the plant
registry-field-pieces = pieces
registry-field-seal = seal
registry-field-kept_cool = kept cool
registry-field-accession = the laboratory's number
registry-field-result = result
registry-field-result_date = day of the result
registry-field-result_method = method of the laboratory
registry-field-disposal = what became of it
registry-field-sample = sample
registry-field-from = from
registry-field-to = to
registry-field-condition = condition
registry-field-causes = causes
registry-field-basis = what it rests on
registry-field-reasons = reasons
registry-field-by = by
registry-field-supersedes = the answer it replaces
registry-field-diagnosis = diagnosis
registry-field-blocks = text of the pack
registry-field-text = words
registry-field-cautions = cautions
registry-field-label_shown = the label is the law, shown
registry-field-given = when it was given
registry-field-how = how it was given
registry-field-read_back = said back
registry-field-due = day to ask
registry-field-answer = answer
registry-field-action = what was done
registry-field-answered = day of the answer
registry-field-reviewer = reviewer
registry-field-blind = own answer, before seeing another
registry-field-agrees = both say the same
registry-field-correction = correction
registry-field-reason = why it was reviewed
registry-field-suspect = suspicion
registry-field-notified = who was told
registry-field-reference = reference
registry-field-hold = hold order
registry-field-released = released
registry-field-person = person
registry-field-date = day
registry-field-activity = activity
registry-field-hours = hours
registry-field-cases = cases
registry-field-photo-part = what it shows
## Parts of a value
registry-consent-visit = a visit
registry-consent-cut = cutting a piece
registry-consent-photo = photos
registry-consent-count = being counted
registry-consent-contact_back = being contacted again
registry-group-by = given to
registry-group-waiting_on = waits for
registry-group-due = due
registry-group-diameter_cm = diameter, cm
registry-group-at_height_cm = at a height of, cm
registry-group-width_px = width, pixels
registry-group-height_px = height, pixels
registry-group-id = text
registry-group-version = version
registry-group-x = from the left
registry-group-y = from above
registry-group-width = width
registry-group-height = height
registry-yes = yes
registry-no = no
registry-nothing = nothing
## Parts of a plant
registry-part-site = Site
registry-part-whole_plant = Whole plant
registry-part-root_flare = Root flare
registry-part-trunk = Trunk
registry-part-branch = Branch
registry-part-twig = Twig
registry-part-bud = Bud
registry-part-leaf = Leaf
registry-part-flower = Flower
registry-part-fruit = Fruit
registry-part-root = Root
registry-part-lawn = Lawn
registry-part-other = Other
## Kinds of records
registry-kind-inquiry = { $n ->
    [one] the inquiry
   *[other] { $n } inquiries
}
registry-kind-contact = { $n ->
    [one] who asked
   *[other] { $n } people who asked
}
registry-kind-site = { $n ->
    [one] the site
   *[other] { $n } sites
}
registry-kind-site_note = { $n ->
    [one] a note on the site
   *[other] { $n } notes on the site
}
registry-kind-plant = { $n ->
    [one] a plant
   *[other] { $n } plants
}
registry-kind-visit = { $n ->
    [one] a visit
   *[other] { $n } visits
}
registry-kind-finding = { $n ->
    [one] a finding
   *[other] { $n } findings
}
registry-kind-photo = { $n ->
    [one] a photo
   *[other] { $n } photos
}
registry-kind-sample = { $n ->
    [one] a sample
   *[other] { $n } samples
}
registry-kind-custody = { $n ->
    [one] a hand-over of a sample
   *[other] { $n } hand-overs of a sample
}
registry-kind-diagnosis = { $n ->
    [one] a diagnosis
   *[other] { $n } diagnoses
}
registry-kind-advice = { $n ->
    [one] advice
   *[other] { $n } pieces of advice
}
registry-kind-follow_up = { $n ->
    [one] a follow-up
   *[other] { $n } follow-ups
}
registry-kind-review = { $n ->
    [one] a review
   *[other] { $n } reviews
}
registry-kind-alert = { $n ->
    [one] a sealed record
   *[other] { $n } sealed records
}
registry-kind-hours = { $n ->
    [one] hours
   *[other] { $n } hours of work
}
## How sure a looker was
registry-comfort-1 = a guess
registry-comfort-2 = fairly sure
registry-comfort-3 = sure
## What the pack has no name for
registry-no-host = Host not known
registry-regulated = A regulated pest or disease, not named here
registry-stop = Stop: { $title }
registry-stop-unknown = The pack here has no words for this stop. Treat it as a stop all the same, and ask the educator.
# A stop that somebody read.
registry-stop-was-read = { $stop }, read { $time }
registry-field-same_as = about the same trouble as
registry-field-apart_from = not the same trouble as
registry-field-decision = decision
registry-field-grounds = grounds of the own answer
registry-field-done = nothing left to ask
registry-word-agree = both say the same
registry-word-correct = the scout's answer is corrected
registry-word-ask_back = the scout is asked once more
registry-word-sample = a sample is sent
registry-word-not_known = not known yet
