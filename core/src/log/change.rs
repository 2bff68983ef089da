//! A change: its head, byte for byte as its author wrote it, and one slot for each field.
//!
//! ```text
//! change = [head (bytes), slot, slot, …]
//! head   = [rtype, seq, wall_ms, gen, kind, rec, cert, form_ver, [[field, [pred…]]…], ?crit, ?ext]
//! slot   = [salt(16), value] | commit(32)
//! commit = BLAKE3(salt || value)
//! hash   = BLAKE3.derive_key("dooryard change v1", office16 || device || incarnation || prev || BLAKE3(head) || commit…)
//! ```

use std::sync::LazyLock;

use crate::{
    cbor::{self, Reader, malformed},
    error::{Code, Error, Result},
    ids::{Hash32, LogId, OfficeId, RecordId},
    record::LIMITS,
};

/// Bytes of one change at most.
pub(super) const MAX_CHANGE: usize = 1 << 20;

/// Changes are numbered below this.
const MAX_SEQ: u64 = 1 << 48;

static HASHER: LazyLock<blake3::Hasher> = LazyLock::new(|| blake3::Hasher::new_derive_key("dooryard change v1"));

/// One field of a head: its number, and the live changes of it that the author saw.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct FieldHead {
    /// The registry's number.
    pub field: u32,
    /// Hashes of the superseded changes, ascending.
    pub preds: Vec<Hash32>,
}

/// The head of a change.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Head {
    /// Number of the kind of record.
    pub rtype: u32,
    /// Place in its log, from 1.
    pub seq: u64,
    /// What the author's clock claimed, milliseconds since 1970.
    pub wall_ms: u64,
    /// The highest erase generation of the record that the author knew.
    pub generation: u64,
    /// 0 sets values; 1 is a request to the office.
    pub kind: u32,
    /// The record.
    pub rec: RecordId,
    /// The certificate in force for the author: hash of the office's statement.
    pub cert: Hash32,
    /// Version of the form that was filled in.
    pub form_ver: u32,
    /// The fields, ascending.
    pub fields: Vec<FieldHead>,
    /// Features that a reader must know, as CBOR; any entry here is unknown to this version.
    pub crit: Option<Vec<u8>>,
    /// Other additions, as CBOR; kept, not read.
    pub ext: Option<Vec<u8>>,
}

impl Head {
    /// The normal CBOR form.
    pub fn to_cbor(&self) -> Vec<u8> {
        cbor::encode(|w| {
            let extras = if self.ext.is_some() { 2 } else { u64::from(self.crit.is_some()) };
            w.array(9 + extras)?.u32(self.rtype)?.u64(self.seq)?.u64(self.wall_ms)?.u64(self.generation)?;
            w.u32(self.kind)?.bytes(&self.rec.0)?.bytes(&self.cert.0)?.u32(self.form_ver)?;
            w.array(self.fields.len() as u64)?;
            for f in &self.fields {
                w.array(2)?.u32(f.field)?.array(f.preds.len() as u64)?;
                f.preds.iter().try_for_each(|p| w.bytes(&p.0).map(drop))?;
            }
            if extras > 0 {
                w.writer_mut().extend(self.crit.as_deref().unwrap_or(&[0x80]));
            }
            if let Some(ext) = &self.ext {
                w.writer_mut().extend(ext);
            }
            Ok(())
        })
    }

