//! The index of inquiries: what lists, queues, searches, counts and the map are answered from, without reading every record.
//!
//! In comes what changed in the office's notebook, turn by turn; each inquiry that a change touches is worked out anew, by the
//! same rules as [`crate::ledger`] and [`crate::counts`]. Out come pages by key, exact counts and places.
//!
//! ```text
//! index.db    in the office's folder, mode 0600; derived: deleting it is always right, and no backup holds it
//! ```
//! Words of residents stand in it. They go with an erasure as in the notebook; of what is sealed only ids are held.

mod answers;
mod ask;
mod case;
mod count;
mod follow;
mod gather;
mod held;
mod kept;
mod later;
mod page;
mod pool;
mod remembered;
mod season;
mod store;
#[cfg(test)]
mod tests;
mod whose;
mod write;

use std::{
    collections::BTreeMap,
    path::Path,
    sync::{Mutex, MutexGuard, PoisonError},
};

pub use answers::Answers;
pub use ask::Ask;
use dooryard_core::Result;
pub use gather::{rows_around, rows_listed};
pub use held::Held;
pub use later::{Later, LaterKey, Stand};
pub use page::{From, Key, Listed, Row};
use pool::Pool;
use remembered::Remembered;
use rusqlite::Connection;
pub use season::{Weekly, What};
pub use store::wipe;
pub(crate) use store::{names_of_plants_and_causes, overwrite};

use crate::page::Names;

/// The index of one office.
pub struct Index {
    /// The connection that follows the notebook.
    conn: Mutex<Connection>,
    readers: Pool,
    remembered: Remembered,
    names: Names,
}

impl Index {
    /// Opens the index in an office's folder, or makes it. `names` are of the pack by which inquiries are sealed, found and
    /// counted; with those of another pack all is worked out anew.
    ///
    /// # Errors
    /// Of SQLite or the file system. A damaged file, or one of another version, is wiped and made anew.
    pub fn open(folder: &Path, names: &Names) -> Result<Self> {
        Ok(Self::over(store::open(folder)?, folder, names.clone()))
    }

    fn over(conn: Connection, folder: &Path, names: Names) -> Self {
        Self { conn: Mutex::new(conn), readers: Pool::new(folder.to_owned()), remembered: Remembered::default(), names }
    }

    /// Lets `ask` read what stands in it.
    fn read<T>(&self, ask: impl FnOnce(&Connection) -> Result<T>) -> Result<T> {
        self.readers.read(ask)
    }

    fn lock(&self) -> MutexGuard<'_, Connection> {
        self.conn.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// The names that matter to the index, as it keeps them beside its rows.
fn names_text(names: &Names) -> String {
    serde_json::json!([names.suspect, names.regulated, names.mild, names.hosts, names.causes]).to_string()
}

/// The names out of [`names_text`].
fn names_of(text: &str) -> Option<Names> {
    type Words = BTreeMap<String, String>;
    let (suspect, regulated, mild, hosts, causes): (_, _, _, Words, Words) = serde_json::from_str(text).ok()?;
    Some(Names { suspect, regulated, mild, hosts, causes, ..Names::default() })
}
