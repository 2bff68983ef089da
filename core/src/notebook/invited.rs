//! A notebook that an office invited: it may write and hand over before its certificate has come.

use rusqlite::TransactionBehavior;

use super::{
    carried::carry_over,
    enrolled::{Enrolled, keep_card},
    open::Notebook,
    store::{meta, set_meta},
};
use crate::{
    cbor::{self, Reader, malformed},
    error::Result,
    record::Role,
};

const INVITED: &str = "invited";

/// For whom an invitation is, until when, with what code.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Invited {
    /// The one-time code.
    pub code: [u8; 16],
    /// The role that the office means to give.
    pub role: Role,
    /// What people will call the phone, such as `Scout 3`; never a name.
    pub label: String,
    /// When the office made it, milliseconds since 1970, whole seconds.
    pub made_ms: u64,
    /// Until when the office takes the code, milliseconds since 1970 by its own clock, whole seconds.
    pub expires_ms: u64,
}

impl Invited {
    fn to_cbor(&self) -> Vec<u8> {
        cbor::encode(|w| {
            w.array(5)?.bytes(&self.code)?.u8(self.role.rank())?.str(&self.label)?;
            w.u64(self.made_ms)?.u64(self.expires_ms)?;
            Ok(())
        })
    }

    fn from_cbor(bytes: &[u8]) -> Result<Self> {
        let r = &mut Reader::new(bytes)?;
        r.array_of(5)?;
        Ok(Self {
            code: r.bytes()?.try_into().map_err(|_| malformed("a code of another length"))?,
            role: Role::from_rank(r.uint()?).ok_or_else(|| malformed("an unknown role"))?,
            label: r.text()?.to_owned(),
            made_ms: r.uint()?,
            expires_ms: r.uint()?,
        })
    }

    /// Whether it is past by this clock. On a phone that is a warning, never a lock: its clock may be wrong.
    pub fn is_past(&self, now_ms: u64) -> bool {
        now_ms > self.expires_ms
    }
}

/// The invitation kept in a database.
pub(super) fn read_invited(conn: &rusqlite::Connection) -> Result<Option<Invited>> {
    meta(conn, INVITED)?.map(|raw| Invited::from_cbor(&raw)).transpose()
}

/// Forgets it: its code was meant for keys that are lost.
pub(super) fn forget_invited(conn: &rusqlite::Connection) -> Result<()> {
    conn.execute("DELETE FROM meta WHERE key = ?1", [INVITED])?;
    Ok(())
}

impl Notebook {
    /// Takes an invitation: from then on the notebook is meant for that office, and can be handed over to it, with all that was
    /// written before. Taking another one of the same office puts it in the place of the first.
    ///
    /// # Errors
    /// `NOT_FOR_US` when the notebook belongs to another office; `SCHEMA`, `BAD_SIGNATURE`; of SQLite.
    pub fn accept(&self, signed_card: &[u8], invited: Invited) -> Result<()> {
        let mut locked = self.lock();
        let inner = &mut *locked;
        let tx = inner.conn.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let known = Enrolled::load(&tx, &inner.keys)?;
        keep_card(&tx, &known, signed_card)?;
        set_meta(&tx, INVITED, &invited.to_cbor())?;
        let office = Enrolled::load(&tx, &inner.keys)?;
        carry_over(&tx, &inner.keys, &known, &office)?;
        tx.commit()?;
        inner.office = office;
        drop(locked);
        self.scrub_marked().map(drop)
    }

    /// The invitation that the notebook took, as long as no certificate has come.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn invited(&self) -> Result<Option<Invited>> {
        let inner = self.lock();
        let certified = inner.office.authority.cert_of(&inner.log.device).is_some();
        if certified { Ok(None) } else { read_invited(&inner.conn) }
    }
}
