//! One walk through the key as pure state: what was answered, what can be undone, which stops stand, what to look at next.

use dooryard_core::{
    Result,
    advice::{Advice, Situation},
    key::{
        Blocks, Cost, Differential, Host, Language, NextLooks, Observation, Observations, Pack, RaisedStop, Status,
        StopKind, Text,
    },
};
use jiff::civil::Date;

use crate::command::speak::fold;

/// What was answered to one look.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Found {
    /// Ids of the states that are there, and of those looked for and not there.
    Looked {
        /// There.
        seen: Vec<String>,
        /// Looked for, not there.
        absent: Vec<String>,
    },
    /// Looked, could not tell.
    Unsure,
    /// Not looked.
    Skipped,
}

/// One answer.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Answer {
    /// Counts up with every answer of the walk; never given twice.
    pub serial: u32,
    /// Id of the character.
    pub character: String,
    /// What was answered.
    pub found: Found,
}

impl Answer {
    /// What it says to the key.
    pub fn observations(&self) -> Vec<Observation> {
        let states = |ids: &[String], status| {
            ids.iter().map(|id| Observation::new(&self.character, id, status)).collect::<Vec<_>>()
        };
        let whole = |status| vec![Observation { character: self.character.clone(), state: None, status }];
        match &self.found {
            Found::Looked { seen, absent } => [states(seen, Status::Seen), states(absent, Status::Absent)].concat(),
            Found::Unsure => whole(Status::Unsure),
            Found::Skipped => whole(Status::NotLooked),
        }
    }
}

/// Where the walk stands after an answer.
pub struct Turn {
    /// The causes.
    pub found: Differential,
    /// What to look at, without what a stop forbids.
    pub next: NextLooks,
    /// Id of the look to ask now; nothing when none is left.
    pub look: Option<String>,
}

/// One walk.
pub struct Session<'p> {
    /// The content.
    pub pack: &'p Pack,
    /// The language of the conversation.
    pub language: Language,
    /// Day of the look.
    pub date: Date,
    /// The resident's own words.
    pub question: String,
    /// Id of the host, once it is chosen.
    pub host: Option<String>,
    known: Vec<Observation>,
    answers: Vec<Answer>,
    situation: Situation,
    shown: Vec<String>,
    chosen: Option<String>,
    serial: u32,
}

impl<'p> Session<'p> {
    /// A walk that begins.
    pub fn new(pack: &'p Pack, language: Language, date: Date) -> Self {
        Self {
            pack,
            language,
            date,
            question: String::new(),
            host: None,
            known: Vec::new(),
            answers: Vec::new(),
            situation: Situation::new([], []),
            shown: Vec::new(),
            chosen: None,
            serial: 0,
        }
    }

    /// Takes over what an inquiry holds already: findings of earlier visits, the resident's words, stops that were shown.
    pub fn resume(&mut self, known: Vec<Observation>, question: String, stops: &[String]) {
        self.known = known;
        self.situation = Situation::new([question.as_str()], stops.iter().map(String::as_str));
        self.question = question;
    }

    /// Takes the resident's own words, and raises the stops for the dangers they speak of.
    pub fn hear(&mut self, words: String) {
        self.situation.hear(&words);
        self.question = words;
    }

    /// Raises a stop for another reason than a finding. It stands from then on.
    pub fn raise(&mut self, stop: &str, because: &str) {
        self.situation.raise(stop, because);
    }

    /// The stops that stand and were not shown yet. From now on they count as shown, and stay.
    pub fn show_stops(&mut self) -> Vec<RaisedStop> {
        let by_findings = self.pack.raise_stops(&self.findings());
        for stop in &by_findings {
            stop.because.iter().for_each(|because| self.raise(&stop.id, because));
        }
        let mut new = self.situation.stops(self.pack);
        new.retain(|s| s.kind != StopKind::Note && !self.shown.contains(&s.id));
        self.shown.extend(new.iter().map(|s| s.id.clone()));
        new
    }

    /// Counts stops as shown that the advice raised by itself.
    pub fn told(&mut self, advice: &Advice) {
        for stop in advice.stops.iter().filter(|s| s.kind != StopKind::Note) {
            if !self.shown.contains(&stop.id) {
                self.shown.push(stop.id.clone());
            }
        }
    }

    /// Ids of the stops that were shown, in the order in which they were.
    pub fn stops(&self) -> &[String] {
        &self.shown
    }

    /// Whether a stop stands that forbids this.
    pub fn is_blocked(&self, what: Blocks) -> bool {
        self.situation.stops(self.pack).iter().any(|s| s.blocks.contains(&what))
    }

