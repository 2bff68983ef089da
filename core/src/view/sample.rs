//! Samples for a laboratory: how to pack one, what stands on its bag, and each hand-over on its way.

use serde_json::{Value as Json, json};

use super::{
    act::{Choice, Line},
    ask::AskField,
    plant::of_whole,
    reader::View,
    stops::{self, StopCard},
    typing::{Form, done_with, form_fields, type_in, typed_in},
};
use crate::{
    Code, Error, Result,
    ids::RecordId,
    inquiry::{Whole, reference, save, visit_today},
    notebook::Record,
    record::Kind,
    tell::{lines, samples as told},
    words::sentence_case,
};

/// The samples of an inquiry.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct SampleScreen {
    /// The inquiry.
    pub inquiry: RecordId,
    /// Plant and township.
    pub title: String,
    /// Stops that nobody read yet.
    pub halts: Vec<StopCard>,
    /// That a stop keeps samples of this suspect on the spot; else empty.
    pub held: String,
    /// How to pack one: the receiving laboratory's own card wins.
    pub packing: Vec<String>,
    /// The samples.
    pub samples: Vec<SampleCard>,
    /// The plants of which one can be taken.
    pub plants: Vec<Choice>,
    /// What is asked of a new one, as far as it is typed: `part`, `pieces`, `seal`, `kept_cool`.
    pub fields: Vec<AskField>,
}

/// One sample.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct SampleCard {
    /// The sample.
    pub id: RecordId,
    /// Which part of the plant it is.
    pub head: String,
    /// How far it is on its way, of four steps.
    pub steps: u32,
    /// The same in words.
    pub way: String,
    /// What to write on its bag: no name, no place.
    pub label: Vec<Line>,
    /// What happened to it, oldest first.
    pub chain: Vec<SampleStep>,
    /// The laboratory's own words; empty before they came.
    pub result: String,
    /// What is written down of it, as far as it is typed: `accession`, `seal`, `disposal`.
    pub fields: Vec<AskField>,
    /// What is asked of its next hand-over, as far as it is typed: `to`, `condition`.
    pub handing: Vec<AskField>,
}

/// One step of its way.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct SampleStep {
    /// The day.
    pub day: String,
    /// The time of day.
    pub clock: String,
    /// What happened.
    pub what: String,
    /// What was written down with it.
    pub line: String,
}

/// Lines of the packing card.
const PACKING: u32 = 6;

/// The samples of an inquiry.
///
/// # Errors
/// [`Error::NotFound`]; of the notebook.
pub fn samples(view: &View<'_>, inquiry: RecordId) -> Result<SampleScreen> {
    let whole = view.whole(inquiry)?;
    let cards = whole.of(Kind::Sample).into_iter().zip(told::of(&whole, view.telling())).map(|(record, sample)| {
        let chain = sample.chain.into_iter();
        let typed = typed_in(view, Form::Sample, record.id)?;
        let stands = |field: &str| record.text(field).unwrap_or_default().to_owned();
        Ok(SampleCard {
            fields: form_fields(view, Form::Sample, &typed, stands),
            handing: form_fields(view, Form::Custody, &typed_in(view, Form::Custody, record.id)?, |_| String::new()),
            id: record.id,
            head: sample.head,
            steps: u32::try_from(sample.steps).unwrap_or(0),
            way: sample.way,
            label: label(view, &whole, record),
            chain: chain.map(|s| SampleStep { day: s.day, clock: s.clock, what: s.what, line: s.line }).collect(),
            result: sample.result,
        })
    });
    let cards: Vec<SampleCard> = cards.collect::<Result<_>>()?;
    let plants = whole.of(Kind::Plant);
    let new = typed_in(view, Form::NewSample, inquiry)?;
    let sealed = super::tell::is_sealed(&whole);
    Ok(SampleScreen {
        inquiry,
        title: lines::title(&plants, whole.site.as_ref(), view.telling()),
        halts: stops::unread(view, &whole)?,
        held: if sealed { view.say("phone-sample-sealed") } else { String::new() },
        packing: (1..=PACKING).map(|n| view.say(&format!("phone-pack-{n}"))).collect(),
        samples: cards,
        plants: plants
            .iter()
            .map(|plant| Choice {
                id: plant.id.to_string(),
                text: lines::plant_title(plant, view.telling()),
                chosen: plants.len() == 1,
            })
            .collect(),
        fields: form_fields(view, Form::NewSample, &new, |_| String::new()),
    })
}

