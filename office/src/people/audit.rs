//! The audit: who did what kind of thing to which record, and when. It is only added to.

use rusqlite::{Connection, params};

use super::{People, Result, Visitor};

/// Rows of a page of the audit.
const ROWS: usize = 100;

macro_rules! acts {
    ($($act:ident = $id:literal, $words:literal;)*) => {
        /// A kind of thing that somebody did.
        #[derive(Clone, Copy, PartialEq, Eq, Debug)]
        pub enum Act {
            $(#[doc = $words] $act,)*
        }

        impl Act {
            /// Every act.
            pub const ALL: &[Self] = &[$(Self::$act,)*];

            /// Its name in the store.
            pub fn id(self) -> &'static str {
                match self { $(Self::$act => $id,)* }
            }
        }
    };
}

acts! {
    SignedIn = "signed_in", "signed in";
    SignInRefused = "sign_in_refused", "was not signed in: name, password or code was not right";
    SignedOut = "signed_out", "signed out";
    SignedOutEverywhere = "signed_out_everywhere", "signed out everywhere";
    MadeAccount = "made_account", "made an account";
    ChangedRole = "changed_role", "changed a role";
    ClosedAccount = "closed_account", "closed an account";
    MadeLink = "made_link", "made a one-time link for an account";
    SetPassword = "set_password", "chose a password";
    TookIn = "took_in", "took a file in";
    TookOriginal = "took_original", "took a bundle out as it came";
    TriedAgain = "tried_again", "tried a file again that was set aside";
    ThrewAway = "threw_away", "threw a file away that was set aside";
    LetCount = "let_count", "let a change count";
    RefusedChange = "refused_change", "refused a change";
    ErasedDamaged = "erased_damaged", "erased a damaged file of the notebook";
    InvitedPhone = "invited_phone", "invited a phone";
    HeardPhone = "heard_phone", "read a phone's code";
    AdmittedPhone = "admitted_phone", "admitted a phone";
    TurnedPhoneAway = "turned_phone_away", "turned a phone away";
    ClosedPhone = "closed_phone", "closed a phone";
    MadeReply = "made_reply", "made the reply for a phone";
    MadeCodes = "made_codes", "made new recovery codes";
    UsedCode = "used_code", "used a recovery code";
    NotAllowed = "not_allowed", "asked for what the role does not allow";
    SawInquiry = "saw_inquiry", "looked at an inquiry";
    SawPlace = "saw_place", "looked at the address of an inquiry";
    SawContact = "saw_contact", "looked at who asked";
    SawPhoto = "saw_photo", "looked at a photo closely";
    ChangedHolder = "changed_holder", "changed who has an inquiry";
    Exported = "exported", "exported records";
    Searched = "searched", "searched for one person's data";
    SawPerson = "saw_person", "looked at one person's data";
    ExportedPerson = "exported_person", "exported one person's data";
    ErasedPerson = "erased_person", "erased one person's data";
    SetRule = "set_rule", "set how long private fields are kept";
    ErasedByRule = "erased_by_rule", "erased private fields by the rule";
    SawReview = "saw_review", "looked at a review";
    KeptAnswer = "kept_answer", "kept an own answer before seeing the scout's";
    Decided = "decided", "decided a review";
    ChoseValue = "chose_value", "chose between two values";
    Linked = "linked", "linked or parted inquiries that look alike";
    ReviewedMany = "reviewed_many", "changed several reviews at once";
    TookBack = "took_back", "took back what was done";
    TookCall = "took_call", "wrote down a call";
    AddedPhotos = "added_photos", "added photos to an inquiry";
    WroteLook = "wrote_look", "wrote down what somebody looked at";
    ReadStop = "read_stop", "read a stop";
    SentLetter = "sent_letter", "kept a letter as it was sent";
    WroteFollowUp = "wrote_follow_up", "wrote what is asked later";
}

/// One row of the audit.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Entry {
    /// Its number; they only grow.
    pub n: i64,
    /// When, milliseconds since 1970.
    pub at_ms: i64,
    /// Name of who did it; `None` when that is not known.
    pub who: Option<String>,
    /// What was done.
    pub act: String,
    /// Number of the record or account it was done to.
    pub about: Option<String>,
}

/// Adds a row, in whatever the caller does with the store.
pub(super) fn add(conn: &Connection, now_ms: i64, who: Option<i64>, act: Act, about: Option<&str>) -> Result<()> {
    conn.prepare_cached("INSERT INTO audit (at_ms, account, act, about) VALUES (?1, ?2, ?3, ?4)")?.execute(params![
        now_ms,
        who,
        act.id(),
        about
    ])?;
    Ok(())
}

impl People {
    /// Notes what somebody did. `about` is the number of a record, an account, a phone or a file, never anyone's words.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn note(&self, who: &Visitor, act: Act, about: Option<&str>) -> Result<()> {
        add(&self.lock(), self.now_ms(), Some(who.account), act, about)
    }

    /// A page of the audit, newest first: rows with numbers below `before`. `None` begins with the newest.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn audit(&self, before: Option<i64>) -> Result<Vec<Entry>> {
        let conn = self.lock();
        let mut rows = conn.prepare_cached(
            "SELECT n, at_ms, name, act, about FROM audit LEFT JOIN account ON account.id = audit.account
             WHERE n < ?1 ORDER BY n DESC LIMIT ?2",
        )?;
        let entry = |row: &rusqlite::Row<'_>| {
            Ok(Entry { n: row.get(0)?, at_ms: row.get(1)?, who: row.get(2)?, act: row.get(3)?, about: row.get(4)? })
        };
        Ok(rows.query_map(params![before.unwrap_or(i64::MAX), ROWS as i64], entry)?.collect::<Result<_, _>>()?)
    }
}
