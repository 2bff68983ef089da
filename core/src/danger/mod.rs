//! Free text read for danger: which stops the words of a resident or a scout raise, in English, Spanish or a mix of both.
//!
//! What comes in: a text as people write it, with typos, without accents, in whatever language. What goes out: the stops
//! it raises, with the words that raised them, in the order in which stops are shown. Reading only ever adds a stop: there
//! is no answer that takes one away, and one passage never hides what another one says.
//!
//! The patterns of `lexicon/` find what people say of a danger, which words turn it into a figure of speech, and where a
//! "no" counts. The likeness, a linear model trained on messages, weighs what they found with everything else that was
//! written, passage by passage, and decides. Nothing here stores, reads a file or knows a clock.

mod concepts;
mod grammar;
mod held;
mod lexicon;
mod likeness;
mod passage;
mod patterns;
mod spelling;
mod words;

#[cfg(test)]
mod tests;

use lexicon::Lexicon;
pub use lexicon::STOPS;
use likeness::Likeness;
use passage::Passage;
use words::Words;

/// What is read of a text, bytes. What goes beyond is read at its end, as far as there is room: the middle is left out.
const MOST: usize = 200_000;

/// How a stop was found.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Found {
    /// A pattern of the stop matched, too: what the words say.
    Said,
    /// The text is like messages that raise it; no pattern of the stop matched.
    Alike,
}

/// A stop that a text raises.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Danger {
    /// Id, one of [`STOPS`].
    pub stop: &'static str,
    /// The words of the text that raised it, as they were written.
    pub phrase: String,
    /// How it was found.
    pub found: Found,
}

/// The stops that a text raises, each once, in the order of [`STOPS`].
pub fn read(text: &str) -> Vec<Danger> {
    let lexicon = Lexicon::get();
    let likeness = Likeness::get();
    let mut raised: [Option<Danger>; STOPS.len()] = [const { None }; STOPS.len()];
    for part in parts(text) {
        let words = Words::of(part, lexicon);
        for tokens in words.passages() {
            let passage = Passage::of(tokens, lexicon);
            let said = passage.said(lexicon);
            for ((slot, id), judged) in raised.iter_mut().zip(STOPS).zip(likeness.judge(&passage, &said)) {
                let Some((at, found)) = judged else { continue };
                if slot.as_ref().is_none_or(|old| old.found == Found::Alike && found == Found::Said) {
                    *slot = Some(Danger { stop: id, phrase: words.phrase(part, passage.tokens, at), found });
                }
            }
        }
    }
    raised.into_iter().flatten().collect()
}

/// A text in the parts that are read: the whole of it, or of a huge one its beginning and its end.
fn parts(text: &str) -> Vec<&str> {
    if text.len() <= MOST {
        return vec![text];
    }
    let head = text.get(..text.floor_char_boundary(MOST / 4 * 3)).unwrap_or_default();
    let tail = text.get(text.ceil_char_boundary(text.len() - MOST / 4)..).unwrap_or_default();
    vec![head, tail]
}
