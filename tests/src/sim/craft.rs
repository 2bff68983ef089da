//! Changes that this version's screens never write: of newer apps, of broken ones, of somebody who holds a phone's key.

use std::collections::BTreeSet;

use dooryard_core::{
    Code,
    ids::{Hash32, LogId, RecordId},
    log::{Change, FieldHead, Head, Segment, Slot},
    notebook::{DeviceKeys, Notebook, OwnerOnlyFile},
    record::{EXISTENCE, Kind, Value},
};
use rand::{Rng, seq::IndexedRandom};

use super::{Checked, carrier, check_office, ensure, phone, words, world::World};
use crate::hand::Hand;

/// A change of another kind than screens write, on a phone or forged behind it.
pub fn step(world: &mut World) -> Checked<&'static str> {
    let at = world.any_phone();
    match world.random.random_range(0..20) {
        0..9 => newer_app(world, at),
        9..18 => forge(world, at),
        _ => over_limits(world, at),
    }
}

/// A phone with another app writes into its own log, and goes on with this one.
fn newer_app(world: &mut World, at: usize) -> Checked<&'static str> {
    let notebook = &world.phones[at].notebook;
    let log = notebook.own_log();
    let tip = notebook.own_logs()?.iter().find(|state| state.log == log).map_or(0, |state| state.tip);
    let Some(last) = notebook.segment_after(&log, tip.saturating_sub(1))? else { return Ok("nothing") };
    let (prev, seq) = (last.tip(), tip + 1);
    let Some((what, change)) = odd(world, at, seq)? else { return Ok("nothing") };
    let notebook = &world.phones[at].notebook;
    notebook.take_segment(signed(notebook, log, prev, change)?)?;
    // The app of this version goes on where the other one stopped.
    phone::save_plant(world, at)?;
    Ok(what)
}

/// Somebody with the phone's key hands over a change over a limit, or one that is made to cost much: it is refused where it stands.
/// How much memory and time that takes, for these and for worse, is counted in `tests/bounds`.
fn over_limits(world: &mut World, at: usize) -> Checked<&'static str> {
    let hand = Hand::of(&world.phones[at].notebook, world.office.card());
    let rec = RecordId::new(world.clock.now_ms(), world.random.random());
    let mut head = head(world, at, 1, rec, Kind::Plant.id())?;
    let (field, mut value) = (text_field(Kind::Plant), Value::Text("Elm bark".into()).to_cbor());
    let named = |n: u32| (0..n).map(|n| Hash32::of(&n.to_be_bytes())).collect::<BTreeSet<_>>().into_iter().collect();
    head.fields = vec![FieldHead { field, preds: Vec::new() }];
    let code = match world.random.random_range(0..6) {
        0 => {
            head.fields[0].preds = named(65);
            Code::TooBig
        }
        1 => {
            head.fields[0].preds = named(20_000);
            Code::TooBig
        }
        2 => {
            head.fields = (500..701).map(|field| FieldHead { field, preds: Vec::new() }).collect();
            Code::TooBig
        }
        3 => {
            value = Value::Text("a".repeat(70_000)).to_cbor();
            Code::TooBig
        }
        4 => {
            value = [&[0x81; 60_000][..], &[0]].concat();
            Code::Schema
        }
        _ => {
            // An array that says that it holds 2^62 items.
            value = [&[0x9b, 0x40, 0, 0, 0, 0, 0, 0, 0][..], &[0; 1_000]].concat();
            Code::Schema
        }
    };
    let slots = head.fields.iter().map(|_| Slot::Body { salt: [7; 16], value: value.clone() }).collect();
    let segment = signed(&world.phones[at].notebook, hand.log, Hash32::ZERO, Change::new(head, slots))?;
    let before = world.office.notebook().digest()?;
    let taken = carrier::take_in(world, &hand.file(&[hand.manifest(0, 0), (2, segment.to_cbor())]))?;
    let refused = taken.report.segments_refused.get(code.name()) == Some(&1) && taken.report.new == 0;
    ensure("I15 bounded work", refused, || format!("not refused with {}: {:?}", code.name(), taken.report))?;
    let same = world.office.notebook().digest()? == before;
    ensure("I15 bounded work", same, || format!("refused with {}, and changed the state", code.name()))?;
    check_office::check(world)?;
    Ok("a change over a limit")
}

/// Somebody with the phone's key writes a change behind any change of its logs, and the office gets it.
fn forge(world: &mut World, at: usize) -> Checked<&'static str> {
    let device = world.phones[at].notebook.device();
    let own: Vec<_> = world.truth.written.iter().filter(|(_, w)| w.log.device == device).collect();
    let Some((prev, before)) = own.choose(&mut world.random).map(|(h, w)| (**h, *w)) else { return Ok("nothing") };
    let (log, seq) = (before.log, before.change.head.seq + 1);
    let plain = world.random.random_bool(0.6);
    let made = if plain { sibling(world, at, seq)? } else { odd(world, at, seq)? };
    let Some((_, change)) = made else { return Ok("nothing") };
    let segment = signed(&world.phones[at].notebook, log, prev, change)?;
    let hash = segment.tip();
    world.truth.note(vec![(log, hash, prev, segment.changes[0].clone())]);
    carrier::take_segment(world, segment)?;
    Ok("a change forged with a phone's key")
}

