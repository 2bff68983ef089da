//! The end of a history: the weather is calm, every file arrives, and then everything must be everywhere.

use std::collections::BTreeSet;

use dooryard_core::{
    bundle::{Level, Receipt},
    ids::Hash32,
    job::Job,
    log::SlotState,
    notebook::{LetGo, Record},
    record::{self, EXISTENCE, Kind, Privacy, Value, fields_of},
};
use rand::seq::SliceRandom;

use super::{
    Checked, carrier, check_office, check_phone, ensure,
    held::{Eyes, Held},
    neighbour,
    oracle::{LiveValues, Oracle},
    orders, parcel, phone, reply, taking,
    world::World,
};

/// Lets every phone hand over what it has, and looks at everything.
pub fn check(world: &mut World) -> Checked {
    for _ in 0..3 {
        for at in 0..world.phones.len() {
            phone::save_plant(world, at)?;
            let (contents, bytes) = parcel::bundle_of(world, at, false)?;
            carrier::deliver_bundle(world, bytes, &contents)?;
            answered(world, at)?;
        }
    }
    for at in 0..world.phones.len() {
        answered(world, at)?;
        taking::let_go(world, at)?;
    }
    for at in 0..world.phones.len() {
        nothing_left(world, at)?;
    }
    neighbour::check(world)?;
    let before = receipts(world)?;
    replayed(world)?;
    let after = receipts(world)?;
    if after != before {
        // A file of a life that the office forgot when it went back to before it tells it of that life: it begins a new one, once.
        let told = "files that came again changed what phones are told to be here";
        ensure("I2 idempotence", in_a_newer_life(&before, &after), || format!("{told}: {before:?}, now {after:?}"))?;
        replayed(world)?;
        ensure("I2 idempotence", receipts(world)? == after, || format!("{told}, and changed it once more"))?;
        *world.counts.entry("a new life begun by a file that came again").or_default() += 1;
    }
    orders::in_memory(world)?;
    orders::at_the_spare(world)?;
    shown(world)
}

fn answered(world: &mut World, at: usize) -> Checked {
    let (_, bytes) = parcel::reply_for(world, at)?;
    let path = world.dir.path().join("carried.yard");
    std::fs::write(&path, bytes)?;
    world.phones[at].notebook.take_reply(&path, &Job::silent())?;
    check_phone::check(world, at)
}

/// The receipts that the office would give its phones now.
fn receipts(world: &mut World) -> Checked<Vec<Receipt>> {
    let (office, key) = (world.office.card().office(), world.office.card().key);
    let mut all = Vec::new();
    for at in 0..world.phones.len() {
        let (_, bytes) = parcel::reply_for(world, at)?;
        for signed in reply::receipts(&parcel::opened(world, at, &bytes)?) {
            all.push(Receipt::verify(&signed, &office, &key)?);
        }
    }
    Ok(all)
}

/// Whether receipts say of what is held the same as before, in a newer life. What is safe counts anew in each.
fn in_a_newer_life(before: &[Receipt], after: &[Receipt]) -> bool {
    let held = |all: &[Receipt]| all.iter().filter(|r| r.level == Level::Stored).cloned().collect::<Vec<_>>();
    let (before, after) = (held(before), held(after));
    let same = |(old, new): (&Receipt, &Receipt)| {
        new.epoch.n > old.epoch.n && *new == Receipt { epoch: new.epoch, ..old.clone() }
    };
    before.len() == after.len() && before.iter().zip(&after).all(same)
}

/// Every change of every phone is at the office, and nothing is offered again.
fn nothing_left(world: &mut World, at: usize) -> Checked {
    let office = world.eyes.look()?;
    let notebook = &world.phones[at].notebook;
    let held = Eyes::on(notebook, &world.read)?.look()?;
    let lost = held.changes.keys().find(|hash| !office.changes.contains_key(hash));
    ensure("I3 no lost change", lost.is_none(), || format!("{lost:?} of a phone never came to the office"))?;
    let bare: BTreeSet<(Hash32, u32)> =
        office.facts.iter().filter(|f| f.state == SlotState::Absent).map(|f| (f.hash, f.field)).collect();
    let values = held.facts.iter().filter(|fact| fact.state == SlotState::Body);
    let lost = values.map(|fact| (fact.hash, fact.field)).find(|place| bare.contains(place));
    ensure("I3 no lost change", lost.is_none(), || format!("the value {lost:?} of a phone never came to the office"))?;
    let left = notebook.make_bundle(&world.dir.path().join("made.yard"), &Job::silent())?;
    ensure("I6 honest receipts", (left.changes, left.photos) == (0, 0), || {
        format!("{} changes and {} photos are offered for ever", left.changes, left.photos)
    })?;
    notebook.pause()?;
    check_office::nothing_erased_left(&world.truth, &held, &world.phones[at].folder)
}

/// Every file that was taken in comes again, in another order.
fn replayed(world: &mut World) -> Checked {
    let before = world.office.notebook().digest()?;
    let rows = |held: Held| (held.changes.len(), held.facts.len(), held.signed);
    let rows_before = rows(world.eyes.look()?);
    let mut files = world.taken.clone();
    files.shuffle(&mut world.random);
    for bytes in files {
        let report = carrier::take_in(world, &bytes)?.report;
        ensure("I2 idempotence", !report.brought_anything(), || format!("a file brought {} again", report.new))?;
    }
    let same = world.office.notebook().digest()? == before && rows(world.eyes.look()?) == rows_before;
    ensure("I2 idempotence", same, || "files that came again changed the state".into())?;
    check_office::check(world)
}

