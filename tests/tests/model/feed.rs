//! A history on its way into a store: as it happened, or in any order, repeated, split, with a restore in between.

use std::collections::BTreeSet;

use dooryard_core::{
    ids::{DeviceId, Hash32, LogId, OfficeId},
    log::{Body, Change, Segment, Slot},
};
use rand::{Rng, seq::SliceRandom};
use rand_chacha::ChaCha8Rng;

use crate::play::{Counts, Event, Play, Written};

/// One take.
#[derive(Clone)]
pub enum Take {
    /// Changes.
    Row(Row),
    /// Statements, by their number.
    Said(Vec<usize>),
    /// The store is backed up.
    BackUp,
    /// The backup takes the store's place.
    Restore,
}

/// Changes that follow each other in a log.
#[derive(Clone)]
pub struct Row {
    log: LogId,
    prev: Hash32,
    lost: Vec<Hash32>,
    numbers: Vec<usize>,
    changes: Vec<Change>,
}

impl Row {
    /// The segment that brings them.
    pub fn segment(&self, office: &OfficeId) -> Segment {
        Segment::after_lost(office, self.log, self.prev, self.lost.clone(), self.changes.clone())
    }

    /// The changes of these numbers; the first `told` of them are reported lost, as are those before them that nobody has.
    fn new(play: &Play, numbers: &[usize], told: usize) -> Self {
        let first = &play.written[numbers[0]];
        let (mut prev, mut lost) = (first.prev, Vec::new());
        let mut gone = before(play, first).filter(|n| play.lost.contains(n));
        while let Some(n) = gone {
            let written = &play.written[n];
            lost.insert(0, written.hash);
            prev = written.prev;
            gone = before(play, written).filter(|n| play.lost.contains(n));
        }
        let (told, here) = numbers.split_at(told);
        lost.extend(told.iter().map(|n| play.written[*n].hash));
        let as_sent = |n: &usize| {
            let change = play.written[*n].change.clone();
            if play.withheld.contains(n) { without_words(change) } else { change }
        };
        let changes = here.iter().map(as_sent).collect();
        Self { log: first.log, prev, lost, numbers: here.to_vec(), changes }
    }
}

/// The number of the change before another one in its log.
fn before(play: &Play, written: &Written) -> Option<usize> {
    play.written.iter().position(|w| w.log == written.log && w.hash == written.prev)
}

fn without_words(mut change: Change) -> Change {
    for slot in &mut change.slots {
        *slot = Slot::Absent(slot.commit());
    }
    change
}

/// Everything in the order in which it happened, one by one.
pub fn as_it_happened(play: &Play) -> Vec<Take> {
    let takes = play.order.iter().filter_map(|event| match event {
        Event::Wrote(_, n) => (!play.lost.contains(n)).then(|| Take::Row(Row::new(play, &[*n], 0))),
        Event::Said(n) => Some(Take::Said(vec![*n])),
        _ => None,
    });
    takes.collect()
}

/// These changes one by one, in any order, with all that the office said among them.
pub fn these(play: &Play, numbers: &BTreeSet<usize>, random: &mut ChaCha8Rng) -> Vec<Take> {
    let rows = numbers.iter().map(|n| Take::Row(Row::new(play, &[*n], 0)));
    let mut takes: Vec<Take> = rows.chain((0..play.office.said.len()).map(|n| Take::Said(vec![n]))).collect();
    takes.shuffle(random);
    takes
}

/// Everything in another order: rows of changes cut at random, some of them again, some without their words too; statements
/// among them, before or behind them; and in some orders a backup that takes the store's place later, after which all that had
/// come since comes again.
pub fn shuffled(play: &Play, random: &mut ChaCha8Rng, counts: &mut Counts) -> Vec<Take> {
    let mut count = |what, n: usize| *counts.entry(what).or_default() += n as u64;
    let mut pieces = Vec::new();
    for row in rows(play) {
        let mut rest = row.as_slice();
        while !rest.is_empty() {
            let (cut, left) = rest.split_at(random.random_range(1..=rest.len().min(6)));
            rest = left;
            pieces.push(Row::new(play, cut, 0));
            count("rows split", usize::from(!left.is_empty()));
            if random.random_bool(0.25) {
                count("changes taken again", cut.len());
                pieces.push(Row::new(play, &cut[random.random_range(0..cut.len())..], 0));
            }
            if random.random_bool(0.1) {
                let told = random.random_range(0..cut.len());
                count("changes reported lost that come all the same", told);
                pieces.push(Row::new(play, cut, told));
            }
            if random.random_bool(0.15) {
                count("changes that come without their words too", cut.len());
                let mut bare = Row::new(play, cut, 0);
                bare.changes = bare.changes.into_iter().map(without_words).collect();
                pieces.push(bare);
            }
        }
    }
    let mut pieces: Vec<Take> = pieces.into_iter().map(Take::Row).collect();
    let mut said: Vec<Take> = (0..play.office.said.len()).map(|n| Take::Said(vec![n])).collect();
    let again: Vec<Take> = said.iter().filter(|_| random.random_bool(0.1)).cloned().collect();
    count("statements taken again", again.len());
    said.extend(again);
    pieces.shuffle(random);
    said.shuffle(random);
    let takes = match random.random_range(0..4) {
        0 => [said, pieces].concat(),
        1 => [pieces, said].concat(),
        _ => {
            let mut mixed = [pieces, said].concat();
            mixed.shuffle(random);
            mixed
        }
    };
    let takes = joined(takes, random);
    if random.random_bool(0.5) {
        return takes;
    }
    count("a store restored", 1);
    restored(takes, random)
}

