//! A small pack for tests.

use std::path::Path;

use dooryard_core::key::Pack;

/// The small pack: three hosts, four characters, five causes.
pub fn pack() -> Pack {
    Pack::from_folder(Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/tests/small_pack"))).unwrap()
}
