//! Looking at a bundle from outside, without any key.

use std::path::Path;

use serde::Serialize;

use super::parts::{BLOB, CONTROL, Part, PartsReader};
use crate::error::Result;

/// What anyone can see of a bundle.
#[derive(Clone, PartialEq, Eq, Debug, Serialize)]
pub struct Look {
    /// Its wire version.
    pub version: u16,
    /// Its parts in order.
    pub parts: Vec<PartLook>,
    /// Whether its end is there and right.
    pub whole: bool,
}

/// What anyone can see of a part.
#[derive(Clone, PartialEq, Eq, Debug, Serialize)]
pub struct PartLook {
    /// `text`, `photo` or `unknown`.
    pub kind: &'static str,
    /// Sealed bytes.
    pub bytes: u64,
    /// Whether the bytes are the ones its address names.
    pub sound: bool,
}

/// Looks at a bundle.
///
/// # Errors
/// `BAD_MAGIC`, `TOO_NEW`, `TOO_BIG`; of the file system.
pub fn look_inside(file: &Path) -> Result<Look> {
    let mut reader = PartsReader::open(file)?;
    let version = u16::from_le_bytes([reader.header[8], reader.header[9]]);
    let mut parts = Vec::new();
    while let Some(part) = reader.next()? {
        parts.push(match part {
            Part::Sealed { kind, bytes } => {
                let kind = match kind {
                    CONTROL => "text",
                    BLOB => "photo",
                    _ => "unknown",
                };
                PartLook { kind, bytes: bytes.len() as u64, sound: true }
            }
            Part::Damaged => PartLook { kind: "unknown", bytes: 0, sound: false },
        });
    }
    Ok(Look { version, parts, whole: reader.whole })
}
