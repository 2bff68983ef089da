//! What must hold on a phone after it took a reply, or let go of something, or its office went back.

use std::collections::BTreeMap;

use dooryard_core::{
    ids::{BlobId, Hash32},
    log::SlotState,
};

use super::{
    Checked, check_office, ensure,
    held::{Eyes, Held},
    oracle::Oracle,
    world::World,
};

/// Looks at a phone.
pub fn check(world: &mut World, at: usize) -> Checked {
    let held = check_but_erasing(world, at)?;
    let phone = &world.phones[at];
    check_office::nothing_erased_left(&world.truth, &held, &phone.folder)?;
    check_office::blobs_gone(&world.truth, &held, |id| phone.notebook.blob_path(id).exists())
}

/// What must hold on a phone when an erasure was stopped half way: all but that the words and photos are gone already. Gives what
/// the phone holds.
pub fn check_but_erasing(world: &mut World, at: usize) -> Checked<Held> {
    let phone = &world.phones[at];
    let eyes = &mut Eyes::on(&phone.notebook, &world.read)?;
    let held = eyes.look()?;
    check_office::unchanged(&world.truth, &held)?;
    let office = world.eyes.look()?;
    let_go_is_at_office(world, at, (&held, &eyes.let_go()?), &office)?;
    // What an earlier life of the office received, it may lack: until the phone hears of the new one, it cannot know.
    let life = world.office.epoch()?;
    if eyes.heard()?.life == Some((life.n, life.random)) {
        received_is_at_office(world, at, &held, &office)?;
    }
    Ok(held)
}

/// What counts as received is at the office: the change itself, not one at its place; and the photo, byte for byte.
fn received_is_at_office(world: &World, at: usize, held: &Held, office: &Held) -> Checked {
    let phone = &world.phones[at];
    for state in phone.notebook.own_logs()?.iter().filter(|state| state.received_to > 0) {
        let proven = held.changes.iter().filter(|(_, c)| c.log == state.log && c.head.seq <= state.received_to);
        for (hash, change) in proven {
            ensure("I6 honest receipts", office.changes.contains_key(hash), || {
                format!("{} {} counts as received and is not at the office", state.log, change.head.seq)
            })?;
        }
    }
    let offered: Vec<BlobId> = phone.notebook.blobs_to_offer()?.into_iter().map(|row| row.id).collect();
    let erased = phone.notebook.authority()?;
    for id in phone.blobs.iter().filter(|id| !offered.contains(id) && !erased.is_blob_erased(id)) {
        if phone.notebook.holds_blob(id)? {
            let gone = world.office.notebook().authority()?.is_blob_erased(id);
            ensure("I12 receipt means durable", gone || is_at_office(world, id), || {
                format!("the photo {id:?} counts as received and is not at the office")
            })?;
        }
    }
    Ok(())
}

/// What a phone let go of, or left out of its own backup, is at the office or was erased, whatever the office went back to; and it
/// stood in a backup off the office's machine.
fn let_go_is_at_office(world: &World, at: usize, (held, photos): (&Held, &[BlobId]), office: &Held) -> Checked {
    let there: BTreeMap<(Hash32, u32), SlotState> =
        office.facts.iter().map(|fact| ((fact.hash, fact.field), fact.state)).collect();
    for fact in held.facts.iter().filter(|fact| fact.state == SlotState::Absent) {
        let state = there.get(&(fact.hash, fact.field));
        ensure("I6 honest receipts", matches!(state, Some(SlotState::Body | SlotState::Erased)), || {
            format!("phone {at} let go of field {} of {:?}, at the office: {state:?}", fact.field, fact.hash)
        })?;
        let safe = state == Some(&SlotState::Erased) || world.safe.bodies.contains(&(fact.hash, fact.field));
        ensure("I6 honest receipts", safe, || {
            format!("phone {at} let go of field {} of {:?}, which no backup holds", fact.field, fact.hash)
        })?;
    }
    let oracle = Oracle(office);
    for id in photos {
        let mut places = world.truth.photos.get(id).into_iter().flatten();
        let erased = places.any(|(rec, field, generation)| oracle.erased(&(*rec, *field), *generation));
        ensure("I6 honest receipts", erased || is_at_office(world, id), || {
            format!("phone {at} let go of the photo {id:?}, which is not at the office")
        })?;
        ensure("I6 honest receipts", erased || world.safe.photos.contains(id), || {
            format!("phone {at} let go of the photo {id:?}, which no backup holds")
        })?;
    }
    Ok(())
}

fn is_at_office(world: &World, id: &BlobId) -> bool {
    let bytes = std::fs::read(world.office.notebook().blob_path(id)).unwrap_or_default();
    BlobId::of(&bytes) == *id
}
