//! Photos made to hurt: more parts than may be, parts that leave holes, files and pictures over their limits.

use ciborium::Value;
use dooryard_core::{
    Error,
    ids::{BlobId, Hash32},
    photo::{self, PhotoProblem},
};
use dooryard_office::desk::Outcome;
use dooryard_tests::wire::{self, Outer, PHOTO};

use super::{AFTER_TRUST, MANIFEST, SEGMENT, Scene, field, peak};

/// Plain bytes of a full part.
const PART: usize = 4 << 20;

/// A photo as a manifest names it: its address, the size that it says, the hash of each part.
struct Named {
    id: BlobId,
    size: u64,
    parts: Vec<Hash32>,
}

/// A bundle of one change and these photos, with these parts: each a photo's address, an offset and bytes.
fn bundle(scene: &Scene, photos: &[Named], parts: &[(BlobId, u64, &[u8])]) -> Vec<u8> {
    let bytes = |bytes: &[u8]| Value::Bytes(bytes.to_vec());
    let named = photos.iter().map(|photo| {
        let parts = photo.parts.iter().map(|hash| bytes(&hash.0)).collect();
        Value::Array(vec![bytes(&photo.id.0), photo.size.into(), Value::Array(parts)])
    });
    let manifest = Value::Array(vec![
        0.into(),
        Value::Text("by hand".into()),
        bytes(&[]),
        Value::Array(vec![]),
        Value::Array(named.collect()),
    ]);
    let (segment, _) = scene.segment(Hash32::ZERO, vec![scene.change(1, 1, field(105), b"\x61a")]);
    let mut file =
        Outer::read(&scene.hand.file(&[(MANIFEST, wire::cbor(&manifest).unwrap()), (SEGMENT, segment)])).unwrap();
    for (id, offset, bytes) in parts {
        let plain = [&id.0[..], &offset.to_be_bytes(), bytes].concat();
        file.parts.push((PHOTO, wire::seal(&plain, &[&scene.hand.recipient]).unwrap()));
    }
    file.write()
}

/// A record that names the photo: one that nothing names would not be looked at.
fn name(scene: &Scene, id: &BlobId) {
    let fields = serde_json::json!({"image": id.to_hex()});
    dooryard_tests::save(scene.yard.office.notebook(), dooryard_core::record::Kind::Photo, fields).unwrap();
}

#[test]
fn parts_that_leave_holes_between_them_never_become_a_file_of_holes() {
    let scene = Scene::new(72);
    // Each part is one byte at the place of 4 MiB: few small parts would fill a disk.
    let holes = 8;
    let mut whole = vec![0; (holes - 1) * PART + 1];
    (0..holes).for_each(|n| whole[n * PART] = 7);
    assert!(whole.len() < photo::MAX_BYTES);
    let id = BlobId::of(&whole);
    let parts: Vec<(BlobId, u64, &[u8])> = (0..holes).map(|n| (id, (n * PART) as u64, &[7][..])).collect();
    for size in [whole.len() as u64, holes as u64, u64::MAX] {
        let named = Named { id, size, parts: vec![Hash32::of(&[7]); holes] };
        name(&scene, &id);
        let (taken, peak) = scene.take(bundle(&scene, &[named], &parts));
        assert_eq!((taken.outcome, taken.report.photos), (Outcome::TakenIn, 0), "{size}");
        assert!(taken.report.parts_damaged > 0, "{size}");
        assert!(!scene.yard.office.notebook().holds_blob(&id).unwrap(), "{size}");
        assert!(peak <= AFTER_TRUST, "{peak}");
        let left = std::fs::read_dir(scene.yard.office.folder().join("scratch")).unwrap().count();
        assert_eq!(left, 0);
    }
}

