//! What was set aside: whole files, changes that do not count yet, damaged files of the notebook; each with its reason,
//! and what a person can decide.

use std::collections::BTreeMap;

use askama::Template;
use axum::{
    Extension,
    extract::{Path, State},
    response::{IntoResponse, Redirect, Response},
};
use dooryard_core::{
    ids::{Hash32, RecordId},
    job::Job,
};

use super::{
    bundles::why_and_what_to_do,
    frame::{Frame, Here},
    guard::Given,
    intake::{number_of, waiting_line},
    routes::{Desk, Shared, answer, html},
    trouble::Trouble,
    words::size,
};
use crate::{
    desk::Taken,
    people::{Act, Role, Visitor},
};

/// Records whose changes wait that are named one by one; the rest is decided with the whole.
const NAMED: usize = 50;

#[derive(Template)]
#[template(path = "set_aside.html")]
struct SetAsidePage {
    frame: Frame,
    line: String,
    files: Vec<KeptFile>,
    /// How many of them can be tried again.
    again: usize,
    groups: Vec<Group>,
    damaged: Vec<Damaged>,
    /// Whoever looks may try again; may let changes count; may throw away.
    may: (bool, bool, bool),
}

/// A whole file.
struct KeptFile {
    id: String,
    day: String,
    clock: String,
    name: String,
    size: String,
    why: String,
    to_do: String,
    erased: bool,
    /// It waits for its phone to be admitted.
    waits: bool,
}

/// Changes of one phone that wait for one reason.
struct Group {
    device: String,
    label: String,
    code: String,
    n: usize,
    why: String,
    to_do: String,
    records: Vec<About>,
}

/// One record of which changes wait.
struct About {
    n: usize,
    words: String,
    href: String,
}

/// A damaged file of the office's own notebook.
struct Damaged {
    name: String,
    size: String,
    erased: bool,
}

pub(super) async fn page(State(desk): Shared, Extension(who): Extension<Visitor>) -> Response {
    let may = (who.role >= Role::ScoutLead, who.role >= Role::Reviewer, who.role >= Role::Admin);
    answer(desk, Some(who), Here::TakeIn, move |desk, frame| {
        let when = frame.when();
        let kept = |id: String, name: String, code: &str, bytes: u64, at_ms: u64| {
            let (why, to_do) = why_and_what_to_do(code, frame.words);
            let at = i64::try_from(at_ms).unwrap_or(i64::MAX);
            let name = if name.is_empty() { format!("{}…", id.get(..8).unwrap_or(&id)) } else { name };
            let (day, clock, size) = (when.day_ms(at), when.clock_ms(at), size(bytes, frame.words));
            KeptFile { id, day, clock, name, size, why, to_do, erased: false, waits: false }
        };
        let files = desk.office.quarantined()?.into_iter();
        let mut files: Vec<KeptFile> = files
            .map(|q| KeptFile { erased: q.holds_erased, ..kept(q.id, q.file, &q.code, q.bytes, q.at_ms) })
            .collect();
        let again = files.len();
        let waiting = desk.office.waiting()?.into_iter().filter(|w| w.holds_erased);
        files.extend(waiting.map(|w| KeptFile {
            erased: true,
            waits: true,
            ..kept(w.id, w.label, &w.code, w.bytes, w.at_ms)
        }));
        let damaged = desk.notebook().damaged_files()?.into_iter();
        let damaged =
            damaged.map(|d| Damaged { size: size(d.bytes, frame.words), name: d.name, erased: d.holds_erased });
        Ok(html(&SetAsidePage {
            line: waiting_line(&desk.office, frame.words)?,
            files,
            again,
            groups: groups(desk, &frame)?,
            damaged: damaged.collect(),
            may,
            frame,
        }))
    })
    .await
}

/// Changes that wait, by label, phone and reason: the record and the change of each.
type Waiting = BTreeMap<(String, String, String), Vec<(RecordId, Hash32)>>;

fn waiting(desk: &Desk) -> Result<Waiting, Trouble> {
    let mut found = Waiting::new();
    for device in desk.office.devices()? {
        for (record, change, code) in desk.notebook().waiting_of(&device.device.parse()?)? {
            let key = (device.label.clone(), device.device.clone(), code);
            found.entry(key).or_default().push((record, change));
        }
    }
    Ok(found)
}

fn groups(desk: &Desk, frame: &Frame) -> Result<Vec<Group>, Trouble> {
    let mut groups = Vec::new();
    for ((label, device, code), changes) in waiting(desk)? {
        let (why, to_do) = why_and_what_to_do(&code, frame.words);
        let mut by_record: BTreeMap<RecordId, usize> = BTreeMap::new();
        changes.iter().for_each(|(record, _)| *by_record.entry(*record).or_default() += 1);
        let records = by_record.into_iter().take(NAMED).map(|(record, n)| about(desk, record, n, frame));
        let (n, records) = (changes.len(), records.collect::<Result<_, _>>()?);
        groups.push(Group { device, label, code, n, why, to_do, records });
    }
    Ok(groups)
}

