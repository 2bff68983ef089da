//! Becoming one of an office's phones: by texts that fit a QR code, or by files.

use dooryard_core::{
    Error, Result as CoreResult,
    enrol::{Answer, CheckWords, Invitation},
    notebook::{Invited, Notebook, Request},
};

use crate::{
    errors::NotebookError,
    notebook::FieldNotebook,
    views::{Bilingual, Role},
};

/// What an invitation says.
#[derive(Clone, PartialEq, Eq, Debug, uniffi::Record)]
pub struct InvitationView {
    /// The office's name.
    pub office: String,
    /// The role that the office means to give.
    pub role: Role,
    /// What people will call the phone, such as `Scout 3`.
    pub label: String,
    /// Six words that must stand at the office too, in this order: compare them before the first contact is written down.
    pub words: Bilingual,
    /// Until when the office takes it, milliseconds since 1970 by the office's clock.
    pub expires_ms: i64,
    /// Past by this phone's clock: a warning only, for that clock may be wrong.
    pub past: bool,
}

/// How a notebook stands with its office.
#[derive(Clone, PartialEq, Eq, Debug, uniffi::Enum)]
pub enum EnrolmentView {
    /// It belongs to no office, or its key was lost and the office has to take it on again: everything is kept in it, and nothing can
    /// be handed over until an office's code was taken.
    NotInvited,
    /// It took an invitation: its bundles wait at the office until it is admitted there.
    Asking {
        /// What the invitation says.
        invitation: InvitationView,
        /// The text that the office reads, to be shown as a QR code. Bundles carry it too.
        ask: String,
    },
    /// The office certified it.
    Enrolled {
        /// The office's name.
        office: String,
        /// Its role.
        role: Role,
        /// Its name in lists and histories, such as `Scout 3`.
        label: String,
        /// The words that were compared.
        words: Bilingual,
    },
}

impl From<CheckWords> for Bilingual {
    fn from(words: CheckWords) -> Self {
        Self { en: words.english(), es: words.spanish() }
    }
}

fn invitation_view(office: String, invited: Invited, words: CheckWords, now_ms: u64) -> InvitationView {
    InvitationView {
        office,
        role: invited.role,
        past: invited.is_past(now_ms),
        label: invited.label,
        words: words.into(),
        expires_ms: i64::try_from(invited.expires_ms).unwrap_or(i64::MAX),
    }
}

fn standing(notebook: &Notebook) -> CoreResult<EnrolmentView> {
    let office = match notebook.card() {
        Ok(card) => card.name,
        Err(Error::NotEnrolled) => return Ok(EnrolmentView::NotInvited),
        Err(e) => return Err(e),
    };
    if notebook.must_enrol_again()? {
        return Ok(EnrolmentView::NotInvited);
    }
    let words = notebook.check_words()?;
    if let (Some(invited), Some(ask)) = (notebook.invited()?, notebook.ask()?) {
        let invitation = invitation_view(office, invited, words, notebook.env().now_ms());
        return Ok(EnrolmentView::Asking { invitation, ask: ask.to_text()? });
    }
    let (role, label) = notebook.role()?;
    Ok(EnrolmentView::Enrolled { office, role, label, words: words.into() })
}

#[uniffi::export]
impl FieldNotebook {
    /// How this notebook stands with its office.
    ///
    /// # Errors
    /// `Storage`.
    pub fn enrolment(&self) -> Result<EnrolmentView, NotebookError> {
        Ok(standing(&*self.core()?)?)
    }

    /// Reads an office's invitation, as text out of a QR code, and changes nothing: a person looks at it before `join`.
    ///
    /// # Errors
    /// `Refused` with `SCHEMA` (another text, or a wrong letter), `BAD_SIGNATURE`, `TOO_NEW`.
    pub fn read_invitation(&self, text: String) -> Result<InvitationView, NotebookError> {
        let core = self.core()?;
        let Invitation { card, invited, .. } = Invitation::from_text(&text)?;
        let words = CheckWords::of(&card.root, &Request::read(&core.enrolment_request())?)?;
        Ok(invitation_view(card.name, invited, words, core.env().now_ms()))
    }

