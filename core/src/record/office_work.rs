//! Fields of the answer: diagnosis, advice, follow-up, review, alert, hours. Source: the trade notes, sections 1.5, 1.6 and 2.

use super::registry::{Field, Kind, Part, Privacy::*, Roles, Type::*, f};

const WORD: super::Type =
    Word(&["almost_no_chance", "very_unlikely", "unlikely", "about_even", "likely", "very_likely", "nearly_certain"]);

const CAUSE: super::Type = Group(&[
    Part { key: 1, name: "cause", ty: Key, needed: true },
    Part {
        key: 2,
        name: "role",
        ty: Word(&["primary", "stress_triggered", "secondary", "environment", "harmless"]),
        needed: true,
    },
    Part { key: 3, name: "word", ty: WORD, needed: true },
    Part { key: 4, name: "percent", ty: Int(0, 100), needed: true },
]);

const BLOCK: super::Type = Group(&[
    Part { key: 1, name: "id", ty: Key, needed: true },
    Part { key: 2, name: "version", ty: Text(100), needed: true },
]);

pub(super) const DIAGNOSIS: &[Field] = &[
    f(1101, "inquiry", Ref(Kind::Inquiry), Office, Roles::ALL, "The inquiry."),
    f(1102, "plant", Ref(Kind::Plant), Office, Roles::ALL, "The plant."),
    f(1103, "causes", List(&CAUSE), Office, Roles::ALL, "Causes with role, word and number; best first."),
    f(1104, "basis", Word(&["field", "photo_only", "laboratory", "told"]), Office, Roles::ALL, "What it rests on."),
    f(
        1105,
        "status",
        Word(&["presumptive", "reviewed", "laboratory", "authority", "withdrawn"]),
        Office,
        Roles::DESK,
        "How far it is confirmed; the office decides. No value: presumptive.",
    ),
    f(1106, "reasons", Text(16_000), Office, Roles::ALL, "Why, in words."),
    f(1107, "by", Text(100), Office, Roles::ALL, "Role and number."),
    f(1108, "at", Instant, Office, Roles::ALL, "When."),
    f(1109, "pack_version", Text(100), Office, Roles::ALL, "Pack and version used."),
    f(1110, "supersedes", Ref(Kind::Diagnosis), Office, Roles::ALL, "The earlier answer that this one replaces."),
];

pub(super) const ADVICE: &[Field] = &[
    f(1201, "inquiry", Ref(Kind::Inquiry), Office, Roles::ALL, "The inquiry."),
    f(1202, "diagnosis", Ref(Kind::Diagnosis), Office, Roles::ALL, "What it answers."),
    f(1203, "blocks", List(&BLOCK), Office, Roles::ALL, "Blocks given, with versions."),
    f(1204, "text", Text(16_000), Office, Roles::ALL, "Free words; no name, no place."),
    f(1205, "cautions", List(&Key), Office, Roles::ALL, "Cautions shown."),
    f(1206, "label_shown", Bool, Office, Roles::ALL, "The reminder that the label is the law was shown."),
    f(1207, "given", Instant, Office, Roles::ALL, "When it was given."),
    f(1208, "how", Word(&["spoken", "letter", "email", "print"]), Office, Roles::ALL, "How it was given."),
    f(1209, "by", Text(100), Office, Roles::ALL, "Role and number."),
    f(1210, "read_back", Bool, Office, Roles::ALL, "The resident said it back."),
];

pub(super) const FOLLOW_UP: &[Field] = &[
    f(1301, "inquiry", Ref(Kind::Inquiry), Office, Roles::ALL, "The inquiry."),
    f(1302, "due", Date, Office, Roles::ALL, "When to ask."),
    f(1303, "question", Text(2_000), Office, Roles::ALL, "What to ask."),
    f(1304, "answer", Text(16_000), Office, Roles::ALL, "The answer."),
    f(1305, "action", Text(2_000), Office, Roles::ALL, "What the resident did."),
    f(
        1306,
        "outcome",
        Word(&["recovered", "same", "worse", "removed", "unknown"]),
        Office,
        Roles::ALL,
        "How the plant is.",
    ),
    f(1307, "answered", Date, Office, Roles::ALL, "When the answer came."),
    f(1308, "by", Text(100), Office, Roles::ALL, "Role and number of who asks, such as `Scout 3`; never a name."),
    f(1309, "done", Bool, Office, Roles::ALL, "Nothing is left to ask. No value: once an answer is there."),
];

pub(super) const REVIEW: &[Field] = &[
    f(1401, "diagnosis", Ref(Kind::Diagnosis), Office, Roles::DESK, "What was reviewed."),
    f(1402, "reviewer", Text(100), Office, Roles::DESK, "Role of the reviewer."),
    f(
        1403,
        "blind",
        List(&CAUSE),
        Office,
        Roles::DESK,
        "The reviewer's own answer, given before the scout's was seen.",
    ),
    f(1404, "agrees", Bool, Office, Roles::DESK, "Whether both say the same."),
    f(1405, "correction", Text(16_000), Office, Roles::DESK, "What to change."),
    f(
        1406,
        "reason",
        Word(&["low_confidence", "high_consequence", "pesticide", "food", "stop", "first_report", "random"]),
        Office,
        Roles::DESK,
        "Why it was reviewed.",
    ),
    f(1407, "at", Instant, Office, Roles::DESK, "When."),
    f(1408, "inquiry", Ref(Kind::Inquiry), Office, Roles::DESK, "The inquiry."),
    f(
        1409,
        "decision",
        Word(&["agree", "correct", "ask_back", "sample", "not_known"]),
        Office,
        Roles::DESK,
        "What was decided after both answers were seen. No value: nothing yet.",
    ),
    f(
        1410,
        "grounds",
        Text(16_000),
        Office,
        Roles::DESK,
        "Why the reviewer's own answer, in words, before the scout's was seen.",
    ),
];

pub(super) const ALERT: &[Field] = &[
    f(1501, "inquiry", Ref(Kind::Inquiry), Sealed, Roles::ALL, "The inquiry."),
    f(1502, "suspect", Text(400), Sealed, Roles::ALL, "What is suspected."),
    f(1503, "at", Instant, Sealed, Roles::ALL, "When it was noticed."),
    f(1504, "notified", Text(400), Sealed, Roles::DESK, "Role that was told, and when."),
    f(1505, "reference", Text(200), Sealed, Roles::DESK, "The authority's reference."),
    f(1506, "hold", Bool, Sealed, Roles::DESK, "A hold order stands."),
    f(1507, "released", Date, Sealed, Roles::DESK, "When the authority released it."),
];

pub(super) const HOURS: &[Field] = &[
    f(1601, "person", Text(100), Private, Roles::ALL, "Role and number."),
    f(1602, "date", Date, Private, Roles::ALL, "Day."),
    f(
        1603,
        "activity",
        Word(&["clinic_table", "field_visit", "phone", "training", "travel"]),
        Private,
        Roles::ALL,
        "What was done.",
    ),
    f(1604, "hours", Decimal, Private, Roles::ALL, "Hours, to a quarter."),
    f(1605, "cases", Int(0, 10_000), Private, Roles::ALL, "Number of cases."),
];
