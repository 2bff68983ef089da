//! How right stated chances were.

use super::{Outcome, wilson};
use serde::Serialize;
use std::{
    collections::{BTreeMap, BTreeSet},
    fmt,
};

/// Chances as bins of one tenth each.
const BINS: usize = 10;
/// Causes and scouts with fewer cases are not shown: their figures say nothing, and name somebody.
const FEWEST_SHOWN: u64 = 5;

/// Calibration of everything that was stated, and of its parts.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct Calibration {
    /// All of it.
    pub all: Group,
    /// By the cause that was stated.
    pub causes: Vec<Group>,
    /// By the scout who looked.
    pub scouts: Vec<Group>,
}

/// Calibration of some of the stated chances.
#[derive(Clone, PartialEq, Default, Debug, Serialize)]
pub struct Group {
    /// Cause or scout; empty for all.
    pub name: String,
    /// Cases with something stated.
    pub cases: u64,
    /// Stated chances.
    pub stated: u64,
    /// How many of them were about a cause that was confirmed.
    pub right: u64,
    /// Mean squared difference between chance and truth, over stated chances.
    pub brier: f64,
    /// Mean natural log of the chance given to what was true, negative; chances are held between .0001 and .9999.
    pub log_loss: f64,
    /// Cases whose first stated cause was confirmed, and the 95-in-100 interval of their share; only for all and scouts.
    pub first: Option<(u64, [f64; 2])>,
    /// Cohen's kappa between the first cause stated and the first confirmed; only for all and scouts, and where it exists.
    pub kappa: Option<f64>,
    /// Chances by tenths, from the lowest up, without empty ones.
    pub bins: Vec<Bin>,
}

/// Stated chances of about the same size.
#[derive(Clone, PartialEq, Debug, Serialize)]
pub struct Bin {
    /// Lowest chance in it; the highest is below the next tenth, or 1.
    pub from: f64,
    /// How many there are.
    pub stated: u64,
    /// How many were about a cause that was confirmed.
    pub right: u64,
    /// Mean of the stated chances.
    pub mean: f64,
    /// The 95-in-100 interval of the share that was right.
    pub interval: [f64; 2],
}

impl Calibration {
    /// Calibration of what these outcomes stated; those that stated nothing are left out.
    pub fn of(outcomes: &[Outcome]) -> Self {
        let stated: Vec<&Outcome> = outcomes.iter().filter(|o| !o.stated.is_empty()).collect();
        let mut scouts: BTreeMap<&str, Vec<&Outcome>> = BTreeMap::new();
        for outcome in &stated {
            if let Some(scout) = &outcome.scout {
                scouts.entry(scout).or_default().push(outcome);
            }
        }
        let causes: BTreeSet<&str> = stated.iter().flat_map(|o| &o.stated).map(|s| s.cause.as_str()).collect();
        Self {
            all: Group::of_cases("", &stated),
            causes: causes.into_iter().map(|cause| Group::of_chances(cause, &stated, |c| c == cause)).collect(),
            scouts: scouts.into_iter().map(|(scout, cases)| Group::of_cases(scout, &cases)).collect(),
        }
    }
}

impl Group {
    fn of_cases(name: &str, cases: &[&Outcome]) -> Self {
        let mut group = Self::of_chances(name, cases, |_| true);
        let first = cases.iter().filter(|o| o.stated.first().is_some_and(|s| o.has(&s.cause))).count() as u64;
        group.first = Some((first, wilson(first, group.cases)));
        let pairs =
            cases.iter().filter_map(|o| Some((o.stated.first()?.cause.as_str(), o.causes.first()?.cause.as_str())));
        group.kappa = kappa(&pairs.collect::<Vec<_>>());
        group
    }

