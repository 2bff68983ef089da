//! The stores that are fed, and what is read out of them: the model, the rows of SQLite, and whole notebooks.

use std::path::{Path, PathBuf};

use dooryard_core::{
    clock::{Env, SetClock},
    ids::{Hash32, LogId},
    log::{
        Authority, ChangeRow, Fact, Memory, Pick, SegmentReport, Store, apply_segment, apply_statement, digest,
        load_authority, recount,
    },
    notebook::{Notebook, Rows},
};
use rusqlite::{Connection, OpenFlags};

use crate::{
    feed::Take,
    office::{Office, RECORDS, record},
};

fn env() -> Env {
    Env::seeded(7, &SetClock::at(dooryard_tests::MAY_1))
}

/// Everything that a store keeps of a history, past what it tells of itself.
#[derive(Clone, PartialEq, Debug)]
pub struct Kept {
    /// Every field of every change, with its words, flags and predecessors.
    pub facts: Vec<Fact>,
    /// Every change.
    pub changes: Vec<(LogId, ChangeRow)>,
    /// The places that are reported lost and empty.
    pub lost: Vec<(LogId, u64, Hash32)>,
}

impl Kept {
    fn of(store: &mut dyn Store) -> Self {
        let facts = (0..RECORDS.len()).flat_map(|n| store.facts(&record(n), None).unwrap()).collect();
        let logs = store.logs().unwrap();
        let changes = logs.into_iter().flat_map(|log| store.changes(Pick::Log(log)).unwrap()).collect();
        let lost = store.lost().unwrap().into_iter().map(|(log, link)| (log, link.seq, link.hash)).collect();
        Self { facts, changes, lost }
    }

    /// The same in every order. Left out is the note that words of a change may still come: those that are erased before they
    /// come are not waited for, those that are erased later are.
    pub fn whatever_the_order(mut self) -> Self {
        self.changes.iter_mut().for_each(|(_, row)| row.partial = false);
        self
    }
}

/// Where a store stands.
pub trait Place {
    /// Works in the store.
    fn with<T>(&mut self, work: impl FnOnce(&mut dyn Store) -> T) -> T;
    /// Keeps a backup of it, in the place of the one before.
    fn back_up(&mut self);
    /// Puts the backup in its place.
    fn restore(&mut self);
}

/// The model, with its backup.
#[derive(Default)]
pub struct Model(Memory, Memory);

impl Place for Model {
    fn with<T>(&mut self, work: impl FnOnce(&mut dyn Store) -> T) -> T {
        work(&mut self.0)
    }

    fn back_up(&mut self) {
        self.1 = self.0.clone();
    }

    fn restore(&mut self) {
        self.0 = self.1.clone();
    }
}

/// The rows of SQLite, without the notebook around them.
pub struct Table {
    file: PathBuf,
    conn: Option<Connection>,
}

impl Place for Table {
    fn with<T>(&mut self, work: impl FnOnce(&mut dyn Store) -> T) -> T {
        let conn = self.conn.get_or_insert_with(|| {
            let conn = Connection::open(&self.file).unwrap();
            // Nothing has to outlive this process.
            conn.execute_batch("PRAGMA journal_mode = MEMORY; PRAGMA synchronous = OFF;").unwrap();
            conn
        });
        let tx = conn.transaction().unwrap();
        let done = work(&mut Rows::new(&tx));
        tx.commit().unwrap();
        done
    }

    fn back_up(&mut self) {
        std::fs::copy(&self.file, self.file.with_extension("backup")).unwrap();
    }

    fn restore(&mut self) {
        self.conn = None;
        std::fs::copy(self.file.with_extension("backup"), &self.file).unwrap();
    }
}

/// A store that was fed.
pub struct Fed<P> {
    place: P,
    authority: Authority,
    /// What each segment brought.
    pub reports: Vec<SegmentReport>,
}

