//! `dooryard key walk`: the key as a conversation in a terminal, line by line.
//!
//! What comes in: lines. What goes out: lines, and with a notebook the records of the walk, each as soon as it is known.
//! The session is pure state; the dialog asks and shows; the saver keeps.

mod ask;
mod dialog;
mod finish;
mod input;
#[cfg(test)]
pub(super) mod sample;
mod save;
mod session;
mod view;

#[cfg(test)]
mod tests;

use std::{
    io::{self, IsTerminal},
    path::PathBuf,
};

use anyhow::{Context, Result, bail};
use clap::Args;
use dooryard_core::key::{Language, Pack};
use jiff::civil::Date;

use self::{dialog::Dialog, finish::Ending, save::Saver, session::Session};
use super::{notebook::record_id, pack_choice::PackChoice, speak::Screen, tell::Tell};
use crate::page::When;

/// What a walk begins with.
#[derive(Args)]
pub struct Walk {
    /// The plant, as the pack names it, such as maple; asked for when left out.
    #[arg(long)]
    host: Option<String>,
    /// Day of the look, as 2026-06-20; today when left out.
    #[arg(long)]
    date: Option<Date>,
    /// Language of the conversation and the letter: en or es.
    #[arg(long, default_value = "en", value_parser = language)]
    language: Language,
    /// Folder of a notebook in which every answer is saved as it is given.
    #[arg(long)]
    notebook: Option<PathBuf>,
    /// Number of an inquiry of that notebook to go on with.
    #[arg(long, requires = "notebook")]
    inquiry: Option<String>,
    /// File for the resident's letter, written at the end: a page if it ends in .html, otherwise text.
    #[arg(long)]
    letter: Option<PathBuf>,
    /// Words and numbers only, without bars, rules and bold type.
    #[arg(long)]
    plain: bool,
    #[command(flatten)]
    pub pack: PackChoice,
}

/// Reads a language by its tag.
pub fn language(tag: &str) -> Result<Language, String> {
    Language::from_tag(tag).ok_or_else(|| "it is en or es".to_owned())
}

/// Walks.
///
/// # Errors
/// An unknown host, a notebook that cannot be written to, and of the terminal.
pub fn walk(command: Walk, pack: &Pack, tell: &Tell) -> Result<()> {
    if tell.is_json() {
        bail!("a walk is a conversation and has no JSON. For programs: key score, key advise");
    }
    let mut session = Session::new(pack, command.language, command.date.unwrap_or_else(|| When::now().today()));
    let mut saver = command.notebook.as_deref().map(Saver::open).transpose()?;
    if let (Some(saver), Some(id)) = (&mut saver, &command.inquiry) {
        let held = saver.resume(record_id(id)?, pack, session.date)?;
        session.resume(held.findings, held.question, &held.stops);
        session.host = held.host;
    }
    if let Some(id) = &command.host {
        let host = pack.host(id).with_context(|| no_host(pack, id))?;
        if session.host.as_ref().is_some_and(|known| *known != host.id) {
            bail!("the inquiry's plant is another one. Leave out --host, or leave out --inquiry");
        }
        session.host = Some(host.id.clone());
    }
    let (stdin, stdout) = (io::stdin(), io::stdout());
    let able = std::env::var("TERM").is_ok_and(|term| term != "dumb") && std::env::var_os("NO_COLOR").is_none();
    let screen = Screen::new(stdout.lock(), textwrap::termwidth(), able && stdout.is_terminal(), command.plain);
    let echo = !stdin.is_terminal();
    Dialog::new(session, stdin.lock(), screen, saver, echo).run(&Ending { letter: command.letter })
}

fn no_host(pack: &Pack, id: &str) -> String {
    let ids: Vec<&str> = pack.hosts.iter().map(|h| h.id.as_str()).collect();
    format!("the pack {} has no host {id:?}. It has: {}", pack.content_version(), ids.join(", "))
}
