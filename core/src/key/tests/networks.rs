//! The differential against the exact marginals of random small networks, with everything off that is not noisy-OR.

use super::{pack_of, small_files};
use crate::key::{Differential, Observation, Observations, Pack, Settings, Status};
use rand::{Rng, SeedableRng};
use std::fmt::Write;

const WORDS: [(&str, f64); 6] = [
    ("usually", 0.8),
    ("often", 0.6),
    ("sometimes", 0.35),
    ("occasionally", 0.15),
    ("rarely", 0.05),
    ("almost_never", 0.01),
];
const CAUSES: usize = 3;

/// Noisy-OR: priors, and for each finding its leak and the chance that each cause produces it.
struct Network {
    priors: [f64; CAUSES],
    findings: Vec<(f64, [f64; CAUSES])>,
}

fn draw(rng: &mut impl Rng) -> (Network, Pack) {
    let mut word = |from: usize| WORDS[rng.random_range(from..WORDS.len())];
    let priors = [0; CAUSES].map(|_| word(2));
    let (mut findings, mut characters) = (Vec::new(), String::new());
    let mut keys = [const { String::new() }; CAUSES];
    for f in 0..6 {
        let leak = word(2);
        let line = format!(
            "- {{id: f{f}, part: leaf, cost: glance, multi: true, label: l, ask: a, how: h, normal: ok, states: {{ok: a, bad: b}}, leak: {{bad: {}}}}}",
            leak.0
        );
        writeln!(characters, "{line}").unwrap();
        let mut chances = [0.0; CAUSES];
        for (j, key) in keys.iter_mut().enumerate() {
            // Two causes in three produce it.
            if (f + j) % 3 != 0 {
                let link = word(0);
                chances[j] = link.1;
                write!(key, "f{f}.bad: {}, ", link.0).unwrap();
            }
        }
        findings.push((leak.1, chances));
    }
    let mut causes = String::new();
    for (j, key) in keys.iter().enumerate() {
        let line = format!(
            "- {{id: c{j}, name: n, cause: c, type: insect, hosts: [tree], prior: {}, key: {{{key}}}, confirm: c, window: [01-01, 12-31], weather: w, do: d, dont: d, group: a, role: primary, escalate: none}}",
            priors[j].0
        );
        writeln!(causes, "{line}").unwrap();
    }
    let pack = pack_of(&small_files(&characters, &causes)).unwrap();
    (Network { priors: priors.map(|p| p.1), findings }, pack)
}

impl Network {
    /// P(cause | findings) by adding up the joint probability of all eight states of the causes.
    fn marginals(&self, seen: &[Option<bool>]) -> [f64; CAUSES] {
        let (mut marginal, mut total) = ([0.0; CAUSES], 0.0);
        for set in 0..1_u32 << CAUSES {
            let there = |j: usize| set >> j & 1 == 1;
            let prior: f64 =
                (0..CAUSES).map(|j| if there(j) { self.priors[j] } else { 1.0 - self.priors[j] }).product();
            let likelihood: f64 = self
                .findings
                .iter()
                .zip(seen)
                .filter_map(|((leak, chances), seen)| {
                    let spared: f64 = (0..CAUSES).filter(|j| there(*j)).map(|j| 1.0 - chances[j]).product();
                    seen.map(|seen| if seen { 1.0 - (1.0 - leak) * spared } else { (1.0 - leak) * spared })
                })
                .product();
            total += prior * likelihood;
            (0..CAUSES).filter(|j| there(*j)).for_each(|j| marginal[j] += prior * likelihood);
        }
        marginal.map(|m| m / total)
    }

    /// Settings under which the differential is nothing but this network.
    fn settings(&self) -> Settings {
        Settings {
            prior_power: 1.0,
            any_host_factor: 1.0,
            expected_causes: self.priors.iter().sum(),
            size_weights: [1.0; 4],
            tempering: 1.0,
            mistake: 0.0,
            sign_mistake: 0.0,
            finding_floor: 1e-12,
            mobile_floor: 1e-12,
            ..Settings::default()
        }
    }
}

#[test]
fn the_differential_is_exact_on_random_networks() {
    for seed in 0..60 {
        let mut rng = rand_chacha::ChaCha8Rng::seed_from_u64(seed);
        let (network, pack) = draw(&mut rng);
        let seen: Vec<Option<bool>> =
            network.findings.iter().map(|_| [None, Some(true), Some(false)][rng.random_range(0..3)]).collect();
        let findings = seen.iter().enumerate().filter_map(|(f, seen)| {
            let status = if (*seen)? { Status::Seen } else { Status::Absent };
            Some(Observation::new(format!("f{f}"), "bad", status))
        });
        let given = Observations { host: "tree".into(), date: (6, 20), findings: findings.collect() };
        let found = Differential::new(&pack, &network.settings(), &given).unwrap();
        let exact = network.marginals(&seen);
        for (j, exact) in exact.iter().enumerate() {
            let one = found.ranked.iter().find(|r| r.cause == format!("c{j}")).unwrap();
            assert!((one.probability - exact).abs() < 1e-9, "seed {seed} c{j}: {} not {exact}", one.probability);
        }
    }
}
