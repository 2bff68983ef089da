//! People of the office page: named accounts, passwords, sessions, roles, recovery codes, and the audit of what each did;
//! what is known of one person, and how long it is kept.
//!
//! Comes in: names, passwords, tokens, what was done. Goes out: who somebody is and what they may do. All of it stands in
//! `people.db` in the office's folder, apart from the notebook: it is of this machine and never goes into a bundle.

mod accounts;
mod audit;
mod delays;
mod keeping;
mod links;
mod passwords;
mod person;
mod recovery;
mod roles;
mod sessions;
mod sign_in;
mod store;
#[cfg(test)]
mod tests;
mod token;
mod views;

use std::{
    path::Path,
    sync::{Mutex, MutexGuard, PoisonError},
};

pub use accounts::Account;
pub use audit::{Act, Entry};
use dooryard_core::clock::Env;
pub use keeping::Due;
pub use links::Invited;
pub use passwords::{LEAST_CHARACTERS, Passwords};
pub use person::{Person, Private, find};
pub use recovery::CODES;
pub use roles::Role;
use rusqlite::{Connection, Transaction, TransactionBehavior};
pub use sessions::{Session, Visitor};
pub use views::{MOST_VIEWS, View, forget_views};

/// What cannot be done with accounts, and why.
#[derive(Debug, thiserror::Error)]
pub enum Error {
    /// SQLite said no.
    #[error("the store of accounts: {0}")]
    Store(#[from] rusqlite::Error),
    /// The file system said no.
    #[error("the store of accounts: {0}")]
    Io(#[from] std::io::Error),
    /// Written by a newer version; it was left untouched.
    #[error("the accounts were written by a newer version ({found}, this one knows {known}); nothing was touched")]
    Newer {
        /// `user_version` found.
        found: i64,
        /// The highest one known here.
        known: i64,
    },
    /// A password could not be hashed.
    #[error("the password could not be hashed: {0}")]
    Hash(String),
    /// The password is too short.
    #[error("a password has {LEAST_CHARACTERS} characters or more; nothing else is asked of it")]
    ShortPassword,
    /// The two passwords are not the same.
    #[error("the two passwords are not the same")]
    TwoPasswords,
    /// Not a name.
    #[error("a name has 1 to 60 characters, in one line")]
    BadName,
    /// Another account has this name.
    #[error("there is an account of this name already")]
    NameTaken,
    /// No such account, or it is closed.
    #[error("there is no open account of this name or number")]
    NoAccount,
    /// Somebody has to be able to make accounts.
    #[error("this is the only admin; the office needs one")]
    LastAdmin,
    /// Another view of this person has this name.
    #[error("you have a view of this name already")]
    ViewTaken,
    /// No such view of this person.
    #[error("you have no such view any more")]
    NoView,
    /// More views than one list can hold.
    #[error("a person can have {MOST_VIEWS} views")]
    ManyViews,
    /// The one-time link was used, is too old or never was one.
    #[error("this link was used already, or is too old")]
    LinkGone,
    /// Name, password or code is not right; which of them is not said.
    #[error("name or password is not right")]
    Wrong,
    /// Too soon after a try that went wrong.
    #[error("too soon after the last try; wait {seconds} seconds")]
    Wait {
        /// How long, at most.
        seconds: u64,
    },
}

/// Where accounts are looked at amid other work of the office.
impl From<Error> for dooryard_core::Error {
    fn from(e: Error) -> Self {
        match e {
            Error::Store(e) => e.into(),
            Error::Io(e) => Self::io("the store of accounts")(e),
            other => Self::io("the store of accounts")(std::io::Error::other(other)),
        }
    }
}

/// Result of what is done with accounts.
pub type Result<T, E = Error> = std::result::Result<T, E>;

/// The accounts of one office.
pub struct People {
    conn: Mutex<Connection>,
    env: Env,
    passwords: Passwords,
}

impl People {
    /// Opens the accounts in an office's folder, or makes an empty store.
    ///
    /// # Errors
    /// [`Error::Newer`]; of SQLite and the file system.
    pub fn open(office: &Path, env: Env, passwords: Passwords) -> Result<Self> {
        Ok(Self { conn: Mutex::new(store::open(&office.join("people.db"))?), env, passwords })
    }

    /// The version of its tables.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn schema(&self) -> Result<i64> {
        Ok(self.lock().query_row("PRAGMA user_version", [], |row| row.get(0))?)
    }

    fn now_ms(&self) -> i64 {
        i64::try_from(self.env.now_ms()).unwrap_or(i64::MAX)
    }

    fn lock(&self) -> MutexGuard<'_, Connection> {
        self.conn.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Does all of it or nothing.
    fn write<T>(&self, work: impl FnOnce(&Transaction<'_>) -> Result<T>) -> Result<T> {
        let mut conn = self.lock();
        let tx = conn.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let done = work(&tx)?;
        tx.commit()?;
        Ok(done)
    }

    /// After how many months the private fields of a closed inquiry go; `None` while nobody has set it.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn months_kept(&self) -> Result<Option<u16>> {
        use rusqlite::OptionalExtension;
        Ok(self.lock().query_row("SELECT months FROM rule", [], |row| row.get(0)).optional()?)
    }

    /// Sets how long they are kept.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn keep_for(&self, by: &Visitor, months: u16) -> Result<()> {
        self.write(|tx| {
            let sql = "INSERT INTO rule VALUES (1, ?1) ON CONFLICT (one) DO UPDATE SET months = ?1";
            tx.execute(sql, [months])?;
            audit::add(tx, self.now_ms(), Some(by.account), Act::SetRule, None)
        })
    }
}
