//! A history played: which changes were written, in which logs, and what the office said.

mod say;
mod write;

use std::collections::{BTreeMap, BTreeSet};

use dooryard_core::{
    ids::{Hash32, LogId},
    log::Change,
};

use crate::{
    office::{self, Office, PHONES, RECORDS, value},
    ops::Op,
};

/// Devices at most, forked ones among them.
const DEVICES: usize = 7;

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
