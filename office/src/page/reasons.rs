//! The key's first differential of one plant, ready to be shown: words and numbers, for and against, what was not looked at.

use dooryard_core::{
    Result,
    key::{Band, Differential, Escalate, Look, Move, Observations, Pack, RaisedStop, Reason, Said, percent},
    words::Argument,
};

use super::{say::Say, words::sentence_case};

pub use dooryard_core::inquiry::observations;

/// The differential of one plant.
#[derive(Clone, PartialEq, Debug)]
pub struct Reasons {
    /// Pack and version.
    pub pack: String,
    /// What has to stand with it while nobody has reviewed the pack.
    pub notice: String,
    /// Said before the causes.
    pub said: Vec<String>,
    /// Causes that the findings raise, best first.
    pub rows: Vec<Row>,
    /// Said after them.
    pub after: Vec<String>,
    /// What would change it: the looks worth most that nobody took, best first.
    pub next: Vec<Next>,
    /// No look that is left would change what to do.
    pub enough: bool,
}

/// A look that nobody took yet.
#[derive(Clone, PartialEq, Debug)]
pub struct Next {
    /// What to look at.
    pub looked_at: String,
    /// What it takes.
    pub cost: String,
    /// The answer that would move a cause most, and how far.
    pub effect: String,
    /// How likely it changes what to do.
    pub changes: String,
}

