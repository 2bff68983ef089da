//! The causes in lines: the short list after each answer, and all of them with reasons.

use std::io::{self, Write};

use dooryard_core::key::{Band, Differential, Escalate, Pack, RankedCause, Reason, Said};

use super::{Screen, Words};

/// Causes of the short list, and how many of them stand there whatever their chance.
const SHORT: usize = 6;
const ALWAYS: usize = 3;
/// The least chance of the others.
const LEAST: f64 = 0.05;
/// Reasons shown of each side.
const REASONS: usize = 5;
/// A change of chance that is told.
const TOLD: f64 = 0.02;

/// A cause whose chance moved.
#[derive(Clone, PartialEq, Debug)]
pub struct Move {
    /// Id of the cause.
    pub cause: String,
    /// Chance before.
    pub from: f64,
    /// Chance after.
    pub to: f64,
}

/// The causes of the short list.
fn shown(found: &Differential) -> impl Iterator<Item = &RankedCause> {
    let raised = found.ranked.iter().filter(|r| r.band != Band::Idle).take(SHORT).enumerate();
    raised.filter(|(at, r)| *at < ALWAYS || r.probability >= LEAST).map(|(_, r)| r)
}

/// The causes whose chance moved enough to be told, most moved first.
pub fn moved(before: &Differential, after: &Differential) -> Vec<Move> {
    let was = |cause: &str| before.ranked.iter().find(|r| r.cause == cause).map(|r| r.probability);
    let changes = after.ranked.iter().filter_map(|r| {
        let from = was(&r.cause)?;
        Some(Move { cause: r.cause.clone(), from, to: r.probability })
    });
    let mut moves: Vec<Move> = changes.filter(|m| (m.to - m.from).abs() >= TOLD).collect();
    moves.sort_by(|a, b| (b.to - b.from).abs().total_cmp(&(a.to - a.from).abs()));
    moves
}

/// The short list: number, bar, name, word, and by how much each moved.
///
/// # Errors
/// Of the writer.
pub fn causes<W: Write>(
    screen: &mut Screen<W>,
    w: &Words,
    pack: &Pack,
    found: &Differential,
    moves: &[Move],
) -> io::Result<()> {
    if shown(found).next().is_none() {
        screen.say(w.nothing_raised)?;
    }
    for ranked in shown(found) {
        let mark = format!("  {}  {}", w.in_100(ranked.probability), screen.bar(ranked.probability));
        let by = moves.iter().find(|m| m.cause == ranked.cause).map_or_else(String::new, |m| {
            let points = i16::from(crate::page::percent(m.to)) - i16::from(crate::page::percent(m.from));
            format!(" ({points:+})")
        });
        screen.item(&mark, &format!("{}, {}{by}", name(w, pack, &ranked.cause), ranked.word.text(w.language)))?;
    }
    let gone = |m: &&Move| m.to < m.from && !shown(found).any(|r| r.cause == m.cause);
    if let Some(m) = moves.iter().find(gone).filter(|m| m.from >= 0.1) {
        let (from, to) = (crate::page::percent(m.from), crate::page::percent(m.to));
        screen.say(&format!("{} {} ({from} -> {to})", w.gone, name(w, pack, &m.cause)))?;
    }
    if found.look_again && shown(found).next().is_some() {
        screen.say(w.unsettled)?;
    }
    Ok(())
}

/// Every cause that the findings raised, with what speaks for and against it.
///
/// # Errors
/// Of the writer.
pub fn reasons<W: Write>(screen: &mut Screen<W>, w: &Words, pack: &Pack, found: &Differential) -> io::Result<()> {
    let raised: Vec<&RankedCause> = found.ranked.iter().filter(|r| r.band != Band::Idle).collect();
    if raised.is_empty() {
        screen.say(w.nothing_raised)?;
    }
    for ranked in &raised {
        let regulated = ranked.escalate == Escalate::Regulated;
        let notes: Vec<&str> = w.role(ranked.role).into_iter().chain(w.escalate(ranked.escalate)).collect();
        let notes = if notes.is_empty() { String::new() } else { format!(" ({})", notes.join("; ")) };
        let name = name(w, pack, &ranked.cause);
        let word = ranked.word.text(w.language);
        screen.item(&format!("{}  ", w.in_100(ranked.probability)), &format!("{name}, {word}{notes}"))?;
        if regulated {
            continue;
        }
        for (sign, head, list) in [("+", w.for_it, &ranked.for_), ("-", w.against_it, &ranked.against)] {
            for one in list.iter().take(REASONS) {
                screen.item(&format!("    {sign} {head}: "), &reason(w, pack, one))?;
            }
        }
        let labels = ranked.unlooked.iter().take(3).filter_map(|c| pack.character(c));
        let labels: Vec<&str> = labels.map(|c| c.label.get(w.language)).collect();
        if !labels.is_empty() {
            screen.item(&format!("    {} ", w.would_say_more), &labels.join(", "))?;
        }
    }
    screen.gap()?;
    screen.say(&format!("{} {}.", w.none_share, w.in_100(found.none_share).trim()))?;
    if let Some(set) = found.sets.first().filter(|s| s.causes.len() > 1) {
        let names: Vec<String> = set.causes.iter().map(|c| name(w, pack, c)).collect();
        screen.say(&format!("{} {} ({})", w.together, names.join(" + "), w.in_100(set.weight).trim()))?;
    }
    let idle = found.ranked.len() - raised.len();
    if idle > 0 {
        screen.say(&format!("{idle} {}", w.idle))?;
    }
    screen.say(w.aid)
}

/// What people read of a cause; never the name of a regulated one.
pub fn name(w: &Words, pack: &Pack, cause: &str) -> String {
    match pack.cause(cause) {
        Some(c) if c.escalate == Escalate::Regulated => w.regulated.to_owned(),
        Some(c) => c.name.get(w.language).to_owned(),
        None => cause.to_owned(),
    }
}

fn reason(w: &Words, pack: &Pack, one: &Reason) -> String {
    let Some(character) = pack.character(&one.character) else { return one.character.clone() };
    let states = character.states.iter().filter(|s| one.states.contains(&s.id));
    let states: Vec<&str> = states.map(|s| s.text.get(w.language)).collect();
    let said = match one.said {
        Said::Seen => w.seen,
        Said::Absent => w.absent,
        Said::Unpicked => w.other_than,
    };
    let label = character.label.get(w.language);
    match one.said {
        Said::Unpicked => format!("{label}: {said} {}", states.join(" / ")),
        Said::Seen | Said::Absent => format!("{label}: {} ({said})", states.join("; ")),
    }
}
