//! Whether a database has to be looked through before it is opened. That goes over every page, so it is spared where the file is to
//! the byte count and the time the one that was closed whole, and was looked through within a day before that.
//!
//! ```text
//! local/sound = "bytes of the file, its time in nanoseconds, when it was looked through in milliseconds\n"
//! ```
//! A pause writes the mark. It holds as long as the file is that one: what was written since and stands in the log beside it bears sums
//! of its own, so that a stop without a pause costs no look either. Once the log was folded in without a pause, after anything else
//! wrote the file, and after damage that left neither size nor time alone, the opening looks through all of it. What changes neither,
//! as a failing memory cell, is found by the pause that looks through the file once a day: it takes the mark away.

use std::{
    fs,
    io::ErrorKind,
    path::{Path, PathBuf},
    time::UNIX_EPOCH,
};

use rusqlite::Connection;

use crate::error::{Error, Result};

const MARK: &str = "local/sound";
/// How long a look through the whole file is good for, in milliseconds.
const DAY: u64 = 86_400_000;

/// When the database of a folder was last looked through, if its file is the one that was closed whole.
pub(super) fn looked_through(dir: &Path, database: &Path) -> Option<u64> {
    let kept = fs::read_to_string(dir.join(MARK)).ok()?;
    let (stamp, looked_ms) = kept.trim().rsplit_once(' ')?;
    (stamp == stamp_of(database)?).then(|| looked_ms.parse().ok()).flatten()
}

/// Marks a database as closed whole. It was looked through at `looked_ms`; where that is longer ago than a day it is looked
/// through now. Gives when that was last done. A damaged one loses its mark: the next opening sets it aside.
///
/// # Errors
/// Of SQLite, of the file system.
pub(super) fn leave(dir: &Path, database: &Path, conn: &Connection, looked_ms: u64, now_ms: u64) -> Result<u64> {
    let closing = || Error::io("closing the notebook");
    // A clock that went back says nothing of how long it is ago.
    let looked_ms = if looked_ms > now_ms || now_ms - looked_ms >= DAY {
        if !is_sound(conn)? {
            return match fs::remove_file(dir.join(MARK)) {
                Err(e) if e.kind() != ErrorKind::NotFound => Err(closing()(e)),
                _ => Ok(looked_ms),
            };
        }
        now_ms
    } else {
        looked_ms
    };
    // Where somebody else reads, the log could not be folded in: what of it is in the file was looked through by nobody.
    let log = fs::metadata(PathBuf::from(format!("{}-wal", database.display())));
    if let Some(stamp) = stamp_of(database).filter(|_| log.is_ok_and(|log| log.len() == 0)) {
        fs::write(dir.join(MARK), format!("{stamp} {looked_ms}\n")).map_err(closing())?;
    }
    Ok(looked_ms)
}

/// Looks through the whole database.
pub(super) fn is_sound(conn: &Connection) -> Result<bool> {
    let said: String = conn.query_row("PRAGMA quick_check(1)", [], |row| row.get(0))?;
    Ok(said == "ok")
}

/// Size and time of a database's file.
fn stamp_of(database: &Path) -> Option<String> {
    let file = fs::metadata(database).ok()?;
    let changed = file.modified().ok()?.duration_since(UNIX_EPOCH).ok()?;
    Some(format!("{} {}", file.len(), changed.as_nanos()))
}

#[cfg(test)]
mod tests {
    use std::{fs::File, os::unix::fs::FileExt};

    use serde_json::json;

    use super::*;
    use crate::{
        clock::{Env, SetClock},
        notebook::Notebook,
        record::Kind,
    };

    struct Scene {
        dir: tempfile::TempDir,
        clock: SetClock,
    }

    impl Scene {
        fn new() -> Self {
            let scene = Self { dir: tempfile::tempdir().unwrap(), clock: SetClock::at(1_784_562_120_000) };
            let book = Notebook::create(scene.dir.path(), scene.env()).unwrap();
            for n in 0..200 {
                let fields = json!({"host": "oak", "cultivar": format!("kind {n} {}", "x".repeat(150))});
                book.save(Kind::Plant, None, fields.as_object().unwrap()).unwrap();
            }
            scene
        }