/// One cause.
#[derive(Clone, PartialEq, Debug)]
pub struct Row {
    /// Its name.
    pub name: String,
    /// Its part, when it is not the primary one, and who has to answer.
    pub role: String,
    /// The word for its chance.
    pub word: &'static str,
    /// Its chance in a hundred.
    pub percent: u8,
    /// What speaks for it: (mark, words).
    pub reasons_for: Vec<(&'static str, String)>,
    /// What speaks against it: (mark, words).
    pub against: Vec<(&'static str, String)>,
    /// What would say more, and nobody looked at.
    pub unlooked: String,
}

/// Reasons shown of each side, at most.
const SHOWN: usize = 4;
/// Looks shown, at most.
const LOOKS: usize = 3;

/// The differential in words, with what would change it.
///
/// # Errors
/// Of the key; a host that the pack does not have.
pub fn reasons(pack: &Pack, say: Say<'_>, given: &Observations, unknown: u64) -> Result<Reasons> {
    let mut reasons = tell(&pack.differential(given)?, say, unknown);
    if !reasons.rows.is_empty() {
        let next = pack.next_looks(given)?;
        reasons.next = next.looks.iter().take(LOOKS).map(|look| next_look(look, say)).collect();
        reasons.enough = next.enough;
    }
    Ok(reasons)
}

/// Stops that the findings raise.
pub fn raised(pack: &Pack, given: &Observations) -> Vec<RaisedStop> {
    pack.raise_stops(&given.findings)
}

fn tell(d: &Differential, say: Say<'_>, unknown: u64) -> Reasons {
    let mut said = Vec::new();
    let rows: Vec<Row> = d.ranked.iter().filter(|r| r.band != Band::Idle).take(6).map(|r| row(r, say)).collect();
    if rows.is_empty() {
        said.push(say.say("inquiry-no-cause"));
    } else if d.look_again {
        said.push(say.say("inquiry-not-settled"));
    }
    if unknown > 0 {
        said.push(say.words.with("inquiry-not-used", [("n", &unknown)]));
    }
    let mut after = vec![say.words.with("inquiry-none-of-them", [("n", &percent(d.none_share))])];
    if let Some(set) = d.sets.first().filter(|s| s.causes.len() > 1) {
        let together: Vec<String> = set.causes.iter().map(|c| say.names.cause(c)).collect();
        let given: [(&str, &dyn Argument); 2] = [("causes", &say.list(&together)), ("n", &percent(set.weight))];
        after.push(say.words.with("inquiry-together", given));
    }
    Reasons {
        pack: d.content_version.clone(),
        notice: say.names.notice.clone(),
        said,
        rows,
        after,
        next: Vec::new(),
        enough: false,
    }
}

fn row(r: &dooryard_core::key::RankedCause, say: Say<'_>) -> Row {
    let names = say.names;
    let regulated = names.regulated.contains(&r.cause);
    let mut role: Vec<String> = Vec::new();
    if r.role != dooryard_core::key::Role::Primary {
        role.push(say.word(serde_json::to_value(r.role).unwrap_or_default().as_str().unwrap_or_default()));
    }
    role.extend(match r.escalate {
        Escalate::None => None,
        Escalate::Educator => Some(say.say("inquiry-needs-educator")),
        Escalate::Lab => Some(say.say("inquiry-needs-sample")),
        Escalate::Arborist => Some(say.say("inquiry-needs-arborist")),
        Escalate::Regulated => Some(say.say("inquiry-needs-authority")),
    });
    let told = |reasons: &[Reason]| -> Vec<(&'static str, String)> {
        if regulated { Vec::new() } else { reasons.iter().take(SHOWN).map(|r| reason(r, say)).collect() }
    };
    let unlooked: Vec<String> = r.unlooked.iter().take(3).map(|c| names.label(c).to_lowercase()).collect();
    let more = r.unlooked.len().saturating_sub(3) as u64;
    Row {
        name: names.cause(&r.cause),
        role: sentence_case(&role.join("; ")),
        word: r.word.text(say.words.0),
        percent: percent(r.probability),
        reasons_for: told(&r.for_),
        against: told(&r.against),
        unlooked: match (regulated || unlooked.is_empty(), more) {
            (true, _) => String::new(),
            (false, 0) => sentence_case(&say.list(&unlooked)),
            (false, n) => sentence_case(&say.and_others(&unlooked.join(", "), n)),
        },
    }
}

fn next_look(look: &Look, say: Say<'_>) -> Next {
    let cost = serde_json::to_value(look.cost).unwrap_or_default();
    // The answer that moves one cause most says best what the look is for.
    let open = |m: &&Move| !say.names.regulated.contains(&m.cause);
    let moves = look.answers.iter().flat_map(|a| a.moves.iter().filter(open).map(move |m| (a, m)));
    let most = moves.max_by(|(_, a), (_, b)| (a.to - a.from).abs().total_cmp(&(b.to - b.from).abs()));
    let effect = most.map(|(answer, m)| {
        let state = say.names.finding(&look.character, Some(&answer.state)).1.unwrap_or_default();
        let given: [(&str, &dyn Argument); 4] = [
            ("answer", &state),
            ("cause", &say.names.cause(&m.cause)),
            ("from", &percent(m.from)),
            ("to", &percent(m.to)),
        ];
        say.words.with("inquiry-next-effect", given)
    });
    Next {
        looked_at: say.names.label(&look.character),
        cost: say.say(&format!("inquiry-cost-{}", cost.as_str().unwrap_or_default())),
        effect: effect.unwrap_or_default(),
        changes: if look.changes_advice < 0.005 {
            say.say("inquiry-next-same")
        } else {
            say.words.with("inquiry-next-changes", [("n", &percent(look.changes_advice))])
        },
    }
}

fn reason(r: &Reason, say: Say<'_>) -> (&'static str, String) {
    let names = say.names;
    let states: Vec<String> = r.states.iter().filter_map(|s| names.finding(&r.character, Some(s)).1).collect();
    let about = names.finding(&r.character, None).0;
    match r.said {
        Said::Seen => ("seen", format!("{about}: {}", say.list(&states))),
        Said::Absent => ("bare", format!("{about}: {}", say.list(&states))),
        Said::Unpicked => {
            let given: [(&str, &dyn Argument); 2] = [("about", &about), ("states", &either(&states, say))];
            ("bare", say.words.with("inquiry-other-seen", given))
        }
    }
}

/// `a or b`; of many, the first two and how many more.
fn either(items: &[String], say: Say<'_>) -> String {
    match items {
        [] => say.say("inquiry-what-it-brings"),
        [one] => one.clone(),
        [a, b] => say.words.with("inquiry-or", [("a", a), ("b", b)]),
        [a, b, more @ ..] => {
            let others = say.words.with("inquiry-others", [("n", &(more.len() as u64))]);
            say.words.with("inquiry-or", [("a", &format!("{a}, {b}")), ("b", &others)])
        }
    }
}
