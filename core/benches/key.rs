//! `cargo xtask bench key`: the differential and the next look, on the pack and on a made-up one ten times as large.
//!
//! Every figure is the median over rounds of the time that one core worked (waiting for other programs is no part of it),
//! for the host with the most causes and the findings that say
//! something about most of them: nothing a person finds is harder. `--pack DIR` takes another pack than the starter pack;
//! `--json` prints one object a line: `{name, value, unit, goal, holds}`. Exits 1 when a goal does not hold.

mod made_up;

use std::{
    collections::BTreeMap,
    path::{Path, PathBuf},
    process::ExitCode,
};

use cpu_time::ThreadTime;
use dooryard_core::key::{Nature, Observation, Observations, Pack, Status};
use peak_alloc::PeakAlloc;
use serde_json::json;

#[global_allocator]
static MEMORY: PeakAlloc = PeakAlloc;

const FINDINGS: usize = 15;
const UPDATES: usize = 10_000;
/// Bytes in use may differ by this much after the updates: what a table printed or a thread's own buffers take.
const GROWTH: f64 = 4.0;
const KIB: f64 = 1_024.0;

struct Report {
    json: bool,
    holds: bool,
}

impl Report {
    fn say(&mut self, name: &str, value: f64, unit: &str, goal: Option<f64>) {
        let held = goal.is_none_or(|goal| value <= goal);
        self.holds &= held;
        if self.json {
            println!("{}", json!({"name": name, "value": value, "unit": unit, "goal": goal, "holds": held}));
            return;
        }
        let verdict = match goal {
            Some(goal) => format!("goal {goal:<6} {}", if held { "holds" } else { "DOES NOT HOLD" }),
            None => "measured".into(),
        };
        println!("{name:<52} {value:>9.2} {unit:<6} {verdict}");
    }
}

fn main() -> ExitCode {
    let args: Vec<String> = std::env::args().collect();
    let folder = args.iter().position(|a| a == "--pack").and_then(|at| args.get(at + 1));
    let folder =
        folder.map_or_else(|| Path::new(env!("CARGO_MANIFEST_DIR")).join("../fixtures/packs/landscape"), PathBuf::from);
    let mut report = Report { json: args.iter().any(|a| a == "--json"), holds: true };

    let pack = Pack::from_folder(&folder).expect("a pack");
    let (given, causes) = hardest(&pack);
    eprintln!(
        "{}: {} causes, {} characters; {} has {causes} causes",
        pack.content_version(),
        pack.causes.len(),
        pack.characters.len(),
        given.host
    );
    let took = median(201, || drop(pack.differential(&given).expect("a differential")));
    report.say("differential, 15 findings", took, "ms", Some(5.0));
    let took = median(51, || drop(pack.next_looks(&given).expect("looks")));
    report.say("next look, 15 findings", took, "ms", Some(20.0));
    let took = median(51, || drop(pack.next_looks(&few(&given, 3)).expect("looks")));
    report.say("next look, 3 findings", took, "ms", Some(20.0));
    report.say("bytes in use after 10,000 updates, over before", growth(&pack, &given), "KiB", Some(GROWTH));
    drop(pack);

    let pack = Pack::from_source(made_up::source(1_000, 1_200)).expect("the made-up pack");
    let (given, causes) = hardest(&pack);
    eprintln!(
        "made up: {} causes, {} characters; {} has {causes} causes",
        pack.causes.len(),
        pack.characters.len(),
        given.host
    );
    let took = median(21, || drop(pack.differential(&given).expect("a differential")));
    report.say("differential, 15 findings, 1,000 causes", took, "ms", Some(100.0));
    let took = median(5, || drop(pack.next_looks(&given).expect("looks")));
    report.say("next look, 15 findings, 1,000 causes", took, "ms", None);
    let took = median(5, || drop(pack.next_looks(&few(&given, 3)).expect("looks")));
    report.say("next look, 3 findings, 1,000 causes", took, "ms", None);
    if report.holds { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}

/// Median of the rounds, milliseconds; one round before them is not counted.
fn median(rounds: usize, mut work: impl FnMut()) -> f64 {
    work();
    let mut took: Vec<f64> = (0..rounds)
        .map(|_| {
            let start = ThreadTime::now();
            work();
            1e3 * start.elapsed().as_secs_f64()
        })
        .collect();
    took.sort_by(f64::total_cmp);
    eprintln!("  rounds: {:.3} to {:.3} ms", took[0], took[rounds - 1]);
    took[rounds / 2]
}

/// The host with the most causes and how many those are; the findings are, of the effects that most of its causes key, the
/// states that most of them key.
fn hardest(pack: &Pack) -> (Observations, usize) {
    let causes_of = |host: usize| pack.causes.iter().filter(move |c| c.fits_host(host));
    let host = (0..pack.hosts.len()).max_by_key(|h| causes_of(*h).count()).expect("a host");
    let mut keyed: BTreeMap<usize, BTreeMap<usize, usize>> = BTreeMap::new();
    for cause in causes_of(host) {
        for link in cause.key.iter().filter(|l| pack.characters[l.character].nature != Nature::Circumstance) {
            *keyed.entry(link.character).or_default().entry(link.state).or_default() += 1;
        }
    }
    let mut characters: Vec<_> = keyed.into_iter().collect();
    characters.sort_by_key(|(_, states)| std::cmp::Reverse(states.values().sum::<usize>()));
    let findings = characters.iter().take(FINDINGS).map(|(character, states)| {
        let character = &pack.characters[*character];
        let (state, _) = states.iter().max_by_key(|(_, causes)| **causes).expect("a state");
        Observation::new(&character.id, &character.states[*state].id, Status::Seen)
    });
    let findings: Vec<Observation> = findings.collect();
    assert_eq!(findings.len(), FINDINGS);
    (Observations { host: pack.hosts[host].id.clone(), date: (6, 20), findings }, causes_of(host).count())
}

fn few(given: &Observations, findings: usize) -> Observations {
    Observations { findings: given.findings[..findings].to_vec(), ..given.clone() }
}

/// By how much the bytes in use grow over many updates, as one finding after the other comes in, KiB.
fn growth(pack: &Pack, given: &Observations) -> f64 {
    let steps: Vec<Observations> = (1..=FINDINGS).map(|n| few(given, n)).collect();
    let update = |n: usize| {
        drop(pack.differential(&steps[n % FINDINGS]).expect("a differential"));
        if n.is_multiple_of(100) {
            drop(pack.next_looks(&steps[n % FINDINGS]).expect("looks"));
        }
    };
    (0..100).for_each(update);
    let before = MEMORY.current_usage();
    (0..UPDATES).for_each(update);
    (MEMORY.current_usage() as f64 - before as f64) / KIB
}
