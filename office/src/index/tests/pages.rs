//! Pages by key cost the same however many there are, and go on where they were.

use std::path::Path;

use dooryard_core::{notebook::Query, record::Kind};
use dooryard_tests::{Yard, save};
use rusqlite::{StatementStatus, params};
use serde_json::json;

use super::{
    super::{Ask, From, Index, Key, Listed, ask::Wanted, page},
    folder, followed, names,
};

/// An index of this many inquiries, without a notebook.
fn filled(at: &Path, inquiries: i64) -> Index {
    let index = Index::open(at, &names()).unwrap();
    {
        let mut conn = index.lock();
        let tx = conn.transaction().unwrap();
        for no in 1..=inquiries {
            let status = ["open", "waiting", "answered", "closed"][(no % 4) as usize];
            let id: [u8; 16] = (no as u128).wrapping_mul(0x9e37_79b9_7f4a_7c15_f39c_c060_5ced_c835).to_be_bytes();
            let row =
                params![no, id, no * 60_000, status, format!("Township {}", no % 12), format!("Scout {}", no % 20)];
            tx.execute(
                "INSERT INTO inquiry(no, id, sealed, listed, opened_ms, status, township, scout, changed_ms, counted,
                   stop, conflicts)
                 VALUES(?1, ?2, 0, 1, ?3, ?4, ?5, ?6, ?3, 1, ?1 <= 200, ?1 <= 200)",
                row,
            )
            .unwrap();
            let host = format!("host_{}", no % 30);
            tx.execute("INSERT INTO host VALUES(?1, ?2, 1, 2, 1)", params![host, no]).unwrap();
        }
        tx.commit().unwrap();
    }
    index
}

/// Steps of SQLite's machine for the rows of a page.
fn steps(index: &Index, ask: &Ask, from: From) -> i32 {
    let conn = index.lock();
    let hits = ask.look_up(&conn, &super::super::Remembered::default()).unwrap();
    let (sql, values) = page::statement(&ask.conditions(&conn, &hits, Wanted::Newest).unwrap(), from, 40);
    let mut query = conn.prepare(&sql).unwrap();
    let found = query.query_map(rusqlite::params_from_iter(values), |_| Ok(())).unwrap().count();
    assert_eq!(found, 40);
    query.get_status(StatementStatus::VmStep)
}

#[test]
fn a_page_of_many_times_as_many_inquiries_costs_no_more() {
    let dir = tempfile::tempdir().unwrap();
    let (few_at, many_at) = (dir.path().join("few"), dir.path().join("many"));
    std::fs::create_dir_all(&few_at).unwrap();
    std::fs::create_dir_all(&many_at).unwrap();
    let (few, many) = (filled(&few_at, 8_000), filled(&many_at, 50_000));
    for ask in [
        Ask::default(),
        Ask { status: "open".into(), ..Ask::default() },
        Ask { township: "Township 3".into(), ..Ask::default() },
        Ask { scout: "Scout 3".into(), ..Ask::default() },
        // Few of all, and these the oldest.
        Ask { stop: true, ..Ask::default() },
        Ask { conflict: true, ..Ask::default() },
        Ask { host: "host_3".into(), ..Ask::default() },
        Ask { host: "host_3".into(), status: "waiting".into(), ..Ask::default() },
    ] {
        let middle = |index: &Index, n: i64| {
            let id = index.lock().query_row("SELECT id FROM inquiry WHERE no = ?1", [n], |row| row.get(0)).unwrap();
            Key { opened_ms: n * 60_000, id: dooryard_core::ids::RecordId(id) }
        };
        let cost = |index: &Index, n: i64| {
            let key = middle(index, n * 3 / 4);
            [From::Newest, From::After(key)].map(|from| steps(index, &ask, from))
        };
        for (of_few, of_many) in cost(&few, 8_000).into_iter().zip(cost(&many, 50_000)) {
            assert!(of_many <= 3 * of_few, "{ask:?}: {of_few} steps, and {of_many} of many");
        }
    }
    // The numbers of all, without counting.
    let page = many.page(&Ask::default(), From::Newest, 40).unwrap();
    assert_eq!((page.total, page.open), (50_000, 37_500));
    let page = many.page(&Ask { status: "closed".into(), ..Ask::default() }, From::Newest, 40).unwrap();
    assert_eq!((page.total, page.open), (12_500, 0));
}

#[test]
fn pages_by_key_go_on_where_they_were_whatever_comes_in_between() {
    let yard = Yard::new(370, 0).unwrap();
    let notebook = yard.office.notebook();
    let opened = |n: u32| format!("2026-05-{n:02}T09:00:00-05:00[America/Chicago]");
    let make = |n| save(notebook, Kind::Inquiry, json!({"opened": opened(n), "summary": "s"})).unwrap();
    let made: Vec<_> = (1..=9).map(make).collect();
    let index = followed(&folder(&yard, "index"), notebook);
    let ids = |page: &Listed| page.rows.iter().map(|row| row.key.id).collect::<Vec<_>>();
    let first = index.page(&Ask::default(), From::Newest, 4).unwrap();
    assert_eq!(ids(&first), [made[8], made[7], made[6], made[5]]);
    assert_eq!((first.total, first.newer), (9, None));
    make(20);
    index.follow(notebook).unwrap();
    let second = index.page(&Ask::default(), first.older.unwrap(), 4).unwrap();
    assert_eq!(ids(&second), [made[4], made[3], made[2], made[1]]);
    let third = index.page(&Ask::default(), second.older.unwrap(), 4).unwrap();
    assert_eq!((ids(&third), third.older), (vec![made[0]], None));
    assert_eq!(ids(&index.page(&Ask::default(), third.newer.unwrap(), 4).unwrap()), ids(&second));
    let day = "2026-05-03".parse().unwrap();
    let ask = Ask { from: Some(day), to: Some(day), ..Ask::default() };
    assert_eq!(ids(&index.page(&ask, From::Newest, 4).unwrap()), [made[2]]);
    assert_eq!(notebook.list(&Query { kind: Some(Kind::Inquiry), ..Query::default() }).unwrap().total, 10);
}
