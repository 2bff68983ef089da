//! Looking: the next look with why it is the one, or any other in the order of the plant; four answers and how sure.

use crate::{
    Error, Result,
    ids::RecordId,
    inquiry::{Known, Whole, answered, own_findings},
    key::{Character, Cost, percent},
    notebook::Record,
    record::Kind,
    tell::{self, lines},
};

use super::{
    act::Choice,
    look_parts::{PartRows, part_id, parts},
    plant::of_whole,
    reader::{PROTOCOL, View},
    stops::{self, StopCard},
};

/// A walk through one plant.
#[derive(Clone, PartialEq, Debug)]
pub struct LookScreen {
    /// The inquiry.
    pub inquiry: RecordId,
    /// The plant.
    pub plant: RecordId,
    /// What it is called.
    pub title: String,
    /// `Saved on this phone 10:42 am`; empty before the first answer.
    pub saved: String,
    /// Stops that nobody read yet: they are shown before anything else.
    pub halts: Vec<StopCard>,
    /// That the kind of plant has to be chosen first; else empty.
    pub no_host: String,
    /// The look that is asked; nothing where none is left.
    pub look: Option<LookCard>,
    /// `after 23 findings`
    pub after: String,
    /// That no look that is left would change what to do; else empty.
    pub enough: String,
    /// What the last answer moved; empty where it moved nothing, and while a stop holds back any cause.
    pub moved: Vec<String>,
    /// All looks by part of the plant, in the order in which one looks.
    pub parts: Vec<PartRows>,
    /// The last look that was answered here, to be taken back.
    pub undo: Option<Choice>,
}

/// The look that is asked.
#[derive(Clone, PartialEq, Debug)]
pub struct LookCard {
    /// Id of the character.
    pub character: String,
    /// Part of the plant.
    pub part: String,
    /// What it is called.
    pub label: String,
    /// The question.
    pub ask: String,
    /// How to look.
    pub how: String,
    /// What it costs, and what it harms.
    pub cost: String,
    /// Several answers can be true at once.
    pub several: bool,
    /// The answers; could not tell and not looked come last.
    pub answers: Vec<AnswerRow>,
    /// How sure the looker is.
    pub comfort: Vec<Choice>,
    /// Why this look, a sentence each.
    pub why: Vec<String>,
}

/// One answer.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct AnswerRow {
    /// What is handed back when it is chosen: a state, `could_not_tell`, or `not_looked`.
    pub id: String,
    /// Its words.
    pub text: String,
    /// Its mark: `seen`, `bare`, `unclear`, `unlooked`.
    pub mark: String,
    /// That nothing is wrong then, and that counts; else empty.
    pub note: String,
    /// It is chosen.
    pub chosen: bool,
    /// It was looked for, and is not there.
    pub absent: bool,
    /// It stands alone: with another it cannot be true.
    pub alone: bool,
    /// Name of the drawn picture that shows it, such as `leaf_spot.round`; the shell shows none where there is none.
    pub picture: String,
}

/// The walk at one look: the one of this id, or the next one where it is empty. `answered` is the look that was answered last.
///
/// # Errors
/// [`Error::NotFound`]; of the key.
pub fn look(
    view: &View<'_>,
    inquiry: RecordId,
    plant: RecordId,
    character: &str,
    answered: &str,
) -> Result<LookScreen> {
    let whole = view.whole(inquiry)?;
    let record = of_whole(&whole, plant)?;
    let halts = stops::unread(view, &whole)?;
    let own = own_findings(&whole, plant, PROTOCOL);
    let mut screen = LookScreen {
        inquiry,
        plant,
        title: lines::plant_title(record, view.telling()),
        saved: own.last().map_or_else(String::new, |f| view.saved(f)),
        halts,
        no_host: String::new(),
        look: None,
        after: String::new(),
        enough: String::new(),
        moved: Vec::new(),
        parts: Vec::new(),
        undo: undo(view, &own),
    };
    let Some(known) = Known::of(view.pack, &whole, record, &view.when)? else {
        screen.no_host = view.say("phone-host-first");
        return Ok(screen);
    };
    let asked = match character {
        "" => known.open(view.pack).find(|c| !known.passed_over(c)).map(str::to_owned),
        id => Some(id.to_owned()),
    };
    let asked = asked.map(|id| character_of(view, &id)).transpose()?;
    screen.look = asked.filter(|c| known.may_look(view.pack, &c.id)).map(|c| card(view, c, &known, &own));
    screen.after = view.with("phone-after-findings", [("n", &known.looks())]);
    screen.enough = if known.next.enough { view.say("desk-enough") } else { String::new() };
    screen.moved = moved(view, &known, answered, screen.halts.is_empty())?;
    screen.parts = parts(view, &known);
    Ok(screen)
}

