//! The same answers from a walk over every record, and both held against each other.

use std::collections::{BTreeMap, BTreeSet};

use dooryard_core::{
    ids::RecordId,
    notebook::{Notebook, Query, Summary},
    record::{Kind, Privacy, Type},
};
use rusqlite::types::Value;

use crate::{
    counts::{Counts, may_count},
    index::{Ask, From, Index, LaterKey, Stand, What},
    ledger::{Ledger, every, opened_ms, status, stops},
    page::{Names, When},
};

/// Every inquiry of an ask, page by page, forwards; and backwards the same.
fn listed(index: &Index, ask: &Ask) -> Vec<RecordId> {
    let (mut from, mut forwards, mut last) = (From::Newest, Vec::new(), None);
    loop {
        let page = index.page(ask, from, 3).unwrap();
        forwards.extend(page.rows.iter().map(|row| row.key.id));
        assert_eq!(page.total, index.page(ask, From::Newest, 1).unwrap().total);
        last = page.rows.last().map(|row| row.key).or(last);
        match page.older {
            Some(older) => from = older,
            None => {
                assert_eq!(page.total, forwards.len() as u64, "{ask:?}");
                break;
            }
        }
    }
    let mut backwards: Vec<RecordId> = last.iter().map(|key| key.id).collect();
    let mut from = last.map(From::Before);
    while let Some(before) = from {
        let page = index.page(ask, before, 3).unwrap();
        backwards.extend(page.rows.iter().rev().map(|row| row.key.id));
        from = page.newer;
    }
    backwards.reverse();
    assert_eq!(forwards, backwards, "{ask:?}");
    forwards
}

struct Walk {
    ledger: Ledger,
    conflicts: BTreeMap<RecordId, u64>,
    rows: Vec<Summary>,
}

impl Walk {
    fn hits(&self, notebook: &Notebook, words: &str) -> BTreeSet<RecordId> {
        let hits = every(notebook, &Query { words: words.into(), ..Query::default() }).unwrap();
        hits.iter().flat_map(|row| self.ledger.inquiries_of(row)).collect()
    }

    fn of(&self, inquiry: &Summary, kind: Kind) -> impl Iterator<Item = &Summary> {
        let id = inquiry.id;
        self.rows.iter().filter(move |row| row.kind == kind && self.ledger.inquiries_of(row).contains(&id))
    }
}

