//! What a caller was asked to look at: the findings of the desk's own visits.

use dooryard_core::{Result, ids::RecordId, inquiry, inquiry::Looker, key::Character, notebook::Record};

use super::signed_as;
use crate::{
    page::{gather::Whole, routes::Desk, words::When},
    people::Visitor,
};

pub(super) use dooryard_core::inquiry::Answer;

/// How a visit is marked in which somebody at the desk wrote down what a caller said.
const PROTOCOL: &str = "desk, as told";

/// Findings on a plant that were written at the desk, oldest first.
pub(super) fn own_findings(whole: &Whole, plant: RecordId) -> Vec<&Record> {
    inquiry::own_findings(whole, plant, PROTOCOL)
}

/// Saves an answer in place of an earlier one of the desk to the same look.
pub(super) fn answer(
    desk: &Desk,
    whole: &Whole,
    who: &Visitor,
    plant: RecordId,
    character: &Character,
    given: &Answer,
) -> Result<()> {
    let looker = Looker {
        observer: &signed_as(who),
        protocol: PROTOCOL,
        method: "told",
        pack_version: &desk.pack.content_version(),
        app_version: concat!("dooryard ", env!("CARGO_PKG_VERSION")),
    };
    inquiry::answer(desk.notebook(), whole, &looker, plant, character, given, &When::now()).map(drop)
}

/// Takes back what the desk wrote down of a look. Gives whether there was anything.
pub(super) fn take_back(desk: &Desk, whole: &Whole, plant: RecordId, character: &str) -> Result<bool> {
    inquiry::take_back(desk.notebook(), whole, plant, character, PROTOCOL)
}
