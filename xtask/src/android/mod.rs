//! `cargo xtask android`: what a phone installs, and what can be proven of it without the makers' own tools.

mod apk;
mod check;
mod given;
#[cfg(test)]
mod gradle;
mod ndk;

use anyhow::Result;

pub use check::toolchain;
pub use given::Given;

use crate::{rust, tally::Tally, test::Outcome};

/// Type-checks the core for phones, makes the app's file, says how large it is.
///
/// # Errors
/// When something handed in is not what it has to be, the core does not compile for phones, the app calls what its oldest phone
/// lacks, or its file is over its limit.
pub fn make(given: &Given) -> Result<()> {
    let given = given.looked_at()?;
    check::core()?;
    rust::build()?;
    apk::jars()?;
    apk::make(&given)
}

/// The same as parts of the whole run.
pub fn checked() -> Result<Outcome> {
    check::core()?;
    Ok(Outcome::Ran(Tally::default()))
}

/// The app's file without anybody's key or libraries, from the jars that the Kotlin tests left.
pub fn packed() -> Result<Outcome> {
    apk::make(&Given::NOTHING)?;
    Ok(Outcome::Ran(Tally::default()))
}
