//! One's own data: out, read by other programs, into another notebook; bad files change nothing.
#![allow(clippy::unwrap_used, reason = "a test")]

use std::{
    fs,
    io::{Read, Write},
    path::{Path, PathBuf},
};

use dooryard_core::{
    Code,
    ids::RecordId,
    job::Job,
    notebook::{Notebook, Query, Record},
    own_data::{Imported, export, import},
    record::Kind,
};
use dooryard_tests::{Yard, add_photo, edit, save};
use serde_json::json;
use zip::{ZipArchive, ZipWriter, write::SimpleFileOptions};

fn quiet() -> Job {
    Job::silent()
}

fn shown(notebook: &Notebook, id: RecordId) -> Vec<(String, Option<serde_json::Value>)> {
    let record: Record = notebook.show(id).unwrap();
    record.fields.into_iter().map(|f| (f.name, f.shown.value)).collect()
}

fn every(notebook: &Notebook) -> Vec<RecordId> {
    let query = Query { with_hidden: true, ..Query::default() };
    let mut ids: Vec<_> = notebook.list(&query).unwrap().rows.into_iter().map(|row| row.id).collect();
    ids.sort();
    ids
}

/// A phone with records of several kinds, a photo, an edit, a deletion, and an export of it.
fn exported(yard: &Yard) -> PathBuf {
    let phone = &yard.phones[0];
    let site =
        save(phone, Kind::Site, json!({"township": "Sedge", "address": "=HYPERLINK(\"x\")", "hazards": ["dog"]}))
            .unwrap();
    let inquiry =
        save(phone, Kind::Inquiry, json!({"channel": "yard", "question": "¿Por qué?", "site": site.to_string()}))
            .unwrap();
    edit(phone, Kind::Inquiry, inquiry, json!({"question": "¿Por qué, otra vez?"})).unwrap();
    save(phone, Kind::Contact, json!({"reach": {"name": "Ana", "phone": "555-0142"}})).unwrap();
    add_photo(yard, phone).unwrap();
    let gone = save(phone, Kind::Plant, json!({"host": "oak"})).unwrap();
    phone.delete(gone).unwrap();
    let out = yard.file("own-data.zip");
    let made = export(phone, &out, &quiet()).unwrap();
    assert_eq!((made.records, made.photos, made.photos_elsewhere), (5, 2, 0));
    out
}

#[test]
fn what_is_exported_is_the_same_each_time_and_comes_into_another_notebook_once() {
    let yard = Yard::new(111, 2).unwrap();
    let [one, two] = [&yard.phones[0], &yard.phones[1]];
    let out = exported(&yard);
    let again = yard.file("again.zip");
    export(one, &again, &quiet()).unwrap();
    assert_eq!(fs::read(&out).unwrap(), fs::read(&again).unwrap());

    let first = import(two, &out, &quiet()).unwrap();
    assert_eq!((first.records, first.photos, first.here, first.not_yours, first.erased), (5, 2, 0, 0, 0));
    assert_eq!(every(one), every(two));
    for id in every(one) {
        assert_eq!(shown(one, id), shown(two, id));
        assert_eq!(one.show(id).unwrap().hidden, two.show(id).unwrap().hidden);
    }
    let image =
        two.list(&Query::default()).unwrap().rows.iter().find_map(|r| r.text("image").map(str::to_owned)).unwrap();
    let image = image.parse().unwrap();
    assert_eq!(fs::read(one.blob_path(&image)).unwrap(), fs::read(two.blob_path(&image)).unwrap());
    let digest = two.digest().unwrap();
    let second = import(two, &out, &quiet()).unwrap();
    assert_eq!(second, Imported { here: first.values, ..Imported::default() });
    assert_eq!(two.digest().unwrap(), digest);
    // Changed here since: the old value does not come back.
    let inquiry = two.search("otra").unwrap().rows[0].id;
    edit(two, Kind::Inquiry, inquiry, json!({"question": "answered"})).unwrap();
    import(two, &out, &quiet()).unwrap();
    assert_eq!(two.show(inquiry).unwrap().text("question"), Some("answered"));
    // They are changes of this device: the office gets them from it.
    let taken = yard.take_in(&yard.bundle(two, "two.yard").unwrap()).unwrap();
    assert_eq!((taken.report.new_records, taken.report.photos), (5, 2));
}

#[test]
fn other_programs_read_it_and_no_cell_is_a_formula() {
    let yard = Yard::new(112, 1).unwrap();
    let mut zip = ZipArchive::new(fs::File::open(exported(&yard)).unwrap()).unwrap();
    let mut text = |name: &str| {
        let mut bytes = String::new();
        zip.by_name(name).unwrap().read_to_string(&mut bytes).unwrap();
        bytes
    };
    let records: serde_json::Value = serde_json::from_str(&text("records.json")).unwrap();
    let inquiry = records["records"].as_array().unwrap().iter().find(|r| r["kind"] == "inquiry").unwrap();
    assert_eq!(inquiry["fields"]["question"], "¿Por qué, otra vez?");
    assert_eq!(inquiry["history"].as_array().unwrap().len(), 2);
    assert_eq!(inquiry["history"][0]["wrote"]["question"], "¿Por qué?");
    let site = text("tables/site.csv");
    assert!(site.contains("'=HYPERLINK") && !site.contains(",\"=") && !site.contains(",="));
    assert!(text("README.txt").contains("YOUR OWN DATA") && text("LEAME.txt").contains("SUS PROPIOS DATOS"));
}

