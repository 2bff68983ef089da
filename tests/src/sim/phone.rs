//! What happens on a phone: people save, edit, delete, take photos; clocks lie; folders are copied and restored.

use std::path::PathBuf;

use dooryard_core::{
    clock::{Env, SetClock},
    ids::RecordId,
    job::Job,
    notebook::{Notebook, Query},
    record::Kind,
};
use rand::{Rng, seq::IndexedRandom};
use serde_json::{Map, Value as Json, json};

use super::{
    Checked, check_phone, ensure, words,
    world::{Phone, World},
};

/// Kinds that are written, with fields of text of every class of privacy.
const TEXTS: [(Kind, &[&str]); 6] = [
    (Kind::Plant, &["cultivar", "tag", "scientific_name"]),
    (Kind::Contact, &["note"]),
    (Kind::Inquiry, &["question", "summary"]),
    (Kind::Site, &["address", "township", "access"]),
    (Kind::Alert, &["suspect"]),
    (Kind::Finding, &["note", "part"]),
];

/// Places at which clocks stand that were never set: 1970, 2099.
const LIES: [u64; 2] = [0, 4_090_000_000_000];

/// Values for some fields of a kind, each with a word of its own.
pub fn values(world: &mut World, kind: Kind) -> Map<String, Json> {
    let mut fields = Map::new();
    let names = TEXTS.iter().find(|(k, _)| *k == kind).map_or(&["caption"][..], |(_, names)| names);
    for _ in 0..world.random.random_range(1..=2) {
        if let Some(name) = names.choose(&mut world.random) {
            let word = words::fresh(&mut world.random);
            fields.insert((*name).to_owned(), json!(format!("Oak leaf {word}")));
        }
    }
    if kind == Kind::Plant && world.random.random_bool(0.5) {
        fields.insert("present".into(), json!(world.random.random_range(0..4)));
    }
    if world.random.random_bool(0.4) {
        let wanted = match kind {
            Kind::Plant | Kind::Alert => ("inquiry", Kind::Inquiry),
            Kind::Finding => ("plant", Kind::Plant),
            Kind::Inquiry => ("site", Kind::Site),
            _ => return fields,
        };
        let target = world.truth.records.iter().find(|(_, kind)| *kind == wanted.1);
        if let Some((target, _)) = target {
            fields.insert(wanted.0.into(), json!(target.to_string()));
        }
    }
    fields
}

/// One thing that a person does on a phone.
pub fn step(world: &mut World) -> Checked<&'static str> {
    let at = world.any_phone();
    let target = world.any_record();
    let what = match (world.random.random_range(0..20), target) {
        (0..5, _) | (_, None) => {
            let kind = TEXTS.choose(&mut world.random).map_or(Kind::Plant, |(kind, _)| *kind);
            let values = values(world, kind);
            let id = world.phones[at].notebook.save(kind, None, &values)?;
            world.truth.records.push((id, kind));
            "a record saved"
        }
        (5..13, Some((id, kind))) => {
            let values = values(world, kind);
            world.phones[at].notebook.save(kind, Some(id), &values)?;
            "a record edited"
        }
        (13..15, Some((id, kind))) => same_value(world, at, id, kind)?,
        (15..17, Some((id, _))) => delete_or_restore(world, at, id)?,
        (17 | 18, _) => photo(world, at)?,
        (19, Some((id, _))) if world.random.random_bool(0.5) => {
            let word = words::fresh(&mut world.random);
            world.phones[at].notebook.keep_draft(&format!("edit {id}"), Some(&word))?;
            "a draft kept"
        }
        _ => clock(world, at),
    };
    world.harvest(at)?;
    Ok(what)
}

/// What another notebook shows, saved here too: equal values by two authors.
fn same_value(world: &mut World, at: usize, id: RecordId, kind: Kind) -> Checked<&'static str> {
    let Ok(record) = world.office.notebook().show(id) else { return Ok("nothing") };
    let texts = record.fields.iter().filter(|f| f.field.is_some());
    let texts: Vec<_> =
        texts.filter_map(|f| Some((f.name.clone(), json!(f.shown.value.as_ref()?.as_str()?)))).collect();
    // Only free text: references and words are no case of their own.
    let free: Vec<_> = texts.into_iter().filter(|(_, v)| v.as_str().is_some_and(|t| t.contains("zqx"))).collect();
    let Some((name, value)) = free.choose(&mut world.random).cloned() else { return Ok("nothing") };
    world.phones[at].notebook.save(kind, Some(id), &Map::from_iter([(name, value)]))?;
    Ok("an equal value saved")
}

fn delete_or_restore(world: &mut World, at: usize, id: RecordId) -> Checked<&'static str> {
    let notebook = &world.phones[at].notebook;
    let Ok(record) = notebook.show(id) else { return Ok("nothing") };
    if record.hidden {
        notebook.restore(id)?;
        return Ok("a record brought back");
    }
    notebook.delete(id)?;
    Ok("a record deleted")
}

/// Takes a photo.
pub fn photo(world: &mut World, at: usize) -> Checked<&'static str> {
    let path = picture(world)?;
    let fields = values(world, Kind::Photo);
    let id = world.phones[at].notebook.add_photo(&path, &fields)?;
    world.harvest(at)?;
    let blobs = world.truth.photos_of(&id);
    ensure("I11 atomic save", blobs.len() == 2, || format!("a photo with {} pictures", blobs.len()))?;
    world.phones[at].blobs.extend(blobs);
    world.truth.records.push((id, Kind::Photo));
    std::fs::remove_file(&path)?;
    Ok("a photo taken")
}

