//! Codes: why something was refused or set aside, when to try again, and what to say to a person.

use std::fmt;

/// Why a bundle, a change or a record was refused or set aside. The names are the ones on the wire.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
#[non_exhaustive]
pub enum Code {
    /// Sealed to another office or another device.
    NotForUs,
    /// Not a `.yard` file at all.
    BadMagic,
    /// The end is missing; what is whole was used.
    Cut,
    /// A part's bytes are not the ones its address names.
    PartHash,
    /// A signature does not hold.
    BadSignature,
    /// No certificate of ours for the sender.
    UnknownDevice,
    /// The sender was revoked.
    Revoked,
    /// Two changes stand at one place of a log.
    Fork,
    /// Changes in between have not come yet.
    Gap,
    /// Written by a newer app or wire version.
    TooNew,
    /// Over a limit.
    TooBig,
    /// Unpacks to more than it declares or than is allowed.
    Bomb,
    /// Not in the form that the wire description gives.
    Schema,
    /// The sender's role may not write that field.
    ForbiddenField,
    /// The sender's clock is far off.
    Clock,
    /// The disk is full.
    NoSpace,
    /// A reply older than the one already taken.
    StaleReply,
    /// The office's own word: refused by a person.
    RefusedByOffice,
    /// The office made no invitation with this code, or the keys are not the ones it was answered with.
    WrongCode,
    /// The invitation's time is over by the office's clock.
    Expired,
    /// Another phone used the code.
    CodeUsed,
    /// As much waits at the office as may wait.
    WaitingFull,
    /// The office's keys are not in its folder.
    KeyLost,
    /// Another program gave the office new keys.
    KeysChanged,
}

/// When it makes sense to try again.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Retry {
    /// Trying again gives the same answer.
    Never,
    /// Later, by itself.
    Later,
    /// After this program was upgraded.
    AfterUpgrade,
    /// After a person decided something.
    AfterPerson,
}

impl Code {
    /// Every code, for tables and tests.
    pub const ALL: [Self; 24] = [
        Self::NotForUs,
        Self::BadMagic,
        Self::Cut,
        Self::PartHash,
        Self::BadSignature,
        Self::UnknownDevice,
        Self::Revoked,
        Self::Fork,
        Self::Gap,
        Self::TooNew,
        Self::TooBig,
        Self::Bomb,
        Self::Schema,
        Self::ForbiddenField,
        Self::Clock,
        Self::NoSpace,
        Self::StaleReply,
        Self::RefusedByOffice,
        Self::WrongCode,
        Self::Expired,
        Self::CodeUsed,
        Self::WaitingFull,
        Self::KeyLost,
        Self::KeysChanged,
    ];

