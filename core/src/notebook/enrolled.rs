//! What a notebook knows of its office: the card, the office log, and the invitation until a certificate has come.

use rusqlite::{Connection, TransactionBehavior};

use super::{
    identity::{Card, DeviceKeys, read_answer},
    invited::{Invited, read_invited},
    open::Notebook,
    store::{Rows, meta, set_meta},
};
use crate::{
    error::{Code, Error, Result},
    ids::{DeviceId, Hash32},
    log::{self, Authority, Cert, load_authority},
    record::Role,
};

/// What a notebook knows of its office.
pub(super) struct Enrolled {
    pub(super) card: Card,
    pub(super) signed_card: Vec<u8>,
    pub(super) authority: Authority,
    pub(super) invited: Option<Invited>,
}

impl Enrolled {
    /// What a database knows of its office; `None` before the first card.
    pub(super) fn load(conn: &Connection, keys: &DeviceKeys) -> Result<Option<Self>> {
        let Some(signed_card) = meta(conn, "card")? else { return Ok(None) };
        let card = Card::read(&signed_card)?;
        let invited = read_invited(conn)?;
        let mut authority = card.authority();
        if let Some(invited) = &invited {
            let (key, seal) = (keys.signing.public(), keys.seal.to_public().to_string());
            authority.expect(Cert { key, seal, role: invited.role, label: invited.label.clone(), seq: 0 });
        }
        let authority = load_authority(&mut Rows::new(conn), authority)?;
        Ok(Some(Self { card, signed_card, authority, invited }))
    }

    /// The certificate in force for `device`, this one: its hash, role and label. Before it has come, no hash and what the
    /// invitation says.
    pub(super) fn cert(&self, device: &DeviceId) -> Result<(Hash32, Role, String)> {
        if let Some((hash, cert)) = self.authority.cert_of(device) {
            return Ok((hash, cert.role, cert.label.clone()));
        }
        let invited = self.invited.as_ref().ok_or(Error::NotEnrolled)?;
        Ok((Hash32::ZERO, invited.role, invited.label.clone()))
    }
}

/// Keeps an office's card, unless the one that is here is as new.
pub(super) fn keep_card(tx: &Connection, known: Option<&Enrolled>, signed: &[u8]) -> Result<()> {
    let card = Card::read(signed)?;
    if known.is_some_and(|known| known.card.root != card.root) {
        return Err(Error::refused(Code::NotForUs, "this notebook belongs to another office"));
    }
    if known.is_none_or(|known| known.card.serial < card.serial) { set_meta(tx, "card", signed) } else { Ok(()) }
}

impl Notebook {
    /// Takes the office's answer to the request. Taking one of the same office again renews the certificate; a card older than
    /// the one that is here never replaces it.
    ///
    /// # Errors
    /// `NOT_FOR_US` when it certifies another device or this notebook belongs to another office; `SCHEMA`, `BAD_SIGNATURE`.
    pub fn enrol(&self, answer: &[u8]) -> Result<()> {
        let (signed_card, statements) = read_answer(answer)?;
        let mut inner = self.lock();
        let inner = &mut *inner;
        let tx = inner.conn.transaction_with_behavior(TransactionBehavior::Immediate)?;
        keep_card(&tx, inner.office.as_ref(), &signed_card)?;
        let mut office = Enrolled::load(&tx, &inner.keys)?.ok_or(Error::NotEnrolled)?;
        for signed in &statements {
            log::apply_statement(&mut Rows::new(&tx), &mut office.authority, signed)?;
        }
        if office.authority.cert_of(&inner.log.device).is_none() {
            return Err(Error::refused(Code::NotForUs, "the enrolment file certifies another device"));
        }
        tx.commit()?;
        inner.office = Some(office);
        Ok(())
    }
}
