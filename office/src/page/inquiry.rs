//! One inquiry as the page shows it: stops first, then words, plants, findings, photos, reasons, answers, history.

use std::collections::BTreeSet;

use dooryard_core::{
    inquiry::stops_read,
    key::{RaisedStop, stop_id},
    notebook::Record,
    record::Kind,
    words::Argument,
};

use super::{
    answers::{self, Answers},
    clash::{Clash, clash},
    four::{self, Four},
    gather::{Whole, is_gone, reference},
    held::Held,
    history::{self, Happened},
    lines,
    place::{Asked, Place, Shown},
    reasons::Reasons,
    say::Say,
    shots::{self, Shot},
    stops::plain_ids,
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
    /// Who has it.
    pub held: Held,
    /// Said when an answer was given, or a look taken, with other content than what the key here has; else empty.
    pub packs: String,
    /// Stops, in the order in which they were raised.
    pub stops: Vec<Stop>,
    /// The safety questions that were asked, with their answers; empty where none was.
    pub danger_asked: String,
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
    /// When it was read on a phone; empty where nobody wrote that down.
    pub read: String,
}

impl Stop {
    fn new(id: &str, say: Say<'_>) -> Self {
        let (head, text) = (say.names.stop_head(id), say.names.stop_text(id));
        Self { id: id.to_owned(), head, text, because: String::new(), read: String::new() }
    }
}

impl View {
    /// Adds what the findings raise to the stops that a person raised; each stands once.
    pub fn add_raised(&mut self, raised: &[RaisedStop], say: Say<'_>) {
        for stop in raised {
            if !self.stops.iter().any(|s| s.id == stop.id) {
                self.stops.push(Stop::new(&stop.id, say));
            }
            let Some(shown) = self.stops.iter_mut().find(|s| s.id == stop.id) else { continue };
            let found = stop.because.iter().filter_map(|pair| pair.split_once('.')).map(|(character, state)| {
                let (about, found) = say.names.finding(character, Some(state));
                format!("{about}: {}", found.unwrap_or_default())
            });
            let more: Vec<String> = found.filter(|f| !shown.because.contains(f.as_str())).collect();
            if !more.is_empty() {
                let before = if shown.because.is_empty() { format!("{}: ", say.status("seen")) } else { "; ".into() };
                shown.because.push_str(&before);
                shown.because.push_str(&more.join("; "));
            }
        }
    }

    /// How many photos there are, and how many pictures have not come.
    pub fn photo_line(&self, say: Say<'_>) -> String {
        let all = self.photos.len() as u64;
        let here = self.photos.iter().filter(|p| p.here).count() as u64;
        match (all, all - here) {
            (0, _) => say.say("inquiry-photos-none"),
            (n, 0) => say.words.with("inquiry-photos-all", [("n", &n)]),
            (n, _) => say.words.with("inquiry-photos-some", [("here", &here), ("n", &n)]),
        }
    }

    /// How many answers there are.
    pub fn answer_line(&self, say: Say<'_>) -> String {
        let now = self.answers.diagnoses.iter().filter(|d| !d.past).count() as u64;
        let past = self.answers.diagnoses.len() as u64 - now;
        let given: [(&str, &dyn Argument); 2] = [("now", &now), ("past", &past)];
        say.words.with(if past == 0 { "inquiry-answers-now" } else { "inquiry-answers-now-past" }, given)
    }

    /// This page's address with address and point the other way: shown where they are hidden.
    pub fn place_href(&self) -> String {
        self.href(Unveil { place: !self.unveil.place, ..self.unveil })
    }

    /// This page's address with the contact the other way.
    pub fn contact_href(&self) -> String {
        self.href(Unveil { contact: !self.unveil.contact, ..self.unveil })
    }

    /// This page's address with the fields of the history the other way.
    pub fn history_href(&self) -> String {
        self.href(Unveil { history: !self.unveil.history, ..self.unveil })
    }

