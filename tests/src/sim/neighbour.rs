//! The next county: an office with a root of its own and a phone or two. The carrier hands its files to ours and ours to it, as
//! they are and sealed anew to whoever gets them; each office must end with what its own phones wrote, and nothing else.

use std::{collections::BTreeSet, path::Path};

use dooryard_core::{
    Code, Error,
    clock::Env,
    ids::Hash32,
    job::Job,
    notebook::{LogState, Merged, Notebook},
    record::{Kind, Role},
};
use dooryard_office::desk::{LedgerChoice, Office, Outcome, Restored, Taken, recovery_key};
use rand::Rng;

use super::{
    Checked, Failure, ensure,
    held::{Eyes, Read},
    parcel::{Cargo, Parcel},
    phone,
    world::{World, own_changes},
};
use crate::wire::{Outer, Text, seal, unseal};

/// The check of everything here.
const ALIEN: &str = "I8 authenticity";

/// The other office and its phones, which know no clock but the right one.
pub struct Neighbour {
    office: Office,
    phones: Vec<Notebook>,
    /// A look at the office's file; its statements are signed with another key than those of ours.
    read: Read,
}

/// All that tells whether anything changed.
#[derive(PartialEq)]
struct State(Hash32, usize, Vec<LogState>, usize);

/// One thing that happens between the two counties.
pub fn step(world: &mut World) -> Checked<&'static str> {
    let next = match world.neighbour.take() {
        Some(next) => next,
        None => Neighbour::new(world)?,
    };
    let said = next.step(world);
    world.neighbour = Some(next);
    said
}

/// At the end both offices hold what their own phones and they themselves wrote: all of it, and no more.
pub fn check(world: &mut World) -> Checked {
    let Some(next) = world.neighbour.take() else { return Ok(()) };
    for at in 0..next.phones.len() {
        next.hands_over(world, at)?;
    }
    let mut own = BTreeSet::new();
    for notebook in next.phones.iter().chain([next.office.notebook()]) {
        own.extend(own_changes(notebook, 0)?.into_iter().map(|(_, hash, ..)| hash));
    }
    let there: BTreeSet<Hash32> = Eyes::on(next.office.notebook(), &next.read)?.look()?.changes.into_keys().collect();
    ensure(ALIEN, there == own, || {
        format!("the other office holds {} changes, its phones wrote {}", there.len(), own.len())
    })?;
    let ours = world.eyes.look()?.changes;
    let strange = own.iter().find(|hash| ours.contains_key(hash));
    ensure(ALIEN, strange.is_none(), || format!("{strange:?} of the other office is at ours"))
}

impl Neighbour {
    fn new(world: &mut World) -> Checked<Self> {
        let folder = world.new_path("neighbour");
        let office = Office::create(&folder, "Sedge County", Env::seeded(world.random.random(), &world.clock))?;
        let mut phones = Vec::new();
        for n in 0..world.random.random_range(1..=2) {
            let folder = world.new_path("neighbour-phone");
            let notebook = Notebook::create(&folder, Env::seeded(world.random.random(), &world.clock))?;
            notebook.enrol(&office.add_device(&notebook.enrolment_request(), Role::Scout, &format!("Phone {n}"))?)?;
            phones.push(notebook);
        }
        let next = Self { office, phones, read: Read::default() };
        (0..next.phones.len()).try_for_each(|at| next.hands_over(world, at))?;
        Ok(next)
    }