    /// Reads a head.
    ///
    /// # Errors
    /// `SCHEMA` when it is not in the form above.
    pub fn from_cbor(bytes: &[u8]) -> Result<Self> {
        let r = &mut Reader::new(bytes)?;
        let small = |n: u64| u32::try_from(n).map_err(|_| malformed("a number out of range"));
        let len = r.array()?;
        if !(9..=11).contains(&len) {
            return Err(malformed("a head of another length"));
        }
        let mut head = Self {
            rtype: small(r.uint()?)?,
            seq: r.uint()?,
            wall_ms: r.uint()?,
            generation: r.uint()?,
            kind: small(r.uint()?)?,
            rec: RecordId::from_slice(r.bytes()?)?,
            cert: Hash32::from_slice(r.bytes()?)?,
            form_ver: small(r.uint()?)?,
            fields: Vec::new(),
            crit: None,
            ext: None,
        };
        let count = r.array()?;
        if count > LIMITS.fields as u64 {
            return Err(Error::refused(Code::TooBig, "a change with too many fields"));
        }
        for _ in 0..count {
            r.array_of(2)?;
            let field = small(r.uint()?)?;
            let n = r.array()?;
            if n > LIMITS.preds as u64 {
                return Err(Error::refused(Code::TooBig, "a field with too many predecessors"));
            }
            let preds = (0..n).map(|_| Hash32::from_slice(r.bytes()?)).collect::<Result<Vec<_>>>()?;
            head.fields.push(FieldHead { field, preds });
        }
        if len > 9 {
            head.crit = Some(r.raw()?.to_vec()).filter(|raw| raw != &[0x80]);
        }
        if len > 10 {
            head.ext = Some(r.raw()?.to_vec());
        }
        let ordered = head.fields.windows(2).all(|w| w[0].field < w[1].field)
            && head.fields.iter().all(|f| f.preds.windows(2).all(|w| w[0] < w[1]));
        if head.seq == 0 || head.seq >= MAX_SEQ || head.fields.is_empty() || !ordered {
            return Err(malformed("a head out of order"));
        }
        Ok(head)
    }
}

/// What a slot holds.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Slot {
    /// The value behind its salt.
    Body {
        /// 16 random bytes.
        salt: [u8; 16],
        /// The value's normal CBOR.
        value: Vec<u8>,
    },
    /// Only the commitment: the body was erased or withheld.
    Absent(Hash32),
}

/// The commitment of a value.
pub fn commit(salt: &[u8; 16], value: &[u8]) -> Hash32 {
    let mut hasher = blake3::Hasher::new();
    hasher.update(salt).update(value);
    Hash32(*hasher.finalize().as_bytes())
}

impl Slot {
    /// Its commitment.
    pub fn commit(&self) -> Hash32 {
        match self {
            Self::Body { salt, value } => commit(salt, value),
            Self::Absent(commit) => *commit,
        }
    }
}

/// A change with its slots, one for each field of the head.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Change {
    /// The head, read.
    pub head: Head,
    /// The head as its author wrote it.
    pub head_raw: Vec<u8>,
    /// One slot for each field of the head.
    pub slots: Vec<Slot>,
}

impl Change {
    /// A new change.
    pub fn new(head: Head, slots: Vec<Slot>) -> Self {
        let head_raw = head.to_cbor();
        Self { head, head_raw, slots }
    }

    /// The wire form.
    pub fn to_cbor(&self) -> Vec<u8> {
        cbor::encode(|w| {
            w.array(1 + self.slots.len() as u64)?.bytes(&self.head_raw)?;
            self.slots.iter().try_for_each(|slot| match slot {
                Slot::Body { salt, value } => {
                    w.array(2)?.bytes(salt)?.writer_mut().extend(value);
                    Ok(())
                }
                Slot::Absent(commit) => w.bytes(&commit.0).map(drop),
            })
        })
    }

    /// Reads the wire form.
    ///
    /// # Errors
    /// `SCHEMA` or `TOO_BIG` when it is not in the form above or over a limit.
    pub fn from_cbor(bytes: &[u8]) -> Result<Self> {
        if bytes.len() > MAX_CHANGE {
            return Err(Error::refused(Code::TooBig, "a change over 1 MiB"));
        }
        let r = &mut Reader::new(bytes)?;
        let len = r.array()?;
        let head_raw = r.bytes()?.to_vec();
        let head = Head::from_cbor(&head_raw)?;
        if len != 1 + head.fields.len() as u64 {
            return Err(malformed("a change with another number of slots than fields"));
        }
        let slots = (1..len).map(|_| read_slot(r)).collect::<Result<_>>()?;
        Ok(Self { head, head_raw, slots })
    }