/// The office shows what the rules say, its lists say the same, and every phone shows what the office shows it.
fn shown(world: &mut World) -> Checked {
    let held = world.eyes.look()?;
    let oracle = Oracle(&held);
    let live = oracle.live();
    let office = world.office.notebook();
    let listed = office.list(&phone::everything())?;
    for row in &listed.rows {
        let record = office.show(row.id)?;
        as_the_rules_say(&record, &live)?;
        let fields = record.fields.iter().filter_map(|f| Some((f.name.clone(), f.shown.value.clone()?))).collect();
        let of_record = live.range((row.id, 0)..=(row.id, u32::MAX)).flat_map(|(_, values)| values);
        let times = of_record.filter_map(|(hash, _)| Some(oracle.at_ms(held.changes.get(hash)?)));
        let changed_ms = times.max().unwrap_or(0);
        let same = row.fields == fields && row.hidden == record.hidden && row.changed_ms == changed_ms;
        ensure("lists say what records say", same, || format!("{} {:?}, listed {row:?}", record.id, record.fields))?;
    }
    for phone in &world.phones {
        let device = phone.notebook.device();
        // A person may have let the phone let go of contacts: it shows less then.
        let keeps_contacts = phone.notebook.letting_go()? != LetGo::OriginalsAndContacts;
        let is_kept = |field: u32| keeps_contacts || record::field(field).is_none_or(|f| !is_of_contact(f));
        for row in phone.notebook.list(&phone::everything())?.rows {
            let may_read = |field: u32| is_kept(field) && oracle.may_read(&(row.id, field), &device);
            let (there, here) = (office.show(row.id)?, phone.notebook.show(row.id)?);
            let wanted = what_is_shown(&there, may_read);
            ensure("I10 same shown value", what_is_shown(&here, is_kept) == wanted, || {
                format!("{} on a phone: {:?}, at the office: {wanted:?}", row.id, what_is_shown(&here, is_kept))
            })?;
            // A change whose words are erased or did not come keeps a deleted record in sight, and no reply names it.
            let mut of_record = live.range((row.id, 0)..=(row.id, u32::MAX)).flat_map(|(_, values)| values);
            let sees_all = fields_of(there.kind).iter().all(|f| may_read(f.id)) && of_record.all(|(_, v)| v.is_some());
            ensure("I10 same shown value", !sees_all || here.hidden == there.hidden, || {
                format!("{} hidden on a phone: {}, at the office: {}", row.id, here.hidden, there.hidden)
            })?;
        }
    }
    Ok(())
}

/// Whether a field is one that phones may let go of with their contacts.
fn is_of_contact(field: &record::Field) -> bool {
    field.kind == Kind::Contact && field.class >= Privacy::Private
}

type Shown = (String, Option<serde_json::Value>, i64, Hash32, BTreeSet<Hash32>);

/// What a record shows of the fields that somebody may read and that have a value.
fn what_is_shown(record: &Record, may_read: impl Fn(u32) -> bool) -> Vec<Shown> {
    let fields = record.fields.iter().filter(|f| f.field.is_some_and(|f| may_read(f.id)) && f.shown.value.is_some());
    let shown = fields.map(|f| {
        let others = f.others.iter().map(|o| o.change).collect();
        (f.name.clone(), f.shown.value.clone(), f.shown.at_ms, f.shown.change, others)
    });
    shown.collect()
}

/// One record of the office against the rules: the value shown, the others that differ, hidden or not.
fn as_the_rules_say(record: &Record, live: &LiveValues) -> Checked {
    let of_record = live.range((record.id, 0)..=(record.id, u32::MAX));
    let (mut deletions, mut others) = (Vec::new(), BTreeSet::new());
    for ((_, field), values) in of_record {
        if *field == EXISTENCE {
            deletions.extend(values.iter().filter_map(|(_, v)| Value::from_cbor(v.as_deref()?).ok()));
            continue;
        }
        others.extend(values.iter().map(|(hash, _)| *hash));
        let view = record.fields.iter().find(|f| f.field.is_some_and(|f| f.id == *field));
        let shown = view.map(|f| f.shown.change);
        let first = values.first().map(|(hash, _)| *hash);
        ensure("I10 same shown value", shown == first, || format!("field {field}: {shown:?}, expected {first:?}"))?;
        let mut different: BTreeSet<&Vec<u8>> = values.iter().filter_map(|(_, v)| v.as_ref()).collect();
        if let Some((_, Some(first))) = values.first() {
            different.remove(first);
        }
        let told = view.map_or(0, |f| f.others.len());
        ensure("I4 no lost sibling", told == different.len(), || {
            format!("field {field}: {told} other values, expected {}", different.len())
        })?;
    }
    ensure("I10 same shown value", record.hidden == hidden(&deletions, &others), || {
        format!("{} is hidden: {}", record.id, record.hidden)
    })
}

/// Deleted, by nobody held to be alive, and every other live change was seen by a deletion.
fn hidden(existence: &[Value], others: &BTreeSet<Hash32>) -> bool {
    let mut seen = BTreeSet::new();
    for value in existence {
        let Value::List(items) = value else { return false };
        if let Some(Value::List(hashes)) = items.get(1) {
            seen.extend(hashes.iter().filter_map(|h| Hash32::from_slice(h.as_bytes()?).ok()));
        }
    }
    !existence.is_empty() && others.is_subset(&seen)
}
