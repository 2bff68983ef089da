//! What somebody found on a plant: each answer saved as it is given, taken back and given otherwise, as findings of a visit of
//! the day. What others found stays theirs.

use serde_json::json;

use super::{Whole, reference, save};
use crate::{
    Result,
    ids::RecordId,
    key::{Character, Status},
    notebook::{Notebook, Record},
    record::Kind,
    words::{When, instant_ms},
};

/// What was answered to one look.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Answer {
    /// States that are there.
    pub seen: Vec<String>,
    /// States that were looked for and are not there.
    pub absent: Vec<String>,
    /// What it says where no state was picked.
    pub whole: Option<Status>,
    /// How sure the looker is, 1 to 3.
    pub comfort: Option<u8>,
}

/// Who looks, and how it is written down.
#[derive(Clone, Copy, Debug)]
pub struct Looker<'a> {
    /// Role and number, such as `Scout 3`.
    pub observer: &'a str,
    /// Protocol of the visits that this looker's answers belong to.
    pub protocol: &'a str,
    /// How it was looked at, a word of the registry.
    pub method: &'a str,
    /// Pack and version used.
    pub pack_version: &'a str,
    /// Program and version.
    pub app_version: &'a str,
}

/// Visits of an inquiry by one protocol.
fn visits<'w>(whole: &'w Whole, protocol: &str) -> Vec<&'w Record> {
    whole.of(Kind::Visit).into_iter().filter(|v| v.text("protocol") == Some(protocol)).collect()
}

/// Findings on a plant of visits by this protocol, oldest first.
pub fn own_findings<'w>(whole: &'w Whole, plant: RecordId, protocol: &str) -> Vec<&'w Record> {
    let visits: Vec<RecordId> = visits(whole, protocol).into_iter().map(|v| v.id).collect();
    let of_visit = |f: &&Record| reference(f, "visit").is_some_and(|v| visits.contains(&v));
    let mut own: Vec<&Record> = whole.findings_on(plant).into_iter().filter(of_visit).collect();
    own.sort_by_key(|f| (f.text("at").and_then(instant_ms), f.id));
    own
}

/// What these findings say of one look.
pub fn answered(own: &[&Record], character: &str) -> Answer {
    let of: Vec<&&Record> = own.iter().filter(|f| f.text("character") == Some(character)).collect();
    let states = |status: &str| {
        let with = of.iter().filter(|f| f.text("status") == Some(status));
        with.filter_map(|f| f.text("state")).map(str::to_owned).collect::<Vec<_>>()
    };
    let unsure = of.iter().any(|f| f.text("status") == Some("could_not_tell"));
    let comfort = of.iter().find_map(|f| f.get("comfort")?.as_u64()).and_then(|c| u8::try_from(c).ok());
    Answer { seen: states("seen"), absent: states("absent"), whole: unsure.then_some(Status::Unsure), comfort }
}

/// Saves an answer in place of an earlier one by the same protocol to the same look. Gives the findings written.
///
/// # Errors
/// As [`Notebook::save`].
pub fn answer(
    notebook: &Notebook,
    whole: &Whole,
    who: &Looker<'_>,
    plant: RecordId,
    character: &Character,
    given: &Answer,
    now: &When,
) -> Result<Vec<RecordId>> {
    let visit = visit_today(notebook, whole, who, now)?;
    let before: Vec<RecordId> = own_findings(whole, plant, who.protocol)
        .into_iter()
        .filter(|f| f.text("character") == Some(&character.id))
        .map(|f| f.id)
        .collect();
    let at = now.instant();
    let write = |state: Option<&str>, status: Status| {
        let mut fields = json!({
            "plant": plant.to_string(), "visit": visit.to_string(), "character": character.id, "status": status,
            "method": who.method, "at": at,
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
    let mut written = Vec::new();
    for (states, status) in [(&given.seen, Status::Seen), (&given.absent, Status::Absent)] {
        for state in states {
            written.push(write(Some(state), status)?);
        }
    }
    if let Some(status) = given.whole {
        written.push(write(None, status)?);
    }
    before.into_iter().try_for_each(|id| notebook.delete(id))?;
    Ok(written)
}

/// Takes back what was written down of a look by this protocol. Gives whether there was anything.
///
/// # Errors
/// As [`Notebook::delete`].
pub fn take_back(notebook: &Notebook, whole: &Whole, plant: RecordId, character: &str, protocol: &str) -> Result<bool> {
    let own: Vec<RecordId> = own_findings(whole, plant, protocol)
        .into_iter()
        .filter(|f| f.text("character") == Some(character))
        .map(|f| f.id)
        .collect();
    own.iter().try_for_each(|id| notebook.delete(*id))?;
    Ok(!own.is_empty())
}

/// Today's visit of this looker; begun where there is none yet.
///
/// # Errors
/// As [`Notebook::save`].
pub fn visit_today(notebook: &Notebook, whole: &Whole, who: &Looker<'_>, now: &When) -> Result<RecordId> {
    let is_today = |v: &&&Record| {
        let started = v.text("start").and_then(instant_ms).and_then(|ms| now.day_of_ms(ms));
        started == Some(now.today()) && v.text("observer") == Some(who.observer)
    };
    if let Some(visit) = visits(whole, who.protocol).iter().find(is_today) {
        return Ok(visit.id);
    }
    let mut fields = json!({
        "inquiry": whole.inquiry.id.to_string(),
        "start": now.instant(),
        "observer": who.observer,
        "protocol": who.protocol,
        "pack_version": who.pack_version,
        "app_version": who.app_version,
    });
    if let Some(site) = &whole.site {
        fields["site"] = json!(site.id.to_string());
    }
    save(notebook, Kind::Visit, None, fields)
}
