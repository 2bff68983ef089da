//! A history played: which changes were written, in which logs, and what the office said.

mod say;

use std::collections::{BTreeMap, BTreeSet};

use dooryard_core::{
    ids::{DeviceId, Hash32, LogId, RecordId},
    log::{Body, Change, FieldHead, Head, Slot},
    record::{EXISTENCE, Value},
};
use dooryard_tests::MAY_1;

use crate::{
    office::{self, Office, PHONES, RECORDS, record, value},
    ops::{Odd, Op},
};

/// Devices at most, forked ones among them.
const DEVICES: usize = 7;
/// A field that no version knows.
const UNKNOWN: u32 = 199;

/// How often something happened.
pub type Counts = BTreeMap<&'static str, u64>;

/// A change that was written.
pub struct Written {
    /// Its log.
    pub log: LogId,
    /// Hash of the one before it.
    pub prev: Hash32,
    /// Its hash.
    pub hash: Hash32,
    /// The change.
    pub change: Change,
}

/// What a step came to.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Event {
    /// This device wrote this change.
    Wrote(usize, usize),
    /// The first device saw all that the second one had seen.
    Met(usize, usize),
    /// A copy of this device stands at the end of the list.
    Forked(usize),
    /// This device went back so many steps of its own.
    Restored(usize, usize),
    /// The office said this statement.
    Said(usize),
    /// Nothing that others could notice.
    Nothing,
}

/// A device as it stands; a backup of it holds the same.
#[derive(Clone)]
struct Device {
    phone: usize,
    log: LogId,
    seq: u64,
    tip: Hash32,
    /// The changes that it has seen, by number.
    seen: BTreeSet<usize>,
    /// How many statements it has heard.
    heard: usize,
    off_ms: i64,
}

/// A history as far as it was played.
pub struct Play {
    /// The office.
    pub office: Office,
    /// Every change, in the order of writing.
    pub written: Vec<Written>,
    /// Changes and statements in the order of their coming into the world.
    pub order: Vec<Event>,
    /// Numbers of the changes that nobody has any more.
    pub lost: BTreeSet<usize>,
    /// Numbers of the changes whose words are never sent.
    pub withheld: BTreeSet<usize>,
    /// What happened.
    pub counts: Counts,
    /// Each device with what it was after each of its steps before.
    devices: Vec<(Device, Vec<Device>)>,
    logs: u64,
    steps: u64,
}

impl Play {
    /// The beginning of a history.
    pub fn new(office: Office) -> Self {
        let heard = office.said.len();
        let mut play = Self {
            order: (0..heard).map(Event::Said).collect(),
            office,
            written: Vec::new(),
            lost: BTreeSet::new(),
            withheld: BTreeSet::new(),
            counts: Counts::new(),
            devices: Vec::new(),
            logs: 0,
            steps: 0,
        };
        for phone in 0..PHONES.len() {
            let (log, seen) = (play.new_log(phone), BTreeSet::new());
            play.devices.push((Device { phone, log, seq: 0, tip: Hash32::ZERO, seen, heard, off_ms: 0 }, Vec::new()));
        }
        play
    }

    /// The changes that each device has seen, by number.
    pub fn seen(&self) -> impl Iterator<Item = &BTreeSet<usize>> {
        self.devices.iter().map(|(device, _)| &device.seen)
    }

    /// Plays one step.
    pub fn step(&mut self, op: &Op) -> Event {
        self.steps += 1;
        let event = match *op {
            Op::Save { device, record, fields, same } => {
                let at = record as usize % RECORDS.len();
                let picked = (0..3).filter(|bit| fields & (1 << bit) != 0).map(|bit| RECORDS[at].1[bit]);
                let n = if same { 0 } else { self.written.len() + 1 };
                self.count(if same { "words that stand elsewhere too" } else { "a change" });
                let values = picked.map(|field| (field, value(field, n))).collect();
                self.write(device, at, values, |_| {})
            }
            Op::Exist { device, record, alive } => self.exist(device, record, alive),
            Op::Odd { device, record, how } => self.odd(device, record, how),
            Op::Meet { to, from } => self.meet(to, from),
            Op::Fork { device } if self.devices.len() < DEVICES => {
                let device = self.pick(device);
                self.count("a device copied");
                self.devices.push(self.devices[device].clone());
                Event::Forked(device)
            }
            Op::Restore { device, steps, same_log } => self.restore(device, steps.into(), same_log),
            Op::Clock { device, off_ms } => {
                let device = self.pick(device);
                let before = std::mem::replace(&mut self.devices[device].0.off_ms, off_ms);
                if before != off_ms {
                    self.count(if before < off_ms { "a clock forward" } else { "a clock back" });
                }
                Event::Nothing
            }
            Op::Hear { device } => {
                let device = self.pick(device);
                self.devices[device].0.heard = self.office.said.len();
                Event::Nothing
            }
            Op::Lose { change } => {
                let change = self.pick_change(change);
                self.lost.extend(change);
                Event::Nothing
            }
            Op::Withhold { change } => {
                let change = self.pick_change(change);
                self.withheld.extend(change);
                Event::Nothing
            }
            Op::Say(ref said) => self.say(said),
            Op::Fork { .. } => Event::Nothing,
        };
        if matches!(event, Event::Wrote(..) | Event::Said(_)) {
            self.order.push(event);
        }
        event
    }

    fn count(&mut self, what: &'static str) {
        *self.counts.entry(what).or_default() += 1;
    }

    fn pick(&self, device: u8) -> usize {
        device as usize % self.devices.len()
    }

    fn pick_change(&self, change: u8) -> Option<usize> {
        (change as usize).checked_rem(self.written.len())
    }

