//! What a person does on the screens: each act is in the notebook when it returns, and gives the screen as it is then.

use std::path::Path;

use dooryard_core::view;

use super::{
    asking::{AskScreen, MapScene, PlantScreen},
    handle::Screens,
    lists::InquiryScreen,
    opened::Form,
    shared::{Screen, StopScreen, Undo},
    walking::{LetterScreen, LookScreen, TellScreen},
};
use crate::{errors::NotebookError, requests::RecordId};

#[uniffi::export]
impl Screens {
    /// Begins an inquiry: it is in the notebook when this returns. `channel` is `yard` where it is empty.
    ///
    /// # Errors
    /// `Invalid`; `Refused` with `NO_SPACE`.
    pub fn begin(&self, channel: String) -> Result<RecordId, NotebookError> {
        self.done(|v| view::begin(v, &channel))
    }

    /// Begins an inquiry about the same plants at the same place: another visit. Nothing of the person, of what was said or found
    /// goes with it.
    ///
    /// # Errors
    /// `Refused` with `FORBIDDEN_FIELD` for an inquiry under seal; `NotFound`; as `begin`.
    pub fn again(&self, inquiry: RecordId) -> Result<RecordId, NotebookError> {
        self.done(|v| view::again(v, inquiry))
    }

    /// Keeps where somebody is, so that the app opens there again.
    ///
    /// # Errors
    /// `Storage`.
    pub fn keep_place(
        &self,
        screen: Screen,
        inquiry: RecordId,
        plant: Option<RecordId>,
        look: String,
    ) -> Result<(), NotebookError> {
        self.seen(|v| view::keep_place(v, screen, inquiry, plant, &look))
    }

    /// Forgets it: somebody went back to the first screen.
    ///
    /// # Errors
    /// `Storage`.
    pub fn leave_place(&self) -> Result<(), NotebookError> {
        self.seen(view::leave_place)
    }

    /// Keeps what stands in a field of an inquiry; writes it into the records when it is `left`.
    ///
    /// # Errors
    /// `Refused` with `SCHEMA` for a field or choice that there is not, `FORBIDDEN_FIELD` where nothing of the person is kept.
    pub fn write(
        &self,
        inquiry: RecordId,
        field: String,
        text: String,
        left: bool,
    ) -> Result<AskScreen, NotebookError> {
        self.done(|v| view::write(v, inquiry, &field, &text, left))
    }

    /// Answers a safety question: `yes`, `unsure`, `no`, or nothing.
    ///
    /// # Errors
    /// `Refused` for a question or answer that there is not.
    pub fn answer_question(
        &self,
        inquiry: RecordId,
        question: String,
        answer: String,
    ) -> Result<AskScreen, NotebookError> {
        self.done(|v| view::answer_question(v, inquiry, &question, &answer))
    }

    /// Puts an inquiry down.
    ///
    /// # Errors
    /// `NotFound`.
    pub fn finish(&self, inquiry: RecordId) -> Result<InquiryScreen, NotebookError> {
        self.done(|v| {
            view::finish(v, inquiry)?;
            view::inquiry(v, inquiry)
        })
    }

    /// Writes down that a stop was read, now and in this wording.
    ///
    /// # Errors
    /// `NotFound` when no such stop stands.
    pub fn read_stop(&self, inquiry: RecordId, stop: String) -> Result<StopScreen, NotebookError> {
        self.done(|v| view::read_stop(v, inquiry, &stop))
    }

    /// Keeps what stands in a field of a plant; makes the plant with its first one.
    ///
    /// # Errors
    /// `Refused` for a field or choice that there is not; `NotFound`.
    pub fn write_plant(
        &self,
        inquiry: RecordId,
        plant: Option<RecordId>,
        field: String,
        text: String,
        left: bool,
    ) -> Result<PlantScreen, NotebookError> {
        self.done(|v| view::write_plant(v, inquiry, plant, &field, &text, left))
    }

