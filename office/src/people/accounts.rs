//! Accounts: made, given a role, closed. An account is never taken out of the store, for the audit names it.

use rusqlite::{Connection, OptionalExtension, Row, params};
use unicode_normalization::UnicodeNormalization;

use super::{Act, Error, People, Result, Role, Visitor, audit};

/// Longest name, characters.
const NAME: usize = 60;

/// An account.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Account {
    /// Its number.
    pub id: i64,
    /// Its name, as it was written.
    pub name: String,
    /// What it may do.
    pub role: Role,
    /// The person has chosen a password.
    pub ready: bool,
    /// It was closed: nobody signs in with it.
    pub closed: bool,
    /// Open sessions.
    pub sessions: u64,
    /// Recovery codes that are left.
    pub codes: u64,
}

/// A name as it is compared.
pub(super) fn key(name: &str) -> String {
    name.trim().nfkc().collect::<String>().to_lowercase()
}

/// A name without spaces around it, of one line and not too long.
pub(super) fn plain_name(name: &str) -> Result<&str> {
    let name = name.trim();
    let is_plain = !name.is_empty() && name.chars().count() <= NAME && !name.chars().any(char::is_control);
    if is_plain { Ok(name) } else { Err(Error::BadName) }
}

pub(super) fn insert(conn: &Connection, now_ms: i64, name: &str, role: Role, hash: Option<&str>) -> Result<i64> {
    let name = plain_name(name)?;
    let sql = "INSERT INTO account (key, name, role, password, made_ms) VALUES (?1, ?2, ?3, ?4, ?5)
               ON CONFLICT (key) DO NOTHING";
    match conn.execute(sql, params![key(name), name, role.name(), hash, now_ms])? {
        0 => Err(Error::NameTaken),
        _ => Ok(conn.last_insert_rowid()),
    }
}

fn account(row: &Row<'_>) -> rusqlite::Result<Account> {
    Ok(Account {
        id: row.get(0)?,
        name: row.get(1)?,
        role: read_role(row, 2)?,
        ready: row.get(3)?,
        closed: row.get(4)?,
        sessions: row.get::<_, i64>(5)?.unsigned_abs(),
        codes: row.get::<_, i64>(6)?.unsigned_abs(),
    })
}

pub(super) fn read_role(row: &Row<'_>, at: usize) -> rusqlite::Result<Role> {
    let text: String = row.get(at)?;
    text.parse()
        .map_err(|e: String| rusqlite::Error::FromSqlConversionFailure(at, rusqlite::types::Type::Text, e.into()))
}

const ACCOUNT: &str = "SELECT id, name, role, password IS NOT NULL, closed_ms IS NOT NULL,
    (SELECT count(*) FROM session WHERE session.account = account.id),
    (SELECT count(*) FROM recovery WHERE recovery.account = account.id AND used_ms IS NULL) FROM account";

pub(super) fn open_account(conn: &Connection, id: i64) -> Result<Account> {
    let found = conn.prepare_cached(&format!("{ACCOUNT} WHERE id = ?1 AND closed_ms IS NULL"))?;
    one(found, params![id])
}

fn one(mut found: rusqlite::CachedStatement<'_>, by: impl rusqlite::Params) -> Result<Account> {
    found.query_row(by, account).optional()?.ok_or(Error::NoAccount)
}

/// Refuses to leave the office without an admin who can sign in.
fn keep_an_admin(conn: &Connection) -> Result<()> {
    let sql = "SELECT count(*) FROM account WHERE role = 'admin' AND closed_ms IS NULL AND password IS NOT NULL";
    match conn.query_row(sql, [], |row| row.get::<_, i64>(0))? {
        0 => Err(Error::LastAdmin),
        _ => Ok(()),
    }
}

