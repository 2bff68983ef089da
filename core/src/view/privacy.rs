//! What this phone holds, what goes into a bundle and who can read it, what it may let go of, and how to erase all of it.

use super::{
    act::{Choice, Line},
    reader::View,
    today::waiting,
};
use crate::{Result, notebook::LetGo, record::Kind, words::size};

/// The privacy page.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct PrivacyScreen {
    /// What is held, each with how much.
    pub holds: Vec<Line>,
    /// What goes into a bundle, who can read it, what never leaves.
    pub leaves: Vec<String>,
    /// What may be let go of once it is safe at the office.
    pub letting_go: Vec<Choice>,
    /// What erasing would lose: what was not handed over; that nothing would be.
    pub erase: String,
    /// What stays elsewhere after erasing.
    pub after: Vec<String>,
}

const HELD: [Kind; 6] = [Kind::Inquiry, Kind::Contact, Kind::Site, Kind::Visit, Kind::Finding, Kind::Photo];

/// The privacy page.
///
/// # Errors
/// Of SQLite.
pub fn privacy(view: &View<'_>) -> Result<PrivacyScreen> {
    let counts = view.notebook.counted()?;
    let (photos, bytes) = view.notebook.photos_held()?;
    let mut holds: Vec<Line> = HELD
        .iter()
        .map(|kind| {
            let n = counts.get(kind).copied().unwrap_or(0);
            Line { label: view.say(&format!("phone-holds-{}", kind.name())), text: crate::words::number(n) }
        })
        .collect();
    let given = view.with("phone-holds-size", [("n", &photos), ("size", &size(bytes, view.words))]);
    holds.push(Line { label: view.say("phone-holds-pictures"), text: given });
    let rule = view.notebook.letting_go()?;
    let rules = [
        (LetGo::Nothing, "nothing", "phone-let-go-nothing"),
        (LetGo::Originals, "originals", "phone-let-go-originals"),
        (LetGo::OriginalsAndContacts, "originals_and_contacts", "phone-let-go-contacts"),
    ];
    let (waits, some) = waiting(view, &view.notebook.unhanded()?);
    let erase = if some { view.with("phone-erase-loses", [("what", &waits)]) } else { view.say("phone-erase-nothing") };
    Ok(PrivacyScreen {
        holds,
        leaves: (1..=4).map(|n| view.say(&format!("phone-leaves-{n}"))).collect(),
        letting_go: rules
            .into_iter()
            .map(|(of, id, word)| Choice { id: id.into(), text: view.say(word), chosen: of == rule })
            .collect(),
        erase,
        after: vec![view.say("phone-erase-elsewhere"), view.say("phone-erase-office")],
    })
}