    fn new_log(&mut self, phone: usize) -> LogId {
        self.logs += 1;
        LogId { device: office::device(phone), incarnation: self.logs }
    }

    /// The changes of a field that a device has seen and that no change of that field names which it has seen.
    fn unnamed(&self, seen: &BTreeSet<usize>, rec: RecordId, field: u32) -> Vec<Hash32> {
        let (mut all, mut named) = (BTreeSet::new(), BTreeSet::new());
        for written in seen.iter().map(|n| &self.written[*n]).filter(|w| w.change.head.rec == rec) {
            for of in written.change.head.fields.iter().filter(|of| of.field == field) {
                all.insert(written.hash);
                named.extend(of.preds.iter().copied());
            }
        }
        all.difference(&named).copied().collect()
    }

    fn write(&mut self, device: u8, at: usize, values: Vec<(u32, Value)>, edit: impl FnOnce(&mut Head)) -> Event {
        let (who, rec) = (self.pick(device), record(at));
        let device = self.devices[who].0.clone();
        let heard = self.office.said.iter().take(device.heard);
        let (mut generation, mut cert) = (0, Hash32::ZERO);
        for (said, hash, _) in heard {
            match &said.body {
                Body::Erase { rec: of, generation: given, .. } if *of == rec => generation = generation.max(*given),
                Body::Cert(of) if DeviceId::of_key(&of.key) == device.log.device => cert = *hash,
                _ => {}
            }
        }
        let wall_ms = MAY_1.saturating_add_signed(device.off_ms) + self.steps * 60_000;
        let (mut fields, mut slots) = (Vec::new(), Vec::new());
        for (field, value) in values {
            let mut salt = [field as u8; 16];
            salt[..8].copy_from_slice(&(self.written.len() as u64).to_be_bytes());
            fields.push(FieldHead { field, preds: self.unnamed(&device.seen, rec, field) });
            slots.push(Slot::Body { salt, value: value.to_cbor() });
        }
        let mut head = Head {
            rtype: RECORDS[at].0.id(),
            seq: device.seq + 1,
            wall_ms,
            generation,
            kind: 0,
            rec,
            cert,
            form_ver: 1,
            fields,
            crit: None,
            ext: None,
        };
        edit(&mut head);
        let change = Change::new(head, slots);
        let hash = change.hash(&self.office.id(), &device.log, &device.tip);
        self.written.push(Written { log: device.log, prev: device.tip, hash, change });
        let number = self.written.len() - 1;
        let (now, past) = &mut self.devices[who];
        past.push(device);
        (now.seq, now.tip) = (now.seq + 1, hash);
        now.seen.insert(number);
        Event::Wrote(who, number)
    }

    fn exist(&mut self, device: u8, at: u8, alive: bool) -> Event {
        let at = at as usize % RECORDS.len();
        self.count(if alive { "a record brought back" } else { "a record deleted" });
        let value = if alive {
            Value::Int(1)
        } else {
            let seen = &self.devices[self.pick(device)].0.seen;
            let mut hashes: Vec<Hash32> =
                RECORDS[at].1.iter().flat_map(|field| self.unnamed(seen, record(at), *field)).collect();
            hashes.sort_unstable();
            hashes.dedup();
            let hashes = hashes.into_iter().map(|hash| Value::Bytes(hash.0.to_vec())).collect();
            Value::List(vec![Value::Int(0), Value::List(hashes)])
        };
        self.write(device, at, vec![(EXISTENCE, value)], |_| {})
    }

    fn odd(&mut self, device: u8, at: u8, how: Odd) -> Event {
        let (at, n) = (at as usize % RECORDS.len(), self.written.len());
        let field = RECORDS[at].1[n % 3];
        let others = self.written.iter().map(|w| w.hash).take(8).collect::<BTreeSet<_>>();
        let stranger = self.office.said[1 + n % (PHONES.len() - 1)].1;
        let values = match how {
            Odd::UnknownField => vec![(UNKNOWN, Value::Int(n as i64))],
            _ => vec![(field, value(field, n))],
        };
        self.count("an odd change");
        self.write(device, at, values, |head| match how {
            Odd::UnknownField => {}
            Odd::Critical => head.crit = Some(vec![0x81, 1]),
            Odd::Request => head.kind = 1,
            Odd::Generation => head.generation += 1,
            Odd::Certificate => head.cert = stranger,
            Odd::OtherPreds => head.fields[0].preds = others.into_iter().collect(),
        })
    }

    fn meet(&mut self, to: u8, from: u8) -> Event {
        let (to, from) = (self.pick(to), self.pick(from));
        if self.devices[from].0.seen.is_subset(&self.devices[to].0.seen) {
            return Event::Nothing;
        }
        self.count("a meeting");
        let seen = self.devices[from].0.seen.clone();
        let (now, past) = &mut self.devices[to];
        past.push(now.clone());
        now.seen.extend(seen);
        Event::Met(to, from)
    }

    fn restore(&mut self, device: u8, steps: usize, same_log: bool) -> Event {
        let who = self.pick(device);
        let (now, past) = &mut self.devices[who];
        let steps = steps.min(past.len());
        if steps == 0 {
            return Event::Nothing;
        }
        *now = past[past.len() - steps].clone();
        past.truncate(past.len() - steps);
        if same_log {
            self.count("a device restored with its log");
        } else {
            let log = self.new_log(self.devices[who].0.phone);
            let now = &mut self.devices[who].0;
            (now.log, now.seq) = (log, 0);
            self.count("a device restored with a new log");
        }
        Event::Restored(who, steps)
    }
}
