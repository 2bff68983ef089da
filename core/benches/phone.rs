//! `cargo xtask bench phone`: each screen's one call on a notebook of 5,000 inquiries and 20,000 findings, opening it, and the same
//! calls on a phone of the demo county (`--demo FOLDER`); the core as a library without its symbols is weighed (`--library FILE`).
//!
//! A figure is the time that one core worked, at the 95th of a hundred calls on different inquiries; a slow phone may multiply it by
//! five to eight, by estimate. A list page is weighed as text with the names of its fields, which is more than what crosses to a
//! phone. `--inquiries N` makes a smaller notebook, `--json` prints one object a line: `{name, value, unit, goal, holds}`.
//! Exits 1 when a goal does not hold.

use std::{fmt::Debug, path::Path, process::ExitCode};

use cpu_time::ThreadTime;
use dooryard_core::{
    Result,
    clock::{Env, SetClock},
    ids::RecordId,
    inquiry::save,
    key::Pack,
    log::{Body, Cert, Statement},
    notebook::{Card, Notebook, Request, seal_identity, write_answer},
    record::{Kind, Role},
    sign::Signing,
    tell::Names,
    view::{self, InquiryFilter, Reader, View},
    words::Language,
};
use serde_json::json;

/// 20 July 2026.
const MONDAY: u64 = 1_784_562_120_000;
const INQUIRIES: usize = 5_000;
const FINDINGS: usize = 4;
const CALLS: usize = 100;
/// What the core may weigh: a tenth more than the 14,766 KiB of registry 4.
const CORE_KIB: f64 = 16_250.0;

struct Report {
    json: bool,
    holds: bool,
}

impl Report {
    fn say(&mut self, name: &str, value: f64, unit: &str, goal: f64) {
        let held = value <= goal;
        self.holds &= held;
        if self.json {
            println!("{}", json!({"name": name, "value": value, "unit": unit, "goal": goal, "holds": held}));
        } else {
            let verdict = match (goal.is_finite(), held) {
                (false, _) => "measured only".to_owned(),
                (true, true) => format!("goal {goal:<6} holds"),
                (true, false) => format!("goal {goal:<6} DOES NOT HOLD"),
            };
            println!("{name:<52} {value:>9.2} {unit:<6} {verdict}");
        }
    }
}

/// A notebook that an office knows.
fn notebook(dir: &Path, clock: &SetClock) -> Result<Notebook> {
    let (root, key) = (Signing::from_seed(&[1; 32]), Signing::from_seed(&[2; 32]));
    let seal = seal_identity(&[3; 32])?.to_public().to_string();
    let card = Card {
        root: root.public(),
        key: key.public(),
        seal: seal.clone(),
        recovery: seal,
        name: "Larkspur County".into(),
        serial: 1,
        former: Vec::new(),
    };
    let notebook = Notebook::create(dir, Env::seeded(1, clock))?;
    let request = Request::read(&notebook.enrolment_request())?;
    let cert = Cert { key: request.key, seal: request.seal, role: Role::Scout, label: "Scout 3".into(), seq: 1 };
    let first = Statement { seq: 1, prev: dooryard_core::ids::Hash32::ZERO, body: Body::Cert(cert) };
    notebook.enrol(&write_answer(&card.sign(&root), &[first.sign(&key, &card.office()).0]))?;
    Ok(notebook)
}