    /// The hash that identifies the change at its place of a log.
    pub fn hash(&self, office: &OfficeId, log: &LogId, prev: &Hash32) -> Hash32 {
        let mut hasher = HASHER.clone();
        hasher.update(&office.0).update(&log.to_bytes()).update(&prev.0);
        hasher.update(blake3::hash(&self.head_raw).as_bytes());
        for slot in &self.slots {
            hasher.update(&slot.commit().0);
        }
        Hash32(*hasher.finalize().as_bytes())
    }
}

fn read_slot(r: &mut Reader<'_>) -> Result<Slot> {
    if r.peek()? == minicbor::data::Type::Bytes {
        return Ok(Slot::Absent(Hash32::from_slice(r.bytes()?)?));
    }
    r.array_of(2)?;
    let salt = r.bytes()?.try_into().map_err(|_| malformed("a salt of another length"))?;
    let value = r.raw()?;
    if value.len() > LIMITS.value_bytes {
        return Err(Error::refused(Code::TooBig, "a value over 64 KiB"));
    }
    Ok(Slot::Body { salt, value: value.to_vec() })
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;
    use crate::record::Value;

    pub fn sample(seq: u64) -> Change {
        let head = Head {
            rtype: 1,
            seq,
            wall_ms: 1_780_000_000_000,
            generation: 0,
            kind: 0,
            rec: RecordId([9; 16]),
            cert: Hash32([5; 32]),
            form_ver: 1,
            fields: vec![
                FieldHead { field: 102, preds: vec![] },
                FieldHead { field: 105, preds: vec![Hash32([1; 32]), Hash32([2; 32])] },
            ],
            crit: None,
            ext: None,
        };
        let body = |value: Value| Slot::Body { salt: [4; 16], value: value.to_cbor() };
        Change::new(head, vec![body(Value::Int(1)), body(Value::Text("¿Qué pasó?".into()))])
    }

    #[test]
    fn a_change_survives_the_wire_and_erasing_a_body_keeps_its_hash() {
        let change = sample(1);
        let office = OfficeId([1; 16]);
        let log = LogId { device: crate::ids::DeviceId([2; 16]), incarnation: 3 };
        let hash = change.hash(&office, &log, &Hash32::ZERO);
        assert_eq!(Change::from_cbor(&change.to_cbor()).unwrap(), change);
        let mut erased = change.clone();
        erased.slots[1] = Slot::Absent(erased.slots[1].commit());
        assert_eq!(Change::from_cbor(&erased.to_cbor()).unwrap(), erased);
        assert_eq!(erased.hash(&office, &log, &Hash32::ZERO), hash);
        assert_ne!(change.hash(&office, &log, &Hash32([1; 32])), hash);
        assert_ne!(change.hash(&OfficeId([2; 16]), &log, &Hash32::ZERO), hash);
    }

    #[test]
    fn additions_of_a_newer_version_are_kept_byte_for_byte() {
        let mut change = sample(2);
        for (crit, ext) in [
            (Some(vec![0x81, 0x05]), None),
            (None, Some(vec![0xa1, 0x01, 0x02])),
            (Some(vec![0x81, 0x01]), Some(vec![0x80])),
        ] {
            (change.head.crit, change.head.ext) = (crit, ext);
            let sent = Change::new(change.head.clone(), change.slots.clone());
            let read = Change::from_cbor(&sent.to_cbor()).unwrap();
            assert_eq!(read, sent);
        }
    }

    #[test]
    fn heads_out_of_order_or_over_a_limit_are_refused() {
        let good = sample(1);
        let broken = |edit: fn(&mut Head)| {
            let mut head = good.head.clone();
            edit(&mut head);
            Head::from_cbor(&head.to_cbor()).unwrap_err().code()
        };
        assert_eq!(broken(|h| h.seq = 0), Some(Code::Schema));
        assert_eq!(broken(|h| h.seq = 1 << 48), Some(Code::Schema));
        assert_eq!(broken(|h| h.fields.clear()), Some(Code::Schema));
        assert_eq!(broken(|h| h.fields.reverse()), Some(Code::Schema));
        assert_eq!(broken(|h| h.fields[1].preds.reverse()), Some(Code::Schema));
        assert_eq!(broken(|h| h.fields[1].preds = (0..65).map(|i| Hash32([i; 32])).collect()), Some(Code::TooBig));
    }
}
