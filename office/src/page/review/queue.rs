//! What awaits a reviewer, most urgent first, page by page.
//!
//! An entry is a scout's answer that nobody has reviewed, or an inquiry where somebody looked and named no cause. Stops come
//! first; then what needs an answer today, then this week; among equals by the most urgent reason, then what waits longest.
//!
//! The queue is held in memory and follows the notebook turn by turn, so that no page reads the whole of it.

use std::{
    collections::{BTreeMap, BTreeSet},
    fmt,
    ops::Bound,
    str::FromStr,
};

use dooryard_core::ids::RecordId;
use serde::{Deserialize, Serialize};

use super::{case::Answer, why::Why};

/// Where an entry stands in the order.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(super) struct Key {
    rank: u8,
    since_ms: i64,
    id: RecordId,
}

impl fmt::Display for Key {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}.{}.{}", self.rank, self.since_ms, self.id)
    }
}

impl FromStr for Key {
    type Err = ();

    fn from_str(text: &str) -> Result<Self, ()> {
        let mut parts = text.splitn(3, '.');
        let mut next = || parts.next().ok_or(());
        let (rank, since, id) = (next()?, next()?, next()?);
        Ok(Self {
            rank: rank.parse().map_err(drop)?,
            since_ms: since.parse().map_err(drop)?,
            id: id.parse().map_err(drop)?,
        })
    }
}

/// One answer that nobody has reviewed.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
pub(super) struct Entry {
    /// The diagnosis, or the inquiry where no cause was named.
    pub(super) id: RecordId,
    pub(super) inquiry: RecordId,
    /// Since when it waits, milliseconds since 1970.
    pub(super) since_ms: i64,
    /// Why it needs a reviewer; none where the rule does not ask for one.
    pub(super) reasons: BTreeSet<Why>,
    /// `today`, `this_week` or something else.
    pub(super) urgency: String,
    /// A reviewer has kept an answer and not decided yet: who.
    pub(super) begun: Option<String>,
}

impl Entry {
    pub(super) fn key(&self) -> Key {
        let soon = match (self.reasons.contains(&Why::Stop), self.urgency.as_str()) {
            (true, _) => 0,
            (false, "today") => 1,
            (false, "this_week") => 2,
            _ => 3,
        };
        let reason = self.reasons.first().map_or(9, |why| *why as u8);
        Key { rank: soon * 10 + reason, since_ms: self.since_ms, id: self.id }
    }

    /// Whether a reviewer is awaited.
    fn is_due(&self) -> bool {
        !self.reasons.is_empty() || self.begun.is_some()
    }
}

/// A cause in a season: the year and the cause.
type InSeason = (i16, String);

/// The whole queue.
#[derive(Clone, Default, PartialEq, Debug)]
pub(super) struct Queue {
    /// Every answer of an inquiry that lists may show; what stands open of it is in `open`.
    cases: BTreeMap<RecordId, Vec<Answer>>,
    /// Answers that nobody has reviewed.
    open: BTreeMap<RecordId, Entry>,
    /// Those of them that await a reviewer, in their order.
    due: BTreeSet<Key>,
    /// The same by reason.
    due_for: BTreeMap<Why, BTreeSet<Key>>,
    /// Who held a cause in a season, the first one first.
    held: BTreeMap<InSeason, BTreeSet<(i64, RecordId)>>,
    /// Answers that wait for a scout's or a laboratory's word.
    asked: usize,
}

/// One page of it.
pub(super) struct Page {
    pub(super) rows: Vec<Entry>,
    /// How many match on all pages.
    pub(super) total: usize,
    /// The key after which the next page begins.
    pub(super) later: Option<Key>,
    /// Whether something stands before this page.
    pub(super) earlier: bool,
}

