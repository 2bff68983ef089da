//! What it could be: several causes at once, in words and numbers, for and against, what nobody looked at, and whether the
//! advice hangs on it. "Do not know yet" is an answer.

use super::{
    plant::of_whole,
    reader::View,
    stops::{self, StopCard},
};
use crate::{
    Result,
    ids::RecordId,
    inquiry::Known,
    key::{Band, Blocks, Differential, Escalate, ProbabilityWord, RankedCause, Role},
    tell::{CauseRow, causes, lines},
    words::sentence_case,
};

/// What it could be.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ThinkScreen {
    /// The inquiry.
    pub inquiry: RecordId,
    /// The plant.
    pub plant: RecordId,
    /// What it is called.
    pub title: String,
    /// `after 23 findings`
    pub after: String,
    /// Stops that nobody read yet.
    pub halts: Vec<StopCard>,
    /// Why no cause is named; empty where causes are.
    pub held: String,
    /// That several can be true at once.
    pub note: String,
    /// Causes that the findings raise, best first.
    pub causes: Vec<CauseCard>,
    /// Where the words for a number change, in a hundred: knots in the line on which it stands.
    pub knots: Vec<u32>,
    /// That nothing stands out; else empty.
    pub said: String,
    /// How many are lower, and none of them.
    pub rest: String,
    /// Whether the advice is the same for the first ones; empty where it cannot be said.
    pub same_advice: String,
    /// The look that would say most, in a line; empty where none is left.
    pub next: String,
    /// Its id.
    pub next_look: String,
    /// That no look that is left would change what to do; else empty.
    pub enough: String,
    /// What has to stand with it while nobody reviewed the pack; that findings were not used.
    pub notices: Vec<String>,
    /// Pack and version.
    pub content: String,
}

/// One cause.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct CauseCard {
    /// Its name. What is regulated is not named.
    pub name: String,
    /// `likely, 68 in 100`
    pub sure: String,
    /// In a hundred, for the line.
    pub percent: u32,
    /// Its part in the trouble, and who has to answer; empty where there is nothing to say.
    pub role: String,
    /// What speaks for it.
    pub for_it: String,
    /// What speaks against it.
    pub against_it: String,
    /// What would say more, and nobody looked at; empty where nothing would.
    pub unlooked: String,
}

/// What it could be.
///
/// # Errors
/// [`crate::Error::NotFound`]; of the key.
pub fn think(view: &View<'_>, inquiry: RecordId, plant: RecordId) -> Result<ThinkScreen> {
    let whole = view.whole(inquiry)?;
    let record = of_whole(&whole, plant)?;
    let halts = stops::unread(view, &whole)?;
    let mut screen = ThinkScreen {
        inquiry,
        plant,
        title: lines::plant_title(record, view.telling()),
        after: String::new(),
        halts,
        held: String::new(),
        note: view.say("phone-think-note"),
        causes: Vec::new(),
        said: String::new(),
        rest: String::new(),
        same_advice: String::new(),
        next: String::new(),
        next_look: String::new(),
        enough: String::new(),
        notices: view.pack.notice(view.words.0).map(str::to_owned).into_iter().collect(),
        knots: ProbabilityWord::CHANGES.map(u32::from).to_vec(),
        content: view.pack.content_version(),
    };
    let Some(known) = Known::of(view.pack, &whole, record, &view.when)? else {
        screen.held = view.say("phone-host-first");
        return Ok(screen);
    };
    screen.after = view.with("phone-after-findings", [("n", &known.looks())]);
    if known.unknown > 0 {
        screen.notices.push(view.with("inquiry-not-used", [("n", &known.unknown)]));
    }
    if let Some(next) = known.open(view.pack).find(|c| !known.passed_over(c)) {
        screen.next = view.with("phone-next-look", [("look", &view.speech().label(next))]);
        screen.next_look = next.to_owned();
    }
    screen.enough = if known.next.enough { view.say("desk-enough") } else { String::new() };
    if !screen.halts.is_empty() {
        screen.held = view.say("phone-read-first");
    } else if known.holds_back(Blocks::Diagnosis) {
        screen.held = view.say("desk-causes-held");
    } else {
        let told = causes(&known.found, None, &view.speech());
        let raised = known.found.ranked.iter().filter(|r| r.band != Band::Idle);
        screen.causes = told.rows.into_iter().zip(raised).map(|(row, ranked)| card(view, row, ranked)).collect();
        screen.same_advice = same_advice(view, &known.found);
        screen.said = told.said;
        screen.rest = told.rest;
    }
    Ok(screen)
}

fn card(view: &View<'_>, row: CauseRow, ranked: &RankedCause) -> CauseCard {
    let mut role: Vec<String> = Vec::new();
    if ranked.role != Role::Primary {
        let word = serde_json::to_value(ranked.role).unwrap_or_default();
        role.push(view.telling().word(word.as_str().unwrap_or_default()));
    }
    role.extend(match ranked.escalate {
        Escalate::None => None,
        Escalate::Educator => Some(view.say("inquiry-needs-educator")),
        Escalate::Lab => Some(view.say("inquiry-needs-sample")),
        Escalate::Arborist => Some(view.say("inquiry-needs-arborist")),
        Escalate::Regulated => Some(view.say("inquiry-needs-authority")),
    });
    CauseCard {
        name: row.name,
        sure: view.with("phone-sure", [("word", &row.word), ("n", &row.percent)]),
        percent: u32::from(row.percent),
        role: sentence_case(&role.join("; ")),
        for_it: row.for_,
        against_it: row.against,
        unlooked: row.unlooked,
    }
}

/// Whether one would do the same for the causes that lead.
fn same_advice(view: &View<'_>, found: &Differential) -> String {
    let raised: Vec<&RankedCause> = found.ranked.iter().filter(|r| r.band != Band::Idle).take(2).collect();
    let group = |r: &RankedCause| view.pack.cause(&r.cause).map(|c| c.group);
    match raised.as_slice() {
        [a, b] if group(a) == group(b) => view.say("phone-same-advice"),
        [_, _] => view.say("phone-other-advice"),
        _ => String::new(),
    }
}
