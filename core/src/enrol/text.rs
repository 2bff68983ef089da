//! The texts that stand in QR codes: base45 with a mark of what they are, a version and a check of their own.

use crate::error::{Code, Error, Result};

/// The version that this program writes.
const VERSION: u8 = 1;
/// Bytes of the check at the end.
const CHECK: usize = 4;
/// Letters of a text at most: more than the largest QR code holds.
const MAX_LETTERS: usize = 4_300;

/// Which of the three texts.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Kind {
    Invitation,
    Ask,
    Answer,
}

impl Kind {
    fn mark(self) -> &'static str {
        match self {
            Self::Invitation => "DY1:",
            Self::Ask => "DY2:",
            Self::Answer => "DY3:",
        }
    }

    fn name(self) -> &'static str {
        match self {
            Self::Invitation => "an invitation",
            Self::Ask => "a phone's ask",
            Self::Answer => "an office's answer",
        }
    }
}

/// Puts bytes into a text.
pub(super) fn pack(kind: Kind, body: &[u8]) -> String {
    let mut bytes = vec![VERSION];
    bytes.extend_from_slice(body);
    let check = check(kind, &bytes);
    bytes.extend_from_slice(&check);
    format!("{}{}.", kind.mark(), base45::encode(&bytes))
}

/// Takes the bytes out of a text. Line breaks and blanks around it do not matter.
///
/// # Errors
/// `SCHEMA` when it is another text, was cut or copied wrongly; `TOO_NEW`.
pub(super) fn unpack(kind: Kind, text: &str) -> Result<Vec<u8>> {
    let wrong = |what: &str| Error::refused(Code::Schema, format!("the text of {}: {what}", kind.name()));
    if text.len() > MAX_LETTERS {
        return Err(wrong("it is too long"));
    }
    let text: String = text.trim().chars().filter(|c| !matches!(c, '\r' | '\n')).collect();
    let rest =
        text.strip_prefix(kind.mark()).ok_or_else(|| wrong(&format!("it does not begin with {}", kind.mark())))?;
    let rest = rest.strip_suffix('.').ok_or_else(|| wrong("its end is missing"))?;
    let mut bytes = base45::decode(rest).map_err(|_| wrong("a letter is wrong"))?;
    // base45 has two spellings of some bytes; only the one that is written here is read.
    if base45::encode(&bytes) != rest {
        return Err(wrong("a letter is wrong"));
    }
    if bytes.len() <= CHECK {
        return Err(wrong("it is too short"));
    }
    let given = bytes.split_off(bytes.len() - CHECK);
    if given != check(kind, &bytes) {
        return Err(wrong("a letter is wrong"));
    }
    if bytes.first() != Some(&VERSION) {
        return Err(Error::refused(Code::TooNew, format!("the text of {}", kind.name())));
    }
    bytes.remove(0);
    Ok(bytes)
}

fn check(kind: Kind, bytes: &[u8]) -> [u8; CHECK] {
    let hash = blake3::Hasher::new().update(kind.mark().as_bytes()).update(bytes).finalize();
    let mut check = [0; CHECK];
    check.copy_from_slice(&hash.as_bytes()[..CHECK]);
    check
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_is_read_back_across_lines_and_any_wrong_letter_is_refused() {
        let body: Vec<u8> = (0..=255).collect();
        let text = pack(Kind::Ask, &body);
        assert_eq!(unpack(Kind::Ask, &text).unwrap(), body);
        let lines = format!("  {}\r\n{}\n", &text[..100], &text[100..]);
        assert_eq!(unpack(Kind::Ask, &lines).unwrap(), body);
        for at in 0..text.len() {
            for letter in ['A', '0', ' ', 'ñ'] {
                let mut wrong: Vec<char> = text.chars().collect();
                if wrong[at] == letter {
                    continue;
                }
                wrong[at] = letter;
                let wrong: String = wrong.into_iter().collect();
                assert!(unpack(Kind::Ask, &wrong).is_err(), "letter {at} as {letter:?}");
            }
            assert!(unpack(Kind::Ask, &text[..at]).is_err(), "the first {at} letters");
        }
        assert!(unpack(Kind::Answer, &text).is_err(), "one of another kind");
        assert!(unpack(Kind::Answer, &text.replace("DY2", "DY3")).is_err(), "one made to look like another kind");
        assert!(unpack(Kind::Ask, &"A".repeat(5_000)).is_err());
    }

    #[test]
    fn a_text_of_a_later_version_asks_for_an_upgrade() {
        let mut bytes = vec![VERSION + 1, 0x80];
        let end = check(Kind::Invitation, &bytes);
        bytes.extend(end);
        let text = format!("DY1:{}.", base45::encode(&bytes));
        assert_eq!(unpack(Kind::Invitation, &text).unwrap_err().code(), Some(Code::TooNew));
    }
}
