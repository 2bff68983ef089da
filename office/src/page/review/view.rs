//! One review as the page shows it.

use dooryard_core::{
    key::{Pack, ProbabilityWord},
    notebook::Record,
    record::Kind,
};
use serde_json::Value as Json;

use super::{
    alike::{Like, alike},
    case::Stage,
    choose::Choice,
    form::{CAUSES, Wrong},
    queue::Entry,
    send::wrong_at,
    subject::{Subject, label, name_of},
    typed::Typed,
    undo::Done,
};
use crate::{
    page::{
        four::{self, Four},
        frame::Frame,
        gather::{day_of, reference},
        lines,
        names::Names,
        picture,
        reasons::{Reasons, observations, raised, reasons},
        routes::Desk,
        say::Say,
        shots::{self, Shot},
        trouble::Trouble,
        words::{When, by_name},
    },
    people::{Role, Visitor},
};

/// An answer: the reviewer's own, or the scout's.
pub(super) struct Answer {
    pub(super) head: String,
    pub(super) causes: Vec<Cause>,
    pub(super) said: String,
}

/// One cause of an answer.
pub(super) struct Cause {
    pub(super) name: String,
    pub(super) sure: String,
    pub(super) percent: Option<u8>,
    pub(super) role: String,
}

/// One plant with its findings.
pub(super) struct Plant {
    pub(super) title: String,
    pub(super) line: String,
    pub(super) four: Four,
    /// What the key makes of it; only once the scout's answer is shown.
    pub(super) reasons: Option<Reasons>,
}

/// An inquiry that looks alike, or is linked.
pub(super) struct Beside {
    pub(super) id: String,
    pub(super) title: String,
    pub(super) line: String,
    pub(super) why: String,
}

/// A stop.
pub(super) struct Stop {
    pub(super) head: String,
    pub(super) text: String,
}

/// Causes to choose from, under a heading.
pub(super) struct Group {
    pub(super) label: String,
    pub(super) causes: Vec<(String, String)>,
}

/// One row of the form of the own answer.
pub(super) struct Row {
    pub(super) n: usize,
    pub(super) cause: String,
    pub(super) sure: String,
    pub(super) role: String,
}

impl Row {
    /// Whether the cause plays this part.
    pub(super) fn is_role(&self, id: &str) -> bool {
        self.role == id
    }
}

/// One review.
pub(super) struct One {
    pub(super) id: String,
    pub(super) inquiry: String,
    pub(super) title: String,
    pub(super) line: String,
    pub(super) why: Vec<String>,
    pub(super) stops: Vec<Stop>,
    pub(super) stop_ids: Vec<String>,
    pub(super) said: String,
    pub(super) said_by: String,
    /// Whoever looks does not see what is private.
    pub(super) closed: bool,
    /// The reviewer's own answer is still to be written.
    pub(super) blind: bool,
    /// Both are shown and a decision can be kept.
    pub(super) deciding: bool,
    /// The scout's answer is in the page.
    pub(super) opened: bool,
    /// It was decided, and can be looked at without an own answer.
    pub(super) settled: bool,
    pub(super) seen: String,
    pub(super) own: Option<Answer>,
    pub(super) scout: Option<Answer>,
    pub(super) differ: String,
    /// What other reviewers have done.
    pub(super) others: Vec<String>,
    pub(super) typed: Typed,
    /// Something was typed before and is shown again.
    pub(super) draft: bool,
    pub(super) rows: Vec<Row>,
    pub(super) groups: Vec<Group>,
    pub(super) due: String,
    pub(super) wrong: Vec<Wrong>,
    pub(super) plants: Vec<Plant>,
    pub(super) visits: Vec<String>,
    pub(super) photos: Vec<Shot>,
    pub(super) clashes: Vec<Choice>,
    /// Some values in conflict are private, and not asked for.
    pub(super) private: bool,
    pub(super) linked: Vec<Beside>,
    pub(super) alike: Vec<Beside>,
    pub(super) earlier: Option<String>,
    pub(super) later: Option<String>,
    /// Whoever looks may write.
    pub(super) may: bool,
}

