//! One inquiry as the page shows it: stops first, then words, plants, findings, photos, reasons, answers, history.

use dooryard_core::{
    notebook::Record,
    record::Kind,
};

use super::{
    answers::{self, Answers},
    clash::{Clash, clash},
    four::{self, Four},
    gather::{Whole, reference},
    history::{self, Happened, Saved},
    names::Names,
    lines,
    place::{Asked, Place, Shown},
    reasons::Reasons,
    shots::{self, Shot},
    words::{When, spaced},
};
use crate::ledger::stops;

/// The view of one inquiry.
pub struct View {
    /// Its id.
    pub id: String,
    /// Hosts and township.
    pub title: String,
    /// How and when it came, who took it, where it stands.
    pub line: String,
    /// Stops, in the order in which they were raised.
    pub stops: Vec<Stop>,
    /// The resident's own words.
    pub said: String,
    /// Who said so, when, with what wish.
    pub said_by: String,
    /// Where, coarse unless asked.
    pub place: Place,
    /// Who asked; named only when asked.
    pub asked: Asked,
    /// What the resident agreed to, and what not.
    pub consent: String,
    /// Visits.
    pub visits: Vec<String>,
    /// Plants with their findings.
    pub plants: Vec<Plant>,
    /// Photos.
    pub photos: Vec<Shot>,
    /// Diagnoses, advice, follow-ups, samples.
    pub answers: Answers,
    /// Conflicts in sentences.
    pub clashes: Vec<Clash>,
    /// What happened, oldest first.
    pub history: Vec<Happened>,
}

/// A stop.
pub struct Stop {
    /// In a few words.
    pub head: String,
    /// What it says.
    pub text: String,
}

/// A plant or a group of one kind.
pub struct Plant {
    /// Its name here.
    pub title: String,
    /// What is known of it.
    pub line: String,
    /// What was looked at.
    pub four: Four,
    /// What the key makes of it; `None` when the pack cannot say anything.
    pub reasons: Option<Reasons>,
}

/// What a reader asked to see besides.
#[derive(Clone, Copy, Default, PartialEq, Eq, Debug)]
pub struct Unveil {
    /// Address, point and access.
    pub place: bool,
    /// Name and ways to reach the person.
    pub contact: bool,
}

/// Makes the view. `reasons` gives the key's differential of a plant from its findings; `here` says whether a photo's
/// picture has come.
pub fn view(
    whole: &Whole,
    names: &Names,
    when: &When,
    unveil: Unveil,
    mut reasons: impl FnMut(&Record, &[&Record]) -> Option<Reasons>,
    here: impl Fn(&Record) -> bool,
) -> View {
    let inquiry = &whole.inquiry;
    let plants = whole.of(Kind::Plant);
    let findings = whole.of(Kind::Finding);
    let several_visits = whole.of(Kind::Visit).len() > 1;
    let plant_view = |plant: &&Record| {
        let own: Vec<&Record> =
            findings.iter().copied().filter(|f| reference(f, "plant") == Some(plant.id)).collect();
        Plant {
            title: lines::plant_title(plant, names),
            line: lines::plant(plant, names),
            four: four::table(&own, names, when, several_visits),
            reasons: reasons(plant, &own),
        }
    };
    View {
        id: inquiry.id.to_string(),
        title: lines::title(&plants, whole.site.as_ref(), names),
        line: lines::line(inquiry, when),
        stops: stops(inquiry.get("stops"))
            .into_iter()
            .map(|id| Stop { head: Names::stop_head(id), text: names.stop_text(id) })
            .collect(),
        said: inquiry.text("question").unwrap_or_default().to_owned(),
        said_by: lines::said_by(inquiry, when),
        place: Place::of(whole.site.as_ref(), if unveil.place { Shown::Full } else { Shown::Coarse }),
        asked: Asked::of(whole.contact.as_ref(), if unveil.contact { Shown::Full } else { Shown::Coarse }, when),
        consent: lines::consent(inquiry.get("consent")),
        visits: whole.of(Kind::Visit).into_iter().map(|v| lines::visit(v, when)).collect(),
        plants: plants.iter().map(plant_view).collect(),
        photos: shots::of(whole, when, here),
        answers: answers::of(whole, names, when),
        clashes: whole
            .conflicts
            .iter()
            .filter_map(|c| {
                let private = match c.kind {
                    Kind::Contact => unveil.contact,
                    Kind::Site => unveil.place,
                    _ => true,
                };
                clash(c, names, when, private)
            })
            .collect(),
        history: history_of(whole, names, when),
    }
}

fn history_of(whole: &Whole, names: &Names, when: &When) -> Vec<Happened> {
    let mut saves = Vec::new();
    for (id, kind, entries) in &whole.history {
        let called = match (kind, whole.records.get(id)) {
            (Kind::Finding, Some(r)) => spaced(r.text("character").unwrap_or_default()),
            (Kind::Plant, Some(r)) => names.host(r.text("host").unwrap_or_default()).to_lowercase(),
            _ => String::new(),
        };
        let rows = entries.iter().enumerate();
        saves.extend(rows.map(|(at, entry)| Saved { kind: *kind, called: called.clone(), first: at == 0, entry }));
    }
    history::tell(saves, names, when)
}
