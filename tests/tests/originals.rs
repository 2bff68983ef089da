//! Bundles as they came: kept unchanged, read in again, gone with what is erased.
#![allow(clippy::unwrap_used, reason = "a test")]

use std::{
    fs::{self, File},
    time::{Duration, SystemTime},
};

use dooryard_core::{
    Error,
    clock::Env,
    ids::{BlobId, RecordId},
    notebook::Query,
    record::Kind,
};
use dooryard_office::desk::Office;
use dooryard_tests::{Yard, add_photo, files_with, save};
use serde_json::json;

struct Two {
    yard: Yard,
    inquiries: [RecordId; 2],
    bytes: [Vec<u8>; 2],
    ids: [String; 2],
}

/// Two phones, each with an inquiry, the second with a photo; the bundle of each, and what became of it.
fn two() -> Two {
    let yard = Yard::new(411, 2).unwrap();
    let inquiries =
        [0, 1].map(|at: usize| save(&yard.phones[at], Kind::Inquiry, json!({"question": "heron"})).unwrap());
    add_photo(&yard, &yard.phones[1]).unwrap();
    let files = [0, 1].map(|at: usize| yard.bundle(&yard.phones[at], &format!("{at}.yard")).unwrap());
    let bytes = [0, 1].map(|at: usize| fs::read(&files[at]).unwrap());
    let ids = files.map(|file| yard.take_in(&file).unwrap().original.expect("kept"));
    Two { yard, inquiries, bytes, ids }
}

#[test]
fn a_bundle_is_kept_unchanged_once_and_can_be_read_in_again() {
    let Two { yard, bytes, ids, .. } = two();
    for (id, bytes) in ids.iter().zip(&bytes) {
        assert_eq!(fs::read(yard.office.original(id).unwrap()).unwrap(), *bytes);
    }
    let kept = yard.office.originals_kept().unwrap();
    assert_eq!(kept, (2, bytes.iter().map(|b| b.len() as u64).sum()));
    let (digest, file) = (yard.office.notebook().digest().unwrap(), yard.office.original(&ids[0]).unwrap());
    let again = yard.take_in(&file).unwrap();
    assert_eq!((again.report.new, again.original.as_ref()), (0, Some(&ids[0])));
    assert_eq!(yard.office.notebook().digest().unwrap(), digest);
    assert_eq!(yard.office.originals_kept().unwrap(), kept);
    for no_hash in ["", "../office.key", &"a".repeat(64), &ids[0][..63]] {
        assert!(matches!(yard.office.original(no_hash), Err(Error::NotFound(_))), "{no_hash}");
    }
}

#[test]
fn one_that_names_what_is_erased_goes_and_does_not_come_back() {
    let Two { yard, inquiries, bytes, ids } = two();
    let needle = &bytes[0][bytes[0].len() / 2..][..40];
    let holds = || files_with(&yard.office.folder().join("originals"), needle).unwrap().len();
    assert_eq!(holds(), 1);
    yard.office.erase(inquiries[0]).unwrap();
    assert_eq!(holds(), 0);
    assert!(yard.office.original(&ids[0]).is_err() && yard.office.original(&ids[1]).is_ok(), "the other one stays");
    let replayed = yard.take_in(&yard.file("0.yard")).unwrap();
    assert_eq!(replayed.original, None);
    assert_eq!(holds(), 0);
    // Of one field alone, too.
    yard.office.erase_fields(inquiries[1], &["question"]).unwrap();
    assert_eq!(yard.office.originals_kept().unwrap().0, 0);
}

