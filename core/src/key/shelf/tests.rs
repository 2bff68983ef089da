//! The rules of the shelf, and what a kill leaves.

use super::*;
use crate::key::file::tests::{key, source};
use jiff::civil::date;
use std::fs;

/// A pack file of this version, signed by the keys with these seeds, naming the keys from now on.
fn file(version: u32, signers: &[u8], next: &[u8]) -> PackFile {
    let signers: Vec<_> = signers.iter().map(|s| key(*s)).collect();
    let next: Vec<Key> = next.iter().map(|s| key(*s).public()).collect();
    PackFile::make(&source(version), date(2026, 1, 3), &signers.iter().collect::<Vec<_>>(), &next).unwrap()
}

fn shelf(folder: &Path) -> Shelf {
    Shelf::open(folder, &[key(1).public(), key(2).public()]).unwrap()
}

fn versions(shelf: &Shelf) -> [Option<u32>; 2] {
    [shelf.current(), shelf.previous()].map(|f| f.unwrap().map(|f| f.manifest.version))
}

fn code(taken: Result<Taken>) -> Code {
    taken.unwrap_err().code().unwrap()
}

#[test]
fn the_current_pack_and_the_one_before_are_kept() {
    let dir = tempfile::tempdir().unwrap();
    let mut shelf = shelf(dir.path());
    assert_eq!(versions(&shelf), [None, None]);
    assert!(!Shelf::is_there(dir.path()) && shelf.pack().is_err());
    for version in 1..=3 {
        assert_eq!(shelf.take(&file(version, &[1], &[])).unwrap(), Taken::Current);
        assert_eq!(shelf.take(&file(version, &[1], &[])).unwrap(), Taken::AlreadyThere);
    }
    assert_eq!(versions(&shelf), [Some(3), Some(2)]);
    assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 3);
    let again = Shelf::open(dir.path(), &[]).unwrap();
    assert_eq!((versions(&again), again.pack().unwrap().version), ([Some(3), Some(2)], 3));
}

#[test]
fn an_older_pack_is_refused_unless_a_person_goes_back() {
    let dir = tempfile::tempdir().unwrap();
    let mut shelf = shelf(dir.path());
    assert!(matches!(shelf.roll_back(), Err(Error::NotFound(_))));
    for version in [4, 5] {
        shelf.take(&file(version, &[1], &[])).unwrap();
    }
    for version in [3, 4] {
        assert_eq!(code(shelf.take(&file(version, &[1], &[]))), Code::StaleReply);
    }
    assert_eq!(shelf.roll_back().unwrap().manifest.version, 4);
    assert_eq!(versions(&shelf), [Some(4), Some(5)]);
    assert_eq!(code(shelf.take(&file(3, &[1], &[]))), Code::StaleReply);
    assert_eq!(shelf.take(&file(5, &[1], &[])).unwrap(), Taken::Current);
    assert_eq!(versions(&shelf), [Some(5), Some(4)]);
}

#[test]
fn one_version_stands_for_one_content() {
    let dir = tempfile::tempdir().unwrap();
    let mut shelf = shelf(dir.path());
    shelf.take(&file(4, &[1], &[])).unwrap();
    let mut changed = source(4);
    changed.causes[0].name = "another name".into();
    let changed = PackFile::make(&changed, date(2026, 1, 3), &[&key(1)], &[]).unwrap();
    assert_eq!(code(shelf.take(&changed)), Code::StaleReply);
    let mut other = source(5);
    other.pack.id = "other".into();
    let other = PackFile::make(&other, date(2026, 1, 3), &[&key(1)], &[]).unwrap();
    assert_eq!(code(shelf.take(&other)), Code::Schema);
}

#[test]
fn an_unknown_key_brings_nothing_and_a_new_shelf_needs_one() {
    let dir = tempfile::tempdir().unwrap();
    assert_eq!(Shelf::open(dir.path(), &[]).unwrap_err().code(), Some(Code::Schema));
    let mut shelf = shelf(dir.path());
    assert_eq!(code(shelf.take(&file(1, &[9], &[]))), Code::UnknownDevice);
    assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 0);
    shelf.take(&file(1, &[2], &[])).unwrap();
    // A shelf that is there has its own keys.
    let mut again = Shelf::open(dir.path(), &[key(9).public()]).unwrap();
    assert_eq!(code(again.take(&file(2, &[9], &[]))), Code::UnknownDevice);
}