    /// Hosts with this number (from 1, in the order of the pack), or with these letters in their name or id.
    pub fn hosts(&self, typed: &str) -> Vec<&'p Host> {
        let typed = fold(typed);
        if let Ok(number) = typed.parse::<usize>() {
            return self.pack.hosts.get(number.wrapping_sub(1)).into_iter().collect();
        }
        let names = |h: &Host| {
            [h.name.get(self.language), h.name.en(), &h.scientific, &h.id].iter().map(|n| fold(n)).collect::<Vec<_>>()
        };
        if let Some(exact) = self.pack.hosts.iter().find(|h| names(h).contains(&typed)) {
            return vec![exact];
        }
        self.pack.hosts.iter().filter(|h| names(h).iter().any(|n| n.contains(&typed))).collect()
    }

    /// Everything that was found, in this walk and before.
    pub fn findings(&self) -> Vec<Observation> {
        self.known.iter().cloned().chain(self.answers.iter().flat_map(Answer::observations)).collect()
    }

    /// What the key is asked; nothing before the host is chosen.
    pub fn observations(&self) -> Option<Observations> {
        let date = (self.date.month().unsigned_abs(), self.date.day().unsigned_abs());
        Some(Observations { host: self.host.clone()?, date, findings: self.findings() })
    }

    /// The answers of this walk, oldest first.
    pub fn answers(&self) -> &[Answer] {
        &self.answers
    }

    /// Takes an answer. One that skipped the same look before is replaced.
    pub fn answer(&mut self, character: &str, found: Found) {
        self.answers.retain(|a| a.character != character || a.found != Found::Skipped);
        self.serial += 1;
        self.answers.push(Answer { serial: self.serial, character: character.to_owned(), found });
        self.chosen = None;
    }

    /// Takes the last answer back, and asks that look again.
    pub fn undo(&mut self) -> Option<Answer> {
        let last = self.answers.pop()?;
        self.chosen = Some(last.character.clone());
        Some(last)
    }

    /// Asks this look now.
    pub fn choose(&mut self, character: &str) {
        self.chosen = Some(character.to_owned());
    }

    /// Whether a look can be asked: nobody took it, and no stop forbids it.
    fn can_ask(&self, character: &str) -> bool {
        let taken = |f: &Observation| f.character == character && f.status != Status::NotLooked;
        let digs = self.pack.character(character).is_none_or(|c| c.cost == Cost::Dig);
        let forbidden = digs && self.is_blocked(Blocks::Digging);
        !forbidden && !self.findings().iter().any(taken)
    }

    /// Ids of the looks that can be asked with these words in their label, then those with them in their question.
    pub fn looks_with(&self, typed: &str) -> Vec<String> {
        let typed = fold(typed);
        let says = |text: &Text| [text.get(self.language), text.en()].iter().any(|t| fold(t).contains(&typed));
        let open = || self.pack.characters.iter().filter(|c| self.can_ask(&c.id));
        let (label, ask) = (open().filter(|c| says(&c.label)), open().filter(|c| !says(&c.label) && says(&c.ask)));
        label.chain(ask).map(|c| c.id.clone()).collect()
    }

    /// Where the walk stands; nothing before the host is chosen.
    ///
    /// # Errors
    /// As [`Differential::new`].
    pub fn turn(&self) -> Result<Option<Turn>> {
        let Some(given) = self.observations() else { return Ok(None) };
        let (found, mut next) = (self.pack.differential(&given)?, self.pack.next_looks(&given)?);
        next.first.retain(|c| self.can_ask(c));
        next.looks.retain(|l| self.can_ask(&l.character));
        let skipped = |id: &str| self.answers.iter().any(|a| a.character == id && a.found == Found::Skipped);
        let chosen = self.chosen.as_deref().filter(|c| self.can_ask(c));
        let look = chosen.or_else(|| looks(&next).find(|c| !skipped(c))).map(str::to_owned);
        Ok(Some(Turn { found, next, look }))
    }

    /// The advice as it stands; nothing before the host is chosen.
    ///
    /// # Errors
    /// As [`Differential::new`].
    pub fn advice(&self) -> Result<Option<Advice>> {
        let Some(given) = self.observations() else { return Ok(None) };
        Advice::new(self.pack, &given, &self.situation).map(Some)
    }
}

/// Ids of the looks that are left: those asked of every plant, then the others, best first.
pub fn looks(next: &NextLooks) -> impl Iterator<Item = &str> {
    let rest = next.looks.iter().map(|l| l.character.as_str()).filter(|c| !next.first.iter().any(|f| f == c));
    next.first.iter().map(String::as_str).chain(rest)
}
