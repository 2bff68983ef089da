//! The screens: each gives all that it shows, in the reader's language and units.

use std::path::Path;

use dooryard_core::view;

use super::{
    asking::{AskScreen, Fix, PlaceScreen, PlantScreen},
    handle::Screens,
    keeping::{BackupScreen, BinPage, ConflictScreen, FirstScreen, HandOverScreen, PrivacyScreen},
    lists::{HistoryPage, InquiryFilter, InquiryPage, InquiryScreen, LaterForm, LaterPage, Today},
    opened::{ContentScreen, LetGoOffer, OpenedFile},
    pictures::{Pending, PhotoScreen, SampleScreen, ShotScreen},
    shared::StopScreen,
    walking::{LetterScreen, LookScreen, TellScreen, ThinkScreen},
};
use crate::{errors::NotebookError, requests::RecordId};

/// Where the phone is, as its newest fix says.
#[derive(Clone, Copy, PartialEq, Debug, uniffi::Record)]
pub struct Here {
    /// Latitude in degrees, WGS 84.
    pub latitude: f64,
    /// Longitude in degrees, WGS 84.
    pub longitude: f64,
    /// Radius in meters within which it is.
    pub accuracy_m: f64,
}

#[uniffi::export]
impl Screens {
    /// The first screens, and the page of the office.
    ///
    /// # Errors
    /// `Storage`.
    pub fn first(&self) -> Result<FirstScreen, NotebookError> {
        Ok(view::first(&*self.book().core()?, &self.reader())?)
    }

    /// What an office's code says, before `FieldNotebook.join` takes it. Nothing is changed.
    ///
    /// # Errors
    /// `Refused` with `SCHEMA` (another text, or a wrong letter), `BAD_SIGNATURE`, `TOO_NEW`.
    pub fn read_code(&self, text: String) -> Result<FirstScreen, NotebookError> {
        Ok(view::read_code(&*self.book().core()?, &self.reader(), &text)?)
    }

    /// The first screen: what is due, what was begun, what waits to be handed over.
    ///
    /// # Errors
    /// `Storage`.
    pub fn today(&self) -> Result<Today, NotebookError> {
        self.seen(view::today)
    }

    /// What the screens speak from: the content's name, version, day, where it came from, whether it may be outdated.
    ///
    /// # Errors
    /// `ShutDown`.
    pub fn content(&self) -> Result<ContentScreen, NotebookError> {
        self.seen(|v| Ok(view::content(v, self.is_content_sent())))
    }

    /// Photos that can leave this phone now, because the office proved that it has them safely. Nothing is changed.
    ///
    /// # Errors
    /// `Storage`.
    pub fn let_go_offer(&self) -> Result<LetGoOffer, NotebookError> {
        self.seen(view::let_go_offer)
    }

    /// What a file is that somebody opened in the app. Nothing is taken in.
    ///
    /// # Errors
    /// `Storage` where it cannot be read.
    pub fn file_kind(&self, path: String) -> Result<OpenedFile, NotebookError> {
        self.seen(|v| view::file_kind(v, Path::new(&path)))
    }

    /// The form of a new question of an inquiry, with what is typed of it.
    ///
    /// # Errors
    /// `NotFound`.
    pub fn later_form(&self, inquiry: RecordId) -> Result<LaterForm, NotebookError> {
        self.seen(|v| view::later_form(v, inquiry))
    }

    /// A page of inquiries. `after` is the `next` of the page before, empty for the first.
    ///
    /// # Errors
    /// `Refused` for an end that is none; `Storage`.
    pub fn inquiries(
        &self,
        filter: InquiryFilter,
        words: String,
        after: String,
        limit: u32,
    ) -> Result<InquiryPage, NotebookError> {
        self.seen(|v| view::inquiries(v, filter, &words, &after, limit))
    }

    /// One inquiry.
    ///
    /// # Errors
    /// `NotFound`.
    pub fn inquiry(&self, inquiry: RecordId) -> Result<InquiryScreen, NotebookError> {
        self.seen(|v| view::inquiry(v, inquiry))
    }

    /// A page of the history of an inquiry, newest first.
    ///
    /// # Errors
    /// `NotFound`; `Refused` for an end that is none.
    pub fn history(&self, inquiry: RecordId, after: String, limit: u32) -> Result<HistoryPage, NotebookError> {
        self.seen(|v| view::history(v, inquiry, &after, limit))
    }

    /// An inquiry that is being taken.
    ///
    /// # Errors
    /// `NotFound`.
    pub fn ask(&self, inquiry: RecordId) -> Result<AskScreen, NotebookError> {
        self.seen(|v| view::ask(v, inquiry))
    }

    /// The stops of an inquiry. Ask for this one first where any screen has a halt.
    ///
    /// # Errors
    /// `NotFound`.
    pub fn stops(&self, inquiry: RecordId) -> Result<StopScreen, NotebookError> {
        self.seen(|v| view::stop_screen(v, inquiry))
    }