/// What stands on the bag.
fn label(view: &View<'_>, whole: &Whole, sample: &Record) -> Vec<Line> {
    let plant = reference(sample, "plant").and_then(|id| whole.records.get(&id));
    let lines = [
        ("phone-label-inquiry", Some(whole.inquiry.id.short())),
        ("phone-label-sample", Some(sample.id.short())),
        ("phone-label-plant", plant.map(|p| view.names.host(p.text("host").unwrap_or_default()))),
        ("phone-label-part", sample.text("plant_part").map(sentence_case)),
        ("phone-label-pieces", sample.get("pieces").and_then(Json::as_u64).map(|n| n.to_string())),
        ("phone-label-taken", sample.text("taken").map(|at| view.when.full(at))),
        ("phone-label-by", sample.text("taken_by").map(str::to_owned)),
        ("phone-label-seal", sample.text("seal").map(str::to_owned)),
    ];
    lines.into_iter().filter_map(|(label, text)| Some(Line { label: view.say(label), text: text? })).collect()
}

/// Writes down that a sample was taken: part, number of pieces (0 where nobody counted), seal number, kept cool.
///
/// # Errors
/// [`Error::NotFound`]; as [`crate::notebook::Notebook::save`].
pub fn take_sample(
    view: &View<'_>,
    inquiry: RecordId,
    plant: Option<RecordId>,
    part: &str,
    pieces: u32,
    seal: &str,
    kept_cool: bool,
) -> Result<SampleScreen> {
    let whole = view.whole(inquiry)?;
    plant.map(|id| of_whole(&whole, id)).transpose()?;
    let (label, version) = (view.own_label()?, view.pack.content_version());
    let visit = visit_today(view.notebook, &whole, &view.looker(&label, "glance", &version), &view.when)?;
    let mut fields = json!({
        "inquiry": inquiry.to_string(), "visit": visit.to_string(), "taken_by": label,
        "taken": view.when.instant(), "plant_part": part.trim(), "kept_cool": kept_cool,
    });
    if let Some(plant) = plant {
        fields["plant"] = json!(plant.to_string());
    }
    if pieces > 0 {
        fields["pieces"] = json!(pieces);
    }
    if !seal.trim().is_empty() {
        fields["seal"] = json!(seal.trim());
    }
    if let Some(site) = &whole.site {
        fields["site"] = json!(site.id.to_string());
    }
    save(view.notebook, Kind::Sample, None, fields)?;
    done_with(view, Form::NewSample, inquiry)?;
    samples(view, inquiry)
}

fn sample_of(view: &View<'_>, sample: RecordId) -> Result<(Record, RecordId)> {
    let record = view.notebook.show(sample)?;
    let inquiry = reference(&record, "inquiry").filter(|_| record.kind == Kind::Sample && !record.hidden);
    let inquiry = inquiry.ok_or_else(|| Error::NotFound(format!("a sample {sample}")))?;
    Ok((record, inquiry))
}

/// Writes the laboratory's number (`accession`), the seal number (`seal`), or what became of a sample (`disposal`).
///
/// # Errors
/// `SCHEMA` for another field; [`Error::NotFound`]; as [`crate::notebook::Notebook::save`].
pub fn write_sample(view: &View<'_>, sample: RecordId, field: &str, text: &str) -> Result<SampleScreen> {
    let (_, inquiry) = sample_of(view, sample)?;
    type_in(view, Form::Sample, sample, field, text, true)?;
    samples(view, inquiry)
}

/// Writes down one hand-over of a sample, now, by whoever holds this phone. It is written once and never changed.
///
/// # Errors
/// `SCHEMA` without who took it; [`Error::NotFound`]; as [`crate::notebook::Notebook::save`].
pub fn hand_over_sample(view: &View<'_>, sample: RecordId, to: &str, condition: &str) -> Result<SampleScreen> {
    let (_, inquiry) = sample_of(view, sample)?;
    if to.trim().is_empty() {
        return Err(Error::refused(Code::Schema, "nobody was named that took the sample"));
    }
    let mut fields = json!({
        "sample": sample.to_string(), "from": view.own_label()?, "to": to.trim(), "at": view.when.instant(),
    });
    if !condition.trim().is_empty() {
        fields["condition"] = json!(condition.trim());
    }
    save(view.notebook, Kind::Custody, None, fields)?;
    done_with(view, Form::Custody, sample)?;
    samples(view, inquiry)
}