pub(super) fn character_of<'p>(view: &View<'p>, id: &str) -> Result<&'p Character> {
    view.pack.character(id).ok_or_else(|| Error::NotFound(format!("a look {id}")))
}

fn undo(view: &View<'_>, own: &[&Record]) -> Option<Choice> {
    let last = own.last()?.text("character")?;
    let text = view.with("desk-undo", [("look", &view.speech().label(last))]);
    Some(Choice { id: last.to_owned(), text, chosen: false })
}

fn card(view: &View<'_>, character: &Character, known: &Known<'_>, own: &[&Record]) -> LookCard {
    let before = answered(own, &character.id);
    let told = tell::look(character, &known.next, &known.found, &before, &view.speech());
    let silent = known.holds_back(crate::key::Blocks::Diagnosis);
    let harm = view.known(match character.cost {
        Cost::Glance | Cost::Touch => "phone-harm-none",
        Cost::Knife => "phone-harm-cut",
        Cost::Dig => "phone-harm-dig",
        Cost::Lab => "phone-harm-lab",
    });
    let states = told.states.iter().map(|state| AnswerRow {
        id: state.id.clone(),
        text: state.text.clone(),
        mark: if state.normal { "bare" } else { "seen" }.to_owned(),
        note: if state.normal { view.say("desk-normal") } else { String::new() },
        chosen: state.picked,
        absent: state.absent,
        alone: !character.multi || state.normal,
        picture: format!("{}.{}", character.id, state.id),
    });
    let whole = [("could_not_tell", "key-unsure", "unclear"), ("not_looked", "key-not-looked", "unlooked")];
    let whole = whole.into_iter().map(|(id, word, mark)| AnswerRow {
        id: id.to_owned(),
        text: view.say(word),
        mark: mark.to_owned(),
        note: if id == "not_looked" { view.say("desk-stays") } else { String::new() },
        chosen: told.whole == id,
        absent: false,
        alone: true,
        picture: String::new(),
    });
    LookCard {
        character: told.character,
        part: part_name(view, character),
        label: told.label,
        ask: told.ask,
        how: told.how,
        cost: format!("{} {harm}", crate::words::sentence_case(&format!("{}.", told.cost))).trim().to_owned(),
        several: character.multi,
        answers: states.chain(whole).collect(),
        comfort: (1..=3_u8)
            .map(|level| Choice {
                id: level.to_string(),
                text: view.telling().comfort(i64::from(level)).unwrap_or_default(),
                chosen: told.comfort == level,
            })
            .collect(),
        // Why it is the one names causes.
        why: if silent { Vec::new() } else { told.why },
    }
}

fn part_name(view: &View<'_>, character: &Character) -> String {
    crate::words::sentence_case(&view.telling().part(&part_id(character)))
}

/// What the last answer moved.
fn moved(view: &View<'_>, known: &Known<'_>, answered: &str, read: bool) -> Result<Vec<String>> {
    if answered.is_empty() || !read || known.holds_back(crate::key::Blocks::Diagnosis) {
        return Ok(Vec::new());
    }
    let mut given = known.given.clone();
    given.findings.retain(|f| f.character != answered);
    if given.findings.len() == known.given.findings.len() {
        return Ok(Vec::new());
    }
    let before = view.pack.differential(&given)?;
    let speech = view.speech();
    let mut moves: Vec<(u8, u8, String)> = Vec::new();
    for now in &known.found.ranked {
        let Some(was) = before.ranked.iter().find(|r| r.cause == now.cause) else { continue };
        let (from, to) = (percent(was.probability), percent(now.probability));
        if from.abs_diff(to) >= 5 {
            let sure = view.telling().sure(None, to);
            let said =
                view.with("phone-moved", [("cause", &speech.cause(&now.cause)), ("sure", &sure), ("was", &from)]);
            moves.push((from, to, said));
        }
    }
    moves.sort_by_key(|(from, to, _)| std::cmp::Reverse(from.abs_diff(*to)));
    Ok(moves.into_iter().take(2).map(|(.., said)| said).collect())
}

/// How many plants of an inquiry there are findings on, and the number of findings, in words.
pub(super) fn progress(view: &View<'_>, whole: &Whole, plant: RecordId) -> String {
    let taken = whole.findings_on(plant);
    let taken = taken.iter().filter(|f| f.kind == Kind::Finding && f.text("status") != Some("not_looked")).count();
    view.with("phone-findings", [("n", &taken)])
}
