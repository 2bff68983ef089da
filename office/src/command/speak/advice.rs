//! Advice in lines, for the person who tells it: stops, causes, steps, and who has to answer.

use std::io::{self, Write};

use dooryard_core::{
    advice::{Advice, AdvisedCause},
    key::{Blocks, Pack, RaisedStop, StopKind, authored::BlockKind},
    letter::day,
};

use super::{Screen, Words, differential::name};
use crate::page::sentence_case;

/// A stop as it is shown: kind and title, then its words.
///
/// # Errors
/// Of the writer.
pub fn stop<W: Write>(screen: &mut Screen<W>, w: &Words, stop: &RaisedStop) -> io::Result<()> {
    let kind = if stop.kind == StopKind::Stop { w.stop } else { w.warn };
    screen.gap()?;
    screen.rule('*')?;
    screen.item(&format!("{kind}: "), stop.title.get(w.language))?;
    screen.say(stop.text.get(w.language))?;
    screen.rule('*')
}

/// All advice.
///
/// # Errors
/// Of the writer.
pub fn advice<W: Write>(screen: &mut Screen<W>, w: &Words, pack: &Pack, told: &Advice) -> io::Result<()> {
    screen.head(w.advice)?;
    for one in told.stops.iter().filter(|s| s.kind != StopKind::Note) {
        stop(screen, w, one)?;
    }
    let blocked = |what: Blocks| told.stops.iter().any(|s| s.blocks.contains(&what));
    if blocked(Blocks::Diagnosis) {
        screen.say(w.held_back)?;
    } else {
        named(screen, w, pack, told)?;
    }
    if blocked(Blocks::Advice) {
        return screen.say(w.blocked);
    }
    steps(screen, w, told)?;
    for one in told.contradictions.iter().filter(|c| c.settled.is_none()) {
        let acts = one.acts.iter().filter_map(|a| pack.guidance.acts.iter().find(|act| act.id == *a));
        let acts: Vec<&str> = acts.map(|a| a.text.get(w.language)).collect();
        screen.say(&format!("{} {}", w.contradiction, acts.join(" / ")))?;
    }
    if let Some(later) = &told.follow_up {
        screen.gap()?;
        screen.say(&format!("{} {} {} {}", w.ask_again, later.days, w.days, later.ask.get(w.language)))?;
    }
    Ok(())
}

fn named<W: Write>(screen: &mut Screen<W>, w: &Words, pack: &Pack, told: &Advice) -> io::Result<()> {
    let line = |c: &AdvisedCause| {
        let chance = w.in_100(c.probability);
        format!("{}, {}, {}", name(w, pack, &c.cause), c.word.text(w.language), chance.trim())
    };
    screen.say(if told.causes.is_empty() { w.cause_none } else { w.causes })?;
    for cause in &told.causes {
        screen.item("  - ", &line(cause))?;
    }
    if !told.possible.is_empty() {
        screen.say(w.possible)?;
        for cause in &told.possible {
            screen.item("  - ", &line(cause))?;
        }
    }
    if let Some(who) = w.escalate(told.escalate) {
        screen.item("! ", &format!("{}.", sentence_case(who)))?;
    }
    if told.stress_unknown {
        screen.say(w.stress)?;
    }
    Ok(())
}

fn steps<W: Write>(screen: &mut Screen<W>, w: &Words, told: &Advice) -> io::Result<()> {
    let heads = [
        (BlockKind::Check, w.check),
        (BlockKind::Now, w.now),
        (BlockKind::When, w.later),
        (BlockKind::WhenNot, w.do_not),
        (BlockKind::Caution, w.careful),
        (BlockKind::CallBack, w.call),
    ];
    for (kind, head) in heads {
        let mut of_kind = told.steps.iter().filter(|s| s.kind == kind).peekable();
        if of_kind.peek().is_some() {
            screen.say(&format!("{head}:"))?;
        }
        for step in of_kind {
            let mut text = told.words(step, w.language);
            if let Some(from) = step.from {
                text = format!("{} {}: {text}", w.from, day(from, w.language));
            }
            screen.item("  - ", &text)?;
        }
    }
    Ok(())
}
