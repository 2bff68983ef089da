//! What the review works out of each inquiry, kept beside the index so that a program that starts need not do it again.

use dooryard_core::{Result, ids::RecordId};
use rusqlite::params;

use super::{
    Index,
    store::{mark, set_mark},
};

/// How far the answers are, and by which rules.
const TURN: &str = "answers turn";
const RULES: &str = "answers rules";

/// Answers as they are kept, each in a text of the review's own.
pub type Answers = Vec<(RecordId, String)>;

impl Index {
    /// All that is kept by these rules, with the turn that it goes up to; `None` where it has to be worked out.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn answers(&self, rules: &str) -> Result<Option<(u64, Answers)>> {
        self.read(|conn| {
            let (turn, by) = (mark::<i64>(conn, TURN)?, mark::<String>(conn, RULES)?);
            let Some(turn) = turn.filter(|_| by.as_deref() == Some(rules)) else { return Ok(None) };
            let mut query = conn.prepare("SELECT inquiry, answers FROM answer")?;
            let rows = query.query_map([], |row| Ok((RecordId(row.get(0)?), row.get(1)?)))?;
            Ok(Some((turn.unsigned_abs(), rows.collect::<rusqlite::Result<_>>()?)))
        })
    }

    /// Forgets them all: they are worked out anew.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn forget_answers(&self) -> Result<()> {
        let mut conn = self.lock();
        let tx = conn.transaction()?;
        tx.execute("DELETE FROM answer", [])?;
        tx.execute("DELETE FROM mark WHERE key IN (?1, ?2)", [TURN, RULES])?;
        Ok(tx.commit()?)
    }

    /// Keeps what was worked out of some inquiries; of one with an empty text nothing is kept. Where all is done up to a turn,
    /// `whole` says so, with the rules.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn keep_answers(&self, rows: &[(RecordId, String)], whole: Option<(u64, &str)>) -> Result<()> {
        let mut conn = self.lock();
        let tx = conn.transaction()?;
        for (inquiry, text) in rows {
            if text.is_empty() {
                tx.prepare_cached("DELETE FROM answer WHERE inquiry = ?1")?.execute([inquiry.0])?;
            } else {
                tx.prepare_cached("INSERT OR REPLACE INTO answer(inquiry, answers) VALUES(?1, ?2)")?
                    .execute(params![inquiry.0, text])?;
            }
        }
        if let Some((turn, rules)) = whole {
            set_mark(&tx, TURN, turn.cast_signed())?;
            set_mark(&tx, RULES, rules)?;
        }
        Ok(tx.commit()?)
    }
}
