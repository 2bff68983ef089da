//! What awaits a reviewer, most urgent first, page by page.
//!
//! An entry is a scout's answer that nobody has reviewed, or an inquiry where somebody looked and named no cause. Stops come
//! first; then what needs an answer today, then this week; among equals by the most urgent reason, then what waits longest.

use std::{
    collections::{BTreeMap, BTreeSet},
    fmt,
    str::FromStr,
};

use dooryard_core::{
    Result,
    ids::RecordId,
    key::Pack,
    notebook::{Notebook, Query, Summary},
    record::Kind,
};
use jiff::civil::Date;

use super::{
    around::Around,
    why::{self, Why},
};
use crate::{
    ledger::{Ledger, every, named_causes, opened_ms, reference},
    page::{Names, instant_ms, words::day_of_ms},
};

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

/// One answer that awaits a reviewer.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct Entry {
    /// The diagnosis, or the inquiry where no cause was named.
    pub(super) id: RecordId,
    pub(super) inquiry: RecordId,
    /// Since when it waits, milliseconds since 1970.
    pub(super) since_ms: i64,
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
}

/// How far the review of an answer is.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) enum Stage {
    /// Nobody has decided; somebody may have kept an answer of their own.
    Open(Option<String>),
    /// Something was asked of the scout or the laboratory, and no word has come.
    Asked,
    /// Decided.
    Done,
}

/// The whole queue.
pub(super) struct Queue {
    entries: BTreeMap<Key, Entry>,
    /// The inquiries behind it.
    pub(super) ledger: Ledger,
    /// Answers that wait for a scout's or a laboratory's word.
    pub(super) asked: usize,
    /// Answers for which the rule asks no review.
    pub(super) not_drawn: usize,
}

/// One page of it.
pub(super) struct Page<'a> {
    pub(super) rows: Vec<&'a Entry>,
    /// How many match on all pages.
    pub(super) total: usize,
    /// The key after which the next page begins.
    pub(super) later: Option<Key>,
    /// Whether something stands before this page.
    pub(super) earlier: bool,
}

impl Queue {
    /// Works it out from the notebook as it stands.
    ///
    /// # Errors
    /// Of the notebook.
    pub(super) fn read(notebook: &Notebook, pack: &Pack, names: &Names) -> Result<Self> {
        let ledger = Ledger::read(notebook, &names.suspect)?;
        let reviews = by_subject(every(notebook, &Query { kind: Some(Kind::Review), ..Query::default() })?);
        let visits = every(notebook, &Query { kind: Some(Kind::Visit), ..Query::default() })?;
        let visited: BTreeSet<RecordId> = visits.iter().filter_map(|v| reference(v, "inquiry")).collect();
        let firsts = firsts(&ledger, names);
        let (mut entries, mut waiting, mut not_drawn) = (BTreeMap::new(), 0, 0);
        for inquiry in &ledger.inquiries {
            let answers = ledger.diagnoses.get(&inquiry.id).map_or(&[][..], Vec::as_slice);
            let own: Vec<Option<&Summary>> = match answers {
                [] if visited.contains(&inquiry.id) && is_open(inquiry) => vec![None],
                _ => answers.iter().filter(|d| is_presumptive(d)).map(Some).collect(),
            };
            if own.is_empty() {
                continue;
            }
            let around = Around::read(notebook, inquiry.clone())?;
            for diagnosis in own {
                let id = diagnosis.map_or(inquiry.id, |d| d.id);
                let asked = around.of(Kind::FollowUp).any(|f| !is_answered(f));
                let sampled = around.of(Kind::Sample).any(|s| s.text("result").is_none());
                match stage(reviews.get(&id).map_or(&[][..], Vec::as_slice), asked, sampled) {
                    Stage::Done => {}
                    Stage::Asked => waiting += 1,
                    Stage::Open(begun) => {
                        let first = diagnosis.is_some_and(|d| firsts.contains(&d.id));
                        let reasons = why::reasons(pack, &around, diagnosis, first);
                        if reasons.is_empty() && begun.is_none() {
                            not_drawn += 1;
                            continue;
                        }
                        let since_ms = diagnosis.map_or_else(|| opened_ms(inquiry), at_ms);
                        let urgency = inquiry.text("urgency").unwrap_or_default().to_owned();
                        let entry = Entry { id, inquiry: inquiry.id, since_ms, reasons, urgency, begun };
                        entries.insert(entry.key(), entry);
                    }
                }
            }
        }
        Ok(Self { entries, ledger, asked: waiting, not_drawn })
    }

    /// How many await a reviewer.
    pub(super) fn len(&self) -> usize {
        self.entries.len()
    }

    /// How many have each reason.
    pub(super) fn by_reason(&self) -> Vec<(Why, usize)> {
        let count = |why| self.entries.values().filter(|entry| entry.reasons.contains(&why)).count();
        Why::ALL.into_iter().map(|why| (why, count(why))).collect()
    }

