//! `dooryard pack`: packs of the key, and what is learned for them.

use anyhow::Result;
use clap::Subcommand;

use super::{pack_learn, pack_publish, tell::Tell};

/// Commands on packs.
#[derive(Subcommand)]
pub enum Pack {
    /// Learn: a pack from a table of coded cases, or a proposal for a pack from confirmed cases. No pack is changed.
    Learn(pack_learn::Learn),
    /// Write the next revision of a pack from a proposal that a person has read and said yes to.
    Publish(pack_publish::Publish),
}

/// Runs one of them.
pub fn run(command: Pack, tell: &Tell) -> Result<()> {
    match command {
        Pack::Learn(learn) => pack_learn::run(&learn, tell),
        Pack::Publish(publish) => pack_publish::run(&publish, tell),
    }
}
