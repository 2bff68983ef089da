//! Fields of the first contact: inquiry, contact, site, what was seen of a site. Source: the trade notes, section 2.

use super::{
    field_work::SHOT,
    registry::{Field, Kind, Part, Privacy::*, Roles, Type::*, f},
};

const CONSENT: &[Part] = &[
    Part { key: 1, name: "visit", ty: Bool, needed: true },
    Part { key: 2, name: "cut", ty: Bool, needed: true },
    Part { key: 3, name: "photo", ty: Bool, needed: true },
    Part { key: 4, name: "count", ty: Bool, needed: true },
    Part { key: 5, name: "contact_back", ty: Bool, needed: true },
];

/// Place: latitude, longitude, accuracy, datum and method change together.
const PLACE: &[Part] = &[
    Part { key: 1, name: "latitude", ty: Degrees(-90, 90), needed: true },
    Part { key: 2, name: "longitude", ty: Degrees(-180, 180), needed: true },
    Part { key: 3, name: "accuracy_m", ty: Decimal, needed: false },
    Part { key: 4, name: "datum", ty: Word(&["EPSG:4326"]), needed: true },
    Part { key: 5, name: "method", ty: Word(&["phone", "photo", "pin", "map", "survey"]), needed: true },
];

const REACH: &[Part] = &[
    Part { key: 1, name: "name", ty: Text(400), needed: true },
    Part { key: 2, name: "phone", ty: Text(100), needed: false },
    Part { key: 3, name: "email", ty: Text(400), needed: false },
    Part { key: 4, name: "preferred", ty: Word(&["phone", "email", "letter", "none"]), needed: false },
];

/// Who has an inquiry: a new hand, day and reason are one decision.
const HELD: &[Part] = &[
    // Role and number, such as `Scout 3`; never a name. Empty: nobody.
    Part { key: 1, name: "by", ty: Text(100), needed: true },
    Part { key: 2, name: "due", ty: Date, needed: false },
    Part { key: 3, name: "waiting_on", ty: Text(400), needed: false },
];

const STOPS: super::Type = List(&Key);

const ASKED: &[Part] = &[
    Part { key: 1, name: "question", ty: Key, needed: true },
    Part { key: 2, name: "answer", ty: Word(&["yes", "unsure", "no"]), needed: true },
];

const STOP_READ: &[Part] = &[
    Part { key: 1, name: "stop", ty: Key, needed: true },
    Part { key: 2, name: "at", ty: Instant, needed: true },
    Part { key: 3, name: "wording", ty: Text(64), needed: true },
    Part { key: 4, name: "content", ty: Text(200), needed: true },
];

pub(super) const INQUIRY: &[Field] = &[
    f(101, "opened", Instant, Office, Roles::ALL, "When it was opened."),
    f(
        102,
        "channel",
        Word(&["phone", "email", "clinic_table", "yard", "letter", "school"]),
        Office,
        Roles::ALL,
        "How it came.",
    ),
    f(
        103,
        "taken_by",
        Text(100),
        Office,
        Roles::ALL,
        "Role and number of who took it, such as `Scout 3`; never a name.",
    ),
    f(104, "language", Word(&["en", "es", "other"]), Office, Roles::ALL, "Language of the resident."),
    f(105, "question", Text(16_000), Private, Roles::ALL, "The resident's own words."),
    f(
        106,
        "wish",
        Word(&["save_it", "know_it_is_safe", "replace_it", "eat_it", "stop_it_spreading", "know"]),
        Office,
        Roles::ALL,
        "What the resident hopes for.",
    ),
    f(107, "urgency", Word(&["today", "this_week", "ordinary"]), Office, Roles::ALL, "How soon an answer is needed."),
    f(108, "stops", STOPS, Office, Roles::ALL, "Stops raised and shown."),
    f(109, "consent", Group(CONSENT), Office, Roles::ALL, "What the resident agreed to."),
    f(
        110,
        "status",
        Word(&["open", "waiting", "answered", "closed"]),
        Office,
        Roles::DESK,
        "Where it stands; the office decides. No value: open.",
    ),
    f(111, "closed", Instant, Office, Roles::DESK, "When it was closed."),
    f(
        112,
        "outcome",
        Word(&["recovered", "same", "worse", "removed", "unknown"]),
        Office,
        Roles::ALL,
        "What became of the plant.",
    ),
    f(113, "contact", Ref(Kind::Contact), Office, Roles::ALL, "Who asked."),
    f(114, "site", Ref(Kind::Site), Office, Roles::ALL, "Where."),
    f(115, "summary", Text(400), Office, Roles::ALL, "A short line for lists, without the resident's name or place."),
    f(116, "held", Group(HELD), Office, Roles::DESK, "Who has it now, until when, and what has to come first."),
    f(
        117,
        "asked",
        List(&Group(ASKED)),
        Office,
        Roles::ALL,
        "The safety questions that were asked, with their answers.",
    ),
    f(
        118,
        "stops_read",
        List(&Group(STOP_READ)),
        Office,
        Roles::ALL,
        "Stops that somebody read: when, in which wording (BLAKE3 of the text), from which content.",
    ),
    f(
        119,
        "shots_skipped",
        List(&SHOT),
        Office,
        Roles::ALL,
        "Shots of the guided set, of no plant, that were skipped.",
    ),
    f(
        120,
        "same_as",
        List(&Ref(Kind::Inquiry)),
        Office,
        Roles::DESK,
        "Inquiries about the same trouble, as a person of the office says; each stays as it is.",
    ),
    f(
        121,
        "apart_from",
        List(&Ref(Kind::Inquiry)),
        Office,
        Roles::DESK,
        "Inquiries that look alike and, as a person of the office says, are not about the same trouble.",
    ),
];

