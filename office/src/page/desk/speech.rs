//! What the pack calls things, in the language of a page. What is regulated is named on no page.

use dooryard_core::key::{Escalate, Language, Pack};

use crate::page::{
    frame::Frame,
    words::{sentence_case, spaced},
};

/// The pack in the language of a page.
#[derive(Clone, Copy)]
pub(super) struct Speech<'p> {
    pub(super) pack: &'p Pack,
    pub(super) language: Language,
    pub(super) frame: &'p Frame,
}

impl<'p> Speech<'p> {
    pub(super) fn of(pack: &'p Pack, frame: &'p Frame) -> Self {
        Self { pack, language: frame.words.0, frame }
    }

    /// The host's name; that it is not known where the pack has none with this id.
    pub(super) fn host(&self, id: &str) -> String {
        let known = self.pack.host(id).map(|host| host.name.get(self.language).to_owned());
        known.unwrap_or_else(|| self.frame.say("desk-host-unknown"))
    }

    /// The cause's name. A regulated one is not named.
    pub(super) fn cause(&self, id: &str) -> String {
        if self.is_regulated(id) {
            return self.frame.say("desk-cause-regulated");
        }
        let known = self.pack.cause(id).map(|cause| cause.name.get(self.language).to_owned());
        known.unwrap_or_else(|| sentence_case(&spaced(id)))
    }

    /// Whether the cause is a regulated one.
    pub(super) fn is_regulated(&self, id: &str) -> bool {
        self.pack.cause(id).is_some_and(|cause| cause.escalate == Escalate::Regulated)
    }

    /// What a character is called.
    pub(super) fn label(&self, id: &str) -> String {
        self.pack.character(id).map_or_else(|| sentence_case(&spaced(id)), |c| c.label.get(self.language).to_owned())
    }

    /// What a state of a character says.
    pub(super) fn state(&self, character: &str, state: &str) -> String {
        let known = self.pack.character(character).and_then(|c| c.states.get(c.state_index(state)?));
        known.map_or_else(|| sentence_case(&spaced(state)), |s| s.text.get(self.language).to_owned())
    }
}