/// The rows of each log: from its first change, or from where another row leaves it, to a change that no other follows. Lost
/// changes part a row.
fn rows(play: &Play) -> Vec<Vec<usize>> {
    let followed: BTreeSet<(LogId, Hash32)> = play.written.iter().map(|w| (w.log, w.prev)).collect();
    let (mut covered, mut rows) = (BTreeSet::new(), Vec::new());
    for (n, written) in play.written.iter().enumerate() {
        if followed.contains(&(written.log, written.hash)) {
            continue;
        }
        let (mut row, mut at) = (Vec::new(), Some(n));
        while let Some(n) = at.filter(|n| covered.insert(*n)) {
            row.push(n);
            at = before(play, &play.written[n]);
        }
        row.reverse();
        rows.extend(row.split(|n| play.lost.contains(n)).filter(|row| !row.is_empty()).map(<[usize]>::to_vec));
    }
    rows
}

/// Statements that stand next to each other, some of them in one take.
fn joined(takes: Vec<Take>, random: &mut ChaCha8Rng) -> Vec<Take> {
    let mut joined: Vec<Take> = Vec::new();
    for take in takes {
        match (joined.last_mut(), take) {
            (Some(Take::Said(all)), Take::Said(more)) if random.random_bool(0.5) => all.extend(more),
            (_, take) => joined.push(take),
        }
    }
    joined
}

/// The same with a backup at some place that takes the store's place at a later one.
fn restored(takes: Vec<Take>, random: &mut ChaCha8Rng) -> Vec<Take> {
    let (one, other) = (random.random_range(0..=takes.len()), random.random_range(0..=takes.len()));
    let (before, since) = takes.split_at(one.min(other));
    let mut again = since.to_vec();
    again.shuffle(random);
    let gone = &takes[before.len()..one.max(other)];
    [before, &[Take::BackUp], gone, &[Take::Restore], &again].concat()
}

/// Counts which statements came before a change that they are about, and which after one.
pub fn count_early_and_late(play: &Play, takes: &[Take], counts: &mut Counts) {
    let mut here: BTreeSet<usize> = BTreeSet::new();
    for take in takes {
        match take {
            Take::Row(row) => here.extend(&row.numbers),
            Take::Said(said) => {
                for body in said.iter().map(|n| &play.office.said[*n].0.body) {
                    let Some((early, late, about)) = about(play, body) else { continue };
                    let (came, comes): (Vec<usize>, Vec<usize>) = about.iter().partition(|n| here.contains(n));
                    *counts.entry(early).or_default() += u64::from(!comes.is_empty());
                    *counts.entry(late).or_default() += u64::from(!came.is_empty());
                }
            }
            Take::BackUp | Take::Restore => {}
        }
    }
}

/// The numbers of the changes that a statement decides on, with words for its coming before and after one of them.
fn about(play: &Play, body: &Body) -> Option<(&'static str, &'static str, BTreeSet<usize>)> {
    let these = |pick: &dyn Fn(&Written) -> bool| {
        let picked = play.written.iter().enumerate().filter(|(n, w)| !play.lost.contains(n) && pick(w));
        picked.map(|(n, _)| n).collect()
    };
    Some(match body {
        Body::Cert(cert) => {
            let device = DeviceId::of_key(&cert.key);
            ("a certificate early", "a certificate late", these(&|w| w.log.device == device))
        }
        Body::Revoke { device, .. } => ("a revocation early", "a revocation late", these(&|w| w.log.device == *device)),
        Body::Admit { change, .. } => ("an admission early", "an admission late", these(&|w| w.hash == *change)),
        Body::Refuse { change, .. } => ("a refusal early", "a refusal late", these(&|w| w.hash == *change)),
        Body::Erase { rec, generation, .. } => {
            let covered = |w: &Written| w.change.head.rec == *rec && w.change.head.generation < *generation;
            ("an erasure early", "an erasure late", these(&covered))
        }
        Body::Clock { log, .. } => ("a correction early", "a correction late", these(&|w| w.log == *log)),
        Body::Assign { rec, .. } => {
            ("an assignment early", "an assignment late", these(&|w| w.change.head.rec == *rec))
        }
    })
}