/// Holds every answer of the index against a walk over the notebook.
pub fn agree(index: &Index, notebook: &Notebook, names: &Names, when: &str) {
    let walk = {
        let ledger = Ledger::read(notebook, &names.suspect).unwrap();
        let mut conflicts = BTreeMap::new();
        for row in every(notebook, &Query { in_conflict: true, ..Query::default() }).unwrap() {
            for inquiry in ledger.inquiries_of(&row) {
                *conflicts.entry(inquiry).or_default() += u64::from(row.conflicts);
            }
        }
        Walk { ledger, conflicts, rows: every(notebook, &Query::default()).unwrap() }
    };
    let l = &walk.ledger;
    let ids = |matches: &dyn Fn(&Summary) -> bool| -> Vec<RecordId> {
        l.inquiries.iter().filter(|i| matches(i)).map(|i| i.id).collect()
    };
    assert_eq!(listed(index, &Ask::default()), ids(&|_| true), "{when}: all");
    assert_eq!(index.inquiries().unwrap(), l.inquiries.len() as u64, "{when}");
    assert_eq!(index.sealed_records().unwrap(), l.sealed_records as u64, "{when}: sealed");
    for id in l.inquiries.iter().map(|i| i.id).chain(l.sealed.iter().copied()) {
        assert_eq!(index.is_sealed(id).unwrap(), l.sealed.contains(&id), "{when}: {id}");
    }
    let same = |ask: Ask, matches: &dyn Fn(&Summary) -> bool| {
        assert_eq!(listed(index, &ask), ids(matches), "{when}: {ask:?}");
        let open = l.inquiries.iter().filter(|i| matches(i) && status(i) != "closed").count() as u64;
        assert_eq!(index.page(&ask, From::Newest, 1).unwrap().open, open, "{when}: {ask:?}");
    };
    let site = |i: &Summary, field: &str| l.site_of(i).and_then(|s| s.text(field)).map(str::to_owned);
    for word in ["open", "waiting", "answered", "closed"] {
        same(Ask { status: word.into(), ..Ask::default() }, &|i| status(i) == word);
        let ask = Ask { status: word.into(), township: "Sedge".into(), stop: true, ..Ask::default() };
        same(ask, &|i| {
            status(i) == word
                && site(i, "township").as_deref() == Some("Sedge")
                && !stops(i.fields.get("stops")).is_empty()
        });
    }
    for host in ["oak", "rose", "tomato_family", "none_such"] {
        same(Ask { host: host.into(), ..Ask::default() }, &|i| l.hosts_of(i.id).contains(&host));
    }
    for cause in ["girdling_roots", "planted_too_deep", "made_up_regulated"] {
        same(Ask { cause: cause.into(), ..Ask::default() }, &|i| {
            !names.regulated.contains(cause) && l.causes_of(i.id).iter().any(|(id, _)| id == cause)
        });
    }
    for word in ["presumptive", "reviewed", "laboratory"] {
        same(Ask { diagnosis: word.into(), ..Ask::default() }, &|i| {
            let newest = l.diagnoses.get(&i.id).and_then(|d| d.first());
            newest.is_some_and(|d| d.text("status").unwrap_or("presumptive") == word)
        });
    }
    for n in 1..=3 {
        let scout = format!("Scout {n}");
        same(Ask { scout: scout.clone(), ..Ask::default() }, &|i| i.text("taken_by") == Some(&scout));
    }
    same(Ask { stop: true, ..Ask::default() }, &|i| !stops(i.fields.get("stops")).is_empty());
    same(Ask { conflict: true, ..Ask::default() }, &|i| walk.conflicts.contains_key(&i.id));
    same(Ask { review: "random".into(), ..Ask::default() }, &|i| {
        walk.of(i, Kind::Review).any(|r| r.text("reason") == Some("random"))
    });
    same(Ask { due: "2026-06-10".parse().ok(), ..Ask::default() }, &|i| {
        let mut open = walk.of(i, Kind::FollowUp).filter(|f| !f.is_done());
        open.any(|f| f.text("due").is_some_and(|due| due <= "2026-06-10"))
    });
    let day = |i: &Summary| When::at_ms(opened_ms(i)).today();
    let (first, last) = ("2026-05-08".parse().unwrap(), "2026-05-20".parse().unwrap());
    let days = Ask { from: Some(first), to: Some(last), ..Ask::default() };
    let in_days = |i: &Summary| day(i) >= first && day(i) <= last;
    same(days.clone(), &in_days);
    for words in ["heron", "her", "crane spots", "teal gate", "leaf", "scout 2", "none such", "oak", "quercus \"* OR"] {
        // A word without a letter asks nothing.
        let words_of = || words.split_whitespace().filter(|w| w.contains(char::is_alphanumeric));
        let hits: Vec<BTreeSet<RecordId>> = words_of().map(|word| walk.hits(notebook, word)).collect();
        let named = |i: &Summary, word: &str| {
            let known = l.hosts_of(i.id).into_iter().map(|h| names.host(h));
            let known: Vec<String> =
                known.chain(l.causes_of(i.id).iter().map(|(id, _)| names.cause(id))).chain([i.id.short()]).collect();
            let (known, word) = (known.join(" ").to_lowercase(), word.to_lowercase());
            known.split(|c: char| !c.is_alphanumeric()).any(|k| k.starts_with(&word))
        };
        let everywhere = |i: &Summary| words_of().zip(&hits).all(|(w, hits)| hits.contains(&i.id) || named(i, w));
        same(Ask { words: words.into(), ..Ask::default() }, &everywhere);
        let names_only = Ask { words: words.into(), names_only: true, ..Ask::default() };
        same(names_only, &|i| words_of().all(|word| named(i, word)));
    }
    assert_eq!(index.counts(&Ask::default()).unwrap(), Counts::of(l, names), "{when}: counts");
    let ask = Ask { host: "oak".into(), ..days.clone() };
    let groups = |key: &dyn Fn(&Summary) -> (String, String)| {
        let mut groups: BTreeMap<(String, String), u64> = BTreeMap::new();
        for i in l.inquiries.iter().filter(|i| may_count(i) && in_days(i) && l.hosts_of(i.id).contains(&"oak")) {
            *groups.entry(key(i)).or_default() += 1;
        }
        groups
    };
    let place = |i: &Summary, field: &str| site(i, field).unwrap_or_default();
    let placed = index.places(&ask).unwrap().into_iter().map(|(township, cell, n)| ((township, cell), n));
    assert!(placed.eq(groups(&|i| (place(i, "township"), place(i, "cell")))), "{when}: places");
    let weeks = index.answered_by_week(&ask).unwrap().into_iter().map(|(week, (n, _))| ((week, String::new()), n));
    assert!(weeks.eq(groups(&|i| (crate::index::case::week_of(day(i)), String::new()))), "{when}: weeks");
    check_weeks(index, &days, when);
    let set = |of: &dyn Fn(&Summary) -> Vec<String>| -> Vec<String> {
        l.inquiries.iter().flat_map(of).collect::<BTreeSet<_>>().into_iter().collect()
    };
    let offered = [
        set(&|i| site(i, "township").into_iter().collect()),
        set(&|i| i.text("taken_by").map(str::to_owned).into_iter().collect()),
        set(&|i| l.hosts_of(i.id).into_iter().map(str::to_owned).collect()),
        set(&|i| l.causes_of(i.id).into_iter().map(|(id, _)| id).filter(|id| !names.regulated.contains(id)).collect()),
    ];
    assert_eq!(index.offered().unwrap(), offered, "{when}");
    check_halted(index, l, names, when);
    check_later(index, &walk, when);
    check_kept(index, &walk, notebook, when);
}

