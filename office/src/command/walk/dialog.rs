//! The conversation up to the first look: safety, the question, the plant. All it knows stands in the session; all that is kept goes through the saver.
//!
//! A question that is not answered because the input ended gives nothing, and the walk goes to its end from wherever it is.

use std::io::{BufRead, Write};

use anyhow::Result;
use dooryard_core::key::Blocks;

use super::{
    finish::Ending,
    input::{self, Command},
    save::Saver,
    session::Session,
    view,
};
use crate::command::speak::{self, Screen, Words, words};

/// One conversation.
pub struct Dialog<'p, R, W> {
    pub(super) session: Session<'p>,
    pub(super) w: &'static Words,
    pub(super) input: R,
    pub(super) screen: Screen<W>,
    pub(super) saver: Option<Saver>,
    /// Whether lines are shown again as they were typed: where no terminal does.
    echo: bool,
    ended: bool,
}

/// How the walk goes on.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Flow {
    /// On, with the same causes.
    On,
    /// On, and the causes may have moved.
    Moved,
    End,
}

impl<'p, R: BufRead, W: Write> Dialog<'p, R, W> {
    /// A conversation over these lines.
    pub fn new(session: Session<'p>, input: R, screen: Screen<W>, saver: Option<Saver>, echo: bool) -> Self {
        let w = words(session.language);
        Self { session, w, input, screen, saver, echo, ended: false }
    }

    /// Walks from the safety questions to the end.
    ///
    /// # Errors
    /// Of the terminal, and of the notebook when something cannot be saved.
    pub fn run(mut self, ending: &Ending) -> Result<()> {
        self.welcome()?;
        self.talk()?;
        self.finish(ending)
    }

    fn welcome(&mut self) -> Result<()> {
        let pack = self.session.pack;
        self.screen.say(&format!("{}: {}", self.w.title, pack.title.get(self.session.language)))?;
        self.screen.say(&pack.content_version())?;
        if let Some(notice) = pack.notice(self.session.language) {
            self.screen.say(notice)?;
        }
        self.screen.say(self.w.hint)?;
        if self.saver.is_some() {
            self.screen.say(self.w.saved_as_given)?;
        }
        Ok(())
    }

    /// Everything up to where the person ends it.
    fn talk(&mut self) -> Result<Flow> {
        if self.stops()? == Flow::End || self.safety()? == Flow::End {
            return Ok(Flow::End);
        }
        if self.words()? == Flow::End || self.host()? == Flow::End {
            return Ok(Flow::End);
        }
        self.looks()
    }

    /// The next line; nothing once the input has ended. The last line may lack its end.
    pub(super) fn line(&mut self, prompt: &str) -> Result<Option<String>> {
        if self.ended {
            return Ok(None);
        }
        self.screen.prompt(prompt)?;
        let mut raw = Vec::new();
        if self.input.read_until(b'\n', &mut raw)? == 0 {
            self.ended = true;
            self.screen.gap()?;
            return Ok(None);
        }
        let typed = String::from_utf8_lossy(&raw).trim_end_matches(['\r', '\n']).to_owned();
        if self.echo {
            self.screen.echo(&typed)?;
        }
        Ok(Some(typed))
    }

    pub(super) fn save(&mut self) -> Result<()> {
        match &mut self.saver {
            Some(saver) => saver.sync(&self.session),
            None => Ok(()),
        }
    }

    /// Yes or no; nothing when the input ended or somebody wants to end.
    pub(super) fn yes_no(&mut self, prompt: &str) -> Result<Option<bool>> {
        loop {
            let Some(typed) = self.line(prompt)? else { return Ok(None) };
            if let Some(answer) = input::yes_no(&typed) {
                return Ok(Some(answer));
            }
            if input::command(&typed) == Some(Command::Quit) {
                return Ok(None);
            }
            self.screen.say(self.w.yes_or_no)?;
        }
    }