/// What is asked to be shown besides.
#[derive(Clone, Copy, Default)]
pub(super) struct Unveil {
    /// A decided review, without an own answer.
    pub(super) open: bool,
    /// Private values in conflict.
    pub(super) private: bool,
}

impl One {
    /// What is wrong at a field, as a sentence; empty when nothing is.
    pub(super) fn wrong(&self, frame: &Frame, field: impl AsRef<str>) -> String {
        wrong_at(&self.wrong, field.as_ref()).map(|id| frame.say(id)).unwrap_or_default()
    }

    /// What is wrong, each once, with its field.
    pub(super) fn all_wrong(&self, frame: &Frame) -> Vec<(String, String)> {
        self.wrong.iter().map(|w| (w.field.clone(), frame.say(w.say))).collect()
    }

    /// Makes it.
    ///
    /// # Errors
    /// [`Trouble::Sealed`] when a finding brings it under seal; of the stores.
    pub(super) fn make(
        desk: &Desk,
        frame: &Frame,
        who: &Visitor,
        subject: &Subject,
        unveil: Unveil,
    ) -> Result<Self, Trouble> {
        let when = frame.when();
        let (whole, names) = (&subject.whole, desk.names_in(frame.words.0));
        let say = Say { names, when: &when, words: frame.words };
        let may = who.role >= Role::Reviewer;
        let mine = subject.of(who).filter(|r| r.get("blind").is_some());
        let stage = subject.stage();
        let opened = !may || mine.is_some() || (unveil.open && stage == Stage::Done);
        let decided = mine.and_then(|r| r.text("decision"));
        let deciding = mine.is_some()
            && match decided {
                None => true,
                Some("ask_back" | "sample") => matches!(stage, Stage::Open(_)),
                Some(_) => false,
            };
        let plants = whole.of(Kind::Plant);
        let closed = !who.role.sees_private();
        let mut stops: Vec<String> =
            crate::ledger::stops(whole.inquiry.get("stops")).into_iter().map(str::to_owned).collect();
        let shown = plants.iter().map(|plant| plant_view(desk, subject, plant, say, opened, &mut stops)).collect();
        let own = mine.map(|r| own_answer(r, desk, frame, &when));
        let scout = subject.diagnosis.as_ref().filter(|_| opened).map(|d| scouts_answer(d, desk, frame, &when));
        let open_clashes = whole.conflicts.iter().filter(|c| opened || !tells(c.kind));
        let private = unveil.private && !closed;
        let clashes: Vec<Choice> = open_clashes.filter_map(|c| Choice::of(c, say, private)).collect();
        let beside = alike(desk, whole)?;
        Ok(Self {
            id: subject.id.to_string(),
            inquiry: whole.inquiry.id.to_string(),
            title: lines::title(&plants, whole.site.as_ref(), say),
            line: lines::line(&whole.inquiry, say),
            why: Vec::new(),
            stops: stop_views(&stops, names),
            stop_ids: stops,
            said: if closed { String::new() } else { whole.inquiry.text("question").unwrap_or_default().to_owned() },
            said_by: lines::said_by(&whole.inquiry, say),
            closed,
            blind: may && !opened,
            deciding,
            opened,
            settled: stage == Stage::Done,
            seen: subject.stamp(),
            differ: differ(frame, &desk.pack, mine, subject.diagnosis.as_ref()),
            own,
            scout,
            others: others(desk, frame, who, subject, opened, &when)?,
            typed: Typed::default(),
            draft: false,
            rows: Vec::new(),
            groups: if may && !opened { groups(frame, desk, subject) } else { Vec::new() },
            due: in_a_week(&when),
            wrong: Vec::new(),
            plants: shown,
            visits: whole.of(Kind::Visit).into_iter().map(|v| lines::visit(v, say)).collect(),
            photos: shots::of(whole, say, |photo| picture::here(desk.notebook(), photo)),
            private: clashes.iter().any(|c| c.hidden) && !closed,
            clashes,
            linked: beside_views(desk, frame, &when, beside.linked.into_iter().map(|id| (id, Vec::new())))?,
            alike: beside_views(desk, frame, &when, beside.suggested.into_iter())?,
            earlier: None,
            later: None,
            may,
        }
        .with_typed(Typed::default()))
    }