    /// The code's name on the wire and in `--json`.
    pub fn name(self) -> &'static str {
        self.row().0
    }

    /// The code with this name.
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|c| c.name() == name)
    }

    /// When it makes sense to try again.
    pub fn retry(self) -> Retry {
        self.row().1
    }

    /// What happened and what to do, in a plain sentence.
    pub fn sentence(self) -> &'static str {
        self.row().2
    }

    /// What happened to a pack file and what to do, in a plain sentence; as [`Code::sentence`] where packs are no case of
    /// their own.
    pub fn pack_sentence(self) -> &'static str {
        match self {
            Self::BadMagic => "It is not a pack. Ask for the file that ends in .pack.",
            Self::Cut => "Its end is missing. Nothing of it was used; ask for the file again.",
            Self::BadSignature => {
                "Its signature does not hold. Nothing of it was read; ask the office for the file again."
            }
            Self::UnknownDevice => {
                "It is signed by a key that is not trusted here. Ask the office which key its packs are signed by."
            }
            Self::TooNew => "It was made for a newer version of this program. Upgrade the program, then take it again.",
            Self::TooBig => "It is larger than packs may be.",
            Self::Schema => "It is not in the form that packs have. Ask whoever made it to check it.",
            Self::StaleReply => {
                "It is older than a pack already taken. Nothing was changed; to go back to the pack before, say so."
            }
            other => other.sentence(),
        }
    }

    /// What happened to a backup and what to do, in a plain sentence; as [`Code::sentence`] where backups are no case of
    /// their own.
    pub fn backup_sentence(self) -> &'static str {
        match self {
            Self::NotForUs => "It is a backup of another notebook or office. Nothing was changed.",
            Self::Cut | Self::PartHash => {
                "Its end is missing or bytes were changed. Nothing of it was used; take another copy of it."
            }
            Self::BadSignature => "Its signature does not hold. Nothing of it was used.",
            Self::Schema => "It is no backup that can be used here. Nothing was changed.",
            Self::StaleReply => {
                "It is older than what was known when it was made. Give the newest one, or say that it is meant."
            }
            other => other.sentence(),
        }
    }

    fn row(self) -> (&'static str, Retry, &'static str) {
        use Retry::{AfterPerson, AfterUpgrade, Later, Never};
        match self {
            Self::NotForUs => {
                ("NOT_FOR_US", Never, "It is sealed to another office. Hand it to the office it was made for.")
            }
            Self::BadMagic => ("BAD_MAGIC", Never, "It is not a bundle. Ask for the file that ends in .yard."),
            Self::Cut => {
                ("CUT", Later, "Its end is missing. What is whole was used; ask for the file again to get the rest.")
            }
            Self::PartHash => ("PART_HASH", Later, "Bytes were changed on the way. Ask for the file again."),
            Self::BadSignature => {
                ("BAD_SIGNATURE", Never, "Its signature does not hold. Ask the scout to make the bundle again.")
            }
            Self::UnknownDevice => (
                "UNKNOWN_DEVICE",
                AfterPerson,
                "This office does not know the phone. Add the device, then take the file in again.",
            ),
            Self::Revoked => {
                ("REVOKED", AfterPerson, "This phone was revoked. What it wrote after that waits for the educator.")
            }
            Self::Fork => ("FORK", Never, "Two different changes stand at the same place of one log. Both are kept."),
            Self::Gap => ("GAP", Later, "Something in between has not come yet. It is asked for in the reply."),
            Self::TooNew => {
                ("TOO_NEW", AfterUpgrade, "It was made by a newer version. It is kept, and taken in after an upgrade.")
            }
            Self::TooBig => ("TOO_BIG", Never, "It is larger than allowed. Make smaller bundles."),
            Self::Bomb => ("BOMB", Never, "It unpacks to more than it says. It was not unpacked."),
            Self::Schema => ("SCHEMA", AfterPerson, "It is not in the form that it should have. Ask for it again."),
            Self::ForbiddenField => (
                "FORBIDDEN_FIELD",
                AfterPerson,
                "It writes something that its role may not write. It waits for the educator.",
            ),
            Self::Clock => {
                ("CLOCK", Never, "The phone's clock is far off. Everything is kept; the office can correct the time.")
            }
            Self::NoSpace => ("NO_SPACE", Later, "The disk is full. Make room, then do it again."),
            Self::StaleReply => {
                ("STALE_REPLY", Never, "It is older than the reply already taken. Nothing was changed.")
            }
            Self::RefusedByOffice => ("REFUSED", Never, "The office refused it. It is kept and not shown."),
            Self::WrongCode => (
                "WRONG_CODE",
                Never,
                "This office made no such invitation, or somebody changed it on the way. Make a new one and read it again.",
            ),
            Self::Expired => (
                "EXPIRED",
                AfterPerson,
                "The invitation's time is over. Make a new one for the same label; nothing is lost.",
            ),
            Self::CodeUsed => (
                "CODE_USED",
                AfterPerson,
                "Two phones came with one code. Both wait now. Call the person back, then admit the phone whose words they read.",
            ),
            Self::WaitingFull => (
                "WAITING_FULL",
                Later,
                "As much waits as may wait. Admit or turn away what waits, then take the file in again.",
            ),
            Self::KeysChanged => (
                "KEYS_CHANGED",
                Later,
                "The office got new keys meanwhile. Start this program again; nothing was lost.",
            ),
            Self::KeyLost => (
                "KEY_LOST",
                AfterPerson,
                "The office's keys are gone. What was taken in is still here; bundles on their way open only with the \
                 recovery key. With the root key from the drawer, give the office new keys; without it, begin a new office \
                 and invite every phone again.",
            ),
        }
    }
}

impl fmt::Display for Code {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_code_is_found_by_its_own_name_and_says_what_to_do() {
        for code in Code::ALL {
            assert_eq!(Code::from_name(code.name()), Some(code));
            for said in [code.sentence(), code.pack_sentence(), code.backup_sentence()] {
                assert!(said.ends_with('.'), "{code}");
            }
        }
    }
}