#[test]
fn the_number_a_leaked_key_has_reached_does_not_block_its_replacement() {
    let dir = tempfile::tempdir().unwrap();
    let mut shelf = shelf(dir.path());
    shelf.take(&file(5, &[1], &[])).unwrap();
    shelf.take(&file(99, &[1], &[])).unwrap();
    // The office goes on with a new key, and keeps its spare one.
    assert_eq!(shelf.take(&file(6, &[2, 3], &[2, 3])).unwrap(), Taken::Current);
    assert_eq!(versions(&shelf), [Some(6), Some(99)]);
    assert_eq!(shelf.trusted(), [2, 3].map(|k| hex::encode(key(k).public())));
    assert_eq!(code(shelf.take(&file(100, &[1], &[]))), Code::UnknownDevice);
    assert_eq!(shelf.take(&file(7, &[3], &[])).unwrap(), Taken::Current);
    assert_eq!(code(shelf.take(&file(6, &[3], &[]))), Code::StaleReply);
}

#[test]
fn a_key_is_replaced_by_a_manifest_of_both() {
    let dir = tempfile::tempdir().unwrap();
    let mut shelf = shelf(dir.path());
    shelf.take(&file(99, &[1], &[])).unwrap();
    assert_eq!(code(shelf.take(&file(100, &[1], &[3]))), Code::Schema);
    assert_eq!(code(shelf.take(&file(100, &[3], &[3]))), Code::UnknownDevice);
    assert_eq!(shelf.take(&file(6, &[1, 3], &[3])).unwrap(), Taken::Current);
    assert_eq!(shelf.trusted(), [hex::encode(key(3).public())]);
    for old in [1, 2] {
        assert_eq!(code(shelf.take(&file(7, &[old], &[]))), Code::UnknownDevice);
    }
    // Going back changes no key.
    shelf.roll_back().unwrap();
    assert_eq!(code(shelf.take(&file(101, &[1], &[]))), Code::UnknownDevice);
    assert_eq!(shelf.take(&file(7, &[3], &[])).unwrap(), Taken::Current);
    // The file that changed the keys, taken again later, changes none.
    shelf.take(&file(8, &[3, 4], &[4])).unwrap();
    assert_eq!(code(shelf.take(&file(6, &[1, 3], &[3]))), Code::UnknownDevice);
}

#[test]
fn whatever_a_kill_leaves_the_shelf_is_as_before_or_after() {
    let dir = tempfile::tempdir().unwrap();
    shelf(dir.path()).take(&file(1, &[1], &[])).unwrap();
    let new = file(2, &[1], &[]);
    let bytes = new.bytes();
    let name = new.hash().to_hex();
    // The steps of taking it, stopped in and after each: part of the file, the file, part of the list.
    let states: [(&str, &[u8]); 5] =
        [("part", &[]), ("part", &bytes[..bytes.len() / 2]), ("part", bytes), ("pack", bytes), ("pack", &bytes[..10])];
    for (extension, left) in states {
        fs::write(dir.path().join(format!("{name}.{extension}")), left).unwrap();
        fs::write(dir.path().join("shelf.part"), b"{\"trus").unwrap();
        let mut shelf = Shelf::open(dir.path(), &[]).unwrap();
        assert_eq!(versions(&shelf), [Some(1), None]);
        assert_eq!(shelf.take(&new).unwrap(), Taken::Current);
        assert_eq!(versions(&shelf), [Some(2), Some(1)]);
        assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 3, "nothing is left over");
        fs::remove_dir_all(dir.path()).unwrap();
        tests::shelf(dir.path()).take(&file(1, &[1], &[])).unwrap();
    }
}

#[test]
fn a_damaged_pack_is_noticed_and_the_one_before_still_works() {
    let dir = tempfile::tempdir().unwrap();
    let mut shelf = shelf(dir.path());
    for version in [1, 2] {
        shelf.take(&file(version, &[1], &[])).unwrap();
    }
    let place = dir.path().join(format!("{}.pack", file(2, &[1], &[]).hash().to_hex()));
    fs::write(&place, file(3, &[9], &[]).bytes()).unwrap();
    assert_eq!(shelf.pack().unwrap_err().code(), Some(Code::PartHash));
    assert_eq!(shelf.roll_back().unwrap().manifest.version, 1);
    assert_eq!(shelf.pack().unwrap().version, 1);
}

#[test]
fn a_list_that_names_anything_but_hashes_is_refused() {
    let dir = tempfile::tempdir().unwrap();
    shelf(dir.path()).take(&file(1, &[1], &[])).unwrap();
    let place = dir.path().join("shelf.json");
    let text = fs::read_to_string(&place).unwrap();
    let hash = file(1, &[1], &[]).hash().to_hex();
    for wrong in ["../../etc/passwd", ""] {
        fs::write(&place, text.replace(&hash, wrong)).unwrap();
        assert_eq!(Shelf::open(dir.path(), &[]).unwrap_err().code(), Some(Code::Schema));
    }
    for end in 0..text.len() {
        fs::write(&place, &text[..end]).unwrap();
        assert!(Shelf::open(dir.path(), &[key(1).public()]).is_err(), "first {end} bytes");
    }
}