/// What a change is about. Of what is under seal, and of what has no words yet, only that.
fn about(desk: &Desk, record: RecordId, n: usize, frame: &Frame) -> Result<About, Trouble> {
    let said = |name: &str| About { n, words: frame.say(name), href: String::new() };
    let Some(row) = desk.notebook().rows_of(&[record])?.into_iter().next() else {
        return Ok(said("take-in-about-new"));
    };
    let index = desk.index()?;
    if index.is_under_seal(record)? {
        return Ok(said("take-in-about-sealed"));
    }
    let inquiry = index.inquiries_of(record)?.into_iter().next();
    let href = inquiry.map_or_else(String::new, |id| format!("/inquiries/{id}"));
    Ok(About { href, ..said(&format!("take-in-kind-{}", row.kind.name())) })
}

/// Tries files again: one by its number, or all of them.
pub(super) async fn again(
    State(desk): Shared,
    Extension(who): Extension<Visitor>,
    Extension(given): Extension<Given>,
) -> Response {
    answer(desk, Some(who.clone()), Here::TakeIn, move |desk, _| {
        let wanted = given.text("file");
        let mut ids: Vec<String> = desk.office.quarantined()?.into_iter().map(|q| q.id).collect();
        if wanted != "all" {
            ids.retain(|id| id == wanted);
        }
        if ids.is_empty() {
            return Err(Trouble::NotHere);
        }
        let mut numbers = Vec::new();
        for id in ids {
            desk.people.note(&who, Act::TriedAgain, Some(&id))?;
            let _turn = desk.work.turn();
            let taken: Taken = desk.office.retry_one_quarantined(&id, &Job::silent())?;
            numbers.push(number_of(&desk.office, &taken)?.0);
        }
        let (first, last) = (numbers.iter().min().unwrap_or(&1), numbers.iter().max().unwrap_or(&1));
        let to = if first == last { format!("/take-in/{first}") } else { format!("/take-in/{first}-{last}") };
        Ok(Redirect::to(&to).into_response())
    })
    .await
}

/// Throws a file away: a person decided that it is not wanted.
pub(super) async fn throw_away(
    State(desk): Shared,
    Extension(who): Extension<Visitor>,
    Path(file): Path<String>,
) -> Response {
    answer(desk, Some(who.clone()), Here::TakeIn, move |desk, _| {
        let waits = desk.office.waiting()?.iter().any(|w| w.id == file && w.holds_erased);
        if !waits && !desk.office.quarantined()?.iter().any(|q| q.id == file) {
            return Err(Trouble::NotHere);
        }
        // Noted before it is done: it cannot be taken back.
        desk.people.note(&who, Act::ThrewAway, Some(&file))?;
        if waits {
            desk.office.drop_waiting(&file)?
        } else {
            desk.office.drop_quarantined(&file)?
        }
        Ok(Redirect::to("/set-aside").into_response())
    })
    .await
}

/// Lets the changes of one group count, or refuses them.
pub(super) async fn decide(
    State(desk): Shared,
    Extension(who): Extension<Visitor>,
    Extension(given): Extension<Given>,
) -> Response {
    answer(desk, Some(who.clone()), Here::TakeIn, move |desk, frame| {
        let counts = match given.text("counts") {
            "yes" => true,
            "no" => false,
            _ => return Err(Trouble::BadForm),
        };
        let is_it =
            |(_, device, code): &(String, String, String)| device == given.text("phone") && code == given.text("code");
        let changes = waiting(desk)?.into_iter().find(|(key, _)| is_it(key)).map_or_else(Vec::new, |(_, all)| all);
        // What is decided is what was counted on the page.
        if changes.is_empty() || given.text("n") != changes.len().to_string() {
            return Err(Trouble::NotDone(frame.words.with("take-in-counts-changed", [("n", &changes.len())])));
        }
        let act = if counts { Act::LetCount } else { Act::RefusedChange };
        for (record, change) in changes {
            desk.people.note(&who, act, Some(&record.to_string()))?;
            if counts { desk.office.admit(record, change)? } else { desk.office.refuse(record, change)? }
        }
        Ok(Redirect::to("/set-aside").into_response())
    })
    .await
}

/// Erases a damaged file of the notebook, for good.
pub(super) async fn erase_damaged(
    State(desk): Shared,
    Extension(who): Extension<Visitor>,
    Extension(given): Extension<Given>,
) -> Response {
    answer(desk, Some(who.clone()), Here::TakeIn, move |desk, _| {
        let name = given.text("file");
        if !desk.notebook().damaged_files()?.iter().any(|damaged| damaged.name == name) {
            return Err(Trouble::NotHere);
        }
        desk.people.note(&who, Act::ErasedDamaged, None)?;
        desk.notebook().erase_damaged(name)?;
        Ok(Redirect::to("/set-aside").into_response())
    })
    .await
}
