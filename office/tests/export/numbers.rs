//! Public numbers of records.

use dooryard_core::{clock::Env, job::Job};
use dooryard_office::{
    desk::{LedgerChoice, Office, recovery_key},
    export::{Audience, Table, write_csv},
};

use crate::yard::{County, all_for};

/// The first column of the public table of inquiries.
fn numbers(county: &County) -> Vec<String> {
    let text = county.export("n.csv", &all_for(Audience::Public), |scope, out| {
        write_csv(scope, out, Some(Table::Inquiries), false).unwrap();
        std::fs::read_to_string(out).unwrap()
    });
    csv::Reader::from_reader(text.as_bytes()).records().map(|r| r.unwrap()[0].to_owned()).collect()
}

#[test]
fn public_numbers_outlive_a_restore_and_differ_between_offices() {
    let mut county = County::new();
    let before = numbers(&county);
    assert!(before.len() == 2 && before[0] != before[1]);
    assert_eq!(numbers(&county), before, "the same in every export");
    let (backup, key, place) = ["b.backup", "recovery.key", "restored"].map(|name| county.yard.file(name)).into();
    county.yard.office.back_up(&backup, true, &Job::silent()).unwrap();
    std::fs::write(&key, county.yard.office.recovery_key().unwrap()).unwrap();
    let key = recovery_key(&key).unwrap();
    let env = || Env::seeded(5, &county.yard.clock);
    Office::restore(&backup, &place, &key, &LedgerChoice::Beside, None, env(), &Job::silent()).unwrap();
    let restored = Office::open(&place, env()).unwrap();
    assert_eq!(restored.public_id_key().unwrap(), county.yard.office.public_id_key().unwrap());
    county.yard.office = restored;
    assert_eq!(numbers(&county), before);
    let other = dooryard_tests::Yard::new(12, 0).unwrap();
    assert_ne!(other.office.public_id_key().unwrap(), county.yard.office.public_id_key().unwrap());
}
