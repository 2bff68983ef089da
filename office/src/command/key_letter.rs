//! `dooryard key letter` and `dooryard key advise`: what to tell, and the letter that tells it.

use std::path::{Path, PathBuf};

use anyhow::{Context, Result, anyhow, bail};
use clap::Args;
use dooryard_core::{
    advice::{Advice, Situation},
    key::{Case, Language, Observations, Pack},
    letter::{Letter, Occasion},
    notebook::Record,
    record::Kind,
};
use serde_json::json;

use super::{
    notebook,
    pack_choice::PackChoice,
    speak::{self, Screen, words},
    tell::Tell,
    walk::language,
};
use crate::page::{When, Whole, day_of, observations, reference, situation};

/// How a letter is written.
#[derive(Args)]
pub struct Writing {
    /// Language of the letter, en or es; of an inquiry without it the resident's, otherwise English.
    #[arg(long, value_parser = language)]
    language: Option<Language>,
    /// File for the letter as a page to print.
    #[arg(long)]
    html: Option<PathBuf>,
    /// File for the letter as text to paste in a mail.
    #[arg(long)]
    text: Option<PathBuf>,
    /// Role of the person who reviewed the letter, such as educator; without it the letter says that nobody has.
    #[arg(long, value_name = "ROLE")]
    reviewed_by: Option<String>,
    #[command(flatten)]
    pub pack: PackChoice,
}

/// The letter for an inquiry.
///
/// # Errors
/// No such inquiry; no plant, or several of which none is chosen; a host that the pack does not have.
pub fn letter(
    dir: &Path,
    inquiry: &str,
    plant: Option<&str>,
    writing: &Writing,
    pack: &Pack,
    tell: &Tell,
) -> Result<()> {
    let store = notebook::open(dir)?;
    let whole = Whole::read(&store, notebook::record_id(inquiry)?)?;
    let plant = one_plant(&whole, plant)?;
    let host = plant.text("host").unwrap_or_default();
    let findings: Vec<&Record> =
        whole.of(Kind::Finding).into_iter().filter(|f| reference(f, "plant") == Some(plant.id)).collect();
    let (given, unknown) = observations(pack, host, day_of(&whole), &findings);
    if pack.host(host).is_none() {
        bail!("the pack {} has no host {host:?}. Correct the plant's host", pack.content_version());
    }
    let advice = Advice::new(pack, &given, &situation(&whole, Some(plant.id)))?;
    let language = writing.language.or_else(|| Language::from_tag(whole.inquiry.text("language")?)).unwrap_or_default();
    let occasion = Occasion {
        office: store.card().map(|card| card.name).unwrap_or_else(|_| words(language).office.to_owned()),
        inquiry: whole.inquiry.id.to_string(),
        question: whole.inquiry.text("question").unwrap_or_default().to_owned(),
        ..occasion(language, writing)
    };
    let written = Letter::new(pack, &given, &advice, &pack.next_looks(&given)?, &occasion, language)?;
    tell_letter(&written, writing, tell)?;
    if unknown > 0 {
        tell.say_words(|| format!("{unknown} of the findings are not in this pack; the letter leaves them out."));
    }
    Ok(())
}

/// The advice and the letter for a described case.
///
/// # Errors
/// A file that cannot be read or is not in its form; no such case; a name that the pack does not have.
pub fn advise(cases: &Path, id: &str, writing: &Writing, pack: &Pack, tell: &Tell) -> Result<()> {
    let text = std::fs::read_to_string(cases).with_context(|| format!("reading {}", cases.display()))?;
    let cases = Case::read(&text).map_err(|e| anyhow!("{}: {e}", cases.display()))?;
    let case = cases.iter().find(|c| c.id == id).with_context(|| format!("there is no case {id:?}"))?;
    let given: Observations = case.observations()?;
    let advice = Advice::new(pack, &given, &Situation::new([], []))?;
    let language = writing.language.unwrap_or_default();
    let mut occasion = Occasion { inquiry: case.id.clone(), ..occasion(language, writing) };
    // A described case has a day and no year: its letter is of that day of this year.
    let (month, day) = (given.date.0.cast_signed(), given.date.1.cast_signed());
    occasion.date = occasion.date.with().month(month).day(day).build().unwrap_or(occasion.date);
    let written = Letter::new(pack, &given, &advice, &pack.next_looks(&given)?, &occasion, language)?;
    if tell.is_json() {
        tell.say(String::new, || json!({ "id": case.id, "advice": advice }));
    } else {
        let mut screen = Screen::new(std::io::stdout().lock(), textwrap::termwidth(), false, false);
        speak::advice(&mut screen, words(language), pack, &advice)?;
        screen.gap()?;
        screen.rule('-')?;
    }
    tell_letter(&written, writing, tell)
}

fn occasion(language: Language, writing: &Writing) -> Occasion {
    let w = words(language);
    Occasion {
        office: w.office.to_owned(),
        office_lines: Vec::new(),
        inquiry: String::new(),
        date: When::now().today(),
        question: String::new(),
        reviewed_by: writing.reviewed_by.clone(),
        signed: w.signed.to_owned(),
    }
}

/// Writes the files that were asked for; without any, the letter's text is said.
fn tell_letter(letter: &Letter, writing: &Writing, tell: &Tell) -> Result<()> {
    for (file, text) in [(&writing.html, &letter.html), (&writing.text, &letter.text)] {
        let Some(file) = file else { continue };
        std::fs::write(file, text).with_context(|| format!("writing {}", file.display()))?;
        tell.say(
            || format!("The letter is written: {}", file.display()),
            || json!({ "letter": file.display().to_string() }),
        );
    }
    if writing.html.is_none() && writing.text.is_none() {
        if tell.is_json() {
            tell.say(String::new, || json!({ "text": letter.text, "html": letter.html }));
            return Ok(());
        }
        let mut screen = Screen::new(std::io::stdout().lock(), textwrap::termwidth(), false, false);
        for line in letter.text.lines() {
            match line.strip_prefix("- ") {
                Some(item) => screen.item("- ", item)?,
                None if line.is_empty() => screen.gap()?,
                None => screen.say(line)?,
            }
        }
    }
    Ok(())
}

fn one_plant<'w>(whole: &'w Whole, wanted: Option<&str>) -> Result<&'w Record> {
    let plants = whole.of(Kind::Plant);
    if let Some(id) = wanted {
        let id = notebook::record_id(id)?;
        return plants.into_iter().find(|p| p.id == id).context("the inquiry has no plant with this number");
    }
    match plants.as_slice() {
        [] => {
            bail!("no plant is written down in this inquiry yet. Save a plant with its host, and what was seen on it")
        }
        [one] => Ok(*one),
        several => {
            let line = |p: &&Record| format!("{} ({})", p.id, p.text("host").unwrap_or_default());
            let list: Vec<String> = several.iter().map(line).collect();
            bail!("a letter is about one plant. Choose it with --plant: {}", list.join(", "))
        }
    }
}
