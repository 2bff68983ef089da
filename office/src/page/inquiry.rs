//! One inquiry as the page shows it: stops first, then words, plants, findings, photos, reasons, answers, history.

use std::collections::BTreeSet;

use dooryard_core::{key::RaisedStop, notebook::Record, record::Kind};

use super::{
    answers::{self, Answers},
    clash::{Clash, clash},
    four::{self, Four},
    gather::{Whole, is_gone, reference},
    history::{self, Happened, Saved},
    lines,
    names::Names,
    place::{Asked, Place, Shown},
    reasons::Reasons,
    shots::{self, Shot},
    stops::plain_ids,
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
    /// The words were there and are erased.
    pub said_gone: bool,
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
    /// What was asked for besides.
    pub unveil: Unveil,
}

/// A stop.
pub struct Stop {
    /// Its id.
    pub id: String,
    /// In a few words.
    pub head: String,
    /// What it says.
    pub text: String,
    /// The findings that raise it; empty when a person did.
    pub because: String,
}

impl Stop {
    fn new(id: &str, names: &Names) -> Self {
        Self { id: id.to_owned(), head: names.stop_head(id), text: names.stop_text(id), because: String::new() }
    }
}

impl View {
    /// Adds what the findings raise to the stops that a person raised; each stands once.
    pub fn add_raised(&mut self, raised: &[RaisedStop], names: &Names) {
        for stop in raised {
            if !self.stops.iter().any(|s| s.id == stop.id) {
                self.stops.push(Stop::new(&stop.id, names));
            }
            let Some(shown) = self.stops.iter_mut().find(|s| s.id == stop.id) else { continue };
            let found = stop.because.iter().filter_map(|pair| pair.split_once('.')).map(|(character, state)| {
                let (about, found) = names.finding(character, Some(state));
                format!("{about}: {}", found.unwrap_or_default())
            });
            let more: Vec<String> = found.filter(|f| !shown.because.contains(f.as_str())).collect();
            if !more.is_empty() {
                let before = if shown.because.is_empty() { "Seen: " } else { "; " };
                shown.because.push_str(before);
                shown.because.push_str(&more.join("; "));
            }
        }
    }

    /// How many photos there are, and how many pictures have not come.
    pub fn photo_line(&self) -> String {
        let missing = self.photos.iter().filter(|p| !p.here).count();
        match (self.photos.len(), missing) {
            (0, _) => "none taken".into(),
            (n, 0) => format!("{n}; each opens larger"),
            (n, missing) => format!("{} of {n} have come", n - missing),
        }
    }

    /// How many answers there are.
    pub fn answer_line(&self) -> String {
        let now = self.answers.diagnoses.iter().filter(|d| !d.past).count() as u64;
        match (now, self.answers.diagnoses.len() as u64 - now) {
            (now, 0) => format!("{now} held now"),
            (now, past) => format!("{now} held now, {past} earlier, kept"),
        }
    }

    /// This page's address with address and point the other way: shown where they are hidden.
    pub fn place_href(&self) -> String {
        self.href(!self.unveil.place, self.unveil.contact)
    }

    /// This page's address with the contact the other way.
    pub fn contact_href(&self) -> String {
        self.href(self.unveil.place, !self.unveil.contact)
    }

    fn href(&self, place: bool, contact: bool) -> String {
        let asked = [("place", place), ("contact", contact)];
        let parts: Vec<String> = asked.iter().filter(|(_, on)| *on).map(|(name, _)| format!("{name}=full")).collect();
        let query = if parts.is_empty() { String::new() } else { format!("?{}", parts.join("&")) };
        format!("/inquiries/{}{query}", self.id)
    }
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
        let own: Vec<&Record> = findings.iter().copied().filter(|f| reference(f, "plant") == Some(plant.id)).collect();
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
        stops: plain_ids(stops(inquiry.get("stops"))).into_iter().map(|id| Stop::new(id, names)).collect(),
        said: inquiry.text("question").unwrap_or_default().to_owned(),
        said_gone: is_gone(inquiry, "question"),
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
                let private = match (c.kind, c.field.as_str()) {
                    (Kind::Contact, _) => unveil.contact,
                    (Kind::Site | Kind::Photo, _) => unveil.place,
                    (Kind::Inquiry, "question") => true,
                    _ => false,
                };
                clash(c, names, when, private)
            })
            .collect(),
        history: history_of(whole, names, when),
        unveil,
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
        let mut earlier: BTreeSet<&str> = BTreeSet::new();
        for (at, entry) in entries.iter().enumerate() {
            saves.push(Saved { kind: *kind, called: called.clone(), first: at == 0, earlier: earlier.clone(), entry });
            earlier.extend(entry.wrote.iter().map(|(name, _)| name.as_str()));
        }
    }
    history::tell(saves, names, when)
}
