//! Real bytes of every structure: a season played to its end, read from the files that were handed over.

use std::{
    collections::{BTreeMap, BTreeSet},
    fs,
    path::{Path, PathBuf},
};

use age::x25519::Identity;
use ciborium::Value;
use dooryard_core::{
    bundle::seal_key_id,
    cbor,
    ids::Hash32,
    job::Job,
    log::{FieldHead, Head, Segment},
    record::{Kind, Role},
};
use dooryard_fixtures::play::{Options, Play};
use dooryard_tests::wire::{self, Outer};
use serde_json::json;

/// Real bytes by rule.
type Samples = BTreeMap<&'static str, BTreeSet<Vec<u8>>>;

/// Bytes as a tree; they must be in normal form.
pub fn tree(bytes: &[u8]) -> Value {
    cbor::check(bytes).unwrap();
    ciborium::from_reader(bytes).unwrap()
}

fn bytes_of(value: &Value) -> &[u8] {
    value.as_bytes().unwrap()
}

/// The bytes at a place of a list.
fn at(value: &Value, place: usize) -> &Value {
    &value.as_array().unwrap()[place]
}

/// What was found.
#[derive(Default)]
pub struct Found {
    /// Real bytes by rule.
    pub samples: Samples,
    /// What the samples are to have in them, so that no rule's branch goes unchecked.
    pub seen: BTreeSet<&'static str>,
}

impl Found {
    fn add(&mut self, rule: &'static str, bytes: &[u8]) {
        self.samples.entry(rule).or_default().insert(bytes.to_vec());
    }

    fn signed(&mut self, signed: &'static str, body: &'static str, bytes: &[u8]) -> Value {
        self.add(signed, bytes);
        let payload = bytes_of(at(&tree(bytes), 2)).to_vec();
        self.add(body, &payload);
        tree(&payload)
    }

    fn statement(&mut self, bytes: &[u8]) {
        let said = self.signed("signed-statement", "statement", bytes);
        let kinds = ["cert", "revoke", "admit", "refuse", "erase", "clock", "assign"];
        let kind = u64::try_from(at(&said, 2).as_integer().unwrap()).unwrap();
        self.seen.insert(kinds[usize::try_from(kind).unwrap() - 1]);
    }

    fn segment(&mut self, bytes: &[u8]) {
        self.add("segment", bytes);
        let segment = tree(bytes);
        for change in at(&segment, 3).as_array().unwrap() {
            let change = bytes_of(change);
            if change.len() == 32 {
                self.seen.insert("a lost change");
                continue;
            }
            self.add("change", change);
            let slots = tree(change).as_array().unwrap()[1..].to_vec();
            self.seen.insert(if slots.iter().any(Value::is_bytes) { "slot without a body" } else { "bodies" });
            self.add("head", bytes_of(at(&tree(change), 0)));
        }
        match bytes_of(at(&segment, 4)) {
            [] => drop(self.seen.insert("segment without a signature")),
            signature => drop(self.signed("signed-tip", "tip", signature)),
        }
    }

    fn file(&mut self, path: &Path, key: &Identity) {
        let outer = Outer::read(&fs::read(path).unwrap()).unwrap();
        let text = outer.text(key).unwrap();
        let envelope = self.signed("signed-envelope", "envelope", &text.envelope);
        assert_eq!(bytes_of(at(&envelope, 1)), outer.header);
        assert_eq!(at(&envelope, 3).as_text(), Some(seal_key_id(&key.to_public().to_string()).as_str()));
        assert_eq!(bytes_of(at(&envelope, 11)), blake3::hash(&text.packed).as_bytes());
        let frames = text.frames().unwrap();
        let raw = wire::raw_frames(&frames).len() as u64;
        assert_eq!(at(&envelope, 9).as_integer(), Some(raw.into()));
        assert_eq!(frames[0].0, 1, "the manifest comes first");
        for (kind, bytes) in frames {
            match kind {
                1 => {
                    self.add("manifest", &bytes);
                    match bytes_of(at(&tree(&bytes), 2)) {
                        [] => drop(self.seen.insert("manifest without a receipt")),
                        receipt => drop(self.signed("signed-receipt", "receipt", receipt)),
                    }
                }
                2 => self.segment(&bytes),
                3 => self.statement(&bytes),
                4 => drop(self.signed("signed-receipt", "receipt", &bytes)),
                5 => self.add("snapshot-row", &bytes),
                other => panic!("a frame of kind {other}"),
            }
        }
        for (kind, sealed) in &outer.parts[1..] {
            assert_eq!(*kind, wire::PHOTO);
            let plain = wire::unseal(sealed, key).unwrap();
            assert_eq!(plain[0], 0x1e, "a photo's id");
            assert_eq!((&plain[1..33], &plain[33..41]), (&blake3::hash(&plain[41..]).as_bytes()[..], &[0; 8][..]));
            self.seen.insert("photo");
        }
    }
}

