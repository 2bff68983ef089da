//! The conversation over the looks: each is asked until it is answered, or something else is asked for.

use std::io::{BufRead, Write};

use anyhow::Result;
use dooryard_core::key::{Blocks, Character, Differential};

use super::{
    dialog::{Dialog, Flow},
    input::{self, Command, Input, Mistake},
    session::{Found, Turn, looks},
    view,
};
use crate::command::speak;

/// Looks of the list.
const LISTED: usize = 12;

impl<R: BufRead, W: Write> Dialog<'_, R, W> {
    /// Asks looks, best first, until none is left or the person ends it.
    pub(super) fn looks(&mut self) -> Result<Flow> {
        if self.stops()? == Flow::End {
            return Ok(Flow::End);
        }
        let Some(mut turn) = self.session.turn()? else { return Ok(Flow::End) };
        if !self.session.findings().is_empty() {
            self.causes(&turn, None)?;
        }
        loop {
            let Some(character) = turn.look.as_deref().and_then(|c| self.session.pack.character(c)) else {
                self.screen.gap()?;
                self.screen.say(self.w.none_left)?;
                return Ok(Flow::End);
            };
            if turn.next.enough {
                self.screen.gap()?;
                self.screen.item("! ", self.w.enough)?;
            }
            view::look(&mut self.screen, self.w, &self.session, character)?;
            let flow = self.one(&turn, character)?;
            if flow == Flow::End {
                return Ok(Flow::End);
            }
            let Some(now) = self.session.turn()? else { return Ok(Flow::End) };
            if flow == Flow::Moved {
                self.causes(&now, Some(&turn.found))?;
            }
            turn = now;
        }
    }

    /// Listens until this look is answered or another one is to be asked.
    fn one(&mut self, turn: &Turn, character: &Character) -> Result<Flow> {
        // The whole prompt until the first answer, then a short one.
        let prompt = match (self.session.answers().is_empty(), character.multi) {
            (false, _) => self.w.answer_short,
            (true, true) => self.w.answer_many,
            (true, false) => self.w.answer_one,
        };
        loop {
            let Some(typed) = self.line(prompt)? else { return Ok(Flow::End) };
            let found = match input::answer(&typed, character) {
                Err(mistake) => {
                    self.explain(&mistake)?;
                    continue;
                }
                Ok(Input::Command(command)) => match self.command(command, turn, character)? {
                    Some(flow) => return Ok(flow),
                    None => continue,
                },
                Ok(Input::Unsure) => Found::Unsure,
                Ok(Input::Skip) => Found::Skipped,
                Ok(Input::Looked { seen, absent }) => {
                    let ids = |list: Vec<usize>| list.into_iter().map(|s| character.states[s].id.clone()).collect();
                    Found::Looked { seen: ids(seen), absent: ids(absent) }
                }
            };
            self.noted(self.w.noted, character, &found)?;
            let moved = matches!(found, Found::Looked { .. });
            self.session.answer(&character.id, found);
            self.save()?;
            return Ok(if self.stops()? == Flow::End {
                Flow::End
            } else if moved {
                Flow::Moved
            } else {
                Flow::On
            });
        }
    }

    fn noted(&mut self, head: &str, character: &Character, found: &Found) -> Result<()> {
        let language = self.session.language;
        let texts = |ids: &[String]| {
            let states = character.states.iter().filter(|s| ids.contains(&s.id));
            states.map(|s| s.text.get(language)).collect::<Vec<_>>().join("; ")
        };
        let said = match found {
            Found::Unsure => self.w.unsure.to_owned(),
            Found::Skipped => self.w.skipped.to_owned(),
            Found::Looked { seen, absent } => {
                let parts = [(seen, self.w.seen), (absent, self.w.absent)];
                let parts = parts.iter().filter(|(ids, _)| !ids.is_empty());
                parts.map(|(ids, word)| format!("{} ({word})", texts(ids))).collect::<Vec<_>>().join("; ")
            }
        };
        self.screen.say(&format!("{head} {}: {said}", character.label.get(language)))?;
        Ok(())
    }

    /// Does what was asked for. Nothing when the same look goes on.
    fn command(&mut self, command: Command, turn: &Turn, character: &Character) -> Result<Option<Flow>> {
        let silent = self.session.is_blocked(Blocks::Diagnosis);
        match command {
            Command::Quit => return Ok(Some(Flow::End)),
            Command::Help => {
                self.screen.gap()?;
                self.screen.say(self.w.help)?;
            }
            Command::Undo => match self.session.undo() {
                None => self.screen.say(self.w.nothing_to_undo)?,
                Some(last) => {
                    if let Some(was) = self.session.pack.character(&last.character) {
                        self.noted(self.w.undone, was, &last.found)?;
                    }
                    if !self.session.pack.raise_stops(&last.observations()).is_empty() {
                        self.screen.say(self.w.stop_stays)?;
                    }
                    self.save()?;
                    return Ok(Some(Flow::Moved));
                }
            },
            Command::List => return self.list(turn),
            Command::Why | Command::Differential if silent => self.screen.say(self.w.held_back)?,
            Command::Why => view::why(&mut self.screen, self.w, &self.session, turn, character)?,
            Command::Differential => {
                self.screen.head(self.w.full)?;
                speak::reasons(&mut self.screen, self.w, self.session.pack, &turn.found)?;
            }
            Command::Advice => {
                if let Some(advice) = self.session.advice()? {
                    speak::advice(&mut self.screen, self.w, self.session.pack, &advice)?;
                }
            }
        }
        Ok(None)
    }

    /// Lists the best other looks, or those with the words typed, until one is chosen.
    fn list(&mut self, turn: &Turn) -> Result<Option<Flow>> {
        self.screen.head(self.w.list)?;
        let best: Vec<String> = looks(&turn.next).take(LISTED).map(str::to_owned).collect();
        let mut ids = best.clone();
        loop {
            view::other_looks(&mut self.screen, self.w, &self.session, &ids)?;
            let Some(typed) = self.line(self.w.list_ask)? else { return Ok(Some(Flow::End)) };
            let typed = typed.trim();
            if typed.is_empty() {
                return Ok(Some(Flow::On));
            }
            match input::command(typed) {
                Some(Command::Quit) => return Ok(Some(Flow::End)),
                Some(_) => {
                    ids.clone_from(&best);
                    continue;
                }
                None => {}
            }
            if let Ok(number) = typed.parse::<usize>() {
                if let Some(id) = ids.get(number.wrapping_sub(1)) {
                    self.session.choose(id);
                    return Ok(Some(Flow::On));
                }
                self.screen.say(&format!("{} {typed}", self.w.no_number))?;
                continue;
            }
            let mut found = self.session.looks_with(typed);
            if found.is_empty() {
                self.screen.say(&format!("{} {typed}", self.w.no_look))?;
                continue;
            }
            if found.len() > LISTED {
                self.screen.say(&format!("{} {}", found.len(), self.w.many_looks))?;
                found.truncate(LISTED);
            }
            ids = found;
        }
    }

    fn explain(&mut self, mistake: &Mistake) -> Result<()> {
        let w = self.w;
        let said = match mistake {
            Mistake::Empty => w.nothing_typed.to_owned(),
            Mistake::Word(word) => format!("{} {word}", w.no_word),
            Mistake::Number(number) => format!("{} {number}", w.no_number),
            Mistake::Both(number) => format!("{} {number}", w.both),
            Mistake::OnlyOne => w.only_one.to_owned(),
            Mistake::NormalAlone(number) => format!("{} {number}", w.normal_alone),
        };
        self.screen.say(&said)?;
        Ok(())
    }

    /// The short list of causes, and what the last answer changed.
    fn causes(&mut self, turn: &Turn, before: Option<&Differential>) -> Result<()> {
        if self.session.is_blocked(Blocks::Diagnosis) {
            self.screen.gap()?;
            self.screen.say(self.w.held_back)?;
            return Ok(());
        }
        let moves = before.map(|before| speak::moved(before, &turn.found)).unwrap_or_default();
        if before.is_some() && moves.is_empty() {
            self.screen.say(self.w.as_before)?;
            return Ok(());
        }
        self.screen.head(self.w.so_far)?;
        speak::causes(&mut self.screen, self.w, self.session.pack, &turn.found, &moves)?;
        Ok(())
    }
}
