//! What stands at the head of a pack file, and is signed.

use super::refused;
use crate::{
    Code, Result,
    cbor::{self, Reader},
    ids::Hash32,
    key::{Language, ReviewStatus, authored::PackEntry},
};
use jiff::civil::Date;

/// A verifying key of Ed25519.
pub type Key = [u8; 32];

/// Keys of one file at most, those to come included.
const MAX_KEYS: u64 = 8;
/// Bytes of a text in a manifest at most.
const MAX_TEXT: usize = 100;

/// What a pack file says of itself. All of it is signed.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Manifest {
    /// Id of the pack.
    pub id: String,
    /// Counts up with every change that is given out.
    pub version: u32,
    /// Day on which the file was made.
    pub created: Date,
    /// Day after which its age is shown.
    pub not_after: Date,
    /// Languages in which it has texts. English is whole; another may lack some.
    pub languages: Vec<Language>,
    /// Lowest and highest form of the content of a core that can read it.
    pub core: (u32, u32),
    /// Whether specialists have signed the content.
    pub status: ReviewStatus,
    /// Bytes of the body as it is in the file.
    pub packed_len: u64,
    /// BLAKE3 of the body as it is in the file.
    pub packed_hash: Hash32,
    /// Bytes of the content.
    pub content_len: u64,
    /// BLAKE3 of the content, which is also [`crate::key::Pack::hash`].
    pub content_hash: Hash32,
    /// The keys that signed it, each once.
    pub signers: Vec<Key>,
    /// The keys that count from this version on; none while nothing changes. Those that are new have signed it, too.
    pub next: Vec<Key>,
}

impl Manifest {
    /// How many days past its day `not_after` it is; nothing until then. An old pack is told to be old and never locked.
    pub fn days_overdue(&self, today: Date) -> Option<u32> {
        let days = self.not_after.until(today).ok()?.get_days();
        u32::try_from(days).ok().filter(|days| *days > 0)
    }

    /// What has to be shown once it is past its day.
    pub fn age_notice(&self, today: Date, language: Language) -> Option<String> {
        let days = self.days_overdue(today)?;
        Some(match language {
            Language::En => format!(
                "This pack was meant to be renewed by {} ({days} days ago). Ask the office for a newer one.",
                self.not_after
            ),
            Language::Es => format!(
                "Este paquete debía renovarse antes del {} (hace {days} días). Pida uno más nuevo a la oficina.",
                self.not_after
            ),
        })
    }

    /// Whether the head of the content says the same.
    pub(super) fn describes(&self, entry: &PackEntry) -> bool {
        let same_day = entry.not_after.parse().is_ok_and(|day: Date| day == self.not_after);
        let same_state = entry.core == self.core && entry.status == self.status;
        entry.id == self.id && entry.version == self.version && same_day && same_state
    }

    pub(super) fn to_cbor(&self) -> Vec<u8> {
        cbor::encode(|w| {
            w.array(13)?.str(&self.id)?.u32(self.version)?;
            w.str(&self.created.to_string())?.str(&self.not_after.to_string())?;
            w.array(self.languages.len() as u64)?;
            self.languages.iter().try_for_each(|l| w.str(l.tag()).map(drop))?;
            w.array(2)?.u32(self.core.0)?.u32(self.core.1)?;
            w.bool(self.status == ReviewStatus::Reviewed)?;
            w.u64(self.packed_len)?.bytes(&self.packed_hash.0)?;
            w.u64(self.content_len)?.bytes(&self.content_hash.0)?;
            for keys in [&self.signers, &self.next] {
                w.array(keys.len() as u64)?;
                keys.iter().try_for_each(|k| w.bytes(k).map(drop))?;
            }
            Ok(())
        })
    }

    /// Reads one that nobody has verified yet.
    pub(super) fn from_cbor(bytes: &[u8]) -> Result<Self> {
        let r = &mut Reader::new(bytes)?;
        r.array_of(13)?;
        let id = text(r)?.to_owned();
        let version = number(r)?;
        let (created, not_after) = (day(r)?, day(r)?);
        let mut languages = Vec::new();
        for _ in 0..r.array()? {
            // A language that this program does not know is none it could show.
            languages.extend(Language::from_tag(text(r)?));
        }
        r.array_of(2)?;
        let core = (number(r)?, number(r)?);
        let status = if r.bool()? { ReviewStatus::Reviewed } else { ReviewStatus::UnreviewedStarter };
        let (packed_len, packed_hash) = (r.uint()?, Hash32::from_slice(r.bytes()?)?);
        let (content_len, content_hash) = (r.uint()?, Hash32::from_slice(r.bytes()?)?);
        let (signers, next) = (keys(r)?, keys(r)?);
        Ok(Self {
            id,
            version,
            created,
            not_after,
            languages,
            core,
            status,
            packed_len,
            packed_hash,
            content_len,
            content_hash,
            signers,
            next,
        })
    }
}

fn text<'b>(r: &mut Reader<'b>) -> Result<&'b str> {
    let text = r.text()?;
    if text.len() <= MAX_TEXT { Ok(text) } else { Err(refused(Code::Schema, "a text longer than a manifest may have")) }
}

fn number(r: &mut Reader<'_>) -> Result<u32> {
    u32::try_from(r.uint()?).map_err(|_| refused(Code::Schema, "a number larger than a manifest may have"))
}

fn day(r: &mut Reader<'_>) -> Result<Date> {
    text(r)?.parse().map_err(|_| refused(Code::Schema, "a day that is none"))
}

fn keys(r: &mut Reader<'_>) -> Result<Vec<Key>> {
    let count = r.array()?;
    if count > MAX_KEYS {
        return Err(refused(Code::Schema, "more keys than a manifest may have"));
    }
    let mut keys = Vec::new();
    for _ in 0..count {
        let key: Key = r.bytes()?.try_into().map_err(|_| refused(Code::Schema, "a key of another length"))?;
        if keys.contains(&key) {
            return Err(refused(Code::Schema, "a key that is there twice"));
        }
        keys.push(key);
    }
    Ok(keys)
}
