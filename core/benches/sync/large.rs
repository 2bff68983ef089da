//! A large office: what a change costs there, and what memory a take-in needs.

use std::{
    fs,
    path::Path,
    process::Command,
    time::{Duration, Instant},
};

use dooryard_core::{
    bundle::{Opener, take_in},
    clock::Env,
    job::Job,
    notebook::Notebook,
};
use rand::{SeedableRng, rngs::StdRng};
use serde_json::json;

use crate::{
    scene::{FIELDS, History, Scene, office_key},
    speed::noise,
};

/// The argument by which this program calls itself to measure memory in a process of its own.
pub const TAKE_IN: &str = "--take-in-alone";
const SEGMENT: usize = 2_000;
/// Changes of the large office: with four fields each, five million rows.
const CHANGES: usize = 1_000_000;
/// Changes of the small one: a hundred thousand rows.
const FEW: usize = 20_000;
/// Bytes of the photos of the large bundle.
const PHOTO_BYTES: u64 = 5_000_000_000;

/// What is measured on an office of a million changes.
pub struct Large {
    /// Time of a change there over time of a change at a hundred thousand rows.
    pub cost: f64,
    /// Peak memory of a process that opens it and takes 5 GB of photos in, MiB.
    pub memory: f64,
}

/// Fills an office, measures.
pub fn measure(dir: &Path) -> Large {
    let scene = Scene::new(dir, "grown", 2);
    let mut history = History::new(scene.id(), &scene.phones[0], FIELDS);
    let (mut done, mut early, mut late) = (0, Duration::ZERO, Duration::ZERO);
    // A window of 20,000 changes after the first 20,000, and the last 20,000.
    while done < CHANGES {
        for segment in history.take(SEGMENT, SEGMENT) {
            let start = Instant::now();
            scene.office.take_segment(segment).expect("merged");
            let took = start.elapsed();
            if (FEW..2 * FEW).contains(&done) {
                early += took;
            } else if done >= CHANGES - FEW {
                late += took;
            }
        }
        done += SEGMENT;
    }
    let memory = memory_of_a_large_bundle(dir, scene);
    Large { cost: late.as_secs_f64() / early.as_secs_f64(), memory }
}

/// Peak memory of a process that takes in bundles with many photos, MiB.
fn memory_of_a_large_bundle(dir: &Path, scene: Scene) -> f64 {
    let mut random = StdRng::seed_from_u64(2);
    let file = dir.join("noise.png");
    let phone = &scene.phones[1].notebook;
    let (mut bytes, mut photos) = (0, 0u64);
    while bytes < PHOTO_BYTES {
        noise(&mut random, 3_280, &file);
        bytes += fs::metadata(&file).expect("the picture").len();
        let fields = serde_json::Map::from_iter([("caption".to_owned(), json!(format!("noise {photos}")))]);
        phone.add_photo(&file, &fields).expect("a photo");
        photos += 1;
    }
    // More than one bundle may hold.
    let mut files = Vec::new();
    loop {
        let out = dir.join(format!("large-{}.yard", files.len()));
        let made = phone.make_bundle(&out, &Job::silent()).expect("a bundle");
        files.push(out);
        if made.photos_left == 0 {
            break;
        }
    }
    fs::remove_dir_all(phone.folder().join("photos")).expect("room on the disk");
    let office = scene.office.folder().to_owned();
    drop(scene);
    let program = std::env::current_exe().expect("this program");
    let child = Command::new(program).arg(TAKE_IN).arg(photos.to_string()).arg(&office).args(&files).output();
    let child = child.expect("a process of its own");
    assert!(child.status.success(), "{}", String::from_utf8_lossy(&child.stderr));
    String::from_utf8_lossy(&child.stdout).trim().parse().expect("a number")
}

/// Takes bundles in and prints the most that this process held at any time, MiB, the program itself and the open office among it.
pub fn take_in_alone(photos: u64, office: &Path, files: &[String]) {
    let notebook = Notebook::open(office, Env::system()).expect("the office");
    let opener = Opener::new(vec![office_key()]);
    let mut brought = (0, 0);
    for file in files {
        let report = take_in(&notebook, &opener, office, Path::new(file), &Job::silent()).expect("taken in");
        brought = (brought.0 + report.new, brought.1 + report.photos);
    }
    assert_eq!(brought, (photos, 2 * photos));
    let status = fs::read_to_string("/proc/self/status").expect("Linux");
    let line = status.lines().find(|l| l.starts_with("VmHWM:")).expect("a line of it");
    let kib: f64 = line.split_whitespace().nth(1).and_then(|n| n.parse().ok()).expect("a number");
    println!("{}", kib / 1_024.0);
}
