//! What records and the key say to people, in their language: one place for the office page and the phones.
//!
//! Comes in: records, what the key found, and the reader's language. Goes out: words, sentences and rows ready to be shown.
//! Nothing here reads a store or decides what is so. What is regulated is named nowhere; what is private only when asked for.

mod causes;
pub mod history;
pub mod lines;
mod look;
mod looked;
pub mod names;
pub mod place;
pub mod samples;
pub mod saves;
pub mod say;
pub mod shots;
mod speech;
mod steps;
pub mod stops;
#[cfg(test)]
pub(crate) mod tests;

pub use causes::{Causes, Row as CauseRow, causes};
pub use look::{LookView, StateView, cost, look};
pub use looked::{Looked, looked};
pub use names::Names;
pub use say::Say;
pub use speech::Speech;
pub use steps::{Told, told};
pub use stops::{Halt, halts};
