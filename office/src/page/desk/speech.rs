//! What the pack calls things, in the language of a page.

use std::ops::Deref;

use dooryard_core::{
    key::{Language, Pack},
    tell,
};

use crate::page::frame::Frame;

/// The pack in the language of a page.
#[derive(Clone, Copy)]
pub(super) struct Speech<'p> {
    told: tell::Speech<'p>,
    pub(super) language: Language,
    pub(super) frame: &'p Frame,
}

impl<'p> Speech<'p> {
    pub(super) fn of(pack: &'p Pack, frame: &'p Frame) -> Self {
        Self { told: tell::Speech { pack, words: frame.words }, language: frame.words.0, frame }
    }
}

impl<'p> Deref for Speech<'p> {
    type Target = tell::Speech<'p>;

    fn deref(&self) -> &tell::Speech<'p> {
        &self.told
    }
}
