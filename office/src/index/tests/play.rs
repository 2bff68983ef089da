//! A random county: an office and two phones that make, move, change, take away, erase, seal and merge records.

use std::collections::{BTreeMap, BTreeSet};

use dooryard_core::{ids::RecordId, notebook::Notebook, record::Kind};
use dooryard_tests::Yard;
use rand::{Rng, SeedableRng, seq::IndexedRandom};
use rand_chacha::ChaCha8Rng;
use serde_json::{Map, Value as Json, json};

/// What can happen to a county.
const DEEDS: [&str; 8] = ["make", "change", "delete", "restore", "erase", "hand over", "both change", "refuse"];

/// A county at play.
pub struct Play {
    /// The office and its phones.
    pub yard: Yard,
    rng: ChaCha8Rng,
    records: BTreeMap<Kind, Vec<RecordId>>,
    tried: BTreeSet<&'static str>,
    files: usize,
}

const KINDS: [(Kind, u32); 16] = [
    (Kind::Inquiry, 8),
    (Kind::Site, 3),
    (Kind::Contact, 2),
    (Kind::Plant, 6),
    (Kind::Visit, 4),
    (Kind::Finding, 8),
    (Kind::Photo, 3),
    (Kind::Sample, 4),
    (Kind::Custody, 2),
    (Kind::Diagnosis, 5),
    (Kind::Advice, 1),
    (Kind::FollowUp, 3),
    (Kind::Review, 3),
    (Kind::Alert, 2),
    (Kind::SiteNote, 2),
    (Kind::Hours, 1),
];

impl Play {
    /// A new county.
    pub fn new(seed: u64) -> Self {
        let yard = Yard::new(seed, 2).unwrap();
        let rng = ChaCha8Rng::seed_from_u64(seed);
        Self { yard, rng, records: BTreeMap::new(), tried: BTreeSet::new(), files: 0 }
    }

    /// Whether everything that can happen did.
    pub fn was_all_tried(&self) -> bool {
        DEEDS.iter().all(|deed| self.tried.contains(deed))
    }

    /// Something happens.
    pub fn step(&mut self) {
        self.yard.clock.set(dooryard_tests::MAY_1 + u64::from(self.rng.random_range(0..60_u32)) * 3_600_000);
        let deed = *[0, 0, 0, 0, 0, 0, 1, 1, 1, 1, 2, 3, 4, 5, 6, 7].choose(&mut self.rng).unwrap();
        let kind = KINDS.choose_weighted(&mut self.rng, |(_, weight)| *weight).unwrap().0;
        match DEEDS[deed] {
            "make" => drop(self.make(kind)),
            "change" => self.change(),
            "hand over" => self.hand_over(),
            "both change" => self.both_change(),
            other => self.do_to_any(other),
        }
        self.tried.insert(DEEDS[deed]);
    }

    fn make(&mut self, kind: Kind) -> RecordId {
        let fields = self.fields(kind);
        let id = self.yard.office.notebook().save(kind, None, &fields).unwrap();
        self.records.entry(kind).or_default().push(id);
        id
    }

    fn any(&mut self) -> Option<(Kind, RecordId)> {
        let all: Vec<_> = self.records.iter().flat_map(|(kind, ids)| ids.iter().map(move |id| (*kind, *id))).collect();
        all.choose(&mut self.rng).copied()
    }

    fn change(&mut self) {
        let Some((kind, id)) = self.any() else { return };
        let mut fields = self.fields(kind);
        // One field of them: a change moves a record or says something else of it.
        let keep = fields.keys().nth(self.rng.random_range(0..fields.len().max(1))).cloned();
        fields.retain(|name, _| Some(name) == keep.as_ref());
        self.yard.office.notebook().save(kind, Some(id), &fields).unwrap();
    }

    fn do_to_any(&mut self, deed: &str) {
        let Some((_, id)) = self.any() else { return };
        let office = &self.yard.office;
        match deed {
            "delete" => office.notebook().delete(id).unwrap(),
            "restore" => office.notebook().restore(id).unwrap(),
            "erase" => drop(office.erase(id).unwrap()),
            _ => {
                let history = office.notebook().history(id).unwrap();
                let change = history.choose(&mut self.rng).unwrap().change;
                office.refuse(id, change).unwrap();
                if self.rng.random_bool(0.5) {
                    office.admit(id, change).unwrap();
                }
            }
        }
    }