        fn env(&self) -> Env {
            Env::seeded(1, &self.clock)
        }

        fn open(&self) -> Result<Notebook> {
            Notebook::open(self.dir.path(), self.env())
        }

        fn mark(&self) -> PathBuf {
            self.dir.path().join(MARK)
        }

        /// Writes over a page in the middle; with `as_before` the file keeps its time, as when a memory cell fails.
        fn damage(&self, as_before: bool) {
            let path = self.dir.path().join("notebook.db");
            let file = File::options().read(true).write(true).open(path).unwrap();
            let meta = file.metadata().unwrap();
            file.write_all_at(&[0xaa; 4096], meta.len() / 4096 / 2 * 4096).unwrap();
            if as_before {
                file.set_modified(meta.modified().unwrap()).unwrap();
            }
        }
    }

    #[test]
    fn the_mark_of_a_pause_holds_after_a_stop_until_the_log_was_folded_in() {
        let scene = Scene::new();
        let looked_through = || looked_through(scene.dir.path(), &scene.dir.path().join("notebook.db"));
        let save = |book: &Notebook| book.save(Kind::Site, None, &serde_json::Map::new()).unwrap();
        let book = scene.open().unwrap();
        assert_eq!(looked_through(), None, "nobody paused yet");
        book.pause().unwrap();
        assert_eq!(looked_through(), Some(scene.clock.now_ms()));
        save(&book);
        // As after a kill: nothing is closed.
        std::mem::forget(book);
        assert!(looked_through().is_some(), "what was saved since stands in the log beside it");
        let book = scene.open().unwrap();
        assert_eq!(book.counted().unwrap()[&Kind::Site], 1);
        while looked_through().is_some() {
            save(&book);
        }
        std::mem::forget(book);
        let book = scene.open().unwrap();
        assert!(book.counted().unwrap()[&Kind::Site] > 1);
        book.pause().unwrap();
        assert!(looked_through().is_some());
    }

    #[test]
    fn damage_is_found_at_the_opening_when_the_file_is_another_than_was_closed_or_was_not_closed() {
        for paused in [true, false] {
            let scene = Scene::new();
            let book = scene.open().unwrap();
            book.pause().unwrap();
            if !paused {
                fs::remove_file(scene.mark()).unwrap();
            }
            drop(book);
            scene.damage(!paused);
            assert!(matches!(scene.open(), Err(Error::Damaged { .. })), "paused: {paused}");
            assert!(scene.open().unwrap().counted().unwrap().is_empty(), "and an empty one goes on");
        }
    }

    #[test]
    fn damage_that_leaves_size_and_time_alone_is_found_within_a_day() {
        let scene = Scene::new();
        scene.open().unwrap().pause().unwrap();
        scene.damage(true);
        let book = scene.open().unwrap();
        book.pause().unwrap();
        assert!(scene.mark().exists(), "nobody looked");
        drop(book);
        scene.clock.set(scene.clock.now_ms() + DAY);
        let book = scene.open().unwrap();
        book.pause().unwrap();
        assert!(!scene.mark().exists());
        drop(book);
        assert!(matches!(scene.open(), Err(Error::Damaged { .. })));
    }

    #[test]
    fn a_mark_that_is_none_or_a_clock_that_went_back_spares_nothing() {
        let scene = Scene::new();
        let book = scene.open().unwrap();
        book.pause().unwrap();
        drop(book);
        scene.damage(true);
        fs::write(scene.mark(), "no mark\n").unwrap();
        assert!(matches!(scene.open(), Err(Error::Damaged { .. })));
        let scene = Scene::new();
        scene.open().unwrap().pause().unwrap();
        scene.damage(true);
        scene.clock.set(scene.clock.now_ms() - DAY);
        scene.open().unwrap().pause().unwrap();
        assert!(matches!(scene.open(), Err(Error::Damaged { .. })));
    }
}
