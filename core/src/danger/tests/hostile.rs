//! Texts that nobody means well with.

use proptest::prelude::*;

use super::{super::MOST, *};

#[test]
fn nothing_and_noise_raise_nothing() {
    for text in [
        "",
        " ",
        "\n\n\n",
        "\0\u{1}\u{7f}",
        "....,,,;;;",
        "🌱🌱🌱 🪴",
        "\u{202e}\u{200b}\u{feff}",
        "1 2 3 4 5",
        "ααα жжж 木木木",
    ] {
        assert_eq!(read(text), [], "{text:?}");
    }
}

#[test]
fn what_is_said_is_found_among_noise() {
    for text in [
        "🌲🌲 there is a branch on the power line ⚡⚡",
        "THERE IS A BRANCH ON THE POWER LINE!!!!!!",
        "there\u{200b} is a bra\u{ad}nch on the po\u{301}wer line",
        "ｔｈｅｒｅ ｉｓ ａ ｂｒａｎｃｈ ｏｎ ｔｈｅ ｐｏｗｅｒ ｌｉｎｅ",
        "there is a braaaanch on the powerrrr liiine",
    ] {
        assert!(stops(text).contains(&"utility_line"), "{text}");
    }
}

#[test]
fn a_long_letter_hides_nothing_wherever_it_stands() {
    let filler = "The lawn came up well this year, and the class on compost last month was a pleasure. ";
    let said = "A branch broke and is hanging on the power line by the house. ";
    for (before, after) in [(0, 200), (100, 100), (200, 0), (3, 3)] {
        let text = format!("{}{said}{}", filler.repeat(before), filler.repeat(after));
        assert!(stops(&text).contains(&"utility_line"), "{before} before, {after} after");
    }
    assert_eq!(stops(filler), [] as [&str; 0]);
}

#[test]
fn of_a_huge_text_the_beginning_and_the_end_are_read() {
    let said = " A branch is hanging on the power line. ";
    let filler = "ñandú ".repeat(MOST / 3);
    for text in [format!("{said}{filler}"), format!("{filler}{said}")] {
        assert!(text.len() > MOST);
        assert!(stops(&text).contains(&"utility_line"));
    }
}

/// Reading is linear: of twice as much text, the passages are twice as many.
#[test]
fn one_word_for_ever_is_read_too() {
    for word in ["tree ", "tree", "limb wire ", "no ", ". ", "ate "] {
        read(&word.repeat(40_000 / word.len()));
    }
}

proptest! {
    #[test]
    fn any_text_can_be_read(text in "\\PC{0,400}") {
        for danger in read(&text) {
            prop_assert!(STOPS.contains(&danger.stop));
        }
    }

    #[test]
    fn any_words_of_the_lexicon_can_be_read(words in prop::collection::vec("(tree|limb|no|wire|ate|hongo|¿|cloro|12|\n|, )", 0..120)) {
        let text = words.join(" ");
        let raised = read(&text);
        prop_assert!(raised.iter().map(|d| d.stop).is_sorted_by_key(|s| STOPS.iter().position(|k| *k == s)));
    }
}
