//! What must hold of every reply that leaves the office, looked for byte by byte.

use dooryard_core::{
    ids::{DeviceId, Hash32},
    log::SlotState,
};
use memchr::memmem;

use super::{Checked, check_office::erased_words, ensure, held::Held, oracle::Oracle, words, world::World};

/// A reply holds no word that its device may not read and none that was erased, and names no change but the device's own and
/// those of which it may hold a value.
pub fn is_fit(world: &mut World, device: &DeviceId, plain: &[u8]) -> Checked {
    let held = world.eyes.look()?;
    let oracle = Oracle(&held);
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
