//! What a caller was asked to look at: the findings of the desk's own visit, each answer saved as it is given, taken back
//! and given otherwise. What scouts found stays theirs.

use dooryard_core::{
    Result,
    ids::RecordId,
    key::{Character, Status},
    notebook::{Notebook, Record},
    record::Kind,
};
use serde_json::json;

use super::{save, signed_as};
use crate::{
    page::{
        gather::{Whole, reference},
        words::{When, day_of_ms, instant_ms},
    },
    people::Visitor,
};

/// How a visit is marked in which somebody at the desk wrote down what a caller said.
const PROTOCOL: &str = "desk, as told";

/// What was answered to one look.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct Answer {
    /// States that are there.
    pub(super) seen: Vec<String>,
    /// States that were looked for and are not there.
    pub(super) absent: Vec<String>,
    /// What it says where no state was picked.
    pub(super) whole: Option<Status>,
    /// How sure the looker is, 1 to 3.
    pub(super) comfort: Option<u8>,
}

/// Visits of an inquiry that were made at the desk.
fn visits(whole: &Whole) -> Vec<&Record> {
    whole.of(Kind::Visit).into_iter().filter(|v| v.text("protocol") == Some(PROTOCOL)).collect()
}

/// Findings on a plant that were written at the desk, oldest first.
pub(super) fn own_findings(whole: &Whole, plant: RecordId) -> Vec<&Record> {
    let visits: Vec<RecordId> = visits(whole).into_iter().map(|v| v.id).collect();
    let of_desk = |f: &&Record| reference(f, "visit").is_some_and(|v| visits.contains(&v));
    let mut own: Vec<&Record> =
        whole.of(Kind::Finding).into_iter().filter(|f| reference(f, "plant") == Some(plant)).filter(of_desk).collect();
    own.sort_by_key(|f| (f.text("at").and_then(instant_ms), f.id));
    own
}

/// Saves an answer in place of an earlier one of the desk to the same look.
pub(super) fn answer(
    notebook: &Notebook,
    whole: &Whole,
    who: &Visitor,
    plant: RecordId,
    character: &Character,
    given: &Answer,
    pack_version: &str,
) -> Result<()> {
    let visit = visit(notebook, whole, who, pack_version)?;
    let before: Vec<RecordId> = own_findings(whole, plant)
        .into_iter()
        .filter(|f| f.text("character") == Some(&character.id))
        .map(|f| f.id)
        .collect();
    let at = When::now().instant();
    let write = |state: Option<&str>, status: Status| {
        let mut fields = json!({
            "plant": plant.to_string(), "visit": visit.to_string(), "character": character.id, "status": status,
            "method": "told", "at": at,
        });
        if let Some(state) = state {
            fields["state"] = json!(state);
        }
        if let Some(comfort) = given.comfort.filter(|_| status != Status::NotLooked) {
            fields["comfort"] = json!(comfort);
        }
        save(notebook, Kind::Finding, None, fields)
    };
    // The new answer first: if the power goes in between, both stand, and none is lost.
    for (states, status) in [(&given.seen, Status::Seen), (&given.absent, Status::Absent)] {
        for state in states {
            write(Some(state), status)?;
        }
    }
    if let Some(status) = given.whole {
        write(None, status)?;
    }
    before.into_iter().try_for_each(|id| notebook.delete(id))
}

/// Takes back what the desk wrote down of a look. Gives whether there was anything.
pub(super) fn take_back(notebook: &Notebook, whole: &Whole, plant: RecordId, character: &str) -> Result<bool> {
    let own: Vec<RecordId> = own_findings(whole, plant)
        .into_iter()
        .filter(|f| f.text("character") == Some(character))
        .map(|f| f.id)
        .collect();
    own.iter().try_for_each(|id| notebook.delete(*id))?;
    Ok(!own.is_empty())
}

/// Today's visit of the desk; begun with the first answer of the day.
fn visit(notebook: &Notebook, whole: &Whole, who: &Visitor, pack_version: &str) -> Result<RecordId> {
    let (now, observer) = (When::now(), signed_as(who));
    let is_today = |v: &&&Record| {
        let started = v.text("start").and_then(instant_ms).and_then(day_of_ms);
        started == Some(now.today()) && v.text("observer") == Some(&observer)
    };
    if let Some(visit) = visits(whole).iter().find(is_today) {
        return Ok(visit.id);
    }
    let mut fields = json!({
        "inquiry": whole.inquiry.id.to_string(),
        "start": now.instant(),
        "observer": observer,
        "protocol": PROTOCOL,
        "pack_version": pack_version,
        "app_version": concat!("dooryard ", env!("CARGO_PKG_VERSION")),
    });
    if let Some(site) = &whole.site {
        fields["site"] = json!(site.id.to_string());
    }
    save(notebook, Kind::Visit, None, fields)
}
