//! What a hostile file costs as the system counts it: the most memory that a process of its own ever had, over that of one that only
//! opened the office. SQLite and zstd take theirs past Rust's allocator.

use std::{
    fs,
    path::Path,
    process::{Command, Stdio},
};

use dooryard_core::{bundle::look_inside, clock::Env, job::Job};
use dooryard_office::desk::Office;
use dooryard_tests::copy_folder;

use super::{AFTER_TRUST, Scene, after_trust};

/// Tells the process of its own which office it opens, and which file it takes in.
const OFFICE: &str = "DOORYARD_BOUNDS_OFFICE";
const FILE: &str = "DOORYARD_BOUNDS_FILE";

/// The most memory that this process ever had, in KiB.
fn high_water() -> usize {
    let status = fs::read_to_string("/proc/self/status").unwrap();
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:")).unwrap();
    line.trim().strip_suffix(" kB").unwrap().parse().unwrap()
}

/// The work of the process of its own; on its own this test has nothing to do.
#[test]
fn a_process_of_its_own() {
    let Some(office) = std::env::var_os(OFFICE) else { return };
    let office = Office::open(Path::new(&office), Env::system()).unwrap();
    if let Some(file) = std::env::var_os(FILE) {
        let file = Path::new(&file);
        let looked = look_inside(file).unwrap();
        let taken = office.take_in(file, &Job::silent()).unwrap();
        println!("\nlooked at {} parts, new {}, code {:?}", looked.parts.len(), taken.report.new, taken.code);
    }
    println!("\nhigh water {}", high_water());
}

/// Has a process of its own take a file in, and says how much memory it had at most, in bytes, and what it said.
fn taken_alone(scene: &Scene, bytes: Option<Vec<u8>>) -> (usize, String) {
    let office = scene.yard.file("alone");
    scene.yard.office.notebook().pause().unwrap();
    copy_folder(scene.yard.office.folder(), &office).unwrap();
    let mut command = Command::new(std::env::current_exe().unwrap());
    command.args(["--exact", "resident::a_process_of_its_own", "--nocapture"]).env(OFFICE, &office);
    if let Some(bytes) = bytes {
        command.env(FILE, scene.write(&bytes));
    }
    let output = command.stderr(Stdio::inherit()).output().unwrap();
    assert!(output.status.success());
    fs::remove_dir_all(office).unwrap();
    let said = String::from_utf8(output.stdout).unwrap();
    let kib: usize = said.lines().find_map(|line| line.strip_prefix("high water ")).unwrap().parse().unwrap();
    (kib << 10, said)
}

#[test]
fn a_process_that_takes_a_hostile_file_in_has_at_most_64_mib_more_than_one_that_is_idle() {
    let scene = Scene::new(72);
    let (idle, _) = taken_alone(&scene, None);
    eprintln!("{:6.1} MiB idle", idle as f64 / 1_048_576.0);
    let mut worst = 0;
    let mut alone = |name: &str, bytes: Vec<u8>, told: &str| {
        let (most, said) = taken_alone(&scene, Some(bytes));
        let over = most.saturating_sub(idle);
        eprintln!("{:6.1} MiB over it for {name}", over as f64 / 1_048_576.0);
        assert!(said.contains(told), "{name}: {said}");
        assert!(over <= AFTER_TRUST, "{over} bytes for {name}");
        worst = worst.max(over);
    };
    for (name, bytes, code) in after_trust::refused_whole(&scene) {
        alone(name, bytes, &format!("new 0, code Some({:?})", code.name()));
    }
    for (name, manifest) in after_trust::long_manifests(&scene) {
        alone(name, scene.hand.file(&[(super::MANIFEST, manifest)]), "new 0, code None");
    }
    alone("segments without a signature", scene.hand.file(&after_trust::unclosed_segments(&scene)), "new 0, code None");
    for (name, frames, new) in after_trust::the_most() {
        alone(name, scene.hand.file(&frames(&scene)), &format!("new {new}, code None"));
    }
    assert!(worst > 1 << 20, "the count sees what a file takes");
}
