//! Counts in English, and names in order; times and small forms are the core's.

pub use dooryard_core::words::{When, day_begins_ms, day_of_ms, instant_ms, number, sentence_case, size, spaced};

/// `1 plant`, `2 plants`, `0 plants`: always with the number.
pub fn count(n: u64, one: &str, many: &str) -> String {
    format!("{} {}", number(n), if n == 1 { one } else { many })
}

/// What names are put in order by: small letters, an accent beside its letter, ñ behind n.
pub fn by_name(name: &str) -> String {
    let plain = |c: char| match c {
        'á' => "a",
        'é' => "e",
        'í' => "i",
        'ó' => "o",
        'ú' | 'ü' => "u",
        'ñ' => "n\u{10ffff}",
        _ => "",
    };
    let mut key = String::with_capacity(name.len());
    for c in name.to_lowercase().chars() {
        match plain(c) {
            "" => key.push(c),
            plain => key.push_str(plain),
        }
    }
    key
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_stand_in_the_order_of_their_letters_accents_and_capitals_aside() {
        let mut names = ["Roble", "nuez", "Ñame", "Árce", "arce", "Óleo", "oca", "Nogal", "nzz"];
        names.sort_by_key(|name| by_name(name));
        assert_eq!(names, ["Árce", "arce", "Nogal", "nuez", "nzz", "Ñame", "oca", "Óleo", "Roble"]);
    }

    #[test]
    fn counts_carry_their_word() {
        assert_eq!(count(1, "plant", "plants"), "1 plant");
        assert_eq!(count(71_000, "letter", "letters"), "71,000 letters");
    }
}
