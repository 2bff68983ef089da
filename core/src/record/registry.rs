//! The field registry: the one list of kinds and fields. Numbers are for ever: never renumber, never reuse.

use std::{fmt, str::FromStr};

use crate::error::{Code, Error, Result};

/// Raised with every change of the registry; digests are compared only between equal versions.
pub const REGISTRY_VERSION: u32 = 4;

/// Field 0 of every record: whether it exists. Value: `1` alive, or `[0, [hash of each live change the deletion saw]]`.
pub const EXISTENCE: u32 = 0;

/// Who may see a field.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Privacy {
    /// P0: may be public.
    Public,
    /// P1: office and volunteers.
    Office,
    /// P2: case handler and educator only; leaves on schedule.
    Private,
    /// P3: sealed; regulated or legal.
    Sealed,
}

impl Privacy {
    /// P0 to P3.
    pub fn name(self) -> &'static str {
        ["P0", "P1", "P2", "P3"][self as usize]
    }
}

/// What a certificate says its holder is.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Role {
    /// A volunteer in the yard.
    Scout = 1,
    /// A volunteer who leads others.
    Lead = 2,
    /// The county's horticulture educator.
    Educator = 3,
    /// The office's own machine.
    Office = 4,
}

impl Role {
    /// Every role.
    pub const ALL: [Self; 4] = [Self::Scout, Self::Lead, Self::Educator, Self::Office];

    /// Its number on the wire; a higher one wins a tie between two live values.
    pub fn rank(self) -> u8 {
        self as u8
    }

    /// The role with this number.
    pub fn from_rank(rank: u64) -> Option<Self> {
        Self::ALL.into_iter().find(|r| u64::from(r.rank()) == rank)
    }

    /// Its word.
    pub fn name(self) -> &'static str {
        match self {
            Self::Scout => "scout",
            Self::Lead => "lead",
            Self::Educator => "educator",
            Self::Office => "office",
        }
    }
}

impl FromStr for Role {
    type Err = Error;
    fn from_str(text: &str) -> Result<Self> {
        let found = Self::ALL.into_iter().find(|r| r.name() == text);
        found.ok_or_else(|| Error::refused(Code::Schema, "a role is one of scout, lead, educator, office"))
    }
}

/// A set of roles.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Roles(u8);

impl Roles {
    /// Everyone with a certificate.
    pub const ALL: Self = Self(0b1111);
    /// The educator and the office.
    pub const DESK: Self = Self(0b1100);

    /// Whether the role is among them.
    pub fn has(self, role: Role) -> bool {
        self.0 & (1 << (role.rank() - 1)) != 0
    }

    /// Names, for documents.
    pub fn names(self) -> Vec<&'static str> {
        Role::ALL.into_iter().filter(|r| self.has(*r)).map(Role::name).collect()
    }
}

/// What a value may be.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Type {
    /// Whether the record exists (field 0 only).
    Existence,
    /// Text as typed, at most this many characters.
    Text(usize),
    /// An id of the pack, such as `leaf_spot` or `leaf_spot.round`.
    Key,
    /// A whole number within bounds.
    Int(i64, i64),
    /// A decimal number as text, such as `6.25`.
    Decimal,
    /// Yes or no.
    Bool,
    /// One of these words, carried as its place in the list.
    Word(&'static [&'static str]),
    /// A day: `2026-05-12`.
    Date,
    /// An instant with its zone: `2026-05-12T10:42:00-05:00[America/Chicago]`.
    Instant,
    /// Degrees (WGS 84), carried as a whole number of 10^-7 degrees; bounds in degrees.
    Degrees(i64, i64),
    /// Another record.
    Ref(Kind),
    /// A photo or thumbnail.
    Blob,
    /// Several of one type, at most 200.
    List(&'static Type),
    /// One value with parts that change together.
    Group(&'static [Part]),
}

/// A part of a group. The set of parts of a group is frozen: extending it means a new field.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Part {
    /// Its number in the group.
    pub key: u32,
    /// Its name in JSON.
    pub name: &'static str,
    /// What it may be.
    pub ty: Type,
    /// Whether the group needs it.
    pub needed: bool,
}

/// One field of one kind of record.
#[derive(Clone, Copy, Debug)]
pub struct Field {
    /// Its number, unique over the registry: hundred times the kind's number, plus a count.
    pub id: u32,
    /// The kind it belongs to.
    pub kind: Kind,
    /// Its name in JSON and documents.
    pub name: &'static str,
    /// What it may hold.
    pub ty: Type,
    /// Who may see it.
    pub class: Privacy,
    /// Who may write it.
    pub writers: Roles,
    /// What it means, with units.
    pub doc: &'static str,
}

macro_rules! kinds {
    ($($name:ident = $id:literal, $text:literal, $doc:literal;)*) => {
        /// A kind of record.
        #[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
        pub enum Kind {
            $(#[doc = $doc] $name = $id,)*
        }

        impl Kind {
            /// Every kind.
            pub const ALL: &'static [Self] = &[$(Self::$name),*];

            /// Its word.
            pub fn name(self) -> &'static str {
                match self { $(Self::$name => $text),* }
            }

            /// What it is.
            pub fn doc(self) -> &'static str {
                match self { $(Self::$name => $doc),* }
            }
        }
    };
}

kinds! {
    Inquiry = 1, "inquiry", "One request for help: channel, the resident's words, a wish, an outcome.";
    Contact = 2, "contact", "Who asked. Always private, its own record.";
    Site = 3, "site", "Where. Address and point private, county and coarse cell public.";
    SiteNote = 4, "site_note", "What was seen or measured of a site.";
    Plant = 5, "plant", "One plant, or a group of one kind, at a site.";
    Visit = 6, "visit", "One look at a site at one time by one scout.";
    Finding = 7, "finding", "One character of one plant in one visit.";
    Photo = 8, "photo", "One content-addressed image.";
    Sample = 9, "sample", "A specimen for a laboratory.";
    Custody = 10, "custody", "One hand-over in the life of a sample; written once, never changed.";
    Diagnosis = 11, "diagnosis", "A list of causes with role, word, number, basis and status.";
    Advice = 12, "advice", "What was told, with versions and the cautions shown.";
    FollowUp = 13, "follow_up", "A question due on a date, and its answer.";
    Review = 14, "review", "The office's own answer and decision.";
    Alert = 15, "alert", "A suspected regulated pest. Sealed until the regulator releases it.";
    Hours = 16, "hours", "A volunteer's hours, apart from any case.";
}

impl Kind {
    /// Its number on the wire.
    pub fn id(self) -> u32 {
        self as u32
    }

    /// The kind with this number.
    pub fn from_id(id: u32) -> Option<Self> {
        Self::ALL.iter().copied().find(|k| k.id() == id)
    }
}

impl fmt::Display for Kind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

impl FromStr for Kind {
    type Err = Error;
    fn from_str(text: &str) -> Result<Self> {
        let found = Self::ALL.iter().copied().find(|k| k.name() == text);
        found.ok_or_else(|| Error::refused(Code::Schema, format!("no kind of record is called {:?}", clip(text))))
    }
}

/// One entry of the registry; its kind follows from its number.
pub(super) const fn f(
    id: u32,
    name: &'static str,
    ty: Type,
    class: Privacy,
    writers: Roles,
    doc: &'static str,
) -> Field {
    // Kinds are numbered from 1 without a hole; an entry of no kind does not compile.
    Field { id, kind: Kind::ALL[id as usize / 100 - 1], name, ty, class, writers, doc }
}

fn clip(text: &str) -> String {
    text.chars().take(40).collect()
}
