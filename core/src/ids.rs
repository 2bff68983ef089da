//! Identities: records, changes, devices, offices, photos. Fixed-size bytes, shown as hex (records as UUIDs).

use std::{fmt, str::FromStr};

use serde::{Deserialize, Deserializer, Serialize, Serializer, de::Error as _};

use crate::error::{Code, Error, Result};

macro_rules! bytes_id {
    ($(#[$doc:meta])* $name:ident, $len:expr) => {
        $(#[$doc])*
        #[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(pub [u8; $len]);

        impl $name {
            /// Length in bytes.
            pub const LEN: usize = $len;

            /// Reads the id from exactly [`Self::LEN`] bytes.
            ///
            /// # Errors
            /// `SCHEMA` when the length differs.
            pub fn from_slice(bytes: &[u8]) -> Result<Self> {
                bytes.try_into().map(Self).map_err(|_| {
                    Error::refused(Code::Schema, concat!("a ", stringify!($name), " of another length"))
                })
            }

            /// Lowercase hexadecimal text.
            pub fn to_hex(&self) -> String {
                hex::encode(self.0)
            }
        }

        impl AsRef<[u8]> for $name {
            fn as_ref(&self) -> &[u8] {
                &self.0
            }
        }

        impl fmt::Debug for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, "{}({})", stringify!($name), hex::encode(&self.0[..self.0.len().min(6)]))
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(&hex::encode(self.0))
            }
        }

        impl FromStr for $name {
            type Err = Error;
            fn from_str(text: &str) -> Result<Self> {
                let mut bytes = [0u8; $len];
                hex::decode_to_slice(text, &mut bytes)
                    .map_err(|_| Error::refused(Code::Schema, concat!("not a ", stringify!($name))))?;
                Ok(Self(bytes))
            }
        }
    };
}

bytes_id!(
    /// The hash that identifies one change; also the hash of a certificate or of an office statement.
    Hash32, 32
);
bytes_id!(
    /// First 16 bytes of BLAKE3 of an office's root public key.
    OfficeId, 16
);
bytes_id!(
    /// First 16 bytes of BLAKE3 of a device's signing public key.
    DeviceId, 16
);
bytes_id!(
    /// A photo or thumbnail: 0x1e, then BLAKE3-256 of its plain bytes.
    BlobId, 33
);

impl Hash32 {
    /// The hash before the first change of a log that follows no other.
    pub const ZERO: Self = Self([0; 32]);

    /// BLAKE3 of `bytes`.
    pub fn of(bytes: &[u8]) -> Self {
        Self(*blake3::hash(bytes).as_bytes())
    }
}

impl OfficeId {
    /// The id of the office whose root verifying key has these bytes.
    pub fn of_key(root: &[u8; 32]) -> Self {
        Self(first16(root))
    }
}

impl DeviceId {
    /// The id of the device whose verifying key has these bytes.
    pub fn of_key(key: &[u8; 32]) -> Self {
        Self(first16(key))
    }
}

impl BlobId {
    /// The first byte: the multihash code of BLAKE3.
    pub const PREFIX: u8 = 0x1e;

    /// The id of these plain bytes.
    pub fn of(bytes: &[u8]) -> Self {
        Self::from_hash(blake3::hash(bytes))
    }

    /// The id of content whose BLAKE3 is `hash`.
    pub fn from_hash(hash: blake3::Hash) -> Self {
        let mut id = [Self::PREFIX; 33];
        id[1..].copy_from_slice(hash.as_bytes());
        Self(id)
    }
}

fn first16(key: &[u8; 32]) -> [u8; 16] {
    let mut id = [0; 16];
    id.copy_from_slice(&blake3::hash(key).as_bytes()[..16]);
    id
}

/// A record: a UUID of version 7 made before its first save. Its time bits are never used in logic.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct RecordId(pub [u8; 16]);

impl RecordId {
    /// Length in bytes.
    pub const LEN: usize = 16;

    /// A new id from a clock reading in milliseconds and ten random bytes.
    pub fn new(now_ms: u64, random: [u8; 10]) -> Self {
        Self(*uuid::Builder::from_unix_timestamp_millis(now_ms, &random).into_uuid().as_bytes())
    }

