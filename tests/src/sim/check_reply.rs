//! What must hold of every reply that leaves the office, looked for byte by byte.

use dooryard_core::{
    bundle::Receipt,
    ids::{BlobId, DeviceId, Hash32},
    log::SlotState,
};
use memchr::memmem;

use super::{Checked, check_office::erased_words, ensure, held::Held, oracle::Oracle, reply, words, world::World};

/// A reply holds no word that its device may not read and none that was erased, and names no change but the device's own and
/// those of which it may hold a value.
pub fn is_fit(world: &mut World, device: &DeviceId, plain: &[u8]) -> Checked {
    let held = world.eyes.look()?;
    let oracle = Oracle(&held);
    receipts_hold(world, &held, plain)?;
    let erased = erased_words(&world.truth, &held);
    for word in words::found_in(plain) {
        let text = || String::from_utf8_lossy(&word).into_owned();
        ensure("I5 no resurrection", !erased.contains(&word), || format!("the erased word {} in a reply", text()))?;
        let places = world.truth.words.get(&word).into_iter().flatten();
        let mut places =
            places.filter_map(|(hash, field)| Some((world.truth.written.get(hash)?.change.head.rec, *field)));
        let may = places.any(|place| oracle.may_read(&place, device));
        ensure("I14 access", may, || format!("the word {} for a device that may not read it", text()))?;
    }
    // Of all that anyone ever wrote: the office's statements may name what it does not hold.
    for (hash, written) in &world.truth.written {
        if written.log.device != *device && memmem::find(plain, &hash.0).is_some() {
            *world.counts.entry("changes of others named in replies").or_default() += 1;
            let may = has_value_for(&held, hash, device);
            ensure("I14 access", may, || format!("{hash:?} is named, of which the device may hold no value"))?;
        }
    }
    Ok(())
}

/// Whether a change has a live value that a device may read.
fn has_value_for(held: &Held, hash: &Hash32, device: &DeviceId) -> bool {
    let mut values = held.facts.iter().filter(|f| f.hash == *hash && f.live && f.state == SlotState::Body);
    values.any(|f| Oracle(held).may_read(&(f.rec, f.field), device))
}

/// What the reply says that the office has, stands in the office's files, read past the program: every change of a run back to its
/// first, with the values that the receipt does not except, as they were written; every photo, byte for byte.
fn receipts_hold(world: &World, held: &Held, plain: &[u8]) -> Checked {
    let durable = |holds: bool, what: &dyn Fn() -> String| ensure("I12 receipt means durable", holds, what);
    let key = world.office.card().key;
    let receipts = reply::receipts(plain);
    durable(!receipts.is_empty(), &|| "a reply without a receipt".into())?;
    for signed in receipts {
        let receipt = Receipt::verify(&signed, &held.office, &key)?;
        for (log, run) in &receipt.runs {
            let mut at = run.tip;
            for seq in (run.from..=run.to).rev() {
                let place = || format!("{log} {seq}, {at:?}, is in a receipt");
                let here = held.changes.get(&at).filter(|c| c.log == *log && c.head.seq == seq);
                let Some(change) = here else { return durable(false, &|| format!("{} and not on disk", place())) };
                let written = world.truth.written.get(&at).map(|written| &written.change.head_raw);
                durable(written == Some(&change.head_raw), &|| format!("{} and another one on disk", place()))?;
                let excepted = receipt.without_bodies.contains(&at);
                let facts = held.facts.iter().filter(|fact| fact.rec == change.head.rec && fact.hash == at);
                let bare = facts.filter(|fact| fact.state == SlotState::Absent).map(|fact| fact.field).next();
                durable(excepted || bare.is_none(), &|| format!("{} without its field {bare:?}", place()))?;
                at = change.prev;
            }
        }
        for id in &receipt.blobs {
            let name = id.to_hex();
            let path = world.office.folder().join("notebook/photos").join(&name[2..4]).join(name);
            let bytes = std::fs::read(path).unwrap_or_default();
            durable(BlobId::of(&bytes) == *id, &|| format!("{id:?} is in a receipt and not on disk"))?;
        }
    }
    Ok(())
}
