//! Stops, full screen: what to do now and whom to call, before anything else. Reading one is written into the inquiry with its
//! wording; no act takes one away, and while one is unread no other screen names a cause or gives advice.

use super::reader::View;
use crate::{
    Error, Result,
    ids::{Hash32, RecordId},
    inquiry::{self, StopRead, Whole},
    key::{Blocks, RaisedStop, StopKind},
    tell::halts,
};

/// One stop.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct StopCard {
    /// Its id, handed back when it was read.
    pub id: String,
    /// `Stop: a wire is near`.
    pub head: String,
    /// What to do.
    pub text: String,
    /// Numbers to call, as buttons before the text.
    pub calls: Vec<String>,
    /// What raised it; empty where nothing can be said of that.
    pub because: String,
    /// What is held back while it stands; empty where nothing is.
    pub held: String,
    /// It fills the screen; one that does not has to be read all the same.
    pub full: bool,
    /// When it was read in this wording; empty while it was not.
    pub read: String,
}

/// The stops of an inquiry.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct StopScreen {
    /// The inquiry.
    pub inquiry: RecordId,
    /// Those that nobody read yet, in the order in which they are shown.
    pub unread: Vec<StopCard>,
    /// Those that were read, which stand all the same.
    pub read: Vec<StopCard>,
}

/// BLAKE3 of a stop's text.
fn wording(stop: &RaisedStop, view: &View<'_>) -> String {
    Hash32::of(stop.text.get(view.words.0).as_bytes()).to_hex()
}

/// Every stop that stands in an inquiry, read and unread.
pub(super) fn cards(view: &View<'_>, whole: &Whole) -> Result<Vec<StopCard>> {
    let readings = inquiry::stops_read(&whole.inquiry);
    let mut raised = inquiry::raised(view.pack, whole, &view.when)?;
    raised.retain(|stop| stop.kind != StopKind::Note);
    let told = halts(&raised, &view.speech());
    let cards = raised.iter().zip(told).map(|(stop, halt)| {
        let now = wording(stop, view);
        let read = readings.iter().rfind(|r| r.stop == stop.id && r.wording == now);
        StopCard {
            calls: numbers(&halt.text),
            id: halt.id,
            head: halt.head,
            text: halt.text,
            because: halt.because,
            held: held(&stop.blocks, view),
            full: stop.kind == StopKind::Stop,
            read: read.map_or_else(String::new, |r| view.with("phone-stop-read", [("time", &view.when.full(&r.at))])),
        }
    });
    Ok(cards.collect())
}

/// The stops that nobody read yet.
pub(super) fn unread(view: &View<'_>, whole: &Whole) -> Result<Vec<StopCard>> {
    Ok(cards(view, whole)?.into_iter().filter(|card| card.read.is_empty()).collect())
}

/// What is held back while a stop stands.
fn held(blocks: &[Blocks], view: &View<'_>) -> String {
    let names = blocks.iter().map(|block| {
        view.say(match block {
            Blocks::Diagnosis => "phone-held-diagnosis",
            Blocks::Advice => "phone-held-advice",
            Blocks::Digging => "phone-held-digging",
            Blocks::Visit => "phone-held-visit",
            Blocks::Contact => "phone-held-contact",
            Blocks::Spray => "phone-held-spray",
            Blocks::Sharing => "phone-held-sharing",
            Blocks::Eating => "phone-held-eating",
            Blocks::Blame => "phone-held-blame",
            Blocks::Medical => "phone-held-medical",
        })
    });
    let names: Vec<String> = names.collect();
    if names.is_empty() {
        return String::new();
    }
    view.with("phone-stop-held", [("what", &view.telling().list(&names))])
}

/// Telephone numbers in a text, each once: `1-800-222-1222`, `911`.
fn numbers(text: &str) -> Vec<String> {
    let mut found: Vec<String> = Vec::new();
    for word in text.split(|c: char| !c.is_ascii_digit() && c != '-') {
        let word = word.trim_matches('-');
        let digits = word.chars().filter(char::is_ascii_digit).count();
        let short = digits == 3 && word.len() == 3 && word.ends_with("11");
        if (digits >= 10 || short) && !found.iter().any(|known| known == word) {
            found.push(word.to_owned());
        }
    }
    found
}

/// The stops of an inquiry.
///
/// # Errors
/// [`Error::NotFound`]; of the key.
pub fn stop_screen(view: &View<'_>, inquiry: RecordId) -> Result<StopScreen> {
    let (read, unread) = cards(view, &view.whole(inquiry)?)?.into_iter().partition(|card| !card.read.is_empty());
    Ok(StopScreen { inquiry, unread, read })
}

/// Writes down that a stop was read, now and in this wording. It stands on.
///
/// # Errors
/// [`Error::NotFound`] when no such stop stands; of the key; of SQLite.
pub fn read_stop(view: &View<'_>, inquiry: RecordId, stop: &str) -> Result<StopScreen> {
    let whole = view.whole(inquiry)?;
    let raised = inquiry::raised(view.pack, &whole, &view.when)?;
    let stop = raised.iter().find(|s| s.id == stop).ok_or_else(|| Error::NotFound(format!("a stop {stop}")))?;
    let (at, content) = (view.when.instant(), view.pack.content_version());
    let read = StopRead { stop: stop.id.clone(), at, wording: wording(stop, view), content };
    inquiry::write_stop_read(view.notebook, &whole.inquiry, read)?;
    stop_screen(view, inquiry)
}

/// Writes down the stops that stand now. Gives whether one is new.
pub(super) fn record(view: &View<'_>, inquiry: RecordId) -> Result<bool> {
    inquiry::record_stops(view.notebook, view.pack, inquiry, &view.when)
}

/// Whether a stop that stands holds this back.
pub(super) fn holds_back(raised: &[RaisedStop], what: Blocks) -> bool {
    raised.iter().any(|stop| stop.blocks.contains(&what))
}

#[cfg(test)]
mod tests {
    use super::numbers;

    #[test]
    fn numbers_to_call_are_found_in_the_words() {
        assert_eq!(
            numbers("call 1-800-222-1222 in the United States, or 911. 10 ft, 90 to 103 F"),
            ["1-800-222-1222", "911"]
        );
        assert_eq!(numbers("Llame al 811 y al 811"), ["811"]);
        assert!(numbers("Stay 10 ft away from 2026-07-20").is_empty());
    }
}
