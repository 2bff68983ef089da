//! A device's own store: SQLite, photos beside it, one folder.

mod view;

pub use view::{Author, Conflict, FieldView, HistoryEntry, LiveValue, Page, Query, Record, Summary};
