//! A device's own store: one SQLite file, photos beside it, its keys, all in one folder.
//!
//! In come saves of a person, segments and statements from bundles and replies; out come records, lists, histories and
//! conflicts. The office's store is the same code with the role `office`. The merge itself is [`crate::log`]'s.
//!
//! ```text
//! notebook.db      the log and what is derived from it
//! photos/          originals and thumbnails under their content addresses
//! notebook.scratch-*   copies at work, for a backup or a restore
//! local/           device.key (mode 0600), those that were lost, and incarnation: never in a backup
//! ```

mod backup;
mod blobs;
mod card;
mod carried;
mod changed;
mod columns;
mod conflict;
mod counted;
mod damaged;
mod due;
mod enrolled;
mod erase_folder;
mod erased;
mod former;
mod gaps;
mod given_out;
mod identity;
mod image;
mod incoming;
mod invited;
mod letting_go;
mod list;
mod merge;
mod merge_beside;
mod near;
mod new_key;
mod open;
mod outbound;
mod pages;
mod read;
mod recover;
mod replies;
mod safe;
mod save;
mod schema;
mod scratch;
mod secrets;
mod shown;
mod snapshot;
mod sound;
mod store;
mod take;
mod underway;
mod unpack;
mod view;

pub use backup::{BackedUp, BackupHead, BackupSort};
pub use changed::Changed;
pub use damaged::DamagedFile;
pub use due::DueAsk;
pub use erased::UNDO;
pub use gaps::Gap;
pub use identity::{
    Card, DeviceKeys, Request, read_answer, recipient_bytes, recipient_text, seal_identity, write_answer, write_secret,
};
pub use image::Image;
pub use invited::Invited;
pub use letting_go::{LetGo, LetGone};
pub use merge::Merged;
pub use open::Notebook;
pub use outbound::{BlobRow, LogState};
pub use pages::{Only, PageAsk, PageKey};
pub use recover::Recovered;
pub use replies::Way;
pub use schema::newest_version;
pub use secrets::{OwnerOnlyFile, Secrets};
pub use snapshot::SnapshotRow;
pub use store::Rows;
pub use underway::Unhanded;
pub use unpack::Unpacked;
pub use view::{Author, Conflict, FieldView, HistoryEntry, LiveValue, Page, Query, Record, Summary};
