//! The end of a walk: summary, advice, letter, notebook.

use std::{
    io::{BufRead, Write},
    path::{Path, PathBuf},
};

use anyhow::{Context, Result};
use dooryard_core::{
    advice::Advice,
    key::Blocks,
    letter::{Letter, Occasion},
};

use super::{dialog::Dialog, input, save::Saver, view};
use crate::command::{refusal::Refusal, speak};

/// What is done at the end without asking.
pub struct Ending {
    /// Where the letter goes.
    pub letter: Option<PathBuf>,
}

impl<R: BufRead, W: Write> Dialog<'_, R, W> {
    /// Sums up, tells, and offers what can be kept. Where the input has ended nothing is asked.
    pub(super) fn finish(&mut self, ending: &Ending) -> Result<()> {
        view::summary(&mut self.screen, self.w, &self.session)?;
        let told = self.session.advice()?;
        if let Some(advice) = &told {
            self.session.told(advice);
            if !advice.stops.iter().any(|s| s.blocks.contains(&Blocks::Diagnosis)) {
                self.last_list()?;
            }
            speak::advice(&mut self.screen, self.w, self.session.pack, advice)?;
        }
        self.save()?;
        self.screen.gap()?;
        self.offer_notebook()?;
        if let Some(advice) = &told {
            self.offer_answer(advice)?;
            self.offer_letter(advice, ending.letter.as_deref())?;
        }
        let Some(saver) = &mut self.saver else {
            self.screen.say(self.w.not_saved)?;
            return Ok(());
        };
        saver.finish(self.session.date)?;
        match saver.inquiry() {
            Some(id) => {
                let place = saver.dir().display().to_string();
                self.screen.say(&format!("{} {id}", self.w.saved))?;
                self.screen.say(&format!("dooryard key letter {place} {id}"))?;
            }
            None => self.screen.say(self.w.not_saved)?,
        }
        Ok(())
    }

    fn last_list(&mut self) -> Result<()> {
        if let Some(turn) = self.session.turn()? {
            self.screen.head(self.w.so_far)?;
            speak::causes(&mut self.screen, self.w, self.session.pack, &turn.found, &[])?;
            self.screen.say(self.w.aid)?;
        }
        Ok(())
    }

    fn offer_notebook(&mut self) -> Result<()> {
        while self.saver.is_none() {
            let Some(folder) = self.path(self.w.notebook_ask)? else { return Ok(()) };
            let opened = Saver::open(&folder).and_then(|mut saver| {
                saver.sync(&self.session)?;
                Ok(saver)
            });
            match opened {
                Ok(saver) => self.saver = Some(saver),
                Err(e) => self.refused(&e)?,
            }
        }
        Ok(())
    }

    fn offer_answer(&mut self, advice: &Advice) -> Result<()> {
        if self.saver.is_none() || advice.causes.is_empty() {
            return Ok(());
        }
        if self.yes_no(self.w.keep_ask)? == Some(true)
            && let Some(saver) = &mut self.saver
        {
            saver.keep_answer(&self.session, advice)?;
        }
        Ok(())
    }

    fn offer_letter(&mut self, advice: &Advice, file: Option<&Path>) -> Result<()> {
        if let Some(file) = file {
            self.write_letter(advice, file)?;
            self.screen.say(&format!("{} {}", self.w.letter_done, file.display()))?;
            return Ok(());
        }
        while let Some(file) = self.path(self.w.letter_ask)? {
            if file.exists() {
                self.screen.say(self.w.letter_there)?;
                continue;
            }
            match self.write_letter(advice, &file) {
                Err(e) => self.refused(&e)?,
                Ok(()) => {
                    self.screen.say(&format!("{} {}", self.w.letter_done, file.display()))?;
                    return Ok(());
                }
            }
        }
        Ok(())
    }

    /// A file or folder; nothing for an empty line, a no, or an ended input. A bare yes is no name: it is asked again.
    fn path(&mut self, prompt: &str) -> Result<Option<PathBuf>> {
        while let Some(typed) = self.line(prompt)? {
            match (typed.trim(), input::yes_no(&typed)) {
                ("", _) | (_, Some(false)) => return Ok(None),
                (_, Some(true)) => {}
                (name, None) => return Ok(Some(PathBuf::from(name))),
            }
        }
        Ok(None)
    }

    fn refused(&mut self, e: &anyhow::Error) -> Result<()> {
        let refusal = Refusal::of(e);
        self.screen.say(&format!("{} {} {}", self.w.not_done, refusal.why, refusal.to_do))?;
        Ok(())
    }

    fn write_letter(&self, advice: &Advice, file: &Path) -> Result<()> {
        let s = &self.session;
        let Some(given) = s.observations() else { return Ok(()) };
        let saver = self.saver.as_ref();
        let occasion = Occasion {
            office: saver.map_or_else(|| self.w.office.to_owned(), Saver::office),
            office_lines: Vec::new(),
            inquiry: saver.and_then(Saver::inquiry).map_or_else(String::new, |id| id.to_string()),
            date: crate::page::When::now().today(),
            question: s.question.clone(),
            reviewed_by: None,
            signed: self.w.signed.to_owned(),
        };
        let letter = Letter::new(s.pack, &given, advice, &s.pack.next_looks(&given)?, &occasion, s.language)?;
        let text = if is_page(file) { letter.html } else { letter.text };
        std::fs::write(file, text).with_context(|| format!("writing {}", file.display()))
    }
}

/// Whether a file's name is that of an HTML page.
fn is_page(file: &Path) -> bool {
    file.extension().is_some_and(|e| e.eq_ignore_ascii_case("html") || e.eq_ignore_ascii_case("htm"))
}
