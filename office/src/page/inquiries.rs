//! The list of inquiries: what matches, out of how many, and the choices that the filters offer.

use std::collections::{BTreeMap, BTreeSet};

use dooryard_core::{
    Result,
    ids::RecordId,
    notebook::{Notebook, Query, Summary},
    words::Words,
};

use super::{
    clash::cause_words,
    filter::Filter,
    names::Names,
    place,
    stops::plain_ids,
    words::{When, count, word},
};
use crate::ledger::{Ledger, every, opened_ms, stops};

/// Rows of a page.
const ROWS: usize = 40;

/// The list as the page shows it.
pub struct List {
    /// The filters in force.
    pub filter: Filter,
    /// Whether anything is filtered.
    pub narrowed: bool,
    /// `12 of 60 inquiries`, with what stands open.
    pub found: String,
    /// The heading of the rows.
    pub head: String,
    /// What is under seal, in a sentence; empty when nothing is.
    pub sealed: String,
    /// Filters to choose from.
    pub choices: Vec<Choice>,
    /// The rows.
    pub rows: Vec<Row>,
    /// What stands there when no row does.
    pub none: String,
    /// Address of the newer rows.
    pub earlier: Option<String>,
    /// Address of the older rows.
    pub later: Option<String>,
    /// `Rows 41 to 60 of 60`.
    pub span: String,
}

/// A filter with its options: (value, words, chosen).
pub struct Choice {
    /// Name in the address.
    pub name: &'static str,
    /// What people read.
    pub label: &'static str,
    /// The options.
    pub options: Vec<(String, String, bool)>,
}

/// One inquiry in the list.
pub struct Row {
    /// Its id.
    pub id: RecordId,
    /// The day it was opened.
    pub day: String,
    /// How it came.
    pub channel: String,
    /// Host and township.
    pub title: String,
    /// Summary, or the beginning of the resident's own words.
    pub words: String,
    /// The words are the resident's own.
    pub own_words: bool,
    /// Lines under the words: (reason, words).
    pub reasons: Vec<(String, String)>,
    /// Who has it and where it stands.
    pub who: String,
}

/// What a list needs beside the ledger.
pub struct Marks {
    /// Inquiries in which the words of the filter stand; `None` without words.
    pub with_words: Option<BTreeSet<RecordId>>,
    /// Fields in conflict by inquiry.
    pub conflicts: BTreeMap<RecordId, u64>,
}

impl Marks {
    /// Reads them.
    ///
    /// # Errors
    /// Of the notebook.
    pub fn read(notebook: &Notebook, ledger: &Ledger, words: &str) -> Result<Self> {
        let mut conflicts = BTreeMap::new();
        for row in every(notebook, &Query { in_conflict: true, ..Query::default() })? {
            for inquiry in ledger.inquiries_of(&row) {
                *conflicts.entry(inquiry).or_default() += u64::from(row.conflicts);
            }
        }
        let with_words = if words.trim().is_empty() {
            None
        } else {
            let hits = every(notebook, &Query { words: words.to_owned(), ..Query::default() })?;
            Some(hits.iter().flat_map(|row| ledger.inquiries_of(row)).collect())
        };
        Ok(Self { with_words, conflicts })
    }
}

/// Makes the list.
pub fn list_page(ledger: &Ledger, marks: &Marks, filter: &Filter, names: &Names, when: &When) -> List {
    let matching: Vec<&Summary> =
        ledger.inquiries.iter().filter(|i| matches(ledger, marks, filter, names, i)).collect();
    let pages = matching.len().div_ceil(ROWS).max(1);
    let page = filter.page.clamp(1, pages);
    let from = (page - 1) * ROWS;
    let shown = &matching[from..matching.len().min(from + ROWS)];
    let all = ledger.inquiries.len() as u64;
    let open = matching.iter().filter(|i| status(i) != "closed").count() as u64;
    let narrowed = filter.narrows();
    List {
        narrowed,
        found: format!(
            "{} of {}; {open} of {} not closed.",
            matching.len(),
            count(all, "inquiry", "inquiries"),
            matching.len()
        ),
        head: if narrowed { "Chosen".into() } else { "All".into() },
        sealed: sealed_words(ledger.sealed_records),
        choices: choices(ledger, filter, names),
        rows: shown.iter().map(|i| row(ledger, marks, i, names, when)).collect(),
        none: if all == 0 {
            "No inquiry has come yet. What to do: take in a bundle from a phone, then open this page again.".into()
        } else {
            format!(
                "None of {} is like this. What to do: take away a filter, or write fewer words.",
                count(all, "inquiry", "inquiries")
            )
        },
        earlier: (page > 1).then(|| filter.href(page - 1)),
        later: (page < pages).then(|| filter.href(page + 1)),
        span: format!("Rows {} to {} of {}", from + 1, from + shown.len(), matching.len()),
        filter: filter.clone(),
    }
}

/// That something is under seal, without saying what.
pub fn sealed_words(records: usize) -> String {
    match records {
        0 => String::new(),
        1 => "One sealed record exists. It is open to the educator only, and in no list or count here.".into(),
        n => format!("{n} sealed records exist. They are open to the educator only, and in no list or count here."),
    }
}

/// Where an inquiry stands; with no word from the office, it is open.
pub fn status(inquiry: &Summary) -> &str {
    inquiry.text("status").unwrap_or("open")
}

