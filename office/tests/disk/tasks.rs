//! The commands that write, each on what it needs, and what anyone can tell of their work from outside.

use std::{
    collections::BTreeSet,
    fs,
    path::{Path, PathBuf},
    process::{Command, Stdio},
};

use dooryard_core::{
    bundle::{Opener, look_inside},
    clock::Env,
    ids::Hash32,
    job::Job,
    notebook::{Notebook, Query, Unpacked},
    record::Kind,
};
use dooryard_office::{
    desk::{LedgerChoice, Office, recovery_key},
    index::Index,
    page::Names,
    people::{Passwords, People, Role},
};
use dooryard_tests::{Yard, copy_folder, files_with, save};
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use serde_json::{Value as Json, json};

use crate::common::{Work, files, handed_over};

type ToRun<'a> = Box<dyn Fn(&Path) -> Command + 'a>;
type ToSee<'a> = Box<dyn Fn(&Path) -> String + 'a>;

/// A command that writes below a folder, and what it makes of it.
pub struct Task<'a> {
    pub name: &'static str,
    /// What stands in the folder before.
    pub fresh: PathBuf,
    pub command: ToRun<'a>,
    /// What stands in a copy of the folder, as far as anyone can tell from outside.
    pub state: ToSee<'a>,
    /// Whether a run that was repeated after one that failed ended well, by the states of a single run and of this one.
    pub repeated: fn(&str, &str) -> bool,
    /// The code with which a repetition of what is done already is refused, where it is.
    pub again: Option<&'static str>,
    /// Files that may be there or not after a run that was repeated.
    pub may_differ: fn(&str) -> bool,
}

/// What stands in the record that is erased, and nowhere else.
pub const WORD: &str = "quillonwatsby";

pub fn dooryard(args: &[&str], paths: &[&Path]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_dooryard"));
    command.arg("--json").args(args).args(paths).stdin(Stdio::null());
    command
}

/// What an office's folder holds besides once somebody looked at its page: the index of its inquiries, and a saved view of the word.
fn look_at(office: &Office, folder: &Path, yard: &Yard) {
    let names = Names::of(&dooryard_office::pack::load(None).unwrap());
    Index::open(folder, &names).unwrap().follow(office.notebook()).unwrap();
    let env = Env::seeded(46, &yard.clock);
    let passwords = Passwords::with(&env, argon2::Params::new(8, 1, 1, None).unwrap()).unwrap();
    let people = People::open(folder, env, passwords).unwrap();
    people.add_account("Wren", Role::Admin, "beans and squash").unwrap();
    let wren = people.sign_in("Wren", "beans and squash", None).unwrap().visitor;
    people.save_view(&wren, "the letter", &format!("q={WORD}")).unwrap();
    drop(people);
    let with = files_with(folder, WORD.as_bytes()).unwrap();
    assert!(["index.db", "people.db"].iter().all(|file| with.contains(&folder.join(file))), "{with:?}");
}

