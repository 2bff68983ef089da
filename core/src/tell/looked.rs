//! What was looked at on a plant and what was found there, look by look.

use super::Speech;
use crate::key::{Observation, Status};

/// What was looked at.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Looked {
    /// Id of the character.
    pub character: String,
    /// What it is called.
    pub label: String,
    /// What was found: (mark, words).
    pub found: Vec<(&'static str, String)>,
}

/// The statuses with their marks and words.
const MARKS: [(Status, &str, &str); 4] = [
    (Status::Seen, "seen", "key-seen"),
    (Status::Absent, "bare", "key-absent"),
    (Status::Unsure, "unclear", "key-unsure"),
    (Status::NotLooked, "unlooked", "key-not-looked"),
];

/// Everything that was looked at, in the order of the pack.
pub fn looked(findings: &[Observation], speech: &Speech<'_>) -> Vec<Looked> {
    let mut rows = Vec::new();
    for character in &speech.pack.characters {
        let of: Vec<_> = findings.iter().filter(|f| f.character == character.id).collect();
        let found = MARKS.iter().flat_map(|(status, mark, word)| {
            let word = speech.words.say(word);
            of.iter().filter(|f| f.status == *status).map(move |f| {
                let state = f.state.as_deref().map(|s| speech.state(&character.id, s));
                // Looked, and nothing is wrong there: pegs and string, and nothing stands on it.
                let sound = f.state.as_deref().and_then(|s| character.state_index(s)) == Some(character.normal);
                let mark = if sound && *status == Status::Seen { "bare" } else { *mark };
                (mark, state.map_or_else(|| word.clone(), |state| format!("{state} ({})", word.to_lowercase())))
            })
        });
        let found: Vec<(&'static str, String)> = found.collect();
        if !found.is_empty() {
            rows.push(Looked { character: character.id.clone(), label: speech.label(&character.id), found });
        }
    }
    rows
}
