//! A person's decision about a phone that came with a code.

use dooryard_core::{
    Code, Error, Result,
    enrol::{Answer, CheckWords},
    ids::DeviceId,
    job::Job,
    log::{Body, Cert},
};

use super::{Asked, Office, Standing, Taken};

/// What admitting a phone gave.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Admitted {
    /// For the phone to read; its first reply brings the same.
    pub answer: Answer,
    /// What was taken in of the bundles that had waited for it.
    pub taken: Vec<Taken>,
}

impl Office {
    /// The phone with these words among those that wait.
    ///
    /// # Errors
    /// [`Error::NotFound`]; of the file system.
    pub fn asking_with(&self, words: CheckWords) -> Result<Asked> {
        let found = self.asking()?.into_iter().find(|asked| asked.words == words);
        found.ok_or_else(|| Error::NotFound("a phone with these words among those that wait".into()))
    }

    /// Admits a phone whose words a person compared, and takes in what waited for it. Admitting it again renews its certificate.
    /// `this_one`: of two phones that came with one code it is the right one; the other is turned away, and cut off where it was
    /// admitted before.
    ///
    /// # Errors
    /// `CODE_USED` when the code is frozen and `this_one` is not said; `REFUSED` when it was turned away; of the stores.
    pub fn admit_phone(&self, asked: &Asked, this_one: bool, job: &Job) -> Result<Admitted> {
        let device = asked.device();
        let (card, statement) = self.with_invitations(|| {
            let mut kept = self.invitation(&asked.ask.code_id)?;
            if kept.is_frozen() && !this_one {
                return Err(Error::refused(Code::CodeUsed, format!("the code of {}", kept.label)));
            }
            for claim in &mut kept.claims {
                let other = claim.device()?;
                if other == device {
                    if claim.standing == Standing::TurnedAway {
                        return Err(Error::refused(Code::RefusedByOffice, "a phone that was turned away"));
                    }
                    claim.standing = Standing::Admitted;
                } else if claim.standing != Standing::TurnedAway {
                    self.let_go(other, claim.standing)?;
                    claim.standing = Standing::TurnedAway;
                }
            }
            let request = &asked.ask.request;
            let (role, label) = (asked.role, asked.label.clone());
            let statement =
                self.say(|seq| Body::Cert(Cert { key: request.key, seal: request.seal.clone(), role, label, seq }))?;
            self.keep_invitation(&kept)?;
            Ok((kept.card, statement))
        })?;
        let newer = card != self.keys.card.serial;
        let answer = Answer { signed_card: newer.then(|| self.keys.signed_card.clone()), statement };
        Ok(Admitted { answer, taken: self.take_waiting(device, job)? })
    }

    /// Turns a phone away: what waited for it is removed here, and still stands on the phone.
    ///
    /// # Errors
    /// [`Error::NotFound`] when it never came with a code, or was admitted and is not frozen; of the file system.
    pub fn turn_away(&self, device: DeviceId) -> Result<()> {
        self.with_invitations(|| {
            for mut kept in self.all_invitations()? {
                let frozen = kept.is_frozen();
                for at in 0..kept.claims.len() {
                    let standing = kept.claims[at].standing;
                    let open = standing == Standing::Waiting || (frozen && standing == Standing::Admitted);
                    if open && kept.claims[at].device()? == device {
                        self.let_go(device, standing)?;
                        kept.claims[at].standing = Standing::TurnedAway;
                        return self.keep_invitation(&kept);
                    }
                }
            }
            Err(Error::NotFound("a phone that waits".into()))
        })
    }

    /// Cuts a phone off where it was admitted before, and removes what waited for it.
    fn let_go(&self, device: DeviceId, standing: Standing) -> Result<()> {
        if standing == Standing::Admitted {
            self.revoke(device)?;
        }
        self.forget_waiting(device)
    }
}
