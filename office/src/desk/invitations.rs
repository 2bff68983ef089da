//! Invitations and who came with their codes: one file a code in `invitations/`, mode 0600, changed under a lock.
//!
//! A code is for one phone. When a second one comes with it, both are frozen: neither is admitted and nothing that either hands
//! over is taken in, until a person says which of them it is.

use std::{
    fs::{self, File},
    path::PathBuf,
};

use dooryard_core::{
    Code, Error, Result, durable,
    enrol::{Ask, CheckWords, CodeId, Invitation, Invited},
    ids::DeviceId,
    notebook::write_secret,
    record::Role,
};
use serde::{Deserialize, Serialize};

use super::Office;

/// Phones that may come with one code before nothing more is noted: two freeze it, more are somebody's game.
const MAX_CLAIMS: usize = 16;

/// Where a phone stands that came with a code.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Standing {
    /// It waits for a person.
    Waiting,
    /// A person admitted it.
    Admitted,
    /// A person turned it away.
    TurnedAway,
}

/// A phone that came with a code.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub(super) struct Claim {
    /// The whole ask, in hex.
    pub(super) ask: String,
    /// When it first came, milliseconds since 1970.
    pub(super) at_ms: u64,
    pub(super) standing: Standing,
}

impl Claim {
    pub(super) fn ask(&self) -> Result<Ask> {
        let bytes = hex::decode(&self.ask).map_err(|_| Error::refused(Code::Schema, "a kept ask"))?;
        Ask::from_bytes(&bytes)
    }

    pub(super) fn device(&self) -> Result<DeviceId> {
        Ok(DeviceId::of_key(&self.ask()?.request.key))
    }
}

/// An invitation as it is kept.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub(super) struct KeptInvitation {
    pub(super) code: String,
    pub(super) role: String,
    pub(super) label: String,
    pub(super) made_ms: u64,
    pub(super) expires_ms: u64,
    /// Serial of the card that it carries.
    pub(super) card: u64,
    pub(super) claims: Vec<Claim>,
}

impl KeptInvitation {
    pub(super) fn code(&self) -> Result<[u8; 16]> {
        let mut code = [0; 16];
        hex::decode_to_slice(&self.code, &mut code).map_err(|_| Error::refused(Code::Schema, "a kept invitation"))?;
        Ok(code)
    }

    /// Whether two phones came with it and nobody has decided yet.
    pub(super) fn is_frozen(&self) -> bool {
        self.claims.iter().filter(|claim| claim.standing != Standing::TurnedAway).count() > 1
    }
}

/// A phone's ask as the office sees it, its code checked.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Asked {
    /// The ask.
    pub ask: Ask,
    /// The words to compare with the phone's.
    pub words: CheckWords,
    /// The role of the invitation.
    pub role: Role,
    /// The label of the invitation.
    pub label: String,
    /// Where the phone stands.
    pub standing: Standing,
    /// Whether another phone came with the same code and nobody has decided yet.
    pub frozen: bool,
}

impl Asked {
    /// The phone.
    pub fn device(&self) -> DeviceId {
        DeviceId::of_key(&self.ask.request.key)
    }
}

impl Office {
    fn invitations(&self) -> PathBuf {
        self.dir.join("invitations")
    }

    /// Makes an invitation for one phone, good for `valid_ms` milliseconds by this machine's clock.
    ///
    /// # Errors
    /// `SCHEMA` when the label is empty or too long; of the file system.
    pub fn invite(&self, role: Role, label: &str, valid_ms: u64) -> Result<Invitation> {
        let env = self.notebook.env();
        // Whole seconds: that is what the text carries.
        let made_ms = env.now_ms() / 1000 * 1000;
        let expires_ms = made_ms.saturating_add(valid_ms) / 1000 * 1000;
        let invited = Invited { code: env.random(), role, label: label.trim().to_owned(), made_ms, expires_ms };
        let kept = KeptInvitation {
            code: hex::encode(invited.code),
            role: role.name().to_owned(),
            label: invited.label.clone(),
            made_ms,
            expires_ms,
            card: self.keys.card.serial,
            claims: Vec::new(),
        };
        let invitation = Invitation::new(self.keys.signed_card.clone(), invited)?;
        self.with_invitations(|| self.keep_invitation(&kept))?;
        Ok(invitation)
    }