    /// Reads the id from 16 bytes.
    ///
    /// # Errors
    /// `SCHEMA` when the length differs.
    pub fn from_slice(bytes: &[u8]) -> Result<Self> {
        bytes.try_into().map(Self).map_err(|_| Error::refused(Code::Schema, "a record id of another length"))
    }
}

impl AsRef<[u8]> for RecordId {
    fn as_ref(&self) -> &[u8] {
        &self.0
    }
}

impl fmt::Display for RecordId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        uuid::Uuid::from_bytes(self.0).hyphenated().fmt(f)
    }
}

impl Serialize for RecordId {
    fn serialize<S: Serializer>(&self, to: S) -> std::result::Result<S::Ok, S::Error> {
        to.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for RecordId {
    fn deserialize<D: Deserializer<'de>>(from: D) -> std::result::Result<Self, D::Error> {
        String::deserialize(from)?.parse().map_err(D::Error::custom)
    }
}

impl fmt::Debug for RecordId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "RecordId({self})")
    }
}

impl RecordId {
    /// The number as people say it and write it down: its last eight letters. Those at the front say when it was made, and records
    /// of one minute share them.
    pub fn short(&self) -> String {
        let mut text = self.to_string();
        text.split_off(text.len().saturating_sub(8))
    }
}

impl FromStr for RecordId {
    type Err = Error;
    fn from_str(text: &str) -> Result<Self> {
        // Only the plain hyphenated form: no braces, no URN, nothing that looks like a path.
        match uuid::Uuid::try_parse(text) {
            Ok(id) if text.len() == 36 => Ok(Self(*id.as_bytes())),
            _ => Err(Error::refused(Code::Schema, "not a record id (36 letters such as 0197…-…)")),
        }
    }
}

/// One log: a device and one life of its database.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct LogId {
    /// Who writes it.
    pub device: DeviceId,
    /// Random, kept outside the database, so that a restored database starts a log of its own.
    pub incarnation: u64,
}

impl LogId {
    /// 24 bytes: device, then incarnation in big-endian order.
    pub fn to_bytes(&self) -> [u8; 24] {
        let mut bytes = [0; 24];
        bytes[..16].copy_from_slice(&self.device.0);
        bytes[16..].copy_from_slice(&self.incarnation.to_be_bytes());
        bytes
    }

    /// Reads what [`LogId::to_bytes`] wrote.
    ///
    /// # Errors
    /// `SCHEMA` when the length differs.
    pub fn from_slice(bytes: &[u8]) -> Result<Self> {
        let bytes: &[u8; 24] =
            bytes.try_into().map_err(|_| Error::refused(Code::Schema, "a log id of another length"))?;
        let mut incarnation = [0; 8];
        incarnation.copy_from_slice(&bytes[16..]);
        Ok(Self { device: DeviceId::from_slice(&bytes[..16])?, incarnation: u64::from_be_bytes(incarnation) })
    }
}

impl fmt::Display for LogId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}.{:04x}", &self.device.to_hex()[..8], self.incarnation >> 48)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_record_id_is_a_version_7_uuid_and_nothing_that_looks_like_a_path_is_one() {
        let id = RecordId::new(1_780_000_000_000, [7; 10]);
        assert_eq!(id.to_string().parse::<RecordId>().unwrap(), id);
        assert_eq!(uuid::Uuid::from_bytes(id.0).get_version_num(), 7);
        for bad in ["../../etc/passwd", "", "urn:uuid:0197f0c0-0000-7000-8000-000000000000", "{}", "0197f0c0"] {
            assert!(bad.parse::<RecordId>().is_err(), "{bad}");
        }
    }

    #[test]
    fn a_log_id_survives_its_bytes() {
        let log = LogId { device: DeviceId([3; 16]), incarnation: 0x0102_0304_0506_0708 };
        assert_eq!(LogId::from_slice(&log.to_bytes()).unwrap(), log);
        assert!(LogId::from_slice(&[0; 23]).is_err());
    }
}