/// The season without its photos but one, played to its end, and every word an office can say.
pub fn season() -> Found {
    let dir = tempfile::tempdir().unwrap();
    let mut play = Play::new(&dir.path().join("season"), Options { seed: 9, photos: false }).unwrap();
    let tell = |_: &str, _: u64, _: u64| {};
    play.on_phones(&tell).unwrap();
    let picture = dir.path().join("leaf.jpg");
    dooryard_tests::picture(&picture).unwrap();
    play.phones[0].add_photo(&picture, &serde_json::Map::new()).unwrap();
    let last = play.dir.join("handed-over/with-a-photo.yard");
    play.phones[0].make_bundle(&last, &Job::silent()).unwrap();
    play.bundles.push(last);
    play.bundles.iter().for_each(|file| drop(play.office.take_in(file, &Job::silent()).unwrap()));
    let mut found = Found::default();
    // Something that waits, for a receipt to name.
    let device = play.phones[4].device();
    let whole = play.phones[3].segment_after(&play.phones[3].own_log(), 0).unwrap().unwrap();
    let lost = whole.hashes[..2].to_vec();
    let changes = whole.changes[2..4].to_vec();
    found.segment(&Segment::after_lost(&play.office.card().office(), whole.log, Hash32::ZERO, lost, changes).to_cbor());
    let first = play.phones[4].segment_after(&play.phones[4].own_log(), 0).unwrap().unwrap();
    let (rec, change) = (first.changes[0].head.rec, first.hashes[0]);
    play.office.refuse(rec, change).unwrap();
    play.at_the_desk(&tell).unwrap();
    play.office.revoke(device).unwrap();
    play.office.admit(rec, change).unwrap();
    play.office.assign(rec, device).unwrap();
    play.office.notebook().save(Kind::Hours, None, json!({"hours": "1.5"}).as_object().unwrap()).unwrap();

    let keys: serde_json::Value =
        serde_json::from_str(&fs::read_to_string(play.office.folder().join("office.key")).unwrap()).unwrap();
    let office_key: Identity = keys["seal"].as_str().unwrap().parse().unwrap();
    let files: Vec<PathBuf> =
        fs::read_dir(play.dir.join("handed-over")).unwrap().map(|entry| entry.unwrap().path()).collect();
    for (n, phone) in play.phones.iter().enumerate() {
        let text = fs::read_to_string(phone.folder().join("local/device.key")).unwrap();
        let key: Identity = text.lines().nth(1).unwrap().parse().unwrap();
        let reply = format!("reply-{}-", n + 1);
        let mine = |file: &&PathBuf| file.file_name().unwrap().to_str().unwrap().starts_with(&reply);
        files.iter().filter(mine).for_each(|file| found.file(file, &key));
        found.add("signed-request", &phone.enrolment_request());
        found.signed("signed-request", "request", &phone.enrolment_request());
    }
    let from_phones = |file: &&PathBuf| file.file_name().unwrap().to_str().unwrap().starts_with("scout-");
    assert!(files.iter().filter(from_phones).count() >= play.bundles.len() - 1);
    files.iter().filter(from_phones).chain(play.bundles.last()).for_each(|file| found.file(file, &office_key));
    for signed in play.office.notebook().statements().unwrap() {
        found.statement(&signed);
    }
    // As the office holds them after the erasure: some without bodies, all without a signature.
    for state in play.office.notebook().logs().unwrap() {
        let segment = play.office.notebook().segment_after(&state.log, 0).unwrap();
        segment.iter().for_each(|segment| found.segment(&segment.to_cbor()));
    }
    let card = fs::read(play.office.folder().join("office.card")).unwrap();
    found.signed("signed-card", "card", &card);
    let request = play.phones[0].enrolment_request();
    found.add("answer", &play.office.add_device(&request, Role::Scout, "Scout 1").unwrap());
    for (crit, ext) in [(Some(vec![0x81, 1]), None), (None, Some(vec![0xa1, 1, 2]))] {
        let fields = vec![FieldHead { field: 102, preds: vec![Hash32::ZERO] }];
        let cert = Hash32::ZERO;
        let head =
            Head { rtype: 1, seq: 1, wall_ms: 0, generation: 0, kind: 0, rec, cert, form_ver: 1, fields, crit, ext };
        found.add("head", &head.to_cbor());
    }
    found
}
