//! Files that are damaged on their way, or reach somebody else.

use std::collections::BTreeSet;

use dooryard_core::{Code, Error, ids::Hash32, job::Job, notebook::Notebook};
use dooryard_office::desk::Outcome;
use rand::Rng;

use super::{
    Checked,
    carrier::{answer, take_in},
    check_office, check_phone, ensure,
    held::Eyes,
    parcel::{Cargo, Parcel, Sent},
    world::World,
};

/// A file cut or with a changed byte.
pub fn damaged(world: &mut World, parcel: Parcel) -> Checked<&'static str> {
    let mut bytes = parcel.bytes;
    let said = if world.random.random_bool(0.5) {
        let len = bytes.len();
        // In the header, in the first part, or in the end: what a cut spoils does not hang on the exact place.
        let at = [4, 30, len / 2, len - 140, len - 40, len - 3][world.random.random_range(0..6)];
        bytes.truncate(at);
        "a file cut"
    } else {
        let len = bytes.len();
        let at =
            [3, 8, 11, 12, 14, 25, 60, 300, len / 2, len - 140, len - 37, len - 1][world.random.random_range(0..12)];
        bytes[at] ^= 1 << world.random.random_range(0..8);
        "a file with a changed bit"
    };
    match parcel.cargo {
        Cargo::Bundle(contents) => {
            let (before, held) = (world.office.notebook().digest()?, world.eyes.look()?);
            let taken = take_in(world, &bytes)?;
            let after = world.eyes.look()?;
            if taken.outcome == Outcome::TakenIn {
                // Its text was whole. What came is what was in it, and all of it.
                world.truth.given.note(&contents.changes, &contents.tips);
                let inside: BTreeSet<Hash32> = contents.changes.iter().map(|(_, _, hash, _)| *hash).collect();
                let strange = after.changes.keys().find(|h| !held.changes.contains_key(h) && !inside.contains(h));
                ensure("I8 authenticity", strange.is_none(), || format!("{strange:?} came from nowhere"))?;
            } else {
                let same = world.office.notebook().digest()? == before && after.changes.len() == held.changes.len();
                ensure("I8 authenticity", same, || format!("refused with {:?}, and changed the state", taken.code))?;
            }
            check_office::check(world)?;
            answer(world, contents.from)?;
        }
        Cargo::Reply(sent) => {
            let Some(at) = world.phones.iter().position(|p| p.notebook.device() == sent.to) else { return Ok(said) };
            refused_by_phone(world, at, &bytes, Some(&sent))?;
        }
    }
    Ok(said)
}

/// A file for somebody else.
pub fn misdirected(world: &mut World, parcel: Parcel) -> Checked<&'static str> {
    match parcel.cargo {
        Cargo::Bundle(_) => {
            let at = world.any_phone();
            refused_by_phone(world, at, &parcel.bytes, None)?;
        }
        Cargo::Reply(sent) => {
            let before = world.office.notebook().digest()?;
            let taken = take_in(world, &parcel.bytes)?;
            let same = world.office.notebook().digest()? == before;
            ensure("I8 authenticity", taken.outcome != Outcome::TakenIn && same, || "a reply taken in".into())?;
            if let Some(at) = world.phones.iter().position(|p| p.notebook.device() != sent.to) {
                refused_by_phone(world, at, &parcel.bytes, None)?;
            }
        }
    }
    Ok("a file for somebody else")
}

/// A phone is given a file that it must refuse without any change. A damaged reply may be good where only its end is lost.
fn refused_by_phone(world: &mut World, at: usize, bytes: &[u8], reply: Option<&Sent>) -> Checked {
    let path = world.dir.path().join("carried.yard");
    std::fs::write(&path, bytes)?;
    let notebook = &world.phones[at].notebook;
    let state = |n: &Notebook| Ok::<_, Error>((n.digest()?, n.own_logs()?, n.own_log()));
    let before = state(notebook)?;
    let heard = Eyes::on(notebook, &world.read)?.heard()?;
    match notebook.take_reply(&path, &Job::silent()) {
        Ok(_) => {
            let good = reply.is_some_and(|sent| heard.is_newer(sent));
            ensure("I8 authenticity", good, || "a phone took a file that is not for it".into())?;
            check_phone::check(world, at)
        }
        Err(e) if e.code() == Some(Code::StaleReply) && reply.is_some_and(|sent| !heard.is_newer(sent)) => {
            check_phone::check(world, at)
        }
        Err(e) => {
            ensure("I8 authenticity", e.code().is_some(), || format!("a damaged file gave {e}"))?;
            let after = state(notebook)?;
            ensure("I8 authenticity", after == before, || format!("refused with {e}, and changed the phone"))
        }
    }
}
