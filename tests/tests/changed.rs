//! What changed since a turn: in order, whole, one with what is shown, and never mistaken after a restore.
#![allow(clippy::unwrap_used, reason = "a test")]

use std::collections::{BTreeMap, BTreeSet};

use dooryard_core::{
    clock::Env,
    ids::RecordId,
    job::Job,
    notebook::{Changed, Notebook, Query},
    record::Kind,
};
use dooryard_tests::{MAY_1, Yard, edit, save};
use rusqlite::Connection;
use serde_json::json;

const ALL: usize = 1_000_000;

fn ids(changed: &Changed) -> Vec<RecordId> {
    changed.records.iter().map(|(id, ..)| *id).collect()
}

fn listed(notebook: &Notebook) -> BTreeSet<RecordId> {
    let query = Query { with_hidden: true, limit: ALL, ..Query::default() };
    notebook.list(&query).unwrap().rows.into_iter().map(|row| row.id).collect()
}

#[test]
fn each_change_takes_the_next_turn_and_pages_lose_nothing() {
    let yard = Yard::new(201, 1).unwrap();
    let phone = &yard.phones[0];
    let begin = phone.changed_since(0, ALL).unwrap();
    assert_eq!((begin.turn, begin.newest, begin.records.len()), (0, 0, 0));
    let made: Vec<RecordId> =
        (0..7).map(|n| save(phone, Kind::Inquiry, json!({"summary": format!("number {n}")})).unwrap()).collect();
    let all = phone.changed_since(0, ALL).unwrap();
    assert_eq!(ids(&all), made);
    assert_eq!(all.turn, all.newest);
    // An edit moves a record to the end; a deletion too, and it is not gone: it can come back.
    edit(phone, Kind::Inquiry, made[2], json!({"summary": "another"})).unwrap();
    phone.delete(made[0]).unwrap();
    let since = phone.changed_since(all.turn, ALL).unwrap();
    assert_eq!(since.records, [(made[2], Kind::Inquiry, false), (made[0], Kind::Inquiry, false)]);
    let (mut turn, mut paged) = (0, Vec::new());
    loop {
        let page = phone.changed_since(turn, 2).unwrap();
        if page.records.is_empty() {
            assert_eq!(page.turn, turn);
            break;
        }
        assert!(page.turn > turn && page.records.len() <= 2);
        turn = page.turn;
        paged.extend(ids(&page));
    }
    assert_eq!(paged, ids(&phone.changed_since(0, ALL).unwrap()));
    assert_eq!(BTreeSet::from_iter(paged), listed(phone));
}

#[test]
fn what_an_office_takes_in_is_told_and_what_vanishes_leaves_its_id() {
    let yard = Yard::new(202, 1).unwrap();
    let (phone, office) = (&yard.phones[0], yard.office.notebook());
    let plant = save(phone, Kind::Plant, json!({"host": "oak"})).unwrap();
    save(phone, Kind::Plant, json!({"host": "elm"})).unwrap();
    yard.take_in(&yard.bundle(phone, "1.yard").unwrap()).unwrap();
    let taken = office.changed_since(0, ALL).unwrap();
    assert_eq!(BTreeSet::from_iter(ids(&taken)), listed(office));
    let change = office.history(plant).unwrap()[0].change;
    yard.office.refuse(plant, change).unwrap();
    let since = office.changed_since(taken.turn, ALL).unwrap();
    assert_eq!(since.records, [(plant, Kind::Plant, true)]);
    assert!(!listed(office).contains(&plant));
    yard.office.admit(plant, change).unwrap();
    let again = office.changed_since(since.turn, ALL).unwrap();
    assert_eq!(again.records, [(plant, Kind::Plant, false)]);
    // All of it anew, in turns that nobody had before.
    office.rebuild().unwrap();
    let rebuilt = office.changed_since(again.turn, ALL).unwrap();
    assert_eq!(BTreeSet::from_iter(ids(&rebuilt)), listed(office));
}

