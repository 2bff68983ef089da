//! A county as phones hand it over: inquiries with twenty records each, four of them photos, in signed segments of one phone.

use dooryard_core::{
    ids::{BlobId, Hash32, LogId, OfficeId, RecordId},
    log::{Change, FieldHead, Head, Segment, Slot},
    notebook::{DeviceKeys, Notebook, OwnerOnlyFile},
    record::{Kind, Role, parse_fields},
    sign::Signing,
};
use dooryard_tests::{MAY_1, Yard, fields};
use rand::{Rng, SeedableRng, rngs::StdRng};
use serde_json::{Value as Json, json};

/// Records of one inquiry, with itself.
pub const RECORDS: usize = 20;
/// Photos among them.
pub const PHOTOS: usize = 4;
/// Inquiries of one segment.
const SEGMENT: usize = 100;

/// Plants of the county.
pub const HOSTS: [&str; 12] = [
    "oak",
    "rose",
    "tomato_family",
    "maple",
    "boxwood",
    "apple",
    "lawn",
    "spruce",
    "arborvitae",
    "hackberry",
    "squash",
    "bean",
];
/// Causes that scouts named.
pub const CAUSES: [&str; 4] = ["girdling_roots", "planted_too_deep", "leaf_scorch", "apple_scab"];
const PARTS: [&str; 6] = ["margin", "tip", "midrib", "stalk", "underside", "base"];
const SIGNS: [&str; 8] = ["brown", "yellow", "curled", "sticky", "holed", "wilted", "mottled", "grey"];

/// The phone that wrote it all.
struct Writer {
    office: OfficeId,
    key: Signing,
    cert: Hash32,
    log: LogId,
    prev: Hash32,
    seq: u64,
    random: StdRng,
    changes: Vec<Change>,
}

/// Fills the office of a yard with one phone with so many inquiries.
pub fn fill(yard: &Yard, inquiries: usize) {
    let keys = DeviceKeys::read(&yard.folder(1).join("local/device.key"), &OwnerOnlyFile).expect("the phone's key");
    let office = yard.office.card().office();
    let cert = certificate(&yard.phones[0], &keys.signing);
    let log = LogId { device: keys.signing.device(), incarnation: 1 };
    let random = StdRng::seed_from_u64(7);
    let mut writer =
        Writer { office, key: keys.signing, cert, log, prev: Hash32::ZERO, seq: 0, random, changes: Vec::new() };
    for from in (0..inquiries).step_by(SEGMENT) {
        for n in from..inquiries.min(from + SEGMENT) {
            writer.inquiry(n);
        }
        let notebook = yard.office.notebook();
        notebook.take_segment(writer.segment()).expect("merged");
        // As after each take-in: the rows that are shown follow at once.
        notebook.changed_since(0, 0).expect("shown");
    }
}

/// The certificate under which a phone writes.
fn certificate(phone: &Notebook, key: &Signing) -> Hash32 {
    let statements = phone.statements().expect("the office's statements");
    let of_phone = |signed: &&Vec<u8>| signed.windows(32).any(|bytes| bytes == key.public());
    Hash32::of(statements.iter().find(of_phone).expect("its certificate"))
}

impl Writer {
    fn segment(&mut self) -> Segment {
        let changes = std::mem::take(&mut self.changes);
        let mut segment = Segment::new(&self.office, self.log, self.prev, changes);
        segment.close(&self.key, &self.office, 0);
        self.prev = segment.tip();
        segment
    }

    /// One record, saved once.
    fn put(&mut self, kind: Kind, given: Json) -> RecordId {
        self.seq += 1;
        let rec = RecordId::new(MAY_1 + self.seq, self.random.random());
        let mut values = parse_fields(kind, Role::Scout, &fields(given)).expect("fields of the registry");
        values.sort_by_key(|(field, _)| field.id);
        let slots =
            values.iter().map(|(_, value)| Slot::Body { salt: self.random.random(), value: value.to_cbor() }).collect();
        let head = Head {
            rtype: kind.id(),
            seq: self.seq,
            wall_ms: MAY_1 + self.seq,
            generation: 0,
            kind: 0,
            rec,
            cert: self.cert,
            form_ver: 1,
            fields: values.iter().map(|(field, _)| FieldHead { field: field.id, preds: Vec::new() }).collect(),
            crit: None,
            ext: None,
        };
        self.changes.push(Change::new(head, slots));
        rec
    }

    fn inquiry(&mut self, n: usize) {
        let pick = |list: &[&'static str], by: usize| list[(n / by + n) % list.len()];
        let (host, cause, sign, part) = (pick(&HOSTS, 7), pick(&CAUSES, 3), pick(&SIGNS, 11), pick(&PARTS, 5));
        let day = format!("{}-{:02}-{:02}", 2024 + n % 3, 1 + n / 3 % 12, 1 + n / 36 % 28);
        let at = format!("{day}T15:{:02}:00+00:00[UTC]", n % 60);
        let site = json!({"township": format!("Township {}", n % 16), "county": "Larkspur", "cell": format!("r{}c{}", 580 + n % 10, 940 + n / 10 % 10)});
        let site = self.put(Kind::Site, site).to_string();
        let contact = self.put(Kind::Contact, json!({"note": format!("ring after noon, house {n}")})).to_string();
        let question = format!("Why do the leaves of number {n} turn {sign} at the {part} since week {}?", n % 52);
        let inquiry = self.put(
            Kind::Inquiry,
            json!({"opened": at, "question": question, "channel": "phone", "taken_by": format!("Scout {}", n % 40),
                "site": site, "contact": contact, "consent": {"visit": true, "cut": true, "photo": n.is_multiple_of(2), "count": true, "contact_back": true}}),
        );
        let inquiry = inquiry.to_string();
        let visit = json!({"inquiry": inquiry, "start": at, "observer": format!("Scout {}", n % 40), "minutes": 20});
        let visit = self.put(Kind::Visit, visit).to_string();
        let plant = |w: &mut Self, host: &str| {
            w.put(Kind::Plant, json!({"inquiry": inquiry, "site": site, "host": host, "affected": 3, "present": 9}))
        };
        let plant_of = plant(self, host).to_string();
        plant(self, pick(&HOSTS, 13));
        for at in 0..7 {
            let status = ["seen", "absent", "could_not_tell"][(n + at) % 3];
            let finding = json!({"plant": plant_of, "visit": visit, "character": "leaf_spot", "state": "bullseye",
                "status": status, "comfort": 2, "note": format!("{sign} {part}, look {at}")});
            self.put(Kind::Finding, finding);
        }
        for at in 0..PHOTOS {
            let image = BlobId::of(format!("{n} {at}").as_bytes()).to_hex();
            let photo = json!({"inquiry": inquiry, "plant": plant_of, "visit": visit, "image": image, "caption": format!("{part} {at}")});
            self.put(Kind::Photo, photo);
        }
        let causes = json!([{"cause": cause, "role": "primary", "word": "likely", "percent": 70}]);
        self.put(Kind::Diagnosis, json!({"inquiry": inquiry, "plant": plant_of, "causes": causes}));
        self.put(Kind::Sample, json!({"plant": plant_of, "seal": format!("S{n}")}));
        self.put(Kind::FollowUp, json!({"inquiry": inquiry, "due": day}));
    }
}
