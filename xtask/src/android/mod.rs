//! `cargo xtask android`: what a phone installs, and what can be proven of it without the makers' own tools.

mod apk;
mod check;
#[cfg(test)]
mod gradle;
mod ndk;

use std::path::PathBuf;

use anyhow::Result;

use crate::{rust, tally::Tally, test::Outcome};

pub use check::toolchain;

/// What somebody may hand in.
#[derive(clap::Args)]
pub struct Given {
    /// A folder with the core's libraries, one folder for each kind of processor (arm64-v8a, armeabi-v7a, x86_64)
    #[arg(long)]
    pub jni: Option<PathBuf>,
    /// A keystore to sign with; its password stands in SIGN_PASS. Without one a throw-away key signs
    #[arg(long)]
    pub keystore: Option<PathBuf>,
    /// A key of `dooryard pack key` for the pack that comes with the app. Without one a throw-away key signs
    #[arg(long)]
    pub pack_key: Option<PathBuf>,
}

/// Type-checks the core for phones, makes the app's file, says how large it is.
///
/// # Errors
/// When the core does not compile for phones, the app calls what its oldest phone lacks, or its file is over its limit.
pub fn make(given: &Given) -> Result<()> {
    check::core()?;
    rust::build()?;
    apk::jars()?;
    apk::make(given)
}

/// The same as parts of the whole run.
pub fn checked() -> Result<Outcome> {
    check::core()?;
    Ok(Outcome::Ran(Tally::default()))
}

/// The app's file without anybody's key or libraries, from the jars that the Kotlin tests left.
pub fn packed() -> Result<Outcome> {
    apk::make(&Given { jni: None, keystore: None, pack_key: None })?;
    Ok(Outcome::Ran(Tally::default()))
}
