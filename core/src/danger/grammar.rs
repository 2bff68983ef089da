//! The language in which the lexicon is written, line by line.
//!
//! ```text
//! # a remark
//! @tree: tree trees oak* power_line a*_b 12..15 pie/en   words that mean one thing: a word, the beginning of words (*),
//!        a phrase (_), a number (..), a word of one language only (/en, /es), another concept (@name)
//! + @tree|hedge leans|leaning ~6        raises the stop: one of each within 6 tokens, in any order
//! + @tree > fell on ~6                  the same in this order
//! + @tree dead ~4 !@heat ~3 !!joke      but not with heat within 3 tokens of it, nor with joke anywhere
//! + ate mushroom ~5 no                  but not where a "no" stands before it in the sentence
//! - @tree ring* ~2                      says something else: these tokens do not count for this stop
//! ```

use super::concepts::{Only, Unit};

/// A line of a lexicon file.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Line {
    /// A concept's name, and what means it.
    Concept(String, Vec<Meaning>),
    /// Raises the stop.
    Raises(Written),
    /// Says something else.
    Hides(Written),
}

/// A pattern as it is written.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Written {
    /// What has to be there: of each, any one meaning.
    pub items: Vec<Vec<Meaning>>,
    /// Whether in this order.
    pub ordered: bool,
    /// Most tokens from the first to the last.
    pub span: usize,
    /// What must not be there: any one meaning within some tokens, or anywhere.
    pub not: Vec<(Vec<Meaning>, Option<usize>)>,
    /// Whether a "no" before it takes it back.
    pub no_counts: bool,
}

/// What means a concept.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Meaning {
    /// Another concept.
    Concept(String),
    /// A phrase, in one language only or in both.
    Phrase(Vec<Unit>, Option<Only>),
}

/// Tokens between the items where a line says nothing.
const SPAN: usize = 8;

/// Reads one line; nothing for an empty one and a remark.
pub fn line(text: &str) -> Result<Option<Line>, String> {
    let text = text.split('#').next().unwrap_or_default().trim();
    let wrong = |e: String| format!("{e} in {text:?}");
    if text.is_empty() {
        return Ok(None);
    }
    if let Some(rest) = text.strip_prefix("+ ") {
        return pattern(rest).map(|p| Some(Line::Raises(p))).map_err(wrong);
    }
    if let Some(rest) = text.strip_prefix("- ") {
        return pattern(rest).map(|p| Some(Line::Hides(p))).map_err(wrong);
    }
    let (name, words) = text
        .strip_prefix('@')
        .and_then(|t| t.split_once(':'))
        .ok_or_else(|| wrong("neither a concept nor a pattern".to_owned()))?;
    let meanings = words.split_whitespace().map(meaning).collect::<Result<_, _>>().map_err(wrong)?;
    Ok(Some(Line::Concept(name.trim().to_owned(), meanings)))
}

fn pattern(text: &str) -> Result<Written, String> {
    let mut written = Written { span: SPAN, ..Written::default() };
    for part in text.split_whitespace() {
        if part == ">" {
            written.ordered = true;
        } else if part == "no" {
            written.no_counts = true;
        } else if let Some(span) = part.strip_prefix('~') {
            let span = span.parse().map_err(|_| format!("{part}: not a number of tokens"))?;
            match written.not.last_mut() {
                Some((_, near)) => *near = Some(span),
                None => written.span = span,
            }
        } else if let Some(anywhere) = part.strip_prefix("!!") {
            written.not.push((one_of(anywhere)?, None));
        } else if let Some(near) = part.strip_prefix('!') {
            written.not.push((one_of(near)?, Some(SPAN)));
        } else {
            written.items.push(one_of(part)?);
        }
    }
    if written.items.is_empty() { Err("a pattern without a word".to_owned()) } else { Ok(written) }
}

fn one_of(text: &str) -> Result<Vec<Meaning>, String> {
    text.split('|').map(meaning).collect()
}

fn meaning(text: &str) -> Result<Meaning, String> {
    if let Some(name) = text.strip_prefix('@') {
        return Ok(Meaning::Concept(name.to_owned()));
    }
    let (phrase, only) = match text.split_once('/') {
        None => (text, None),
        Some((phrase, "en")) => (phrase, Some(Only::English)),
        Some((phrase, "es")) => (phrase, Some(Only::Spanish)),
        Some((_, language)) => return Err(format!("{language}: no language here")),
    };
    phrase.split('_').map(unit).collect::<Result<_, _>>().map(|units| Meaning::Phrase(units, only))
}

fn unit(text: &str) -> Result<Unit, String> {
    if let Some((least, most)) = text.split_once("..") {
        return match (least.parse(), most.parse()) {
            (Ok(least), Ok(most)) => Ok(Unit::Number(least, most)),
            _ => Err(format!("{text}: no two numbers")),
        };
    }
    let (word, begins) = text.strip_suffix('*').map_or((text, false), |word| (word, true));
    let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit();
    if word.is_empty() || !word.chars().all(plain) {
        return Err(format!("{text}: words are small letters without accents"));
    }
    Ok(if begins { Unit::Begin(word.to_owned()) } else { Unit::Word(word.to_owned()) })
}
