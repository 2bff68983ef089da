//! Pack files: whole, damaged, hostile.

use super::*;
use crate::key::{ReviewStatus, tests::small_files};
use jiff::civil::date;
use std::io::Write;

const CHARACTERS: &str = "
- {id: leaf_edge, part: leaf, cost: glance, label: l, ask: a, how: h, normal: clean, states: {clean: c, brown: b}}
";
const CAUSES: &str = "
- {id: drought, name: n, cause: c, type: abiotic, hosts: [tree], prior: often, key: {leaf_edge.brown: often}, confirm: c, window: [06-01, 09-30], weather: w, do: d, dont: d, group: a, role: environment, escalate: none}
";

/// A small pack of this version.
pub(in crate::key) fn source(version: u32) -> Source {
    let mut source = Source::from_files(&small_files(CHARACTERS, CAUSES)).unwrap();
    source.pack.version = version;
    source
}

/// The key with this seed.
pub(in crate::key) fn key(seed: u8) -> Signing {
    Signing::from_seed(&[seed; 32])
}

fn small() -> PackFile {
    PackFile::make(&source(3), date(2026, 1, 3), &[&key(1)], &[]).unwrap()
}

fn code(bytes: Vec<u8>) -> Option<Code> {
    PackFile::from_bytes(bytes).and_then(|f| f.pack()).unwrap_err().code()
}

/// A file around this manifest and body, signed as the manifest says.
fn forged(change: impl FnOnce(&mut Manifest), body: &[u8]) -> Vec<u8> {
    let mut manifest = small().manifest;
    (manifest.packed_len, manifest.packed_hash) = (body.len() as u64, Hash32::of(body));
    change(&mut manifest);
    around(&manifest.to_cbor(), &[&key(1)], body)
}

fn around(payload: &[u8], signers: &[&Signing], body: &[u8]) -> Vec<u8> {
    let head = cbor::encode(|w| {
        w.array(signers.len() as u64)?;
        signers.iter().try_for_each(|s| w.bytes(&s.sign(Purpose::Pack, &NO_OFFICE, payload)).map(drop))
    });
    let mut bytes = MAGIC.to_vec();
    bytes.extend([1, 0, 0, 0]);
    bytes.extend((head.len() as u32).to_le_bytes());
    bytes.extend(head);
    bytes.extend(body);
    bytes
}

#[test]
fn what_was_sealed_comes_out_again_and_the_bytes_are_always_the_same() {
    let file = small();
    assert_eq!(file.bytes(), small().bytes());
    let read = PackFile::from_bytes(file.bytes().to_vec()).unwrap();
    assert_eq!(read, file);
    assert_eq!(read.source().unwrap(), source(3));
    let pack = read.pack().unwrap();
    assert_eq!((pack.id.as_str(), pack.version, pack.hash), ("small", 3, read.manifest.content_hash.to_hex()));
    assert_eq!((read.manifest.created, read.manifest.not_after), (date(2026, 1, 3), date(2027, 1, 2)));
    assert_eq!(read.manifest.languages, [Language::En]);
}

#[test]
fn the_starter_pack_goes_into_a_file_and_comes_out_as_it_is() {
    let source = Source::from_files(&crate::key::tests::files()).unwrap();
    let file = PackFile::make(&source, date(2026, 11, 26), &[&key(1)], &[]).unwrap();
    assert_eq!(file.source().unwrap(), source);
    assert_eq!(file.pack().unwrap().content_version(), Pack::from_source(source).unwrap().content_version());
    assert_eq!(file.manifest.languages, [Language::En, Language::Es]);
}

#[test]
fn every_flipped_byte_and_every_prefix_is_refused() {
    let whole = small().bytes().to_vec();
    for at in 0..whole.len() {
        for bit in [0x01, 0x80] {
            let mut flipped = whole.clone();
            flipped[at] ^= bit;
            assert!(PackFile::from_bytes(flipped).is_err(), "byte {at}");
        }
        assert!(PackFile::from_bytes(whole[..at].to_vec()).is_err(), "first {at} bytes");
    }
    assert_eq!(code(Vec::new()), Some(Code::BadMagic));
    for at in [1, 7, 8, 15, 40, whole.len() - 1] {
        assert_eq!(code(whole[..at].to_vec()), Some(Code::Cut), "first {at} bytes");
    }
    assert_eq!(code([whole.as_slice(), &[0]].concat()), Some(Code::Schema));
}

#[test]
fn every_part_that_is_changed_is_named_by_its_code() {
    let (whole, body) = (small().bytes().to_vec(), small().body);
    let with = |at: usize, bytes: &[u8]| {
        let mut changed = whole.clone();
        changed[at..at + bytes.len()].copy_from_slice(bytes);
        code(changed)
    };
    assert_eq!(with(0, b"PK"), Some(Code::BadMagic));
    assert_eq!(with(8, &[2, 0]), Some(Code::TooNew));
    assert_eq!(with(12, &u32::MAX.to_le_bytes()), Some(Code::TooBig));
    assert_eq!(with(body, &[whole[body] ^ 1]), Some(Code::PartHash));
    assert_eq!(with(body - 1, &[whole[body - 1] ^ 1]), Some(Code::BadSignature));
}

