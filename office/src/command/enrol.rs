//! `dooryard office invite`, `admit`, `waiting`, `turn-away`: a phone becomes one of the office's without internet.

use std::{
    io::{BufRead, IsTerminal, Write},
    path::PathBuf,
};

use anyhow::{Context, Result, bail};
use clap::Subcommand;
use dooryard_core::{
    enrol::{Ask, CheckWords},
    record::Role,
};
use serde_json::json;

use super::{office::open, qr, tell::Tell};
use crate::{
    desk::{Asked, Office as Desk, Outcome, Standing, WAITING_LIMIT},
    page::{When, count, number},
};

const INVITE: &str = "\
Example, with both people at one table:
  dooryard office invite county --role scout --label \"Scout 3\" --png scout3.png
  dooryard notebook join phone3 scout3.png --png asks.png      on the phone
  dooryard office admit county asks.png --png answer.png       compare the six words first
  dooryard notebook join phone3 answer.png --answer            on the phone

On paper: print scout3.png and hand it over. The first bundle of the phone asks for itself:
  dooryard notebook join phone3 scout3.png                     on the phone
  dooryard bundle make phone3 --out s3.yard                    on the phone
  dooryard bundle take-in --office county s3.yard              it waits, sealed
  dooryard office waiting county                               call back, compare the six words
  dooryard office admit county \"moon beetle tomato spring shirt paint\"";

/// Commands that take phones on by code.
#[derive(Subcommand)]
pub enum Enrol {
    /// Invite a phone: shows a code for it to read, on this screen or on paper.
    #[command(after_help = INVITE)]
    Invite {
        /// The office's folder.
        dir: PathBuf,
        /// Role of whoever carries it: scout, lead, educator or office.
        #[arg(long)]
        role: Role,
        /// What people call it, such as "Scout 3". Never a person's name.
        #[arg(long)]
        label: String,
        /// Days until the invitation ends, by this machine's clock.
        #[arg(long, default_value_t = 7, value_parser = clap::value_parser!(u64).range(1..=366))]
        days: u64,
        /// Write the code as a picture too, to print it or show it on another screen.
        #[arg(long)]
        png: Option<PathBuf>,
    },
    /// Admit a phone that was invited: reads its code, or the six words of one that waits, and gives the answer for it.
    #[command(after_help = INVITE)]
    Admit {
        /// The office's folder.
        dir: PathBuf,
        /// The phone's code as text or in a file (text, PNG, photo), - for what is piped in, or the six words of a phone that waits.
        ask: String,
        /// The six words were compared with the phone's: do not ask.
        #[arg(long)]
        yes: bool,
        /// Of two phones that came with one code, this is the right one: the other is turned away.
        #[arg(long)]
        this_one: bool,
        /// Write the answer's code as a picture too.
        #[arg(long)]
        png: Option<PathBuf>,
    },
    /// List the phones that wait to be admitted, with their words, and their sealed bundles.
    Waiting {
        /// The office's folder.
        dir: PathBuf,
    },
    /// Turn a phone away that waits. Its sealed bundles are removed here; on the phone everything stays.
    TurnAway {
        /// The office's folder.
        dir: PathBuf,
        /// The phone's six words, as `dooryard office waiting` shows them.
        words: String,
    },
}

/// Runs one of them.
pub fn run(command: Enrol, tell: &Tell) -> Result<()> {
    match command {
        Enrol::Invite { dir, role, label, days, png } => {
            let made = open(&dir)?.invite(role, &label, days * 86_400_000)?;
            let text = made.to_text()?;
            show_code(&text, png.as_deref(), tell, "invitation", || {
                let until = i64::try_from(made.invited.expires_ms).unwrap_or(i64::MAX);
                let until = When::now().full_ms(until);
                (
                    format!("{label} is invited as {} until {until}. The phone reads this code:", role.name()),
                    "It is for one phone, once. Keep it out of sight of others.\nNext: read the phone's own code with `dooryard office admit`; \
                     on paper, wait for its first bundle."
                        .to_owned(),
                )
            })?;
        }
        Enrol::Admit { dir, ask, yes, this_one, png } => {
            admit(&open(&dir)?, &ask, yes, this_one, png.as_deref(), tell)?
        }
        Enrol::Waiting { dir } => waiting(&open(&dir)?, tell)?,
        Enrol::TurnAway { dir, words } => {
            let office = open(&dir)?;
            let asked = office.asking_with(words_of(&words)?)?;
            office.turn_away(asked.device())?;
            tell.say(
                || format!("A phone that asked to be {} is turned away. On the phone everything stays.", asked.label),
                || json!({ "turned_away": asked.device().to_string(), "label": asked.label }),
            );
        }
    }
    Ok(())
}