    fn href(&self, asked: Unveil) -> String {
        let asked = [("place", asked.place), ("contact", asked.contact), ("history", asked.history)];
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
    /// Every field of every save, opened.
    pub history: bool,
}

/// Makes the view. `reasons` gives the key's differential of a plant from its findings; `here` says whether a photo's
/// picture has come.
pub fn view(
    whole: &Whole,
    say: Say<'_>,
    unveil: Unveil,
    mut reasons: impl FnMut(&Record, &[&Record]) -> Option<Reasons>,
    here: impl Fn(&Record) -> bool,
) -> View {
    let inquiry = &whole.inquiry;
    let (plants, findings, visits) = (whole.of(Kind::Plant), whole.of(Kind::Finding), whole.of(Kind::Visit));
    let plant_view = |plant: &&Record| {
        let own: Vec<&Record> = findings.iter().copied().filter(|f| reference(f, "plant") == Some(plant.id)).collect();
        Plant {
            title: lines::plant_title(plant, say),
            line: lines::plant(plant, say),
            four: four::table(&own, &visits, say),
            reasons: reasons(plant, &own),
        }
    };
    View {
        id: inquiry.id.to_string(),
        title: lines::title(&plants, whole.site.as_ref(), say),
        line: lines::line(inquiry, say),
        held: Held::of(inquiry, say),
        packs: packs(whole, say),
        stops: plain_ids(stops(inquiry.get("stops"))).into_iter().map(|id| stop_of(inquiry, id, say)).collect(),
        danger_asked: danger_asked(inquiry, say),
        said: inquiry.text("question").unwrap_or_default().to_owned(),
        said_gone: is_gone(inquiry, "question"),
        said_by: lines::said_by(inquiry, say),
        place: Place::of(whole.site.as_ref(), if unveil.place { Shown::Full } else { Shown::Coarse }, say),
        asked: Asked::of(whole.contact.as_ref(), if unveil.contact { Shown::Full } else { Shown::Coarse }, say),
        consent: lines::consent(inquiry.get("consent"), say),
        visits: visits.iter().map(|v| lines::visit(v, say)).collect(),
        plants: plants.iter().map(plant_view).collect(),
        photos: shots::of(whole, say, here),
        answers: answers::of(whole, say),
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
                clash(c, say, private)
            })
            .collect(),
        history: history::of(whole, &whole.history, say),
        unveil,
    }
}

/// A stop that a person raised, and when it was last read.
fn stop_of(inquiry: &Record, id: &str, say: Say<'_>) -> Stop {
    let read = stops_read(inquiry).into_iter().rfind(|read| stop_id(&read.stop) == id);
    let read = read
        .map_or_else(String::new, |read| say.words.with("inquiry-stop-was-read", [("time", &say.when.full(&read.at))]));
    Stop { read, ..Stop::new(id, say) }
}

fn danger_asked(inquiry: &Record, say: Say<'_>) -> String {
    let rows = inquiry.get("asked").and_then(serde_json::Value::as_array).map_or(&[][..], Vec::as_slice);
    let said = say.asked(rows);
    if said.is_empty() { String::new() } else { say.words.with("inquiry-danger-asked", [("said", &said.join("; "))]) }
}

/// Content that was used and is not what the key here has.
fn packs(whole: &Whole, say: Say<'_>) -> String {
    let with_pack = whole.records.values().filter(|r| matches!(r.kind, Kind::Visit | Kind::Diagnosis));
    let used: BTreeSet<&str> = with_pack.filter_map(|r| r.text("pack_version")).collect();
    let others: Vec<String> = used.into_iter().filter(|p| *p != say.names.pack).map(str::to_owned).collect();
    if others.is_empty() {
        return String::new();
    }
    let given: [(&str, &dyn Argument); 2] = [("used", &say.list(&others)), ("here", &say.names.pack)];
    say.words.with("inquiry-other-pack", given)
}
