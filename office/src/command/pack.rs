//! `dooryard pack`: packs of the key, from a folder to the devices that keep them, and what is learned for them.

use anyhow::Result;
use clap::Subcommand;

use super::{pack_check, pack_file, pack_learn, pack_publish, pack_sdd, pack_take, tell::Tell};

/// Commands on packs.
#[derive(Subcommand)]
pub enum Pack {
    /// Make a new key to sign packs with.
    Key(pack_file::NewKey),
    /// Seal the pack in a folder into one signed file. The same content, keys and day give the same bytes.
    Build(pack_file::Build),
    /// Say what a pack file says of itself, once its signatures hold.
    Show(pack_file::Show),
    /// List what a person should look at in a pack. Refused with errors only.
    Check(pack_check::Check),
    /// Take a pack file on a shelf, or go back to the pack before.
    Take(pack_take::Take),
    /// Learn: a pack from a table of coded cases, or a proposal for a pack from confirmed cases. No pack is changed.
    Learn(pack_learn::Learn),
    /// Write the next revision of a pack from a proposal that a person has read and said yes to.
    Publish(pack_publish::Publish),
    /// Write the characters, hosts and causes of a pack as SDD 1.1, the open form for descriptions; say what it cannot hold.
    ToSdd(pack_sdd::ToSdd),
    /// Read an SDD 1.1 document into a vocabulary to write a pack from; say what was not understood.
    FromSdd(pack_sdd::FromSdd),
}

/// Runs one of them.
pub fn run(command: Pack, tell: &Tell) -> Result<()> {
    match command {
        Pack::Key(new) => pack_file::new_key(&new, tell),
        Pack::Build(build) => pack_file::build(&build, tell),
        Pack::Show(show) => pack_file::show(&show, tell),
        Pack::Check(check) => pack_check::run(&check, tell),
        Pack::Take(take) => pack_take::run(&take, tell),
        Pack::Learn(learn) => pack_learn::run(&learn, tell),
        Pack::Publish(publish) => pack_publish::run(&publish, tell),
        Pack::ToSdd(to) => pack_sdd::to_sdd(&to, tell),
        Pack::FromSdd(from) => pack_sdd::from_sdd(&from, tell),
    }
}