#[test]
fn a_photo_over_32_mib_is_not_taken_and_not_waited_for() {
    let scene = Scene::new(73);
    let whole = vec![1; photo::MAX_BYTES + 1];
    let id = BlobId::of(&whole);
    let named = Named { id, size: whole.len() as u64, parts: whole.chunks(PART).map(Hash32::of).collect() };
    let parts: Vec<_> = whole.chunks(PART).enumerate().map(|(n, bytes)| (id, (n * PART) as u64, bytes)).collect();
    let file = bundle(&scene, &[named], &parts);
    let (taken, peak) = scene.take(file);
    assert_eq!((taken.report.new, taken.report.photos, taken.report.parts_damaged), (1, 0, 1), "{:?}", taken.report);
    assert_eq!(scene.yard.office.notebook().blobs_awaited().unwrap(), []);
    assert!(peak <= AFTER_TRUST, "{peak}");
    // One byte less is a photo.
    let id = BlobId::of(&whole[1..]);
    let named = Named { id, size: whole.len() as u64 - 1, parts: whole[1..].chunks(PART).map(Hash32::of).collect() };
    let parts: Vec<_> = whole[1..].chunks(PART).enumerate().map(|(n, bytes)| (id, (n * PART) as u64, bytes)).collect();
    name(&scene, &id);
    let (taken, peak) = scene.take(bundle(&scene, &[named], &parts));
    assert_eq!((taken.report.photos, taken.report.parts_damaged), (1, 0));
    assert!(peak <= AFTER_TRUST, "{peak}");
}

#[test]
fn text_is_taken_in_whatever_the_parts_behind_it_are() {
    let scene = Scene::new(74);
    let honest = Outer::read(&bundle(&scene, &[], &[])).unwrap();
    let with = |more: Vec<(u8, Vec<u8>)>| {
        let parts = honest.parts.iter().cloned().chain(more).collect();
        Outer { parts, ..honest.clone() }.write()
    };
    for (name, bytes) in [
        ("more parts than may be", with(vec![(PHOTO, vec![0]); 10_000])),
        ("a part over its limit", with(vec![(PHOTO, vec![0; PART + (64 << 10) + 1])])),
    ] {
        let scene_before = scene.yard.office.notebook().digest().unwrap();
        let (taken, peak) = scene.take(bytes);
        assert_eq!((taken.outcome, taken.code), (Outcome::TakenIn, None), "{name}");
        assert!(taken.report.new + taken.report.repeated == 1 && taken.report.cut, "{name}: {:?}", taken.report);
        assert!(taken.report.parts_damaged > 0, "{name}");
        assert!(peak <= AFTER_TRUST, "{peak} bytes for {name}");
        assert!(taken.report.new == 1 || scene.yard.office.notebook().digest().unwrap() == scene_before);
    }
}

#[test]
fn a_small_file_of_a_huge_picture_is_kept_as_bytes_and_never_unpacked() {
    let scene = Scene::new(75);
    let mut png = std::io::Cursor::new(Vec::new());
    image::GrayImage::new(8_000, 5_200).write_to(&mut png, image::ImageFormat::Png).unwrap();
    let png = png.into_inner();
    assert!(png.len() < 1 << 20 && 8_000 * 5_200 > photo::MAX_PIXELS, "{} bytes", png.len());
    let id = BlobId::of(&png);
    let named = Named { id, size: png.len() as u64, parts: vec![Hash32::of(&png)] };
    name(&scene, &id);
    let (taken, peak_in) = scene.take(bundle(&scene, &[named], &[(id, 0, &png)]));
    assert_eq!(taken.report.photos, 1);
    assert!(peak_in < 8 << 20, "{peak_in} bytes to take it in");
    for look in [photo::thumbnail, |bytes: &[u8]| photo::copy(bytes, 2_000)] {
        let (refused, peak) = peak(|| look(&png));
        assert!(matches!(refused, Err(Error::Photo(PhotoProblem::TooManyPixels))));
        assert!(peak < 1 << 20, "{peak} bytes to refuse it");
    }
}