#[test]
fn a_turn_and_what_is_shown_come_together_or_not_at_all() {
    let yard = Yard::new(203, 1).unwrap();
    let phone = &yard.phones[0];
    let plant = save(phone, Kind::Plant, json!({"host": "oak"})).unwrap();
    let before = phone.changed_since(0, ALL).unwrap();
    // Stopped at the last row that a save writes: nothing of it is there.
    let beside = Connection::open(yard.folder(1).join("notebook.db")).unwrap();
    for (table, when) in [("turned", "INSERT"), ("words", "INSERT"), ("shown", "UPDATE")] {
        // The text index is made of plain tables.
        let table = if table == "words" { "words_content" } else { table };
        beside
            .execute_batch(&format!(
                "CREATE TRIGGER stop BEFORE {when} ON {table} BEGIN SELECT RAISE(ABORT, 'stopped'); END"
            ))
            .unwrap();
        assert!(edit(phone, Kind::Plant, plant, json!({"host": "elm"})).is_err(), "{table}");
        beside.execute_batch("DROP TRIGGER stop").unwrap();
        assert_eq!(phone.changed_since(0, ALL).unwrap(), before, "{table}");
        assert_eq!(phone.list(&Query::default()).unwrap().rows[0].text("host"), Some("oak"), "{table}");
    }
    edit(phone, Kind::Plant, plant, json!({"host": "elm"})).unwrap();
    assert_eq!(ids(&phone.changed_since(before.turn, ALL).unwrap()), [plant]);
}

#[test]
fn a_restored_database_is_another_one() {
    let mut yard = Yard::new(204, 1).unwrap();
    save(&yard.phones[0], Kind::Plant, json!({"host": "oak"})).unwrap();
    let backup = yard.file("backup");
    yard.phones[0].back_up(&backup, &Job::silent()).unwrap();
    let lost = save(&yard.phones[0], Kind::Plant, json!({"host": "elm"})).unwrap();
    let before = yard.phones[0].changed_since(0, ALL).unwrap();
    let folder = yard.folder(1);
    // Opened again it is the same.
    yard.phones.clear();
    let env = Env::seeded(205, &dooryard_core::clock::SetClock::at(MAY_1));
    assert_eq!(Notebook::open(&folder, env.clone()).unwrap().changed_since(0, ALL).unwrap(), before);
    for ending in ["", "-wal", "-shm"] {
        let _ = std::fs::remove_file(folder.join(format!("notebook.db{ending}")));
    }
    let restored = Notebook::restore_backup(&folder, &backup, env, &Job::silent()).unwrap();
    let after = restored.changed_since(0, ALL).unwrap();
    assert_ne!(after.database, before.database);
    assert!(!ids(&after).contains(&lost) && ids(&before).contains(&lost));
}

#[test]
fn an_erasure_counts_and_takes_the_words_by_which_a_record_was_found() {
    let yard = Yard::new(206, 1).unwrap();
    let phone = &yard.phones[0];
    let contact = save(phone, Kind::Contact, json!({"note": "ring at the cobalt gate"})).unwrap();
    yard.take_in(&yard.bundle(phone, "1.yard").unwrap()).unwrap();
    let office = yard.office.notebook();
    let before = office.changed_since(0, ALL).unwrap();
    assert!(office.words_of(contact).unwrap().contains("cobalt"));
    yard.office.erase(contact).unwrap();
    let after = office.changed_since(before.turn, ALL).unwrap();
    assert!(after.erased > before.erased);
    assert_eq!(ids(&after), [contact]);
    assert_eq!(office.words_of(contact).unwrap(), "");
    yard.office.erase(contact).unwrap();
    assert!(office.changed_since(0, ALL).unwrap().erased > after.erased, "each one counts");
}

#[test]
fn rows_are_found_by_id_and_by_what_they_refer_to() {
    let yard = Yard::new(207, 1).unwrap();
    let phone = &yard.phones[0];
    let site = save(phone, Kind::Site, json!({"township": "Sedge"})).unwrap();
    let plants: Vec<_> = (0..3).map(|_| save(phone, Kind::Plant, json!({"site": site.to_string()})).unwrap()).collect();
    phone.delete(plants[1]).unwrap();
    let found = phone.rows_referring(&[site]).unwrap();
    let hidden: BTreeMap<RecordId, bool> = found.iter().map(|row| (row.id, row.hidden)).collect();
    assert_eq!(found.len(), 3);
    assert_eq!(hidden, BTreeMap::from([(plants[0], false), (plants[1], true), (plants[2], false)]));
    let by_id = phone.rows_of(&[plants[2], site, plants[2], RecordId([9; 16])]).unwrap();
    assert_eq!(by_id.len(), 2);
    assert_eq!(BTreeSet::from_iter(by_id.iter().map(|row| row.id)), BTreeSet::from([site, plants[2]]));
    assert!(phone.rows_of(&[]).unwrap().is_empty());
}