/// Inquiries that stand open with a stop that halts, and where each stands.
fn check_halted(index: &Index, l: &Ledger, names: &Names, when: &str) {
    let halts = |i: &&Summary| stops(i.fields.get("stops")).into_iter().any(|s| !names.mild.contains(s));
    let halted: Vec<RecordId> =
        l.inquiries.iter().filter(|i| matches!(status(i), "open" | "waiting")).filter(halts).map(|i| i.id).collect();
    let newest: Vec<RecordId> = halted.iter().take(3).copied().collect();
    assert_eq!(index.halted(3).unwrap(), (halted.len() as u64, newest), "{when}: halted");
    for word in ["open", "waiting", "answered", "closed"] {
        let n = l.inquiries.iter().filter(|i| status(i) == word).count() as u64;
        assert_eq!(index.standing(word).unwrap(), n, "{when}: {word}");
    }
    for id in l.inquiries.iter().map(|i| i.id) {
        let text = id.to_string();
        assert_eq!(index.ending(&text[text.len() - 12..]).unwrap(), [id], "{when}: by the end of its number");
    }
}

/// What is to be asked later, of everybody and of one, whole and page by page.
fn check_later(index: &Index, walk: &Walk, when: &str) {
    let today: jiff::civil::Date = "2026-06-10".parse().unwrap();
    for by in [None, Some("Admin 2")] {
        let listed: BTreeSet<RecordId> = walk.ledger.inquiries.iter().map(|i| i.id).collect();
        let mut parts: BTreeMap<Stand, Vec<(String, RecordId, RecordId)>> = BTreeMap::new();
        for f in walk.rows.iter().filter(|row| row.kind == Kind::FollowUp) {
            let Some(inquiry) = walk.ledger.owner(f).filter(|id| listed.contains(id)) else { continue };
            if by.is_some_and(|by| f.text("by") != Some(by)) {
                continue;
            }
            let due = f.text("due").unwrap_or("~").to_owned();
            let (stand, day) = if f.is_done() {
                (Stand::Done, f.text("answered").map_or(due, str::to_owned))
            } else if due == "~" {
                (Stand::Coming, due)
            } else {
                match due.as_str().cmp("2026-06-10") {
                    std::cmp::Ordering::Less => (Stand::Late, due),
                    std::cmp::Ordering::Equal => (Stand::Today, due),
                    std::cmp::Ordering::Greater => (Stand::Coming, due),
                }
            };
            parts.entry(stand).or_default().push((day, f.id, inquiry));
        }
        let counts = Stand::ALL.map(|stand| parts.get(&stand).map_or(0, Vec::len) as u64);
        assert_eq!(index.later_counts(today, by).unwrap(), counts, "{when}: {by:?}");
        for stand in Stand::ALL {
            let mut expected = parts.remove(&stand).unwrap_or_default();
            expected.sort();
            if stand == Stand::Done {
                expected.reverse();
            }
            let expected: Vec<_> = expected.into_iter().map(|(_, id, inquiry)| (id, inquiry)).collect();
            let (mut found, mut after) = (Vec::new(), None);
            loop {
                let page = index.later(stand, today, by, after.as_ref(), 2).unwrap();
                found.extend(page.iter().map(|later| (later.key.id, later.inquiry)));
                let Some(last) = page.last() else { break };
                after = Some(last.key.to_string().parse::<LaterKey>().unwrap());
            }
            assert_eq!(found, expected, "{when}: {stand:?} {by:?}");
        }
    }
}