#[test]
fn a_signature_by_another_key_or_for_another_purpose_does_not_hold() {
    let file = small();
    let (payload, body) = (file.manifest.to_cbor(), &file.bytes()[file.body..]);
    assert_eq!(around(&payload, &[&key(1)], body), file.bytes());
    assert_eq!(code(around(&payload, &[&key(2)], body)), Some(Code::BadSignature));
    assert_eq!(code(around(&payload, &[], body)), Some(Code::BadSignature));
    assert_eq!(code(around(&payload, &[&key(1), &key(2)], body)), Some(Code::BadSignature));
    let other = key(1).sign(Purpose::Statement, &NO_OFFICE, &payload);
    let head = cbor::encode(|w| w.array(1)?.bytes(&other).map(drop));
    let mut bytes = file.bytes()[..12].to_vec();
    bytes.extend((head.len() as u32).to_le_bytes());
    assert_eq!(code([bytes, head, body.to_vec()].concat()), Some(Code::Schema));
}

#[test]
fn two_keys_sign_one_manifest() {
    let (old, new) = (key(1), key(2));
    let file = PackFile::make(&source(3), date(2026, 1, 3), &[&old, &new], &[new.public()]).unwrap();
    assert_eq!((file.manifest.signers.len(), &file.manifest.next), (2, &vec![new.public()]));
    file.check_signer(&[key(9).public(), new.public()]).unwrap();
    let e = file.check_signer(&[key(9).public()]).unwrap_err();
    assert_eq!(e.code(), Some(Code::UnknownDevice));
    assert!(e.to_string().contains(&hex::encode(old.public())));
    let e = PackFile::make(&source(3), date(2026, 1, 3), &[&old, &old], &[]).unwrap_err();
    assert_eq!(e.code(), Some(Code::Schema));
    let e = PackFile::make(&source(3), date(2026, 1, 3), &[], &[]).unwrap_err();
    assert_eq!(e.code(), Some(Code::BadSignature));
}

#[test]
fn a_body_unpacks_to_what_it_declares_and_no_more() {
    let mut encoder = zstd::stream::write::Encoder::new(Vec::new(), 19).unwrap();
    let zeros = vec![0; 1 << 20];
    (0..256).for_each(|_| encoder.write_all(&zeros).unwrap());
    let bomb = encoder.finish().unwrap();
    assert_eq!(code(forged(|_| {}, &bomb)), Some(Code::Bomb));
    assert_eq!(code(forged(|m| m.content_len = MAX_CONTENT, &bomb)), Some(Code::Bomb));
    assert_eq!(code(forged(|m| m.content_len = MAX_CONTENT + 1, &bomb)), Some(Code::TooBig));
    assert_eq!(code(forged(|m| m.packed_len = u64::MAX, &bomb)), Some(Code::TooBig));
    assert_eq!(code(forged(|_| {}, b"not zstd")), Some(Code::Schema));
    let little = zstd::bulk::compress(b"{}", 1).unwrap();
    assert_eq!(code(forged(|_| {}, &little)), Some(Code::Schema));
}

#[test]
fn content_of_another_core_or_that_the_manifest_does_not_describe_is_refused() {
    let file = small();
    let body = &file.bytes()[file.body..];
    assert_eq!(code(forged(|m| m.core = (Pack::FORM + 1, Pack::FORM + 1), body)), Some(Code::TooNew));
    assert_eq!(code(forged(|m| m.core = (0, Pack::FORM - 1), body)), Some(Code::Schema));
    assert_eq!(code(forged(|m| m.version = 4, body)), Some(Code::Schema));
    assert_eq!(code(forged(|m| m.status = ReviewStatus::UnreviewedStarter, body)), Some(Code::Schema));
    assert_eq!(code(forged(|m| m.content_hash = Hash32::ZERO, body)), Some(Code::PartHash));
    // The same content, written with a space more.
    let mut content = serde_json::to_vec(&source(3)).unwrap();
    content.insert(1, b' ');
    let packed = zstd::bulk::compress(&content, 1).unwrap();
    let longer = |m: &mut Manifest| (m.content_len, m.content_hash) = (content.len() as u64, Hash32::of(&content));
    assert_eq!(code(forged(longer, &packed)), Some(Code::Schema));
    assert_eq!(code(forged(|m| m.signers.extend([[7; 32]; 8]), body)), Some(Code::Schema));
}

#[test]
fn content_with_problems_is_never_sealed() {
    let mut source = source(3);
    source.causes[0].group = "nowhere".into();
    let e = PackFile::make(&source, date(2026, 1, 3), &[&key(1)], &[]).unwrap_err();
    assert_eq!(e.code(), Some(Code::Schema));
    assert!(e.to_string().contains("no advice group nowhere"), "{e}");
}

#[test]
fn a_pack_past_its_day_is_told_to_be_old() {
    let manifest = small().manifest;
    assert_eq!(manifest.days_overdue(date(2027, 1, 2)), None);
    assert_eq!(manifest.days_overdue(date(2028, 1, 2)), Some(365));
    assert_eq!(manifest.age_notice(date(2027, 1, 1), Language::En), None);
    for language in Language::ALL {
        let said = manifest.age_notice(date(2027, 1, 5), language).unwrap();
        assert!(said.contains("2027-01-02") && said.contains('3'), "{said}");
    }
}
