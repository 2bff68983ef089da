//! A phone takes a reply, and lets go of what it need not keep.

use dooryard_core::{Code, Error, job::Job};
use rand::Rng;

use super::{
    Checked, check_phone, ensure,
    held::{Eyes, Told},
    parcel::{self, Sent},
    world::World,
};

/// A reply reaches a phone of its device as it was made.
pub fn deliver(world: &mut World, bytes: &[u8], sent: &Sent) -> Checked<&'static str> {
    let phones: Vec<usize> =
        (0..world.phones.len()).filter(|at| world.phones[*at].notebook.device() == sent.to).collect();
    let at = phones[world.random.random_range(0..phones.len())];
    take(world, at, bytes, sent)
}

/// A phone takes a reply of its device: one of a life that is news to it, or the next of the life that it knows.
pub fn take(world: &mut World, at: usize, bytes: &[u8], sent: &Sent) -> Checked<&'static str> {
    let path = world.dir.path().join("carried.yard");
    std::fs::write(&path, bytes)?;
    let interrupted = world.random.random_bool(0.15);
    // Its statements were taken then, and nothing else.
    let job = if interrupted { parcel::stopped_after(2) } else { Job::silent() };
    let notebook = &world.phones[at].notebook;
    let eyes = Eyes::on(notebook, &world.read)?;
    let (heard, told_before) = (eyes.heard()?, eyes.told()?);
    let newer = heard.is_newer(sent);
    let told = || format!("reply {} of life {}, after {heard:?}", sent.number, sent.life.0);
    let said = match notebook.take_reply(&path, &job) {
        Ok(taken) => {
            ensure("I6 honest receipts", newer && taken.number == sent.number, told)?;
            "a reply taken"
        }
        Err(Error::Cancelled) if interrupted => "a reply stopped half way",
        Err(e) if e.code() == Some(Code::StaleReply) => {
            ensure("I6 honest receipts", !newer, told)?;
            "an old reply refused"
        }
        Err(e) => return Err(e.into()),
    };
    nothing_half(world, at, &told_before, sent)?;
    check_phone::check(world, at)?;
    if world.random.random_bool(0.6) {
        let_go(world, at)?;
    }
    Ok(said)
}

/// What a reply says of records is there whole, with the reply's number, or none of it is: what is erased may be gone.
pub fn nothing_half(world: &World, at: usize, before: &Told, sent: &Sent) -> Checked {
    let eyes = Eyes::on(&world.phones[at].notebook, &world.read)?;
    let is_taken = !eyes.heard()?.is_newer(sent);
    let new = eyes.told()?.into_iter().find(|told| !before.contains(told));
    ensure("I11 atomic save", is_taken || new.is_none(), || format!("half a reply is here: {new:?}"))
}

/// A phone lets go of what its person's rule names.
pub fn let_go(world: &mut World, at: usize) -> Checked {
    let gone = world.phones[at].notebook.let_go()?;
    if gone.originals + gone.contact_values > 0 {
        *world.counts.entry("originals or contacts let go of").or_default() += 1;
    }
    check_phone::check(world, at)
}
