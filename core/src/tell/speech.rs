//! What the pack calls things, in the language of whoever reads. What is regulated is named nowhere.

use crate::{
    key::{Escalate, Pack},
    words::{Words, sentence_case, spaced},
};

/// The pack in one language.
#[derive(Clone, Copy, Debug)]
pub struct Speech<'p> {
    /// The pack.
    pub pack: &'p Pack,
    /// Sentences in the same language.
    pub words: Words,
}

impl Speech<'_> {
    /// The host's name; that it is not known where the pack has none with this id.
    pub fn host(&self, id: &str) -> String {
        let known = self.pack.host(id).map(|host| host.name.get(self.words.0).to_owned());
        known.unwrap_or_else(|| self.words.say("key-host-unknown"))
    }

    /// The cause's name. A regulated one is not named.
    pub fn cause(&self, id: &str) -> String {
        if self.is_regulated(id) {
            return self.words.say("key-cause-regulated");
        }
        let known = self.pack.cause(id).map(|cause| cause.name.get(self.words.0).to_owned());
        known.unwrap_or_else(|| sentence_case(&spaced(id)))
    }

    /// Whether the cause is a regulated one.
    pub fn is_regulated(&self, id: &str) -> bool {
        self.pack.cause(id).is_some_and(|cause| cause.escalate == Escalate::Regulated)
    }

    /// What a character is called.
    pub fn label(&self, id: &str) -> String {
        self.pack.character(id).map_or_else(|| sentence_case(&spaced(id)), |c| c.label.get(self.words.0).to_owned())
    }

    /// What a state of a character says.
    pub fn state(&self, character: &str, state: &str) -> String {
        let known = self.pack.character(character).and_then(|c| c.states.get(c.state_index(state)?));
        known.map_or_else(|| sentence_case(&spaced(state)), |s| s.text.get(self.words.0).to_owned())
    }
}
