//! `cargo xtask bench office`: the office page of a large county, served as it is, asked by eight people at once.
//!
//! A county of 50,000 inquiries is made: 1,000,000 records, 200,000 of them photos (`--inquiries N` for another; `--quick` is
//! 500). `--folder F` keeps the office in a folder, and takes it from there when it is filled already. Each page is asked for by eight clients for ten seconds (`--seconds N`), then all of them mixed. Of every 100 answers 95
//! have to be there within 100 ms, and the server may hold less than 300 MB at its peak.
//! `--json` prints one object a line: `{name, value, unit, goal, holds}`. Exits 1 when a goal does not hold.

mod county;
mod load;
mod server;

use std::{
    fs,
    path::PathBuf,
    process::ExitCode,
    time::{Duration, Instant},
};

use dooryard_core::ids::RecordId;
use dooryard_office::{
    index::{Ask, From, Index},
    page::Names,
};
use dooryard_tests::Yard;
use serde_json::json;
use tempfile::TempDir;

use crate::{
    county::{CAUSES, HOSTS, PHOTOS, RECORDS, fill},
    load::{Figures, ask_for},
    server::Server,
};

/// People who work at the page at one time.
const CLIENTS: usize = 8;
/// Of 100 answers 95 are there within this, milliseconds.
const GOAL_MS: f64 = 100.0;
/// What the server may hold at its peak, megabytes.
const GOAL_MB: f64 = 300.0;
/// Inquiries between which the clients go to and fro.
const KNOWN: usize = 2_000;

/// A page, with its address at the n-th time that it is asked for.
type Page<'a> = (&'static str, Box<dyn Fn(usize) -> String + Sync + 'a>);

fn pages<'a>(known: &'a [(i64, RecordId)], inquiries: usize) -> Vec<Page<'a>> {
    let at = |n: usize| &known[n.wrapping_mul(7_919) % known.len()];
    let plain = |uri: &'static str| Box::new(move |_| uri.to_owned());
    vec![
        ("the list, the newest", plain("/inquiries")),
        ("the list, somewhere in it", Box::new(move |n| format!("/inquiries?page=9&after={}.{}", at(n).0, at(n).1))),
        ("what stands open", plain("/inquiries?status=open")),
        (
            "a township in a month",
            Box::new(|n| {
                let month = 1 + n % 12;
                format!("/inquiries?township=Township+{}&since=2025-{month:02}-01&until=2025-{month:02}-28", n % 16)
            }),
        ),
        ("a plant", Box::new(|n| format!("/inquiries?host={}", ["oak", "maple", "rose", "bean"][n % 4]))),
        ("a cause and a scout", Box::new(|n| format!("/inquiries?cause=leaf_scorch&scout=Scout+{}", n % 40))),
        ("search, a rare word", Box::new(move |n| format!("/inquiries?q={}", n.wrapping_mul(7_919) % inquiries))),
        ("search, two words", Box::new(|n| format!("/inquiries?q={}+margin", ["brown", "yellow", "holed"][n % 3]))),
        ("search, a word that is everywhere", plain("/inquiries?q=leaves")),
        ("one inquiry", Box::new(move |n| format!("/inquiries/{}", at(n).1))),
        ("the queue", plain("/review")),
        ("the queue, one reason", plain("/review?why=first_report")),
        ("the morning", plain("/")),
        ("what is to be asked later", plain("/follow-ups")),
        ("a call is taken", plain("/desk")),
        ("the map of a cause", Box::new(|n| format!("/map?cause={}", CAUSES[n % CAUSES.len()]))),
        (
            "the map's data, a plant",
            Box::new(|n| format!("/map/areas.geojson?host={}&by=cell", HOSTS[n % HOSTS.len()])),
        ),
        ("the season", plain("/season")),
    ]
}