    /// Keeps what stands in a field of the place; `hazard` sets or takes one.
    ///
    /// # Errors
    /// `Refused` for a field or choice that there is not.
    pub fn write_place(&self, inquiry: RecordId, field: String, text: String, left: bool) -> Result<(), NotebookError> {
        self.done(|v| view::write_place(v, inquiry, &field, &text, left))
    }

    /// Keeps a position: of a fix where there is a radius in meters, else of a pin.
    ///
    /// # Errors
    /// `Refused` with `FORBIDDEN_FIELD` where none is kept; `Invalid` for degrees that are none.
    pub fn set_place(
        &self,
        inquiry: RecordId,
        latitude: f64,
        longitude: f64,
        accuracy_m: Option<f64>,
    ) -> Result<(), NotebookError> {
        self.done(|v| view::set_place(v, inquiry, latitude, longitude, accuracy_m))
    }

    /// Takes the position away: the place is known by its words alone from then on. That can be undone.
    ///
    /// # Errors
    /// `NotFound` while there is no position.
    pub fn clear_place(&self, inquiry: RecordId) -> Result<Undo, NotebookError> {
        self.done(|v| view::clear_place(v, inquiry))
    }

    /// Moves the pin to where its scene was touched.
    ///
    /// # Errors
    /// As `set_place`.
    pub fn move_pin(&self, inquiry: RecordId, scene: MapScene, x: f32, y: f32) -> Result<(), NotebookError> {
        self.done(|v| view::move_pin(v, inquiry, &scene, x, y))
    }

    /// Moves the pin by meters to the east and to the north.
    ///
    /// # Errors
    /// `NotFound` while there is no position; as `set_place`.
    pub fn nudge_pin(&self, inquiry: RecordId, east_m: f64, north_m: f64) -> Result<(), NotebookError> {
        self.done(|v| view::nudge_pin(v, inquiry, east_m, north_m))
    }

    /// Saves an answer to a look and goes on to the next one. `comfort` is 1 to 3, 0 where nobody said.
    ///
    /// # Errors
    /// `Refused` for answers that cannot be true at once; `NotFound`.
    pub fn answer(
        &self,
        inquiry: RecordId,
        plant: RecordId,
        look: String,
        picked: Vec<String>,
        absent: Vec<String>,
        comfort: u8,
    ) -> Result<LookScreen, NotebookError> {
        self.done(|v| view::answer(v, inquiry, plant, &look, &picked, &absent, comfort))
    }

    /// Takes back what this phone wrote down of a look, and asks it again.
    ///
    /// # Errors
    /// `NotFound` when there is nothing to take back.
    pub fn take_back(&self, inquiry: RecordId, plant: RecordId, look: String) -> Result<LookScreen, NotebookError> {
        self.done(|v| view::take_back(v, inquiry, plant, &look))
    }

    /// Writes down that it was told, and what is asked later; `due` is empty for never.
    ///
    /// # Errors
    /// `Refused` for a way or a day that is none, and while a stop is unread.
    pub fn told(
        &self,
        inquiry: RecordId,
        plant: RecordId,
        how: String,
        read_back: bool,
        due: String,
    ) -> Result<TellScreen, NotebookError> {
        self.done(|v| view::told_it(v, inquiry, plant, &how, read_back, &due))
    }

    /// Says a part of the letter otherwise.
    ///
    /// # Errors
    /// `NotFound` for a part that there is not; `Refused` with `TOO_BIG`.
    pub fn write_piece(
        &self,
        inquiry: RecordId,
        plant: RecordId,
        language: String,
        piece: String,
        text: String,
    ) -> Result<LetterScreen, NotebookError> {
        self.done(|v| view::write_piece(v, inquiry, plant, &language, &piece, &text))
    }

