//! A photo of several parts: in any order, with one missing, changed or twice; accepted whole or not at all.
#![allow(clippy::unwrap_used, reason = "a test")]

use std::fs;

use dooryard_core::ids::BlobId;
use dooryard_tests::{Yard, wire::Outer};
use rand::{RngCore, SeedableRng};
use rand_chacha::ChaCha8Rng;

#[test]
fn a_photo_of_two_parts_comes_whole_in_any_order_and_waits_for_what_is_missing() {
    let yard = Yard::new(61, 1).unwrap();
    // Noise does not get smaller: five million bytes need two parts.
    let mut noise = vec![0; 1_300 * 1_300 * 3];
    ChaCha8Rng::seed_from_u64(61).fill_bytes(&mut noise);
    let picture = yard.file("noise.png");
    image::RgbImage::from_raw(1_300, 1_300, noise).unwrap().save(&picture).unwrap();
    yard.phones[0].add_photo(&picture, &serde_json::Map::new()).unwrap();
    let whole = Outer::read(&fs::read(yard.bundle(&yard.phones[0], "whole.yard").unwrap()).unwrap()).unwrap();
    assert_eq!(whole.parts.len(), 4, "text, thumbnail, two parts");
    let take = |order: &[usize]| {
        let parts = order.iter().map(|n| whole.parts[*n].clone()).collect();
        let file = yard.file("some.yard");
        fs::write(&file, Outer { header: whole.header.clone(), parts }.write()).unwrap();
        let report = yard.take_in(&file).unwrap().report;
        (report.photos, report.photos_missing)
    };
    let image = BlobId::of(&fs::read(&picture).unwrap());
    let office = yard.office.notebook();
    assert_eq!(take(&[0, 3, 1]), (1, 1), "the thumbnail, and half the photo");
    assert_eq!(take(&[0, 2]), (0, 1), "halves of two files are not put together");
    assert!(!office.holds_blob(&image).unwrap());
    assert_eq!(fs::read_dir(yard.office.folder().join("scratch")).unwrap().count(), 0);
    assert_eq!(yard.reply(&yard.phones[0]).unwrap().photos_received, 1, "no receipt for half a photo");
    assert_eq!(take(&[0, 3, 3, 2, 1]), (1, 0));
    assert_eq!(fs::read(office.blob_path(&image)).unwrap(), fs::read(&picture).unwrap());
    assert_eq!(take(&[0, 1, 2, 3]), (0, 0), "again brings nothing");
    assert_eq!(yard.reply(&yard.phones[0]).unwrap().photos_received, 2);
}
