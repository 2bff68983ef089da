//! The bundles that the Kotlin and the Swift tests left, taken in at the one office that certified both. Run by
//! `cargo xtask test` after those tests; `DOORYARD_PHONES` names the phones that must have left one.
#![allow(clippy::unwrap_used, reason = "a test")]

use std::{
    env, fs, io,
    path::{Path, PathBuf},
};

use anyhow::{Context, Result};
use dooryard_core::{
    clock::Env,
    ids::{BlobId, RecordId},
    job::Job,
    notebook::{Notebook, Query, Record, Secrets, Way},
    record::Kind,
};
use dooryard_office::desk::{Office, Outcome};

/// Changes that each phone's test saves, in as many records.
const CHANGES: u64 = 5;

/// The secrets of the phones' tests, which protect nothing: whoever knows their name opens what they wrapped.
struct KnownSecrets;

impl KnownSecrets {
    const NAME: &'static [u8] = b"a phone left by a test";

    fn turned(bytes: &[u8]) -> Vec<u8> {
        bytes.iter().zip(Self::NAME.iter().cycle()).map(|(byte, pad)| byte ^ pad).collect()
    }
}

impl Secrets for KnownSecrets {
    fn wrap(&self, key: &[u8]) -> io::Result<Option<Vec<u8>>> {
        Ok(Some([Self::NAME, &Self::turned(key)].concat()))
    }

    fn unwrap(&self, wrapped: &[u8]) -> io::Result<Vec<u8>> {
        wrapped.strip_prefix(Self::NAME).map(Self::turned).ok_or(io::ErrorKind::InvalidData.into())
    }
}

fn told(name: &str) -> Result<String> {
    env::var(name).with_context(|| format!("{name} is not set: `cargo xtask test` sets it"))
}

/// Copies a folder, so that this test can run again on what the phones left.
fn copy(from: &Path, to: &Path) -> io::Result<()> {
    fs::create_dir_all(to)?;
    for entry in fs::read_dir(from)? {
        let entry = entry?;
        let target = to.join(entry.file_name());
        if entry.file_type()?.is_dir() {
            copy(&entry.path(), &target)?;
        } else {
            fs::copy(entry.path(), target)?;
        }
    }
    Ok(())
}

fn the_only(office: &Notebook, kind: Kind, refers_to: Option<RecordId>, by: &str) -> Result<Record> {
    let page = office.list(&Query { kind: Some(kind), refers_to, ..Query::default() })?;
    let mut found = Vec::new();
    for row in page.rows {
        let record = office.show(row.id)?;
        if record.fields.iter().all(|f| f.shown.author.label == by) {
            found.push(record);
        }
    }
    assert_eq!(found.len(), 1, "{kind} of {by}");
    found.pop().context("one record")
}

#[test]
fn both_phones_bundles_become_one_picture_at_one_office_and_each_gets_its_reply() -> Result<()> {
    let left = PathBuf::from(told("DOORYARD_PHONES_DIR")?);
    let phones = told("DOORYARD_PHONES")?;
    let phones: Vec<&str> = phones.split(',').collect();
    let dir = tempfile::tempdir()?;
    copy(&left.join("office"), &dir.path().join("office"))?;
    let office = Office::open(&dir.path().join("office"), Env::system())?;

    for (n, phone) in phones.iter().enumerate() {
        let bundle = left.join(format!("{phone}.yard"));
        let taken = office.take_in(&bundle, &Job::silent())?;
        assert_eq!(taken.outcome, Outcome::TakenIn, "{phone}: {:?}", taken.code);
        let report = taken.report;
        assert_eq!((report.new, report.new_records, report.repeated), (CHANGES, CHANGES, 0), "{phone}");
        // Both photographed the same leaf: the same bytes are kept once.
        let pictures = if n == 0 { 2 } else { 0 };
        assert_eq!((report.photos, report.photos_missing, report.forks), (pictures, 0, 0), "{phone}");
        assert!(report.waiting.is_empty(), "{phone}: {:?}", report.waiting);
        let again = office.take_in(&bundle, &Job::silent())?.report;
        assert_eq!((again.new, again.repeated), (0, CHANGES), "{phone}");
    }

    let merged = office.notebook();
    let inquiries = merged.list(&Query { kind: Some(Kind::Inquiry), ..Query::default() })?;
    assert_eq!(inquiries.total, phones.len());
    assert!(merged.conflicts()?.is_empty());
    for phone in &phones {
        let folder = dir.path().join(phone);
        copy(&left.join(format!("{phone}-phone")), &folder)?;
        let notebook = Notebook::open_with(&folder, Env::system(), &KnownSecrets)?;
        let (_, label) = notebook.role()?;

        let inquiry = the_only(merged, Kind::Inquiry, None, &label)?;
        assert_eq!(inquiry.text("question"), Some("¿Por qué tiene manchas la hoja? 🍁"));
        assert_eq!(inquiry.text("summary"), Some(format!("Round spots on a maple, {label}").as_str()));
        let plant = the_only(merged, Kind::Plant, Some(inquiry.id), &label)?;
        let finding = the_only(merged, Kind::Finding, Some(plant.id), &label)?;
        assert_eq!((finding.text("character"), finding.text("status")), (Some("leaf_spot"), Some("seen")));
        let photo = the_only(merged, Kind::Photo, Some(plant.id), &label)?;
        let image: BlobId = photo.text("image").context("a photo's image")?.parse()?;
        let leaf = Path::new(env!("CARGO_MANIFEST_DIR")).join("../fixtures/phones/leaf.jpg");
        assert_eq!(fs::read(merged.blob_path(&image))?, fs::read(leaf)?, "the original, byte for byte");

        assert_eq!(notebook.way(inquiry.id)?, Way::HandedOver, "{phone}");
        let reply = dir.path().join(format!("{phone}-reply.yard"));
        office.make_reply(notebook.device(), &reply, &Job::silent())?;
        let taken = notebook.take_reply(&reply, &Job::silent())?;
        assert_eq!((taken.received, taken.photos_received), (CHANGES, 2), "{phone}");
        assert_eq!(notebook.way(inquiry.id)?, Way::OfficeHasIt, "{phone}");
    }
    Ok(())
}
