//! The take-in killed at fifty random moments, then repeated: the same state, nothing lost, nothing left over.
#![allow(clippy::unwrap_used, reason = "a test")]

use std::{
    collections::BTreeSet,
    fs,
    path::{Path, PathBuf},
    process::{Command, Stdio},
    time::{Duration, Instant},
};

use dooryard_core::{clock::Env, ids::Hash32, record::Kind};
use dooryard_office::desk::Office;
use dooryard_tests::{Yard, edit, fields, save};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use serde_json::json;

/// A phone's work of a few weeks, with photos of one part and of several, as one bundle.
fn handed_over(yard: &Yard, random: &mut ChaCha8Rng) -> PathBuf {
    let phone = &yard.phones[0];
    for n in 0..60 {
        let plant = save(phone, Kind::Plant, json!({"host": "maple", "present": n})).unwrap();
        save(phone, Kind::Finding, json!({"plant": plant.to_string(), "character": "leaf_spot", "status": "seen"}))
            .unwrap();
        edit(phone, Kind::Plant, plant, json!({"cultivar": format!("kind {n}")})).unwrap();
    }
    for side in [300, 300, 1_300, 300, 1_500] {
        let file = yard.file("noise.png");
        let mut pixels = vec![0u8; side * side * 3];
        random.fill(&mut pixels[..]);
        let side = u32::try_from(side).unwrap();
        image::RgbImage::from_raw(side, side, pixels).unwrap().save(&file).unwrap();
        phone.add_photo(&file, &fields(json!({"part": "close_up"}))).unwrap();
    }
    yard.bundle(phone, "work.yard").unwrap()
}

fn take_in(office: &Path, file: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_dooryard"));
    command.args(["bundle", "take-in", "--office"]).arg(office).arg(file);
    command.stdout(Stdio::null()).stderr(Stdio::null());
    command
}

/// Every file below a folder by its path there, the database's own companions left out.
fn files(folder: &Path) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    let mut open = vec![folder.to_owned()];
    while let Some(here) = open.pop() {
        for entry in fs::read_dir(&here).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                open.push(path);
            } else {
                let name = path.strip_prefix(folder).unwrap().display().to_string();
                if !name.ends_with("-wal") && !name.ends_with("-shm") {
                    found.insert(name);
                }
            }
        }
    }
    found
}

fn state(folder: &Path, yard: &Yard) -> (Hash32, usize) {
    let office = Office::open(folder, Env::seeded(1, &yard.clock)).unwrap();
    (office.notebook().digest().unwrap(), office.notebook().blobs_awaited().unwrap().len())
}

#[test]
fn killed_at_fifty_random_moments_and_repeated_it_ends_in_the_same_state_with_nothing_left_over() {
    let yard = Yard::new(41, 1).unwrap();
    let mut random = ChaCha8Rng::seed_from_u64(41);
    let file = handed_over(&yard, &mut random);
    yard.office.notebook().pause().unwrap();
    let fresh = yard.office.folder().to_owned();

    let untouched = yard.file("untouched");
    dooryard_tests::copy_folder(&fresh, &untouched).unwrap();
    let before = state(&untouched, &yard);
    let whole = yard.file("whole");
    dooryard_tests::copy_folder(&fresh, &whole).unwrap();
    let begin = Instant::now();
    assert!(take_in(&whole, &file).status().unwrap().success());
    let full = begin.elapsed();
    let (digest, awaited) = state(&whole, &yard);
    let left = files(&whole);
    assert_eq!(awaited, 0);

    // Random moments of a span that follows the machine's speed: it shrinks when the work was over before its moment and grows
    // when it had not begun. Only runs that were really stopped count, and of these a part must have been in the work.
    let mut span = full.as_secs_f64();
    let (mut runs, mut stopped, mut in_between) = (0, 0, 0);
    while stopped < 50 || in_between < 10 {
        runs += 1;
        assert!(runs <= 500, "after {runs} runs {stopped} were stopped, {in_between} of them in the work");
        let folder = yard.file(&format!("killed-{runs}"));
        dooryard_tests::copy_folder(&fresh, &folder).unwrap();
        let moment = span * random.random::<f64>();
        let mut child = take_in(&folder, &file).spawn().unwrap();
        std::thread::sleep(Duration::from_secs_f64(moment));
        child.kill().unwrap();
        let was_stopped = !child.wait().unwrap().success();
        stopped += usize::from(was_stopped);
        let half = state(&folder, &yard);
        match (was_stopped, half == before) {
            (false, _) => span *= 0.95,
            (true, true) => span *= 1.02,
            (true, false) => in_between += usize::from(half != (digest, 0)),
        }
        assert!(take_in(&folder, &file).status().unwrap().success(), "moment {moment}");
        assert_eq!(state(&folder, &yard), (digest, 0), "moment {moment}");
        assert_eq!(files(&folder), left, "moment {moment}");
        fs::remove_dir_all(&folder).unwrap();
    }
    eprintln!("{runs} runs, {stopped} stopped before their end, {in_between} in the middle of the work");
}
