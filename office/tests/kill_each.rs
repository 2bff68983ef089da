//! The command killed at each of its writes, syncs and renames in turn, then repeated: nothing lost, nothing left over.
//!
//! `strace` counts the calls of a whole run and kills the next run at the n-th, for every n.
#![cfg(target_os = "linux")]
#![allow(clippy::unwrap_used, reason = "a test")]

mod common;

use std::{
    fs,
    path::{Path, PathBuf},
    process::{Command, Stdio},
};

use common::{Work, files, handed_over, received_is_there, state, take_in};
use dooryard_core::{
    clock::Env,
    enrol::{Invitation, Invited},
    ids::{BlobId, Hash32},
    job::Job,
    notebook::{Notebook, Query},
    record::{Kind, Role},
};
use dooryard_office::desk::Office;
use dooryard_tests::{Yard, copy_folder, save};
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use serde_json::json;

/// The calls that change what is on disk; strace counts each by itself, and passes over one that a machine does not have.
const CALLS: [&str; 12] = [
    "?write",
    "?pwrite64",
    "?fsync",
    "?fdatasync",
    "?rename",
    "?renameat",
    "?renameat2",
    "?unlink",
    "?unlinkat",
    "?ftruncate",
    "?copy_file_range",
    "?sendfile",
];

/// How often a command makes calls of a kind, in its busiest thread.
fn count(command: &Command, calls: &str, log: &Path) -> usize {
    let status = traced(command, &[&format!("trace={calls}")], log).status().unwrap();
    assert!(status.success(), "{command:?}: {status}");
    let mut threads = std::collections::BTreeMap::new();
    for line in fs::read_to_string(log).unwrap().lines().filter(|l| l.contains('(')) {
        *threads.entry(line.split_whitespace().next().unwrap_or_default().to_owned()).or_insert(0) += 1;
    }
    threads.into_values().max().unwrap_or(0)
}

/// Runs a command and kills it as it begins the n-th call of a kind.
fn kill_at(command: &Command, calls: &str, n: usize, log: &Path) {
    let inject = format!("inject={calls}:signal=KILL:when={n}");
    let status = traced(command, &[&format!("trace={calls}"), &inject], log).status().unwrap();
    assert!(!status.success(), "{command:?} was not killed at {calls} {n}");
}

fn traced(command: &Command, expressions: &[&str], log: &Path) -> Command {
    let mut strace = Command::new("strace");
    strace.args(["-f", "-qq", "-o"]).arg(log);
    for expression in expressions {
        strace.args(["-e", expression]);
    }
    strace.arg(command.get_program()).args(command.get_args());
    strace.stdout(Stdio::null()).stderr(Stdio::null());
    strace
}

fn dooryard(args: &[&str], paths: &[&Path]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_dooryard"));
    command.args(args).args(paths).stdout(Stdio::null()).stderr(Stdio::null());
    command
}

/// Every photo in a folder is what its name says.
fn photos_are_whole(folder: &Path) {
    for name in files(folder).iter().filter(|name| name.starts_with("photos/") && !name.starts_with("photos/new/")) {
        let bytes = fs::read(folder.join(name)).unwrap();

        assert_eq!(name.rsplit('/').next(), Some(BlobId::of(&bytes).to_hex().as_str()));
    }
}

/// Lets the phone take a reply of an office that was killed: what it counts as received then is there. Gives the office's digest.
fn receipted(yard: &Yard, folder: &Path) -> Hash32 {
    let (office, phone, reply) = (yard.file("seen"), yard.file("phone"), yard.file("reply.yard"));
    for (from, to) in [(folder, &office), (&yard.folder(1), &phone)] {
        let _ = fs::remove_dir_all(to);
        copy_folder(from, to).unwrap();
    }
    let office = Office::open(&office, Env::seeded(1, &yard.clock)).unwrap();
    let phone = Notebook::open(&phone, Env::seeded(2, &yard.clock)).unwrap();
    let offered = phone.blobs_to_offer().unwrap();
    office.make_reply(phone.device(), &reply, &Job::silent()).unwrap();
    phone.take_reply(&reply, &Job::silent()).unwrap();
    received_is_there(&phone, &offered, &office).unwrap();
    office.notebook().digest().unwrap()
}

/// Runs a command on copies of a folder, killed at each call of each kind; looks after each kill and after the repetition.
fn killed_at_each(
    yard: &Yard,
    fresh: &Path,
    command: impl Fn(&Path) -> Command,
    after_kill: impl Fn(&Path),
    after_repeat: impl Fn(&Path),
) -> usize {
    let log = yard.file("calls.log");
    let mut kills = 0;
    for calls in CALLS {
        let counted = yard.file("counted");
        copy_folder(fresh, &counted).unwrap();
        let total = count(&command(&counted), calls, &log);
        fs::remove_dir_all(&counted).unwrap();
        for n in 1..=total {
            let folder = yard.file("killed");
            copy_folder(fresh, &folder).unwrap();
            kill_at(&command(&folder), calls, n, &log);
            after_kill(&folder);
            assert!(command(&folder).status().unwrap().success(), "repeated after {calls} {n}");
            after_repeat(&folder);
            fs::remove_dir_all(&folder).unwrap();
        }
        kills += total;
    }
    kills
}

