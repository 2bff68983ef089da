//! Lines that a person reads in a terminal: wrapped, in either language, with nothing that a plain terminal lacks.

mod advice;
mod differential;
mod words;

use std::io::{self, Write};

pub use advice::{advice, stop};
pub use differential::{causes, moved, name, reasons};
pub use words::{Words, fold, words};

/// Columns of a line where nobody says otherwise, and the widest line.
const WIDEST: usize = 80;
/// The narrowest line that is still wrapped.
const NARROWEST: usize = 40;

/// Writes wrapped lines.
pub struct Screen<W> {
    out: W,
    width: usize,
    bold: bool,
    plain: bool,
}

impl<W: Write> Screen<W> {
    /// Lines of at most `width` columns; `plain` leaves out bars, rules and bold type.
    pub fn new(out: W, width: usize, bold: bool, plain: bool) -> Self {
        Self { out, width: width.clamp(NARROWEST, WIDEST), bold: bold && !plain, plain }
    }

    /// A paragraph.
    ///
    /// # Errors
    /// Of the writer, here and below.
    pub fn say(&mut self, text: &str) -> io::Result<()> {
        self.item("", text)
    }

    /// A paragraph after a mark; its further lines stand under the first word.
    pub fn item(&mut self, mark: &str, text: &str) -> io::Result<()> {
        for line in self.wrapped(mark, text) {
            writeln!(self.out, "{line}")?;
        }
        Ok(())
    }

    /// A heading, with an empty line before it.
    pub fn head(&mut self, text: &str) -> io::Result<()> {
        writeln!(self.out)?;
        for line in self.wrapped("", text) {
            if self.bold {
                writeln!(self.out, "\x1b[1m{line}\x1b[0m")?;
            } else {
                writeln!(self.out, "{line}")?;
            }
        }
        Ok(())
    }

    /// An empty line.
    pub fn gap(&mut self) -> io::Result<()> {
        writeln!(self.out)
    }

    /// A line across the page.
    pub fn rule(&mut self, sign: char) -> io::Result<()> {
        if self.plain { Ok(()) } else { writeln!(self.out, "{}", sign.to_string().repeat(self.width)) }
    }

    /// The end of a question: the next line belongs to the person.
    pub fn prompt(&mut self, text: &str) -> io::Result<()> {
        let sign = if text.is_empty() { ">" } else { ":" };
        let lines = self.wrapped("", &format!("{text}{sign}"));
        write!(self.out, "{} ", lines.join("\n"))?;
        self.out.flush()
    }

    /// A line as it was typed.
    pub fn echo(&mut self, typed: &str) -> io::Result<()> {
        writeln!(self.out, "{typed}")
    }

    /// A chance as a bar of ten signs; nothing on a plain screen.
    pub fn bar(&self, chance: f64) -> String {
        if self.plain {
            return String::new();
        }
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to 10")]
        let full = (chance.clamp(0.0, 1.0) * 10.0).round() as usize;
        format!("{}{}  ", "#".repeat(full), ".".repeat(10 - full))
    }

    fn wrapped(&self, mark: &str, text: &str) -> Vec<String> {
        let under = " ".repeat(textwrap::core::display_width(mark));
        let options = textwrap::Options::new(self.width).initial_indent(mark).subsequent_indent(&under);
        text.lines().flat_map(|line| textwrap::wrap(line, &options)).map(tidy).collect()
    }
}

/// A line without spaces at its end. Spaces that held words together are spaces again.
fn tidy(line: std::borrow::Cow<'_, str>) -> String {
    line.trim_end().replace('\u{a0}', " ")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn written(plain: bool, write: impl FnOnce(&mut Screen<&mut Vec<u8>>)) -> String {
        let mut out = Vec::new();
        write(&mut Screen::new(&mut out, 40, false, plain));
        String::from_utf8(out).unwrap()
    }

    #[test]
    fn lines_end_at_the_width_and_hang_under_the_first_word() {
        let text = written(false, |s| s.item("  1  ", "una rama que se seca poco a poco desde la punta").unwrap());
        assert_eq!(text, "  1  una rama que se seca poco a poco\n     desde la punta\n");
    }

    #[test]
    fn a_plain_screen_has_neither_bars_nor_rules() {
        assert_eq!(written(true, |s| s.rule('=').unwrap()), "");
        let mut out = Vec::new();
        assert_eq!(Screen::new(&mut out, 80, true, true).bar(0.5), "");
        assert_eq!(Screen::new(&mut out, 80, true, false).bar(0.62), "######....  ");
    }
}
