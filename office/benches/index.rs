//! The index of a large county: how long it takes to make, to follow one change, and to answer; and what memory that takes.
//!
//! `DOORYARD_INQUIRIES` says how many inquiries, with 20 records each (4 of them photos); 1,000 unless it does. The rows that a
//! notebook shows are written straight into its tables: saving a million records would take hours.
#![allow(clippy::unwrap_used, reason = "a benchmark")]

use std::{
    fs,
    path::Path,
    time::{Duration, Instant},
};

use dooryard_core::{ids::RecordId, record::Kind};
use dooryard_office::{
    index::{Ask, From, Index},
    ledger::Ledger,
    page::Names,
};
use dooryard_tests::{Yard, edit};
use rusqlite::{Connection, params};
use serde_json::{Value as Json, json};

const HOSTS: [&str; 8] = ["oak", "rose", "tomato_family", "maple", "boxwood", "apple", "lawn", "spruce"];
const CAUSES: [&str; 4] = ["girdling_roots", "planted_too_deep", "leaf_scorch", "apple_scab"];

struct Filler<'c> {
    conn: &'c Connection,
    next: i64,
}

impl Filler<'_> {
    /// One record as a notebook shows it. Field numbers of links are of no weight here.
    fn put(&mut self, kind: Kind, refers: &[(&str, RecordId)], mut fields: Json, words: &str) -> RecordId {
        let n = self.next;
        self.next += 1;
        let id = RecordId((n as u128).wrapping_mul(0x9e37_79b9_7f4a_7c15_f39c_c060_5ced_c835).to_be_bytes());
        for (field, target) in refers {
            fields[*field] = json!(target.to_string());
            let mut link =
                self.conn.prepare_cached("INSERT INTO link(target, source, field) VALUES(?1, ?2, 1)").unwrap();
            link.execute(params![target.0, id.0]).unwrap();
        }
        let run = |sql: &str, values: &[&dyn rusqlite::ToSql]| {
            self.conn.prepare_cached(sql).unwrap().execute(values).unwrap();
        };
        run("INSERT INTO record(rec, kind, stale) VALUES(?1, ?2, 0)", &[&id.0, &kind.id()]);
        run(
            "INSERT INTO shown(id, rec, kind, hidden, changed_ms, conflicts, fields) VALUES(?1, ?2, ?3, 0, ?4, 0, ?5)",
            &[&n, &id.0, &kind.id(), &(1_777_636_800_000 + n), &fields.to_string()],
        );
        run("INSERT INTO words(rowid, text) VALUES(?1, ?2)", &[&n, &words]);
        run("INSERT INTO turned(rec, kind, gone) VALUES(?1, ?2, 0)", &[&id.0, &kind.id()]);
        id
    }

    fn inquiry(&mut self, n: usize) -> RecordId {
        let (host, cause) = (HOSTS[n % 8], CAUSES[n % 4]);
        let cell = format!("LK-{:04}", n % 60);
        let township = format!("Township {}", n % 16);
        let site = self.put(Kind::Site, &[], json!({"township": township, "cell": cell}), &township);
        let contact = self.put(Kind::Contact, &[], json!({"note": "after noon"}), "after noon");
        let opened = format!("2026-{:02}-{:02}T09:{:02}:00-05:00[America/Chicago]", 1 + n % 12, 1 + n % 28, n % 60);
        let status = ["open", "waiting", "answered", "closed"][n % 4];
        let question = format!("why do the leaves of number {n} turn brown at the margin since the week {}", n % 52);
        let fields = json!({"opened": opened, "status": status, "question": question, "channel": "phone",
            "taken_by": format!("Scout {}", n % 40)});
        let inquiry = self.put(Kind::Inquiry, &[("site", site), ("contact", contact)], fields, &question);
        let visit = self.put(Kind::Visit, &[("inquiry", inquiry)], json!({"minutes": 20}), "");
        let mut plant = inquiry;
        for at in 0..2 {
            let fields = json!({"host": HOSTS[(n + at) % 8], "affected": 3, "present": 9});
            plant = self.put(Kind::Plant, &[("inquiry", inquiry)], fields, HOSTS[(n + at) % 8]);
        }
        for at in 0..7 {
            let fields = json!({"character": "leaf_spot", "state": "round", "status": "seen"});
            let words = format!("leaf_spot leaf spot round seen {at}");
            self.put(Kind::Finding, &[("plant", plant), ("visit", visit)], fields, &words);
        }
        for _ in 0..4 {
            let fields = json!({"mime": "image/jpeg", "caption": "lowest leaf"});
            self.put(Kind::Photo, &[("inquiry", inquiry), ("plant", plant)], fields, "image/jpeg lowest leaf");
        }
        let causes = json!([{"cause": cause, "role": "primary", "word": "likely", "percent": 70}]);
        self.put(Kind::Diagnosis, &[("inquiry", inquiry), ("plant", plant)], json!({"causes": causes}), cause);
        self.put(Kind::Sample, &[("plant", plant)], json!({"seal": format!("S{n}")}), host);
        self.put(Kind::FollowUp, &[("inquiry", inquiry)], json!({"due": "2026-06-01"}), "");
        inquiry
    }
}

