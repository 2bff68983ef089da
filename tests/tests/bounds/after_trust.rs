//! Bundles that a known phone signed and that are made to hurt: each count and length over its limit, or lying.

use ciborium::Value;
use dooryard_core::{
    Code,
    ids::Hash32,
    log::{Change, FieldHead, Segment, Slot},
};
use dooryard_tests::wire;

use super::{AFTER_TRUST, MANIFEST, SEGMENT, Scene, field, hashes};

/// The text "a" as a field's value.
const A: &[u8] = b"\x61a";

/// A frame of this kind that says it is longer than it is, not packed yet.
fn raw_frame(kind: u8, length: u32) -> Vec<u8> {
    [&[kind][..], &length.to_be_bytes()].concat()
}

fn packed(raw: &[u8]) -> Vec<u8> {
    zstd::encode_all(raw, 1).unwrap()
}

/// Zeros, packed, that unpack to so many MiB.
fn zeros(mib: usize) -> Vec<u8> {
    zstd::encode_all(std::io::Read::take(std::io::repeat(0), (mib as u64) << 20), 1).unwrap()
}

/// An array that says it holds so many items, and begins with these bytes.
fn lying(items: u64, rest: &[u8]) -> Vec<u8> {
    [&[0x9b][..], &items.to_be_bytes(), rest].concat()
}

/// Files that are refused whole.
pub(super) fn refused_whole(scene: &Scene) -> Vec<(&'static str, Vec<u8>, Code)> {
    let hand = &scene.hand;
    let many = scene.change(1, 1, vec![FieldHead { field: 105, preds: hashes(0..1_000_000) }], A);
    let (many, _) = scene.segment(Hash32::ZERO, vec![many]);
    let window = {
        let mut encoder = zstd::stream::write::Encoder::new(Vec::new(), 1).unwrap();
        encoder.window_log(27).unwrap();
        std::io::copy(&mut std::io::Read::take(std::io::repeat(7), 63 << 20), &mut encoder).unwrap();
        encoder.finish().unwrap()
    };
    let manifest = |bytes: Vec<u8>| hand.file(&[(MANIFEST, bytes)]);
    vec![
        ("a million predecessors", hand.file(&[hand.manifest(1, 1), (SEGMENT, many)]), Code::TooBig),
        ("a frame over its limit", hand.file_of(&packed(&raw_frame(MANIFEST, u32::MAX)), 5), Code::TooBig),
        ("a frame shorter than it says", hand.file_of(&packed(&raw_frame(MANIFEST, 4 << 20)), 5), Code::Schema),
        ("256 MiB that say they are a thousand bytes", hand.file_of(&zeros(256), 1_000), Code::Bomb),
        ("256 MiB that say they are as much as may be", hand.file_of(&zeros(256), 64 << 20), Code::Bomb),
        ("more than may be, as it says", hand.file_of(&zeros(65), 65 << 20), Code::TooBig),
        ("a window over its limit", hand.file_of(&window, 63 << 20), Code::Schema),
        ("not packed", hand.file_of(&vec![0; 7 << 20], 7 << 20), Code::Schema),
        ("no manifest but empty frames", hand.file_of(&zeros(63), 63 << 20), Code::Schema),
        ("a manifest nested too deep", manifest(vec![0x81; 4 << 20]), Code::Schema),
        ("a manifest of more items than there are", manifest(lying(u64::MAX, &[0; 1 << 20])), Code::Schema),
        ("a manifest of 2^62 items", manifest(lying(1 << 62, &[0; 4_000_000])), Code::Schema),
    ]
}

#[test]
fn what_is_refused_whole_has_its_code_takes_bounded_memory_and_changes_nothing() {
    let scene = Scene::new(67);
    for (name, bytes, code) in refused_whole(&scene) {
        let (taken, peak) = scene.take_unchanged(bytes);
        eprintln!("{:5.1} MiB {name}", peak as f64 / 1_048_576.0);
        assert_eq!(taken.code.as_deref(), Some(code.name()), "{name}");
        assert!(peak <= AFTER_TRUST, "{peak} bytes for {name}");
    }
}

/// The bytes of a segment around these items, whatever they are.
fn segment_of(scene: &Scene, from: u64, items: Vec<Value>, signature: Vec<u8>) -> Vec<u8> {
    let bytes = |bytes: &[u8]| Value::Bytes(bytes.to_vec());
    let log = bytes(&scene.hand.log.to_bytes());
    wire::cbor(&Value::Array(vec![log, from.into(), bytes(&[0; 32]), Value::Array(items), Value::Bytes(signature)]))
        .unwrap()
}