    /// A page of at most `limit` rows after a key, of those with a reason where one is given.
    pub(super) fn page(&self, why: Option<Why>, after: Option<Key>, limit: usize) -> Page<'_> {
        let has = |entry: &&Entry| why.is_none_or(|why| entry.reasons.contains(&why));
        let all = || self.entries.values().filter(has);
        let from = |entry: &&Entry| after.is_none_or(|key| entry.key() > key);
        let mut rows: Vec<&Entry> = all().filter(from).take(limit + 1).collect();
        let more = rows.len() > limit;
        rows.truncate(limit);
        let later = if more { rows.last().map(|entry| entry.key()) } else { None };
        let earlier = after.is_some() && all().any(|entry| !from(&entry));
        Page { total: all().count(), later, earlier, rows }
    }

    /// The entry of a subject.
    pub(super) fn entry(&self, id: RecordId) -> Option<&Entry> {
        self.entries.values().find(|entry| entry.id == id)
    }

    /// The entries before and after a subject, of those with a reason where one is given; for one that is not among them
    /// any more, the first.
    pub(super) fn beside(&self, id: RecordId, why: Option<Why>) -> (Option<RecordId>, Option<RecordId>) {
        let all: Vec<RecordId> =
            self.entries.values().filter(|e| why.is_none_or(|why| e.reasons.contains(&why))).map(|e| e.id).collect();
        match all.iter().position(|other| *other == id) {
            Some(at) => (at.checked_sub(1).and_then(|at| all.get(at)).copied(), all.get(at + 1).copied()),
            None => (None, all.first().copied()),
        }
    }
}

/// Reviews by what they are of, oldest first.
fn by_subject(reviews: Vec<Summary>) -> BTreeMap<RecordId, Vec<Summary>> {
    let mut map: BTreeMap<RecordId, Vec<Summary>> = BTreeMap::new();
    for review in reviews {
        if let Some(subject) = reference(&review, "diagnosis").or_else(|| reference(&review, "inquiry")) {
            map.entry(subject).or_default().push(review);
        }
    }
    map
}

/// How far it is: what was decided says so. `asked` says that a question is not answered yet, `sampled` that a laboratory's
/// result has not come; once they have, it is open again.
pub(super) fn stage(reviews: &[Summary], asked: bool, sampled: bool) -> Stage {
    let mut stage = Stage::Open(None);
    for review in reviews {
        match review.text("decision") {
            Some("ask_back") if asked => stage = Stage::Asked,
            Some("sample") if sampled => stage = Stage::Asked,
            Some("ask_back" | "sample") => {}
            Some(_) => return Stage::Done,
            None if review.fields.contains_key("agrees") => return Stage::Done,
            // A review from before decisions were written down, with words alone.
            None if !review.fields.contains_key("blind") => return Stage::Done,
            None if stage == Stage::Open(None) => {
                stage = Stage::Open(Some(review.text("reviewer").unwrap_or_default().to_owned()));
            }
            None => {}
        }
    }
    stage
}

pub(super) fn is_answered(follow_up: &Summary) -> bool {
    follow_up.fields.contains_key("answered") || follow_up.fields.contains_key("answer")
}

fn is_open(inquiry: &Summary) -> bool {
    !matches!(inquiry.text("status"), Some("answered" | "closed"))
}

fn is_presumptive(diagnosis: &Summary) -> bool {
    matches!(diagnosis.text("status"), None | Some("presumptive"))
}

/// When an answer was given, milliseconds since 1970.
fn at_ms(diagnosis: &Summary) -> i64 {
    diagnosis.text("at").and_then(instant_ms).unwrap_or(diagnosis.changed_ms)
}

/// The answers that are the first of a season to hold one of their causes. A season is a year.
fn firsts(ledger: &Ledger, names: &Names) -> BTreeSet<RecordId> {
    let mut first: BTreeMap<(i16, String), (i64, RecordId)> = BTreeMap::new();
    let listed: BTreeSet<RecordId> = ledger.inquiries.iter().map(|i| i.id).collect();
    for (_, answers) in ledger.diagnoses.iter().filter(|(inquiry, _)| listed.contains(inquiry)) {
        for diagnosis in answers {
            let at = at_ms(diagnosis);
            let Some(year) = day_of_ms(at).map(Date::year) else { continue };
            for (cause, percent) in named_causes(diagnosis.fields.get("causes")) {
                if names.regulated.contains(&cause) || percent.is_none_or(|p| p < why::HELD) {
                    continue;
                }
                let known = first.entry((year, cause)).or_insert((at, diagnosis.id));
                *known = (*known).min((at, diagnosis.id));
            }
        }
    }
    first.into_values().map(|(_, id)| id).collect()
}