/// A picture like no other, as a camera leaves it.
pub fn picture(world: &mut World) -> Checked<PathBuf> {
    let path = world.new_path("leaf").with_extension("png");
    let shade: [u8; 3] = world.random.random();
    let pixels = image::RgbImage::from_fn(9, 7, |x, y| image::Rgb([shade[0] ^ x as u8, shade[1] ^ y as u8, shade[2]]));
    pixels.save(&path).map_err(std::io::Error::other)?;
    Ok(path)
}

fn clock(world: &mut World, at: usize) -> &'static str {
    let lie = match world.random.random_range(0..4) {
        0 => LIES[0],
        1 => LIES[1],
        2 => world.phones[at].clock.now_ms().saturating_sub(86_400_000 * 30),
        _ => world.clock.now_ms(),
    };
    world.phones[at].clock.set(lie);
    "a clock set"
}

/// What happens to a phone's folder.
pub fn misfortune(world: &mut World) -> Checked<&'static str> {
    let at = world.any_phone();
    let (backup, copy) = (world.phones[at].backup.is_some(), world.phones[at].copy.is_some());
    match world.random.random_range(0..5) {
        0 | 2 if backup => restore_backup(world, at),
        1 | 3 if copy => restore_copy(world, at),
        0 | 2 => {
            let to = world.new_path("backup");
            world.phones[at].notebook.back_up(&to, &Job::silent())?;
            world.phones[at].backup = Some(to);
            Ok("a backup made")
        }
        1 | 3 => {
            let to = world.new_path("older");
            world.phones[at].notebook.pause()?;
            crate::copy_folder(&world.phones[at].folder, &to)?;
            world.phones[at].copy = Some(to);
            Ok("a folder copied")
        }
        4 if world.phones.len() < 5 => twin(world, at),
        _ => Ok("nothing"),
    }
}

/// The database is gone; the backup takes its place.
fn restore_backup(world: &mut World, at: usize) -> Checked<&'static str> {
    let Some(backup) = world.phones[at].backup.clone() else { return Ok("nothing") };
    let env = Env::seeded(world.random.random(), &world.phones[at].clock);
    let Phone { folder, clock, notebook, blobs, copy, backup: kept } = world.phones.remove(at);
    drop(notebook);
    for ending in ["", "-wal", "-shm"] {
        match std::fs::remove_file(folder.join(format!("notebook.db{ending}"))) {
            Err(e) if e.kind() != std::io::ErrorKind::NotFound => return Err(e.into()),
            _ => {}
        }
    }
    let notebook = Notebook::restore_backup(&folder, &backup, env, &Job::silent())?;
    world.phones.insert(at, Phone { folder, clock, notebook, blobs, copy, backup: kept });
    check_phone::check(world, at)?;
    Ok("a backup restored")
}

/// An older copy of the whole folder takes the folder's place, with the incarnation of that time or of now.
fn restore_copy(world: &mut World, at: usize) -> Checked<&'static str> {
    let Some(copy) = world.phones[at].copy.clone() else { return Ok("nothing") };
    let env = Env::seeded(world.random.random(), &world.phones[at].clock);
    let with_incarnation = world.random.random_bool(0.5);
    let Phone { folder, clock, notebook, blobs, copy: kept, backup } = world.phones.remove(at);
    drop(notebook);
    std::fs::remove_dir_all(&folder)?;
    crate::copy_folder(&copy, &folder)?;
    if !with_incarnation {
        std::fs::remove_file(folder.join("local/incarnation"))?;
    }
    let notebook = Notebook::open(&folder, env)?;
    world.phones.insert(at, Phone { folder, clock, notebook, blobs, copy: kept, backup });
    save_plant(world, at)?;
    Ok(if with_incarnation { "an older folder restored" } else { "an older folder restored without incarnation" })
}

/// A second phone goes on from a copy of the folder, incarnation and all.
fn twin(world: &mut World, at: usize) -> Checked<&'static str> {
    let folder = world.new_path("twin");
    world.phones[at].notebook.pause()?;
    crate::copy_folder(&world.phones[at].folder, &folder)?;
    let clock = SetClock::at(world.clock.now_ms());
    let notebook = Notebook::open(&folder, Env::seeded(world.random.random(), &clock))?;
    let blobs = world.phones[at].blobs.clone();
    world.phones.push(Phone { folder, clock, notebook, blobs, copy: None, backup: None });
    // Each of the two goes on.
    save_plant(world, at)?;
    save_plant(world, world.phones.len() - 1)?;
    Ok("a phone copied")
}

/// A new plant.
pub fn save_plant(world: &mut World, at: usize) -> Checked {
    save_new(world, at, Kind::Plant)
}

/// A new record.
pub fn save_new(world: &mut World, at: usize, kind: Kind) -> Checked {
    let values = values(world, kind);
    let id = world.phones[at].notebook.save(kind, None, &values)?;
    world.truth.records.push((id, kind));
    world.harvest(at)
}

/// What a phone lists, hidden records too.
pub fn everything() -> Query {
    Query { with_hidden: true, limit: 10_000, ..Query::default() }
}