    /// A phone writes an inquiry with a plant and hands over.
    fn hand_over(&mut self) {
        let phone = self.rng.random_range(0..2);
        let inquiry = self.fields_of_a_scout(Kind::Inquiry);
        let (plant, finding) = (self.fields(Kind::Plant), self.fields(Kind::Finding));
        let book = &self.yard.phones[phone];
        let id = book.save(Kind::Inquiry, None, &inquiry).unwrap();
        let mut plant = plant;
        plant.insert("inquiry".into(), json!(id.to_string()));
        let plant_id = book.save(Kind::Plant, None, &plant).unwrap();
        let mut finding = finding;
        finding.insert("plant".into(), json!(plant_id.to_string()));
        book.save(Kind::Finding, None, &finding).unwrap();
        for (kind, id) in [(Kind::Inquiry, id), (Kind::Plant, plant_id)] {
            self.records.entry(kind).or_default().push(id);
        }
        self.take_in(phone);
    }

    fn take_in(&mut self, phone: usize) {
        self.files += 1;
        let file = self.yard.bundle(&self.yard.phones[phone], &format!("{}.yard", self.files)).unwrap();
        self.yard.take_in(&file).unwrap();
    }

    /// Two phones change one record without having seen each other.
    fn both_change(&mut self) {
        let kind = *[Kind::Plant, Kind::Site, Kind::Inquiry].choose(&mut self.rng).unwrap();
        let id = match self.records.get(&kind).and_then(|ids| ids.choose(&mut self.rng)) {
            Some(id) => *id,
            None => self.make(kind),
        };
        for phone in 0..2 {
            let fields = self.fields_of_a_scout(kind);
            let book: &Notebook = &self.yard.phones[phone];
            let name = fields.keys().next().cloned();
            let one: Map<String, Json> = fields.into_iter().filter(|(n, _)| Some(n) == name.as_ref()).collect();
            book.save(kind, Some(id), &one).unwrap();
            self.take_in(phone);
        }
    }

    fn one(&mut self, of: &[&str]) -> Json {
        json!(of.choose(&mut self.rng).unwrap())
    }

    /// A record of this kind, mostly; sometimes one that nobody has.
    fn to(&mut self, kind: Kind) -> Json {
        let known = self.records.get(&kind).and_then(|ids| ids.choose(&mut self.rng).copied());
        let id = known.filter(|_| self.rng.random_bool(0.95)).unwrap_or(RecordId([self.rng.random_range(1..4); 16]));
        json!(id.to_string())
    }

    fn day(&mut self) -> u32 {
        self.rng.random_range(1..29)
    }

    fn instant(&mut self) -> Json {
        let (day, hour) = (self.day(), self.rng.random_range(0..24));
        json!(format!("2026-05-{day:02}T{hour:02}:00:00-05:00[America/Chicago]"))
    }

    fn causes(&mut self) -> Json {
        let causes = ["girdling_roots", "planted_too_deep", "made_up_regulated"];
        let n = self.rng.random_range(1..3);
        let one = |play: &mut Self| {
            let percent = play.rng.random_range(0..100);
            json!({"cause": play.one(&causes), "role": "primary", "word": "likely", "percent": percent})
        };
        (0..n).map(|_| one(self)).collect()
    }

    fn words(&mut self) -> Json {
        let words = ["heron", "crane", "spots", "teal", "gate", "leaf", "herald"];
        let some: Vec<&str> = (0..3).map(|_| *words.choose(&mut self.rng).unwrap()).collect();
        json!(some.join(" "))
    }