    fn safety(&mut self) -> Result<Flow> {
        let pack = self.session.pack;
        if !pack.questions.is_empty() {
            self.screen.head(self.w.safety)?;
        }
        for question in &pack.questions {
            self.screen.say(question.ask.get(self.session.language))?;
            match self.yes_no(self.w.yes_no)? {
                None => return Ok(Flow::End),
                Some(false) => {}
                Some(true) => {
                    question.raises.iter().for_each(|stop| self.session.raise(stop, &question.id));
                    if self.stops()? == Flow::End {
                        return Ok(Flow::End);
                    }
                }
            }
        }
        Ok(Flow::On)
    }

    /// Shows every new stop at once. Each is on record before it is shown, and has to be acknowledged.
    pub(super) fn stops(&mut self) -> Result<Flow> {
        let new = self.session.show_stops();
        if !new.is_empty() {
            self.save()?;
        }
        for stop in &new {
            speak::stop(&mut self.screen, self.w, stop)?;
            loop {
                let Some(typed) = self.line(self.w.read_it)? else { return Ok(Flow::End) };
                if input::is_read(&typed) {
                    break;
                }
                self.screen.say(self.w.read_it_please)?;
            }
        }
        if new.iter().any(|s| s.blocks.contains(&Blocks::Digging)) {
            self.screen.say(self.w.no_digging)?;
        }
        Ok(Flow::On)
    }

    fn words(&mut self) -> Result<Flow> {
        self.screen.head(self.w.question_head)?;
        if !self.session.question.is_empty() {
            let known = format!("{} {}", self.w.question_known, self.session.question);
            self.screen.say(&known)?;
            return Ok(Flow::On);
        }
        self.screen.say(self.w.question_ask)?;
        let (mut said, mut flow) = (Vec::new(), Flow::On);
        loop {
            match self.line("")? {
                None => flow = Flow::End,
                Some(typed) if !typed.trim().is_empty() => {
                    said.push(typed);
                    continue;
                }
                Some(_) => {}
            }
            break;
        }
        self.session.hear(said.join("\n").trim().to_owned());
        self.save()?;
        let stops = self.stops()?;
        Ok(if stops == Flow::End { stops } else { flow })
    }

    fn host(&mut self) -> Result<Flow> {
        self.screen.head(self.w.plant_head)?;
        if self.session.host.is_none() {
            view::hosts(&mut self.screen, self.w, &self.session)?;
        }
        while self.session.host.is_none() {
            let Some(typed) = self.line(self.w.plant_ask)? else { return Ok(Flow::End) };
            match input::command(&typed) {
                Some(Command::Quit) => return Ok(Flow::End),
                Some(Command::List | Command::Help) => view::hosts(&mut self.screen, self.w, &self.session)?,
                _ if typed.trim().is_empty() => {}
                _ => self.choose_host(&typed)?,
            }
        }
        self.save()?;
        if let Some(host) = self.session.host.as_deref().and_then(|h| self.session.pack.host(h)) {
            let language = self.session.language;
            self.screen.say(&format!("{} {} ({})", self.w.plant_is, host.name.get(language), host.scientific))?;
            if let Some(note) = &host.note {
                self.screen.item("  ! ", note.get(language))?;
            }
        }
        Ok(Flow::On)
    }

    fn choose_host(&mut self, typed: &str) -> Result<()> {
        match self.session.hosts(typed).as_slice() {
            [] => self.screen.say(&format!("{} {}", self.w.plant_none, typed.trim()))?,
            [one] => self.session.host = Some(one.id.clone()),
            several => {
                self.screen.say(self.w.plant_many)?;
                for host in several {
                    let number = self.session.pack.hosts.iter().position(|h| h.id == host.id).unwrap_or_default() + 1;
                    self.screen.item(&format!("  {number:>2}  "), host.name.get(self.session.language))?;
                }
            }
        }
        Ok(())
    }
}
