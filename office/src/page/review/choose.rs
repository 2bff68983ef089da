//! Values that two phones wrote apart: both in a sentence, one is chosen or a third written, and both stay in the history.

use axum::{
    Extension,
    extract::{Path, State},
    response::{IntoResponse, Redirect, Response},
};
use dooryard_core::{
    notebook::{Conflict, LiveValue},
    record::{Kind, Privacy, Type, fields_of},
};
use serde_json::{Map, Value as Json, json};

use super::{
    form::Wrong,
    keep::alone,
    one::{Again, again},
    subject::Subject,
    typed::Typed,
    undo::{Done, Step},
};
use crate::{
    page::{
        clash::clash,
        frame::Here,
        guard::Given,
        live::Part,
        reading::record_id,
        routes::{Shared, answer},
        say::Say,
        trouble::Trouble,
    },
    people::Visitor,
};

/// One field in conflict, with what can be chosen.
pub(super) struct Choice {
    /// The form's own part of names and anchors.
    pub(super) key: String,
    pub(super) record: String,
    pub(super) field: String,
    /// What it is about.
    pub(super) about: String,
    /// The changes that the form has seen.
    pub(super) seen: String,
    /// What each wrote: (change, who, what, when).
    pub(super) values: Vec<(String, String, String, String)>,
    /// How many there are, and that all are kept.
    pub(super) end: String,
    /// How a third value can be written.
    pub(super) third: Third,
    /// It is private and was not asked for: named, not shown, and nothing to choose.
    pub(super) hidden: bool,
}

/// How a third value is written.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) enum Third {
    /// It cannot: it has parts.
    None,
    /// In one line.
    Line,
    /// In several.
    Lines,
    /// As one of these words: (value, words).
    OneOf(Vec<(String, String)>),
}

impl Third {
    /// Whether one can be written.
    pub(super) fn is_some(&self) -> bool {
        *self != Self::None
    }

    /// Whether it is written in several lines.
    pub(super) fn is_lines(&self) -> bool {
        *self == Self::Lines
    }

    /// The words it can be one of.
    pub(super) fn options(&self) -> &[(String, String)] {
        if let Self::OneOf(words) = self { words } else { &[] }
    }
}

/// The newest value of each change, in the order in which they were written.
fn in_order(conflict: &Conflict) -> Vec<&LiveValue> {
    let mut values: Vec<&LiveValue> = conflict.values.iter().collect();
    values.sort_by_key(|v| (v.at_ms, v.change));
    values
}

fn seen(conflict: &Conflict) -> String {
    let changes: Vec<String> = in_order(conflict).iter().map(|v| v.change.to_string()).collect();
    changes.join(",")
}

fn type_of(conflict: &Conflict) -> Option<Type> {
    fields_of(conflict.kind).iter().find(|f| f.name == conflict.field).map(|f| f.ty)
}

/// Whether a field is open only when asked for.
fn is_private(conflict: &Conflict) -> bool {
    let class = fields_of(conflict.kind).iter().find(|f| f.name == conflict.field).map(|f| f.class);
    class.is_none_or(|class| class >= Privacy::Private)
}

impl Choice {
    /// A conflict with what can be chosen; `None` for what is sealed. Private values show only when asked for.
    pub(super) fn of(conflict: &Conflict, say: Say<'_>, private: bool) -> Option<Self> {
        let said = clash(conflict, say, private)?;
        let hidden = is_private(conflict) && !private;
        let values = in_order(conflict).into_iter().zip(said.wrote);
        let third = match type_of(conflict) {
            Some(Type::Bool) => Third::OneOf(
                [("true", "review-yes"), ("false", "review-no")].map(|(v, id)| (v.into(), say.say(id))).into(),
            ),
            Some(Type::Word(words)) => Third::OneOf(words.iter().map(|w| ((*w).to_owned(), say.word(w))).collect()),
            Some(Type::Text(most)) if most > 400 => Third::Lines,
            Some(Type::Text(_) | Type::Int(..) | Type::Decimal | Type::Date | Type::Instant) => Third::Line,
            _ => Third::None,
        };
        Some(Self {
            key: format!("{}-{}", conflict.record, conflict.field),
            record: conflict.record.to_string(),
            field: conflict.field.clone(),
            about: said.about,
            seen: seen(conflict),
            end: say.words.with("review-clash-kept", [("n", &values.len())]),
            values: values.map(|(v, (who, what, at))| (v.change.to_string(), who, what, at)).collect(),
            third,
            hidden,
        })
    }
}

/// A third value as it was typed.
fn typed_value(ty: Option<Type>, text: &str) -> Option<Json> {
    match ty? {
        Type::Text(_) | Type::Word(_) | Type::Decimal | Type::Date | Type::Instant => Some(json!(text)),
        Type::Int(..) => text.parse::<i64>().ok().map(Json::from),
        Type::Bool => text.parse::<bool>().ok().map(Json::from),
        _ => None,
    }
}

/// Chooses.
pub(super) async fn send(
    State(desk): Shared,
    Extension(who): Extension<Visitor>,
    Path(id): Path<String>,
    Extension(given): Extension<Given>,
) -> Response {
    answer(desk, Some(who.clone()), Here::Review, move |desk, frame| {
        let _alone = alone();
        let subject = Subject::read(desk, record_id(&id)?)?;
        // What stands half typed in the other form stays there.
        let typed = Typed::kept(desk.notebook(), &who, subject.id)?.with(Typed::of(&given));
        let record = record_id(given.text("record"))?;
        let field = given.text("field");
        let found = subject.whole.conflicts.iter().find(|c| c.record == record && c.field == field);
        let Some(conflict) = found.filter(|c| seen(c) == given.text("changes") && c.kind != Kind::Alert) else {
            return again(desk, frame, &who, &subject, typed, Again::Meanwhile);
        };
        let wrong = |say| vec![Wrong { field: super::choice_of(&record.to_string(), field), say }];
        let chosen = match given.text("choice") {
            "" => return again(desk, frame, &who, &subject, typed, Again::Wrong(wrong("review-wrong-choice"))),
            "own" => typed_value(type_of(conflict), given.text("third").trim()).filter(|v| v != ""),
            change => conflict.values.iter().find(|v| v.change.to_string() == change).and_then(|v| v.value.clone()),
        };
        let shown = conflict.values.first().and_then(|v| v.value.clone());
        let Some(chosen) = chosen else {
            return again(desk, frame, &who, &subject, typed, Again::Wrong(wrong("review-wrong-third")));
        };
        let fields = Map::from_iter([(field.to_owned(), chosen.clone())]);
        match desk.notebook().save(conflict.kind, Some(record), &fields) {
            Ok(_) => {}
            Err(dooryard_core::Error::Invalid(_)) => {
                return again(desk, frame, &who, &subject, typed, Again::Wrong(wrong("review-wrong-third")));
            }
            Err(e) => return Err(Trouble::from(e)),
        }
        // Taken back, another value takes the place of the chosen one.
        let others = conflict.values.iter().filter_map(|v| v.value.clone());
        let before = shown.into_iter().chain(others).find(|v| *v != chosen).unwrap_or(Json::Null);
        let step = Step::Wrote { record: record.to_string(), field: field.to_owned(), before, after: chosen };
        Done { what: "review-done-choose".into(), count: 1, steps: vec![step] }.keep(desk.notebook(), &who)?;
        desk.changed(Part::Inquiry, subject.whole.inquiry.id);
        Ok(Redirect::to(&format!("/review/{}#done", subject.id)).into_response())
    })
    .await
}