fn signed(notebook: &Notebook, log: LogId, prev: Hash32, change: Change) -> Checked<Segment> {
    let keys = DeviceKeys::read(&notebook.folder().join("local/device.key"), &OwnerOnlyFile)?;
    let office = notebook.office()?;
    let mut segment = Segment::new(&office, log, prev, vec![change]);
    segment.close(&keys.signing, &office, 0);
    Ok(segment)
}

fn text(world: &mut World) -> Slot {
    let word = words::fresh(&mut world.random);
    Slot::Body { salt: world.random.random(), value: Value::Text(format!("Elm bark {word}")).to_cbor() }
}

fn head(world: &World, at: usize, seq: u64, rec: RecordId, rtype: u32) -> Checked<Head> {
    let notebook = &world.phones[at].notebook;
    let authority = notebook.authority()?;
    let cert = authority.cert_of(&notebook.device()).map_or(Hash32::ZERO, |(hash, _)| hash);
    let generation = authority.generation(&rec);
    let wall_ms = world.phones[at].clock.now_ms();
    let fields = Vec::new();
    Ok(Head { rtype, seq, wall_ms, generation, kind: 0, rec, cert, form_ver: 1, fields, crit: None, ext: None })
}

/// A field of text of a kind.
fn text_field(kind: Kind) -> u32 {
    match kind {
        Kind::Plant => 504,
        Kind::Contact => 204,
        Kind::Inquiry => 115,
        Kind::Site => 308,
        Kind::Alert => 1502,
        Kind::Photo => 816,
        _ => 713,
    }
}

/// An ordinary value beside all others: it names none of those that are live.
fn sibling(world: &mut World, at: usize, seq: u64) -> Checked<Option<(&'static str, Change)>> {
    let Some((rec, kind)) = world.any_record() else { return Ok(None) };
    let mut head = head(world, at, seq, rec, kind.id())?;
    head.fields.push(FieldHead { field: text_field(kind), preds: Vec::new() });
    let slot = text(world);
    Ok(Some(("a sibling", Change::new(head, vec![slot]))))
}

/// Something that must be kept and must not count, or must count for less than it claims.
fn odd(world: &mut World, at: usize, seq: u64) -> Checked<Option<(&'static str, Change)>> {
    let Some((rec, kind)) = world.any_record() else { return Ok(None) };
    let mut head = head(world, at, seq, rec, kind.id())?;
    let field = text_field(kind);
    // What is live in the office of this record, field by field.
    let held = world.eyes.look()?;
    let live: Vec<(u32, Hash32)> =
        held.facts.iter().filter(|f| f.rec == rec && f.live).map(|f| (f.field, f.hash)).collect();
    let of = |wanted: u32| -> Vec<Hash32> { live.iter().filter(|(f, _)| *f == wanted).map(|(_, h)| *h).collect() };
    let mut named = of(field);
    named.truncate(60);
    head.fields.push(FieldHead { field, preds: named.clone() });
    let mut slots = vec![text(world)];
    let what = match world.random.random_range(0..9) {
        0 => {
            head.fields.push(FieldHead { field: kind.id() * 100 + 99, preds: Vec::new() });
            slots.push(text(world));
            "a field of a newer app"
        }
        1 => {
            (head.rec, head.rtype) = (RecordId::new(world.clock.now_ms(), world.random.random()), 77);
            head.fields = vec![FieldHead { field: 7701, preds: Vec::new() }];
            "a kind of a newer app"
        }
        2 => {
            head.crit = Some(vec![0x81, 0x18, world.random.random_range(24..=255)]);
            "a feature that must be known"
        }
        3 => {
            head.ext = Some(vec![0xa1, 0x01, 0x18, world.random.random_range(24..=255)]);
            "an addition of a newer app"
        }
        4 => {
            let mut preds: Vec<Hash32> = live.iter().map(|(_, h)| *h).filter(|h| !named.contains(h)).take(60).collect();
            preds.sort_unstable();
            preds.dedup();
            head.fields = vec![FieldHead { field, preds }];
            "a change that names those of other fields"
        }
        5 => {
            // Status and the office's own words of an inquiry: no scout may write them.
            let (forbidden, value) = if kind == Kind::Inquiry { (110, 3) } else { (1105, 1) };
            head.fields.push(FieldHead { field: forbidden, preds: of(forbidden) });
            head.fields.sort_by_key(|f| f.field);
            let body = Slot::Body { salt: world.random.random(), value: Value::Int(value).to_cbor() };
            let place = head.fields.iter().position(|f| f.field == forbidden).unwrap_or(0);
            slots.insert(place, body);
            "a field that the role may not write"
        }
        6 => {
            head.kind = 1;
            "a request to the office"
        }
        7 => {
            head.generation += world.random.random_range(1..=2);
            "a generation that nobody gave"
        }
        _ => {
            head.fields = vec![FieldHead { field: EXISTENCE, preds: of(EXISTENCE) }];
            let seen = live.iter().take(2).map(|(_, h)| Value::Bytes(h.0.to_vec())).collect();
            let value = Value::List(vec![Value::Int(0), Value::List(seen)]).to_cbor();
            slots = vec![Slot::Body { salt: world.random.random(), value }];
            "a deletion that saw little"
        }
    };
    Ok(Some((what, Change::new(head, slots))))
}