/// Segments that are refused, each alone in a bundle of nothing else.
fn refused_segments(scene: &Scene) -> Vec<(&'static str, Vec<u8>, Code)> {
    let one =
        |fields: Vec<FieldHead>, value: &[u8]| scene.segment(Hash32::ZERO, vec![scene.change(1, 1, fields, value)]).0;
    let fields = |n: u32| (100..100 + n).flat_map(field).collect::<Vec<_>>();
    let preds = |n: u32| vec![FieldHead { field: 105, preds: hashes(0..n) }];
    let text = |n: u32| [&[0x7a][..], &n.to_be_bytes(), &vec![b'a'; n as usize]].concat();
    let small = |n: u64| (1..=n).map(|seq| scene.change(seq, seq, field(105), A)).collect::<Vec<_>>();
    let change = Value::Bytes(small(1)[0].to_cbor());
    let far = |seq: u64| scene.segment(Hash32::ZERO, vec![scene.change(seq, 1, field(105), A)]).0;
    let numbers = {
        let many = Value::Array(vec![0.into(); 2_000_000]);
        wire::cbor(&Value::Array(vec![Value::Bytes(vec![]), Value::Map(vec![]), Value::Bytes(vec![]), many])).unwrap()
    };
    let hash = || Value::Bytes(vec![7; 32]);
    vec![
        ("201 fields", one(fields(201), A), Code::TooBig),
        ("as many fields as a change has bytes for", one(fields(40_000), A), Code::TooBig),
        ("65 predecessors", one(preds(65), A), Code::TooBig),
        ("as many predecessors as a change has bytes for", one(preds(30_000), A), Code::TooBig),
        ("a value over its limit", one(field(105), &text(65_536)), Code::TooBig),
        ("a change over its limit", one(fields(17), &text(65_000)), Code::TooBig),
        ("2,001 changes", scene.segment(Hash32::ZERO, small(2_001)).0, Code::TooBig),
        ("a segment over its limit", segment_of(scene, 1, vec![change.clone()], vec![0; 2 << 20]), Code::TooBig),
        ("no change", segment_of(scene, 1, vec![], vec![]), Code::TooBig),
        ("hashes and no change", segment_of(scene, 1, vec![hash(); 2_000], vec![]), Code::Schema),
        ("hashes more than may be", segment_of(scene, 1, vec![hash(); 60_000], vec![]), Code::TooBig),
        ("a place over its limit", far(1 << 48), Code::Schema),
        ("the last place that there is", far(u64::MAX), Code::Schema),
        ("a value nested too deep", one(field(105), &[&[0x81; 60_000][..], &[0]].concat()), Code::Schema),
        ("a value of more items than there are", one(field(105), &lying(1 << 62, &[0; 60_000])), Code::Schema),
        ("more items than there are", lying(u64::MAX, &[0; 2_000_000]), Code::Schema),
        ("numbers for a signature", segment_of(scene, 1, vec![change], numbers), Code::Schema),
    ]
}

#[test]
fn a_segment_over_any_limit_has_its_code_and_changes_nothing() {
    let scene = Scene::new(68);
    for (name, segment, code) in refused_segments(&scene) {
        let (taken, peak) = scene.take_unchanged(scene.hand.file(&[scene.hand.manifest(0, 0), (SEGMENT, segment)]));
        eprintln!("{:5.1} MiB {name}", peak as f64 / 1_048_576.0);
        assert_eq!(taken.report.segments_refused.get(code.name()), Some(&1), "{name}: {:?}", taken.report);
        assert!(peak <= AFTER_TRUST, "{peak} bytes for {name}");
    }
}

/// A manifest of so many logs and photos, with these bytes for a receipt.
fn manifest(scene: &Scene, logs: u64, photos: u32, receipt: Vec<u8>) -> Vec<u8> {
    let bytes = |bytes: &[u8]| Value::Bytes(bytes.to_vec());
    let logs = (1..=logs).map(|n| {
        let log = bytes(&scene.other_log(n).to_bytes());
        Value::Array(vec![log, 1.into(), 1.into(), u64::MAX.into()])
    });
    let photos = hashes(0..photos).into_iter().map(|hash| {
        let part = bytes(&hash.0);
        Value::Array(vec![bytes(&[&[0x1e][..], &hash.0].concat()), 4.into(), Value::Array(vec![part])])
    });
    let (logs, photos) = (Value::Array(logs.collect()), Value::Array(photos.collect()));
    wire::cbor(&Value::Array(vec![0.into(), Value::Text("by hand".into()), Value::Bytes(receipt), logs, photos]))
        .unwrap()
}

