//! How an office stands: its devices, what waits; and a phone's times corrected.

use anyhow::Result;
use dooryard_core::{
    Code, Error,
    ids::{DeviceId, LogId},
};
use serde::Serialize;
use serde_json::json;

use super::{pack_choice::PackChoice, tell::Tell};
use crate::{
    desk::{DeviceHeld, DeviceRow, Office as Desk},
    page::{Names, When, count},
    report::Whole,
};

/// Corrects the times of a device's logs; returns how many saves that touches.
pub fn correct_clock(office: &Desk, device: DeviceId, ahead: i64, from: u64, to: Option<u64>) -> Result<u64> {
    let mut ends: Vec<(LogId, u64)> = Vec::new();
    for (log, run) in office.notebook().runs_of(&device)? {
        match ends.iter_mut().find(|(known, _)| *known == log) {
            Some((_, end)) => *end = run.to.max(*end),
            None => ends.push((log, run.to)),
        }
    }
    let skew = ahead.checked_mul(1000).ok_or_else(|| Error::refused(Code::Clock, "a correction beyond all time"))?;
    let mut corrected = 0;
    for (log, end) in ends {
        let last = to.unwrap_or(end).min(end);
        if from <= last {
            office.correct_clock(log, from, last, skew)?;
            corrected += last - from + 1;
        }
    }
    if corrected == 0 {
        return Err(Error::NotFound("save of that phone in that range".into()).into());
    }
    Ok(corrected)
}

/// A device with what is held of it, in one object.
#[derive(Serialize)]
struct Told<'a> {
    #[serde(flatten)]
    device: &'a DeviceRow,
    #[serde(flatten)]
    held: DeviceHeld,
}

/// Lists the devices.
pub fn devices(office: &Desk, tell: &Tell) -> Result<()> {
    let rows = office.devices()?;
    for d in &rows {
        let held = office.held_of(&d.device.parse()?)?;
        tell.say(
            || {
                let mut notes = Vec::new();
                if held.waiting > 0 {
                    notes.push(format!("{} set aside", held.waiting));
                }
                if held.logs > 1 {
                    notes.push(format!("{} logs", held.logs));
                }
                if d.revoked {
                    notes.push("cut off".into());
                }
                let notes = if notes.is_empty() { String::new() } else { format!(" ({})", notes.join(", ")) };
                format!(
                    "{:<14} {:<9} {}{notes}  {}",
                    d.label,
                    d.role,
                    count(held.changes, "change", "changes"),
                    d.device
                )
            },
            || json!(Told { device: d, held }),
        );
    }
    Ok(())
}

/// Says how things stand.
pub fn status(office: &Desk, pack: &PackChoice, tell: &Tell) -> Result<()> {
    let names = Names::of(&pack.load()?);
    let whole = Whole::of(office, &names, &When::now())?;
    let (asking, sealed) = (office.asking()?.len() as u64, office.waiting()?.len() as u64);
    if tell.is_json() {
        for object in whole.objects() {
            tell.say(String::new, || object);
        }
        tell.say(String::new, || json!({ "phones_asking": asking, "sealed_bundles_waiting": sealed }));
        return Ok(());
    }
    let phones = office.devices()?.len().saturating_sub(1) as u64;
    let files = office.intake_log()?.len() as u64;
    println!(
        "{}: {}, {} taken in or refused.",
        office.card().name,
        count(phones, "phone", "phones"),
        count(files, "file", "files")
    );
    if asking > 0 {
        println!(
            "{} to be admitted, with {}: `dooryard office waiting` says their words.",
            count(asking, "phone waits", "phones wait"),
            count(sealed, "sealed bundle", "sealed bundles")
        );
    }
    println!("{}", whole.words());
    if !names.notice.is_empty() {
        println!("\n{}", names.notice);
    }
    Ok(())
}
