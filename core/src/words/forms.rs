//! Small forms of text that every program writes alike.

use super::Words;

/// `71,000`.
pub fn number(n: u64) -> String {
    let digits = n.to_string();
    let mut out = String::new();
    for (i, digit) in digits.chars().enumerate() {
        if i > 0 && (digits.len() - i).is_multiple_of(3) {
            out.push(',');
        }
        out.push(digit);
    }
    out
}

/// `800 bytes`, `12 kB`, `61 MB`, `4 GB`.
pub fn size(bytes: u64, words: Words) -> String {
    let (name, n) = match bytes {
        0..1_000 => ("take-in-bytes", bytes),
        1_000..1_000_000 => ("take-in-kilobytes", bytes / 1_000),
        1_000_000..1_000_000_000 => ("take-in-megabytes", bytes / 1_000_000),
        _ => ("take-in-gigabytes", bytes / 1_000_000_000),
    };
    words.with(name, [("n", &n)])
}

/// The first letter large.
pub fn sentence_case(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// An id of the registry or a pack as words: `about_even` is `about even`.
pub fn spaced(id: &str) -> String {
    id.replace(['_', '.'], " ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_sizes_and_ids_read_as_people_write_them() {
        assert_eq!((number(71_000).as_str(), number(7).as_str()), ("71,000", "7"));
        assert_eq!(size(61_400_000, Words::default()), "61 MB");
        assert_eq!(sentence_case(&spaced("about_even.or_so")), "About even or so");
    }
}