/// Megabytes of memory in use, and the most since the last call.
fn memory() -> (u64, u64) {
    let status = fs::read_to_string("/proc/self/status").unwrap_or_default();
    let kilobytes = |name: &str| -> u64 {
        let line = status.lines().find(|line| line.starts_with(name)).unwrap_or_default();
        line.split_whitespace().nth(1).and_then(|n| n.parse().ok()).unwrap_or(0)
    };
    let both = (kilobytes("VmRSS") / 1024, kilobytes("VmHWM") / 1024);
    let _ = fs::write("/proc/self/clear_refs", "5");
    both
}

/// (middle, 95th of a hundred) of the times of an answer.
fn times(times: usize, mut answer: impl FnMut(usize)) -> (Duration, Duration) {
    let mut all: Vec<Duration> = (0..times)
        .map(|at| {
            let begin = Instant::now();
            answer(at);
            begin.elapsed()
        })
        .collect();
    all.sort();
    (all[times / 2], all[times * 95 / 100])
}

fn fill(folder: &Path, inquiries: usize) -> RecordId {
    let mut conn = Connection::open(folder.join("notebook.db")).unwrap();
    conn.execute_batch("PRAGMA synchronous = OFF; PRAGMA cache_size = -65536").unwrap();
    let mut last = RecordId([0; 16]);
    let mut next = 1_000;
    for from in (0..inquiries).step_by(1_000) {
        let tx = conn.transaction().unwrap();
        let mut filler = Filler { conn: &tx, next };
        for n in from..inquiries.min(from + 1_000) {
            last = filler.inquiry(n);
        }
        next = filler.next;
        tx.commit().unwrap();
    }
    last
}

fn main() {
    let inquiries = std::env::var("DOORYARD_INQUIRIES").ok().and_then(|n| n.parse().ok()).unwrap_or(1_000);
    let yard = Yard::new(1, 0).unwrap();
    let last = fill(&yard.office.folder().join("notebook"), inquiries);
    let notebook = yard.office.notebook();
    let names = Names::of(&dooryard_office::pack::starter().unwrap());
    memory();
    let begin = Instant::now();
    let index = Index::open(yard.office.folder(), &names).unwrap();
    let made = index.follow(notebook).unwrap();
    println!(
        "{made} inquiries worked out from nothing in {:.1?}; memory now, at most: {:?} MB",
        begin.elapsed(),
        memory()
    );
    let size = fs::metadata(yard.office.folder().join("index.db")).unwrap().len() / 1_000_000;
    println!("index.db: {size} MB");
    let show =
        |what: &str, (middle, most): (Duration, Duration)| println!("{what}: {middle:.1?}, 95 of 100 {most:.1?}");
    show("follow, nothing changed", times(50, |_| assert_eq!(index.follow(notebook).unwrap(), 0)));
    let one = times(20, |at| {
        edit(notebook, Kind::Inquiry, last, json!({"summary": format!("number {at}")})).unwrap();
        assert_eq!(index.follow(notebook).unwrap(), 1);
    });
    show("save and follow one change", one);
    let words = |text: &str| Ask { words: text.into(), ..Ask::default() };
    let asks = [
        ("all", Ask::default()),
        ("status", Ask { status: "open".into(), ..Ask::default() }),
        ("township", Ask { township: "Township 3".into(), ..Ask::default() }),
        ("host", Ask { host: "oak".into(), ..Ask::default() }),
        ("cause", Ask { cause: "apple_scab".into(), ..Ask::default() }),
        ("scout and host", Ask { scout: "Scout 3".into(), host: "maple".into(), ..Ask::default() }),
        ("due", Ask { due: "2026-06-02".parse().ok(), status: "open".into(), ..Ask::default() }),
        ("none", Ask { host: "none_such".into(), ..Ask::default() }),
        ("a rare word", words("4711")),
        ("two words", words("brown week")),
        ("a word everywhere", words("leaf")),
        ("one letter", words("l")),
    ];
    for (what, ask) in &asks {
        let mut from = From::Newest;
        let took = times(40, |_| from = index.page(ask, from, 40).unwrap().older.unwrap_or_default());
        show(&format!("page, {what}"), took);
    }
    for (what, ask) in [&asks[0], &asks[3], &asks[8]] {
        show(&format!("counts, {what}"), times(20, |_| drop(index.counts(ask).unwrap())));
        show(&format!("townships, {what}"), times(20, |_| drop(index.townships(ask).unwrap())));
        show(&format!("weeks, {what}"), times(20, |_| drop(index.weeks(ask).unwrap())));
        show(&format!("map, {what}"), times(20, |_| drop(index.map(ask).unwrap())));
    }
    show("choices of the filters", times(20, |_| drop(index.offered().unwrap())));
    let forty: Vec<RecordId> =
        index.page(&Ask::default(), From::Newest, 40).unwrap().rows.iter().map(|row| row.key.id).collect();
    let around = times(20, |_| {
        let rows = dooryard_office::index::rows_around(notebook, &forty).unwrap();
        assert_eq!(Ledger::of_rows(rows, &names.suspect).inquiries.len(), forty.len());
    });
    show("all records around the 40 of a page", around);
    println!("memory now, at most: {:?} MB", memory());
}