    fn step(&self, world: &mut World) -> Checked<&'static str> {
        let at = world.random.random_range(0..self.phones.len());
        if world.random.random_bool(0.5) {
            self.hands_over(world, at)?;
        }
        match world.random.random_range(0..8) {
            0..2 => self.bundle_to_ours(world, at),
            2..4 if !world.pool.is_empty() => self.ours_to_them(world, at),
            4 => self.reply_to_ours(world, at),
            5 => self.answer_to_ours(world),
            6 => self.backups(world, at),
            _ => self.office_backups(world),
        }
    }

    /// A phone of the other county writes something, hands it over where it belongs, and hears that it came.
    fn hands_over(&self, world: &mut World, at: usize) -> Checked {
        let path = world.dir.path().join("carried.yard");
        let values = phone::values(world, Kind::Plant);
        self.phones[at].save(Kind::Plant, None, &values)?;
        self.phones[at].make_bundle(&path, &Job::silent())?;
        let taken = self.office.take_in(&path, &Job::silent())?;
        ensure("I3 no lost change", taken.outcome == Outcome::TakenIn, || format!("refused: {:?}", taken.code))?;
        self.office.make_reply(self.phones[at].device(), &path, &Job::silent())?;
        self.phones[at].take_reply(&path, &Job::silent())?;
        Ok(())
    }

    /// What a phone of theirs hands over comes to our office, as often as not opened on the way and sealed to ours.
    fn bundle_to_ours(&self, world: &mut World, at: usize) -> Checked<&'static str> {
        let path = world.dir.path().join("carried.yard");
        let values = phone::values(world, Kind::Plant);
        self.phones[at].save(Kind::Plant, None, &values)?;
        self.phones[at].make_bundle(&path, &Job::silent())?;
        let resealed = world.random.random_bool(0.5);
        if resealed {
            sealed_anew(&path, &self.office, &world.office)?;
        }
        office_refuses(&world.office, &path)?;
        phone_refuses(&world.phones[0].notebook, &path, &[Code::NotForUs])?;
        Ok(if resealed { "a bundle of another county, sealed to ours" } else { "a bundle of another county" })
    }

    /// A file on its way in our county comes to the other one.
    fn ours_to_them(&self, world: &mut World, at: usize) -> Checked<&'static str> {
        let path = world.dir.path().join("carried.yard");
        let Parcel { cargo, bytes } = world.pool[world.random.random_range(0..world.pool.len())].clone();
        std::fs::write(&path, bytes)?;
        phone_refuses(&self.phones[at], &path, &[Code::NotForUs])?;
        if matches!(cargo, Cargo::Bundle(_)) && world.random.random_bool(0.5) {
            sealed_anew(&path, &world.office, &self.office)?;
        }
        office_refuses(&self.office, &path)?;
        Ok("a file of ours in another county")
    }

    /// A reply of the other office comes to a phone of ours and to our office; sometimes it was made for that very phone, which
    /// somebody had the other office enrol too.
    fn reply_to_ours(&self, world: &mut World, at: usize) -> Checked<&'static str> {
        let path = world.dir.path().join("carried.yard");
        let ours = world.any_phone();
        let notebook = &world.phones[ours].notebook;
        let for_it = world.random.random_bool(0.5);
        if for_it {
            self.office.add_device(&notebook.enrolment_request(), Role::Educator, "Phone of elsewhere")?;
            self.office.make_reply(notebook.device(), &path, &Job::silent())?;
            phone_refuses(notebook, &path, &[Code::BadSignature, Code::NotForUs])?;
        } else {
            self.office.make_reply(self.phones[at].device(), &path, &Job::silent())?;
            phone_refuses(notebook, &path, &[Code::NotForUs])?;
        }
        office_refuses(&world.office, &path)?;
        Ok(if for_it { "a reply of another office for a phone of ours" } else { "a reply of another county" })
    }

    /// The other office enrols a phone of ours, which belongs to ours already; and the reverse.
    fn answer_to_ours(&self, world: &mut World) -> Checked<&'static str> {
        let ours = world.any_phone();
        let at = world.random.random_range(0..self.phones.len());
        for (office, notebook) in [(&self.office, &world.phones[ours].notebook), (&world.office, &self.phones[at])] {
            let answer = office.add_device(&notebook.enrolment_request(), Role::Educator, "Phone of elsewhere")?;
            unchanged(notebook, &[Code::NotForUs], |notebook| notebook.enrol(&answer))?;
        }
        Ok("an enrolment by another office")
    }

    /// The backup of a phone comes to one of the other county, and to the office there.
    fn backups(&self, world: &mut World, at: usize) -> Checked<&'static str> {
        let ours = world.any_phone();
        let path = world.new_path("alien-backup");
        for ((from, to), office) in [
            ((&self.phones[at], &world.phones[ours].notebook), &world.office),
            ((&world.phones[ours].notebook, &self.phones[at]), &self.office),
        ] {
            from.back_up(&path, &Job::silent())?;
            unchanged(to, &[Code::NotForUs], |to| to.merge_backup(&path, &Job::silent()))?;
            let merges =
                |_: &Notebook| -> Result<Merged, Error> { office.take_backup_of_phone(&path, None, &Job::silent()) };
            unchanged(office.notebook(), &[Code::NotForUs], merges)?;
            std::fs::remove_file(&path)?;
        }
        Ok("a phone's backup in another county")
    }

    /// The other office's backup is merged into ours; and a backup of ours is brought back by the other's list of erasures.
    fn office_backups(&self, world: &mut World) -> Checked<&'static str> {
        let path = world.new_path("alien-backup");
        let theirs = recovery_key(&self.office.folder().join("office.key"))?;
        self.office.back_up(&path, false, &Job::silent())?;
        let env = Env::seeded(world.random.random(), &world.clock);
        let restore = |into: &Path, from: &Path, key, ledger: &LedgerChoice| -> Result<Restored, Error> {
            Office::restore(from, into, key, ledger, None, env.clone(), &Job::silent())
        };
        let ours = world.office.folder().to_owned();
        unchanged(world.office.notebook(), &[Code::NotForUs], |_| {
            restore(&ours, &path, &theirs, &LedgerChoice::Beside)
        })?;
        let Some((kept, key)) = &world.backup else { return Ok("an office's backup in another county") };
        let mut ledger = path.clone().into_os_string();
        ledger.push(".ledger");
        let ledger = LedgerChoice::File(ledger.into());
        unchanged(world.office.notebook(), &[Code::NotForUs], |_| restore(&ours, &kept.path, key, &ledger))?;
        Ok("a list of erasures of another county")
    }
}