    /// A plant of an inquiry; a new one where `plant` is none.
    ///
    /// # Errors
    /// `NotFound`.
    pub fn plant(&self, inquiry: RecordId, plant: Option<RecordId>) -> Result<PlantScreen, NotebookError> {
        self.seen(|v| view::plant(v, inquiry, plant))
    }

    /// Where an inquiry is, with a scene of this width and height.
    ///
    /// # Errors
    /// `NotFound`.
    pub fn place(
        &self,
        inquiry: RecordId,
        width: f32,
        height: f32,
        here: Option<Here>,
    ) -> Result<PlaceScreen, NotebookError> {
        let here = here.map(|h| (h.latitude, h.longitude, h.accuracy_m));
        self.seen(|v| view::place(v, inquiry, (width, height), here))
    }

    /// What a fix of the phone is worth, in words: radius in meters, age in milliseconds.
    ///
    /// # Errors
    /// `Refused` for a radius that is none.
    pub fn fix(&self, accuracy_m: f64, age_ms: i64) -> Result<Fix, NotebookError> {
        self.seen(|v| view::fix(v, accuracy_m, age_ms))
    }

    /// A walk through a plant at one look; at the next one where `look` is empty. `answered` is the look that was answered last.
    ///
    /// # Errors
    /// `NotFound`.
    pub fn look(
        &self,
        inquiry: RecordId,
        plant: RecordId,
        look: String,
        answered: String,
    ) -> Result<LookScreen, NotebookError> {
        self.seen(|v| view::look(v, inquiry, plant, &look, &answered))
    }

    /// What it could be.
    ///
    /// # Errors
    /// `NotFound`.
    pub fn think(&self, inquiry: RecordId, plant: RecordId) -> Result<ThinkScreen, NotebookError> {
        self.seen(|v| view::think(v, inquiry, plant))
    }

    /// What to tell.
    ///
    /// # Errors
    /// `NotFound`.
    pub fn tell(&self, inquiry: RecordId, plant: RecordId) -> Result<TellScreen, NotebookError> {
        self.seen(|v| view::tell(v, inquiry, plant))
    }

    /// The letter in the language of this tag; in the resident's where it is empty.
    ///
    /// # Errors
    /// `NotFound`.
    pub fn letter(&self, inquiry: RecordId, plant: RecordId, language: String) -> Result<LetterScreen, NotebookError> {
        self.seen(|v| view::letter(v, inquiry, plant, &language))
    }

    /// The guided shots of a plant; of the place where `plant` is none.
    ///
    /// # Errors
    /// `NotFound`.
    pub fn shots(&self, inquiry: RecordId, plant: Option<RecordId>) -> Result<ShotScreen, NotebookError> {
        self.seen(|v| view::shots(v, inquiry, plant))
    }

    /// The shot that was begun and not taken in, also after the app was killed.
    ///
    /// # Errors
    /// `Storage`.
    pub fn pending_shot(&self) -> Result<Option<Pending>, NotebookError> {
        self.seen(view::pending_shot)
    }

    /// One photo.
    ///
    /// # Errors
    /// `NotFound`.
    pub fn photo(&self, photo: RecordId) -> Result<PhotoScreen, NotebookError> {
        self.seen(|v| view::photo(v, photo))
    }

    /// The samples of an inquiry.
    ///
    /// # Errors
    /// `NotFound`.
    pub fn samples(&self, inquiry: RecordId) -> Result<SampleScreen, NotebookError> {
        self.seen(|v| view::samples(v, inquiry))
    }

    /// A page of what is asked later, or was answered.
    ///
    /// # Errors
    /// `Refused` for an end that is none.
    pub fn later(&self, answered: bool, after: String, limit: u32) -> Result<LaterPage, NotebookError> {
        self.seen(|v| view::later(v, answered, &after, limit))
    }

    /// Handing over, with a page of where each inquiry is.
    ///
    /// # Errors
    /// `Refused` for an end that is none.
    pub fn hand_over_page(&self, after: String, limit: u32) -> Result<HandOverScreen, NotebookError> {
        self.seen(|v| view::hand_over_screen(v, &after, limit))
    }

    /// What two wrote otherwise, of one inquiry or of all.
    ///
    /// # Errors
    /// `NotFound`.
    pub fn conflicts(&self, inquiry: Option<RecordId>) -> Result<ConflictScreen, NotebookError> {
        self.seen(|v| view::conflicts(v, inquiry))
    }

    /// A page of the bin.
    ///
    /// # Errors
    /// `Refused` for an end that is none.
    pub fn bin(&self, after: String, limit: u32) -> Result<BinPage, NotebookError> {
        self.seen(|v| view::bin(v, &after, limit))
    }

    /// What this phone holds, what leaves it, what erasing loses.
    ///
    /// # Errors
    /// `Storage`.
    pub fn privacy(&self) -> Result<PrivacyScreen, NotebookError> {
        self.seen(view::privacy)
    }

    /// Backups and one's own data.
    ///
    /// # Errors
    /// `Storage`.
    pub fn backup(&self) -> Result<BackupScreen, NotebookError> {
        self.seen(view::backup)
    }
}
