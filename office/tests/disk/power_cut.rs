//! A power cut at any moment of a command that writes, or a kill: what was not made durable is lost, the state is as before or as
//! after, the same command goes through afterwards, and what a command said it did is there.
//!
//! `strace` writes down what a whole run does to files; from that the disk is put together as it would come back ([`super::unsynced`]).

use std::{
    collections::HashSet,
    fs,
    panic::{AssertUnwindSafe, catch_unwind},
    path::Path,
};

use dooryard_core::{clock::Env, job::Job, notebook::Notebook};
use dooryard_office::desk::Office;
use dooryard_tests::{Yard, copy_folder};
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;

use super::{
    calls::{self, Call},
    common::{Work, files, handed_over, received_is_there},
    tasks::{Task, WORD, dooryard, tasks},
    unsynced::{self, Disk, Image, Kept},
};

/// Moments of a run at which the power goes, at most, for each way in which the disk comes back.
const MOMENTS: usize = 12;

/// Each different state in which the disk can come back after a cut within these calls, the one after the last of them at the end.
/// With each whether the run was over by then.
fn cuts(mut disk: Disk, calls: &[Call]) -> Vec<(String, Image, bool)> {
    let mut all = Vec::new();
    let mut seen = HashSet::new();
    for (at, call) in calls.iter().enumerate() {
        let is_last = at + 1 == calls.len();
        if !(disk.apply(call) || is_last) {
            continue;
        }
        for kept in [Kept::Nothing, Kept::Names, Kept::Some(at as u64), Kept::All] {
            let image = disk.after_a_cut(kept);
            if seen.insert(image.clone()) || is_last {
                all.push((kept, at, image, is_last));
            }
        }
    }
    let spread = |wanted: fn(&Kept) -> bool| {
        let places: Vec<usize> = (0..all.len()).filter(|at| wanted(&all[*at].0)).collect();
        let step = places.len().div_ceil(MOMENTS).max(1);
        // Counted from the end, so that the last one is among them.
        places.into_iter().rev().step_by(step).collect::<Vec<_>>()
    };
    let chosen: HashSet<usize> = [
        spread(|kept| matches!(kept, Kept::Nothing)),
        spread(|kept| matches!(kept, Kept::Names)),
        spread(|kept| matches!(kept, Kept::Some(_))),
        spread(|kept| matches!(kept, Kept::All)),
    ]
    .concat()
    .into_iter()
    .collect();
    let describe =
        |(kept, at, image, over): (Kept, usize, Image, bool)| (format!("{kept:?} kept after call {at}"), image, over);
    all.into_iter().enumerate().filter(|(at, _)| chosen.contains(at)).map(|(_, cut)| describe(cut)).collect()
}

/// Runs a task once, and looks at what a cut leaves at each moment. Gives the number of states looked at.
///
/// # Errors
/// The first state that is neither as before nor as after, out of which the task does not go through, or that lacks what the
/// task had said it did.
fn survives(yard: &Yard, task: &Task<'_>, disk: fn(&Path) -> Disk) -> Result<usize, String> {
    let folder = yard.file("work");
    let copy = yard.file("seen");
    let state = || task.seen(&folder, &copy);
    let _ = fs::remove_dir_all(&folder);
    copy_folder(&task.fresh, &folder).unwrap();
    let (before, disk) = (state(), disk(&folder));
    let calls = calls::of(&(task.command)(&folder), &yard.file("calls.log"));
    let (after, left) = (state(), files(&folder));
    let cuts = cuts(disk, &calls);
    let number = cuts.len();
    for (moment, image, is_over) in cuts {
        unsynced::write(&image, &folder);
        let look = || {
            let now = state();
            if now != after && (is_over || now != before) {
                return Err(format!("{now}, not {after}{}", if is_over { "" } else { " or as before" }));
            }
            task.once_more(&folder, &copy, (&after, &left))
        };
        let looked = catch_unwind(AssertUnwindSafe(look)).unwrap_or_else(|panic| {
            let said = panic.downcast_ref::<String>().cloned();
            Err(said.or_else(|| panic.downcast_ref::<&str>().map(ToString::to_string)).unwrap_or_default())
        });
        looked.map_err(|said| format!("{}, {moment}: {said}", task.name))?;
    }
    Ok(number)
}

