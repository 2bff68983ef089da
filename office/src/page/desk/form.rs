//! The form in which a call is taken down, ready to be drawn.

use std::collections::BTreeMap;

use dooryard_core::{ids::RecordId, record::Kind};

use super::{
    call::{CONSENTS, Call, Problem},
    speech::Speech,
};
use crate::{
    ledger::every,
    page::{
        routes::Desk,
        trouble::Trouble,
        words::{sentence_case, spaced},
    },
};

/// One choice of a list: (value, words, chosen).
pub(super) type Options = Vec<(String, String, bool)>;

/// The form.
pub(super) struct Form {
    pub(super) call: Call,
    pub(super) channels: Options,
    pub(super) languages: Options,
    pub(super) preferred: Options,
    pub(super) wishes: Options,
    pub(super) urgencies: Options,
    pub(super) comforts: Options,
    /// Hosts by group.
    pub(super) hosts: Vec<(String, Options)>,
    /// Townships that the office has heard of.
    pub(super) townships: Vec<String>,
    /// Safety questions: (id, question, answer).
    pub(super) questions: Vec<(String, String, String)>,
    /// What the resident may agree to: (field, words, agreed).
    pub(super) consents: Vec<(String, String, bool)>,
    /// Photos that came with the call.
    pub(super) photos: Vec<RecordId>,
    problems: BTreeMap<&'static str, String>,
}

impl Form {
    /// The form of a call, with what is wrong in it beside the fields.
    pub(super) fn new(call: Call, problems: &[Problem], speech: &Speech<'_>, townships: Vec<String>) -> Self {
        let say = |id: &str| speech.frame.say(id);
        let options = |name: &str, ids: &[&str]| -> Options {
            let one = |id: &&str| {
                ((*id).to_owned(), say(&format!("desk-{name}-{}", id.replace('_', "-"))), call.text(name) == *id)
            };
            ids.iter().map(one).collect()
        };
        let problems = problems.iter().map(|(field, why)| (*field, say(why))).collect();
        let consent = |name: &&str| {
            let field = format!("may_{name}");
            let words = say(&format!("desk-may-{}", name.replace('_', "-")));
            let agreed = call.text(&field) == "yes";
            (field, words, agreed)
        };
        let question = |q: &dooryard_core::key::Question| {
            (q.id.clone(), q.ask.get(speech.language).to_owned(), call.answer(&q.id).to_owned())
        };
        Self {
            channels: options("channel", &["phone", "email", "clinic_table", "yard", "letter", "school"]),
            languages: options("language", &["en", "es", "other"]),
            preferred: options("preferred", &["phone", "email", "letter", "none"]),
            wishes: options(
                "wish",
                &["save_it", "know_it_is_safe", "replace_it", "eat_it", "stop_it_spreading", "know"],
            ),
            urgencies: options("urgency", &["today", "this_week", "ordinary"]),
            comforts: options("comfort", &["1", "2", "3"])
                .into_iter()
                .map(|(value, words, _)| (value.clone(), words, call.text("host_comfort") == value))
                .collect(),
            hosts: hosts(speech, call.text("host")),
            townships,
            questions: speech.pack.questions.iter().map(question).collect(),
            consents: CONSENTS.iter().map(consent).collect(),
            photos: Vec::new(),
            problems,
            call,
        }
    }

    /// With the photos of an inquiry.
    pub(super) fn with_photos(mut self, desk: &Desk, inquiry: RecordId) -> Result<Self, Trouble> {
        let query =
            dooryard_core::notebook::Query { kind: Some(Kind::Photo), refers_to: Some(inquiry), ..Default::default() };
        self.photos = every(desk.notebook(), &query)?.into_iter().map(|row| row.id).collect();
        self.photos.sort_unstable();
        Ok(self)
    }

    /// What stands in a field.
    pub(super) fn text(&self, name: &str) -> &str {
        self.call.text(name)
    }

    /// What is wrong with a field; nothing when it is well.
    pub(super) fn problem(&self, name: &str) -> &str {
        self.problems.get(name).map_or("", String::as_str)
    }

    /// Whether anything is wrong.
    pub(super) fn has_problems(&self) -> bool {
        !self.problems.is_empty()
    }
}

/// All hosts by group, for a list of choices.
pub(super) fn hosts(speech: &Speech<'_>, chosen: &str) -> Vec<(String, Options)> {
    let mut groups: Vec<(String, Options)> = Vec::new();
    for host in &speech.pack.hosts {
        let name = format!("desk-group-{}", host.group.replace('_', "-"));
        let known = speech.frame.words.has(&name).then(|| speech.frame.say(&name));
        let group = known.unwrap_or_else(|| sentence_case(&spaced(&host.group)));
        let row = (host.id.clone(), host.name.get(speech.language).to_owned(), host.id == chosen);
        match groups.iter_mut().find(|(known, _)| *known == group) {
            Some((_, rows)) => rows.push(row),
            None => groups.push((group, vec![row])),
        }
    }
    groups
}