impl<P: Place> Fed<P> {
    /// The store in this place, fed with these takes.
    pub fn new(place: P, office: &Office, takes: &[Take]) -> Self {
        let mut fed = Self { place, authority: office.authority(), reports: Vec::new() };
        for take in takes {
            let Self { place, authority, reports } = &mut fed;
            match take {
                Take::Row(row) => {
                    let segment = row.segment(&office.id());
                    reports.push(place.with(|store| apply_segment(store, authority, segment)).unwrap());
                }
                Take::Said(said) => place.with(|store| {
                    for n in said {
                        apply_statement(store, authority, &office.said[*n].2).unwrap();
                    }
                }),
                Take::BackUp => place.back_up(),
                Take::Restore => {
                    place.restore();
                    *authority = place.with(|store| load_authority(store, office.authority())).unwrap();
                }
            }
        }
        fed
    }

    /// Its digest.
    pub fn digest(&mut self) -> Hash32 {
        self.place.with(|store| digest(store, &self.authority)).unwrap()
    }

    /// Its digest after everything that is derived was counted anew.
    pub fn digest_anew(&mut self) -> Hash32 {
        self.place.with(|store| recount(store, &self.authority)).unwrap();
        self.digest()
    }

    /// What it keeps.
    pub fn kept(&mut self) -> Kept {
        self.place.with(|store| Kept::of(store))
    }
}

/// Where stores are made: a folder with a notebook that has been enrolled and has taken nothing in.
pub struct Folders {
    dir: tempfile::TempDir,
    /// The office, which has certified that notebook and phones.
    pub office: Office,
}

impl Folders {
    /// The folders of a new office.
    pub fn new() -> Self {
        let dir = tempfile::tempdir().unwrap();
        let blank = Notebook::create(&dir.path().join("blank"), env()).unwrap();
        let office = Office::new(&blank.enrolment_request());
        blank.enrol(&office.answer()).unwrap();
        blank.pause().unwrap();
        Self { dir, office }
    }

    fn path(&self, name: &str) -> PathBuf {
        self.dir.path().join(name)
    }

    /// The rows of a notebook that has taken nothing in; the next ones take their place.
    pub fn table(&self) -> Table {
        let file = self.path("table.db");
        std::fs::copy(self.path("blank").join("notebook.db"), &file).unwrap();
        Table { file, conn: None }
    }

    /// A notebook fed with these takes; the next one takes its place.
    pub fn notebook(&self, office: &Office, takes: &[Take]) -> Notebook {
        copy(&self.path("blank"), &self.path("store"));
        let mut notebook = Notebook::open(&self.path("store"), env()).unwrap();
        for take in takes {
            match take {
                Take::Row(row) => drop(notebook.take_segment(row.segment(&office.id())).unwrap()),
                Take::Said(said) => {
                    let signed: Vec<_> = said.iter().map(|n| office.said[*n].2.clone()).collect();
                    notebook.take_statements(&signed).unwrap();
                }
                Take::BackUp => {
                    notebook.pause().unwrap();
                    copy(&self.path("store"), &self.path("backup"));
                }
                Take::Restore => {
                    drop(notebook);
                    copy(&self.path("backup"), &self.path("store"));
                    notebook = Notebook::open(&self.path("store"), env()).unwrap();
                }
            }
        }
        notebook
    }
}

/// Copies a folder to the place of another one.
fn copy(from: &Path, to: &Path) {
    if to.exists() {
        std::fs::remove_dir_all(to).unwrap();
    }
    dooryard_tests::copy_folder(from, to).unwrap();
}

/// What a notebook keeps, read from its file.
pub fn kept_in(notebook: &Notebook) -> Kept {
    let file = notebook.folder().join("notebook.db");
    let conn = Connection::open_with_flags(file, OpenFlags::SQLITE_OPEN_READ_ONLY).unwrap();
    Kept::of(&mut Rows::new(&conn))
}
