//! What the findings on effects say about sets of causes.

use super::causes::find;
use super::hazard::{added_hazards, base_hazards, base_rate, chance_where};
use super::{Cause, Character, Nature, Pack, Said, Settings, observe::Looked};

/// One statement about a character's states, and how its chance depends on the causes present.
#[derive(Debug)]
pub(super) struct Term {
    pub character: usize,
    pub said: Said,
    /// The states the statement names.
    pub states: Vec<usize>,
    /// What each cause that matters to it adds, by position among the candidates, ascending.
    pub pushes: Vec<Push>,
    /// By position among the candidates: what speaks against a cause beyond what [`Term::gain`] takes; natural log, below 0.
    pub against: Vec<(usize, f64)>,
    shape: Shape,
    base: Load,
    /// Natural log of the chance without any cause.
    base_ln: f64,
    mistake: f64,
}

/// What one cause adds to the hazards.
#[derive(Clone, Copy, Debug)]
pub(super) struct Push {
    pub candidate: usize,
    load: Load,
}

/// Hazards of the picked and of all competing states.
#[derive(Clone, Copy, Debug)]
pub(super) struct Load {
    picked: f64,
    all: f64,
    /// Chance that no competing state strikes, `exp(-all)`.
    none: f64,
}

impl Load {
    /// With what this cause adds.
    pub fn with(self, push: &Push) -> Self {
        let Load { picked, all, none } = push.load;
        Self { picked: self.picked + picked, all: self.all + all, none: self.none * none }
    }
}

#[derive(Clone, Copy, Debug)]
struct Shape {
    /// Whether the normal state, or "not there", is among what the statement says.
    normal: bool,
    /// Chance of the statement if it is a mistake.
    noise: f64,
    /// Natural log of the lowest factor.
    floor: f64,
    weight: f64,
}

impl Term {
    /// The hazards without any cause and with these.
    pub fn load(&self, present: &[&Push]) -> Load {
        present.iter().fold(self.base, |load, push| load.with(push))
    }

    /// Natural log of the factor by which these causes together change the chance of the statement, against no cause.
    pub fn gain(&self, present: &[&Push]) -> f64 {
        self.gain_under(self.load(present))
    }

    /// The same, of these hazards.
    pub fn gain_under(&self, load: Load) -> f64 {
        self.shape.weight * (self.ln_chance(load) - self.base_ln).max(self.shape.floor)
    }

    /// Natural log of the chance of the statement under these hazards, raised to the statement's weight; and what
    /// [`Term::gain_under`] gives.
    pub fn chance_and_gain(&self, load: Load) -> (f64, f64) {
        let ln = self.ln_chance(load);
        (self.shape.weight * ln, self.shape.weight * (ln - self.base_ln).max(self.shape.floor))
    }

    fn ln_chance(&self, Load { picked, all, none }: Load) -> f64 {
        let chance = chance_where(none, self.shape.normal, picked, all);
        ((1.0 - self.mistake) * chance + self.mistake * self.shape.noise).ln()
    }
}

/// The terms of all findings on effects, in the order of the pack.
pub(super) fn terms(pack: &Pack, candidates: &[&Cause], looked: &[Looked], settings: &Settings) -> Vec<Term> {
    looked.iter().flat_map(|one| terms_of(pack, candidates, one, settings)).collect()
}

/// The terms of the findings on one character; none if it is a circumstance.
pub(super) fn terms_of(pack: &Pack, candidates: &[&Cause], looked: &Looked, settings: &Settings) -> Vec<Term> {
    let (character, mut terms) = (&pack.characters[looked.character], Vec::new());
    if character.nature != Nature::Circumstance {
        Builder::new(looked, character, candidates, settings).build(&mut terms);
    }
    terms
}

struct Builder<'a> {
    looked: &'a Looked,
    character: &'a Character,
    settings: &'a Settings,
    candidates: &'a [&'a Cause],
    base: Vec<f64>,
    added: Vec<(usize, Vec<f64>)>,
}

