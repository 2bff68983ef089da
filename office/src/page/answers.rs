//! What was answered: diagnoses, advice, follow-ups, samples with their way, reviews.

use dooryard_core::{notebook::Record, record::Kind};
use serde_json::Value as Json;

use super::{
    gather::{Whole, reference},
    names::Names,
    words::{When, chance, count, list, sentence_case, spaced, word},
};

/// All answers of an inquiry.
#[derive(Default)]
pub struct Answers {
    /// Diagnoses, newest first.
    pub diagnoses: Vec<Diagnosis>,
    /// Advice given.
    pub advice: Vec<Advice>,
    /// Follow-ups by day.
    pub follow_ups: Vec<FollowUp>,
    /// Samples.
    pub samples: Vec<Sample>,
    /// Reviews.
    pub reviews: Vec<Review>,
}

/// One diagnosis.
pub struct Diagnosis {
    /// Status and who: `Presumptive, Scout 3`.
    pub head: String,
    /// When, on what it rests, with which pack.
    pub line: String,
    /// Its causes.
    pub causes: Vec<Cause>,
    /// Why, in the writer's words.
    pub said: String,
    /// Withdrawn or replaced: kept, and no longer what is held.
    pub past: bool,
}

/// One cause of a diagnosis.
pub struct Cause {
    /// Its name.
    pub name: String,
    /// `likely, 60 in 100`.
    pub sure: String,
    /// The number, for the line; `None` draws no line.
    pub percent: Option<u8>,
    /// Its role, when it is not the primary one.
    pub role: String,
}

/// One piece of advice.
pub struct Advice {
    /// The day it was given.
    pub day: String,
    /// What was told.
    pub text: String,
    /// How, by whom, which blocks and cautions.
    pub line: String,
}

/// One follow-up.
pub struct FollowUp {
    /// The day.
    pub day: String,
    /// How the day lies to today, or `answered`.
    pub due: String,
    /// What to ask.
    pub question: String,
    /// The answer.
    pub answer: String,
    /// What the resident did, how the plant is.
    pub line: String,
}

/// One sample.
pub struct Sample {
    /// What it is.
    pub head: String,
    /// When, sealed how, number.
    pub line: String,
    /// The laboratory's own words.
    pub result: String,
    /// When and by what method the result came.
    pub result_line: String,
    /// Hand-overs: (day, time of day, from whom to whom).
    pub way: Vec<(String, String, String)>,
}

/// One review.
pub struct Review {
    /// When.
    pub day: String,
    /// Who, and whether both say the same.
    pub head: String,
    /// What to change.
    pub said: String,
}

/// Collects them.
pub fn of(whole: &Whole, names: &Names, when: &When) -> Answers {
    let mut diagnoses = whole.of(Kind::Diagnosis);
    let at = |r: &Record| r.text("at").and_then(super::words::instant_ms).unwrap_or(0);
    diagnoses.sort_by_key(|d| std::cmp::Reverse((at(d), d.id)));
    let replaced: Vec<_> = diagnoses.iter().filter_map(|d| reference(d, "supersedes")).collect();
    let mut follow_ups = whole.of(Kind::FollowUp);
    follow_ups.sort_by(|a, b| a.text("due").cmp(&b.text("due")));
    let mut custody = whole.of(Kind::Custody);
    custody.sort_by_key(|c| (at(c), c.id));
    Answers {
        diagnoses: diagnoses.iter().map(|d| diagnosis(d, replaced.contains(&d.id), names, when)).collect(),
        advice: whole.of(Kind::Advice).into_iter().map(|a| advice(a, when)).collect(),
        follow_ups: follow_ups.into_iter().map(|f| follow_up(f, when)).collect(),
        samples: whole.of(Kind::Sample).into_iter().map(|s| sample(s, &custody, when)).collect(),
        reviews: whole.of(Kind::Review).into_iter().map(|r| review(r, names, when)).collect(),
    }
}

fn diagnosis(d: &Record, replaced: bool, names: &Names, when: &When) -> Diagnosis {
    let status = d.text("status").unwrap_or("presumptive");
    let past = replaced || status == "withdrawn";
    let named = crate::ledger::named_causes(d.get("causes"));
    let mut line: Vec<String> = d.text("at").map(|at| when.full(at)).into_iter().collect();
    line.extend(d.text("basis").map(word));
    line.extend(d.text("pack_version").map(|p| format!("pack {p}")));
    if replaced {
        line.push("replaced by a later answer; kept".into());
    } else if past {
        line.push("withdrawn; kept".into());
    }
    Diagnosis {
        head: format!("{}, {}", sentence_case(&spaced(status)), d.text("by").unwrap_or("nobody wrote down who")),
        line: line.join(" · "),
        causes: d.get("causes").and_then(Json::as_array).into_iter().flatten().map(|c| cause(c, names)).collect(),
        said: if named.iter().any(|(id, _)| names.regulated.contains(id)) {
            "The reasons are not shown here: they may name what is regulated. The educator has them.".into()
        } else {
            d.text("reasons").unwrap_or_default().to_owned()
        },
        past,
    }
}

fn cause(json: &Json, names: &Names) -> Cause {
    let text = |part: &str| json.get(part).and_then(Json::as_str);
    let percent = json.get("percent").and_then(Json::as_u64).and_then(|p| u8::try_from(p).ok()).filter(|p| *p <= 100);
    let said = text("word").map(spaced);
    let sure = match (said, percent) {
        (Some(word), Some(p)) => format!("{word}, {p} in 100"),
        (None, Some(p)) => format!("{}, {p} in 100", chance(p)),
        (Some(word), None) => word,
        (None, None) => "nobody wrote down how sure".into(),
    };
    Cause {
        name: names.cause(text("cause").unwrap_or_default()),
        sure,
        percent,
        role: text("role").filter(|r| *r != "primary").map(word).unwrap_or_default(),
    }
}

