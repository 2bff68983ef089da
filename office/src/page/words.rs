//! The registry's words and counts in English; times and small forms are the core's.

pub use dooryard_core::words::{When, day_begins_ms, day_of_ms, instant_ms, number, sentence_case, size, spaced};
use dooryard_core::{
    key::{Language, ProbabilityWord},
    words::Words,
};

/// `1 plant`, `2 plants`, `0 plants`: always with the number.
pub fn count(n: u64, one: &str, many: &str) -> String {
    format!("{} {}", number(n), if n == 1 { one } else { many })
}

/// `a`, `a and b`, `a, b and c`.
pub fn list(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}

/// What a word of the registry says on a page, in English.
pub fn word(id: &str) -> String {
    super::say::word(Words::default(), id)
}

/// The word of the scale for a chance in a hundred that somebody wrote down.
pub fn chance(percent: u8) -> &'static str {
    ProbabilityWord::of(f64::from(percent) / 100.0, true).text(Language::En)
}

/// How sure a looker said to be: 1 a guess, 2 fairly sure, 3 sure.
pub fn comfort(level: i64) -> Option<&'static str> {
    match level {
        1 => Some("a guess"),
        2 => Some("fairly sure"),
        3 => Some("sure"),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_carry_their_word() {
        assert_eq!(count(1, "plant", "plants"), "1 plant");
        assert_eq!(count(71_000, "letter", "letters"), "71,000 letters");
        assert_eq!(list(&["a".into(), "b".into(), "c".into()]), "a, b and c");
    }
}
