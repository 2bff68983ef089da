//! Taking pictures and samples: each act is in the notebook when it returns, and gives the screen as it is then.

use std::path::Path;

use dooryard_core::view;

use super::{
    handle::Screens,
    pictures::{Pending, PhotoScreen, SampleScreen, ShotScreen},
};
use crate::{errors::NotebookError, requests::RecordId};

#[uniffi::export]
impl Screens {
    /// Writes down that a shot is about to be taken, and gives the file that the camera is to write.
    ///
    /// # Errors
    /// `Refused` for a shot that is none; `NotFound`; `Storage`.
    pub fn expect_shot(
        &self,
        inquiry: RecordId,
        plant: Option<RecordId>,
        part: String,
        scale: String,
        look: String,
    ) -> Result<Pending, NotebookError> {
        self.done(|v| view::expect_shot(v, inquiry, plant, &part, &scale, &look))
    }

    /// Takes in what the camera wrote.
    ///
    /// # Errors
    /// `NotFound` when no shot was begun or the camera wrote nothing; `Refused` with `NO_SPACE`: the shot stays.
    pub fn take_shot(&self) -> Result<ShotScreen, NotebookError> {
        self.done(view::take_shot)
    }

    /// Gives up the shot that was begun.
    ///
    /// # Errors
    /// `Storage`.
    pub fn give_up_shot(&self) -> Result<(), NotebookError> {
        self.done(view::give_up_shot)
    }

    /// Takes in a photo from the gallery, with the date that stands in it. What was answered to the `look` names it, where there is one.
    ///
    /// # Errors
    /// `NotFound`; `Refused` when it is no photo that can be kept.
    pub fn import_photo(
        &self,
        inquiry: RecordId,
        plant: Option<RecordId>,
        part: String,
        look: String,
        path: String,
    ) -> Result<ShotScreen, NotebookError> {
        self.done(|v| view::import_photo(v, inquiry, plant, &part, &look, Path::new(&path)))
    }

    /// Skips a shot of the set, or asks for it again.
    ///
    /// # Errors
    /// `Refused` for a shot that is none; `NotFound`.
    pub fn skip_shot(
        &self,
        inquiry: RecordId,
        plant: Option<RecordId>,
        part: String,
        skipped: bool,
    ) -> Result<ShotScreen, NotebookError> {
        self.done(|v| view::skip_shot(v, inquiry, plant, &part, skipped))
    }

    /// Writes `part`, `scale` or `caption` of a photo.
    ///
    /// # Errors
    /// `Refused` for another field or choice; `NotFound`.
    pub fn caption(&self, photo: RecordId, field: String, text: String) -> Result<PhotoScreen, NotebookError> {
        self.done(|v| view::caption(v, photo, &field, &text))
    }

    /// Moves a photo one place `earlier` among those of its inquiry, or later.
    ///
    /// # Errors
    /// `NotFound`.
    pub fn move_photo(&self, photo: RecordId, earlier: bool) -> Result<PhotoScreen, NotebookError> {
        self.done(|v| view::move_photo(v, photo, earlier))
    }

    /// Writes down that a sample was taken.
    ///
    /// # Errors
    /// `NotFound`; `Invalid`.
    pub fn take_sample(
        &self,
        inquiry: RecordId,
        plant: Option<RecordId>,
        part: String,
        pieces: u32,
        seal: String,
        kept_cool: bool,
    ) -> Result<SampleScreen, NotebookError> {
        self.done(|v| view::take_sample(v, inquiry, plant, &part, pieces, &seal, kept_cool))
    }

    /// Writes `accession`, `seal` or `disposal` of a sample.
    ///
    /// # Errors
    /// `Refused` for another field; `NotFound`.
    pub fn write_sample(&self, sample: RecordId, field: String, text: String) -> Result<SampleScreen, NotebookError> {
        self.done(|v| view::write_sample(v, sample, &field, &text))
    }

    /// Writes down one hand-over of a sample, now.
    ///
    /// # Errors
    /// `Refused` without who took it; `NotFound`.
    pub fn hand_over_sample(
        &self,
        sample: RecordId,
        to: String,
        condition: String,
    ) -> Result<SampleScreen, NotebookError> {
        self.done(|v| view::hand_over_sample(v, sample, &to, &condition))
    }
}
