//! Signing in: the same answer and the same time whether the name or the password is wrong.

use rusqlite::{OptionalExtension, params};

use super::{Act, Error, People, Result, Session, accounts::key, audit, delays::Counted};

impl People {
    /// Signs somebody in from an address of the machine's network.
    ///
    /// # Errors
    /// [`Error::Wrong`], [`Error::Wait`]; of SQLite.
    pub fn sign_in(&self, name: &str, password: &str, address: Option<&str>) -> Result<Session> {
        let (id, counted) = self.check_password(name, password, address).inspect_err(|e| self.note_refused(e, name))?;
        self.write(|tx| {
            counted.was_right(tx, Some(&key(name)))?;
            self.begin_session(tx, id)
        })
    }

    /// The account whose password this is. The try is counted, and stays counted until the caller takes it back.
    pub(super) fn check_password(&self, name: &str, password: &str, address: Option<&str>) -> Result<(i64, Counted)> {
        let counted = self.begin_try(Some(&key(name)), address)?;
        let sql = "SELECT id, password FROM account WHERE key = ?1 AND closed_ms IS NULL AND password IS NOT NULL";
        let found = self
            .lock()
            .query_row(sql, params![key(name)], |row| Ok((row.get::<_, i64>(0)?, row.get::<_, String>(1)?)))
            .optional()?;
        let hash = found.as_ref().map(|(_, hash)| hash.as_str());
        if !self.passwords.holds(password, hash) {
            return Err(Error::Wrong);
        }
        found.map(|(id, _)| (id, counted)).ok_or(Error::Wrong)
    }

    /// Notes a try that went wrong, with the number of the account where there is one: never what was typed.
    pub(super) fn note_refused(&self, e: &Error, name: &str) {
        if !matches!(e, Error::Wrong) {
            return;
        }
        let about = self.account_named(name).ok().map(|account| account.id.to_string());
        let noted = audit::add(&self.lock(), self.now_ms(), None, Act::SignInRefused, about.as_deref());
        // Nothing was shown and nothing was done: a full disk is no reason for another answer.
        drop(noted);
    }
}
