//! The boundary to Kotlin and Swift: converts, calls the core, converts back. No decision is taken here.
//!
//! In come plain values, paths and JSON of fields; out go view records, ids as text and [`NotebookError`]s. Everything
//! is synchronous: the phone chooses the thread. Types that cross unchanged are mirrors of the core's own
//! (`uniffi::remote`): when the core changes, the mirror no longer compiles.

mod conversions;
mod enrolment;
mod errors;
mod kept;
mod notebook;
mod progress;
mod rehearsal;
mod requests;
mod screens;
mod secrets;
mod views;

pub use enrolment::{EnrolmentView, InvitationView};
pub use errors::{FieldCode, FieldProblem, NotebookError, Retry};
pub use kept::{BackedUp, Exported, Imported, LetGo, LetGone, Merged};
pub use notebook::FieldNotebook;
pub use progress::{CancelToken, ProgressListener};
pub use rehearsal::StageClock;
pub use requests::{FieldEquals, Kind, ListRequest, RecordId};
pub use screens::*;
pub use secrets::{Secrets, SecretsError};
pub use views::{
    AuthorView, Bilingual, BundleSummary, ConflictView, FieldView, HistoryEntryView, LiveValueView, NamedValueView,
    PageView, RecordView, ReplyView, Role, SummaryView, WaitingView, Way,
};

uniffi::setup_scaffolding!();
