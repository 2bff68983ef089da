//! One review as the page shows it.

use dooryard_core::record::Kind;

use super::{
    alike::alike,
    answer::{Answer, differ, others, own_answer, scouts_answer},
    case::Stage,
    choose::Choice,
    form::{CAUSES, Wrong},
    parts::{Beside, Group, Plant, Stop, beside_views, groups, plant_view, stop_views},
    queue::Entry,
    send::wrong_at,
    subject::Subject,
    typed::Typed,
    undo::Done,
};
use crate::{
    page::{
        frame::Frame,
        lines, picture,
        routes::Desk,
        say::Say,
        shots::{self, Shot},
        trouble::Trouble,
        words::When,
    },
    people::{Role, Visitor},
};

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
