//! Every command that writes, on a disk that is full at one point after the other: refused with a code, the state as before or
//! as after, and the same command goes through once there is room.
//!
//! The disk is a small one in memory where one may be mounted. Everywhere `strace` has the system say that it is full, at some
//! of the calls of each kind that take room.
use std::{
    fs::{self, File},
    io::Write,
    path::PathBuf,
    process::{Command, Stdio},
};

use dooryard_tests::{Yard, copy_folder};
use serde_json::Value as Json;

use super::{
    common::files,
    tasks::{Task, tasks},
};

/// Bytes of the small disk.
const DISK: u64 = 32 << 20;
/// Bytes that a disk in memory gives out at once.
const PAGE: u64 = 4096;

/// How a disk comes to be full.
trait Full {
    /// Folder on that disk.
    fn folder(&self) -> PathBuf;
    /// The points at which it can be full while this runs, one after the other.
    fn points(&self, task: &Task<'_>) -> Vec<(String, usize)>;
    /// Runs a command on the full disk.
    fn run(&self, command: Command, point: &(String, usize)) -> std::process::Output;
}

/// Runs one task on a disk that is full at each point in turn; says at how many of them it was refused.
fn on_a_full_disk(yard: &Yard, full: &dyn Full, task: &Task<'_>) -> usize {
    let folder = full.folder().join("work");
    let begin = || {
        let _ = fs::remove_dir_all(&folder);
        copy_folder(&task.fresh, &folder).unwrap();
    };
    let copy = yard.file("seen");
    let state = || task.seen(&folder, &copy);
    begin();
    let before = state();
    assert!((task.command)(&folder).output().unwrap().status.success(), "{} with room", task.name);
    let (after, left) = (state(), files(&folder));
    let mut refused = 0;
    for point in full.points(task) {
        begin();
        let output = full.run((task.command)(&folder), &point);
        if !output.status.success() {
            refused += 1;
            let said = String::from_utf8_lossy(&output.stderr);
            let last: Json = serde_json::from_str(said.lines().last().unwrap_or_default()).unwrap_or_default();
            assert_eq!(last["code"], "NO_SPACE", "{} at {point:?}: {said}", task.name);
            let now = state();
            assert!(now == before || now == after, "{} at {point:?}: neither before nor after, but {now}", task.name);
        }
        let again = task.once_more(&folder, &copy, (&after, &left));
        again.unwrap_or_else(|said| panic!("{} again after {point:?}: {said}", task.name));
    }
    fs::remove_dir_all(&folder).unwrap();
    refused
}

/// A disk of a few MiB in memory, which a file fills up but for some pages.
struct SmallDisk(PathBuf);

impl SmallDisk {
    fn mount(at: PathBuf) -> Option<Self> {
        fs::create_dir(&at).unwrap();
        let size = format!("size={DISK}");
        let done = Command::new("mount").args(["-t", "tmpfs", "-o", &size, "tmpfs"]).arg(&at).status();
        done.is_ok_and(|status| status.success()).then(|| Self(at))
    }
}

impl Drop for SmallDisk {
    fn drop(&mut self) {
        let _ = Command::new("umount").arg("-l").arg(&self.0).status();
    }
}

impl Full for SmallDisk {
    fn folder(&self) -> PathBuf {
        self.0.clone()
    }

    fn points(&self, _: &Task<'_>) -> Vec<(String, usize)> {
        let pages = std::iter::successors(Some(0), |n| Some(n + 1 + n / 2)).take_while(|n| *n < 1_000);
        pages.map(|n| ("pages free".to_owned(), n)).collect()
    }

    fn run(&self, mut command: Command, (_, free): &(String, usize)) -> std::process::Output {
        let path = self.0.join("ballast");
        let mut ballast = File::create(&path).unwrap();
        while ballast.write(&[0; 16 * PAGE as usize]).is_ok_and(|n| n > 0) {}
        let size = ballast.metadata().unwrap().len();
        ballast.set_len(size - *free as u64 * PAGE).unwrap();
        let output = command.output().unwrap();
        fs::remove_file(path).unwrap();
        output
    }
}

/// An ordinary disk of which the system says that it is full.
struct SaidToBeFull(PathBuf);

impl SaidToBeFull {
    fn traced(&self, command: &Command, expressions: &[&str]) -> Command {
        let mut strace = Command::new("strace");
        strace.args(["-f", "-qq", "-o"]).arg(self.0.join("calls.log"));
        expressions.iter().for_each(|expression| _ = strace.args(["-e", expression]));
        strace.arg(command.get_program()).args(command.get_args()).stdin(Stdio::null());
        strace
    }
}

impl Full for SaidToBeFull {
    fn folder(&self) -> PathBuf {
        self.0.clone()
    }

    /// For every kind of call its places in the run, but for what is said to people; some of them, spread evenly.
    fn points(&self, task: &Task<'_>) -> Vec<(String, usize)> {
        let folder = self.0.join("work");
        let mut points = Vec::new();
        for (call, from_then_on) in [("write", ""), ("pwrite64", "+"), ("mkdir", "")] {
            fs::remove_dir_all(&folder).unwrap();
            copy_folder(&task.fresh, &folder).unwrap();
            let expression = format!("trace={call}");
            assert!(self.traced(&(task.command)(&folder), &[&expression]).output().unwrap().status.success());
            let log = fs::read_to_string(self.0.join("calls.log")).unwrap();
            let main = log.split_whitespace().next().unwrap_or_default();
            let of_main: Vec<&str> = log.lines().filter(|line| line.starts_with(main)).collect();
            let said = |line: &str| line.contains("write(1,") || line.contains("write(2,");
            let places: Vec<usize> =
                of_main.iter().enumerate().filter(|(_, line)| !said(line)).map(|(at, _)| at + 1).collect();
            let step = places.len().div_ceil(6).max(1);
            points.extend(places.into_iter().step_by(step).map(|at| (format!("{call}:when={{}}{from_then_on}"), at)));
        }
        points
    }

    fn run(&self, command: Command, (call, at): &(String, usize)) -> std::process::Output {
        let (call, when) = call.split_once(':').unwrap();
        let inject = format!("inject={call}:error=ENOSPC:{}", when.replace("{}", &at.to_string()));
        self.traced(&command, &[&format!("trace={call}"), &inject]).output().unwrap()
    }
}

#[test]
fn every_command_on_a_disk_with_less_and_less_room_is_refused_whole_and_goes_through_afterwards() {
    let yard = Yard::new(45, 1).unwrap();
    let Some(disk) = SmallDisk::mount(yard.file("small-disk")) else {
        assert!(std::env::var_os("CI").is_none(), "CI must be able to mount a small disk");
        eprintln!("skipped: a small disk cannot be mounted here");
        return;
    };
    for task in tasks(&yard) {
        let refused = on_a_full_disk(&yard, &disk, &task);
        eprintln!("{}: refused at {refused} sizes", task.name);
        assert!(refused > 2, "{}: only {refused}", task.name);
    }
}

#[test]
fn every_command_whose_writes_the_system_refuses_is_refused_whole_and_goes_through_afterwards() {
    let yard = Yard::new(46, 1).unwrap();
    let disk = SaidToBeFull(yard.file("disk"));
    fs::create_dir(&disk.0).unwrap();
    for task in tasks(&yard) {
        let refused = on_a_full_disk(&yard, &disk, &task);
        eprintln!("{}: refused at {refused} calls", task.name);
        assert!(refused > 2, "{}: only {refused}", task.name);
    }
}
