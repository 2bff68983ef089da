//! Bundles that a valid sender signed and that are hostile all the same.

use std::{io::Write, path::PathBuf};

use super::{
    control::{Frames, MANIFEST, SEGMENT},
    envelope::{Envelope, Sort},
    manifest::Manifest,
    parts::{BLOB, CONTROL, PartsWriter, header},
    seal::{Opener, seal, seal_key_id},
    take_in::{TakeIn, take_in},
};
use crate::{
    Code, Error, Result,
    clock::{Env, SetClock},
    ids::{BlobId, Hash32},
    job::Job,
    log::{Body, Cert, Statement},
    notebook::{Card, Notebook, Request, seal_identity, write_answer},
    record::{Kind, Role},
    sign::Signing,
};

pub(super) struct Scene {
    pub(super) dir: tempfile::TempDir,
    pub(super) office: Notebook,
    opener: Opener,
    pub(super) phone: Notebook,
    pub(super) card: Card,
}

pub(super) fn scene() -> Scene {
    let dir = tempfile::tempdir().unwrap();
    let clock = SetClock::at(1_777_636_800_000);
    let (root, signing) = (Signing::from_seed(&[1; 32]), Signing::from_seed(&[2; 32]));
    let seal = seal_identity(&[3; 32]).unwrap();
    let recipient = seal.to_public().to_string();
    let card = Card {
        root: root.public(),
        key: signing.public(),
        seal: recipient.clone(),
        recovery: recipient,
        name: "Larkspur".into(),
        serial: 1,
        former: Vec::new(),
    };
    let book = |name: &str, seed| Notebook::create(&dir.path().join(name), Env::seeded(seed, &clock)).unwrap();
    let (office, phone) = (book("office", 1), book("phone", 2));
    let mut said = Vec::new();
    for (seq, (book, role)) in (1..).zip([(&office, Role::Office), (&phone, Role::Scout)]) {
        let request = Request::read(&book.enrolment_request()).unwrap();
        let cert = Cert { key: request.key, seal: request.seal, role, label: format!("{role:?}"), seq };
        said.push(Statement { seq, prev: Hash32::ZERO, body: Body::Cert(cert) }.sign(&signing, &card.office()).0);
    }
    for book in [&office, &phone] {
        book.enrol(&write_answer(&card.sign(&root), &said)).unwrap();
    }
    Scene { dir, office, opener: Opener::of(&seal), phone, card }
}

impl Scene {
    pub(super) fn path(&self) -> PathBuf {
        self.dir.path().join("hostile.yard")
    }

    fn envelope(&self) -> Envelope {
        let (office, from, cert, _) = self.phone.sender().unwrap();
        Envelope {
            sort: Sort::Bundle,
            header: header().to_vec(),
            office,
            to_key: seal_key_id(&self.card.seal),
            from,
            to: from,
            cert,
            bundle: [0; 16],
            number: 0,
            raw_len: 0,
            packed_len: 0,
            packed_hash: Hash32::ZERO,
            ahead: Vec::new(),
        }
    }

    fn write(&self, control: &[u8], more: &[(u8, Vec<u8>)]) -> PathBuf {
        let mut writer = PartsWriter::create(&self.path()).unwrap();
        writer.part(CONTROL, control).unwrap();
        more.iter().for_each(|(kind, bytes)| writer.part(*kind, bytes).unwrap());
        writer.finish().unwrap();
        self.path()
    }

    /// A bundle of these frames, all properly signed and sealed.
    pub(super) fn frames(&self, frames: &[(u8, Vec<u8>)]) -> PathBuf {
        let mut packed = Frames::new().unwrap();
        packed.push(MANIFEST, &Manifest::default().to_cbor()).unwrap();
        frames.iter().for_each(|(kind, bytes)| packed.push(*kind, bytes).unwrap());
        let (.., key) = self.phone.sender().unwrap();
        self.write(&packed.seal(self.envelope(), &key, &[&self.card.seal]).unwrap(), &[])
    }

    pub(super) fn take(&self) -> Result<TakeIn> {
        take_in(&self.office, &self.opener, self.dir.path(), &self.path(), &Job::silent())
    }

    /// Takes the file in and checks that the office's state stayed as it was.
    pub(super) fn take_unchanged(&self) -> Result<TakeIn> {
        let before = self.office.digest().unwrap();
        let taken = self.take();
        assert_eq!(self.office.digest().unwrap(), before);
        taken
    }
}

