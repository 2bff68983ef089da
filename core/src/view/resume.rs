//! Where somebody was: kept at each screen, so that the app opens there again after it was closed or killed.

use serde::{Deserialize, Serialize};

use super::{ask_answers::settle_all_answers, reader::View};
use crate::{Result, ids::RecordId, inquiry::Whole, key::under_seal, tell::lines};

/// The screens at which somebody can be stopped.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "the names say it")]
pub enum Screen {
    Ask,
    Stop,
    Place,
    Plant,
    Look,
    Shots,
    Think,
    Tell,
    Letter,
    Sample,
    Inquiry,
}

impl Screen {
    fn word(self) -> &'static str {
        match self {
            Self::Ask => "phone-left-ask",
            Self::Stop => "phone-left-stop",
            Self::Place => "phone-left-place",
            Self::Plant => "phone-left-plant",
            Self::Look => "phone-left-look",
            Self::Shots => "phone-left-shots",
            Self::Think => "phone-left-think",
            Self::Tell => "phone-left-tell",
            Self::Letter => "phone-left-letter",
            Self::Sample => "phone-left-sample",
            Self::Inquiry => "phone-left-inquiry",
        }
    }
}

/// Where somebody was.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Resume {
    /// The screen.
    pub screen: Screen,
    /// Its inquiry.
    pub inquiry: RecordId,
    /// Its plant.
    pub plant: Option<RecordId>,
    /// The look that was asked; empty for the next one.
    pub look: String,
    /// When, as the margin says it.
    pub at: String,
    /// Host and township.
    pub head: String,
    /// `Left at: Looking.`
    pub text: String,
}

#[derive(Serialize, Deserialize)]
struct Kept {
    screen: Screen,
    inquiry: String,
    plant: Option<String>,
    look: String,
    at_ms: i64,
}

const KEY: &str = "resume";

/// Keeps where somebody is. Asked for by the shell whenever a screen of an inquiry opens. Whoever goes on from the safety questions
/// has answered them: the answers go into the record.
///
/// # Errors
/// Of SQLite; as [`crate::notebook::Notebook::save`].
pub fn keep_place(
    view: &View<'_>,
    screen: Screen,
    inquiry: RecordId,
    plant: Option<RecordId>,
    look: &str,
) -> Result<()> {
    let kept = Kept {
        screen,
        inquiry: inquiry.to_string(),
        plant: plant.map(|p| p.to_string()),
        look: look.to_owned(),
        at_ms: view.now_ms(),
    };
    view.notebook.keep_draft(KEY, Some(&serde_json::to_string(&kept).unwrap_or_default()))?;
    // A stop to read comes between two questions.
    if matches!(screen, Screen::Ask | Screen::Stop) { Ok(()) } else { settle_all_answers(view) }
}

/// Forgets it: somebody went back to the first screen.
///
/// # Errors
/// As [`keep_place`].
pub fn leave_place(view: &View<'_>) -> Result<()> {
    settle_all_answers(view)?;
    view.notebook.keep_draft(KEY, None)
}

/// Where somebody was; nothing where the inquiry is gone. What is under seal is not named.
pub(super) fn resume(view: &View<'_>) -> Result<Option<Resume>> {
    let Some(kept) = view.notebook.draft(KEY)?.and_then(|text| serde_json::from_str::<Kept>(&text).ok()) else {
        return Ok(None);
    };
    let Some(inquiry) = kept.inquiry.parse::<RecordId>().ok() else { return Ok(None) };
    let whole = match Whole::read(view.notebook, inquiry) {
        Ok(whole) if !whole.inquiry.hidden => whole,
        Ok(_) | Err(crate::Error::NotFound(_)) => return Ok(None),
        Err(e) => return Err(e),
    };
    let sealed = under_seal(crate::inquiry::stops(whole.inquiry.get("stops")));
    Ok(Some(Resume {
        screen: kept.screen,
        inquiry,
        plant: kept.plant.and_then(|id| id.parse().ok()),
        look: kept.look,
        at: view.when.clock_ms(kept.at_ms),
        head: if sealed {
            view.say("phone-sealed")
        } else {
            lines::title(&whole.of(crate::record::Kind::Plant), whole.site.as_ref(), view.telling())
        },
        text: view.with("phone-left", [("screen", &view.say(kept.screen.word()))]),
    }))
}
