//! The vocabulary of a pack as SDD 1.1 (TDWG's Structured Descriptive Data, standard 116), out and in.
//!
//! A character of ours is a categorical character, a cause a coded description whose scope are its hosts, a word of frequency
//! a frequency modifier. What SDD has no words for (leaks, priors, costs, stops, advice) stays in the pack and is linked by id;
//! the report says so. What a file says and we have no words for is counted in the report, never dropped in silence.

mod read;
mod read_descriptions;
mod tree;
mod vocabulary;
mod write;

pub use read::{NotUnderstood, Read, read};
pub use vocabulary::{Described, Look, Named, State, Tie, Ties, Vocabulary};
pub use write::{not_written, write};

/// Namespace of SDD 1.1.
const NAMESPACE: &str = "http://rs.tdwg.org/UBIF/2006/";

/// Texts of a cause beside its name and origin: id of the text character, and its label.
const TEXTS: [(&str, &str); 4] =
    [("confirm", "How to confirm"), ("weather", "Weather"), ("steps", "What to do"), ("cautions", "What not to do")];

/// How a cause is tied to a state, as a modifier beside the word of frequency: id, and its label.
const TIES: [(Tie, &str, &str); 3] = [
    (Tie::Shows, "shows", "shown by it"),
    (Tie::Fits, "fits", "to be expected with it"),
    (Tie::Against, "against", "speaks against it"),
];