    /// Takes an office's invitation: from then on the notebook is meant for that office, with all that was written in it before.
    /// Another one of the same office takes the place of the first.
    ///
    /// # Errors
    /// As `read_invitation`; `Refused` with `NOT_FOR_US` when the notebook belongs to another office.
    pub fn join(&self, text: String) -> Result<EnrolmentView, NotebookError> {
        let core = self.core()?;
        core.join(&Invitation::from_text(&text)?)?;
        Ok(standing(&core)?)
    }

    /// Takes the office's answer, as text out of a QR code. A reply of the office brings the same.
    ///
    /// # Errors
    /// `Refused` with `SCHEMA` (another text, or a wrong letter), `BAD_SIGNATURE`, `TOO_NEW`, or `NOT_FOR_US` when it is
    /// for another phone or of another office; `NotEnrolled` before an invitation was taken. Nothing was changed.
    pub fn take_answer(&self, text: String) -> Result<EnrolmentView, NotebookError> {
        let core = self.core()?;
        core.take_answer(&Answer::from_text(&text)?)?;
        Ok(standing(&core)?)
    }

    /// The content of the file that the device hands to its office to be enrolled by files.
    ///
    /// # Errors
    /// `ShutDown`.
    pub fn enrolment_request(&self) -> Result<Vec<u8>, NotebookError> {
        Ok(self.core()?.enrolment_request())
    }

    /// Takes the office's answer to the request, which came as a file.
    ///
    /// # Errors
    /// `Refused` when it is for another device, of another office, or not such an answer.
    pub fn enrol(&self, answer: Vec<u8>) -> Result<(), NotebookError> {
        Ok(self.core()?.enrol(&answer)?)
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use dooryard_core::{clock::Env, sign::Signing};

    use super::*;
    use crate::secrets::tests::Turned;

    fn card(root: &Signing) -> Vec<u8> {
        let recipient = dooryard_core::notebook::recipient_text(&[9; 32]);
        let (seal, recovery) = (recipient.clone(), recipient);
        let (name, former) = ("Larkspur".into(), vec![]);
        dooryard_core::notebook::Card { root: root.public(), key: [1; 32], seal, recovery, name, serial: 1, former }
            .sign(root)
    }

    fn invitation(seed: u8, expires_ms: u64) -> String {
        let invited = Invited { code: [7; 16], role: Role::Scout, label: "Scout 3".into(), made_ms: 0, expires_ms };
        Invitation::new(card(&Signing::from_seed(&[seed; 32])), invited).unwrap().to_text().unwrap()
    }

    #[test]
    fn an_invitation_is_looked_at_first_and_joining_shows_the_same_words_and_an_ask() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("phone").display().to_string();
        let notebook = FieldNotebook::create(path, Arc::new(Turned::default())).unwrap();
        let far = Env::system().now_ms() + 86_400_000;
        let seen = notebook.read_invitation(invitation(1, far)).unwrap();
        assert_eq!((seen.office.as_str(), seen.label.as_str(), seen.past), ("Larkspur", "Scout 3", false));
        assert_eq!(seen.expires_ms, (far / 1000 * 1000) as i64);
        assert!(notebook.read_invitation(invitation(1, 1_000)).unwrap().past);
        assert_eq!(notebook.enrolment(), Ok(EnrolmentView::NotInvited), "looking changes nothing");
        let EnrolmentView::Asking { invitation: kept, ask } = notebook.join(invitation(1, far)).unwrap() else {
            panic!("not asking")
        };
        assert_eq!(kept, seen);
        assert!(ask.starts_with("DY2:"));
        assert_ne!(kept.words, notebook.read_invitation(invitation(2, far)).unwrap().words, "another office's words");
        let other = notebook.join(invitation(2, far)).err();
        assert!(matches!(other, Some(NotebookError::Refused { code, .. }) if code == "NOT_FOR_US"));
        assert_eq!(notebook.enrolment(), Ok(EnrolmentView::Asking { invitation: kept, ask }));
    }
}
