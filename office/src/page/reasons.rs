//! The key's first differential of one plant, ready to be shown: words and numbers, for and against, what was not looked at.

use dooryard_core::{
    Result,
    key::{Band, Differential, Escalate, Language, Observation, Observations, Pack, RaisedStop, Reason, Said, Status},
    notebook::Record,
};
use jiff::civil::Date;

use super::{
    names::Names,
    words::{count, list, sentence_case, word},
};

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

/// What the findings of one plant say to the key, and how many of them this pack does not know.
pub fn observations(pack: &Pack, host: &str, day: Date, findings: &[&Record]) -> (Observations, u64) {
    let mut unknown = 0;
    let known = findings.iter().filter_map(|finding| {
        let observation = observation(pack, finding);
        unknown += u64::from(observation.is_none());
        observation
    });
    let findings = known.collect();
    let date = (day.month().unsigned_abs(), day.day().unsigned_abs());
    (Observations { host: host.to_owned(), date, findings }, unknown)
}

fn observation(pack: &Pack, finding: &Record) -> Option<Observation> {
    let character = pack.character(finding.text("character")?)?;
    let status = match finding.text("status") {
        Some("seen") => Status::Seen,
        Some("absent") => Status::Absent,
        Some("could_not_tell") => Status::Unsure,
        _ => Status::NotLooked,
    };
    let state = finding.text("state").map(|s| s.strip_prefix(&format!("{}.", character.id)).unwrap_or(s));
    let state = match (state, status) {
        (Some(id), _) => Some(character.states.get(character.state_index(id)?)?.id.clone()),
        (None, Status::Unsure | Status::NotLooked) => None,
        (None, Status::Seen | Status::Absent) => return None,
    };
    Some(Observation { character: character.id.clone(), state, status })
}

/// The differential in words.
///
/// # Errors
/// Of the key; a host that the pack does not have.
pub fn reasons(pack: &Pack, names: &Names, given: &Observations, unknown: u64) -> Result<Reasons> {
    Ok(say(&pack.differential(given)?, names, unknown))
}

/// Stops that the findings raise.
pub fn raised(pack: &Pack, given: &Observations) -> Vec<RaisedStop> {
    pack.raise_stops(&given.findings)
}

/// The differential in words.
pub fn say(d: &Differential, names: &Names, unknown: u64) -> Reasons {
    let mut said = Vec::new();
    let rows: Vec<Row> = d.ranked.iter().filter(|r| r.band != Band::Idle).take(6).map(|r| row(r, names)).collect();
    if rows.is_empty() {
        said.push("The findings raise no cause of the pack. Do not know yet is an answer.".into());
    } else if d.look_again {
        said.push("The findings do not settle it: no cause stands out. Another look is due.".into());
    }
    if unknown > 0 {
        said.push(format!(
            "{} not used: this pack does not know {}.",
            count(unknown, "finding was", "findings were"),
            if unknown == 1 { "its name" } else { "their names" }
        ));
    }
    let mut after = vec![format!("None of the causes of the pack: {} in 100.", percent(d.none_share))];
    if let Some(set) = d.sets.first().filter(|s| s.causes.len() > 1) {
        let together: Vec<String> = set.causes.iter().map(|c| names.cause(c)).collect();
        after.push(format!("Most probable together: {}, {} in 100.", list(&together), percent(set.weight)));
    }
    Reasons { pack: d.content_version.clone(), notice: d.notice.unwrap_or_default().to_owned(), said, rows, after }
}

fn row(r: &dooryard_core::key::RankedCause, names: &Names) -> Row {
    let regulated = names.regulated.contains(&r.cause);
    let mut role: Vec<String> = Vec::new();
    if r.role != dooryard_core::key::Role::Primary {
        role.push(word(serde_json::to_value(r.role).unwrap_or_default().as_str().unwrap_or_default()));
    }
    role.extend(match r.escalate {
        Escalate::None => None,
        Escalate::Educator => Some("the educator confirms first".to_owned()),
        Escalate::Lab => Some("a sample before more than general care".into()),
        Escalate::Arborist => Some("a qualified tree-care professional on site".into()),
        Escalate::Regulated => Some("needs an official look; the educator decides".into()),
    });
    let told = |reasons: &[Reason]| -> Vec<(&'static str, String)> {
        if regulated { Vec::new() } else { reasons.iter().take(SHOWN).map(|r| reason(r, names)).collect() }
    };
    let unlooked: Vec<String> = r.unlooked.iter().take(3).map(|c| names.label(c).to_lowercase()).collect();
    let more = r.unlooked.len().saturating_sub(3);
    Row {
        name: names.cause(&r.cause),
        role: sentence_case(&role.join("; ")),
        word: r.word.text(Language::En),
        percent: percent(r.probability),
        reasons_for: told(&r.for_),
        against: told(&r.against),
        unlooked: match (regulated || unlooked.is_empty(), more) {
            (true, _) => String::new(),
            (false, 0) => sentence_case(&list(&unlooked)),
            (false, n) => {
                sentence_case(&format!("{}, and {}", unlooked.join(", "), count(n as u64, "other", "others")))
            }
        },
    }
}

fn reason(r: &Reason, names: &Names) -> (&'static str, String) {
    let states: Vec<String> = r.states.iter().filter_map(|s| names.finding(&r.character, Some(s)).1).collect();
    let about = names.finding(&r.character, None).0;
    match r.said {
        Said::Seen => ("seen", format!("{about}: {}", list(&states))),
        Said::Absent => ("bare", format!("{about}: {}", list(&states))),
        Said::Unpicked => ("bare", format!("{about}: something else was seen than {}", either(&states))),
    }
}

/// `a or b`; of many, the first two and how many more.
fn either(items: &[String]) -> String {
    match items {
        [] => "what it brings".into(),
        [one] => one.clone(),
        [a, b] => format!("{a} or {b}"),
        [a, b, more @ ..] => format!("{a}, {b} or {}", count(more.len() as u64, "other", "others")),
    }
}

/// A chance from 0 to 1 in a hundred. Never 0 and never 100: nothing here is known that well.
pub fn percent(chance: f64) -> u8 {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "1 to 99")]
    let whole = (chance * 100.0).round().clamp(1.0, 99.0) as u8;
    whole
}
