//! Which phone has handed over what, what it was told, and what is still to come; and phones that ask to come in.

use askama::Template;
use axum::{Extension, extract::State, response::Response};
use dooryard_core::{Result, ids::LogId, log::Run, record::Role, words::Words};

use super::{
    code, enrol,
    frame::{Frame, Here},
    routes::{Shared, answer, html},
    words::When,
};
use crate::{
    desk::{Asked, DeviceRow, Office, Outcome, Taken, Told},
    people::{Role as PageRole, Visitor},
};

/// One phone.
pub struct Phone {
    /// Its id, in hex.
    pub id: String,
    /// Its label, such as `Scout 3`.
    pub label: String,
    /// The role of whoever carries it.
    pub role: String,
    /// It was cut off.
    pub closed: bool,
    /// What of it is here: changes, pictures, which saves.
    pub held: Vec<String>,
    /// What it was told last; empty when no reply was made yet.
    pub told: Vec<String>,
    /// What is here and no reply has said yet.
    pub untold: u64,
    /// What is still to come, or waits.
    pub open: Vec<String>,
    /// Its last bundle.
    pub last: String,
}

/// A phone that came with an invitation and waits for a person.
pub struct Asking {
    /// Its id, in hex.
    pub id: String,
    /// The label of its invitation.
    pub label: String,
    /// The role of its invitation.
    pub role: String,
    /// The six words, in both languages.
    pub words: [String; 2],
    /// Its sealed bundles.
    pub bundles: String,
    /// Whether another phone came with the same code.
    pub frozen: bool,
}

/// The word for a role of a phone.
pub fn role_word(role: Role, words: Words) -> String {
    words.say(&format!("take-in-role-{}", role.name()))
}

/// Phones that wait to be admitted.
///
/// # Errors
/// Of the file system.
pub fn asking(office: &Office, words: Words) -> Result<Vec<Asking>> {
    let files = office.waiting()?;
    let phone = |asked: Asked| {
        let device = asked.device().to_string();
        let bundles = files.iter().filter(|file| file.device == device).count() as u64;
        Asking {
            id: device,
            label: asked.label,
            role: role_word(asked.role, words),
            words: [asked.words.english(), asked.words.spanish()],
            bundles: words.with("take-in-sealed-bundles", [("n", &bundles)]),
            frozen: asked.frozen,
        }
    };
    Ok(office.asking()?.into_iter().map(phone).collect())
}

/// All phones, with a line over them.
///
/// # Errors
/// Of the stores.
pub fn phones(office: &Office, when: &When, words: Words) -> Result<(String, Vec<Phone>)> {
    let (log, told) = (office.intake_log()?, office.told()?);
    let (mut phones, mut heard) = (Vec::new(), 0_u64);
    for device in office.devices()?.into_iter().filter(|device| device.role != Role::Office.name()) {
        let last = log.iter().find(|(_, row)| is_of(row, &device)).map(|(at, _)| *at);
        let newest = told.iter().find(|(_, told)| told.device == device.device);
        heard += u64::from(last.is_some());
        phones.push(phone(office, device, (last, newest), when, words)?);
    }
    Ok((words.with("take-in-phones-heard", [("heard", &heard), ("n", &phones.len())]), phones))
}

/// Reports of before the device was written down name it by its label alone.
fn is_of(row: &Taken, device: &DeviceRow) -> bool {
    let from = &row.report;
    let same = if from.device.is_empty() { from.from == device.label } else { from.device == device.device };
    same && row.outcome == Outcome::TakenIn
}