#[test]
fn an_office_killed_at_each_write_sync_and_rename_of_a_take_in_ends_in_the_same_state() {
    let yard = Yard::new(43, 1).unwrap();
    let file = handed_over(&yard, &mut ChaCha8Rng::seed_from_u64(43), &Work { plants: 3, photos: &[40, 1_300] });
    yard.office.notebook().pause().unwrap();
    let whole = yard.file("whole");
    copy_folder(yard.office.folder(), &whole).unwrap();
    assert!(take_in(&whole, &file).status().unwrap().success());
    let (before, end, left) = (state(yard.office.folder(), &yard).0, state(&whole, &yard), files(&whole));
    assert_eq!(end.1, 0);
    yard.phones[0].pause().unwrap();
    let honest = |folder: &Path| {
        photos_are_whole(folder);
        assert!([before, end.0].contains(&receipted(&yard, folder)));
    };
    let same = |folder: &Path| {
        assert_eq!(state(folder, &yard), end);
        assert_eq!(files(folder), left);
    };
    let kills = killed_at_each(&yard, yard.office.folder(), |folder| take_in(folder, &file), honest, same);
    assert!(kills > 60, "only {kills} calls were met");
    eprintln!("{kills} calls");
}

#[test]
fn a_phone_killed_at_each_write_sync_and_rename_keeps_every_save_whole() {
    let yard = Yard::new(44, 1).unwrap();
    let kept = save(&yard.phones[0], Kind::Plant, json!({"host": "oak"})).unwrap();
    yard.phones[0].pause().unwrap();
    let work = yard.file("work.json");
    let saved = json!({"kind": "inquiry", "fields": {"question": "Why is it brown?", "channel": "phone"}});
    fs::write(&work, saved.to_string()).unwrap();
    let open = |folder: &Path| Notebook::open(folder, Env::seeded(9, &yard.clock)).unwrap();
    let whole_or_not_at_all = |folder: &Path| {
        let phone = open(folder);
        assert_eq!(phone.show(kept).unwrap().text("host"), Some("oak"));
        let inquiries = phone.list(&Query { kind: Some(Kind::Inquiry), ..Query::default() }).unwrap().rows;
        for summary in &inquiries {
            assert_eq!(phone.show(summary.id).unwrap().text("question"), Some("Why is it brown?"));
        }
        inquiries.len()
    };
    let save_it = |folder: &Path| dooryard(&["notebook", "save"], &[folder, &work]);
    let kills = killed_at_each(
        &yard,
        &yard.folder(1),
        save_it,
        |folder| assert!(whole_or_not_at_all(folder) <= 1),
        |folder| assert!((1..=2).contains(&whole_or_not_at_all(folder))),
    );
    assert!(kills > 5, "only {kills} calls were met");

    let out: PathBuf = yard.file("made.yard");
    let bundle = |folder: &Path| dooryard(&["bundle", "make", "--out"], &[&out, folder]);
    let whole = |_: &Path| {
        if out.exists() {
            assert!(dooryard(&["bundle", "look-inside"], &[&out]).status().unwrap().success());
            fs::remove_file(&out).unwrap();
        }
    };
    let made = |folder: &Path| {
        assert!(out.exists());
        whole(folder);
    };
    assert!(killed_at_each(&yard, &yard.folder(1), bundle, whole, made) > 5);
}

#[test]
fn a_phone_killed_at_each_write_and_sync_of_joining_has_all_it_wrote_before_for_no_office_or_for_that_one() {
    let yard = Yard::new(45, 1).unwrap();
    let fresh = yard.file("first");
    let phone = Notebook::create(&fresh, Env::seeded(46, &yard.clock)).unwrap();
    let ids: Vec<_> =
        (0..5).map(|n| save(&phone, Kind::Plant, json!({"host": "oak", "present": n})).unwrap()).collect();
    phone.delete(ids[4]).unwrap();
    phone.pause().unwrap();
    drop(phone);
    let invited = Invited {
        code: [7; 16],
        role: Role::Scout,
        label: "Scout 9".into(),
        made_ms: 0,
        expires_ms: 4_000_000_000_000,
    };
    let code = Invitation::new(yard.office.notebook().signed_card().unwrap(), invited).unwrap().to_text().unwrap();
    let all_here = |folder: &Path| {
        let phone = Notebook::open(folder, Env::seeded(9, &yard.clock)).unwrap();
        for (n, id) in ids.iter().enumerate() {
            let shown = phone.show(*id).unwrap();
            assert_eq!((shown.get("present"), shown.hidden), (Some(&json!(n)), n == 4));
            assert!(phone.history(*id).unwrap().iter().all(|save| save.waiting.is_none()));
        }
        assert_eq!(phone.own_logs().unwrap().iter().map(|log| log.tip).sum::<u64>(), 6);
        phone.card().is_ok()
    };
    let file = yard.file("code.txt");
    fs::write(&file, code).unwrap();
    let join = |folder: &Path| dooryard(&["notebook", "join"], &[folder, &file]);
    let seen = std::cell::RefCell::new(std::collections::BTreeSet::new());
    let after_kill = |folder: &Path| {
        seen.borrow_mut().insert(all_here(folder));
    };
    let kills = killed_at_each(&yard, &fresh, join, after_kill, |folder| assert!(all_here(folder)));
    assert_eq!(seen.borrow().len(), 2, "some belong to no office after the kill, some to that one");
    assert!(kills > 5, "only {kills} calls were met");
}