/// Manifests as long as a frame may be.
pub(super) fn long_manifests(scene: &Scene) -> Vec<(&'static str, Vec<u8>)> {
    let numbers = {
        let many = Value::Array(vec![0.into(); 4_000_000]);
        wire::cbor(&Value::Array(vec![Value::Bytes(vec![]), Value::Map(vec![]), Value::Bytes(vec![]), many])).unwrap()
    };
    vec![
        ("logs", manifest(scene, 100_000, 0, vec![])),
        ("photos", manifest(scene, 0, 56_000, vec![])),
        ("numbers for a receipt", manifest(scene, 0, 0, numbers)),
    ]
}

#[test]
fn a_manifest_as_long_as_a_frame_may_be_takes_bounded_memory() {
    let scene = Scene::new(69);
    for (name, manifest) in long_manifests(&scene) {
        assert!(manifest.len() > 3 << 20 && manifest.len() <= 4 << 20, "{} bytes of {name}", manifest.len());
        let (taken, peak) = scene.take_unchanged(scene.hand.file(&[(MANIFEST, manifest)]));
        eprintln!("{:5.1} MiB {name}", peak as f64 / 1_048_576.0);
        assert_eq!((taken.code, taken.report.new), (None, 0), "{name}");
        assert!(peak <= AFTER_TRUST, "{peak} bytes for {name}");
    }
}

/// As many segments as fit, none of them closed by a signature.
pub(super) fn unclosed_segments(scene: &Scene) -> Vec<(u8, Vec<u8>)> {
    // Many small fields: what takes most room once it is read.
    let fields: Vec<FieldHead> = (100..300).flat_map(field).collect();
    let segment = |n: u64| {
        let changes = (1..=220).map(|seq| scene.change(seq, seq, fields.clone(), A)).collect();
        Segment::new(&scene.hand.office, scene.other_log(n), Hash32::ZERO, changes).to_cbor()
    };
    std::iter::once(scene.hand.manifest(0, 0)).chain((1..=55).map(|n| (SEGMENT, segment(n)))).collect()
}

#[test]
fn segments_that_no_signature_closes_are_not_piled_up() {
    let scene = Scene::new(70);
    let frames = unclosed_segments(&scene);
    let raw: usize = frames.iter().map(|(_, bytes)| bytes.len()).sum();
    assert!(raw > 50 << 20 && raw < 64 << 20, "{raw} bytes");
    let (taken, peak) = scene.take_unchanged(scene.hand.file(&frames));
    eprintln!("{:5.1} MiB", peak as f64 / 1_048_576.0);
    assert_eq!(taken.report.segments_refused.get("BAD_SIGNATURE"), Some(&55));
    assert!(peak <= AFTER_TRUST, "{peak} bytes");
}

/// Makes the frames of a bundle.
type Made = Box<dyn Fn(&Scene) -> Vec<(u8, Vec<u8>)>>;

/// Bundles that are taken in and hold the most that the limits allow, each with how many changes that is.
pub(super) fn the_most() -> Vec<(&'static str, Made, u64)> {
    let most_fields = |scene: &Scene| {
        let fields: Vec<FieldHead> = (100..300).flat_map(field).collect();
        let absent = |seq: u64| -> Change {
            let change = scene.change(seq, seq, fields.clone(), A);
            let slots = change.slots.iter().map(|_| Slot::Absent(Hash32([7; 32]))).collect();
            Change::new(change.head, slots)
        };
        scene.log_of(1_200, 200, absent)
    };
    let most_changes = |scene: &Scene| scene.log_of(60_000, 2_000, |seq| scene.change(seq, seq, field(105), A));
    let most_preds = |scene: &Scene| {
        let preds = |seq: u64| vec![FieldHead { field: 105, preds: hashes(64 * seq as u32..64 * (seq as u32 + 1)) }];
        scene.log_of(15_700, 800, |seq| scene.change(seq, seq % 40, preds(seq), A))
    };
    vec![
        ("fields", Box::new(most_fields), 1_200),
        ("changes", Box::new(most_changes), 60_000),
        ("predecessors", Box::new(most_preds), 15_700),
    ]
}

#[test]
fn the_most_that_the_limits_allow_takes_bounded_memory() {
    for (name, frames, new) in the_most() {
        let scene = Scene::new(71);
        let frames = frames(&scene);
        let raw: usize = frames.iter().map(|(_, bytes)| bytes.len()).sum();
        let (taken, peak) = scene.take(scene.hand.file(&frames));
        eprintln!("{:5.1} MiB for {} MiB of {name}", peak as f64 / 1_048_576.0, raw >> 20);
        assert_eq!((taken.report.new, taken.code), (new, None), "{name}");
        assert!(peak <= AFTER_TRUST, "{peak} bytes for {name}");
    }
}