fn main() -> ExitCode {
    let args: Vec<String> = std::env::args().collect();
    let flag = |flag: &str| args.iter().any(|a| a == flag);
    let number = |name: &str, otherwise: usize| {
        let at = args.iter().position(|a| a == name);
        at.and_then(|at| args.get(at + 1)).map_or(otherwise, |n| n.parse().expect("a number"))
    };
    let quick = flag("--quick");
    let inquiries = number("--inquiries", if quick { 500 } else { 50_000 });
    let seconds = Duration::from_secs(number("--seconds", if quick { 1 } else { 10 }) as u64);
    let kept = args.iter().position(|a| a == "--folder").and_then(|at| args.get(at + 1)).map(PathBuf::from);
    let (folder, _until_the_end) = office(kept, inquiries);
    let begin = Instant::now();
    let server = Server::start(&folder);
    eprintln!("served after {:.0?}, with the index made", begin.elapsed());
    let names = Names::of(&dooryard_office::pack::starter().expect("the pack"));
    let index = Index::open(&folder, &names).expect("the index");
    let inquiries = usize::try_from(index.inquiries().expect("a count")).expect("fits");
    let known = known(&index);
    let pages = pages(&known, inquiries);
    let mut table = Table { json: flag("--json"), holds: true };
    for (name, uri) in &pages {
        table.page(name, &ask_for(&server, CLIENTS, seconds, uri));
    }
    let mixed = |n: usize| (pages[n % pages.len()].1)(n / pages.len());
    table.page("all of them, mixed", &ask_for(&server, CLIENTS, seconds * 3, &mixed));
    let peak = server.peak_mb();
    table.line("memory of the server at its peak", peak, "MB", Some(GOAL_MB), "");
    if table.holds { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}

/// The folder of an office with so many inquiries, and what has to stay for it to stay. One that is filled is taken as it is.
fn office(kept: Option<PathBuf>, inquiries: usize) -> (PathBuf, Option<TempDir>) {
    if let Some(folder) = kept.as_ref().filter(|folder| folder.is_dir()) {
        return (folder.clone(), None);
    }
    let yard = Yard::new(1, 1).expect("an office");
    let begin = Instant::now();
    fill(&yard, inquiries);
    eprintln!(
        "{} records, {} of them photos, of {inquiries} inquiries, taken in within {:.0?}",
        inquiries * RECORDS,
        inquiries * PHOTOS,
        begin.elapsed()
    );
    let folder = yard.office.folder().to_owned();
    let Yard { dir, office, phones, .. } = yard;
    drop((office, phones));
    let Some(to) = kept else { return (folder, Some(dir)) };
    fs::rename(&folder, &to).expect("a folder on the same disk");
    (to, None)
}

/// Keys of inquiries spread over the whole county.
fn known(index: &Index) -> Vec<(i64, RecordId)> {
    let (mut known, mut from) = (Vec::new(), From::Newest);
    let step = (usize::try_from(index.inquiries().expect("a count")).expect("fits") / KNOWN).max(1);
    loop {
        let page = index.page(&Ask::default(), from, 500).expect("a page");
        known.extend(page.rows.iter().step_by(step.min(100)).map(|row| (row.key.opened_ms, row.key.id)));
        match page.older {
            // The last of all has nothing behind it.
            None => break,
            Some(older) => from = older,
        }
    }
    assert!(known.len() > 1, "there are inquiries");
    known.truncate(known.len() - 1);
    known
}

struct Table {
    json: bool,
    holds: bool,
}

impl Table {
    fn page(&mut self, name: &str, figures: &Figures) {
        let beside = format!(
            "middle {:.1} ms, most {:.0} ms, {:.0} a second",
            figures.middle_ms, figures.most_ms, figures.a_second
        );
        self.line(name, figures.p95_ms, "ms", Some(GOAL_MS), &beside);
    }

    fn line(&mut self, name: &str, value: f64, unit: &str, goal: Option<f64>, beside: &str) {
        let holds = goal.is_none_or(|goal| value < goal);
        self.holds &= holds;
        if self.json {
            println!("{}", json!({"name": name, "value": value, "unit": unit, "goal": goal, "holds": holds}));
        } else {
            let goal = goal.map_or_else(String::new, |goal| format!("goal {goal}"));
            let held = if holds { "holds" } else { "DOES NOT HOLD" };
            println!("{name:<36} {value:>8.1} {unit:<3} {goal:<9} {held:<13} {beside}");
        }
    }
}