/// One inquiry with its site, contact, plant, visit, findings, follow-up.
fn write(book: &Notebook, pack: &Pack, clock: &SetClock, n: usize) -> Result<(RecordId, RecordId)> {
    clock.set(MONDAY - (INQUIRIES.saturating_sub(n) as u64) * 600_000);
    let at = view_of(book, pack, &Names::default()).when.instant();
    let host = &pack.hosts[n % pack.hosts.len()].id;
    let (east, north) = ((n % 97) as f64 * 1e-4, (n % 89) as f64 * 1e-4);
    let site = json!({
        "township": format!("Sedge {}", n % 8), "address": format!("{n} Teal Lane"),
        "point": {"latitude": 43.5 + north, "longitude": -87.0 + east, "datum": "EPSG:4326", "method": "phone"},
    });
    let site = save(book, Kind::Site, None, site)?.to_string();
    let contact = save(book, Kind::Contact, None, json!({"reach": {"name": format!("Resident {n}")}}))?.to_string();
    let inquiry = save(
        book,
        Kind::Inquiry,
        None,
        json!({
            "opened": at, "channel": "yard", "taken_by": "Scout 3", "site": site, "contact": contact, "wish": "know",
            "question": format!("The low leaves have spots since last week, and it is going up, row {n}"),
        }),
    )?;
    let own = inquiry.to_string();
    let plant = json!({"inquiry": own, "site": site, "host": host, "affected": 2, "present": 9});
    let plant = save(book, Kind::Plant, None, plant)?;
    let visit = json!({"inquiry": own, "site": site, "start": at, "observer": "Scout 3", "protocol": "phone, looked"});
    let visit = save(book, Kind::Visit, None, visit)?.to_string();
    for character in
        pack.characters.iter().filter(|c| c.states.iter().all(|s| s.stops.is_empty())).skip(n % 40).take(FINDINGS)
    {
        let state = &character.states[n % character.states.len()].id;
        save(
            book,
            Kind::Finding,
            None,
            json!({
                "plant": plant.to_string(), "visit": visit, "character": character.id, "state": state, "status": "seen",
                "comfort": 2, "at": at,
            }),
        )?;
    }
    let due = format!("2026-{:02}-{:02}", 6 + n % 4, 1 + n % 28);
    save(
        book,
        Kind::FollowUp,
        None,
        json!({"inquiry": own, "due": due, "question": "Any new spots?", "by": "Scout 3"}),
    )?;
    Ok((inquiry, plant))
}

fn view_of<'a>(book: &'a Notebook, pack: &'a Pack, names: &'a Names) -> View<'a> {
    View::new(book, pack, names, &Reader::default())
}

/// Milliseconds that one core worked, at the 95th of a hundred.
fn p95(mut call: impl FnMut(usize)) -> f64 {
    let mut took: Vec<f64> = (0..CALLS)
        .map(|n| {
            let began = ThreadTime::now();
            call(n);
            began.elapsed().as_secs_f64() * 1e3
        })
        .collect();
    took.sort_by(f64::total_cmp);
    took[CALLS * 95 / 100]
}

fn kib(page: &impl Debug) -> f64 {
    format!("{page:?}").len() as f64 / 1_024.0
}

