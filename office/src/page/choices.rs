//! What the filters of the list offer, and what is chosen of it, in words.

use dooryard_core::words::Words;

use super::{filter::Filter, frame::Frame, names::Names, place, words::by_name};

/// Where an inquiry can stand.
const STATUSES: [&str; 4] = ["open", "waiting", "answered", "closed"];
/// How far an answer can be confirmed.
const ANSWERS: [&str; 4] = ["presumptive", "reviewed", "laboratory", "authority"];

/// A filter with its options: (value, words, chosen).
pub struct Choice {
    /// Name in the address.
    pub name: &'static str,
    /// What people read.
    pub label: String,
    /// The options.
    pub options: Vec<(String, String, bool)>,
}

/// A day that can be chosen.
pub struct Day {
    /// Name in the address.
    pub name: &'static str,
    /// What people read.
    pub label: String,
    /// What stands there.
    pub value: String,
    /// Why it narrows nothing; empty when it is a day, or nothing.
    pub wrong: String,
}

/// Where an inquiry stands, in words.
pub fn status_words(status: &str, words: Words) -> String {
    if STATUSES.contains(&status) { words.say(&format!("list-status-{status}")) } else { super::words::spaced(status) }
}

/// How far an answer is confirmed, in words.
pub fn answer_words(answer: &str, words: Words) -> String {
    if ANSWERS.contains(&answer) { words.say(&format!("list-answer-{answer}")) } else { super::words::spaced(answer) }
}

/// The filters with what they offer: townships, scouts, hosts and causes as the index has them.
pub fn choices(
    [townships, scouts, hosts, causes]: [Vec<String>; 4],
    filter: &Filter,
    names: &Names,
    words: Words,
) -> Vec<Choice> {
    let named = |ids: Vec<String>, name: &dyn Fn(&str) -> String| -> Vec<(String, String)> {
        let mut rows: Vec<(String, String)> =
            ids.into_iter().map(|id| (name(&id), id)).map(|(n, id)| (id, n)).collect();
        rows.sort_by_key(|(_, name)| by_name(name));
        rows
    };
    let same = |all: Vec<String>| all.into_iter().map(|v| (v.clone(), v)).collect::<Vec<_>>();
    let said = |ids: [&str; 4], word: fn(&str, Words) -> String| -> Vec<(String, String)> {
        ids.map(|id| (id.to_owned(), word(id, words))).to_vec()
    };
    let choice = |name, label: String, wanted: &str, mut rows: Vec<(String, String)>| {
        // What is asked for and no longer there stays chosen: nothing is filtered unseen.
        if !wanted.is_empty() && !rows.iter().any(|(value, _)| value == wanted) {
            rows.push((wanted.to_owned(), wanted.to_owned()));
        }
        let options = rows.into_iter().map(|(value, words)| (value == wanted, value, words));
        Choice { name, label, options: options.map(|(on, value, words)| (value, words, on)).collect() }
    };
    vec![
        choice("status", words.say("list-status"), &filter.status, said(STATUSES, status_words)),
        choice("host", words.say("list-host"), &filter.host, named(hosts, &|id| names.host(id))),
        choice("cause", words.say("list-cause"), &filter.cause, named(causes, &|id| names.cause(id))),
        choice("answer", words.say("list-answer"), &filter.answer, said(ANSWERS, answer_words)),
        choice("township", words.say("list-township"), &filter.township, same(townships)),
        choice("scout", words.say("list-scout"), &filter.scout, same(scouts)),
    ]
}

/// The days between which an inquiry was opened.
pub fn days(filter: &Filter, words: Words) -> [Day; 2] {
    let wrong = filter.wrong_days();
    let day = |name, label: &str, value: &String| Day {
        name,
        label: words.say(label),
        // A browser takes nothing else into such a field; the sentence says what was typed.
        value: if wrong.contains(&name) { String::new() } else { value.clone() },
        wrong: if wrong.contains(&name) { words.with("list-day-wrong", [("day", value)]) } else { String::new() },
    };
    [day("since", "list-since", &filter.since), day("until", "list-until", &filter.until)]
}

/// What is chosen, as (what, which): for paper, for a saved view.
pub fn chosen(filter: &Filter, names: &Names, frame: &Frame) -> Vec<(String, String)> {
    let (words, when) = (frame.words, frame.when());
    let told = [
        ("list-words-short", filter.q.trim().to_owned()),
        ("list-status", filter.status.clone()),
        ("list-host", filter.host.clone()),
        ("list-cause", filter.cause.clone()),
        ("list-answer", filter.answer.clone()),
        ("list-township", filter.township.clone()),
        ("list-scout", filter.scout.clone()),
        ("list-since", filter.since.trim().to_owned()),
        ("list-until", filter.until.trim().to_owned()),
        ("list-stop", filter.stop.clone()),
        ("list-conflict", filter.conflict.clone()),
    ];
    let said = |name: &str, value: String| match name {
        "list-status" => status_words(&value, words),
        "list-answer" => answer_words(&value, words),
        "list-host" => names.host(&value),
        "list-cause" => names.cause(&value),
        "list-township" => place::township(&value, words),
        "list-since" | "list-until" => when.day(&value),
        "list-stop" | "list-conflict" => words.say("list-yes"),
        _ => value,
    };
    let wrong = filter.wrong_days();
    let chooses = |name: &str| !wrong.iter().any(|day| name.strip_prefix("list-") == Some(*day));
    let told = told.into_iter().filter(|(name, value)| !value.is_empty() && chooses(name));
    told.map(|(name, value)| (words.say(name), said(name, value))).collect()
}
