//! What the walk shows: a look with its answers, why it is asked, other looks, hosts, the summary.

use std::io::{self, Write};

use dooryard_core::{
    key::{Character, Differential, Effect, Status},
    letter::day,
};

use super::session::{Found, Session, Turn};
use crate::command::speak::{Screen, Words, name};

/// A move of a cause that is told.
const TOLD: f64 = 0.02;

/// A look: what it takes, the question, how to look, and the answers with their numbers.
pub fn look<W: Write>(screen: &mut Screen<W>, w: &Words, s: &Session, character: &Character) -> io::Result<()> {
    screen.head(&format!("{}: {}", w.look, character.label.get(w.language)))?;
    screen.say(character.ask.get(w.language))?;
    screen.item(&format!("{} ", w.how), character.how.get(w.language))?;
    let (minutes, _) = s.pack.settings.look_cost(character.cost);
    screen.item(&format!("{} ", w.cost), &format!("{}.", w.cost(character.cost, minutes)))?;
    for (at, state) in character.states.iter().enumerate() {
        screen.item(&format!("  {:>2}  ", at + 1), state.text.get(w.language))?;
    }
    if character.multi { screen.say(w.several) } else { Ok(()) }
}

/// Why a look is asked: what each answer would do.
pub fn why<W: Write>(
    screen: &mut Screen<W>,
    w: &Words,
    s: &Session,
    turn: &Turn,
    character: &Character,
) -> io::Result<()> {
    let next = &turn.next;
    screen.head(&format!("{}: {}", w.why, character.label.get(w.language)))?;
    if next.first.contains(&character.id) {
        screen.say(w.asked_always)?;
    }
    let Some(look) = next.looks.iter().find(|l| l.character == character.id) else { return screen.say(w.says_little) };
    screen.say(&format!("{} {}.", w.may_change, w.in_100(look.changes_advice).trim()))?;
    for effect in &look.answers {
        answer(screen, w, s, &turn.found, character, effect)?;
    }
    Ok(())
}

fn answer<W: Write>(
    screen: &mut Screen<W>,
    w: &Words,
    s: &Session,
    found: &Differential,
    character: &Character,
    effect: &Effect,
) -> io::Result<()> {
    let Some(at) = character.state_index(&effect.state) else { return Ok(()) };
    let text = character.states[at].text.get(w.language);
    screen
        .item(&format!("  {:>2}  ", at + 1), &format!("{} \"{text}\" ({})", w.if_so, w.in_100(effect.chance).trim()))?;
    let told: Vec<String> = effect
        .moves
        .iter()
        .filter(|m| (m.to - m.from).abs() >= TOLD)
        .map(|m| {
            let (from, to) = (crate::page::percent(m.from), crate::page::percent(m.to));
            format!("{} {from} -> {to}", name(w, s.pack, &m.cause))
        })
        .collect();
    let first = found.ranked.first().filter(|r| r.share > found.none_share).map(|r| r.cause.as_str());
    let leads = (effect.leader.as_deref() != first)
        .then(|| effect.leader.as_ref().map_or_else(|| w.none_of_these.to_owned(), |c| name(w, s.pack, c)));
    let now = found.advice.first().filter(|a| a.share > found.none_share).map(|a| a.group.as_str());
    let groups = &s.pack.guidance.groups;
    let group = effect.advice.as_ref().and_then(|id| groups.iter().find(|g| g.id == *id));
    if told.is_empty() && leads.is_none() && effect.advice.as_deref() == now {
        return screen.item("      ", &format!("{}.", w.moves_nothing));
    }
    if !told.is_empty() {
        screen.item("      ", &format!("{}: {}", w.as_main, told.join("; ")))?;
    }
    if let Some(leads) = leads {
        screen.item("      ", &format!("{} {leads}", w.leads))?;
    }
    match group {
        _ if effect.advice.as_deref() == now => Ok(()),
        Some(group) => screen.item("      ", &format!("{} {}", w.advice_then, group.name.get(w.language))),
        None => screen.item("      ", &format!("{}.", w.no_advice_then)),
    }
}

/// Looks that can be chosen, with their numbers.
pub fn other_looks<W: Write>(screen: &mut Screen<W>, w: &Words, s: &Session, ids: &[String]) -> io::Result<()> {
    for (at, character) in ids.iter().filter_map(|id| s.pack.character(id)).enumerate() {
        let minutes = w.minutes(s.pack.settings.look_cost(character.cost).0);
        let skipped = s.answers().iter().any(|a| a.character == character.id && a.found == Found::Skipped);
        let note = if skipped { format!("; {}", w.skipped) } else { String::new() };
        screen
            .item(&format!("  {:>2}  ", at + 1), &format!("{} ({minutes}{note})", character.label.get(w.language)))?;
    }
    Ok(())
}

/// All hosts by group, with their numbers.
pub fn hosts<W: Write>(screen: &mut Screen<W>, w: &Words, s: &Session) -> io::Result<()> {
    let mut group = "";
    let mut line = Vec::new();
    for (at, host) in s.pack.hosts.iter().enumerate() {
        if host.group != group {
            write_group(screen, w, group, &mut line)?;
            group = &host.group;
        }
        line.push(format!("{} {}", at + 1, host.name.get(w.language)));
    }
    write_group(screen, w, group, &mut line)
}

fn write_group<W: Write>(screen: &mut Screen<W>, w: &Words, group: &str, line: &mut Vec<String>) -> io::Result<()> {
    if line.is_empty() {
        return Ok(());
    }
    // A name may hold commas, and a number should not stand apart from its name.
    let words = line.iter().map(|one| one.replace(' ', "\u{a0}")).collect::<Vec<_>>().join("  ");
    line.clear();
    screen.item(&format!("  {:<12} ", w.host_group(group)), &words)
}

/// What was found, by status.
pub fn summary<W: Write>(screen: &mut Screen<W>, w: &Words, s: &Session) -> io::Result<()> {
    screen.head(w.summary)?;
    let date = day((s.date.month().unsigned_abs(), s.date.day().unsigned_abs()), w.language);
    match s.host.as_deref().and_then(|h| s.pack.host(h)) {
        Some(host) => screen.say(&format!("{}, {date}", host.name.get(w.language)))?,
        None => screen.say(w.no_plant)?,
    }
    let findings = s.findings();
    if findings.is_empty() && s.host.is_some() {
        screen.say(w.no_findings)?;
    }
    let statuses = [
        (Status::Seen, "  + ", w.seen),
        (Status::Absent, "  - ", w.absent),
        (Status::Unsure, "  ? ", w.unsure),
        (Status::NotLooked, "    ", w.skipped),
    ];
    for (status, mark, said) in statuses {
        for character in &s.pack.characters {
            let of: Vec<_> = findings.iter().filter(|f| f.status == status && f.character == character.id).collect();
            let states = character.states.iter().filter(|t| of.iter().any(|f| f.state.as_deref() == Some(&t.id)));
            let states: Vec<&str> = states.map(|t| t.text.get(w.language)).collect();
            let label = character.label.get(w.language);
            match (of.is_empty(), states.is_empty()) {
                (true, _) => {}
                (false, true) => screen.item(mark, &format!("{label} ({said})"))?,
                (false, false) => screen.item(mark, &format!("{label}: {} ({said})", states.join("; ")))?,
            }
        }
    }
    Ok(())
}