impl<'a> Builder<'a> {
    fn new(looked: &'a Looked, character: &'a Character, candidates: &'a [&'a Cause], settings: &'a Settings) -> Self {
        let at = (looked.character, character);
        let added = candidates.iter().enumerate();
        let added = added.filter_map(|(i, cause)| Some((i, added_hazards(cause, at, settings)?))).collect();
        Self { looked, character, settings, candidates, base: base_hazards(character, settings), added }
    }

    fn build(&self, terms: &mut Vec<Term>) {
        match evidence(self.character, self.looked) {
            Evidence::Nothing => {}
            Evidence::OneOf { said, named, picked } => {
                let normal = picked.contains(&self.character.normal);
                let only_normal = normal && picked.len() == 1;
                let noise = picked.len() as f64 / self.character.states.len() as f64;
                let shape = Shape { normal, noise, floor: self.floor(only_normal), weight: 1.0 };
                let every: Vec<usize> = self.character.abnormal().collect();
                terms.push(self.term(said, named, shape, &picked, &every));
            }
            Evidence::Normal => {
                let every: Vec<usize> = self.character.abnormal().collect();
                let shape = Shape { floor: self.floor(true), ..self.missing(1.0) };
                terms.push(self.term(Said::Seen, vec![self.character.normal], shape, &[], &every));
            }
            Evidence::Several { seen, absent, unpicked } => {
                let noise = self.settings.mistaken_seen;
                for s in seen {
                    let shape = Shape { normal: false, noise, floor: self.floor(false), weight: 1.0 };
                    terms.push(self.term(Said::Seen, vec![s], shape, &[s], &[s]));
                }
                terms
                    .extend(absent.into_iter().map(|s| self.term(Said::Absent, vec![s], self.missing(1.0), &[], &[s])));
                let light = self.missing(self.settings.unpicked_weight);
                terms.extend(unpicked.into_iter().map(|s| self.term(Said::Unpicked, vec![s], light, &[], &[s])));
            }
        }
    }

    fn missing(&self, weight: f64) -> Shape {
        Shape { normal: true, noise: self.settings.mistaken_absent, floor: self.floor(false), weight }
    }

    fn floor(&self, only_normal: bool) -> f64 {
        let mobile = self.character.mobile && only_normal;
        if mobile { self.settings.mobile_floor.ln() } else { self.settings.finding_floor.ln() }
    }

    fn term(&self, said: Said, states: Vec<usize>, shape: Shape, picked: &[usize], competing: &[usize]) -> Term {
        let load = |hazards: &[f64]| {
            let sum = |states: &[usize]| states.iter().map(|s| hazards[*s]).sum::<f64>();
            let all = sum(competing);
            Load { picked: sum(picked), all, none: (-all).exp() }
        };
        let pushes = self.added.iter().map(|(candidate, hazards)| Push { candidate: *candidate, load: load(hazards) });
        let pushes = pushes.filter(|p| p.load.all > 0.0).collect();
        let base = load(&self.base);
        let sign = self.character.nature == Nature::Sign;
        let mistake = if sign { self.settings.sign_mistake } else { self.settings.mistake };
        let character = self.looked.character;
        let mut term =
            Term { character, said, states, pushes, against: Vec::new(), shape, base, base_ln: 0.0, mistake };
        term.base_ln = term.ln_chance(base);
        term.against = self.against(&term);
        term
    }

    /// For a state that speaks against a cause: the stronger of its factor and of what the term takes from the cause alone,
    /// never both; given here is what is left to take.
    fn against(&self, term: &Term) -> Vec<(usize, f64)> {
        let ([state], Said::Seen) = (term.states.as_slice(), term.said) else { return Vec::new() };
        let base = base_rate(self.character, *state, &self.base).max(self.settings.base_floor);
        let mut against = Vec::new();
        for (i, cause) in self.candidates.iter().enumerate() {
            if let Some(chance) = find(&cause.against, term.character, *state) {
                let factor = (chance / base).clamp(self.settings.against_floor, 1.0).ln();
                let alone = term.pushes.iter().find(|p| p.candidate == i).map_or(0.0, |p| term.gain(&[p]));
                let left = factor - alone.min(0.0);
                if left < 0.0 {
                    against.push((i, left));
                }
            }
        }
        against
    }
}

/// What the findings on one character come to.
#[derive(PartialEq, Eq, Debug)]
pub(super) enum Evidence {
    /// No evidence at all.
    Nothing,
    /// A single choice: one of the picked states holds; `named` are the states that were spoken of.
    OneOf { said: Said, named: Vec<usize>, picked: Vec<usize> },
    /// Several can be there, and nothing but the normal state was picked.
    Normal,
    /// Several can be there: some are, some are not, some were passed over while others were picked.
    Several { seen: Vec<usize>, absent: Vec<usize>, unpicked: Vec<usize> },
}

/// Reads the findings on one character. Two states seen in a single choice mean that one of them holds; absent states
/// count only where nothing was picked; states that could not be told, or were not looked for, are never evidence.
pub(super) fn evidence(character: &Character, looked: &Looked) -> Evidence {
    let states = 0..character.states.len();
    if looked.seen.iter().any(|s| character.states[*s].not_known) {
        return Evidence::Nothing;
    }
    if !character.multi {
        let (said, named, picked) = if looked.seen.is_empty() {
            (Said::Absent, &looked.absent, states.filter(|s| !looked.absent.contains(s)).collect())
        } else {
            (Said::Seen, &looked.seen, looked.seen.clone())
        };
        let nothing = named.is_empty() || picked.is_empty();
        return if nothing { Evidence::Nothing } else { Evidence::OneOf { said, named: named.clone(), picked } };
    }
    if looked.seen == [character.normal] {
        return Evidence::Normal;
    }
    let abnormal = |states: &[usize]| states.iter().copied().filter(|s| *s != character.normal).collect::<Vec<_>>();
    let (seen, absent) = (abnormal(&looked.seen), abnormal(&looked.absent));
    let passed_over = |s: &usize| !seen.contains(s) && !absent.contains(s) && !looked.open.contains(s);
    let unpicked = if seen.is_empty() { Vec::new() } else { character.abnormal().filter(passed_over).collect() };
    if seen.is_empty() && absent.is_empty() { Evidence::Nothing } else { Evidence::Several { seen, absent, unpicked } }
}
