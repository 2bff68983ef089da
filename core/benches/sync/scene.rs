//! An office with phones, and histories as phones write them.

use std::path::{Path, PathBuf};

use dooryard_core::{
    clock::{Env, SetClock},
    ids::{Hash32, LogId, OfficeId, RecordId},
    job::Job,
    log::{Body, Cert, Change, FieldHead, Head, Segment, Slot, Statement},
    notebook::{Card, DeviceKeys, Notebook, OwnerOnlyFile, seal_identity, write_answer},
    record::{Kind, Role, Value},
    sign::Signing,
};
use rand::{Rng, SeedableRng, rngs::StdRng};

/// 1 May 2026, noon UTC.
const MAY_1: u64 = 1_777_636_800_000;

/// Fields of a change, as most saves have.
pub const FIELDS: usize = 4;

/// An office's notebook and the phones that it certified.
pub struct Scene {
    pub office: Notebook,
    pub phones: Vec<Phone>,
    id: OfficeId,
}

/// A phone's notebook, its key, and its certificate.
pub struct Phone {
    pub notebook: Notebook,
    key: Signing,
    cert: Hash32,
}

/// The key that opens what is sealed to the office.
pub fn office_key() -> age::x25519::Identity {
    seal_identity(&[3; 32]).expect("a key")
}

impl Scene {
    /// An office with so many phones, in a folder of this name.
    pub fn new(dir: &Path, name: &str, phones: usize) -> Self {
        let clock = SetClock::at(MAY_1);
        let (root, signing) = (Signing::from_seed(&[1; 32]), Signing::from_seed(&[2; 32]));
        let recipient = office_key().to_public().to_string();
        let (seal, recovery, name_of) = (recipient.clone(), recipient.clone(), "Larkspur".into());
        let card = Card {
            root: root.public(),
            key: signing.public(),
            seal,
            recovery,
            name: name_of,
            serial: 1,
            former: Vec::new(),
        };
        let book = |n: usize| {
            let folder = dir.join(name).join(n.to_string());
            let notebook = Notebook::create(&folder, Env::seeded(n as u64, &clock)).expect("a notebook");
            let keys = DeviceKeys::read(&folder.join("local/device.key"), &OwnerOnlyFile).expect("its key");
            (notebook, keys)
        };
        let books: Vec<_> = (0..=phones).map(book).collect();
        let mut signed = Vec::new();
        for (n, (_, keys)) in books.iter().enumerate() {
            let role = if n == 0 { Role::Office } else { Role::Scout };
            let (key, seal) = (keys.signing.public(), keys.seal.to_public().to_string());
            let seq = n as u64 + 1;
            let cert = Cert { key, seal, role, label: format!("{role:?} {n}"), seq };
            signed.push(Statement { seq, prev: Hash32::ZERO, body: Body::Cert(cert) }.sign(&signing, &card.office()).0);
        }
        let answer = write_answer(&card.sign(&root), &signed);
        let mut enrolled = books.into_iter().zip(&signed).map(|((notebook, keys), cert)| {
            notebook.enrol(&answer).expect("enrolled");
            Phone { notebook, key: keys.signing, cert: Hash32::of(cert) }
        });
        let office = enrolled.next().expect("the office").notebook;
        Self { office, phones: enrolled.collect(), id: card.office() }
    }

    pub fn id(&self) -> OfficeId {
        self.id
    }

    /// So many changes of a phone, of so many fields each, in segments of at most so many.
    pub fn history(&self, phone: &Phone, fields: usize, changes: usize, segment: usize) -> Vec<Segment> {
        History::new(self.id, phone, fields).take(changes, segment)
    }

    /// Bundles of so many changes each, one of every phone.
    pub fn bundles(&self, changes: usize) -> Vec<PathBuf> {
        let make = |phone: &Phone| {
            for segment in self.history(phone, FIELDS, changes, changes) {
                phone.notebook.take_segment(segment).expect("a history");
            }
            let out = phone.notebook.folder().with_extension("yard");
            phone.notebook.make_bundle(&out, &Job::silent()).expect("a bundle");
            out
        };
        self.phones.iter().map(make).collect()
    }
}

/// A history as phones write it: findings of up to four fields, a fifth of the saves edit a record saved before.
pub struct History<'a> {
    office: OfficeId,
    phone: &'a Phone,
    fields: usize,
    log: LogId,
    random: StdRng,
    known: Vec<(RecordId, Hash32)>,
    prev: Hash32,
    seq: u64,
}

impl<'a> History<'a> {
    /// The history of a phone from its beginning.
    pub fn new(office: OfficeId, phone: &'a Phone, fields: usize) -> Self {
        let log = LogId { device: phone.key.device(), incarnation: 1 };
        let mut seed = [0; 32];
        seed[..16].copy_from_slice(&log.device.0);
        Self {
            office,
            phone,
            fields,
            log,
            random: StdRng::from_seed(seed),
            known: Vec::new(),
            prev: Hash32::ZERO,
            seq: 0,
        }
    }

    /// The next changes, in segments of at most so many.
    pub fn take(&mut self, changes: usize, segment: usize) -> Vec<Segment> {
        let sizes = (0..changes).step_by(segment).map(|done| segment.min(changes - done));
        sizes.map(|size| self.segment(size)).collect()
    }

    fn segment(&mut self, size: usize) -> Segment {
        let mut last = self.prev;
        let mut changes = Vec::with_capacity(size);
        for _ in 0..size {
            let (at, change) = self.change();
            last = change.hash(&self.office, &self.log, &last);
            match at {
                Some(at) => self.known[at].1 = last,
                None => self.known.push((change.head.rec, last)),
            }
            changes.push(change);
        }
        let mut segment = Segment::new(&self.office, self.log, self.prev, changes);
        segment.close(&self.phone.key, &self.office, 0);
        self.prev = segment.tip();
        segment
    }

    /// One change, and the record that it edits, if it does.
    fn change(&mut self) -> (Option<usize>, Change) {
        self.seq += 1;
        let random = &mut self.random;
        let at = (!self.known.is_empty() && random.random_bool(0.2)).then(|| random.random_range(0..self.known.len()));
        let (rec, seen) = match at.and_then(|at| self.known.get(at)) {
            Some((rec, hash)) => (*rec, vec![*hash]),
            None => (RecordId::new(MAY_1 + self.seq, random.random()), vec![]),
        };
        let mut body = |value: Value| Slot::Body { salt: random.random(), value: value.to_cbor() };
        let mut slots = vec![
            body(Value::Text("leaf_spot".into())),
            body(Value::Text("leaf_spot.round_brown".into())),
            body(Value::Int(0)),
            body(Value::Int(3)),
        ];
        slots.truncate(self.fields);
        let fields = [703, 704, 705, 706][..self.fields].iter();
        let fields = fields.map(|field| FieldHead { field: *field, preds: seen.clone() }).collect();
        let head = Head {
            rtype: Kind::Finding.id(),
            seq: self.seq,
            wall_ms: MAY_1 + self.seq,
            generation: 0,
            kind: 0,
            rec,
            cert: self.phone.cert,
            form_ver: 1,
            fields,
            crit: None,
            ext: None,
        };
        (at, Change::new(head, slots))
    }
}
