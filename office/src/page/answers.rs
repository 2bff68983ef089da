//! What was answered: diagnoses, advice, follow-ups, samples with their way, reviews.

use dooryard_core::{notebook::Record, record::Kind, words::Argument};
use serde_json::Value as Json;

use super::{
    gather::{Whole, reference},
    samples::{self, Sample},
    say::Say,
    words::{sentence_case, spaced},
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
    /// How, by whom, after which answer.
    pub line: String,
    /// Texts of the pack that were given, each with its version; empty when there were none.
    pub blocks: Vec<String>,
    /// The cautions shown, and whether the resident said it back.
    pub cautions: String,
}

/// One follow-up.
pub struct FollowUp {
    /// The day.
    pub day: String,
    /// How the day lies to today, or `answered`.
    pub due: String,
    /// The day is over, and nobody has answered.
    pub late: bool,
    /// What to ask.
    pub question: String,
    /// The answer.
    pub answer: String,
    /// What the resident did, how the plant is.
    pub line: String,
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
pub fn of(whole: &Whole, say: Say<'_>) -> Answers {
    let mut diagnoses = whole.of(Kind::Diagnosis);
    let at = |r: &Record| r.text("at").and_then(super::words::instant_ms).unwrap_or(0);
    diagnoses.sort_by_key(|d| std::cmp::Reverse((at(d), d.id)));
    let replaced: Vec<_> = diagnoses.iter().filter_map(|d| reference(d, "supersedes")).collect();
    let mut follow_ups = whole.of(Kind::FollowUp);
    follow_ups.sort_by(|a, b| a.text("due").cmp(&b.text("due")));
    Answers {
        diagnoses: diagnoses.iter().map(|d| diagnosis(d, replaced.contains(&d.id), say)).collect(),
        advice: whole.of(Kind::Advice).into_iter().map(|a| advice(a, whole, say)).collect(),
        follow_ups: follow_ups.into_iter().map(|f| follow_up(f, say)).collect(),
        samples: samples::of(whole, say),
        reviews: whole.of(Kind::Review).into_iter().map(|r| review(r, say)).collect(),
    }
}

fn diagnosis(d: &Record, replaced: bool, say: Say<'_>) -> Diagnosis {
    let status = d.text("status").unwrap_or("presumptive");
    let past = replaced || status == "withdrawn";
    let named = crate::ledger::named_causes(d.get("causes"));
    let mut line: Vec<String> = d.text("at").map(|at| say.when.full(at)).into_iter().collect();
    line.extend(d.text("basis").map(|basis| say.word(basis)));
    line.extend(d.text("pack_version").map(|p| say.words.with("inquiry-pack", [("pack", &p)])));
    if replaced {
        line.push(say.say("inquiry-replaced"));
    } else if past {
        line.push(say.say("inquiry-withdrawn"));
    }
    let by = d.text("by").map_or_else(|| say.say("inquiry-nobody-wrote-who"), str::to_owned);
    Diagnosis {
        head: format!("{}, {by}", sentence_case(&say.word(status))),
        line: line.join(" · "),
        causes: d.get("causes").and_then(Json::as_array).into_iter().flatten().map(|c| cause(c, say)).collect(),
        said: if named.iter().any(|(id, _)| say.names.regulated.contains(id)) {
            say.say("inquiry-reasons-hidden")
        } else {
            d.text("reasons").unwrap_or_default().to_owned()
        },
        past,
    }
}

fn cause(json: &Json, say: Say<'_>) -> Cause {
    let text = |part: &str| json.get(part).and_then(Json::as_str);
    let percent = json.get("percent").and_then(Json::as_u64).and_then(|p| u8::try_from(p).ok()).filter(|p| *p <= 100);
    let sure = match (text("word"), percent) {
        (word, Some(p)) => say.sure(word, p),
        (Some(word), None) => say.word(word),
        (None, None) => say.say("inquiry-nobody-wrote-sure"),
    };
    Cause {
        name: say.names.cause(text("cause").unwrap_or_default()),
        sure,
        percent,
        role: text("role").filter(|r| *r != "primary").map(|role| say.word(role)).unwrap_or_default(),
    }
}

fn advice(a: &Record, whole: &Whole, say: Say<'_>) -> Advice {
    let mut line = Vec::new();
    line.extend(a.text("how").map(|how| {
        let known = format!("inquiry-given-{how}");
        if say.words.has(&known) { say.say(&known) } else { say.word(how) }
    }));
    line.extend(a.text("by").map(|by| say.words.with("inquiry-by", [("who", &by)])));
    // The answer that it rests on says with which content.
    let answer = reference(a, "diagnosis").and_then(|id| whole.records.get(&id));
    line.extend(
        answer
            .and_then(|d| d.text("at"))
            .map(|at| say.words.with("inquiry-after-answer", [("at", &say.when.full(at))])),
    );
    line.extend(answer.and_then(|d| d.text("pack_version")).map(|p| say.words.with("inquiry-pack", [("pack", &p)])));
    let blocks = a.get("blocks").and_then(Json::as_array).into_iter().flatten().map(|block| {
        let part = |name: &str| block.get(name).and_then(Json::as_str).unwrap_or_default();
        let given: [(&str, &dyn Argument); 2] = [("text", &spaced(part("id"))), ("version", &part("version"))];
        say.words.with("inquiry-block", given)
    });
    let none = Vec::new();
    let cautions = a.get("cautions").and_then(Json::as_array).unwrap_or(&none);
    let mut shown = vec![if cautions.is_empty() {
        say.say("inquiry-no-caution")
    } else {
        say.words.with("inquiry-cautions", [("cautions", &say.stops(cautions))])
    }];
    let yes = |field: &str| a.get(field).and_then(Json::as_bool) == Some(true);
    shown.extend(yes("label_shown").then(|| say.say("inquiry-label-shown")));
    shown.extend(yes("read_back").then(|| say.say("inquiry-read-back")));
    Advice {
        day: a.text("given").map_or_else(|| say.say("inquiry-no-date"), |g| say.when.day(g)),
        text: a.text("text").unwrap_or_default().to_owned(),
        line: sentence_case(&line.join(" · ")),
        blocks: blocks.collect(),
        cautions: sentence_case(&shown.join(" · ")),
    }
}

fn follow_up(f: &Record, say: Say<'_>) -> FollowUp {
    let due = f.text("due").and_then(|d| d.parse::<jiff::civil::Date>().ok());
    let answered = f.text("answered").or_else(|| f.text("answer").map(|_| ""));
    // Somebody may have taken an answer back, or found that nothing is left to ask.
    let done = f.get("done").and_then(Json::as_bool);
    let answered = answered.filter(|_| done != Some(false));
    let mut line: Vec<String> = f.text("action").map(str::to_owned).into_iter().collect();
    line.extend(f.text("outcome").map(|o| say.words.with("inquiry-outcome", [("outcome", &say.word(o))])));
    FollowUp {
        day: due.map_or_else(|| say.say("inquiry-no-date"), |d| say.when.date(d)),
        due: match (answered, due) {
            (None, _) if done == Some(true) => say.say("inquiry-nothing-left"),
            (Some(""), _) => say.say("inquiry-answered"),
            (Some(day), _) => say.words.with("inquiry-answered-on", [("day", &say.when.day(day))]),
            (None, Some(day)) => say.when.due(day),
            (None, None) => String::new(),
        },
        late: answered.is_none() && done != Some(true) && due.is_some_and(|day| day < say.when.today()),
        question: f.text("question").map_or_else(|| say.say("inquiry-no-question"), str::to_owned),
        answer: f.text("answer").unwrap_or_default().to_owned(),
        line: line.join(" · "),
    }
}

fn review(r: &Record, say: Say<'_>) -> Review {
    let who = r.text("reviewer").map_or_else(|| say.say("inquiry-office"), str::to_owned);
    let blind = crate::ledger::named_causes(r.get("blind"));
    let mut head = vec![if blind.is_empty() {
        say.words.with("inquiry-review-looked", [("who", &who)])
    } else {
        let causes: Vec<String> = blind.iter().map(|(id, p)| say.cause(id, *p)).collect();
        let given: [(&str, &dyn Argument); 2] = [("who", &who), ("causes", &say.list(&causes))];
        say.words.with("inquiry-review-blind", given)
    }];
    head.extend(
        r.get("agrees")
            .and_then(Json::as_bool)
            .map(|agrees| say.say(if agrees { "inquiry-review-same" } else { "inquiry-review-differ" })),
    );
    head.extend(r.text("reason").map(|reason| say.words.with("inquiry-review-why", [("reason", &say.word(reason))])));
    Review {
        day: r.text("at").map_or_else(|| say.say("inquiry-no-date"), |at| say.when.day(at)),
        head: head.join(" "),
        said: r.text("correction").unwrap_or_default().to_owned(),
    }
}
