//! One inquiry: what it is about, its plants, visits, photos and follow-ups, what would be useful to add, and what the office wrote
//! back.

use serde_json::Value as Json;

use super::{
    act::Line,
    ask::is_begun,
    conflicts::conflicts,
    later::{LaterRow, rows as later_rows},
    over_time::{PastVisit, visits as visits_to},
    photo::{PhotoCard, cards},
    reader::View,
    records::way_words,
    resume::Screen,
    stops::{self, StopCard},
    tell::{before, is_sealed},
};
use crate::{
    Result,
    ids::RecordId,
    inquiry::{Whole, day_of, named_causes, observations},
    notebook::{Record, Summary, Way},
    record::Kind,
    tell::lines,
    words::sentence_case,
};

/// One inquiry.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct InquiryScreen {
    /// The inquiry.
    pub inquiry: RecordId,
    /// Plant and township.
    pub title: String,
    /// How and when it came, who took it, where it stands.
    pub line: String,
    /// `Saved on this phone 10:42 am`
    pub saved: String,
    /// It was begun and not put down.
    pub unfinished: bool,
    /// It is in the bin.
    pub taken_away: bool,
    /// Stops that nobody read yet.
    pub halts: Vec<StopCard>,
    /// Stops that were read, and stand.
    pub stops: Vec<StopCard>,
    /// That it is under seal, and what that means; else empty.
    pub sealed: String,
    /// The resident's own words.
    pub said: String,
    /// Whose words, when, by which way, with what wish.
    pub said_by: String,
    /// What the resident agreed to, and what not.
    pub consent: String,
    /// The plants.
    pub plants: Vec<PlantRow>,
    /// The visits, newest first.
    pub visits: Vec<String>,
    /// The visits to its place, of other inquiries too, newest first.
    pub over_time: Vec<PastVisit>,
    /// The photos.
    pub photos: Vec<PhotoCard>,
    /// What is asked later, and was.
    pub later: Vec<LaterRow>,
    /// Words of what begins another visit to its plants, or to its place where no plant is written down; empty where there is neither,
    /// where it is in the bin and under seal.
    pub again: String,
    /// What was told, newest first.
    pub told: Vec<Line>,
    /// What the office and the laboratory wrote.
    pub office: Vec<Line>,
    /// What would still be useful to add; nothing of it has to be.
    pub useful: Vec<Useful>,
    /// Two wrote otherwise, in words; empty where nobody did.
    pub conflict: String,
    /// How far it is on its way.
    pub way: Way,
    /// The same in words.
    pub way_words: String,
}

/// One plant of it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct PlantRow {
    /// The plant.
    pub plant: RecordId,
    /// What it is called.
    pub head: String,
    /// How many of how many, and what is known of it.
    pub text: String,
    /// `23 findings`
    pub findings: String,
}

/// What would be useful to add.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Useful {
    /// Where it is added.
    pub screen: Screen,
    /// The plant, where it is about one.
    pub plant: Option<RecordId>,
    /// What it is.
    pub text: String,
}

/// One inquiry.
///
/// # Errors
/// [`crate::Error::NotFound`]; of the notebook.
pub fn inquiry(view: &View<'_>, inquiry: RecordId) -> Result<InquiryScreen> {
    let whole = view.whole(inquiry)?;
    let say = view.telling();
    let (stops, halts): (Vec<StopCard>, Vec<StopCard>) =
        stops::cards(view, &whole)?.into_iter().partition(|card| !card.read.is_empty());
    let plants = whole.of(Kind::Plant);
    let way = view.notebook.way_of_all(inquiry)?;
    let n = conflicts(view, Some(inquiry))?.rows.len();
    let mut visits = whole.of(Kind::Visit);
    visits.sort_by_key(|v| std::cmp::Reverse(v.id));
    let follow_ups: Vec<Summary> = {
        let ids: Vec<RecordId> = whole.of(Kind::FollowUp).into_iter().map(|f| f.id).collect();
        view.notebook.rows_of(&ids)?
    };
    let newest = std::iter::once(&whole.inquiry).chain(whole.records.values());
    let newest = newest.flat_map(|r| r.fields.iter().map(|f| f.shown.at_ms)).max().unwrap_or_default();
    Ok(InquiryScreen {
        inquiry,
        title: lines::title(&plants, whole.site.as_ref(), say),
        line: lines::line(&whole.inquiry, say),
        saved: view.saved_at(newest),
        unfinished: is_begun(view, inquiry)?,
        taken_away: whole.inquiry.hidden,
        halts,
        stops,
        sealed: if is_sealed(&whole) { view.say("phone-sealed-what") } else { String::new() },
        said: whole.inquiry.text("question").unwrap_or_default().to_owned(),
        said_by: lines::said_by(&whole.inquiry, say),
        consent: lines::consent(whole.inquiry.get("consent"), say),
        plants: plants
            .iter()
            .map(|plant| PlantRow {
                plant: plant.id,
                head: lines::plant_title(plant, say),
                text: lines::plant(plant, say),
                findings: super::look::progress(view, &whole, plant.id),
            })
            .collect(),
        visits: visits.iter().map(|visit| lines::visit(visit, say)).collect(),
        over_time: visits_to(view, &whole)?,
        photos: cards(view, &whole, None),
        later: later_rows(view, &follow_ups)?,
        again: again_words(view, &whole),
        told: before(view, &whole),
        office: office(view, &whole),
        useful: useful(view, &whole),
        conflict: if n == 0 { String::new() } else { view.with("phone-conflicts-of-one", [("n", &n)]) },
        way,
        way_words: way_words(view, way),
    })
}