fn code(result: Result<TakeIn>) -> Code {
    match result {
        Err(Error::Refused { code, .. }) => code,
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_bomb_that_declares_less_than_it_unpacks_to_is_refused_whole() {
    let scene = scene();
    let mut encoder = zstd::stream::write::Encoder::new(Vec::new(), 19).unwrap();
    let chunk = vec![0; 1 << 24];
    (0..256).for_each(|_| encoder.write_all(&chunk).unwrap());
    let packed = encoder.finish().unwrap();
    let (.., key) = scene.phone.sender().unwrap();
    for raw_len in [1_000, 64 << 20] {
        let envelope =
            Envelope { raw_len, packed_len: packed.len() as u64, packed_hash: Hash32::of(&packed), ..scene.envelope() };
        let signed = envelope.sign(&key);
        let control = seal(&[&scene.card.seal], |w| {
            w.write_all(&(signed.len() as u16).to_be_bytes())?;
            w.write_all(&signed)?;
            w.write_all(&packed)
        });
        scene.write(&control.unwrap(), &[]);
        assert_eq!(code(scene.take_unchanged()), Code::Bomb);
    }
}

#[test]
fn frames_of_deep_cbor_or_of_anything_but_segments_are_counted_as_refused_and_change_nothing() {
    let scene = scene();
    let deep = vec![0x81; 10_000];
    let path_like = crate::cbor::encode(|w| {
        w.array(5)?.bytes(b"../../../../etc/passwd..")?.u64(1)?.bytes(&[0; 32])?.array(0)?.bytes(b"")?;
        Ok(())
    });
    scene.frames(&[
        (SEGMENT, deep),
        (SEGMENT, path_like),
        (SEGMENT, vec![]),
        (200, b"unknown kinds are passed over".to_vec()),
    ]);
    let report = scene.take_unchanged().unwrap();
    assert_eq!(report.segments_refused.values().sum::<u64>(), 3, "{report:?}");
    assert_eq!(report.new, 0);
}

#[test]
fn a_segment_signed_by_another_device_is_refused() {
    let scene = scene();
    scene.phone.save(Kind::Plant, None, &serde_json::Map::new()).unwrap();
    let log = scene.phone.own_log();
    let mut segment = scene.phone.segment_after(&log, 0).unwrap().unwrap();
    segment.close(&Signing::from_seed(&[9; 32]), &scene.card.office(), 0);
    scene.frames(&[(SEGMENT, segment.to_cbor())]);
    let report = scene.take_unchanged().unwrap();
    assert_eq!(report.segments_refused.get("BAD_SIGNATURE"), Some(&1));

    // Without any signature nothing closes it.
    segment.signature.clear();
    scene.frames(&[(SEGMENT, segment.to_cbor())]);
    assert_eq!(scene.take_unchanged().unwrap().segments_refused.get("BAD_SIGNATURE"), Some(&1));
}

#[test]
fn a_log_of_several_segments_is_taken_in_by_its_newest_signature_alone() {
    let scene = scene();
    let log = scene.phone.own_log();
    for _ in 0..3 {
        scene.phone.save(Kind::Plant, None, &serde_json::Map::new()).unwrap();
    }
    let whole = scene.phone.segment_after(&log, 0).unwrap().unwrap();
    let office = scene.card.office();
    let mut first = crate::log::Segment::new(&office, log, Hash32::ZERO, whole.changes[..2].to_vec());
    first.signature.clear();
    let mut second = crate::log::Segment::new(&office, log, first.tip(), whole.changes[2..].to_vec());
    second.signature = whole.signature.clone();
    scene.frames(&[(SEGMENT, first.to_cbor()), (SEGMENT, second.to_cbor())]);
    let report = scene.take().unwrap();
    assert_eq!((report.new, report.segments_refused.len()), (3, 0), "{report:?}");
}

#[test]
fn a_known_phone_with_a_broken_ask_is_refused() {
    let scene = scene();
    let mut packed = Frames::new().unwrap();
    packed.push(MANIFEST, &Manifest::default().to_cbor()).unwrap();
    let (.., key) = scene.phone.sender().unwrap();
    let envelope = Envelope { ahead: b"\x80".to_vec(), ..scene.envelope() };
    scene.write(&packed.seal(envelope, &key, &[&scene.card.seal]).unwrap(), &[]);
    assert_eq!(code(scene.take_unchanged()), Code::Schema);
}

#[test]
fn an_envelope_or_a_part_of_another_kind_or_length_is_refused() {
    let scene = scene();
    for control in [vec![], vec![0xff; 40], vec![0; 2], [&4097u16.to_be_bytes()[..], &[0; 5000]].concat()] {
        scene.write(&seal(&[&scene.card.seal], |w| w.write_all(&control)).unwrap(), &[]);
        assert!(matches!(code(scene.take_unchanged()), Code::Schema | Code::TooBig));
    }
    scene.write(b"not sealed at all", &[]);
    assert_eq!(code(scene.take_unchanged()), Code::Schema);
    let mut writer = PartsWriter::create(&scene.path()).unwrap();
    writer.part(BLOB, b"a photo first").unwrap();
    writer.finish().unwrap();
    assert_eq!(code(scene.take_unchanged()), Code::Schema);
}

#[test]
fn photos_that_the_manifest_does_not_name_or_with_other_bytes_are_not_stored() {
    let scene = scene();
    let blob = BlobId::of(b"leaf");
    let named = serde_json::json!({"image": blob.to_hex()});
    scene.office.save(Kind::Photo, None, named.as_object().unwrap()).unwrap();
    let entry = |parts: Vec<Hash32>| super::BlobEntry { id: blob, size: 4, parts };
    let part = |id: BlobId, bytes: &[u8]| {
        let sealed = seal(&[&scene.card.seal], |w| {
            w.write_all(&id.0)?;
            w.write_all(&0u64.to_be_bytes())?;
            w.write_all(bytes)
        });
        (BLOB, sealed.unwrap())
    };
    let (.., key) = scene.phone.sender().unwrap();
    for (parts, sent, damaged) in [
        (vec![Hash32::of(b"leaf")], part(BlobId::of(b"other"), b"other"), 0),
        (vec![Hash32::of(b"leaf")], part(blob, b"mold"), 1),
        (vec![Hash32::of(b"mold")], part(blob, b"mold"), 1),
    ] {
        let mut packed = Frames::new().unwrap();
        let manifest = Manifest { blobs: vec![entry(parts)], ..Manifest::default() };
        packed.push(MANIFEST, &manifest.to_cbor()).unwrap();
        scene.write(&packed.seal(scene.envelope(), &key, &[&scene.card.seal]).unwrap(), &[sent]);
        let report = scene.take().unwrap();
        assert_eq!((report.photos, report.photos_missing, report.parts_damaged), (0, 1, damaged), "{report:?}");
        assert!(!scene.office.holds_blob(&blob).unwrap());
    }
}