#[test]
fn one_that_brings_only_the_bytes_of_a_photo_goes_with_the_photo() {
    let yard = Yard::new(415, 1).unwrap();
    let phone = &yard.phones[0];
    let photo: BlobId = add_photo(&yard, phone).unwrap();
    let whole = yard.bundle(phone, "whole.yard").unwrap();
    let bytes = fs::read(&whole).unwrap();
    // The text comes, the photo does not; then the photo without its text.
    let cut = yard.file("cut.yard");
    fs::write(&cut, &bytes[..bytes.len() * 2 / 3]).unwrap();
    let first = yard.take_in(&cut).unwrap();
    assert!(first.report.new > 0 && first.report.photos_missing > 0, "{first:?}");
    yard.reply(phone).unwrap();
    let second = yard.take_in(&yard.bundle(phone, "photo.yard").unwrap()).unwrap();
    assert!(second.report.new == 0 && second.report.photos > 0, "{second:?}");
    let id = second.original.expect("kept");
    let book = yard.office.notebook();
    let photos = book.list(&Query { kind: Some(Kind::Photo), ..Query::default() }).unwrap().rows;
    assert_eq!(photos[0].text("image"), Some(photo.to_string().as_str()));
    yard.office.erase(photos[0].id).unwrap();
    assert!(yard.office.original(&id).is_err());
    assert_eq!(yard.office.originals_kept().unwrap().0, 0);
}

#[test]
fn after_an_erasure_that_was_stopped_half_way_none_is_kept() {
    let Two { mut yard, inquiries, ids, .. } = two();
    // As a program leaves it that is stopped between the notebook and the originals.
    let aside = yard.dir.path().join("aside.yard");
    fs::copy(yard.office.original(&ids[0]).unwrap(), &aside).unwrap();
    let originals = yard.office.folder().join("originals");
    let heeded = originals.join("heeded");
    let before = fs::read_to_string(&heeded).unwrap();
    yard.office.erase(inquiries[0]).unwrap();
    assert_ne!(fs::read_to_string(&heeded).unwrap(), before);
    fs::write(&heeded, before).unwrap();
    fs::copy(&aside, originals.join(format!("{}.yard", ids[0]))).unwrap();
    let folder = yard.office.folder().to_owned();
    yard.office = Office::open(&folder, Env::seeded(412, &yard.clock)).unwrap();
    assert_eq!(yard.office.originals_kept().unwrap(), (0, 0));
    // Without any new erasure they stay over a start.
    save(&yard.phones[1], Kind::Inquiry, json!({"question": "crane"})).unwrap();
    let file = yard.bundle(&yard.phones[1], "later.yard").unwrap();
    let kept = yard.take_in(&file).unwrap().original.expect("kept");
    yard.office = Office::open(&folder, Env::seeded(413, &yard.clock)).unwrap();
    assert!(yard.office.original(&kept).is_ok());
}

#[test]
fn one_is_kept_for_thirty_days_after_it_last_came() {
    let Two { mut yard, bytes, ids, .. } = two();
    let age = |office: &Office, id: &str, days: u64| {
        let file = File::options().write(true).open(office.original(id).unwrap()).unwrap();
        file.set_modified(SystemTime::now() - Duration::from_hours(24 * days)).unwrap();
    };
    let folder = yard.office.folder().to_owned();
    let again = |seed: u64, yard: &Yard| Office::open(&folder, Env::seeded(seed, &yard.clock)).unwrap();
    let holds = |at: usize| files_with(&folder, &bytes[at][bytes[at].len() / 2..][..40]).unwrap().len();
    age(&yard.office, &ids[0], 31);
    age(&yard.office, &ids[1], 29);
    assert_eq!((holds(0), holds(1)), (1, 1));
    yard.office = again(421, &yard);
    assert_eq!((holds(0), holds(1)), (0, 1), "at an opening");
    assert!(yard.office.original(&ids[0]).is_err());
    // It comes once more: it is kept anew.
    assert_eq!(yard.take_in(&yard.file("1.yard")).unwrap().original.as_ref(), Some(&ids[1]));
    let kept = fs::metadata(yard.office.original(&ids[1]).unwrap()).unwrap().modified().unwrap();
    assert!(kept.elapsed().unwrap() < Duration::from_hours(1));
    age(&yard.office, &ids[1], 31);
    yard.take_in(&yard.file("0.yard")).unwrap();
    assert_eq!((holds(0), holds(1)), (1, 0), "when another one is taken in");
}