impl People {
    /// All accounts, by name.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn accounts(&self) -> Result<Vec<Account>> {
        let conn = self.lock();
        let mut rows = conn.prepare_cached(&format!("{ACCOUNT} ORDER BY closed_ms IS NOT NULL, key"))?;
        Ok(rows.query_map([], account)?.collect::<Result<_, _>>()?)
    }

    /// The open account of this number.
    ///
    /// # Errors
    /// [`Error::NoAccount`]; of SQLite.
    pub fn account(&self, id: i64) -> Result<Account> {
        open_account(&self.lock(), id)
    }

    /// The open account of this name.
    ///
    /// # Errors
    /// [`Error::NoAccount`]; of SQLite.
    pub fn account_named(&self, name: &str) -> Result<Account> {
        let conn = self.lock();
        one(conn.prepare_cached(&format!("{ACCOUNT} WHERE key = ?1 AND closed_ms IS NULL"))?, params![key(name)])
    }

    /// Whether nobody can sign in yet.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn is_empty(&self) -> Result<bool> {
        let sql = "SELECT NOT EXISTS (SELECT 1 FROM account WHERE password IS NOT NULL)";
        Ok(self.lock().query_row(sql, [], |row| row.get(0))?)
    }

    /// Makes an account with a password, from this machine's terminal.
    ///
    /// # Errors
    /// [`Error::BadName`], [`Error::NameTaken`], [`Error::ShortPassword`]; of SQLite.
    pub fn add_account(&self, name: &str, role: Role, password: &str) -> Result<i64> {
        let hash = self.passwords.hash(&self.env, password)?;
        self.write(|tx| {
            let id = insert(tx, self.now_ms(), name, role, Some(&hash))?;
            audit::add(tx, self.now_ms(), None, Act::MadeAccount, Some(&id.to_string()))?;
            Ok(id)
        })
    }

    /// Gives an account another role. It counts from its next page.
    ///
    /// # Errors
    /// [`Error::NoAccount`], [`Error::LastAdmin`]; of SQLite.
    pub fn change_role(&self, by: &Visitor, id: i64, role: Role) -> Result<()> {
        self.write(|tx| {
            open_account(tx, id)?;
            tx.execute("UPDATE account SET role = ?2 WHERE id = ?1", params![id, role.name()])?;
            keep_an_admin(tx)?;
            audit::add(tx, self.now_ms(), Some(by.account), Act::ChangedRole, Some(&id.to_string()))
        })
    }

    /// Closes an account and ends its sessions. Its name stays taken, and stays in the audit.
    ///
    /// # Errors
    /// [`Error::NoAccount`], [`Error::LastAdmin`]; of SQLite.
    pub fn close_account(&self, by: &Visitor, id: i64) -> Result<()> {
        self.write(|tx| {
            open_account(tx, id)?;
            tx.execute("UPDATE account SET closed_ms = ?2, password = NULL WHERE id = ?1", params![id, self.now_ms()])?;
            for table in ["session", "recovery", "link", "saved_view"] {
                tx.execute(&format!("DELETE FROM {table} WHERE account = ?1"), [id])?;
            }
            keep_an_admin(tx)?;
            audit::add(tx, self.now_ms(), Some(by.account), Act::ClosedAccount, Some(&id.to_string()))
        })
    }

    /// Gives the signed-in person another password, and ends every other session of theirs.
    ///
    /// # Errors
    /// [`Error::Wrong`] when the old one is not right, [`Error::Wait`], [`Error::ShortPassword`]; of SQLite.
    pub fn change_password(&self, by: &Visitor, old: &str, new: &str) -> Result<()> {
        let account = self.account(by.account)?;
        let (_, counted) = self.check_password(&account.name, old, None)?;
        let hash = self.passwords.hash(&self.env, new)?;
        self.write(|tx| {
            tx.execute("UPDATE account SET password = ?2 WHERE id = ?1", params![by.account, hash])?;
            tx.execute("DELETE FROM session WHERE account = ?1 AND hash <> ?2", params![by.account, by.session])?;
            counted.was_right(tx, Some(&key(&account.name)))?;
            audit::add(tx, self.now_ms(), Some(by.account), Act::SetPassword, Some(&by.account.to_string()))
        })
    }
}