    /// Notes that a phone came with a code, and says where it stands. The same phone may come again.
    ///
    /// # Errors
    /// `WRONG_CODE`; `EXPIRED` when it comes for the first time after the invitation's time; of the file system.
    pub fn hear(&self, ask: &Ask) -> Result<Asked> {
        self.with_invitations(|| {
            let mut kept = self.invitation(&ask.code_id)?;
            ask.check(&kept.code()?, &self.keys.card.root)?;
            let bytes = hex::encode(ask.to_bytes()?);
            if !kept.claims.iter().any(|claim| claim.ask == bytes) {
                let at_ms = self.notebook.env().now_ms();
                if at_ms > kept.expires_ms {
                    return Err(Error::refused(Code::Expired, format!("the invitation of {}", kept.label)));
                }
                if kept.claims.len() == MAX_CLAIMS {
                    return Err(Error::refused(Code::WrongCode, "a code that too many phones came with"));
                }
                kept.claims.push(Claim { ask: bytes, at_ms, standing: Standing::Waiting });
                self.keep_invitation(&kept)?;
            }
            self.asked(&kept, ask)
        })
    }

    pub(super) fn asked(&self, kept: &KeptInvitation, ask: &Ask) -> Result<Asked> {
        let bytes = hex::encode(ask.to_bytes()?);
        let claim = kept.claims.iter().find(|claim| claim.ask == bytes);
        Ok(Asked {
            words: ask.words(&self.keys.card)?,
            role: kept.role.parse()?,
            label: kept.label.clone(),
            standing: claim.map_or(Standing::Waiting, |claim| claim.standing),
            frozen: kept.is_frozen(),
            ask: ask.clone(),
        })
    }

    /// Every phone that came with a code of this office and waits for a person, or is frozen.
    ///
    /// # Errors
    /// Of the file system.
    pub fn asking(&self) -> Result<Vec<Asked>> {
        let mut found = Vec::new();
        for kept in self.all_invitations()? {
            for claim in &kept.claims {
                if claim.standing == Standing::Waiting || (kept.is_frozen() && claim.standing == Standing::Admitted) {
                    found.push(self.asked(&kept, &claim.ask()?)?);
                }
            }
        }
        Ok(found)
    }

    /// Whether two phones came with the code of this one and nobody has decided yet.
    pub(super) fn is_frozen(&self, device: DeviceId) -> Result<bool> {
        for kept in self.all_invitations()?.iter().filter(|kept| kept.is_frozen()) {
            for claim in kept.claims.iter().filter(|claim| claim.standing != Standing::TurnedAway) {
                if claim.device()? == device {
                    return Ok(true);
                }
            }
        }
        Ok(false)
    }

    /// Whether any code is frozen.
    pub(super) fn is_any_frozen(&self) -> Result<bool> {
        Ok(self.all_invitations()?.iter().any(KeptInvitation::is_frozen))
    }

    /// Runs `work` while no other process of this office changes invitations or what waits.
    pub(super) fn with_invitations<T>(&self, work: impl FnOnce() -> Result<T>) -> Result<T> {
        let what = || Error::io("keeping invitations");
        durable::make_folders(&self.invitations()).map_err(what())?;
        let lock = File::create(self.invitations().join("lock")).map_err(what())?;
        lock.lock().map_err(what())?;
        let done = work();
        lock.unlock().map_err(what())?;
        done
    }

    pub(super) fn invitation(&self, id: &CodeId) -> Result<KeptInvitation> {
        let path = self.invitations().join(format!("{}.json", id.to_hex()));
        let text = match fs::read_to_string(path) {
            Err(e) if e.kind() == std::io::ErrorKind::NotFound => {
                return Err(Error::refused(Code::WrongCode, "no invitation of this office"));
            }
            other => other.map_err(Error::io("reading an invitation"))?,
        };
        serde_json::from_str(&text).map_err(|_| Error::refused(Code::Schema, "a kept invitation"))
    }

    pub(super) fn all_invitations(&self) -> Result<Vec<KeptInvitation>> {
        let what = || Error::io("reading invitations");
        let mut found: Vec<KeptInvitation> = Vec::new();
        let entries = match fs::read_dir(self.invitations()) {
            Err(e) if e.kind() == std::io::ErrorKind::NotFound => return Ok(found),
            other => other.map_err(what())?,
        };
        for entry in entries.flatten().filter(|entry| entry.path().extension().is_some_and(|e| e == "json")) {
            let text = fs::read_to_string(entry.path()).map_err(what())?;
            found.push(serde_json::from_str(&text).map_err(|_| Error::refused(Code::Schema, "a kept invitation"))?);
        }
        found.sort_by(|a, b| (a.made_ms, &a.label, &a.code).cmp(&(b.made_ms, &b.label, &b.code)));
        Ok(found)
    }

    /// Writes it beside its place and moves it there: whole or not at all.
    pub(super) fn keep_invitation(&self, kept: &KeptInvitation) -> Result<()> {
        let id = CodeId::of(&kept.code()?).to_hex();
        let (temp, path) =
            (self.invitations().join(format!("{id}.new")), self.invitations().join(format!("{id}.json")));
        write_secret(&temp, serde_json::to_string_pretty(kept).unwrap_or_default().as_bytes())?;
        durable::rename(&temp, &path).map_err(Error::io("keeping an invitation"))
    }
}
