//! What the screens speak from: the pack of looks, causes and advice, its version and day, where it came from, whether it is old.

use super::{act::Line, reader::View};
use crate::key::ReviewStatus;

/// The content of this phone.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ContentScreen {
    /// What the pack is called.
    pub name: String,
    /// Version, day, until when it is meant to be used, where it came from.
    pub facts: Vec<Line>,
    /// That it may be outdated, and what to do; empty while it is not.
    pub outdated: String,
    /// What has to stand with it while nobody reviewed it; empty where somebody did.
    pub notice: String,
}

/// The content of this phone. `sent` says that the office sent it, later than the app came.
pub fn content(view: &View<'_>, sent: bool) -> ContentScreen {
    let pack = view.pack;
    let line = |label: &str, text: String| Line { label: view.say(label), text };
    let reviewed = match pack.status {
        ReviewStatus::Reviewed => "phone-content-reviewed-yes",
        ReviewStatus::UnreviewedStarter => "phone-content-reviewed-no",
    };
    ContentScreen {
        name: pack.title.get(view.words.0).to_owned(),
        facts: vec![
            line("phone-content-version", pack.version.to_string()),
            line("phone-content-day", view.when.date(pack.date)),
            line("phone-content-until", view.when.date(pack.not_after)),
            line("phone-content-from", view.say(if sent { "phone-content-sent" } else { "phone-content-with-app" })),
            line("phone-content-reviewed", view.say(reviewed)),
        ],
        outdated: outdated(view),
        notice: pack.notice(view.words.0).unwrap_or_default().to_owned(),
    }
}

/// That the pack is past the day until which it was meant to be used; empty before. It works as before.
pub(super) fn outdated(view: &View<'_>) -> String {
    if view.when.today() <= view.pack.not_after {
        return String::new();
    }
    view.with("phone-pack-old", [("day", &view.when.date(view.pack.not_after))])
}
