//! Replies to hand back: one as a file, all of them as one zip.

use std::fs::File;

use axum::{
    Extension,
    extract::{Path, State},
    response::Response,
};
use dooryard_core::{Error, ids::DeviceId, job::Job};
use zip::{CompressionMethod, ZipWriter, write::SimpleFileOptions};

use super::{
    file_out::{file_word, hand_out},
    frame::Here,
    routes::{Desk, Shared, answer},
    trouble::Trouble,
};
use crate::people::{Act, Visitor};

/// The phone that a number in an address means, with its label.
pub(super) fn phone(desk: &Desk, number: &str) -> Result<(DeviceId, String), Trouble> {
    let known = desk.office.devices()?.into_iter().find(|row| row.device == number && row.role != "office");
    let row = known.ok_or(Trouble::NotHere)?;
    Ok((row.device.parse()?, row.label))
}

pub(super) async fn one(
    State(desk): Shared,
    Extension(who): Extension<Visitor>,
    Path(number): Path<String>,
) -> Response {
    answer(desk, Some(who.clone()), Here::Phones, move |desk, _| {
        let (device, label) = phone(desk, &number)?;
        let room = desk.office.room_for_arriving()?;
        let file = room.path().join("reply.yard");
        let made = desk.office.make_reply(device, &file, &Job::silent()).map_err(Trouble::of_refusal)?;
        desk.people.note(&who, Act::MadeReply, Some(&device.to_string()))?;
        let name = format!("reply-{}-{}.yard", file_word(&label), made.number);
        hand_out(room, &file, &name, "application/octet-stream")
    })
    .await
}

pub(super) async fn all(State(desk): Shared, Extension(who): Extension<Visitor>) -> Response {
    answer(desk, Some(who.clone()), Here::Phones, move |desk, frame| {
        let room = desk.office.room_for_arriving()?;
        let zipped = room.path().join("replies.zip");
        let what = || Error::io("putting replies into one file");
        let zipping = |e: zip::result::ZipError| Trouble::from(Error::io("putting replies into one file")(e.into()));
        let mut zip = ZipWriter::new(File::create(&zipped).map_err(what())?);
        // Sealed bytes do not get smaller.
        let stored = SimpleFileOptions::default().compression_method(CompressionMethod::Stored);
        let mut none = true;
        for row in desk.office.devices()?.into_iter().filter(|row| row.role != "office" && !row.revoked) {
            let (device, file) = (row.device.parse::<DeviceId>()?, room.path().join("reply.yard"));
            let made = match desk.office.make_reply(device, &file, &Job::silent()) {
                // Two phones with one code: a person decides first, and the others get theirs.
                Err(Error::Refused { .. }) => continue,
                other => other?,
            };
            desk.people.note(&who, Act::MadeReply, Some(&device.to_string()))?;
            // Two phones may have one label.
            let part = row.device.get(..6).unwrap_or_default();
            let name = format!("reply-{}-{part}-{}.yard", file_word(&row.label), made.number);
            zip.start_file(name, stored).map_err(zipping)?;
            std::io::copy(&mut File::open(&file).map_err(what())?, &mut zip).map_err(what())?;
            none = false;
        }
        if none {
            return Err(Trouble::NotDone(frame.say("take-in-no-phones")));
        }
        zip.finish().map_err(zipping)?;
        hand_out(room, &zipped, "replies.zip", "application/zip")
    })
    .await
}
