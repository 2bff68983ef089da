//! One-time links: each good once, for an hour, to choose a password oneself. No admin ever knows another's password.

use rusqlite::{OptionalExtension, Transaction, params};

use super::{Act, Error, People, Result, Role, Session, Visitor, accounts, audit, token::Token};

/// How long a link is good, milliseconds.
const GOOD_MS: i64 = 3_600_000;

/// What a link is for.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Invited {
    /// To make the first account, an admin's, under a name of one's own.
    First,
    /// To choose the password of the account of this name.
    Account(String),
}

fn insert(tx: &Transaction<'_>, people: &People, account: Option<i64>) -> Result<String> {
    let (token, now) = (Token::new(&people.env), people.now_ms());
    // A new link takes the place of those before it.
    tx.execute("DELETE FROM link WHERE account IS ?1 OR until_ms < ?2", params![account, now])?;
    tx.execute("INSERT INTO link VALUES (?1, ?2, ?3)", params![token.hash(), account, now + GOOD_MS])?;
    Ok(token.text())
}

/// The account of a link that is good: `Some(None)` for the first account.
fn find(conn: &rusqlite::Connection, now: i64, text: &str) -> Result<Option<Option<i64>>> {
    let Some(token) = Token::read(text) else { return Ok(None) };
    // The first account may have been made otherwise meanwhile.
    let sql = "SELECT account FROM link WHERE hash = ?1 AND until_ms > ?2
               AND (account IS NOT NULL OR NOT EXISTS (SELECT 1 FROM account WHERE password IS NOT NULL))";
    Ok(conn.query_row(sql, params![token.hash(), now], |row| row.get(0)).optional()?)
}

impl People {
    /// A link to make the first account; `None` when somebody can sign in already.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn first_link(&self) -> Result<Option<String>> {
        if !self.is_empty()? {
            return Ok(None);
        }
        self.write(|tx| insert(tx, self, None)).map(Some)
    }

    /// Makes an account without a password, and the link with which its person chooses one. `by` is `None` at the terminal.
    ///
    /// # Errors
    /// [`Error::BadName`], [`Error::NameTaken`]; of SQLite.
    pub fn invite(&self, by: Option<&Visitor>, name: &str, role: Role) -> Result<String> {
        self.write(|tx| {
            let id = accounts::insert(tx, self.now_ms(), name, role, None)?;
            audit::add(tx, self.now_ms(), by.map(|v| v.account), Act::MadeAccount, Some(&id.to_string()))?;
            insert(tx, self, Some(id))
        })
    }

    /// A link for an account that is there, such as of somebody who forgot the password. It stays as it is until it is used.
    ///
    /// # Errors
    /// [`Error::NoAccount`]; of SQLite.
    pub fn link(&self, by: Option<&Visitor>, account: i64) -> Result<String> {
        self.write(|tx| {
            accounts::open_account(tx, account)?;
            audit::add(tx, self.now_ms(), by.map(|v| v.account), Act::MadeLink, Some(&account.to_string()))?;
            insert(tx, self, Some(account))
        })
    }

    /// What a link is for. Looking does not use it up.
    ///
    /// # Errors
    /// [`Error::LinkGone`]; of SQLite.
    pub fn look_at_link(&self, text: &str) -> Result<Invited> {
        let conn = self.lock();
        match find(&conn, self.now_ms(), text)? {
            None => Err(Error::LinkGone),
            Some(None) => Ok(Invited::First),
            Some(Some(id)) => Ok(Invited::Account(accounts::open_account(&conn, id)?.name)),
        }
    }

    /// Uses a link up: the password is chosen, every session of before ends, and a new one begins. `name` counts for the
    /// first account only.
    ///
    /// # Errors
    /// [`Error::LinkGone`], [`Error::ShortPassword`], [`Error::BadName`], [`Error::NameTaken`]: then the link stays good;
    /// of SQLite.
    pub fn use_link(&self, text: &str, name: &str, password: &str) -> Result<Session> {
        self.look_at_link(text)?;
        let hash = self.passwords.hash(&self.env, password)?;
        let now = self.now_ms();
        self.write(|tx| {
            let id = match find(tx, now, text)?.ok_or(Error::LinkGone)? {
                Some(id) => {
                    accounts::open_account(tx, id)?;
                    tx.execute("UPDATE account SET password = ?2 WHERE id = ?1", params![id, hash])?;
                    tx.execute("DELETE FROM session WHERE account = ?1", [id])?;
                    id
                }
                None => {
                    let id = accounts::insert(tx, now, name, Role::Admin, Some(&hash))?;
                    audit::add(tx, now, Some(id), Act::MadeAccount, Some(&id.to_string()))?;
                    id
                }
            };
            let token = Token::read(text).ok_or(Error::LinkGone)?;
            tx.execute("DELETE FROM link WHERE hash = ?1 OR account IS NULL", [token.hash()])?;
            audit::add(tx, now, Some(id), Act::SetPassword, Some(&id.to_string()))?;
            self.begin_session(tx, id)
        })
    }
}