/// Says a code: drawn, as text, and as a picture where one is wanted.
pub fn show_code(
    text: &str,
    png: Option<&std::path::Path>,
    tell: &Tell,
    what: &str,
    around: impl FnOnce() -> (String, String),
) -> Result<()> {
    if let Some(path) = png {
        qr::write_png(text, path)?;
    }
    let drawn = qr::lines(text)?;
    let (before, after) = around();
    let picture = png.map(|path| path.display().to_string());
    tell.say(
        || {
            let also = picture.as_ref().map_or_else(String::new, |path| format!("The picture is in {path}.\n"));
            format!("{before}\n\n{drawn}\n\nThe same as text:\n{text}\n\n{also}{after}")
        },
        || json!({ what: text, "png": picture }),
    );
    Ok(())
}

/// The six words, in both languages, ready to be read aloud.
pub fn said_words(words: CheckWords) -> String {
    format!("  {}\n  {}", words.english(), words.spanish())
}

fn words_of(typed: &str) -> Result<CheckWords> {
    CheckWords::read(typed).context("these are not six words of the list; `dooryard office waiting` shows them")
}

fn admit(
    office: &Desk,
    given: &str,
    yes: bool,
    this_one: bool,
    png: Option<&std::path::Path>,
    tell: &Tell,
) -> Result<()> {
    let asked = match CheckWords::read(given) {
        Some(words) => office.asking_with(words)?,
        None => office.hear(&Ask::from_text(&qr::read(given, &["DY"])?)?)?,
    };
    tell.say_words(|| {
        let twice = if asked.frozen {
            "\nTwo phones came with this code. Call the person back before you say which one is right."
        } else {
            ""
        };
        format!(
            "{} asks to be taken on as {}. These words must stand on the phone too, in this order:\n{}{twice}",
            asked.label,
            asked.role.name(),
            said_words(asked.words)
        )
    });
    // A frozen code is refused below whatever is typed here.
    let decidable = !asked.frozen || this_one;
    if decidable && !yes && !confirmed()? {
        bail!("the words were not confirmed, so the phone was not admitted. If they are the same, run it again");
    }
    let (job, bar) = tell.job("Taking in what waited");
    let admitted = office.admit_phone(&asked, this_one, &job);
    bar.finish_and_clear();
    let admitted = admitted?;
    let (mut files, mut changes) = (0, 0);
    for taken in &admitted.taken {
        files += u64::from(taken.outcome == Outcome::TakenIn);
        changes += taken.report.new;
    }
    let text = admitted.answer.to_text();
    show_code(&text, png, tell, "answer", || {
        let waited = if admitted.taken.is_empty() {
            String::new()
        } else {
            format!(
                " {} that waited taken in, {}.",
                count(files, "bundle", "bundles"),
                count(changes, "new change", "new changes")
            )
        };
        (
            format!("{} is taken on as {}.{waited} The phone reads this code:", asked.label, asked.role.name()),
            "Or make a reply for it: that brings the same.".to_owned(),
        )
    })
}

/// Asks the person. Without a terminal the answer is what is piped in.
fn confirmed() -> Result<bool> {
    let mut out = std::io::stdout();
    if std::io::stdin().is_terminal() {
        write!(out, "Are they the same? Type yes: ").and_then(|()| out.flush()).context("asking")?;
    }
    let mut line = String::new();
    std::io::stdin().lock().read_line(&mut line).context("reading the answer")?;
    Ok(matches!(line.trim().to_lowercase().as_str(), "yes" | "sí" | "si"))
}

fn waiting(office: &Desk, tell: &Tell) -> Result<()> {
    let (asking, files) = (office.asking()?, office.waiting()?);
    for asked in &asking {
        let of_it: Vec<_> = files.iter().filter(|file| file.device == asked.device().to_string()).collect();
        let bytes: u64 = of_it.iter().map(|file| file.bytes).sum();
        tell.say(
            || format!("{}\n{}", standing(asked, of_it.len() as u64, bytes), said_words(asked.words)),
            || {
                json!({
                    "label": asked.label, "role": asked.role.name(), "device": asked.device().to_string(),
                    "words": asked.words.english(), "words_es": asked.words.spanish(),
                    "two_phones_one_code": asked.frozen, "files": of_it.len(), "bytes": bytes,
                })
            },
        );
    }
    let held: u64 = files.iter().map(|file| file.bytes).sum();
    tell.say_words(|| {
        if asking.is_empty() {
            "No phone waits.".to_owned()
        } else {
            format!(
                "\n{} waiting, {} of {} bytes. Call each person back, compare the six words, then `dooryard office admit` or \
                 `turn-away`.",
                count(files.len() as u64, "sealed bundle", "sealed bundles"),
                number(held),
                number(WAITING_LIMIT)
            )
        }
    });
    Ok(())
}

fn standing(asked: &Asked, files: u64, bytes: u64) -> String {
    let admitted = if asked.standing == Standing::Admitted { ", admitted before" } else { "" };
    let twice = if asked.frozen { " TWO PHONES CAME WITH THIS CODE: both wait." } else { "" };
    let sealed = count(files, "sealed bundle", "sealed bundles");
    format!("{} as {}{admitted}: {sealed}, {} bytes.{twice}", asked.label, asked.role.name(), number(bytes))
}
