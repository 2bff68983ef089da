//! `cargo xtask bench merge`: the merge against a bare INSERT of the same rows, and the memory of taking in a large bundle.
//!
//! Both sides of a ratio are measured in this process, in turn, on files of the same folder. `--json` prints one object a
//! line: `{name, value, unit, goal, holds}`. Exits 1 when a goal does not hold.

use std::{
    fs,
    path::Path,
    process::{Command, ExitCode},
    time::{Duration, Instant},
};

use dooryard_core::{
    bundle::{Opener, take_in},
    clock::{Env, SetClock},
    ids::{Hash32, LogId, RecordId},
    job::Job,
    log::{Body, Cert, Change, FieldHead, Head, Segment, Slot, Statement},
    notebook::{Card, Notebook, Request, seal_identity, write_answer},
    record::{Kind, Role, Value},
    sign::Signing,
};
use rand::{Rng, SeedableRng, rngs::StdRng};
use rusqlite::{Connection, params_from_iter, types::Value as Sql};
use serde_json::json;

const CHANGES: usize = 100_000;
const SEGMENT: usize = 2_000;
const ROUNDS: usize = 5;
/// The argument by which this program calls itself to measure memory in a process of its own.
const TAKE_IN: &str = "--take-in-alone";
const MIB: f64 = 1_048_576.0;