    /// Tells a cause in the letter, or leaves it out.
    ///
    /// # Errors
    /// `NotFound` for a cause that is not told.
    pub fn leave_out(
        &self,
        inquiry: RecordId,
        plant: RecordId,
        language: String,
        cause: String,
        left_out: bool,
    ) -> Result<LetterScreen, NotebookError> {
        self.done(|v| view::leave_out(v, inquiry, plant, &language, &cause, left_out))
    }

    /// Writes the letter into a folder for the share sheet: a page to print, and plain text. Gives both paths.
    ///
    /// # Errors
    /// `Refused` with `FORBIDDEN_FIELD` where no letter goes out; `Storage`.
    pub fn letter_files(
        &self,
        inquiry: RecordId,
        plant: RecordId,
        language: String,
        folder: String,
    ) -> Result<Vec<String>, NotebookError> {
        self.seen(|v| view::letter_files(v, inquiry, plant, &language, Path::new(&folder)))
    }

    /// Puts down a question for a day, `2026-08-03`.
    ///
    /// # Errors
    /// `Refused` for a day that is past or none.
    pub fn ask_later(&self, inquiry: RecordId, due: String, question: String) -> Result<RecordId, NotebookError> {
        self.done(|v| view::ask_later(v, inquiry, &due, &question))
    }

    /// Writes down the answer to a follow-up, what the resident did, how the plant is.
    ///
    /// # Errors
    /// `Refused` for an outcome that is none; `NotFound`.
    pub fn answer_later(
        &self,
        follow_up: RecordId,
        answer: String,
        did: String,
        outcome: String,
    ) -> Result<(), NotebookError> {
        self.done(|v| view::answer_later(v, follow_up, &answer, &did, &outcome))
    }

    /// Keeps what stands in a field of a form, letter by letter, under the record that it belongs to. Where that record is there already
    /// (an answer, a sample, a caption) and the field is `left`, it is written into it; else it waits for the act that makes a record
    /// of it (`ask_later`, `take_sample`, `hand_over_sample`, `told`).
    ///
    /// # Errors
    /// `Refused` for a field that there is not; `NotFound`; `Invalid`, and what was typed stays kept.
    pub fn type_in(
        &self,
        form: Form,
        record: RecordId,
        field: String,
        text: String,
        left: bool,
    ) -> Result<(), NotebookError> {
        let typed = |v: &view::View<'_>| view::type_in(v, form, record, &field, &text, left);
        if left { self.done(typed) } else { self.seen(typed) }
    }

    /// Keeps one value of a conflict, by its change.
    ///
    /// # Errors
    /// `NotFound` when it was settled meanwhile.
    pub fn keep_one(&self, record: RecordId, field: String, change: String) -> Result<(), NotebookError> {
        self.done(|v| view::keep_one(v, record, &field, &change))
    }

    /// Keeps one value, and the others as a note.
    ///
    /// # Errors
    /// `NotFound` when it was settled meanwhile; `Refused` where there is no note.
    pub fn keep_both(&self, record: RecordId, field: String, change: String) -> Result<(), NotebookError> {
        self.done(|v| view::keep_both(v, record, &field, &change))
    }

    /// Takes a record away: it is in the bin, and can be brought back.
    ///
    /// # Errors
    /// `Refused` for what cannot be taken away; `NotFound`.
    pub fn take_away(&self, record: RecordId) -> Result<Undo, NotebookError> {
        self.done(|v| view::take_away(v, record))
    }

    /// Does the contrary of what was done last.
    ///
    /// # Errors
    /// `Refused` for a position where a child asks or a stop says so by now; `NotFound`.
    pub fn undo(&self, undo: Undo) -> Result<(), NotebookError> {
        self.done(|v| view::undo(v, &undo))
    }

    /// Brings a record back out of the bin.
    ///
    /// # Errors
    /// `NotFound`.
    pub fn bring_back(&self, record: RecordId) -> Result<(), NotebookError> {
        self.done(|v| view::bring_back(v, record))
    }
}