    /// With what is typed in its forms.
    pub(super) fn with_typed(mut self, typed: Typed) -> Self {
        let text = |name: &str, n: usize| typed.get(&format!("{name}{n}")).to_owned();
        self.rows = (1..=CAUSES)
            .map(|n| Row { n, cause: text("cause", n), sure: text("sure", n), role: text("role", n) })
            .collect();
        if !typed.get("due").is_empty() {
            self.due = typed.get("due").to_owned();
        }
        self.typed = typed;
        self
    }

    /// With its reasons and its neighbors in the queue.
    pub(super) fn with_entry(mut self, frame: &Frame, entry: Option<&Entry>) -> Self {
        let reasons = entry.into_iter().flat_map(|e| &e.reasons);
        self.why = reasons.map(|why| frame.say(&format!("review-why-{}", why.id().replace('_', "-")))).collect();
        self
    }
}

/// Whether records of this kind tell what the scout or the office answered.
fn tells(kind: Kind) -> bool {
    matches!(kind, Kind::Diagnosis | Kind::Advice | Kind::Review | Kind::FollowUp | Kind::Sample)
}

fn in_a_week(when: &When) -> String {
    let day = when.today();
    day.checked_add(jiff::Span::new().days(7)).unwrap_or(day).to_string()
}

fn plant_view(
    desk: &Desk,
    subject: &Subject,
    plant: &Record,
    say: Say<'_>,
    opened: bool,
    stops: &mut Vec<String>,
) -> Plant {
    let whole = &subject.whole;
    let findings: Vec<&Record> =
        whole.of(Kind::Finding).into_iter().filter(|f| reference(f, "plant") == Some(plant.id)).collect();
    let host = plant.text("host").unwrap_or_default();
    let (given, unknown) = observations(&desk.pack, host, day_of(whole), &findings);
    stops.extend(raised(&desk.pack, &given).into_iter().map(|stop| stop.id));
    let told = opened && !given.findings.is_empty();
    Plant {
        title: lines::plant_title(plant, say),
        line: lines::plant(plant, say),
        four: four::table(&findings, &whole.of(Kind::Visit), say),
        reasons: if told { reasons(&desk.pack, say, &given, unknown).ok() } else { None },
    }
}

fn stop_views(ids: &[String], names: &Names) -> Vec<Stop> {
    let mut shown: Vec<String> = Vec::new();
    for id in ids.iter().map(|id| dooryard_core::key::stop_id(id)) {
        if !shown.iter().any(|known| known == id) {
            shown.push(id.to_owned());
        }
    }
    shown.iter().map(|id| Stop { head: names.stop_head(id), text: names.stop_text(id) }).collect()
}

/// A chance in words and numbers.
pub(super) fn sure(frame: &Frame, percent: u8) -> String {
    let word = ProbabilityWord::of(f64::from(percent) / 100.0, true).text(frame.words.0);
    frame.with("review-sure", [("word", &word), ("n", &percent)])
}

/// A cause in the language of whoever reads. What is regulated is not named.
fn cause_name(desk: &Desk, frame: &Frame, id: &str) -> String {
    if desk.names.regulated.contains(id) {
        return frame.say("review-regulated-cause");
    }
    desk.names_in(frame.words.0).cause(id)
}

fn causes(json: Option<&Json>, desk: &Desk, frame: &Frame) -> Vec<Cause> {
    let items = json.and_then(Json::as_array).into_iter().flatten();
    items
        .map(|c| {
            let percent = c.get("percent").and_then(Json::as_u64).and_then(|p| u8::try_from(p).ok());
            let percent = percent.filter(|p| *p <= 100);
            let role = c.get("role").and_then(Json::as_str).filter(|r| *r != "primary");
            Cause {
                name: cause_name(desk, frame, c.get("cause").and_then(Json::as_str).unwrap_or_default()),
                sure: percent.map_or_else(|| frame.say("review-not-said"), |p| sure(frame, p)),
                percent,
                role: super::ROLES
                    .iter()
                    .find(|(id, _)| role == Some(*id))
                    .map(|(_, say)| frame.say(say))
                    .unwrap_or_default(),
            }
        })
        .collect()
}