fn again_words(view: &View<'_>, whole: &Whole) -> String {
    match whole.of(Kind::Plant).len() {
        _ if whole.inquiry.hidden || is_sealed(whole) => String::new(),
        0 if whole.site.is_none() => String::new(),
        0 => view.say("phone-again-place"),
        n => view.with("phone-again-plants", [("n", &n)]),
    }
}

/// What the office's reviews and the laboratories wrote: the phone shows it beside what was written here. What is regulated is not
/// named.
fn office(view: &View<'_>, whole: &Whole) -> Vec<Line> {
    let say = view.telling();
    let mut lines = Vec::new();
    for review in whole.of(Kind::Review) {
        let at = review.text("at").map_or_else(String::new, |at| view.when.day(at));
        let decision = review.text("decision").map_or_else(
            || view.say("phone-review-open"),
            |d| view.known(&format!("phone-review-{}", d.replace('_', "-"))),
        );
        let correction = review.text("correction").filter(|_| !is_sealed(whole)).unwrap_or_default();
        lines.push(Line { label: view.with("phone-review-on", [("day", &at)]), text: join(&decision, correction) });
    }
    for diagnosis in whole.of(Kind::Diagnosis) {
        let status = diagnosis.text("status").unwrap_or("presumptive");
        if status == "presumptive" {
            continue;
        }
        let causes: Vec<String> =
            named_causes(diagnosis.get("causes")).iter().map(|(id, p)| say.cause(id, *p)).collect();
        lines.push(Line { label: sentence_case(&say.word(status)), text: say.list(&causes) });
    }
    for sample in whole.of(Kind::Sample) {
        if let Some(result) = sample.text("result").filter(|r| !r.is_empty()) {
            lines.push(Line { label: view.say("phone-laboratory"), text: result.to_owned() });
        }
    }
    if let Some(status) = whole.inquiry.text("status") {
        lines.push(Line { label: view.say("phone-stands"), text: sentence_case(&say.word(status)) });
    }
    lines
}

fn join(a: &str, b: &str) -> String {
    [a, b].into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(" ")
}

/// What would still be useful to add. Nothing of it has to be.
fn useful(view: &View<'_>, whole: &Whole) -> Vec<Useful> {
    let mut useful = Vec::new();
    let mut add = |screen, plant, name: &str| useful.push(Useful { screen, plant, text: view.say(name) });
    let empty =
        |record: Option<&Record>, field: &str| record.and_then(|r| r.get(field)).is_none_or(|v| v.as_str() == Some(""));
    if empty(Some(&whole.inquiry), "question") {
        add(Screen::Ask, None, "phone-useful-words");
    }
    if empty(whole.site.as_ref(), "township") {
        add(Screen::Place, None, "phone-useful-place");
    }
    let plants = whole.of(Kind::Plant);
    // Photos and telling are of a plant: of one that is known, where there is one.
    let known = plants.iter().find(|p| view.pack.host(p.text("host").unwrap_or_default()).is_some());
    let (first, known) = (plants.first().map(|p| p.id), known.map(|p| p.id));
    if plants.is_empty() {
        add(Screen::Plant, None, "phone-useful-plant");
    }
    for plant in plants {
        let host = plant.text("host").unwrap_or_default();
        if view.pack.host(host).is_none() {
            add(Screen::Plant, Some(plant.id), "phone-useful-host");
            continue;
        }
        if plant.get("present").and_then(Json::as_u64).is_none() {
            add(Screen::Plant, Some(plant.id), "phone-useful-count");
        }
        let (given, _) = observations(view.pack, host, day_of(whole, &view.when), &whole.findings_on(plant.id));
        if given.findings.is_empty() {
            add(Screen::Look, Some(plant.id), "phone-useful-look");
        }
    }
    if whole.of(Kind::Photo).is_empty() {
        add(Screen::Shots, known.or(first), "phone-useful-photo");
    }
    if whole.inquiry.get("consent").is_none() {
        add(Screen::Ask, None, "phone-useful-consent");
    }
    if whole.of(Kind::Advice).is_empty() {
        add(Screen::Tell, known, "phone-useful-tell");
    }
    useful
}