fn main() -> ExitCode {
    let args: Vec<String> = std::env::args().collect();
    if let Some(at) = args.iter().position(|a| a == TAKE_IN) {
        take_in_alone(Path::new(&args[at + 1]), Path::new(&args[at + 2]));
        return ExitCode::SUCCESS;
    }
    let json = std::env::args().any(|a| a == "--json");
    let dir = tempfile::tempdir().expect("a temporary folder");
    let mut holds = true;
    let mut report = |name: &str, value: f64, unit: &str, goal: f64, held: bool| {
        holds &= held;
        if json {
            println!("{}", json!({"name": name, "value": value, "unit": unit, "goal": goal, "holds": held}));
        } else {
            println!(
                "{name:<44} {value:>9.2} {unit:<6} goal {goal:<6} {}",
                if held { "holds" } else { "DOES NOT HOLD" }
            );
        }
    };
    let ratio = merge_against_insert(dir.path());
    report("merge / bare INSERT of the same rows", ratio, "ratio", 0.6, ratio >= 0.6);
    let over = memory_of_a_large_bundle(dir.path());
    report("memory over idle, bundle of 300 MB", over, "MiB", 64.0, over < 64.0);
    if holds { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}

/// An office's notebook, a phone's notebook, and what is needed to sign for the phone.
struct Scene {
    office: Notebook,
    phone: Notebook,
    card: Card,
    key: Signing,
    cert: Hash32,
}

fn scene(dir: &Path, name: &str) -> Scene {
    let clock = SetClock::at(1_777_636_800_000);
    let (root, signing, key) =
        (Signing::from_seed(&[1; 32]), Signing::from_seed(&[2; 32]), Signing::from_seed(&[5; 32]));
    let recipient = seal_identity(&[3; 32]).expect("a key").to_public().to_string();
    let card = Card {
        root: root.public(),
        key: signing.public(),
        seal: recipient.clone(),
        recovery: recipient.clone(),
        name: "Larkspur".into(),
        serial: 1,
        former: Vec::new(),
    };
    let book =
        |part: &str, seed| Notebook::create(&dir.join(name).join(part), Env::seeded(seed, &clock)).expect("a notebook");
    let (office, phone) = (book("office", 1), book("phone", 2));
    let request = |book: &Notebook| Request::read(&book.enrolment_request()).expect("a request");
    let keys = [request(&office).key, request(&phone).key, key.public()];
    let mut signed = Vec::new();
    for (seq, (key, role)) in (1..).zip(keys.into_iter().zip([Role::Office, Role::Scout, Role::Scout])) {
        let cert = Cert { key, seal: recipient.clone(), role, label: format!("{role:?} {seq}"), seq };
        signed.push(Statement { seq, prev: Hash32::ZERO, body: Body::Cert(cert) }.sign(&signing, &card.office()).0);
    }
    for book in [&office, &phone] {
        book.enrol(&write_answer(&card.sign(&root), &signed)).expect("enrolled");
    }
    let cert = Hash32::of(&signed[2]);
    Scene { office, phone, card, key, cert }
}

/// Histories as phones write them: findings of four fields, a fifth of the saves edit a record saved before.
fn segments(scene: &Scene) -> Vec<Segment> {
    let mut random = StdRng::seed_from_u64(1);
    let office = scene.card.office();
    let log = LogId { device: scene.key.device(), incarnation: 1 };
    let mut known: Vec<(RecordId, Hash32)> = Vec::new();
    let (mut prev, mut seq, mut segments) = (Hash32::ZERO, 0, Vec::new());
    while seq < CHANGES as u64 {
        let mut changes = Vec::with_capacity(SEGMENT);
        let mut last = prev;
        for _ in 0..SEGMENT {
            seq += 1;
            let edit = !known.is_empty() && random.random_bool(0.2);
            let at = random.random_range(0..known.len().max(1));
            let (rec, seen) = if edit { (known[at].0, vec![known[at].1]) } else { (RecordId(random.random()), vec![]) };
            let mut body = |value: Value| Slot::Body { salt: random.random(), value: value.to_cbor() };
            let slots = vec![
                body(Value::Text("leaf_spot".into())),
                body(Value::Text("leaf_spot.round_brown".into())),
                body(Value::Int(0)),
                body(Value::Int(3)),
            ];
            let fields = [703, 704, 705, 706].map(|field| FieldHead { field, preds: seen.clone() }).to_vec();
            let head = Head {
                rtype: Kind::Finding.id(),
                seq,
                wall_ms: 1_777_636_800_000 + seq,
                generation: 0,
                kind: 0,
                rec,
                cert: scene.cert,
                form_ver: 1,
                fields,
                crit: None,
                ext: None,
            };
            let change = Change::new(head, slots);
            last = change.hash(&office, &log, &last);
            if edit {
                known[at].1 = last;
            } else {
                known.push((rec, last));
            }
            changes.push(change);
        }
        let mut segment = Segment::new(&office, log, prev, changes);
        segment.close(&scene.key, &office, 0);
        prev = segment.tip();
        segments.push(segment);
    }
    segments
}

/// Median over rounds of (time of bare INSERT / time of merge).
fn merge_against_insert(dir: &Path) -> f64 {
    let mut ratios: Vec<f64> = (0..ROUNDS)
        .map(|round| {
            let merged = scene(dir, &format!("merged-{round}"));
            // From wire bytes, as a bundle brings them: reading and hashing are part of the merge.
            let wire: Vec<Vec<u8>> = segments(&merged).iter().map(Segment::to_cbor).collect();
            let office = merged.card.office();
            let start = Instant::now();
            for bytes in &wire {
                let segment = Segment::from_cbor(bytes, &office).expect("a segment");
                merged.office.take_segment(segment).expect("merged");
            }
            let merge = start.elapsed();
            let bare = scene(dir, &format!("bare-{round}"));
            let insert = bare_insert(merged.office.folder(), bare.office.folder());
            insert.as_secs_f64() / merge.as_secs_f64()
        })
        .collect();
    ratios.sort_by(f64::total_cmp);
    eprintln!("rounds: {ratios:.2?}");
    ratios[ROUNDS / 2]
}

/// Inserts the rows of one notebook into another, in the order and the transactions in which the merge wrote them.
fn bare_insert(from: &Path, to: &Path) -> Duration {
    let source = Connection::open(from.join("notebook.db")).expect("the merged notebook");
    let rows = |sql: &str| -> Vec<Vec<Sql>> {
        let mut query = source.prepare(sql).expect("a query");
        let width = query.column_count();
        let rows = query.query_map([], |row| (0..width).map(|i| row.get(i)).collect()).expect("rows");
        rows.collect::<Result<_, _>>().expect("rows")
    };
    let per = SEGMENT as i64;
    let mut changes = rows("SELECT log, seq, hash, prev, rec, head, waiting, partial FROM change ORDER BY seq");
    let mut facts = rows(&format!(
        "SELECT rec, field, hash, log, seq, flags, salt, value, preds FROM fact ORDER BY (seq - 1) / {per}, rec, field, hash"
    ));
    let mut records = rows(&format!(
        "SELECT r.rec, r.kind, r.stale, min(f.seq) FROM record r JOIN fact f USING(rec) GROUP BY r.rec ORDER BY (min(f.seq) - 1) / {per}, r.rec"
    ));
    let number = |value: &Sql| if let Sql::Integer(i) = value { *i } else { 0 };
    let target = Connection::open(to.join("notebook.db")).expect("the bare notebook");
    target
        .execute_batch(
            "PRAGMA synchronous = FULL; PRAGMA foreign_keys = ON; PRAGMA temp_store = 2; PRAGMA secure_delete = ON;
             PRAGMA journal_size_limit = 16777216; PRAGMA cell_size_check = ON;
             INSERT OR IGNORE INTO log(id, device, incarnation) VALUES(1, x'00', x'00'), (2, x'01', x'00');",
        )
        .expect("pragmas");
    (changes, facts, records) = (reversed(changes), reversed(facts), reversed(records));
    let start = Instant::now();
    for segment in 1..=CHANGES / SEGMENT {
        let end = (segment * SEGMENT) as i64;
        let tx = target.unchecked_transaction().expect("a transaction");
        {
            let mut insert = tx
                .prepare_cached("INSERT INTO change(log, seq, hash, prev, rec, head, waiting, partial) VALUES(?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)")
                .expect("a statement");
            while changes.last().is_some_and(|row| number(&row[1]) <= end) {
                insert.execute(params_from_iter(changes.pop().expect("a row"))).expect("a change");
            }
            let mut insert =
                tx.prepare_cached("INSERT INTO record(rec, kind, stale) VALUES(?1, ?2, ?3)").expect("a statement");
            while records.last().is_some_and(|row| number(&row[3]) <= end) {
                insert.execute(params_from_iter(&records.pop().expect("a row")[..3])).expect("a record");
            }
            let mut insert = tx
                .prepare_cached("INSERT INTO fact(rec, field, hash, log, seq, flags, salt, value, preds) VALUES(?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)")
                .expect("a statement");
            while facts.last().is_some_and(|row| number(&row[4]) <= end) {
                insert.execute(params_from_iter(facts.pop().expect("a row"))).expect("a fact");
            }
        }
        tx.commit().expect("committed");
    }
    let took = start.elapsed();
    assert!(changes.is_empty() && facts.is_empty() && records.is_empty(), "every row was inserted");
    took
}

fn reversed<T>(mut rows: Vec<T>) -> Vec<T> {
    rows.reverse();
    rows
}

/// Peak memory while a bundle of 300 MB is taken in, less what the process held before, MiB.
fn memory_of_a_large_bundle(dir: &Path) -> f64 {
    let scene = scene(dir, "large");
    let mut random = StdRng::seed_from_u64(2);
    let file = dir.join("noise.png");
    let out = dir.join("large.yard");
    for n in 0..32u32 {
        // Noise does not compress: each picture stays near 10 MB.
        let mut pixels = vec![0u8; 1_840 * 1_840 * 3];
        random.fill(&mut pixels[..]);
        let picture = image::RgbImage::from_raw(1_840, 1_840, pixels).expect("a picture");
        picture.save(&file).expect("saved");
        let fields = serde_json::Map::from_iter([("caption".to_owned(), json!(format!("noise {n}")))]);
        scene.phone.add_photo(&file, &fields).expect("a photo");
    }
    scene.phone.make_bundle(&out, &Job::silent()).expect("a bundle");
    let size = fs::metadata(&out).expect("the bundle").len() as f64;
    assert!(size > 300e6, "a bundle of {size} bytes");
    let office = scene.office.folder().to_owned();
    drop(scene);
    let program = std::env::current_exe().expect("this program");
    let child = Command::new(program).arg(TAKE_IN).args([&office, &out]).output().expect("a process of its own");
    assert!(child.status.success(), "{}", String::from_utf8_lossy(&child.stderr));
    String::from_utf8_lossy(&child.stdout).trim().parse().expect("a number")
}

/// Takes a bundle in and prints by how many MiB the peak of this process passed what it held when the office was open.
fn take_in_alone(office: &Path, file: &Path) {
    let notebook = Notebook::open(office, Env::system()).expect("the office");
    let opener = Opener::new(vec![seal_identity(&[3; 32]).expect("a key")]);
    let idle = status("VmRSS:");
    let report = take_in(&notebook, &opener, office, file, &Job::silent()).expect("taken in");
    assert_eq!((report.new, report.photos), (32, 64));
    println!("{}", (status("VmHWM:") - idle) / MIB);
}

fn status(name: &str) -> f64 {
    let text = fs::read_to_string("/proc/self/status").expect("Linux");
    let line = text.lines().find(|l| l.starts_with(name)).expect("a line of it");
    let kib: f64 = line.split_whitespace().nth(1).and_then(|n| n.parse().ok()).expect("a number");
    kib * 1_024.0
}