pub(super) const CONTACT: &[Field] = &[
    f(201, "reach", Group(REACH), Private, Roles::ALL, "Name and ways to reach the person."),
    f(202, "minor", Bool, Private, Roles::ALL, "A child asked: then nothing else of the contact is kept."),
    f(203, "expires", Date, Private, Roles::ALL, "When the records schedule lets it go."),
    f(204, "note", Text(2_000), Private, Roles::ALL, "How and when to reach the person."),
];

pub(super) const SITE: &[Field] = &[
    f(301, "address", Text(1_000), Private, Roles::ALL, "Address or how to find it."),
    f(302, "point", Group(PLACE), Private, Roles::ALL, "Where it is, WGS 84."),
    f(303, "elevation_m", Decimal, Private, Roles::ALL, "Height over the sea in meters."),
    f(
        304,
        "land_use",
        Word(&["home_yard", "street", "park", "school", "allotment", "farm", "business", "other"]),
        Office,
        Roles::ALL,
        "What the ground is used for.",
    ),
    f(305, "county", Text(100), Public, Roles::ALL, "County."),
    f(306, "township", Text(100), Public, Roles::ALL, "Township or municipality."),
    f(307, "cell", Text(40), Public, Roles::ALL, "Coarse public cell, about 5 miles."),
    f(308, "access", Text(2_000), Private, Roles::ALL, "Gate, best time, who must be told."),
    f(
        309,
        "hazards",
        List(&Word(&["dog", "wire", "slope", "traffic", "well", "other"])),
        Office,
        Roles::ALL,
        "What a visitor must know.",
    ),
];

pub(super) const SITE_NOTE: &[Field] = &[
    f(401, "site", Ref(Kind::Site), Office, Roles::ALL, "The site."),
    f(402, "visit", Ref(Kind::Visit), Office, Roles::ALL, "The visit in which it was seen."),
    f(403, "probe_depth_cm", Decimal, Office, Roles::ALL, "How deep a probe went, in centimeters."),
    f(404, "ph", Decimal, Office, Roles::ALL, "Soil pH of a laboratory."),
    f(405, "drain_cm_per_h", Decimal, Office, Roles::ALL, "How fast a filled hole drained, centimeters an hour."),
    f(406, "watering", Text(2_000), Office, Roles::ALL, "Who waters, how, how often."),
    f(407, "works", Text(2_000), Office, Roles::ALL, "Digging, paving, grade changes, with dates."),
    f(408, "weather_station", Text(200), Office, Roles::ALL, "Station the weather is taken from, and its distance."),
    f(409, "winter_low_c", Decimal, Office, Roles::ALL, "Lowest temperature of the last winter, degrees Celsius."),
    f(410, "note", Text(16_000), Office, Roles::ALL, "What else was seen."),
];
