//! Which pack a command works with.

use std::path::{Path, PathBuf};

use anyhow::Result;
use clap::Args;
use dooryard_core::key::{Pack, file::Key};

/// Which pack a command works with.
#[derive(Args)]
pub struct PackChoice {
    /// A pack: its folder, its file, or a shelf; without it the starter pack.
    #[arg(long)]
    pack: Option<PathBuf>,
    /// A key, 64 hexadecimal digits: the pack file must be signed by it, or by another one given so.
    #[arg(long, requires = "pack", value_parser = crate::pack::key, value_name = "KEY")]
    pack_key: Vec<Key>,
}

impl PackChoice {
    /// Where it is; nothing for the starter pack.
    pub fn place(&self) -> Option<&Path> {
        self.pack.as_deref()
    }

    /// The pack.
    ///
    /// # Errors
    /// As [`crate::pack::load_signed`].
    pub fn load(&self) -> Result<Pack> {
        crate::pack::load_signed(self.pack.as_deref(), &self.pack_key)
    }
}