fn own_answer(review: &Record, desk: &Desk, frame: &Frame, when: &When) -> Answer {
    let at = review.text("at").map(|at| when.full(at)).unwrap_or_default();
    Answer {
        head: frame.with("review-own-head", [("at", &at)]),
        causes: causes(review.get("blind"), desk, frame),
        said: review.text("grounds").unwrap_or_default().to_owned(),
    }
}

fn scouts_answer(diagnosis: &Record, desk: &Desk, frame: &Frame, when: &When) -> Answer {
    let at = diagnosis.text("at").map(|at| when.full(at)).unwrap_or_default();
    let by = diagnosis.text("by").map_or_else(|| frame.say("review-somebody"), str::to_owned);
    let named = crate::ledger::named_causes(diagnosis.get("causes"));
    let regulated = named.iter().any(|(id, _)| desk.names.regulated.contains(id));
    Answer {
        head: frame.with("review-scout-head", [("who", &by), ("at", &at)]),
        causes: causes(diagnosis.get("causes"), desk, frame),
        said: if regulated {
            frame.say("review-regulated")
        } else {
            diagnosis.text("reasons").unwrap_or_default().to_owned()
        },
    }
}

/// Where the two answers differ, and whether it matters for what is told.
fn differ(frame: &Frame, pack: &Pack, own: Option<&Record>, scout: Option<&Record>) -> String {
    let first = |record: Option<&Record>, field: &str| {
        let named = record.map_or_else(Vec::new, |r| crate::ledger::named_causes(r.get(field)));
        named.into_iter().next().map(|(id, _)| id)
    };
    let Some(review) = own else { return String::new() };
    let (mine, theirs) = (first(Some(review), "blind"), first(scout, "causes"));
    let group = |id: &str| pack.cause(id).map(|c| c.group);
    let say = match (mine, theirs) {
        (None, None) => "review-differ-none",
        (Some(a), Some(b)) if a == b => "review-differ-same",
        (Some(a), Some(b)) if group(&a).is_some() && group(&a) == group(&b) => "review-differ-advice-same",
        (Some(_), Some(_)) => "review-differ-advice-other",
        (Some(_), None) => "review-differ-scout-none",
        (None, Some(_)) => "review-differ-own-none",
    };
    frame.say(say)
}

/// What other reviewers did. What they answered and decided is told only once the scout's answer is shown.
pub(super) fn others(
    desk: &Desk,
    frame: &Frame,
    who: &Visitor,
    subject: &Subject,
    opened: bool,
    when: &When,
) -> Result<Vec<String>, Trouble> {
    let own = label(who);
    let mut said = Vec::new();
    for review in subject.reviews.iter().filter(|r| r.text("reviewer") != Some(&own)) {
        let name = name_of(desk, review.text("reviewer").unwrap_or_default())?;
        let at = review.text("at").map(|at| when.full(at)).unwrap_or_default();
        let decision = review.text("decision").or(match review.get("agrees").and_then(Json::as_bool) {
            Some(true) => Some("agree"),
            Some(false) => Some("correct"),
            None => None,
        });
        let mut line = match decision {
            None if review.get("blind").is_some() => frame.with("review-other-kept", [("who", &name), ("at", &at)]),
            None => frame.with("review-other-reviewed", [("who", &name), ("at", &at)]),
            Some(_) if !opened => frame.with("review-other-reviewed", [("who", &name), ("at", &at)]),
            Some(decision) => {
                let what = frame.say(&format!("review-decided-{}", decision.replace('_', "-")));
                frame.with("review-other-decided", [("who", &name), ("at", &at), ("what", &what)])
            }
        };
        if opened && decision.is_some() {
            let named = causes(review.get("blind"), desk, frame);
            if !named.is_empty() {
                let list: Vec<String> = named.iter().map(|c| format!("{}: {}", c.name, c.sure)).collect();
                line = format!("{line} {}", frame.with("review-other-answer", [("what", &list.join("; "))]));
            }
            if let Some(words) = review.text("correction") {
                line = format!("{line} “{words}”");
            }
        }
        said.push(line);
    }
    Ok(said)
}

