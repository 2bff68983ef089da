//! Telling: what to say now, when, when not, with what care; that it was said back; what was told before.

use jiff::civil::Date;
use serde_json::Value as Json;

use super::{
    act::{Choice, Line},
    letter::{language_of, occasioned},
    plant::of_whole,
    reader::View,
    stops::{self, StopCard},
    typing::{Form, done_with, typed_in},
};
use crate::{
    Code, Error, Result,
    ids::RecordId,
    inquiry::{self, Known, Sending, Whole, Writing, keep, make},
    key::{Blocks, Escalate, percent},
    notebook::Record,
    record::Kind,
    tell::{self, lines},
    words::{Words, instant_ms, sentence_case},
};

/// What to tell.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct TellScreen {
    /// The inquiry.
    pub inquiry: RecordId,
    /// The plant.
    pub plant: RecordId,
    /// What it is called.
    pub title: String,
    /// `Saved on this phone 11:02 am`; empty before it was told.
    pub saved: String,
    /// Stops that nobody read yet.
    pub halts: Vec<StopCard>,
    /// Stops that were read and stand: their words are told too.
    pub stops: Vec<StopCard>,
    /// Why there is no advice; empty where there is.
    pub held: String,
    /// Words to say aloud.
    pub say_this: String,
    /// Steps by kind, in the order in which they are told.
    pub groups: Vec<TellGroup>,
    /// Who has to answer before more than general care goes out; empty for nobody.
    pub needs: String,
    /// Day on which somebody asks again, `2026-08-03`; empty for none.
    pub due: String,
    /// The same in words.
    pub due_words: String,
    /// What is asked then.
    pub question: String,
    /// How it can be told.
    pub ways: Vec<Choice>,
    /// The resident said it back, as far as somebody ticked it.
    pub read_back: bool,
    /// That a question was put down for later already, and when it is asked; empty while none waits.
    pub asked: String,
    /// What was told before, newest first.
    pub before: Vec<Line>,
    /// What has to stand with it while nobody reviewed the pack.
    pub notice: String,
}

/// Steps of one kind.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct TellGroup {
    /// What kind they are.
    pub head: String,
    /// What can hurt, and what not to do.
    pub care: bool,
    /// The steps.
    pub steps: Vec<String>,
}

/// How it can be told.
const WAYS: [&str; 4] = ["spoken", "letter", "email", "print"];

/// What to tell of a plant.
///
/// # Errors
/// [`Error::NotFound`]; of the key.
pub fn tell(view: &View<'_>, inquiry: RecordId, plant: RecordId) -> Result<TellScreen> {
    let whole = view.whole(inquiry)?;
    let record = of_whole(&whole, plant)?;
    let (stops, halts): (Vec<StopCard>, Vec<StopCard>) =
        stops::cards(view, &whole)?.into_iter().partition(|card| !card.read.is_empty());
    let typed = typed_in(view, Form::Telling, plant)?;
    let how = typed.get("how").filter(|how| WAYS.contains(&how.as_str())).map_or("spoken", String::as_str);
    let mut screen = TellScreen {
        inquiry,
        plant,
        title: lines::plant_title(record, view.telling()),
        saved: newest(&whole).map_or_else(String::new, |a| view.saved(a)),
        halts,
        stops,
        held: String::new(),
        say_this: String::new(),
        groups: Vec::new(),
        needs: String::new(),
        due: String::new(),
        due_words: String::new(),
        question: String::new(),
        ways: WAYS
            .iter()
            .map(|id| Choice { id: (*id).into(), text: sentence_case(&view.telling().word(id)), chosen: *id == how })
            .collect(),
        read_back: typed.get("read_back").is_some_and(|said| said == "yes"),
        asked: asked(view, &whole),
        before: before(view, &whole),
        notice: view.pack.notice(view.words.0).unwrap_or_default().to_owned(),
    };
    let Some(known) = Known::of(view.pack, &whole, record, &view.when)? else {
        screen.held = view.say("phone-host-first");
        return Ok(screen);
    };
    if !screen.halts.is_empty() {
        screen.held = view.say("phone-read-first");
        return Ok(screen);
    }
    if known.holds_back(Blocks::Advice) {
        screen.held = view.say("phone-advice-held");
    }
    screen.say_this = say_this(view, &known);
    let groups = tell::told(&known.advice, view.pack, &view.speech());
    screen.groups = groups.into_iter().map(|g| TellGroup { head: g.head, care: g.care, steps: g.steps }).collect();
    screen.needs = match known.advice.escalate {
        Escalate::None => String::new(),
        Escalate::Educator => view.say("inquiry-needs-educator"),
        Escalate::Lab => view.say("inquiry-needs-sample"),
        Escalate::Arborist => view.say("inquiry-needs-arborist"),
        Escalate::Regulated => view.say("inquiry-needs-authority"),
    };
    if let Some(follow_up) = &known.advice.follow_up {
        let days = jiff::ToSpan::days(i64::from(follow_up.days));
        let due = view.when.today().checked_add(days).ok();
        screen.due = due.map_or_else(String::new, |d| d.to_string());
        screen.question = follow_up.ask.get(view.words.0).to_owned();
    }
    if let Some(due) = typed.get("due") {
        screen.due.clone_from(due);
    }
    screen.due_words = screen.due.parse().map_or_else(|_| String::new(), |due: Date| view.when.date(due));
    Ok(screen)
}

