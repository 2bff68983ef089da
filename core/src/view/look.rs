//! Looking: the next look with why it is the one, or any other in the order of the plant; four answers and how sure.

use crate::{
    Code, Error, Result,
    ids::RecordId,
    inquiry::{self, Answer, Known, Whole, answered, own_findings},
    key::{Character, Cost, Status, percent},
    notebook::Record,
    record::Kind,
    tell::{self, Looked, lines, looked, names::PARTS},
};

use super::{
    act::Choice,
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

/// Looks at one part.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct PartRows {
    /// The part's id.
    pub id: String,
    /// What it is called.
    pub name: String,
    /// Its looks in the order of the pack.
    pub looks: Vec<LookRow>,
}

/// One look in a list.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct LookRow {
    /// Id of the character.
    pub character: String,
    /// What it is called.
    pub label: String,
    /// What was found there; the words of not looked where nobody looked.
    pub found: String,
    /// Mark of that: `seen`, `bare`, `unclear`, `unlooked`.
    pub mark: String,
    /// What the look costs.
    pub cost: String,
    /// A stop forbids it.
    pub held: bool,
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

fn character_of<'p>(view: &View<'p>, id: &str) -> Result<&'p Character> {
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

fn part_id(character: &Character) -> String {
    serde_json::to_value(character.part).ok().and_then(|p| p.as_str().map(str::to_owned)).unwrap_or_default()
}

fn part_name(view: &View<'_>, character: &Character) -> String {
    crate::words::sentence_case(&view.telling().part(&part_id(character)))
}

/// All looks of the plant, part by part.
fn parts(view: &View<'_>, known: &Known<'_>) -> Vec<PartRows> {
    let found: Vec<Looked> = looked(&known.given.findings, &view.speech());
    let asked: Vec<&str> = known.next.looks.iter().map(|l| l.character.as_str()).collect();
    let first = |id: &str| known.next.first.iter().any(|f| f == id);
    let mut parts: Vec<PartRows> = Vec::new();
    for id in PARTS {
        let here = view.pack.characters.iter().filter(|c| part_id(c) == id);
        let looks: Vec<LookRow> = here
            .filter_map(|c| {
                let told = found.iter().find(|l| l.character == c.id);
                // What says nothing of this plant, and nobody looked at, is no row.
                (told.is_some() || asked.contains(&c.id.as_str()) || first(&c.id)).then(|| {
                    let words = told.map(|l| l.found.iter().map(|(_, words)| words.as_str()).collect::<Vec<_>>());
                    LookRow {
                        character: c.id.clone(),
                        label: c.label.get(view.words.0).to_owned(),
                        found: words.map_or_else(|| view.say("key-not-looked"), |words| words.join("; ")),
                        mark: told.and_then(|l| l.found.first()).map_or("unlooked", |(mark, _)| mark).to_owned(),
                        cost: tell::cost(c.cost, &view.speech()),
                        held: !known.may_look(view.pack, &c.id),
                    }
                })
            })
            .collect();
        if !looks.is_empty() {
            let name = crate::words::sentence_case(&view.telling().part(id));
            parts.push(PartRows { id: id.to_owned(), name, looks });
        }
    }
    parts
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

/// Saves an answer, in place of an earlier one of this phone to the same look, and goes on to the next. `picked` are ids of
/// answers; `absent` states that were looked for and are not there; `comfort` is 1 to 3, or 0 where nobody said.
///
/// # Errors
/// `SCHEMA` for answers that do not go together or that there are not; [`Error::NotFound`]; as
/// [`crate::notebook::Notebook::save`].
pub fn answer(
    view: &View<'_>,
    inquiry: RecordId,
    plant: RecordId,
    character: &str,
    picked: &[String],
    absent: &[String],
    comfort: u8,
) -> Result<LookScreen> {
    let whole = view.whole(inquiry)?;
    of_whole(&whole, plant)?;
    let look_at = character_of(view, character)?;
    let given = given(look_at, picked, absent, comfort)?;
    let label = view.own_label()?;
    let method = match look_at.cost {
        Cost::Glance => "glance",
        Cost::Touch => "touch",
        Cost::Knife => "knife",
        Cost::Dig => "dig",
        Cost::Lab => "laboratory",
    };
    let version = view.pack.content_version();
    let looker = view.looker(&label, method, &version);
    inquiry::answer(view.notebook, &whole, &looker, plant, look_at, &given, &view.when)?;
    stops::record(view, inquiry)?;
    look(view, inquiry, plant, "", character)
}

fn given(character: &Character, picked: &[String], absent: &[String], comfort: u8) -> Result<Answer> {
    let bad = |why: &str| Error::refused(Code::Schema, why);
    let mut given = Answer { comfort: Some(comfort).filter(|c| (1..=3).contains(c)), ..Answer::default() };
    for id in picked {
        match id.as_str() {
            "could_not_tell" => given.whole = Some(Status::Unsure),
            "not_looked" => given.whole = Some(Status::NotLooked),
            state if character.state_index(state).is_some() => given.seen.push(state.to_owned()),
            _ => return Err(bad("that is no answer to this look")),
        }
    }
    if absent.iter().any(|state| character.state_index(state).is_none() || given.seen.contains(state)) {
        return Err(bad("that cannot be looked for and not there"));
    }
    given.absent = absent.to_vec();
    let normal = character.states.get(character.normal).is_some_and(|n| given.seen.contains(&n.id));
    let several = given.seen.len() > 1;
    if (several && (!character.multi || normal)) || (given.whole.is_some() && !given.seen.is_empty()) {
        return Err(bad("these answers cannot be true at once"));
    }
    if given.seen.is_empty() && given.absent.is_empty() && given.whole.is_none() {
        given.whole = Some(Status::NotLooked);
    }
    Ok(given)
}

/// Takes back what this phone wrote down of a look, and asks it again.
///
/// # Errors
/// [`Error::NotFound`] when there is nothing to take back; as [`crate::notebook::Notebook::delete`].
pub fn take_back(view: &View<'_>, inquiry: RecordId, plant: RecordId, character: &str) -> Result<LookScreen> {
    let whole = view.whole(inquiry)?;
    if !inquiry::take_back(view.notebook, &whole, plant, character, PROTOCOL)? {
        return Err(Error::NotFound(format!("an answer to {character}")));
    }
    look(view, inquiry, plant, character, "")
}

/// How many plants of an inquiry there are findings on, and the number of findings, in words.
pub(super) fn progress(view: &View<'_>, whole: &Whole, plant: RecordId) -> String {
    let taken = whole.findings_on(plant);
    let taken = taken.iter().filter(|f| f.kind == Kind::Finding && f.text("status") != Some("not_looked")).count();
    view.with("phone-findings", [("n", &taken)])
}