fn phone(
    office: &Office,
    device: DeviceRow,
    (last, newest): (Option<i64>, Option<&(i64, Told)>),
    when: &When,
    words: Words,
) -> Result<Phone> {
    let notebook = office.notebook();
    let id = device.device.parse()?;
    let of_it = office.held_of(&id)?;
    let (here, named) = notebook.photos_of(&id)?;
    let mut held = vec![words.with("take-in-changes", [("n", &of_it.changes)])];
    held.push(words.with("take-in-pictures-of", [("n", &here), ("named", &named)]));
    held.push(words.with("take-in-saves", [("saves", &saves(&notebook.runs_of(&id)?, words))]));
    let told = newest.map_or_else(Vec::new, |(at, told)| {
        let sum = [("n", &told.changes as _), ("photos", &told.photos as _)];
        let mut lines = vec![
            words.with("take-in-told-when", [("number", &told.number), ("when", &when.day_ms(*at))]),
            words.with("take-in-told-sum", sum),
        ];
        lines.push(words.say(if told.safe { "take-in-told-safe" } else { "take-in-told-stored" }));
        lines
    });
    let said = newest.map_or(0, |(_, told)| told.changes);
    let label = &device.label;
    let gaps = notebook.gaps()?;
    let absent = |lost: bool| -> u64 {
        gaps.iter().filter(|g| g.label == *label && g.lost == lost).map(|g| g.to - g.from + 1).sum()
    };
    let mut open = Vec::new();
    for (name, n) in [
        ("take-in-open-come", absent(false)),
        ("take-in-open-pictures", named.saturating_sub(here)),
        ("take-in-open-lost", absent(true)),
        ("take-in-open-aside", of_it.waiting),
        ("take-in-open-logs", if of_it.logs > 1 { of_it.logs } else { 0 }),
    ] {
        if n > 0 {
            open.push(words.with(name, [("n", &n)]));
        }
    }
    if device.revoked {
        open.push(words.say("take-in-open-closed"));
    }
    if open.is_empty() {
        open.push(words.say("take-in-open-nothing"));
    }
    Ok(Phone {
        role: device.role.parse().map_or(device.role, |role| role_word(role, words)),
        id: device.device,
        closed: device.revoked,
        untold: of_it.changes.saturating_sub(said),
        held,
        told,
        open,
        last: last.map_or_else(|| words.say("take-in-last-none"), |at| when.full_ms(at)),
        label: device.label,
    })
}

/// Unbroken runs of saves, log by log. Two runs over the same places of one log are two stories: both are kept.
fn saves(runs: &[(LogId, Run)], words: Words) -> String {
    let logs: Vec<String> = runs
        .chunk_by(|a, b| a.0 == b.0)
        .map(|runs| runs.iter().map(|(_, run)| span(run.from, run.to, words)).collect::<Vec<_>>().join(", "))
        .collect();
    if logs.is_empty() { words.say("take-in-saves-none") } else { logs.join(&words.say("take-in-saves-new-log")) }
}

fn span(from: u64, to: u64, words: Words) -> String {
    if from == to { from.to_string() } else { words.with("take-in-saves-span", [("from", &from), ("to", &to)]) }
}

#[derive(Template)]
#[template(path = "phones.html")]
struct PhonesPage {
    frame: Frame,
    line: String,
    asking: Vec<Asking>,
    phones: Vec<Phone>,
    roles: Vec<(&'static str, String)>,
    most_days: u64,
    days: u64,
    most_of_a_code: u64,
    /// Whoever looks may make replies; may invite, admit and close.
    may: (bool, bool),
}

pub(super) async fn page(State(desk): Shared, Extension(who): Extension<Visitor>) -> Response {
    let may = (who.role >= PageRole::ScoutLead, who.role >= PageRole::Admin);
    answer(desk, Some(who), Here::Phones, move |desk, frame| {
        let (line, phones) = phones(&desk.office, &frame.when(), frame.words)?;
        let asking = asking(&desk.office, frame.words)?;
        let roles = enrol::ROLES.map(|role| (role.name(), role_word(role, frame.words))).to_vec();
        let (most_days, days, most_of_a_code) = (enrol::MOST_DAYS, enrol::DAYS, code::MOST);
        Ok(html(&PhonesPage { line, asking, phones, roles, most_days, days, most_of_a_code, may, frame }))
    })
    .await
}

#[cfg(test)]
mod tests {
    use dooryard_core::ids::{DeviceId, Hash32};

    use super::*;

    #[test]
    fn what_is_held_is_said_run_by_run_and_log_by_log() {
        let log = |incarnation| LogId { device: DeviceId([1; 16]), incarnation };
        let run = |from, to| Run { from, to, tip: Hash32([0; 32]) };
        let held = |runs: &[_]| saves(runs, Words::default());
        assert_eq!(held(&[]), "none");
        assert_eq!(
            held(&[(log(1), run(1, 24)), (log(1), run(38, 50)), (log(2), run(1, 1))]),
            "1 to 24, 38 to 50; then, in a new log, 1"
        );
    }
}