    fn of_chances(name: &str, cases: &[&Outcome], wanted: impl Fn(&str) -> bool) -> Self {
        let mut group = Self { name: name.to_owned(), ..Self::default() };
        let mut pairs = Vec::new();
        for outcome in cases {
            let of_case = outcome.stated.iter().filter(|s| wanted(&s.cause));
            let before = pairs.len();
            pairs.extend(of_case.map(|s| (s.probability, outcome.has(&s.cause))));
            group.cases += u64::from(pairs.len() > before);
        }
        group.stated = pairs.len() as u64;
        group.right = pairs.iter().filter(|(_, truth)| *truth).count() as u64;
        group.brier = brier(&pairs);
        group.log_loss = log_loss(&pairs);
        for bin in 0..BINS {
            let inside = pairs.iter().filter(|(chance, _)| ((chance * BINS as f64) as usize).min(BINS - 1) == bin);
            let inside: Vec<_> = inside.collect();
            let (stated, right) = (inside.len() as u64, inside.iter().filter(|(_, truth)| *truth).count() as u64);
            if stated > 0 {
                let mean = inside.iter().map(|(chance, _)| chance).sum::<f64>() / stated as f64;
                let from = bin as f64 / BINS as f64;
                group.bins.push(Bin { from, stated, right, mean, interval: wilson(right, stated) });
            }
        }
        group
    }
}

impl fmt::Display for Calibration {
    /// Lines to read: all of it with its bins, then causes and scouts that have five cases or more.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Stated before it was confirmed: {}", self.all)?;
        for bin in &self.all.bins {
            let [low, high] = bin.interval;
            write!(f, "\n  said {:.2}, right {} of {} ({low:.2} to {high:.2})", bin.mean, bin.right, bin.stated)?;
        }
        for (what, groups) in [("cause", &self.causes), ("scout", &self.scouts)] {
            for group in groups.iter().filter(|g| g.cases >= FEWEST_SHOWN) {
                write!(f, "\n  {what} {}: {group}", group.name)?;
            }
        }
        Ok(())
    }
}

impl fmt::Display for Group {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.stated == 0 {
            return f.write_str("nothing");
        }
        write!(f, "{} chances in {} cases, {} right", self.stated, self.cases, self.right)?;
        write!(f, ", Brier {:.3}, log loss {:.3}", self.brier, self.log_loss)?;
        if let Some((first, [low, high])) = self.first {
            write!(f, ", first choice right in {first} ({low:.2} to {high:.2})")?;
        }
        self.kappa.iter().try_for_each(|kappa| write!(f, ", kappa {kappa:.2}"))
    }
}

/// Mean squared difference between chance and truth (Brier 1950); 0 where there is nothing to judge.
pub fn brier(pairs: &[(f64, bool)]) -> f64 {
    mean(pairs.iter().map(|(chance, truth)| (chance - f64::from(u8::from(*truth))).powi(2)), pairs.len())
}

fn log_loss(pairs: &[(f64, bool)]) -> f64 {
    let of = |(chance, truth): &(f64, bool)| {
        let chance = chance.clamp(1e-4, 1.0 - 1e-4);
        if *truth { -chance.ln() } else { -(1.0 - chance).ln() }
    };
    mean(pairs.iter().map(of), pairs.len())
}

fn mean(numbers: impl Iterator<Item = f64>, count: usize) -> f64 {
    numbers.sum::<f64>() / count.max(1) as f64
}

/// Agreement of two people beyond chance (Cohen 1960), from what each said of every case; nothing where chance alone
/// would make them agree always, or without any case.
pub fn kappa(said: &[(&str, &str)]) -> Option<f64> {
    let all = said.len() as f64;
    let mut counts: BTreeMap<&str, (f64, f64)> = BTreeMap::new();
    for (one, other) in said {
        counts.entry(one).or_default().0 += 1.0;
        counts.entry(other).or_default().1 += 1.0;
    }
    let observed = said.iter().filter(|(one, other)| one == other).count() as f64 / all;
    let by_chance = counts.values().map(|(one, other)| one * other).sum::<f64>() / (all * all);
    (by_chance < 1.0).then(|| (observed - by_chance) / (1.0 - by_chance))
}
