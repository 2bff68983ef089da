//! What must hold on a phone after it took a reply.

use dooryard_core::ids::BlobId;

use super::{Checked, check_office, ensure, held::Eyes, world::World};

/// Looks at a phone.
pub fn check(world: &mut World, at: usize) -> Checked {
    let phone = &world.phones[at];
    let held = Eyes::on(&phone.notebook, &world.read)?.look()?;
    let office = world.eyes.look()?;
    check_office::unchanged(&world.truth, &held)?;
    // What counts as received is at the office: the change itself, not one at its place.
    for state in phone.notebook.own_logs()?.iter().filter(|state| state.received_to > 0) {
        let proven = held.changes.iter().filter(|(_, c)| c.log == state.log && c.head.seq <= state.received_to);
        for (hash, change) in proven {
            ensure("I6 honest receipts", office.changes.contains_key(hash), || {
                format!("{} {} counts as received and is not at the office", state.log, change.head.seq)
            })?;
        }
    }
    // So are the photos, byte for byte, or they were erased.
    let offered: Vec<BlobId> = phone.notebook.blobs_to_offer()?.into_iter().map(|row| row.id).collect();
    let erased = phone.notebook.authority()?;
    for id in phone.blobs.iter().filter(|id| !offered.contains(id) && !erased.is_blob_erased(id)) {
        if phone.notebook.holds_blob(id)? {
            let bytes = std::fs::read(world.office.notebook().blob_path(id)).unwrap_or_default();
            let gone = world.office.notebook().authority()?.is_blob_erased(id);
            ensure("I12 receipt means durable", gone || BlobId::of(&bytes) == *id, || {
                format!("the photo {id:?} counts as received and is not at the office")
            })?;
        }
    }
    check_office::nothing_erased_left(&world.truth, &held, &phone.folder)?;
    check_office::blobs_gone(&world.truth, &held, |id| phone.notebook.blob_path(id).exists())
}