/// A yard with work done on the phone and taken in at the office, and every command on it.
pub fn tasks<'a>(yard: &'a Yard) -> Vec<Task<'a>> {
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
    let letter = save(yard.office.notebook(), Kind::Inquiry, json!({"question": WORD})).unwrap();
    yard.office.notebook().pause().unwrap();
    keep(yard.office.folder(), "office", "office");
    keep(yard.office.folder(), "looked-at office", "office");
    look_at(&yard.office, &fresh("looked-at office").join("office"), yard);
    keep(&yard.folder(1), "phone", "phone");
    fs::create_dir(fresh("nothing")).unwrap();
    copy_folder(&yard.folder(1).join("local"), &fresh("key").join("phone/local")).unwrap();
    let (key, backup, work) = (yard.file("recovery.key"), yard.file("county.backup"), yard.file("inquiry.json"));
    let (reply, own) = (yard.file("reply.yard"), yard.file("phone.backup"));
    yard.office.make_reply(yard.phones[0].device(), &reply, &Job::silent()).unwrap();
    yard.phones[0].back_up(&own, &Job::silent()).unwrap();
    fs::write(&key, yard.office.recovery_key().unwrap()).unwrap();
    yard.office.back_up(&backup, false, &Job::silent()).unwrap();
    let saved = json!({"kind": "inquiry", "fields": {"question": "Why is it brown? ".repeat(600), "channel": "phone"}});
    fs::write(&work, saved.to_string()).unwrap();

    let phone = move |folder: &Path| Notebook::open(&folder.join("phone"), Env::seeded(9, &yard.clock)).unwrap();
    let office = move |folder: &Path| Office::open(&folder.join("office"), Env::seeded(9, &yard.clock)).unwrap();
    let phone_digest = move |folder: &Path| phone(folder).digest().unwrap().to_hex();
    let office_digest = move |folder: &Path| office(folder).notebook().digest().unwrap().to_hex();
    let received = move |folder: &Path| {
        let phone = phone(folder);
        let logs: Vec<_> = phone.own_logs().unwrap().iter().map(|log| (log.tip, log.received_to)).collect();
        format!("{} {logs:?} {}", phone.digest().unwrap(), phone.blobs_to_offer().unwrap().len())
    };
    let county = backup.clone();
    let erased = move |folder: &Path| {
        let text = |office: &Office| office.notebook().show(letter).unwrap().text("question").map(str::to_owned);
        if let Some(text) = text(&office(folder)) {
            return text;
        }
        // Everywhere in the folder, and in what comes back from a backup of before by the ledger that stands there.
        assert_eq!(files_with(folder, WORD.as_bytes()).unwrap(), Vec::<PathBuf>::new());
        let (ledger, back) = (LedgerChoice::File(folder.join("office/erasures.ledger")), folder.join("back"));
        let key = recovery_key(&yard.office.folder().join("office.key")).unwrap();
        let env = Env::seeded(9, &yard.clock);
        Office::restore(&county, &back, &key, &ledger, None, env, &Job::silent()).unwrap();
        assert_eq!(text(&Office::open(&back, Env::seeded(9, &yard.clock)).unwrap()), None, "it came back");
        "erased".to_owned()
    };
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
        tasks.push(Task {
            name,
            fresh: fresh(on),
            command,
            state,
            repeated: |single, repeated| single == repeated,
            again: None,
            may_differ: |_| false,
        });
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
    task(
        "notebook new",
        "nothing",
        Box::new(|at| dooryard(&["notebook", "new"], &[&at.join("phone")])),
        Box::new(move |at| {
            // Its number, and that it opens.
            let made = at.join("phone/local/device.key").exists();
            if made { format!("{} logs", phone(at).own_logs().unwrap().len()) } else { "nothing".into() }
        }),
    );
    task(
        "notebook restore",
        "key",
        Box::new(move |at| dooryard(&["notebook", "restore"], &[&own, &at.join("phone")])),
        Box::new(move |at| if at.join("phone/notebook.db").exists() { phone_digest(at) } else { "nothing".into() }),
    );
    task(
        "bundle take-reply",
        "phone",
        Box::new(move |at| dooryard(&["bundle", "take-reply"], &[&at.join("phone"), &reply])),
        Box::new(received),
    );
    let number = letter.to_string();
    task(
        "office erase",
        "looked-at office",
        Box::new(move |at| dooryard(&["office", "erase", "--yes"], &[&at.join("office"), number.as_ref()])),
        Box::new(erased),
    );
    task(
        "office revoke",
        "office",
        Box::new(|at| dooryard(&["office", "revoke", "--device", "Scout 1"], &[&at.join("office")])),
        Box::new(move |at| {
            let office = office(at);
            let scout = office.device("Scout 1").unwrap();
            let cut_off = office.notebook().authority().unwrap().cut_off(&scout).is_some();
            let ledger = fs::read(at.join("office/erasures.ledger")).is_ok_and(|bytes| !bytes.is_empty());
            format!("{cut_off} {ledger}")
        }),
    );
    for task in &mut tasks {
        task.again = match task.name {
            "bundle take-reply" => Some("STALE_REPLY"),
            "notebook new" => Some("SCHEMA"),
            _ => None,
        };
        task.may_differ = match task.name {
            // Bundles as they came go where an erasure was stopped before all of them were looked through. An index that could not be
            // cleaned goes whole: the page makes it anew.
            "office erase" => {
                |name| name == "office/index.db" || name.starts_with("office/originals/") && name.ends_with(".yard")
            }
            // Where the key stands, the rest is made by whatever opens the notebook first.
            "notebook new" => {
                |name| matches!(name, "phone/local/incarnation" | "phone/notebook.db" | "phone/notebook.db-journal")
            }
            _ => |_| false,
        };
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

impl Task<'_> {
    /// The state of a folder, looked at in a copy of it.
    pub fn seen(&self, folder: &Path, copy: &Path) -> String {
        let _ = fs::remove_dir_all(copy);
        copy_folder(folder, copy).unwrap();
        (self.state)(copy)
    }

    /// Runs it once more on a folder in which it failed, or was done before, and looks whether the folder is as after a single run
    /// then: its state, and its files.
    ///
    /// # Errors
    /// What differs, or what it says when it is refused and should not be.
    pub fn once_more(
        &self,
        folder: &Path,
        copy: &Path,
        (after, left): (&str, &BTreeSet<String>),
    ) -> Result<(), String> {
        let output = (self.command)(folder).output().unwrap();
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        let last: Json = serde_json::from_str(said.lines().last().unwrap_or_default()).unwrap_or_default();
        let now = self.seen(folder, copy);
        let is_done = self.again.is_some_and(|code| last["code"] == code) && now == after;
        if !output.status.success() && !is_done {
            return Err(said);
        }
        if !(self.repeated)(after, &now) {
            return Err(format!("done again: {now}, not {after}"));
        }
        let files = files(folder);
        let more: Vec<_> = files.difference(left).filter(|name| !(self.may_differ)(name)).collect();
        let fewer: Vec<_> = left.difference(&files).filter(|name| !(self.may_differ)(name)).collect();
        if more.is_empty() && fewer.is_empty() {
            Ok(())
        } else {
            Err(format!("done again: {more:?} too many, {fewer:?} missing"))
        }
    }
}
