//! Sessions: a random token with the browser, its hash here; an end when nothing is done, and an end in any case.

use rusqlite::{OptionalExtension, Transaction, params};

use super::{
    Act, People, Result, Role, accounts, audit,
    token::{Token, same},
};

/// After so long without a page a session ends, milliseconds.
pub(super) const IDLE_MS: i64 = 60 * 60_000;
/// After so long it ends in any case, milliseconds: a working day.
pub(super) const WHOLE_MS: i64 = 12 * 3_600_000;
/// How exactly it is written down when a session was last used, milliseconds.
const EXACT_MS: i64 = 60_000;

/// Who is signed in.
#[derive(Clone)]
pub struct Visitor {
    /// Number of the account.
    pub account: i64,
    /// Its name.
    pub name: String,
    /// Its role, as it is now.
    pub role: Role,
    /// The token that this session's forms carry.
    pub form_token: String,
    pub(super) session: [u8; 32],
}

/// A session that has just begun.
pub struct Session {
    /// What the browser keeps.
    pub token: String,
    /// Who it is.
    pub visitor: Visitor,
}

impl Visitor {
    /// Whether a form carries this session's token.
    pub fn sent(&self, token: &str) -> bool {
        same(&self.form_token, token)
    }

    /// Whether both are of one session.
    pub fn same_session(&self, other: &Self) -> bool {
        self.session == other.session
    }
}

impl People {
    pub(super) fn begin_session(&self, tx: &Transaction<'_>, account: i64) -> Result<Session> {
        let (token, now) = (Token::new(&self.env), self.now_ms());
        tx.execute("DELETE FROM session WHERE seen_ms < ?1 OR begun_ms < ?2", [now - IDLE_MS, now - WHOLE_MS])?;
        tx.execute("INSERT INTO session VALUES (?1, ?2, ?3, ?3)", params![token.hash(), account, now])?;
        let account = accounts::open_account(tx, account)?;
        let visitor = Visitor {
            account: account.id,
            name: account.name,
            role: account.role,
            form_token: token.for_forms(),
            session: token.hash(),
        };
        audit::add(tx, now, Some(visitor.account), Act::SignedIn, None)?;
        Ok(Session { token: token.text(), visitor })
    }

    /// Who holds this session, and that it was used now; `None` when it is none or has ended.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn visitor(&self, token: &str) -> Result<Option<Visitor>> {
        let Some(token) = Token::read(token) else { return Ok(None) };
        let (hash, now, conn) = (token.hash(), self.now_ms(), self.lock());
        let found = conn
            .prepare_cached(
                "SELECT account, name, role, seen_ms FROM session JOIN account ON account.id = session.account
                 WHERE hash = ?1 AND closed_ms IS NULL AND seen_ms > ?2 AND begun_ms > ?3",
            )?
            .query_row(params![hash, now - IDLE_MS, now - WHOLE_MS], |row| {
                let visitor = Visitor {
                    account: row.get(0)?,
                    name: row.get(1)?,
                    role: accounts::read_role(row, 2)?,
                    form_token: token.for_forms(),
                    session: hash,
                };
                Ok((visitor, row.get::<_, i64>(3)?))
            })
            .optional()?;
        let Some((visitor, seen)) = found else { return Ok(None) };
        if now - seen > EXACT_MS {
            conn.execute("UPDATE session SET seen_ms = ?2 WHERE hash = ?1", params![hash, now])?;
        }
        Ok(Some(visitor))
    }

    /// Whether the session still stands, with the role it had. Asking is no use of it.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn is_open(&self, visitor: &Visitor) -> Result<bool> {
        let (now, conn) = (self.now_ms(), self.lock());
        let found = conn
            .prepare_cached(
                "SELECT role FROM session JOIN account ON account.id = session.account
                 WHERE hash = ?1 AND closed_ms IS NULL AND seen_ms > ?2 AND begun_ms > ?3",
            )?
            .query_row(params![visitor.session, now - IDLE_MS, now - WHOLE_MS], |row| accounts::read_role(row, 0))
            .optional()?;
        Ok(found == Some(visitor.role))
    }

    /// Ends this session.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn sign_out(&self, visitor: &Visitor) -> Result<()> {
        self.write(|tx| {
            tx.execute("DELETE FROM session WHERE hash = ?1", [visitor.session])?;
            audit::add(tx, self.now_ms(), Some(visitor.account), Act::SignedOut, None)
        })
    }

    /// Ends every session of this person.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn sign_out_everywhere(&self, visitor: &Visitor) -> Result<()> {
        self.write(|tx| {
            tx.execute("DELETE FROM session WHERE account = ?1", [visitor.account])?;
            audit::add(tx, self.now_ms(), Some(visitor.account), Act::SignedOutEverywhere, None)
        })
    }
}
