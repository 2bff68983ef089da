//! The phone's side: takes the invitation, asks, takes the answer.

use super::{Answer, Ask, CheckWords, Invitation};
use crate::{
    error::Result,
    notebook::{Notebook, Request, write_answer},
};

impl Notebook {
    /// Takes an invitation. From then on the notebook is meant for that office, with all that was written before, and bundles can
    /// be made: they carry the ask until the certificate comes.
    ///
    /// # Errors
    /// `NOT_FOR_US` when the notebook belongs to another office; `SCHEMA`, `BAD_SIGNATURE`; of SQLite.
    pub fn join(&self, invitation: &Invitation) -> Result<()> {
        self.accept(&invitation.signed_card, invitation.invited.clone())
    }

    /// What an invited notebook asks of its office; `None` when it was not invited or has its certificate.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn ask(&self) -> Result<Option<Ask>> {
        let Some(invited) = self.invited()? else { return Ok(None) };
        Ask::new(self.enrolment_request(), &invited.code, &self.card()?.root).map(Some)
    }

    /// The words that the person with the phone and the person at the office compare.
    ///
    /// # Errors
    /// [`crate::Error::NotEnrolled`] when it was never invited.
    pub fn check_words(&self) -> Result<CheckWords> {
        CheckWords::of(&self.card()?.root, &Request::read(&self.enrolment_request())?)
    }

    /// Takes the office's answer.
    ///
    /// # Errors
    /// [`crate::Error::NotEnrolled`] when it was never invited and the answer brings no card; as [`Notebook::enrol`].
    pub fn take_answer(&self, answer: &Answer) -> Result<()> {
        let card = match &answer.signed_card {
            Some(card) => card.clone(),
            None => self.signed_card()?,
        };
        self.enrol(&write_answer(&card, std::slice::from_ref(&answer.statement)))
    }
}