/// A file that was made for one office, opened with its key and sealed to the other: what stands in it is as it was signed.
fn sealed_anew(path: &Path, from: &Office, to: &Office) -> Checked {
    let odd = |e: anyhow::Error| Failure { check: "a bundle is in the form of the wire", detail: e.to_string() };
    let key = recovery_key(&from.folder().join("office.key"))?;
    let mut outer = Outer::read(&std::fs::read(path)?).map_err(odd)?;
    let Some((_, text)) = outer.parts.first_mut() else { return Ok(()) };
    let plain = unseal(text, &key).map_err(odd)?;
    // What is sealed anew is what was there.
    Text::read(&plain).map_err(odd)?;
    *text = seal(&plain, &[&to.card().seal, &to.card().recovery]).map_err(odd)?;
    std::fs::write(path, outer.write())?;
    Ok(())
}

/// An office is given a file of another one: not for us, not kept, nothing changed.
fn office_refuses(office: &Office, path: &Path) -> Checked {
    let before = state(office.notebook())?;
    let Taken { outcome, code, .. } = office.take_in(path, &Job::silent())?;
    let refused = outcome == Outcome::Refused && code.as_deref() == Some(Code::NotForUs.name());
    ensure(ALIEN, refused, || format!("a file of another office was {outcome:?}, {code:?}"))?;
    ensure(ALIEN, state(office.notebook())? == before, || "a file of another office changed the state".into())
}

/// A phone is given a file that is not its own as a reply.
fn phone_refuses(notebook: &Notebook, path: &Path, codes: &[Code]) -> Checked {
    unchanged(notebook, codes, |notebook| notebook.take_reply(path, &Job::silent()))
}

/// What belongs to another county is refused with one of these codes and changes nothing.
fn unchanged<T>(notebook: &Notebook, codes: &[Code], work: impl FnOnce(&Notebook) -> Result<T, Error>) -> Checked {
    let before = state(notebook)?;
    match work(notebook) {
        Ok(_) => ensure(ALIEN, false, || "what belongs to another county was taken".into())?,
        Err(e) => {
            ensure(ALIEN, e.code().is_some_and(|code| codes.contains(&code)), || format!("refused with {e}"))?;
        }
    }
    ensure(ALIEN, state(notebook)? == before, || "what belongs to another county changed the state".into())
}

fn state(notebook: &Notebook) -> Checked<State> {
    Ok(State(notebook.digest()?, notebook.statements()?.len(), notebook.own_logs()?, notebook.blobs_to_offer()?.len()))
}
