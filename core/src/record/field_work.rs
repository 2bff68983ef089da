//! Fields of the work in the yard: plant, visit, finding, photo, sample, custody. Source: the trade notes, sections 1.4 and 2.

use super::registry::{Field, Kind, Part, Privacy::*, Roles, Type::*, f};

const TRUNK: &[Part] = &[
    Part { key: 1, name: "diameter_cm", ty: Decimal, needed: true },
    Part { key: 2, name: "at_height_cm", ty: Decimal, needed: true },
];

const PHOTO_PLACE: &[Part] = &[
    Part { key: 1, name: "latitude", ty: Degrees(-90, 90), needed: true },
    Part { key: 2, name: "longitude", ty: Degrees(-180, 180), needed: true },
    Part { key: 3, name: "accuracy_m", ty: Decimal, needed: false },
    Part { key: 4, name: "altitude_m", ty: Decimal, needed: false },
];

const BEARING: &[Part] = &[
    Part { key: 1, name: "degrees", ty: Decimal, needed: true },
    Part { key: 2, name: "north", ty: Word(&["true", "magnetic"]), needed: true },
];

const SIZE: &[Part] = &[
    Part { key: 1, name: "width_px", ty: Int(1, 100_000), needed: true },
    Part { key: 2, name: "height_px", ty: Int(1, 100_000), needed: true },
];

const REGION: &[Part] = &[
    Part { key: 1, name: "x", ty: Decimal, needed: true },
    Part { key: 2, name: "y", ty: Decimal, needed: true },
    Part { key: 3, name: "width", ty: Decimal, needed: true },
    Part { key: 4, name: "height", ty: Decimal, needed: true },
];

/// What a photo shows.
pub(super) const SHOT: super::Type =
    Word(&["whole", "boundary", "close_up", "underside", "trunk_base", "other_side", "healthy", "site", "other"]);

pub(super) const PLANT: &[Field] = &[
    f(501, "site", Ref(Kind::Site), Office, Roles::ALL, "Where it stands."),
    f(502, "host", Key, Office, Roles::ALL, "Host of the pack, or `unknown`."),
    f(503, "scientific_name", Text(200), Office, Roles::ALL, "Scientific name."),
    f(504, "cultivar", Text(200), Office, Roles::ALL, "Cultivar."),
    f(505, "host_comfort", Int(1, 3), Office, Roles::ALL, "How sure of the host: 1 a guess, 2 fairly sure, 3 sure."),
    f(506, "affected", Int(0, 1_000_000), Office, Roles::ALL, "How many show the trouble."),
    f(507, "present", Int(0, 1_000_000), Office, Roles::ALL, "How many stand there."),
    f(508, "trunk", Group(TRUNK), Office, Roles::ALL, "Trunk diameter, and the height at which it was measured."),
    f(509, "height", Word(&["under_1_m", "1_to_3_m", "3_to_10_m", "over_10_m"]), Office, Roles::ALL, "Height class."),
    f(510, "planted", Text(40), Office, Roles::ALL, "Year, or a range such as `2015/2018`."),
    f(
        511,
        "stock",
        Word(&["balled", "container", "bare_root", "seed", "bulb", "unknown"]),
        Office,
        Roles::ALL,
        "How it was sold.",
    ),
    f(512, "tag", Text(100), Office, Roles::ALL, "Tag or place in the row."),
    f(513, "inquiry", Ref(Kind::Inquiry), Office, Roles::ALL, "The inquiry it belongs to."),
    f(514, "edible", Bool, Office, Roles::ALL, "Whether somebody means to eat of it."),
    f(515, "shots_skipped", List(&SHOT), Office, Roles::ALL, "Shots of the guided set that were skipped."),
];

pub(super) const VISIT: &[Field] = &[
    f(601, "inquiry", Ref(Kind::Inquiry), Office, Roles::ALL, "The inquiry."),
    f(602, "site", Ref(Kind::Site), Office, Roles::ALL, "The site."),
    f(603, "start", Instant, Office, Roles::ALL, "When it began."),
    f(604, "end", Instant, Office, Roles::ALL, "When it ended."),
    f(605, "observer", Text(100), Office, Roles::ALL, "Role and number, such as `Scout 3`."),
    f(606, "protocol", Text(200), Office, Roles::ALL, "Protocol and its version."),
    f(607, "minutes", Int(0, 100_000), Office, Roles::ALL, "Minutes spent."),
    f(
        608,
        "plants_looked_at",
        Int(0, 1_000_000),
        Office,
        Roles::ALL,
        "The denominator: how many plants were looked at.",
    ),
    f(609, "app_version", Text(100), Office, Roles::ALL, "Version of this program."),
    f(610, "pack_version", Text(100), Office, Roles::ALL, "Pack and version used."),
    f(611, "clock_checked", Bool, Office, Roles::ALL, "Somebody compared the device's clock with another."),
    f(612, "note", Text(16_000), Office, Roles::ALL, "What else was seen."),
];

