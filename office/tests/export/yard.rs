//! An office with one inquiry of every sort that an export must tell apart, and hostile words in every text of them.

use std::path::Path;

use dooryard_core::{
    ids::RecordId,
    notebook::Notebook,
    record::{Kind, Privacy, Role, Type, fields_of},
};
use dooryard_office::{
    export::{Ask, Audience, Scope},
    index::Index,
    page::Names,
};
use dooryard_tests::{Yard, fields, picture, save};
use serde_json::{Value as Json, json};

/// How the words begin that a spreadsheet would take for a formula.
pub const FORMULAS: [&str; 6] = ["=", "+", "-", "@", "\t", "\r"];

/// The office.
pub struct County {
    pub yard: Yard,
    /// An inquiry of a resident who agreed to everything.
    pub told: RecordId,
    /// The numbers of every record there is.
    pub all: Vec<RecordId>,
}

/// What a hostile phone writes into a text: it begins like a formula and says its class.
fn hostile(field: &dooryard_core::record::Field) -> String {
    let formula = FORMULAS[field.id as usize % FORMULAS.len()];
    format!("{formula}HYPERLINK(\"http://x\",\"{} {}\")", marker(field.class), field.name)
}

/// The word by which a value of this class is found again.
pub fn marker(class: Privacy) -> &'static str {
    match class {
        Privacy::Public => "publicwords",
        Privacy::Office => "officewords",
        Privacy::Private => "privatewords",
        Privacy::Sealed => "sealedwords",
    }
}

/// Hostile words in every text that a scout may write, with these fields over them.
fn with_words(kind: Kind, given: Json) -> Json {
    let mut all = json!({});
    for field in fields_of(kind) {
        if matches!(field.ty, Type::Text(limit) if limit >= 100) && field.writers.has(Role::Scout) {
            all[field.name] = json!(hostile(field));
        }
    }
    for (name, value) in fields(given) {
        all[name] = value;
    }
    all
}

fn agreed(count: bool, photo: bool) -> Json {
    json!({"visit": true, "cut": true, "photo": photo, "count": count, "contact_back": true})
}

pub const OPENED: &str = "2026-03-02T09:00:00-06:00[America/Chicago]";

impl County {
    pub fn new() -> Self {
        let yard = Yard::new(11, 1).unwrap();
        let phone = &yard.phones[0];
        let told = inquiry(phone, "Sedge", "r589c944", agreed(true, true), "one");
        let plant = plant(phone, told, "tomato_family");
        let visit = visit(phone, told);
        for (character, state, status) in [
            ("leaf_spot", Some("bullseye"), "seen"),
            ("crown_base", Some("crown_firm"), "seen"),
            ("stipple", Some("stipple_mites"), "absent"),
            ("mine", Some("trail"), "could_not_tell"),
            ("seedling_base", Some("pinched"), "not_looked"),
        ] {
            let finding = json!({
                "plant": plant.to_string(), "visit": visit.to_string(), "character": character, "status": status,
                "state": state, "percent": "12.5",
            });
            save(phone, Kind::Finding, with_words(Kind::Finding, finding)).unwrap();
        }
        let causes = json!([
            {"cause": "tomato_early_blight", "role": "primary", "word": "likely", "percent": 80},
            {"cause": "drought_stress", "role": "environment", "word": "about_even", "percent": 50},
            {"cause": "crown_rot", "role": "primary", "word": "unlikely", "percent": 10},
            {"cause": "spongy_moth", "role": "primary", "word": "likely", "percent": 70},
        ]);
        let answer = |causes: Json| json!({"inquiry": told.to_string(), "plant": plant.to_string(), "causes": causes, "basis": "field", "at": OPENED});
        let first = save(
            phone,
            Kind::Diagnosis,
            answer(json!([{"cause": "white_mold_vegetables", "role": "primary", "word": "likely", "percent": 90}])),
        )
        .unwrap();
        let mut second = answer(causes);
        second["supersedes"] = json!(first.to_string());
        save(phone, Kind::Diagnosis, with_words(Kind::Diagnosis, second)).unwrap();
        photo(&yard, told, visit, true);
        photo(&yard, told, visit, false);

        let no_count = inquiry(phone, "Sedge", "r589c944", agreed(false, true), "two");
        self::plant(phone, no_count, "maple");
        let silent = inquiry(phone, "Sedge", "r589c944", Json::Null, "three");
        self::plant(phone, silent, "maple");
        let no_photo = inquiry(phone, "Tern Hollow", "nowhere", agreed(true, false), "four");
        let looked = self::visit(phone, no_photo);
        photo(&yard, no_photo, looked, true);
        let gone = save(phone, Kind::Inquiry, json!({"taken_by": "Scout 1"})).unwrap();

        let sealed = inquiry(phone, "Sealedtown", "r1c1", agreed(true, true), "five");
        save(phone, Kind::Alert, json!({"inquiry": sealed.to_string(), "suspect": "sealedwords"})).unwrap();
        let sealed_visit = self::visit(phone, sealed);
        // A finding that hangs on an open plant and on a sealed visit belongs to neither export.
        let straddling = json!({"plant": plant.to_string(), "visit": sealed_visit.to_string(), "character": "stipple",
            "state": "stipple_mites", "status": "seen", "note": "sealedwords straddle"});
        save(phone, Kind::Finding, straddling).unwrap();

        let file = yard.bundle(phone, "s1.yard").unwrap();
        yard.take_in(&file).unwrap();
        yard.office.erase(gone).unwrap();
        let all = dooryard_office::ledger::every(
            yard.office.notebook(),
            &dooryard_core::notebook::Query { with_hidden: true, ..Default::default() },
        );
        let all = all.unwrap().iter().map(|r| r.id).collect();
        Self { yard, told, all }
    }

