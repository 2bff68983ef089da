//! Following the office's keys: of two cards of one root the higher number is in force, and there is no way back.

use rusqlite::TransactionBehavior;

use super::{enrolled::Enrolled, identity::Card, open::Notebook, store::set_meta};
use crate::error::{Code, Error, Result};

impl Notebook {
    /// The card in force when an office offers this one: the offered one when it is newer, else the one that is here.
    ///
    /// # Errors
    /// [`Error::NotEnrolled`]; `NOT_FOR_US` when it is another office's; `SCHEMA`, `BAD_SIGNATURE`.
    pub(crate) fn newer_card(&self, signed_card: &[u8]) -> Result<Card> {
        let (known, offered) = (self.card()?, Card::read(signed_card)?);
        if offered.root != known.root {
            return Err(Error::refused(Code::NotForUs, "a card of another office"));
        }
        Ok(if offered.serial > known.serial { offered } else { known })
    }

    /// Follows a change of the office's keys. A card that is not newer changes nothing.
    ///
    /// # Errors
    /// [`Error::NotEnrolled`]; `NOT_FOR_US` when it is another office's; `SCHEMA`, `BAD_SIGNATURE`; of SQLite.
    pub fn follow_card(&self, signed_card: &[u8]) -> Result<()> {
        let offered = self.newer_card(signed_card)?;
        self.replace_card(|known, _| Ok((offered.serial > known.serial).then(|| signed_card.to_vec())))
    }

    /// At the office: puts a new card in the place of the one in force. `make` is given that one and the last place in the office
    /// log, and returns the signed card; nobody says anything in the office log meanwhile. What `make` writes to disk before it
    /// returns is there before the card is in force.
    ///
    /// # Errors
    /// [`Error::NotEnrolled`]; `SCHEMA` when the card is of another root or not newer; of `make`; of SQLite.
    pub fn change_card(&self, make: impl FnOnce(&Card, u64) -> Result<Vec<u8>>) -> Result<()> {
        self.replace_card(|known, last| {
            let signed = make(known, last)?;
            let card = Card::read(&signed)?;
            if card.root == known.root && card.serial > known.serial {
                Ok(Some(signed))
            } else {
                Err(Error::refused(Code::Schema, "a card that does not follow the one in force"))
            }
        })
    }

    fn replace_card(&self, choose: impl FnOnce(&Card, u64) -> Result<Option<Vec<u8>>>) -> Result<()> {
        let mut inner = self.lock();
        let inner = &mut *inner;
        let tx = inner.conn.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let known = Enrolled::load(&tx, &inner.keys)?;
        if known.is_own() {
            return Err(Error::NotEnrolled);
        }
        if let Some(signed) = choose(&known.card, known.authority.newest().0)? {
            set_meta(&tx, "card", &signed)?;
            tx.commit()?;
            inner.office = Enrolled::load(&inner.conn, &inner.keys)?;
        }
        Ok(())
    }
}