fn main() -> ExitCode {
    let args: Vec<String> = std::env::args().collect();
    let given = |name: &str| args.iter().position(|a| a == name).and_then(|at| args.get(at + 1));
    let count: usize = given("--inquiries").and_then(|n| n.parse().ok()).unwrap_or(INQUIRIES);
    let mut report = Report { json: args.iter().any(|a| a == "--json"), holds: true };
    let pack =
        Pack::from_folder(&Path::new(env!("CARGO_MANIFEST_DIR")).join("../fixtures/packs/landscape")).expect("a pack");
    let names = Names::told_in(&pack, Language::En);
    // Making it is no part of what is measured: memory spares the disk.
    let memory = Path::new("/dev/shm");
    let dir = if memory.is_dir() { tempfile::tempdir_in(memory) } else { tempfile::tempdir() }.expect("a folder");
    let (folder, clock) = (dir.path().join("phone"), SetClock::at(MONDAY));
    let book = notebook(&folder, &clock).expect("a notebook");
    let made: Vec<(RecordId, RecordId)> =
        (0..count).map(|n| write(&book, &pack, &clock, n).expect("an inquiry")).collect();
    clock.set(MONDAY);
    book.pause().expect("a pause");
    drop(book);
    let opened = longest_opening(&folder, &clock, |book| book.pause().expect("a pause"));
    let stopped = longest_opening(&folder, &clock, |book| {
        let fields = json!({"note": "brown tips"});
        book.save(Kind::Visit, None, fields.as_object().expect("fields")).expect("a visit");
        // As after a kill: nothing is closed.
        std::mem::forget(book);
    });
    let looked_through = longest_opening(&folder, &clock, |book| {
        book.pause().expect("a pause");
        std::fs::remove_file(folder.join("local/sound")).expect("the mark of the pause");
    });
    let book = Notebook::open(&folder, Env::seeded(7, &clock)).expect("the notebook");
    let counted = book.counted().expect("counts");
    eprintln!("{} inquiries, {} findings", counted[&Kind::Inquiry], counted[&Kind::Finding]);
    report.say("opening the notebook", opened, "ms", 150.0);
    report.say("opening after a stop", stopped, "ms", 150.0);
    report.say("opening with a look through the whole file", looked_through, "ms", f64::INFINITY);

    let v = view_of(&book, &pack, &names);
    screens(&mut report, "", &v, &made);
    let page = view::inquiries(&v, InquiryFilter::All, "", "", 50).expect("a page");
    report.say("a page of 50 inquiries", kib(&page), "KiB", 64.0);
    report.say("a page of 50 follow-ups", kib(&view::later(&v, false, "", 50).expect("a page")), "KiB", 64.0);
    report.say("a page of 50 on their way", kib(&view::hand_over_screen(&v, "", 50).expect("a page")), "KiB", 64.0);
    if let Some(folder) = given("--demo") {
        let book = Notebook::open(Path::new(folder), Env::seeded(8, &clock)).expect("the demo's notebook");
        let v = view_of(&book, &pack, &names);
        let found = with_plants(&v);
        eprintln!("the demo's phone: {} inquiries with plants", found.len());
        screens(&mut report, "demo: ", &v, &found);
    }
    if let Some(library) = given("--library") {
        let bytes = std::fs::metadata(library).expect("the library").len();
        report.say("the core without symbols, built for this machine", bytes as f64 / 1_024.0, "KiB", CORE_KIB);
    }
    if report.holds { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}

/// Inquiries with a plant of each, newest first.
fn with_plants(v: &View<'_>) -> Vec<(RecordId, RecordId)> {
    let page = view::inquiries(v, InquiryFilter::All, "", "", 200).expect("inquiries");
    let plant = |inquiry| Some((inquiry, view::inquiry(v, inquiry).ok()?.plants.first()?.plant));
    page.rows.iter().filter_map(|row| plant(row.id)).collect()
}

/// Each screen's one call on these inquiries and their plants.
fn screens(report: &mut Report, of: &str, v: &View<'_>, made: &[(RecordId, RecordId)]) {
    let any = |n: usize| made[n * 7_919 % made.len()];
    let mut screen = |name: &str, call: &dyn Fn(usize) -> Result<()>| {
        let took = p95(|n| call(n).expect(name));
        report.say(&format!("{of}{name}"), took, "ms", 50.0);
    };
    screen("today", &|_| view::today(v).map(drop));
    screen("inquiries, a page of 50", &|_| view::inquiries(v, InquiryFilter::All, "", "", 50).map(drop));
    screen("inquiries, not handed over", &|_| view::inquiries(v, InquiryFilter::NotHandedOver, "", "", 50).map(drop));
    screen("inquiries, searched", &|n| {
        view::inquiries(v, InquiryFilter::All, &format!("spots row {n}"), "", 50).map(drop)
    });
    screen("inquiry", &|n| view::inquiry(v, any(n).0).map(drop));
    screen("history, a page of 50", &|n| view::history(v, any(n).0, "", 50).map(drop));
    screen("ask", &|n| view::ask(v, any(n).0).map(drop));
    screen("stops", &|n| view::stop_screen(v, any(n).0).map(drop));
    screen("plant", &|n| view::plant(v, any(n).0, Some(any(n).1)).map(drop));
    screen("place, with its scene", &|n| view::place(v, any(n).0, (400.0, 600.0), None).map(drop));
    screen("look", &|n| view::look(v, any(n).0, any(n).1, "", "").map(drop));
    screen("think", &|n| view::think(v, any(n).0, any(n).1).map(drop));
    screen("tell", &|n| view::tell(v, any(n).0, any(n).1).map(drop));
    screen("letter", &|n| view::letter(v, any(n).0, any(n).1, "").map(drop));
    screen("shots", &|n| view::shots(v, any(n).0, Some(any(n).1)).map(drop));
    screen("samples", &|n| view::samples(v, any(n).0).map(drop));
    screen("later, a page of 50", &|_| view::later(v, false, "", 50).map(drop));
    screen("handing over, a page of 50", &|_| view::hand_over_screen(v, "", 50).map(drop));
    screen("conflicts", &|_| view::conflicts(v, None).map(drop));
    screen("bin, a page of 50", &|_| view::bin(v, "", 50).map(drop));
    screen("privacy", &|_| view::privacy(v).map(drop));
    screen("backup", &|_| view::backup(v).map(drop));
}

/// Of ten openings the longest; `end` is what becomes of the notebook each time.
fn longest_opening(folder: &Path, clock: &SetClock, end: impl Fn(Notebook)) -> f64 {
    let one = |n| {
        let began = ThreadTime::now();
        let book = Notebook::open(folder, Env::seeded(n, clock)).expect("the notebook");
        let took = began.elapsed().as_secs_f64() * 1e3;
        end(book);
        took
    };
    one(0);
    (1..=10).map(one).fold(0.0, f64::max)
}