/// Causes to choose from: first those of the plant's host, then all others. What is regulated is not among them.
fn groups(frame: &Frame, desk: &Desk, subject: &Subject) -> Vec<Group> {
    let (pack, names) = (&desk.pack, desk.names_in(frame.words.0));
    let host = subject.plant().and_then(|p| p.text("host")).unwrap_or_default();
    let at = pack.hosts.iter().position(|h| h.id == host);
    let fits = |cause: &&dooryard_core::key::Cause| at.is_some_and(|at| cause.fits_host(at));
    let open = || pack.causes.iter().filter(|c| !names.regulated.contains(&c.id));
    let list = |causes: Vec<&dooryard_core::key::Cause>| {
        let mut named: Vec<(String, String)> =
            causes.iter().map(|c| (c.id.clone(), cause_name(desk, frame, &c.id))).collect();
        named.sort_by_key(|(_, name)| by_name(name));
        named
    };
    let first = Group {
        label: frame.with("review-causes-host", [("host", &names.host(host))]),
        causes: list(open().filter(fits).collect()),
    };
    let rest = Group { label: frame.say("review-causes-other"), causes: list(open().filter(|c| !fits(c)).collect()) };
    [first, rest].into_iter().filter(|g| !g.causes.is_empty()).collect()
}

fn beside_views(
    desk: &Desk,
    frame: &Frame,
    when: &When,
    ids: impl Iterator<Item = (dooryard_core::ids::RecordId, Vec<Like>)>,
) -> Result<Vec<Beside>, Trouble> {
    let mut views = Vec::new();
    let say = Say { names: desk.names_in(frame.words.0), when, words: frame.words };
    for (id, likes) in ids {
        let whole = crate::page::gather::Whole::read(desk.notebook(), id)?;
        let why: Vec<String> = likes
            .iter()
            .map(|like| {
                frame.say(match like {
                    Like::Photo => "review-alike-photo",
                    Like::Contact => "review-alike-contact",
                    Like::Place => "review-alike-place",
                })
            })
            .collect();
        views.push(Beside {
            id: id.to_string(),
            title: lines::title(&whole.of(Kind::Plant), whole.site.as_ref(), say),
            line: lines::line(&whole.inquiry, say),
            why: why.join(" "),
        });
    }
    Ok(views)
}

/// The bar that says what was done and takes it back.
pub(super) struct Bar {
    /// What was done; empty when nothing can be taken back.
    pub(super) done: String,
    /// What became of taking back; empty when nothing was.
    pub(super) undone: String,
}

impl Bar {
    /// Makes it. `undone` says how many changes were taken back and how many were left, when the page follows that.
    ///
    /// # Errors
    /// Of the notebook.
    pub(super) fn of(
        desk: &Desk,
        frame: &Frame,
        who: &Visitor,
        undone: Option<(usize, usize)>,
    ) -> Result<Self, Trouble> {
        let done = if who.role >= Role::Reviewer { Done::of(desk.notebook(), who)? } else { None };
        let done = done.filter(|done| done.what.starts_with("review-done-"));
        Ok(Self {
            done: done.map(|d| frame.with(&d.what.replace('_', "-"), [("n", &d.count)])).unwrap_or_default(),
            undone: match undone {
                None => String::new(),
                Some((0, 0)) => frame.say("review-undone-nothing"),
                Some((_, 0)) => frame.say("review-undone"),
                Some((back, left)) => frame.with("review-undone-some", [("back", &back), ("left", &left)]),
            },
        })
    }
}
