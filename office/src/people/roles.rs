//! Roles at the page, each with all that the one before may do.

use std::str::FromStr;

/// What somebody may do at the office page. Ordered: a later one may all that an earlier one may.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Role {
    /// Reads what the office and its volunteers may read; nothing private.
    Reader,
    /// Leads scouts: also where a yard is and who asked.
    ScoutLead,
    /// Reviews and answers.
    Reviewer,
    /// Keeps the accounts, the audit, and what is known of one person.
    Admin,
}

impl Role {
    /// Every role, least first.
    pub const ALL: [Self; 4] = [Self::Reader, Self::ScoutLead, Self::Reviewer, Self::Admin];

    /// Its word.
    pub fn name(self) -> &'static str {
        match self {
            Self::Reader => "reader",
            Self::ScoutLead => "scout lead",
            Self::Reviewer => "reviewer",
            Self::Admin => "admin",
        }
    }

    /// The name of its word among what the page says.
    pub fn word(self) -> &'static str {
        match self {
            Self::Reader => "role-reader",
            Self::ScoutLead => "role-scout-lead",
            Self::Reviewer => "role-reviewer",
            Self::Admin => "role-admin",
        }
    }

    /// The name of the sentence that says what it may do.
    pub fn may(self) -> &'static str {
        match self {
            Self::Reader => "role-reader-may",
            Self::ScoutLead => "role-scout-lead-may",
            Self::Reviewer => "role-reviewer-may",
            Self::Admin => "role-admin-may",
        }
    }

    /// Whether it sees what is private (P2).
    pub fn sees_private(self) -> bool {
        self >= Self::ScoutLead
    }
}

impl FromStr for Role {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let wanted = text.replace('-', " ");
        Self::ALL
            .into_iter()
            .find(|role| role.name() == wanted)
            .ok_or_else(|| "a role is one of reader, scout-lead, reviewer, admin".into())
    }
}
