//! Commands that write (what a phone saves, hands over, takes back, backs up, exports; what an office takes in, answers, cuts off,
//! backs up, brings back, its change of keys: twelve, see [`tasks`]) on a disk that is full at one point after the other: refused with a
//! code, the state as before or as after, and the same command goes through once there is room.
//!
//! The disk is a small one in memory where one may be mounted. Everywhere `strace` has the system say that it is full, at some
//! of the calls of each kind that take room.
#![cfg(target_os = "linux")]
#![allow(clippy::unwrap_used, reason = "a test")]

mod common;

use std::{
    fs::{self, File},
    io::Write,
    path::{Path, PathBuf},
    process::{Command, Stdio},
};

use common::{Work, files, handed_over};
use dooryard_core::{
    bundle::{Opener, look_inside},
    clock::Env,
    ids::Hash32,
    job::Job,
    notebook::{Notebook, Query, Unpacked},
    record::Kind,
};
use dooryard_office::desk::{Office, recovery_key};
use dooryard_tests::{Yard, copy_folder};
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use serde_json::{Value as Json, json};

/// Bytes of the small disk.
const DISK: u64 = 32 << 20;
/// Bytes that a disk in memory gives out at once.
const PAGE: u64 = 4096;

type ToRun<'a> = Box<dyn Fn(&Path) -> Command + 'a>;
type ToSee<'a> = Box<dyn Fn(&Path) -> String + 'a>;

/// A command that writes below a folder, and what it makes of it.
struct Task<'a> {
    name: &'static str,
    /// What stands in the folder before.
    fresh: PathBuf,
    command: ToRun<'a>,
    /// What stands in a copy of the folder, as far as anyone can tell from outside.
    state: ToSee<'a>,
    /// The code of a repetition of what was done before, where that is refused.
    once: Option<&'static str>,
    /// Whether a run that was repeated after one that failed ended well, by the states of a single run and of this one.
    repeated: fn(&str, &str) -> bool,
}

/// How a disk comes to be full.
trait Full {
    /// Folder on that disk.
    fn folder(&self) -> PathBuf;
    /// The points at which it can be full while this runs, one after the other.
    fn points(&self, task: &Task<'_>) -> Vec<(String, usize)>;
    /// Runs a command on the full disk.
    fn run(&self, command: Command, point: &(String, usize)) -> std::process::Output;
}

fn dooryard(args: &[&str], paths: &[&Path]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_dooryard"));
    command.arg("--json").args(args).args(paths).stdin(Stdio::null());
    command
}

/// Runs one task on a disk that is full at each point in turn; says at how many of them it was refused.
fn on_a_full_disk(yard: &Yard, full: &dyn Full, task: &Task<'_>) -> usize {
    let folder = full.folder().join("work");
    let begin = || {
        let _ = fs::remove_dir_all(&folder);
        copy_folder(&task.fresh, &folder).unwrap();
    };
    let state = || {
        let seen = yard.file("seen");
        copy_folder(&folder, &seen).unwrap();
        let state = (task.state)(&seen);
        fs::remove_dir_all(seen).unwrap();
        state
    };
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
        let is_done = state() == after;
        let again = (task.command)(&folder).output().unwrap();
        let said = String::from_utf8_lossy(&again.stderr);
        let is_known = is_done && task.once.is_some_and(|code| said.contains(code));
        assert!(again.status.success() || is_known, "{} again after {point:?}: {said}", task.name);
        let now = state();
        assert!((task.repeated)(&after, &now), "{} again after {point:?}: {now}, not {after}", task.name);
        assert_eq!(files(&folder), left, "{} again after {point:?}", task.name);
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

/// A yard with work done on the phone and taken in at the office, and every command on it.
fn tasks<'a>(yard: &'a Yard) -> Vec<Task<'a>> {
    let bundle = handed_over(yard, &mut ChaCha8Rng::seed_from_u64(45), &Work { plants: 12, photos: &[60, 400] });
    yard.phones[0].pause().unwrap();
    yard.office.notebook().pause().unwrap();
    let fresh = |name: &str| yard.file(&format!("fresh-{name}"));
    let keep = |folder: &Path, name: &str, at: &str| {
        copy_folder(folder, &fresh(name).join(at)).unwrap();
        // As a program that ended leaves it: what stands beside a database comes new.
        for ending in ["-wal", "-shm"] {
            let beside = |database: PathBuf| fs::remove_file(format!("{}{ending}", database.display()));
            let _ = beside(fresh(name).join(at).join("notebook.db"));
            let _ = beside(fresh(name).join(at).join("notebook/notebook.db"));
        }
    };
    keep(yard.office.folder(), "empty-office", "office");
    yard.take_in(&bundle).unwrap();
    yard.office.notebook().pause().unwrap();
    keep(yard.office.folder(), "office", "office");
    keep(&yard.folder(1), "phone", "phone");
    fs::create_dir(fresh("nothing")).unwrap();
    // The phone as it was before the reply, and its key with nothing beside it.
    let (reply, phone_backup) = (yard.file("for-phone.yard"), yard.file("phone.backup"));
    yard.office.make_reply(yard.phones[0].device(), &reply, &Job::silent()).unwrap();
    yard.phones[0].back_up(&phone_backup, &Job::silent()).unwrap();
    fs::create_dir_all(fresh("key").join("phone/local")).unwrap();
    fs::copy(yard.folder(1).join("local/device.key"), fresh("key").join("phone/local/device.key")).unwrap();
    let (key, backup, work) = (yard.file("recovery.key"), yard.file("county.backup"), yard.file("inquiry.json"));
    fs::write(&key, yard.office.recovery_key().unwrap()).unwrap();
    yard.office.back_up(&backup, false, &Job::silent()).unwrap();
    let saved = json!({"kind": "inquiry", "fields": {"question": "Why is it brown? ".repeat(600), "channel": "phone"}});
    fs::write(&work, saved.to_string()).unwrap();