/// Closed inquiries with private words in anything that hangs on them, taken away or not.
fn check_kept(index: &Index, walk: &Walk, notebook: &Notebook, when: &str) {
    let all = every(notebook, &Query { with_hidden: true, ..Query::default() }).unwrap();
    let is_private = |row: &&Summary| {
        let record = notebook.show(row.id).unwrap();
        let private = record.fields.iter().filter(|f| f.field.is_some_and(|f| f.class == Privacy::Private));
        private.filter(|f| f.field.is_some_and(|f| !matches!(f.ty, Type::Ref(_)))).any(|f| f.shown.value.is_some())
    };
    let mut private: BTreeSet<RecordId> = BTreeSet::new();
    for row in all.iter().filter(|row| row.conflicts > 0 || is_private(row)) {
        private.extend(walk.ledger.inquiries_of(row));
    }
    let closed = walk.ledger.inquiries.iter().filter(|i| status(i) == "closed");
    let expected: BTreeSet<RecordId> = closed.map(|i| i.id).filter(|id| private.contains(id)).collect();
    let found = index.private_before(i64::MAX).unwrap();
    assert_eq!(found.iter().copied().collect::<BTreeSet<_>>(), expected, "{when}: private");
    for id in &found {
        let written = all.iter().filter(|row| !row.hidden && walk.ledger.inquiries_of(row).contains(id));
        let last = written.map(|row| row.changed_ms).max().unwrap();
        assert!(index.is_closed_before(*id, last + 1).unwrap(), "{when}: {id}");
        assert!(!index.is_closed_before(*id, last).unwrap(), "{when}: {id}");
        assert!(!index.private_before(last).unwrap().contains(id), "{when}: {id}");
    }
}

/// Counts by week add up to the counts of all the weeks.
fn check_weeks(index: &Index, ask: &Ask, when: &str) {
    let counts = index.counts(ask).unwrap();
    let mut of_weeks: BTreeMap<(String, String), u64> = BTreeMap::new();
    for row in index.weekly(ask).unwrap() {
        assert!(row.week.starts_with("2026-W"), "{when}: {row:?}");
        *of_weeks.entry((row.host, row.cause)).or_default() += row.n;
    }
    let mut of_all = BTreeMap::new();
    for host in counts.hosts {
        of_all.insert((host.id.clone(), String::new()), host.inquiries);
        of_all.extend(host.causes.into_iter().map(|(cause, _, n)| ((host.id.clone(), cause), n)));
    }
    assert_eq!(of_weeks, of_all, "{when}: plants and causes by week");
    let weeks = index.answered_by_week(ask).unwrap();
    assert_eq!(weeks.values().map(|(n, _)| n).sum::<u64>(), counts.inquiries, "{when}");
    assert!(weeks.values().all(|(n, answered)| answered <= n), "{when}");
    for what in [What::Channel, What::Status, What::Diagnosis, What::Outcome, What::Township] {
        let by = index.by(ask, what).unwrap();
        assert_eq!(by.values().sum::<u64>(), counts.inquiries, "{when}: {what:?}");
    }
    assert_eq!(index.left_out(ask).unwrap(), counts.not_counted, "{when}");
}

/// All that stands in an index, without the numbers that depend on the order in which it came.
pub fn dump(index: &Index) -> BTreeSet<String> {
    let conn = index.lock();
    let mut all = BTreeSet::new();
    let of = "JOIN inquiry i ON i.no =";
    for sql in [
        "SELECT id, sealed, listed, opened_ms, week, channel, township, cell, status, outcome, due, stop, conflicts,
           diagnosis, scout, changed_ms, counted, halt, private FROM inquiry"
            .to_owned(),
        "SELECT 'tally', status, n FROM tally WHERE n > 0".into(),
        format!("SELECT 'host', host, i.id, affected, present, answered FROM host p {of} p.inquiry"),
        format!("SELECT 'cause', cause, i.id, percent FROM cause p {of} p.inquiry"),
        format!("SELECT 'held', host, cause, i.id, n FROM held p {of} p.inquiry"),
        format!("SELECT 'review', reason, i.id FROM review p {of} p.inquiry"),
        format!("SELECT 'later', rec, i.id, done, day, by FROM later p {of} p.inquiry"),
        format!("SELECT 'member', rec, i.id FROM member m {of} m.inquiry"),
        format!("SELECT 'found', i.id, f.text, f.names FROM found f {of} f.rowid"),
        "SELECT 'lone', rec FROM lone".into(),
        "SELECT 'found', count(*) FROM found".into(),
        "SELECT 'member', count(*) FROM member".into(),
    ] {
        let mut query = conn.prepare(&sql).unwrap();
        let columns = query.column_count();
        let rows = query.query_map([], |row| (0..columns).map(|at| row.get(at)).collect::<Result<Vec<Value>, _>>());
        all.extend(rows.unwrap().map(|row| format!("{:?}", row.unwrap())));
    }
    all
}
