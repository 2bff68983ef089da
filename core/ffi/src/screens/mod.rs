//! The phones' screens across the boundary: one call a screen, one call an act, each thin.
//!
//! [`Screens`] holds the notebook, the content and who reads. The records here are mirrors of [`dooryard_core::view`]'s; words,
//! units and rules are all the core's.

mod acts;
mod asking;
mod content;
mod handle;
mod keeping;
mod listening;
mod lists;
mod long;
mod opened;
mod pictures;
mod shared;
mod shown;
mod taking;
mod walking;

pub use asking::{
    AskField, AskScreen, FieldKind, Fix, HostGroup, MapScene, MapShape, MapShapeKind, Near, PlaceScreen, PlantScreen,
    Question,
};
pub use handle::{Screens, erase_notebook};
pub use keeping::{
    BackupScreen, BinPage, BinRow, ConflictRow, ConflictScreen, Enrolling, FirstScreen, HandOverScreen, HandedOver,
    PrivacyScreen, ReplyTold, WayRow, Wrote,
};
pub use listening::{ChangeListener, Listening};
pub use lists::{
    HistoryPage, HistoryRow, InquiryFilter, InquiryPage, InquiryRow, InquiryScreen, LaterForm, LaterPage, LaterRow,
    PastVisit, PlantRow, Today, Useful,
};
pub use opened::{ContentScreen, FileKind, Form, LetGoOffer, OpenedFile};
pub use pictures::{Pending, PhotoCard, PhotoScreen, SampleCard, SampleScreen, SampleStep, ShotRow, ShotScreen};
pub use shared::{Choice, Language, Line, Reader, Resume, Screen, StopCard, StopScreen, Undo, Units};
pub use shown::Here;
pub use walking::{
    AnswerRow, CauseCard, LetterScreen, LookCard, LookRow, LookScreen, PartRows, PieceRow, TellGroup, TellScreen,
    ThinkScreen,
};