pub(crate) fn matches(ledger: &Ledger, marks: &Marks, f: &Filter, names: &Names, i: &Summary) -> bool {
    let is = |wanted: &str, found: Option<&str>| wanted.is_empty() || found == Some(wanted);
    marks.with_words.as_ref().is_none_or(|ids| ids.contains(&i.id) || names_match(ledger, names, i, &f.q))
        && is(&f.status, Some(status(i)))
        && (f.host.is_empty() || ledger.hosts_of(i.id).contains(&f.host.as_str()))
        && is(&f.township, ledger.site_of(i).and_then(|s| s.text("township")))
        && is(&f.scout, i.text("taken_by"))
        && (f.cause.is_empty()
            || !names.regulated.contains(&f.cause) && ledger.causes_of(i.id).iter().any(|(id, _)| *id == f.cause))
        && (f.stop.is_empty() || !stops(i.fields.get("stops")).is_empty())
        && (f.conflict.is_empty() || marks.conflicts.contains_key(&i.id))
}

/// Words also find names of the pack: the records hold only its ids. Every word has to begin one of them.
fn names_match(ledger: &Ledger, names: &Names, i: &Summary, q: &str) -> bool {
    let mut known: Vec<String> = ledger.hosts_of(i.id).into_iter().map(|h| names.host(h)).collect();
    known.extend(ledger.causes_of(i.id).into_iter().map(|(id, _)| names.cause(&id)));
    let known = known.join(" ").to_lowercase();
    let begins = |word: &str| known.split(|c: char| !c.is_alphanumeric()).any(|k| k.starts_with(word));
    !q.trim().is_empty() && q.to_lowercase().split_whitespace().all(begins)
}

fn choices(ledger: &Ledger, filter: &Filter, names: &Names) -> Vec<Choice> {
    let mut hosts: BTreeMap<String, String> = BTreeMap::new();
    let mut causes: BTreeMap<String, String> = BTreeMap::new();
    let (mut townships, mut scouts) = (BTreeSet::new(), BTreeSet::new());
    for i in &ledger.inquiries {
        hosts.extend(ledger.hosts_of(i.id).into_iter().map(|h| (h.to_owned(), names.host(h))));
        let open = ledger.causes_of(i.id).into_iter().filter(|(id, _)| !names.regulated.contains(id));
        causes.extend(open.map(|(id, _)| (names.cause(&id), id)).map(|(name, id)| (id, name)));
        townships.extend(ledger.site_of(i).and_then(|s| s.text("township")).map(str::to_owned));
        scouts.extend(i.text("taken_by").map(str::to_owned));
    }
    let same = |set: BTreeSet<String>| set.into_iter().map(|v| (v.clone(), v)).collect::<Vec<_>>();
    let by_name = |map: BTreeMap<String, String>| {
        let mut rows: Vec<(String, String)> = map.into_iter().collect();
        rows.sort_by(|a, b| a.1.cmp(&b.1));
        rows
    };
    let statuses = ["open", "waiting", "answered", "closed"].map(|s| (s.to_owned(), s.to_owned()));
    let choice = |name, label, wanted: &str, rows: Vec<(String, String)>| Choice {
        name,
        label,
        options: rows
            .into_iter()
            .map(|(value, words)| (value == wanted, value, words))
            .map(|(on, v, w)| (v, w, on))
            .collect(),
    };
    vec![
        choice("status", "Where it stands", &filter.status, statuses.to_vec()),
        choice("host", "Plant", &filter.host, by_name(hosts)),
        choice("township", "Township", &filter.township, same(townships)),
        choice("scout", "Taken by", &filter.scout, same(scouts)),
        choice("cause", "Cause named", &filter.cause, by_name(causes)),
    ]
}

fn row(ledger: &Ledger, marks: &Marks, i: &Summary, names: &Names, when: &When) -> Row {
    let hosts: Vec<String> = ledger.hosts_of(i.id).into_iter().map(|h| names.host(h)).collect();
    let what = if hosts.is_empty() { "No plant yet".to_owned() } else { hosts.join("; ") };
    let township =
        ledger.site_of(i).and_then(|s| s.text("township")).map(|name| place::township(name, Words::default()));
    let own_words = i.text("summary").is_none();
    let words = i.text("summary").or_else(|| i.text("question")).unwrap_or_default();
    let short: String = words.chars().take(160).collect();
    let mut reasons = Vec::new();
    for stop in plain_ids(stops(i.fields.get("stops"))) {
        reasons.push((format!("{}.", names.stop_head(stop)), String::new()));
    }
    if let Some(n) = marks.conflicts.get(&i.id) {
        reasons.push(("Two phones disagree".into(), format!("on {}; all are kept.", count(*n, "value", "values"))));
    }
    let causes = ledger.causes_of(i.id);
    if !causes.is_empty() {
        let named: Vec<String> = causes.iter().map(|(id, p)| cause_words(id, *p, names)).collect();
        let status = ledger.diagnoses[&i.id].first().and_then(|d| d.text("status")).unwrap_or("presumptive");
        reasons.push((format!("{}:", super::words::sentence_case(status)), format!("{}.", named.join("; "))));
    }
    Row {
        id: i.id,
        day: when.day_ms(opened_ms(i)),
        channel: i.text("channel").map(word).unwrap_or_default(),
        title: township.map_or_else(|| what.clone(), |t| format!("{what}, {t}")),
        words: if short.len() < words.len() { format!("{short}…") } else { short },
        own_words,
        reasons,
        who: format!("{}, {}", i.text("taken_by").unwrap_or("Nobody wrote down who"), status(i)),
    }
}
