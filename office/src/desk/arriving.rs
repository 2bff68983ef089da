//! Files on their way in or out, in `arriving/`: each request has a folder of its own, which goes when the request ends.

use std::{
    fs, io,
    path::PathBuf,
    time::{Duration, SystemTime},
};

use dooryard_core::{Error, Result};
use tempfile::TempDir;

use super::Office;

/// What nobody has written to for so long was left by a program that was stopped.
const LEFT: Duration = Duration::from_secs(24 * 3_600);

impl Office {
    fn arriving(&self) -> PathBuf {
        self.dir.join("arriving")
    }

    /// A folder for files on their way in or out, for the owner alone. It goes with all that is in it when it is dropped.
    ///
    /// # Errors
    /// Of the file system.
    pub fn room_for_arriving(&self) -> Result<TempDir> {
        let what = || Error::io("making room for what arrives");
        fs::create_dir_all(self.arriving()).map_err(what())?;
        tempfile::Builder::new().prefix("").tempdir_in(self.arriving()).map_err(what())
    }

    /// Removes what a stopped program left there. What another program receives meanwhile is young, and stays.
    pub(super) fn sweep_arriving(&self, now: SystemTime) -> Result<()> {
        let what = || Error::io("tidying up after a stop");
        let entries = match fs::read_dir(self.arriving()) {
            Err(e) if e.kind() == io::ErrorKind::NotFound => return Ok(()),
            other => other.map_err(what())?,
        };
        for entry in entries.flatten() {
            let written = entry.metadata().and_then(|about| about.modified()).map_err(what())?;
            if now.duration_since(written).is_ok_and(|age| age > LEFT) {
                fs::remove_dir_all(entry.path()).map_err(what())?;
            }
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use dooryard_core::clock::{Env, SetClock};

    use super::*;

    #[test]
    fn room_goes_with_what_is_in_it_and_what_was_left_goes_a_day_later() {
        let folder = tempfile::tempdir().unwrap();
        let office = Office::create(folder.path(), "Larkspur", Env::seeded(1, &SetClock::at(0))).unwrap();
        let room = office.room_for_arriving().unwrap();
        fs::write(room.path().join("1"), b"half").unwrap();
        let place = room.path().to_owned();
        drop(room);
        assert!(!place.exists());
        // As a program leaves it that was stopped.
        let left = office.room_for_arriving().unwrap().keep();
        fs::write(left.join("1"), b"half").unwrap();
        let now = SystemTime::now();
        office.sweep_arriving(now).unwrap();
        assert!(left.exists(), "it may still be written to");
        office.sweep_arriving(now + LEFT + Duration::from_secs(60)).unwrap();
        assert!(!left.exists());
    }
}
