//! What learning needs to know of a pack, in plain values.

/// A pack as learning sees it. Every index inside it points at something that is there.
#[derive(Clone, PartialEq, Debug)]
pub struct Model {
    /// Ids of what is planted.
    pub hosts: Vec<String>,
    /// The words with their chances, from the lowest up.
    pub words: Vec<Word>,
    /// What can be observed.
    pub characters: Vec<LearnCharacter>,
    /// What can be the trouble.
    pub causes: Vec<LearnCause>,
}

/// A word for how often something is so.
#[derive(Clone, PartialEq, Debug)]
pub struct Word {
    /// The word.
    pub name: String,
    /// Its chance, above 0 and below 1.
    pub chance: f64,
}

/// One observable character.
#[derive(Clone, PartialEq, Debug)]
pub struct LearnCharacter {
    /// Its id.
    pub id: String,
    /// Whether it is a circumstance, which no cause produces.
    pub circumstance: bool,
    /// Whether several states can be there at once.
    pub several: bool,
    /// Its states.
    pub states: Vec<LearnState>,
}

/// One state of a character.
#[derive(Clone, PartialEq, Debug)]
pub struct LearnState {
    /// Its id within the character.
    pub id: String,
    /// Whether it means that nothing is wrong here.
    pub normal: bool,
    /// Whether it only says that nobody knows.
    pub not_known: bool,
    /// Chance that it is there without any listed cause, above 0 and below 1.
    pub leak: f64,
}

/// One cause.
#[derive(Clone, PartialEq, Debug)]
pub struct LearnCause {
    /// Its id.
    pub id: String,
    /// Ids of the hosts that can have it; none if every host can.
    pub hosts: Vec<String>,
    /// How often it explains an inquiry about such a host, as a chance.
    pub prior: f64,
    /// The states it produces.
    pub links: Vec<LearnLink>,
}

/// The chance that a cause produces a state.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct LearnLink {
    /// Index of the character in the model.
    pub character: usize,
    /// Index of the state in the character.
    pub state: usize,
    /// The chance, above 0 and below 1.
    pub chance: f64,
}

/// Natural log of the odds of a chance.
pub(super) fn log_odds(chance: f64) -> f64 {
    (chance / (1.0 - chance)).ln()
}

impl Model {
    /// The word nearest to a chance, by log odds; nothing if the model has no words.
    pub fn nearest_word(&self, chance: f64) -> Option<&Word> {
        let distance = |word: &Word| (log_odds(word.chance) - log_odds(chance)).abs();
        self.words.iter().min_by(|a, b| distance(a).total_cmp(&distance(b)))
    }

    /// Index of a cause.
    pub fn cause_index(&self, id: &str) -> Option<usize> {
        self.causes.iter().position(|c| c.id == id)
    }

    /// Index of a character.
    pub fn character_index(&self, id: &str) -> Option<usize> {
        self.characters.iter().position(|c| c.id == id)
    }
}

impl LearnCharacter {
    /// Index of a state.
    pub fn state_index(&self, id: &str) -> Option<usize> {
        self.states.iter().position(|s| s.id == id)
    }
}

impl LearnCause {
    /// Whether a plant of this host can have it.
    pub fn fits_host(&self, host: &str) -> bool {
        self.hosts.is_empty() || self.hosts.iter().any(|h| h == host)
    }

    /// Chance that it produces the state; nothing if it is not said to.
    pub fn chance(&self, character: usize, state: usize) -> Option<f64> {
        self.links.iter().find(|l| l.character == character && l.state == state).map(|l| l.chance)
    }
}
