//! Photos in a bundle: those that a record names; of several parts in any order, with one missing, changed or twice; accepted whole or
//! not at all.
#![allow(clippy::unwrap_used, reason = "a test")]

use std::fs;

use dooryard_core::{ids::BlobId, job::Job};
use dooryard_tests::{Yard, add_photo, wire::Outer};
use rand::{RngCore, SeedableRng};
use rand_chacha::ChaCha8Rng;
use serde_json::json;

#[test]
fn a_photo_whose_record_was_refused_is_handed_over_once_one_names_it() {
    let yard = Yard::new(62, 1).unwrap();
    let phone = &yard.phones[0];
    let file = yard.file("bark.png");
    image::RgbImage::from_fn(64, 48, |x, y| image::Rgb([x as u8, y as u8, 9])).save(&file).unwrap();
    let unknown = serde_json::Map::from_iter([("no_such_field".to_owned(), json!(1))]);
    assert!(phone.add_photo(&file, &unknown).is_err());
    assert_eq!(phone.blobs_to_offer().unwrap().len(), 0);
    add_photo(&yard, phone).unwrap();
    let handed = |name: &str| phone.make_bundle(&yard.file(name), &Job::silent()).unwrap().photos;
    assert_eq!(handed("other.yard"), 2, "another photo and its thumbnail go");
    phone.add_photo(&file, &serde_json::Map::new()).unwrap();
    yard.take_in(&yard.file("other.yard")).unwrap();
    yard.reply(phone).unwrap();
    assert_eq!(handed("named.yard"), 2);
}

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
