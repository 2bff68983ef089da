//! How long a differential takes.

use super::landscape;
use crate::key::{Nature, Observation, Observations, Pack, Status};
use std::time::{Duration, Instant};

/// The host with the most candidates, and a seen state in each of the 15 effects that most of its causes produce.
fn dearest(pack: &Pack) -> Observations {
    let host = (0..pack.hosts.len()).max_by_key(|h| pack.index.candidates[*h].len()).unwrap();
    let links = pack.index.candidates[host].iter().flat_map(|c| &pack.causes[*c].key);
    let links: Vec<_> = links.filter(|l| pack.characters[l.character].nature != Nature::Circumstance).collect();
    let users = |character: usize| links.iter().filter(|l| l.character == character).count();
    let mut characters: Vec<usize> = links.iter().map(|l| l.character).collect();
    characters.sort_unstable();
    characters.dedup();
    characters.sort_by_key(|c| std::cmp::Reverse(users(*c)));
    let findings = characters[..15].iter().map(|c| {
        let link = links.iter().find(|l| l.character == *c).unwrap();
        let character = &pack.characters[*c];
        Observation::new(&character.id, &character.states[link.state].id, Status::Seen)
    });
    Observations { host: pack.hosts[host].id.clone(), date: (6, 20), findings: findings.collect() }
}

#[test]
#[ignore = "measures time: run it optimised, on a quiet machine, with --ignored --nocapture"]
fn fifteen_findings_take_no_more_than_five_milliseconds() {
    let pack = landscape();
    let seen = dearest(&pack);
    let mut times: Vec<Duration> = (0..101)
        .map(|_| {
            let start = Instant::now();
            pack.differential(&seen).unwrap();
            start.elapsed()
        })
        .collect();
    times.sort_unstable();
    eprintln!("{} with 15 findings: middle {:?}, slowest {:?}", seen.host, times[50], times[100]);
    assert!(times[50] <= Duration::from_millis(5), "{:?}", times[50]);
}
