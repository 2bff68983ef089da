//! A text as tokens: small letters without accents, each with its place in the text.

use std::ops::Range;

use unicode_normalization::{UnicodeNormalization, char::is_combining_mark};

use super::{lexicon::Lexicon, spelling::sound};

/// A word or a number.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Token {
    /// Small letters without accents, spelled as the lexicon spells it where that is close enough.
    pub word: String,
    /// How it sounds as it was written.
    pub heard: String,
    /// Its place in the text, bytes.
    pub from: usize,
    /// Its end in the text, bytes.
    pub to: usize,
    /// Its place in the order of tokens; the end of a sentence counts for some tokens more.
    pub at: usize,
    /// Number of its sentence.
    pub sentence: usize,
    /// Whether a word of English alone, and one of Spanish alone, may be meant here.
    pub may_be: MayBe,
}

/// Which languages a sentence may be in.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct MayBe {
    /// English words count.
    pub english: bool,
    /// Spanish words count.
    pub spanish: bool,
}

/// Tokens of a text.
pub struct Words {
    tokens: Vec<Token>,
}

/// Tokens of a text that is judged as a whole, and of a passage of a longer one.
const MESSAGE: usize = 100;
const PASSAGE: usize = 60;
/// By how much the end of a sentence parts two tokens.
const SENTENCE_GAP: usize = 3;
/// Letters of a word that are read: longer ones are no words.
const LONGEST: usize = 40;

impl Words {
    /// Reads a text.
    pub fn of(text: &str, lexicon: &Lexicon) -> Self {
        let mut reader = Reader::default();
        for (at, c) in text.char_indices() {
            reader.take(at, c);
        }
        reader.end_token(text.len());
        let mut tokens = reader.tokens;
        for token in &mut tokens {
            token.heard = sound(&token.word);
            if let Some(known) = lexicon.spelling.known_as(&token.word) {
                token.word = known;
            }
        }
        set_languages(&mut tokens, lexicon);
        Self { tokens }
    }

    /// The tokens in the passages that are judged: all of a message, or of a longer text some sentences at a time, each
    /// passage beginning in the middle of the one before, so that nothing is cut in two.
    pub fn passages(&self) -> impl Iterator<Item = &[Token]> {
        let (length, step) = if self.tokens.len() <= MESSAGE { (MESSAGE, MESSAGE) } else { (PASSAGE, PASSAGE / 2) };
        let count = self.tokens.len().saturating_sub(length).div_ceil(step) + 1;
        (0..count).filter_map(move |i| self.tokens.get(i * step..self.tokens.len().min(i * step + length)))
    }

    /// The words of a text from one token to another, as they were written.
    pub fn phrase(&self, text: &str, tokens: &[Token], at: Range<usize>) -> String {
        let (Some(first), Some(last)) = (tokens.get(at.start), tokens.get(at.end.saturating_sub(1))) else {
            return String::new();
        };
        text.get(first.from..last.to).unwrap_or_default().split_whitespace().collect::<Vec<_>>().join(" ")
    }
}

/// For each sentence, which languages it may be in: one with hardly a word of the other language is in one only.
fn set_languages(tokens: &mut [Token], lexicon: &Lexicon) {
    let votes = |tokens: &[Token]| {
        tokens.iter().fold((0, 0), |(en, es), t| {
            (en + usize::from(lexicon.english.contains(&t.word)), es + usize::from(lexicon.spanish.contains(&t.word)))
        })
    };
    let whole = votes(tokens);
    for sentence in tokens.chunk_by_mut(|a, b| a.sentence == b.sentence) {
        let (mut en, mut es) = votes(sentence);
        if en + es < 2 {
            (en, es) = (en + whole.0, es + whole.1);
        }
        let may_be = MayBe { english: es < 2 || en * 4 > es, spanish: en < 2 || es * 4 > en };
        sentence.iter_mut().for_each(|t| t.may_be = may_be);
    }
}

#[derive(Default)]
struct Reader {
    tokens: Vec<Token>,
    word: String,
    from: usize,
    at: usize,
    sentence: usize,
    last: Option<char>,
    run: usize,
}

impl Reader {
    fn take(&mut self, at: usize, c: char) {
        if c.is_ascii() {
            self.take_plain(at, c.to_ascii_lowercase());
            return;
        }
        match c {
            '\u{2019}' | '\u{2018}' | '\u{00b4}' | '\u{00ad}' | '\u{200b}'..='\u{200d}' | '\u{feff}' => {}
            '\u{2026}' => self.take_plain(at, '.'),
            _ => {
                for plain in std::iter::once(c).nfkd().filter(|c| !is_combining_mark(*c)).flat_map(char::to_lowercase) {
                    self.take_plain(at, plain);
                }
            }
        }
    }

    fn take_plain(&mut self, at: usize, c: char) {
        if c == '\'' || c == '`' {
            return;
        }
        if !c.is_alphanumeric() {
            self.end_token(at);
            if matches!(c, '.' | '!' | '?' | ';' | '\n')
                && self.tokens.last().is_some_and(|t| t.sentence == self.sentence)
            {
                self.sentence += 1;
                self.at += SENTENCE_GAP;
            }
            self.last = None;
            return;
        }
        if self.last.is_some_and(|last| last.is_ascii_digit() != c.is_ascii_digit()) {
            self.end_token(at);
        }
        if self.word.is_empty() {
            self.from = at;
            self.run = 0;
        }
        // "sooooo": a letter counts twice at most.
        self.run = if self.last == Some(c) && !self.word.is_empty() { self.run + 1 } else { 1 };
        if (self.run <= 2 || c.is_ascii_digit()) && self.word.len() < LONGEST {
            self.word.push(c);
        }
        self.last = Some(c);
    }

    fn end_token(&mut self, to: usize) {
        if !self.word.is_empty() {
            let may_be = MayBe { english: true, spanish: true };
            let (word, from, at, sentence) = (std::mem::take(&mut self.word), self.from, self.at, self.sentence);
            let heard = String::new();
            self.tokens.push(Token { word, heard, from, to, at, sentence, may_be });
            self.at += 1;
        }
    }
}
