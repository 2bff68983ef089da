//! What happens at the office: it erases, decides, revokes, corrects clocks, assigns, renews certificates, edits.

use dooryard_core::{
    ids::{Hash32, RecordId},
    record::{Role, fields_of},
};
use rand::{Rng, seq::IndexedRandom};

use super::{Checked, check_office, ensure, phone, world::World};

/// One thing that the office does.
pub fn step(world: &mut World) -> Checked<&'static str> {
    let Some((id, kind)) = world.any_record() else { return Ok("nothing") };
    let here = world.office.notebook().show(id).is_ok();
    let said = match world.random.random_range(0..20) {
        0..4 if here => erase(world, id)?,
        4..6 if here => {
            let name = fields_of(kind)[world.random.random_range(0..fields_of(kind).len())].name;
            world.office.erase_fields(id, &[name])?;
            "a field erased"
        }
        6..10 => decide(world)?,
        10 => {
            let at = world.any_phone();
            world.office.revoke(world.phones[at].notebook.device())?;
            "a device revoked"
        }
        11..13 => clock(world)?,
        13 | 14 => {
            let at = world.any_phone();
            world.office.assign(id, world.phones[at].notebook.device())?;
            "a record assigned"
        }
        15 => {
            let at = world.any_phone();
            let role = *[Role::Scout, Role::Lead, Role::Educator].choose(&mut world.random).unwrap_or(&Role::Scout);
            let request = world.phones[at].notebook.enrolment_request();
            world.office.add_device(&request, role, "Phone renewed")?;
            "a certificate renewed"
        }
        16 => {
            let before = world.office.notebook().digest()?;
            world.office.notebook().rebuild()?;
            let same = world.office.notebook().digest()? == before;
            ensure("I1 convergence", same, || "counting anew gives another state".into())?;
            "everything counted anew"
        }
        17 if here => {
            let notebook = world.office.notebook();
            if notebook.show(id)?.hidden {
                notebook.restore(id)?
            } else {
                notebook.delete(id)?
            }
            "the office deleted or brought back"
        }
        _ => {
            let values = phone::values(world, kind);
            world.office.notebook().save(kind, Some(id), &values)?;
            "the office edited"
        }
    };
    world.harvest_office()?;
    check_office::check(world)?;
    Ok(said)
}

fn erase(world: &mut World, id: RecordId) -> Checked<&'static str> {
    world.office.erase(id)?;
    Ok("a record erased")
}

/// A word on one change: on one that waits, if there is one.
fn decide(world: &mut World) -> Checked<&'static str> {
    let held = world.eyes.look()?;
    let mut waiting: Vec<(RecordId, Hash32)> = Vec::new();
    for at in 0..world.phones.len() {
        let device = world.phones[at].notebook.device();
        waiting.extend(world.office.notebook().waiting_of(&device)?.into_iter().map(|(rec, hash, _)| (rec, hash)));
    }
    waiting.sort_unstable();
    let all: Vec<(RecordId, Hash32)> = held.changes.iter().map(|(hash, c)| (c.head.rec, *hash)).collect();
    let from = if waiting.is_empty() || world.random.random_bool(0.4) { &all } else { &waiting };
    let Some((rec, hash)) = from.choose(&mut world.random).copied() else { return Ok("nothing") };
    if world.random.random_bool(0.5) {
        world.office.admit(rec, hash)?;
        Ok("a change admitted")
    } else {
        world.office.refuse(rec, hash)?;
        Ok("a change refused")
    }
}

fn clock(world: &mut World) -> Checked<&'static str> {
    let logs = world.office.notebook().logs()?;
    let Some(state) = logs.choose(&mut world.random) else { return Ok("nothing") };
    let from = if world.random.random_bool(0.5) { 1 } else { world.random.random_range(1..=state.tip.max(1)) };
    let to = from + world.random.random_range(0..9);
    let skew = *[3_600_000, -86_400_000, 2_000_000_000_000, -1_700_000_000_000].choose(&mut world.random).unwrap_or(&0);
    world.office.correct_clock(state.log, from, to, skew)?;
    Ok("a clock corrected")
}
