//! Tests of the reading as a whole.

mod train;

use super::*;

#[test]
fn every_line_of_the_lexicon_can_be_read() {
    assert_eq!(Lexicon::get().problems, Vec::<String>::new());
}
