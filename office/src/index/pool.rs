//! Connections that read the index side by side: a slow question holds nobody up but itself.

use std::{
    path::PathBuf,
    sync::{Condvar, Mutex, MutexGuard, PoisonError},
};

use dooryard_core::Result;
use rusqlite::Connection;

use super::store;

/// So many read at once; others wait for their turn. Each keeps a few megabytes of pages.
const MOST: usize = 4;

/// The connections of one file.
pub(super) struct Pool {
    folder: PathBuf,
    state: Mutex<State>,
    left: Condvar,
}

#[derive(Default)]
struct State {
    reading: usize,
    idle: Vec<Connection>,
}

/// A turn, which ends when it is dropped, whatever happened in it.
struct Turn<'p>(&'p Pool);

impl Drop for Turn<'_> {
    fn drop(&mut self) {
        self.0.lock().reading -= 1;
        self.0.left.notify_one();
    }
}

impl Pool {
    pub(super) fn new(folder: PathBuf) -> Self {
        Self { folder, state: Mutex::default(), left: Condvar::new() }
    }

    /// Lets `ask` read; all that it asks is answered from one state of the file. After an error the connection is closed.
    pub(super) fn read<T>(&self, ask: impl FnOnce(&Connection) -> Result<T>) -> Result<T> {
        let (_turn, idle) = self.turn();
        let conn = idle.map_or_else(|| store::open_reader(&self.folder), Ok)?;
        let tx = conn.unchecked_transaction()?;
        let answer = ask(&tx)?;
        tx.commit()?;
        self.lock().idle.push(conn);
        Ok(answer)
    }

    fn turn(&self) -> (Turn<'_>, Option<Connection>) {
        let mut state = self.left.wait_while(self.lock(), |state| state.reading >= MOST);
        let state = state.as_mut().unwrap_or_else(|poisoned| poisoned.get_mut());
        state.reading += 1;
        let idle = state.idle.pop();
        (Turn(self), idle)
    }

    fn lock(&self) -> MutexGuard<'_, State> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }
}