    let phone = move |folder: &Path| Notebook::open(&folder.join("phone"), Env::seeded(9, &yard.clock)).unwrap();
    let office = move |folder: &Path| Office::open(&folder.join("office"), Env::seeded(9, &yard.clock)).unwrap();
    let phone_digest = move |folder: &Path| phone(folder).digest().unwrap().to_hex();
    let office_digest = move |folder: &Path| office(folder).notebook().digest().unwrap().to_hex();
    let inquiries = move |folder: &Path| {
        let phone = phone(folder);
        let query = Query { kind: Some(Kind::Inquiry), ..Query::default() };
        let rows = phone.list(&query).unwrap().rows;
        rows.iter().for_each(|row| assert!(phone.show(row.id).unwrap().text("question").unwrap().ends_with("brown? ")));
        rows.len().to_string()
    };
    let with_bundle = |digest: String, file: PathBuf| {
        let whole = file.exists().then(|| look_inside(&file).unwrap().whole);
        format!("{digest} {whole:?}")
    };
    let with_backup = move |digest: String, file: PathBuf| {
        let key = recovery_key(&yard.office.folder().join("office.key")).unwrap();
        let head = file.exists().then(|| Unpacked::check(&file, &Opener::new(vec![key])).unwrap().sort);
        format!("{digest} {head:?}")
    };