    /// Fields of a new record, each there by chance.
    fn fields(&mut self, kind: Kind) -> Map<String, Json> {
        let mut fields: Vec<(&str, Json)> = match kind {
            Kind::Inquiry => vec![
                ("site", self.to(Kind::Site)),
                ("contact", self.to(Kind::Contact)),
                ("opened", self.instant()),
                ("taken_by", self.one(&["Scout 1", "Scout 2", "Scout 3"])),
                ("question", self.words()),
                ("summary", self.words()),
                ("status", self.one(&["open", "waiting", "answered", "closed"])),
                ("consent", self.consent()),
                ("stops", self.stops()),
            ],
            Kind::Site => vec![
                ("township", self.one(&["Sedge", "Harrow", "Elder"])),
                ("cell", self.one(&["LK-0304", "LK-0305"])),
                ("address", self.words()),
            ],
            Kind::Contact => vec![("note", self.words())],
            Kind::Plant => vec![
                ("inquiry", self.to(Kind::Inquiry)),
                ("host", self.one(&["oak", "rose", "tomato_family"])),
                ("affected", json!(self.rng.random_range(0..9))),
                ("present", json!(self.rng.random_range(9..20))),
                ("site", self.to(Kind::Site)),
            ],
            Kind::Visit => vec![("inquiry", self.to(Kind::Inquiry)), ("note", self.words())],
            Kind::Finding => vec![
                ("plant", self.to(Kind::Plant)),
                ("visit", self.to(Kind::Visit)),
                ("character", self.one(&["made_up", "leaf_spot", "leaf_spot"])),
                ("state", self.one(&["suspect", "round"])),
                ("status", self.one(&["seen", "absent"])),
                ("note", self.words()),
            ],
            Kind::Photo => vec![
                ("plant", self.to(Kind::Plant)),
                ("visit", self.to(Kind::Visit)),
                ("inquiry", self.to(Kind::Inquiry)),
                ("caption", self.words()),
            ],
            Kind::Sample => vec![
                ("plant", self.to(Kind::Plant)),
                ("visit", self.to(Kind::Visit)),
                ("inquiry", self.to(Kind::Inquiry)),
                ("plant_part", self.words()),
            ],
            Kind::Custody => vec![("sample", self.to(Kind::Sample)), ("condition", self.words())],
            Kind::Diagnosis => vec![
                ("inquiry", self.to(Kind::Inquiry)),
                ("plant", self.to(Kind::Plant)),
                ("causes", self.causes()),
                ("status", self.one(&["reviewed", "laboratory", "withdrawn"])),
                ("at", self.instant()),
                ("supersedes", self.to(Kind::Diagnosis)),
            ],
            Kind::Advice => vec![("diagnosis", self.to(Kind::Diagnosis)), ("text", self.words())],
            Kind::FollowUp => vec![
                ("inquiry", self.to(Kind::Inquiry)),
                ("due", json!(format!("2026-06-{:02}", self.day()))),
                ("answered", json!("2026-06-30")),
                ("done", json!(self.rng.random_bool(0.5))),
                ("by", self.one(&["Reviewer 1", "Admin 2"])),
            ],
            Kind::Review => vec![
                ("inquiry", self.to(Kind::Inquiry)),
                ("diagnosis", self.to(Kind::Diagnosis)),
                ("reason", self.one(&["random", "food"])),
            ],
            Kind::Alert => vec![
                ("inquiry", self.to(Kind::Inquiry)),
                ("suspect", json!("the suspected one")),
                ("released", json!("2026-05-30")),
            ],
            Kind::SiteNote => {
                vec![("visit", self.to(Kind::Visit)), ("site", self.to(Kind::Site)), ("note", self.words())]
            }
            Kind::Hours => vec![("person", json!("Scout 1"))],
        };
        fields.retain(|_| self.rng.random_bool(0.7));
        if fields.is_empty() {
            return self.fields(kind);
        }
        fields.into_iter().map(|(name, value)| (name.to_owned(), value)).collect()
    }

    /// Where an inquiry stands only the office decides.
    fn fields_of_a_scout(&mut self, kind: Kind) -> Map<String, Json> {
        let mut fields = self.fields(kind);
        fields.remove("status");
        fields
    }

    fn consent(&mut self) -> Json {
        let yes = self.rng.random_bool(0.7);
        json!({"visit": true, "cut": true, "photo": true, "count": yes, "contact_back": true})
    }

    fn stops(&mut self) -> Json {
        json!([self.one(&["wild_mushroom", "made_up_mild", "regulated_suspect"])])
    }
}
