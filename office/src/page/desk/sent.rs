//! A letter as it was sent: which causes it told and how sure, which text of the pack with its version, which cautions, in
//! what words, by whom; what is asked later; and where the inquiry stands after it.

use dooryard_core::{advice::Advice, inquiry, letter::Letter, notebook::Record, record::Kind};
use jiff::civil::Date;
use serde_json::json;

use super::{later, save, signed_as};
use crate::{
    page::{
        frame::Frame,
        gather::Whole,
        routes::Desk,
        trouble::Trouble,
        words::{When, instant_ms},
    },
    people::Visitor,
};

/// Characters of a letter that a record holds.
pub(super) const MOST: usize = 16_000;

/// What is sent.
pub(super) struct Sending<'a> {
    pub(super) told: &'a Advice,
    pub(super) letter: &'a Letter,
    /// The words that are kept.
    pub(super) text: &'a str,
    /// How it goes out: one of the registry's words.
    pub(super) how: &'a str,
    pub(super) read_back: bool,
    pub(super) due: Option<Date>,
    /// Nobody asks again.
    pub(super) never: bool,
    pub(super) question: &'a str,
    /// Who asks again, as records say.
    pub(super) by: &'a str,
}

/// Keeps it. The inquiry is answered then.
pub(super) fn keep(
    desk: &Desk,
    who: &Visitor,
    whole: &Whole,
    plant: &Record,
    sending: &Sending<'_>,
) -> Result<(), Trouble> {
    if !["spoken", "letter", "email", "print"].contains(&sending.how) {
        return Err(Trouble::BadForm);
    }
    let signed = signed_as(who);
    let kept = inquiry::Sending {
        told: sending.told,
        letter: Some(sending.letter),
        text: sending.text,
        how: sending.how,
        read_back: sending.read_back,
        due: sending.due.filter(|_| !sending.never),
        question: sending.question,
        by: if later::is_somebody(desk, sending.by)? { sending.by } else { &signed },
        signed: &signed,
    };
    inquiry::keep(desk.notebook(), whole, plant, &kept, &When::now())?;
    save(desk.notebook(), Kind::Inquiry, Some(whole.inquiry.id), json!({ "status": "answered" }))?;
    Ok(())
}

/// Advice that was given before.
pub(super) struct Past {
    pub(super) line: String,
    pub(super) text: String,
}

/// All advice of an inquiry, newest first.
pub(super) fn past(whole: &Whole, frame: &Frame) -> Vec<Past> {
    let mut given = whole.of(Kind::Advice);
    given.sort_by_key(|a| std::cmp::Reverse((a.text("given").and_then(instant_ms), a.id)));
    let past = |a: &Record| {
        let at = a.text("given").map_or_else(String::new, |at| frame.when().full(at));
        let how = a.text("how").map_or_else(String::new, |how| frame.say(&format!("desk-how-{how}")));
        let by = a.text("by").unwrap_or_default();
        let line: Vec<&str> = [at.as_str(), how.as_str(), by].into_iter().filter(|part| !part.is_empty()).collect();
        Past { line: line.join(" · "), text: a.text("text").unwrap_or_default().to_owned() }
    };
    given.into_iter().map(past).collect()
}
