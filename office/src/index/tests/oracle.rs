//! The same answers from a walk over every record, and both held against each other.

use std::collections::{BTreeMap, BTreeSet};

use dooryard_core::{
    ids::RecordId,
    notebook::{Notebook, Query, Summary},
    record::Kind,
};
use rusqlite::types::Value;

use crate::{
    counts::{Counts, may_count},
    index::{Ask, From, Index},
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
        let mut open = walk.of(i, Kind::FollowUp).filter(|f| f.text("answered").is_none());
        open.any(|f| f.text("due").is_some_and(|due| due <= "2026-06-10"))
    });
    let day = |i: &Summary| When::at_ms(opened_ms(i)).today();
    let (first, last) = ("2026-05-08".parse().unwrap(), "2026-05-20".parse().unwrap());
    let days = Ask { from: Some(first), to: Some(last), ..Ask::default() };
    let in_days = |i: &Summary| day(i) >= first && day(i) <= last;
    same(days.clone(), &in_days);
    for words in ["heron", "her", "crane spots", "teal gate", "leaf", "scout 2", "none such", "oak", "quercus \"* OR"] {
        let hits = walk.hits(notebook, words);
        let begins = |i: &Summary| {
            let known = l.hosts_of(i.id).into_iter().map(|h| names.host(h));
            let known: Vec<String> = known.chain(l.causes_of(i.id).iter().map(|(id, _)| names.cause(id))).collect();
            let known = known.join(" ").to_lowercase();
            words.split_whitespace().all(|w| known.split(|c: char| !c.is_alphanumeric()).any(|k| k.starts_with(w)))
        };
        same(Ask { words: words.into(), ..Ask::default() }, &|i| hits.contains(&i.id) || begins(i));
    }
    assert_eq!(index.counts(&Ask::default()).unwrap(), Counts::of(l, names), "{when}: counts");
    let groups = |key: &dyn Fn(&Summary) -> (String, String)| {
        let mut groups: BTreeMap<(String, String), (u64, u64)> = BTreeMap::new();
        for i in l.inquiries.iter().filter(|i| may_count(i) && in_days(i)) {
            let group = groups.entry(key(i)).or_default();
            group.0 += u64::from(l.hosts_of(i.id).contains(&"oak"));
            group.1 += 1;
        }
        groups
    };
    let ask = Ask { host: "oak".into(), ..days };
    let pairs = |shares: Vec<crate::index::Share>| {
        shares.into_iter().map(|s| ((s.what, String::new()), (s.n, s.of))).collect::<BTreeMap<_, _>>()
    };
    let place = |i: &Summary, field: &str| site(i, field).unwrap_or_default();
    assert_eq!(pairs(index.townships(&ask).unwrap()), groups(&|i| (place(i, "township"), String::new())), "{when}");
    let week = |i: &Summary| (crate::index::case::week_of(day(i)), String::new());
    assert_eq!(pairs(index.weeks(&ask).unwrap()), groups(&week), "{when}");
    let map: BTreeMap<_, _> =
        index.map(&ask).unwrap().into_iter().map(|s| ((s.township, s.cell), (s.n, s.of))).collect();
    assert_eq!(map, groups(&|i| (place(i, "township"), place(i, "cell"))), "{when}");
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
}

/// All that stands in an index, without the numbers that depend on the order in which it came.
pub fn dump(index: &Index) -> BTreeSet<String> {
    let conn = index.lock();
    let mut all = BTreeSet::new();
    let of = "JOIN inquiry i ON i.no =";
    for sql in [
        "SELECT id, sealed, listed, opened_ms, day, week, channel, township, cell, status, outcome, due, stop, conflicts,
           diagnosis, scout, changed_ms, counted FROM inquiry"
            .to_owned(),
        "SELECT 'tally', status, n FROM tally WHERE n > 0".into(),
        format!("SELECT 'host', host, i.id, affected, present, answered FROM host p {of} p.inquiry"),
        format!("SELECT 'cause', cause, i.id, percent FROM cause p {of} p.inquiry"),
        format!("SELECT 'held', host, cause, i.id, n FROM held p {of} p.inquiry"),
        format!("SELECT 'review', reason, i.id FROM review p {of} p.inquiry"),
        format!("SELECT 'member', rec, i.id, f.text FROM member m {of} m.id >> 20 LEFT JOIN found f ON f.rowid = m.id"),
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