/// That a question waits already, the earliest of them.
fn asked(view: &View<'_>, whole: &Whole) -> String {
    let open = whole
        .of(Kind::FollowUp)
        .into_iter()
        .filter(|f| f.get("done").and_then(Json::as_bool).map_or_else(|| f.text("answered").is_none(), |done| !done));
    let due: Option<Date> = open.filter_map(|f| f.text("due")?.parse().ok()).min();
    due.map_or_else(String::new, |due| view.with("phone-asked-already", [("day", &view.when.date(due))]))
}

/// A sentence or two to say aloud.
fn say_this(view: &View<'_>, known: &Known<'_>) -> String {
    if known.holds_back(Blocks::Diagnosis) {
        return view.say("phone-say-official");
    }
    match known.advice.causes.first() {
        Some(cause) => {
            let sure =
                view.with("phone-sure", [("word", &cause.word.text(view.words.0)), ("n", &percent(cause.probability))]);
            view.with("phone-say-cause", [("cause", &cause.name.get(view.words.0)), ("sure", &sure)])
        }
        None => view.say("phone-say-unknown"),
    }
}

fn advice_of(whole: &Whole) -> Vec<&Record> {
    let mut given = whole.of(Kind::Advice);
    given.sort_by_key(|a| std::cmp::Reverse((a.text("given").and_then(instant_ms), a.id)));
    given
}

fn newest(whole: &Whole) -> Option<&Record> {
    advice_of(whole).first().copied()
}

/// What was told before, newest first.
pub(super) fn before(view: &View<'_>, whole: &Whole) -> Vec<Line> {
    let line = |a: &&Record| {
        let at = a.text("given").map_or_else(String::new, |at| view.when.full(at));
        let how = a.text("how").map_or_else(String::new, |how| view.telling().word(how));
        let by = a.text("by").unwrap_or_default();
        let label: Vec<&str> = [at.as_str(), how.as_str(), by].into_iter().filter(|part| !part.is_empty()).collect();
        Line { label: label.join(" · "), text: a.text("text").unwrap_or_default().to_owned() }
    };
    advice_of(whole).iter().map(line).collect()
}

/// Writes down that it was told: causes and how sure, text and its version, cautions, words, and what is asked later. `due` is
/// empty where nobody asks again.
///
/// # Errors
/// `SCHEMA` for a way or a day that is none, and while a stop stands that nobody read; [`Error::NotFound`]; as
/// [`crate::notebook::Notebook::save`].
pub fn told_it(
    view: &View<'_>,
    inquiry: RecordId,
    plant: RecordId,
    how: &str,
    read_back: bool,
    due: &str,
) -> Result<TellScreen> {
    let bad = |why: &str| Error::refused(Code::Schema, why);
    if !WAYS.contains(&how) {
        return Err(bad("that is no way to tell it"));
    }
    let day: Option<Date> = due.parse().ok();
    if !due.is_empty() && day.is_none_or(|day| day < view.when.today()) {
        return Err(bad("a follow-up is due today or later"));
    }
    stops::record(view, inquiry)?;
    let whole = view.whole(inquiry)?;
    if !stops::unread(view, &whole)?.is_empty() {
        return Err(bad("a stop stands that nobody read"));
    }
    let record = of_whole(&whole, plant)?;
    if view.pack.host(record.text("host").unwrap_or_default()).is_none() {
        return Err(bad("the plant is not known"));
    }
    let language = language_of(&whole, "");
    let writing = Writing::kept(view.notebook, inquiry, plant, language)?;
    let spoken = Words(language);
    let label = view.own_label()?;
    let made = occasioned(view, spoken, |knows| make(view.pack, &whole, record, language, &writing, knows))?;
    let question = made.told.follow_up.as_ref().map_or_else(String::new, |f| f.ask.get(language).to_owned());
    let sending = Sending {
        told: &made.told,
        letter: Some(&made.letter),
        text: &made.kept,
        how,
        read_back,
        due: day,
        question: &question,
        by: &label,
        signed: &label,
    };
    keep(view.notebook, &whole, record, &sending, &view.when)?;
    done_with(view, Form::Telling, plant)?;
    tell(view, inquiry, plant)
}

/// Whether an inquiry is under seal.
pub(super) fn is_sealed(whole: &Whole) -> bool {
    crate::key::under_seal(inquiry::stops(whole.inquiry.get("stops")))
}
