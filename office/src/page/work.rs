//! How far the files are that are being taken in now: asked for by the page that sent them.

use std::{
    collections::BTreeMap,
    sync::{Arc, Mutex, MutexGuard, PoisonError},
};

use dooryard_core::job::Job;

/// How far one request is.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default, serde::Serialize)]
pub(super) struct HowFar {
    /// The file that is being taken in, from 1.
    pub(super) file: usize,
    /// Files of the request.
    pub(super) files: usize,
    /// Bytes of it that are done.
    pub(super) done: u64,
    /// Its bytes.
    pub(super) total: u64,
}

/// Whose request it is: the account, and the number that its page gave it.
type Whose = (i64, String);
type Known = Arc<Mutex<BTreeMap<Whose, HowFar>>>;

/// Everything that is being taken in.
#[derive(Default)]
pub(super) struct Work {
    known: Known,
    turn: Mutex<()>,
}

/// One request's entry, which goes with it.
pub(super) struct Entry {
    known: Known,
    whose: Whose,
}

impl Work {
    /// Waits for one's turn: files are taken in one after the other, since each puts its photos together in one place.
    pub(super) fn turn(&self) -> MutexGuard<'_, ()> {
        self.turn.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Begins an entry.
    pub(super) fn begin(&self, account: i64, number: &str) -> Entry {
        let entry = Entry { known: self.known.clone(), whose: (account, number.to_owned()) };
        entry.set(HowFar::default());
        entry
    }

    /// How far a request of this account is; `None` when it is none, or done.
    pub(super) fn how_far(&self, account: i64, number: &str) -> Option<HowFar> {
        self.known.lock().unwrap_or_else(PoisonError::into_inner).get(&(account, number.to_owned())).copied()
    }
}

impl Entry {
    fn set(&self, how_far: HowFar) {
        set(&self.known, &self.whose, how_far);
    }

    /// A job that tells of one file.
    pub(super) fn job(&self, file: usize, files: usize) -> Job {
        self.set(HowFar { file, files, ..HowFar::default() });
        let (known, whose) = (self.known.clone(), self.whose.clone());
        Job::watched(move |done, total| set(&known, &whose, HowFar { file, files, done, total }))
    }
}

impl Drop for Entry {
    fn drop(&mut self) {
        self.known.lock().unwrap_or_else(PoisonError::into_inner).remove(&self.whose);
    }
}

fn set(known: &Known, whose: &Whose, how_far: HowFar) {
    known.lock().unwrap_or_else(PoisonError::into_inner).insert(whose.clone(), how_far);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_request_is_known_to_its_own_account_while_it_runs() {
        let work = Work::default();
        let entry = work.begin(3, "a");
        entry.job(2, 5).step(10, 40).unwrap();
        assert_eq!(work.how_far(3, "a"), Some(HowFar { file: 2, files: 5, done: 10, total: 40 }));
        assert_eq!((work.how_far(4, "a"), work.how_far(3, "b")), (None, None));
        drop(entry);
        assert_eq!(work.how_far(3, "a"), None);
    }
}