    /// Chooses, and lets `write` write into a file, whose path is given back.
    pub fn export<T>(&self, name: &str, ask: &Ask, write: impl FnOnce(&Scope<'_>, &Path) -> T) -> T {
        let pack = dooryard_office::pack::load(None).unwrap();
        let names = Names::of(&pack);
        let index = Index::open(self.yard.office.folder(), &names).unwrap();
        let scope = Scope::choose(&self.yard.office, &index, &names, ask).unwrap();
        write(&scope, &self.yard.file(name))
    }
}

/// A wish for everything, for these readers.
pub fn all_for(audience: Audience) -> Ask {
    Ask { audience, ..Ask::default() }
}

fn inquiry(phone: &Notebook, township: &str, cell: &str, consent: Json, word: &str) -> RecordId {
    let site = json!({
        "township": township, "county": "=LARKSPUR()", "cell": cell,
        "point": {"latitude": 42.712_345_6, "longitude": -87.012_345_6, "datum": "EPSG:4326", "method": "phone"},
    });
    let site = save(phone, Kind::Site, with_words(Kind::Site, site)).unwrap();
    let contact = json!({"reach": {"name": "=privatewords", "phone": "+privatewords"}});
    let contact = save(phone, Kind::Contact, with_words(Kind::Contact, contact)).unwrap();
    let mut given = json!({
        "opened": OPENED, "channel": "email", "site": site.to_string(), "contact": contact.to_string(),
        "summary": format!("=officewords {word}"),
    });
    if !consent.is_null() {
        given["consent"] = consent;
    }
    save(phone, Kind::Inquiry, with_words(Kind::Inquiry, given)).unwrap()
}

fn plant(phone: &Notebook, inquiry: RecordId, host: &str) -> RecordId {
    let given = json!({"inquiry": inquiry.to_string(), "host": host, "affected": 12, "present": 30});
    save(phone, Kind::Plant, with_words(Kind::Plant, given)).unwrap()
}

fn visit(phone: &Notebook, inquiry: RecordId) -> RecordId {
    let given = json!({"inquiry": inquiry.to_string(), "start": OPENED, "minutes": 34, "plants_looked_at": 30});
    save(phone, Kind::Visit, with_words(Kind::Visit, given)).unwrap()
}

fn photo(yard: &Yard, inquiry: RecordId, visit: RecordId, checked: bool) {
    let file = yard.file("leaf.png");
    picture(&file).unwrap();
    let shows = json!({"inquiry": inquiry.to_string(), "visit": visit.to_string(), "part": "close_up", "people_checked": checked,
        "caption": "=officewords caption"});
    yard.phones[0].add_photo(&file, &fields(shows)).unwrap();
    std::fs::remove_file(&file).unwrap();
}
