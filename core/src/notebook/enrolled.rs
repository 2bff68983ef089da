//! What a notebook knows of its office: the card, the office log, and the invitation until a certificate has come. One that
//! belongs to no office yet writes for an office of its own: see [`super::carried`].

use rusqlite::{Connection, TransactionBehavior};

use super::{
    carried::carry_over,
    erased::take_statement,
    identity::{Card, DeviceKeys, read_answer},
    invited::read_invited,
    new_key::before_new_key,
    open::Notebook,
    store::{Rows, meta, set_meta},
};
use crate::{
    error::{Code, Error, Result},
    ids::{DeviceId, Hash32},
    log::{Authority, Cert, load_authority},
    record::Role,
};

/// What a notebook knows of its office.
pub(super) struct Enrolled {
    pub(super) card: Card,
    /// The card as the root signed it; none where the notebook belongs to no office yet.
    pub(super) signed_card: Option<Vec<u8>>,
    pub(super) authority: Authority,
}

/// What people read for a phone that belongs to no office yet, where they read `Scout 3` later.
const OWN_LABEL: &str = "Scout";

impl Enrolled {
    /// What a database knows of its office; the office of its own before the first card.
    pub(super) fn load(conn: &Connection, keys: &DeviceKeys) -> Result<Self> {
        let expect = |authority: &mut Authority, role, label| {
            let (key, seal) = (keys.signing.public(), keys.seal.to_public().to_string());
            authority.expect(Cert { key, seal, role, label, seq: 0 });
        };
        let Some(signed_card) = meta(conn, "card")? else {
            let card = Card::own(keys);
            let mut authority = card.authority();
            expect(&mut authority, Role::Scout, OWN_LABEL.to_owned());
            return Ok(Self { card, signed_card: None, authority });
        };
        let card = Card::read(&signed_card)?;
        let mut authority = card.authority();
        if let Some(invited) = read_invited(conn)? {
            expect(&mut authority, invited.role, invited.label);
        } else if let Some((role, label)) = before_new_key(conn)? {
            expect(&mut authority, role, label);
        }
        let authority = load_authority(&mut Rows::new(conn), authority)?;
        Ok(Self { card, signed_card: Some(signed_card), authority })
    }

    /// Whether it is the notebook's own, because it belongs to no other.
    pub(super) fn is_own(&self) -> bool {
        self.signed_card.is_none()
    }

    /// The certificate in force for `device`, this one: its hash, role and label. Before it has come, no hash and what the
    /// invitation says, or what the device was before its key was lost.
    pub(super) fn cert(&self, device: &DeviceId) -> Result<(Hash32, Role, String)> {
        if let Some((hash, cert)) = self.authority.cert_of(device) {
            return Ok((hash, cert.role, cert.label.clone()));
        }
        let expected = self.authority.cert_named(device, &Hash32::ZERO).ok_or(Error::NotEnrolled)?;
        Ok((Hash32::ZERO, expected.role, expected.label.clone()))
    }
}

/// Keeps an office's card, unless the one that is here is as new.
pub(super) fn keep_card(tx: &Connection, known: &Enrolled, signed: &[u8]) -> Result<()> {
    let card = Card::read(signed)?;
    if !known.is_own() && known.card.root != card.root {
        return Err(Error::refused(Code::NotForUs, "this notebook belongs to another office"));
    }
    if known.is_own() || known.card.serial < card.serial { set_meta(tx, "card", signed) } else { Ok(()) }
}

impl Notebook {
    /// Takes the office's answer to the request; what was written before goes over to that office. Taking one of the same office
    /// again renews the certificate; a card older than the one that is here never replaces it.
    ///
    /// # Errors
    /// `NOT_FOR_US` when it certifies another device or this notebook belongs to another office; `SCHEMA`, `BAD_SIGNATURE`.
    pub fn enrol(&self, answer: &[u8]) -> Result<()> {
        let (signed_card, statements) = read_answer(answer)?;
        let mut locked = self.lock();
        let inner = &mut *locked;
        let tx = inner.conn.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let known = Enrolled::load(&tx, &inner.keys)?;
        keep_card(&tx, &known, &signed_card)?;
        let mut office = Enrolled::load(&tx, &inner.keys)?;
        for signed in &statements {
            take_statement(&tx, &mut office, signed)?;
        }
        if office.authority.cert_of(&inner.log.device).is_none() {
            return Err(Error::refused(Code::NotForUs, "the enrolment file certifies another device"));
        }
        carry_over(&tx, &inner.keys, &known, &office)?;
        tx.commit()?;
        inner.office = office;
        drop(locked);
        self.scrub_marked().map(drop)
    }
}