pub(super) const FINDING: &[Field] = &[
    f(701, "plant", Ref(Kind::Plant), Office, Roles::ALL, "The plant."),
    f(702, "visit", Ref(Kind::Visit), Office, Roles::ALL, "The visit."),
    f(703, "character", Key, Office, Roles::ALL, "Character of the pack."),
    f(704, "state", Key, Office, Roles::ALL, "State of the character."),
    f(
        705,
        "status",
        Word(&["seen", "absent", "not_looked", "could_not_tell"]),
        Office,
        Roles::ALL,
        "Seen, looked and absent, not looked, could not tell. Not looked is never absent.",
    ),
    f(706, "comfort", Int(1, 3), Office, Roles::ALL, "How sure the looker was: 1 a guess, 2 fairly sure, 3 sure."),
    f(
        707,
        "method",
        Word(&["glance", "touch", "lens", "knife", "dig", "laboratory", "photo", "told"]),
        Office,
        Roles::ALL,
        "How it was looked at.",
    ),
    f(708, "count", Int(0, 1_000_000), Office, Roles::ALL, "A count."),
    f(709, "percent", Decimal, Office, Roles::ALL, "Share in percent, 0 to 100."),
    f(710, "part", Text(200), Office, Roles::ALL, "Where on the plant."),
    f(711, "photos", List(&Ref(Kind::Photo)), Office, Roles::ALL, "Photos that show it."),
    f(712, "at", Instant, Office, Roles::ALL, "When it was seen."),
    f(713, "note", Text(16_000), Office, Roles::ALL, "In the looker's words."),
];

pub(super) const PHOTO: &[Field] = &[
    f(801, "image", Blob, Office, Roles::ALL, "The original's content address."),
    f(802, "thumbnail", Blob, Office, Roles::ALL, "A small picture without metadata."),
    f(
        803,
        "taken",
        Text(64),
        Office,
        Roles::ALL,
        "Local time of capture as the camera wrote it, with its offset where known (RFC 3339).",
    ),
    f(804, "part", SHOT, Office, Roles::ALL, "What it shows."),
    f(805, "scale", Word(&["none", "ruler_card", "coin", "hand"]), Office, Roles::ALL, "What gives the size."),
    f(
        806,
        "bearing",
        Group(BEARING),
        Private,
        Roles::ALL,
        "Direction the camera looked, degrees, to true or magnetic north.",
    ),
    f(807, "place", Group(PHOTO_PLACE), Private, Roles::ALL, "Where it was taken, WGS 84. Never in any export."),
    f(808, "size", Group(SIZE), Office, Roles::ALL, "Pixels, as stored."),
    f(809, "orientation", Int(1, 8), Office, Roles::ALL, "EXIF orientation."),
    f(810, "region", Group(REGION), Office, Roles::ALL, "Region of interest, fractions of width and height."),
    f(811, "mime", Text(100), Office, Roles::ALL, "Media type."),
    f(812, "plant", Ref(Kind::Plant), Office, Roles::ALL, "The plant it shows."),
    f(813, "visit", Ref(Kind::Visit), Office, Roles::ALL, "The visit."),
    f(814, "inquiry", Ref(Kind::Inquiry), Office, Roles::ALL, "The inquiry."),
    f(815, "people_checked", Bool, Office, Roles::ALL, "Somebody looked for faces, house numbers and plates."),
    f(816, "caption", Text(2_000), Office, Roles::ALL, "What it shows, in words."),
    f(
        817,
        "order",
        Int(0, 100_000),
        Office,
        Roles::ALL,
        "Its place among the inquiry's photos, where somebody moved it.",
    ),
];

pub(super) const SAMPLE: &[Field] = &[
    f(901, "plant", Ref(Kind::Plant), Office, Roles::ALL, "The plant."),
    f(902, "visit", Ref(Kind::Visit), Office, Roles::ALL, "The visit."),
    f(903, "inquiry", Ref(Kind::Inquiry), Office, Roles::ALL, "The inquiry."),
    f(904, "taken_by", Text(100), Office, Roles::ALL, "Role and number."),
    f(905, "taken", Instant, Office, Roles::ALL, "When it was taken."),
    f(906, "site", Ref(Kind::Site), Private, Roles::ALL, "Link to the site."),
    f(907, "plant_part", Text(200), Office, Roles::ALL, "Which part of the plant."),
    f(908, "pieces", Int(0, 10_000), Office, Roles::ALL, "Number of pieces."),
    f(909, "seal", Text(100), Office, Roles::ALL, "Seal number."),
    f(910, "kept_cool", Bool, Office, Roles::ALL, "Kept cool."),
    f(911, "accession", Text(100), Office, Roles::ALL, "The laboratory's number."),
    f(912, "result", Text(16_000), Office, Roles::DESK, "The laboratory's words, verbatim."),
    f(913, "result_date", Date, Office, Roles::DESK, "Date of the result."),
    f(914, "result_method", Text(400), Office, Roles::DESK, "The laboratory's method."),
    f(915, "disposal", Text(400), Office, Roles::ALL, "What became of it."),
];

pub(super) const CUSTODY: &[Field] = &[
    f(1001, "sample", Ref(Kind::Sample), Office, Roles::ALL, "The sample."),
    f(1002, "from", Text(100), Office, Roles::ALL, "Role that handed it over."),
    f(1003, "to", Text(100), Office, Roles::ALL, "Role or laboratory that took it."),
    f(1004, "at", Instant, Office, Roles::ALL, "When."),
    f(1005, "condition", Text(400), Office, Roles::ALL, "In what condition."),
];
