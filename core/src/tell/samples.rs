//! Samples of an inquiry with their way: taken, handed over, at the laboratory, result. What has not come is said.

use serde_json::Value as Json;

use super::say::Say;
use crate::{
    inquiry::{Whole, reference},
    notebook::Record,
    record::Kind,
    words::{Argument, instant_ms, sentence_case},
};

/// One sample.
pub struct Sample {
    /// Which part of the plant it is.
    pub head: String,
    /// How far it is on its way, of four steps.
    pub steps: usize,
    /// The same in words.
    pub way: String,
    /// What happened to it, oldest first.
    pub chain: Vec<Step>,
    /// The laboratory's own words.
    pub result: String,
}

/// One step of its way.
pub struct Step {
    /// The day.
    pub day: String,
    /// The time of day.
    pub clock: String,
    /// What happened.
    pub what: String,
    /// What was written down with it.
    pub line: String,
}

impl Step {
    fn new(at: Option<&str>, what: String, line: &[String], say: Say<'_>) -> Self {
        let ms = at.and_then(instant_ms);
        let day = ms.map(|ms| say.when.day_ms(ms)).or_else(|| at.map(|day| say.when.day(day)));
        Self {
            day: day.unwrap_or_else(|| say.say("inquiry-no-date")),
            clock: ms.map_or_else(String::new, |ms| say.when.clock_ms(ms)),
            what,
            line: sentence_case(&line.join(" · ")),
        }
    }
}

/// The samples of an inquiry.
pub fn of(whole: &Whole, say: Say<'_>) -> Vec<Sample> {
    let mut custody = whole.of(Kind::Custody);
    custody.sort_by_key(|c| (c.text("at").and_then(instant_ms), c.id));
    whole.of(Kind::Sample).into_iter().map(|s| sample(s, &custody, say)).collect()
}

fn sample(s: &Record, custody: &[&Record], say: Say<'_>) -> Sample {
    let own: Vec<&&Record> = custody.iter().filter(|c| reference(c, "sample") == Some(s.id)).collect();
    let result = s.text("result").unwrap_or_default();
    let (at_laboratory, known) = (s.text("accession"), !result.is_empty());
    let steps = match (known, at_laboratory.is_some(), own.is_empty()) {
        (true, ..) => 4,
        (_, true, _) => 3,
        (.., false) => 2,
        (.., true) => 1,
    };
    let mut chain = vec![taken(s, say)];
    chain.extend(own.iter().map(|c| handed_over(c, say)));
    if let Some(number) = at_laboratory {
        let what = say.words.with("inquiry-sample-number", [("number", &number)]);
        chain.push(Step { day: String::new(), clock: String::new(), what, line: String::new() });
    }
    if known {
        let method: Vec<String> = s.text("result_method").map(str::to_owned).into_iter().collect();
        chain.push(Step::new(s.text("result_date"), say.say("inquiry-sample-result"), &method, say));
    }
    if let Some(disposal) = s.text("disposal") {
        let what = say.words.with("inquiry-sample-disposal", [("what", &disposal)]);
        chain.push(Step { day: String::new(), clock: String::new(), what, line: String::new() });
    }
    let mut way = vec![say.say(&format!("inquiry-sample-step-{steps}"))];
    way.extend(own.is_empty().then(|| say.say("inquiry-sample-no-way")));
    Sample {
        head: s.text("plant_part").map_or_else(|| say.say("inquiry-sample"), sentence_case),
        steps,
        way: way.join(" "),
        chain,
        result: result.to_owned(),
    }
}

fn taken(s: &Record, say: Say<'_>) -> Step {
    let mut line: Vec<String> = Vec::new();
    line.extend(s.text("taken_by").map(|by| say.words.with("inquiry-by", [("who", &by)])));
    line.extend(s.get("pieces").and_then(Json::as_u64).map(|n| say.words.with("inquiry-pieces", [("n", &n)])));
    line.extend(s.text("seal").map(|seal| say.words.with("inquiry-seal", [("seal", &seal)])));
    line.extend(
        s.get("kept_cool")
            .and_then(Json::as_bool)
            .map(|cool| say.say(if cool { "inquiry-cool" } else { "inquiry-not-cool" })),
    );
    Step::new(s.text("taken"), say.say("inquiry-sample-taken"), &line, say)
}

fn handed_over(c: &Record, say: Say<'_>) -> Step {
    let somebody = || say.say("inquiry-somebody");
    let end = |name: &str| c.text(name).map_or_else(somebody, str::to_owned);
    let given: [(&str, &dyn Argument); 2] = [("from", &end("from")), ("to", &end("to"))];
    let line: Vec<String> = c.text("condition").map(str::to_owned).into_iter().collect();
    Step::new(c.text("at"), say.words.with("inquiry-sample-handed", given), &line, say)
}