    let mut tasks = Vec::new();
    let mut task = |name, on: &str, command: ToRun<'a>, state: ToSee<'a>| {
        let repeated = |single: &str, repeated: &str| single == repeated;
        let once = (name == "bundle take-reply").then_some("STALE_REPLY");
        tasks.push(Task { name, fresh: fresh(on), command, state, once, repeated });
    };
    task(
        "notebook save",
        "phone",
        Box::new(move |at| dooryard(&["notebook", "save"], &[&at.join("phone"), &work])),
        Box::new(inquiries),
    );
    task(
        "bundle make",
        "phone",
        Box::new(|at| dooryard(&["bundle", "make"], &[&at.join("phone"), "--out".as_ref(), &at.join("made.yard")])),
        Box::new(move |at| with_bundle(phone_digest(at), at.join("made.yard"))),
    );
    task(
        "notebook backup",
        "phone",
        Box::new(|at| dooryard(&["notebook", "backup"], &[&at.join("phone"), "--out".as_ref(), &at.join("a.backup")])),
        Box::new(move |at| with_backup(phone_digest(at), at.join("a.backup"))),
    );
    task(
        "notebook restore",
        "key",
        Box::new(move |at| dooryard(&["notebook", "restore"], &[&phone_backup, &at.join("phone")])),
        Box::new(move |at| if at.join("phone/notebook.db").exists() { phone_digest(at) } else { "nothing".into() }),
    );
    task(
        "bundle take-reply",
        "phone",
        Box::new(move |at| dooryard(&["bundle", "take-reply"], &[&at.join("phone"), &reply])),
        Box::new(move |at| {
            // A reply changes nothing that was written: its receipt and its records count.
            let phone = phone(at);
            let received: Vec<u64> = phone.own_logs().unwrap().iter().map(|log| log.received_to).collect();
            format!("{} {received:?} {}", phone.digest().unwrap().to_hex(), phone.blobs_to_offer().unwrap().len())
        }),
    );
    task(
        "notebook export",
        "phone",
        Box::new(|at| dooryard(&["notebook", "export"], &[&at.join("phone"), "--out".as_ref(), &at.join("own.zip")])),
        Box::new(move |at| {
            // The same notebook gives the same bytes.
            let zip = fs::read(at.join("own.zip")).ok().map(|bytes| Hash32::of(&bytes).to_hex());
            format!("{} {zip:?}", phone_digest(at))
        }),
    );
    task(
        "bundle take-in",
        "empty-office",
        Box::new(move |at| dooryard(&["bundle", "take-in", "--office"], &[&at.join("office"), &bundle])),
        Box::new(office_digest),
    );
    task(
        "bundle reply",
        "office",
        Box::new(|at| {
            let (office, out) = (at.join("office"), at.join("reply.yard"));
            let paths = [office.as_path(), "--out".as_ref(), &out];
            dooryard(&["bundle", "reply", "--device", "Scout 1", "--office"], &paths)
        }),
        Box::new(move |at| with_bundle(office_digest(at), at.join("reply.yard"))),
    );
    task(
        "office revoke",
        "office",
        Box::new(|at| dooryard(&["office", "revoke", "--device", "Scout 1"], &[&at.join("office")])),
        // Said twice it is the same: not so the office's log.
        Box::new(move |at| format!("{:?}", office(at).devices().unwrap())),
    );
    task(
        "office backup",
        "office",
        Box::new(|at| dooryard(&["office", "backup"], &[&at.join("office"), "--out".as_ref(), &at.join("a.backup")])),
        Box::new(move |at| with_backup(office_digest(at), at.join("a.backup"))),
    );
    task(
        "office rotate",
        "office",
        Box::new(|at| dooryard(&["office", "rotate"], &[&at.join("office")])),
        Box::new(move |at| format!("{} {}", office_digest(at), office(at).card().serial)),
    );
    task(
        "office restore",
        "nothing",
        Box::new(move |at| dooryard(&["office", "restore"], &[&backup, &at.join("office"), "--key".as_ref(), &key])),
        Box::new(move |at| if at.join("office/office.key").exists() { office_digest(at) } else { "nothing".into() }),
    );
    for task in &mut tasks {
        task.repeated = match task.name {
            // Where only the last words of a run failed, the repetition saves once more.
            "notebook save" => |_, repeated| matches!(repeated, "1" | "2"),
            // The same, with the number of the card.
            "office rotate" => |single, repeated| {
                let digest = single.strip_suffix(" 2").unwrap();
                repeated.strip_prefix(digest).is_some_and(|serial| matches!(serial, " 2" | " 3"))
            },
            _ => |single, repeated| single == repeated,
        };
    }
    tasks
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