#[test]
fn after_a_power_cut_every_command_is_done_or_not_begun_and_what_it_said_it_did_is_there() {
    let yard = Yard::new(47, 1).unwrap();
    for task in tasks(&yard) {
        let states = survives(&yard, &task, Disk::of).unwrap();
        eprintln!("{}: {states} states", task.name);
        assert!(states > 5, "{}: only {states}", task.name);
    }
}

/// A disk that says that it made something durable and did not is found out: so the checks above can fail.
#[test]
fn on_a_disk_that_does_not_heed_syncs_every_command_is_found_to_have_lost_what_it_said_it_did() {
    let yard = Yard::new(48, 1).unwrap();
    for task in tasks(&yard) {
        let lost = survives(&yard, &task, Disk::lying);
        assert!(lost.is_err(), "{}: nothing was lost on a disk that keeps nothing", task.name);
    }
}

/// The office's databases, open as the office page has them: nobody else who closes one then removes its log.
fn opened(office: &Path) -> Vec<rusqlite::Connection> {
    let open = |name: &str| {
        let conn = rusqlite::Connection::open(office.join(name)).unwrap();
        conn.execute_batch("PRAGMA secure_delete = ON; PRAGMA wal_autocheckpoint = 0;").unwrap();
        conn.query_row("SELECT count(*) FROM sqlite_master", [], |row| row.get::<_, i64>(0)).unwrap();
        conn
    };
    ["notebook/notebook.db", "index.db", "people.db"].map(open).into()
}

/// A copy of an office's folder where all of each database stands in its log too.
fn copy_with_full_logs(from: &Path, to: &Path) {
    let between = to.with_extension("between");
    copy_folder(from, &between).unwrap();
    let page = opened(&between.join("office"));
    page.iter().for_each(|conn| conn.execute_batch("VACUUM").unwrap());
    copy_folder(&between, to).unwrap();
}

/// What a command erased stands in no file of the folder, whatever comes back: not in a log that was emptied without a sync either.
#[test]
fn what_was_erased_a_power_cut_does_not_bring_back_into_any_file() {
    let yard = Yard::new(50, 1).unwrap();
    let tasks = tasks(&yard);
    let task = tasks.iter().find(|task| task.name == "office erase").unwrap();
    for page_runs in [false, true] {
        let folder = yard.file(if page_runs { "beside a page" } else { "alone" });
        let copied =
            if page_runs { copy_with_full_logs } else { |from: &Path, to: &Path| copy_folder(from, to).unwrap() };
        copied(&task.fresh, &folder);
        // Read before anything opens it here: closing a file ends this program's locks on it.
        let mut disk = Disk::of(&folder);
        let page = if page_runs { opened(&folder.join("office")) } else { Vec::new() };
        let with = |image: Image| -> Vec<String> {
            let holds = |bytes: &[u8]| memchr::memmem::find(bytes, WORD.as_bytes()).is_some();
            image.0.iter().filter(|(_, bytes)| holds(bytes)).map(|(name, _)| name.display().to_string()).collect()
        };
        let before = with(disk.after_a_cut(Kept::Nothing));
        let ending = |end: &str| before.iter().filter(|name| name.ends_with(end)).count();
        assert_eq!((ending(".db"), ending(".db-wal")), (3, page.len()), "{before:?}");
        for call in calls::of(&(task.command)(&folder), &yard.file("calls.log")) {
            disk.apply(&call);
        }
        for kept in [Kept::Nothing, Kept::Names, Kept::All].into_iter().chain((0..50).map(Kept::Some)) {
            let found = with(disk.after_a_cut(kept));
            assert!(found.is_empty(), "{kept:?} kept, the page runs: {page_runs}: {found:?}");
        }
        drop(page);
    }
}