/// The exported file with one entry more, or another one of a name.
fn rewritten(yard: &Yard, good: &Path, name: &str, bytes: &[u8]) -> PathBuf {
    let mut source = ZipArchive::new(fs::File::open(good).unwrap()).unwrap();
    let out = yard.file("bad.zip");
    let mut zip = ZipWriter::new(fs::File::create(&out).unwrap());
    for at in 0..source.len() {
        let entry = source.by_index_raw(at).unwrap();
        if entry.name().unwrap() != name {
            zip.raw_copy_file(entry).unwrap();
        }
    }
    zip.start_file(name, SimpleFileOptions::default().compression_method(zip::CompressionMethod::Deflated)).unwrap();
    zip.write_all(bytes).unwrap();
    zip.finish().unwrap();
    out
}

#[test]
fn a_bad_file_is_refused_and_nothing_is_changed() {
    let yard = Yard::new(113, 2).unwrap();
    let two = &yard.phones[1];
    let good = exported(&yard);
    let bytes = fs::read(&good).unwrap();
    let digest = two.digest().unwrap();
    let unchanged = |what: &str| {
        assert_eq!(two.digest().unwrap(), digest, "{what}");
        let photos = yard.folder(2).join("photos");
        let stored = fs::read_dir(photos).map_or(0, |all| all.flatten().filter(|e| e.file_name() != "new").count());
        assert_eq!(stored, 0, "{what}");
    };
    let refused = |file: &Path, what: &str| {
        let code = import(two, file, &quiet()).err().unwrap_or_else(|| panic!("{what} was taken")).code();
        unchanged(what);
        code
    };
    for name in ["../records.json", "photos/../../x.jpg", "/etc/x", "photos\\x.jpg", "tables/x.csv", "photos/", "x.txt"]
    {
        assert_eq!(refused(&rewritten(&yard, &good, name, b"x"), name), Some(Code::Schema));
    }
    for (what, text) in [
        ("no JSON", "pigeon".to_owned()),
        ("another form", json!({"format": "x", "records": []}).to_string()),
        (
            "a number that is a path",
            json!({"format": "dooryard own data 1", "records": [
            {"id": "../x", "kind": "plant", "hidden": false, "fields": {}}]})
            .to_string(),
        ),
        (
            "an unknown field",
            json!({"format": "dooryard own data 1", "records": [
            {"id": "0197f0c0-0000-7000-8000-000000000001", "kind": "plant", "hidden": false, "fields": {"pigeon": 1}}]})
            .to_string(),
        ),
        ("a photo that nobody names", json!({"format": "dooryard own data 1", "records": []}).to_string()),
    ] {
        refused(&rewritten(&yard, &good, "records.json", text.as_bytes()), what);
    }
    // A bomb: a photo of 64 MiB of zeros, and records of more than may be, each packed into little.
    let zeros = vec![0; 64 << 20];
    let photo = ZipArchive::new(fs::File::open(&good).unwrap()).unwrap();
    let photo = photo.file_names().map(|n| n.unwrap().into_owned()).find(|n| n.starts_with("photos/")).unwrap();
    let bomb = rewritten(&yard, &good, &photo, &zeros);
    assert!(fs::metadata(&bomb).unwrap().len() < 1 << 20);
    assert_eq!(refused(&bomb, "a bomb"), Some(Code::Bomb));
    assert_eq!(refused(&rewritten(&yard, &good, &photo, b"other pixels"), "other pixels"), Some(Code::PartHash));
    let cut = yard.file("cut.zip");
    for at in (0..bytes.len()).step_by(211).chain([bytes.len() - 1]) {
        fs::write(&cut, &bytes[..at]).unwrap();
        refused(&cut, &format!("cut at {at}"));
    }
}

#[test]
fn erased_records_stay_out_and_fields_of_other_roles_are_left() {
    let yard = Yard::new(114, 2).unwrap();
    let [one, two] = [&yard.phones[0], &yard.phones[1]];
    let out = exported(&yard);
    yard.take_in(&yard.bundle(one, "1.yard").unwrap()).unwrap();
    let contact = one.list(&Query { kind: Some(Kind::Contact), ..Query::default() }).unwrap().rows[0].id;
    let inquiry = one.list(&Query { kind: Some(Kind::Inquiry), ..Query::default() }).unwrap().rows[0].id;
    yard.office.erase(contact).unwrap();
    yard.reply(two).unwrap();
    let got = import(two, &out, &quiet()).unwrap();
    assert_eq!((got.records, got.erased), (4, 1));
    assert!(two.show(contact).is_err() || two.show(contact).unwrap().get("reach").is_none());
    // The office decides on a status; a scout's import does not.
    edit(yard.office.notebook(), Kind::Inquiry, inquiry, json!({"status": "answered"})).unwrap();
    yard.reply(one).unwrap();
    export(one, &out, &quiet()).unwrap();
    let got = import(two, &out, &quiet()).unwrap();
    assert_eq!(got.not_yours, 1);
    assert!(two.show(inquiry).unwrap().get("status").is_none());
}