impl Queue {
    /// Puts the answers of an inquiry in place of what was known of it.
    pub(super) fn put(&mut self, inquiry: RecordId, mut answers: Vec<Answer>) {
        let mut seasons: BTreeSet<InSeason> = BTreeSet::new();
        for answer in self.cases.remove(&inquiry).into_iter().flatten() {
            self.take_out(answer.id);
            self.asked -= usize::from(answer.asked);
            for season in answer.held {
                if let Some(all) = self.held.get_mut(&season) {
                    all.remove(&(answer.at_ms, answer.id));
                }
                seasons.insert(season);
            }
        }
        for answer in &mut answers {
            self.asked += usize::from(answer.asked);
            for season in &answer.held {
                self.held.entry(season.clone()).or_default().insert((answer.at_ms, answer.id));
                seasons.insert(season.clone());
            }
            if let Some(entry) = answer.entry.take() {
                self.open.insert(entry.id, entry);
            }
        }
        // Who came first may have changed for others, too: the one that is first now, and the one that was.
        let mut touched: BTreeSet<RecordId> = answers.iter().map(|answer| answer.id).collect();
        for season in &seasons {
            touched.extend(self.held.get(season).into_iter().flatten().take(2).map(|(_, id)| *id));
        }
        if !answers.is_empty() {
            self.cases.insert(inquiry, answers);
        }
        for id in touched {
            self.settle(id);
        }
    }

    /// Takes an entry out of all that holds it.
    fn take_out(&mut self, id: RecordId) -> Option<Entry> {
        let entry = self.open.remove(&id)?;
        let key = entry.key();
        self.due.remove(&key);
        for why in &entry.reasons {
            if let Some(keys) = self.due_for.get_mut(why) {
                keys.remove(&key);
            }
        }
        Some(entry)
    }

    /// Puts an entry in its place, as first of its cause or not.
    fn settle(&mut self, id: RecordId) {
        let Some(mut entry) = self.take_out(id) else { return };
        let answers = self.cases.get(&entry.inquiry).into_iter().flatten();
        let is_first = |season: &InSeason| self.held.get(season).and_then(BTreeSet::first).is_some_and(|f| f.1 == id);
        let first = answers.filter(|answer| answer.id == id).any(|answer| answer.held.iter().any(is_first));
        if first {
            entry.reasons.insert(Why::FirstReport);
        } else {
            entry.reasons.remove(&Why::FirstReport);
        }
        if entry.is_due() {
            let key = entry.key();
            self.due.insert(key);
            for why in &entry.reasons {
                self.due_for.entry(*why).or_default().insert(key);
            }
        }
        self.open.insert(id, entry);
    }

    /// Every inquiry that is known here.
    pub(super) fn knows(&self, inquiry: RecordId) -> bool {
        self.cases.contains_key(&inquiry)
    }

    /// How many await a reviewer.
    pub(super) fn len(&self) -> usize {
        self.due.len()
    }

    /// How many wait for a scout's or a laboratory's word.
    pub(super) fn asked(&self) -> usize {
        self.asked
    }

    /// For how many the rule asks no review.
    pub(super) fn spared(&self) -> usize {
        self.open.len() - self.due.len()
    }

    /// How many have each reason.
    pub(super) fn by_reason(&self) -> Vec<(Why, usize)> {
        Why::ALL.into_iter().map(|why| (why, self.due_for.get(&why).map_or(0, BTreeSet::len))).collect()
    }

    /// A page of at most `limit` rows after a key, of those with a reason where one is given.
    pub(super) fn page(&self, why: Option<Why>, after: Option<Key>, limit: usize) -> Page {
        let none = BTreeSet::new();
        let keys = why.map_or(&self.due, |why| self.due_for.get(&why).unwrap_or(&none));
        let from = after.map_or(Bound::Unbounded, Bound::Excluded);
        let found = keys.range((from, Bound::Unbounded)).filter_map(|key| self.open.get(&key.id));
        let mut rows: Vec<Entry> = found.take(limit + 1).cloned().collect();
        let more = rows.len() > limit;
        rows.truncate(limit);
        let later = if more { rows.last().map(Entry::key) } else { None };
        let earlier = after.zip(keys.first()).is_some_and(|(after, first)| *first <= after);
        Page { total: keys.len(), later, earlier, rows }
    }

    /// What awaits a reviewer of a subject.
    pub(super) fn entry(&self, id: RecordId) -> Option<&Entry> {
        self.open.get(&id).filter(|entry| entry.is_due())
    }

    /// The entries before and after a subject; for one that is not among them any more, the first.
    pub(super) fn beside(&self, id: RecordId) -> (Option<RecordId>, Option<RecordId>) {
        let Some(key) = self.entry(id).map(Entry::key) else {
            return (None, self.due.iter().map(|key| key.id).find(|other| *other != id));
        };
        let before = self.due.range(..key).next_back().map(|key| key.id);
        (before, self.due.range(key..).nth(1).map(|key| key.id))
    }
}