fn advice(a: &Record, when: &When) -> Advice {
    let mut line = Vec::new();
    line.extend(a.text("how").map(|how| match how {
        "email" => "by e-mail".into(),
        "letter" => "by letter".into(),
        "print" => "printed".into(),
        other => spaced(other),
    }));
    line.extend(a.text("by").map(|by| format!("by {by}")));
    let ids = |field: &str, part: Option<&str>| -> Vec<String> {
        let items = a.get(field).and_then(Json::as_array).into_iter().flatten();
        items.filter_map(|i| part.map_or(Some(i), |p| i.get(p))?.as_str().map(spaced)).collect()
    };
    let (blocks, cautions) = (ids("blocks", Some("id")), ids("cautions", None));
    if !blocks.is_empty() {
        line.push(format!("text of the pack: {}", list(&blocks)));
    }
    line.push(if cautions.is_empty() {
        "no caution shown".into()
    } else {
        format!("cautions shown: {}", list(&cautions))
    });
    if a.get("label_shown").and_then(Json::as_bool) == Some(true) {
        line.push("shown: the label is the law".into());
    }
    if a.get("read_back").and_then(Json::as_bool) == Some(true) {
        line.push("the resident said it back".into());
    }
    Advice {
        day: a.text("given").map_or_else(|| "no day".into(), |g| when.day(g)),
        text: a.text("text").unwrap_or_default().to_owned(),
        line: line.join(" · "),
    }
}

fn follow_up(f: &Record, when: &When) -> FollowUp {
    let due = f.text("due").and_then(|d| d.parse().ok());
    let answered = f.text("answered").or_else(|| f.text("answer").map(|_| ""));
    let mut line: Vec<String> = f.text("action").map(str::to_owned).into_iter().collect();
    line.extend(f.text("outcome").map(|o| format!("the plant: {}", spaced(o))));
    FollowUp {
        day: due.map_or_else(|| "no day".into(), |d| when.date(d)),
        due: match (answered, due) {
            (Some(""), _) => "answered".into(),
            (Some(day), _) => format!("answered {}", when.day(day)),
            (None, Some(day)) => when.due(day),
            (None, None) => String::new(),
        },
        question: f.text("question").unwrap_or("What to ask was not written down.").to_owned(),
        answer: f.text("answer").unwrap_or_default().to_owned(),
        line: line.join(" · "),
    }
}

fn sample(s: &Record, custody: &[&Record], when: &When) -> Sample {
    let mut line: Vec<String> = s.text("taken").map(|t| format!("taken {}", when.full(t))).into_iter().collect();
    line.extend(s.text("taken_by").map(|by| format!("by {by}")));
    line.extend(s.get("pieces").and_then(Json::as_u64).map(|n| count(n, "piece", "pieces")));
    line.extend(s.text("seal").map(|n| format!("seal {n}")));
    line.extend(
        s.get("kept_cool").and_then(Json::as_bool).map(|yes| if yes { "kept cool" } else { "not kept cool" }.into()),
    );
    line.extend(s.text("accession").map(|n| format!("the laboratory's number {n}")));
    line.extend(s.text("disposal").map(str::to_owned));
    let mut result_line: Vec<String> = s.text("result_date").map(|d| when.day(d)).into_iter().collect();
    result_line.extend(s.text("result_method").map(str::to_owned));
    let own = custody.iter().filter(|c| reference(c, "sample") == Some(s.id));
    let way = own.map(|c| {
        let mut said = format!("{} to {}", c.text("from").unwrap_or("somebody"), c.text("to").unwrap_or("somebody"));
        if let Some(condition) = c.text("condition") {
            said = format!("{said}, {condition}");
        }
        let at = c.text("at").and_then(super::words::instant_ms);
        (
            at.map_or_else(|| "no day".into(), |ms| when.day_ms(ms)),
            at.map_or_else(String::new, |ms| when.clock_ms(ms)),
            said,
        )
    });
    Sample {
        head: sentence_case(s.text("plant_part").unwrap_or("sample")),
        line: line.join(" · "),
        result: s.text("result").unwrap_or_default().to_owned(),
        result_line: result_line.join(" · "),
        way: way.collect(),
    }
}

fn review(r: &Record, names: &Names, when: &When) -> Review {
    let mut head = r.text("reviewer").unwrap_or("The office").to_owned();
    let blind = crate::ledger::named_causes(r.get("blind"));
    if !blind.is_empty() {
        let causes: Vec<String> = blind.iter().map(|(id, p)| super::clash::cause_words(id, *p, names)).collect();
        head = format!("{head}, before seeing any other answer: {}", list(&causes));
    }
    match r.get("agrees").and_then(Json::as_bool) {
        Some(true) => head.push_str(". Both say the same."),
        Some(false) => head.push_str(". The two differ."),
        None if blind.is_empty() => head.push_str(" looked at it."),
        None => head.push('.'),
    }
    if let Some(reason) = r.text("reason") {
        head.push_str(match reason {
            "low_confidence" => " Looked at because the answer was not sure.",
            "high_consequence" => " Looked at because much hangs on it.",
            "pesticide" => " Looked at because a spray was named.",
            "food" => " Looked at because it is a food plant.",
            "stop" => " Looked at because a stop was raised.",
            "first_report" => " Looked at because it is the first of this season.",
            "random" => " Drawn by lot.",
            _ => "",
        });
    }
    Review {
        day: r.text("at").map_or_else(|| "no day".into(), |at| when.day(at)),
        head,
        said: r.text("correction").unwrap_or_default().to_owned(),
    }
}