/// An office that takes in, then makes a reply: all its calls, and the disk before them.
fn taken_in_and_replied(yard: &Yard, disk: fn(&Path) -> Disk) -> (Disk, Vec<Call>, Vec<Call>) {
    let work = Work { plants: 3, photos: &[40, 200] };
    let file = handed_over(yard, &mut ChaCha8Rng::seed_from_u64(49), &work);
    yard.phones[0].pause().unwrap();
    yard.office.notebook().pause().unwrap();
    let folder = yard.file("work");
    copy_folder(yard.office.folder(), &folder.join("office")).unwrap();
    let disk = disk(&folder);
    let log = yard.file("calls.log");
    let office = folder.join("office");
    let taking_in = calls::of(&dooryard(&["bundle", "take-in", "--office"], &[&office, &file]), &log);
    let out = folder.join("reply.yard");
    let reply = dooryard(&["bundle", "reply", "--device", "Scout 1", "--office"], &[&office, "--out".as_ref(), &out]);
    (disk, taking_in, calls::of(&reply, &log))
}

/// Lets a phone take a reply, and looks whether the office that came back after a cut holds what the phone counts as received since, and
/// whether the phone takes the office's next reply.
///
/// # Errors
/// What the office lacks.
fn keeps_what_it_replied(yard: &Yard, reply: &[u8], image: &Image) -> Result<(), String> {
    let (phone, back) = (yard.file("phone"), yard.file("back"));
    let _ = fs::remove_dir_all(&phone);
    copy_folder(&yard.folder(1), &phone).unwrap();
    unsynced::write(image, &back);
    let carried = yard.file("carried.yard");
    fs::write(&carried, reply).unwrap();
    let phone = Notebook::open(&phone, Env::seeded(9, &yard.clock)).unwrap();
    let offered = phone.blobs_to_offer().unwrap();
    phone.take_reply(&carried, &Job::silent()).unwrap();
    let office = Office::open(&back.join("office"), Env::seeded(9, &yard.clock)).map_err(|e| e.to_string())?;
    received_is_there(&phone, &offered, &office)?;
    office.make_reply(phone.device(), &carried, &Job::silent()).map_err(|e| e.to_string())?;
    phone.take_reply(&carried, &Job::silent()).map(drop).map_err(|e| format!("the next reply: {e}"))
}

/// Plays a take-in and a reply, and cuts the power at each moment from which on the reply can be carried away.
///
/// # Errors
/// The first moment at which the office lost what the reply names.
fn replies_hold(yard: &Yard, disk: fn(&Path) -> Disk) -> Result<usize, String> {
    let (mut disk, taking_in, replying) = taken_in_and_replied(yard, disk);
    let out = yard.file("work").join("reply.yard");
    taking_in.iter().for_each(|call| _ = disk.apply(call));
    disk.ended();
    let mut moments = 0;
    for (at, call) in replying.iter().enumerate() {
        let changed = disk.apply(call);
        let Some(reply) = disk.now(&out).map(<[u8]>::to_vec).filter(|_| changed || at + 1 == replying.len()) else {
            continue;
        };
        for kept in [Kept::Nothing, Kept::Names, Kept::Some(at as u64), Kept::All] {
            let image = disk.after_a_cut(kept);
            keeps_what_it_replied(yard, &reply, &image)
                .map_err(|said| format!("{kept:?} kept after call {at}: {said}"))?;
            moments += 1;
        }
    }
    Ok(moments)
}

#[test]
fn what_a_reply_says_is_held_a_power_cut_does_not_take_away() {
    let moments = replies_hold(&Yard::new(49, 1).unwrap(), Disk::of).unwrap();
    assert!(moments >= 8, "only {moments}");
    // With syncs that are not heeded a reply is a receipt before the sync of what it names.
    let lost = replies_hold(&Yard::new(49, 1).unwrap(), Disk::lying).unwrap_err();
    assert!(lost.contains("count as received") || lost.contains("counts as received"), "{lost}");
}
