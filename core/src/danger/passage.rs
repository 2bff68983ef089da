//! A passage of a text: its tokens, and where they name which concept.

use std::ops::Range;

use super::{
    concepts::{Concept, Hit},
    lexicon::{Lexicon, Rules},
    patterns::Pattern,
    words::Token,
};

/// For each stop, the patterns that hold, by their number, each with the tokens it found.
pub type Said = Vec<Vec<(usize, Range<usize>)>>;

/// A passage.
pub struct Passage<'a> {
    /// Its tokens.
    pub tokens: &'a [Token],
    hits: Vec<Vec<Hit>>,
    /// Tokens of a figure of speech.
    figures: Vec<bool>,
}

impl<'a> Passage<'a> {
    /// Looks for every concept of the lexicon.
    pub fn of(tokens: &'a [Token], lexicon: &Lexicon) -> Self {
        let mut hits = lexicon.concepts.hits(tokens);
        if let Some(unsure) = hits.get(lexicon.unsure).cloned()
            && let Some(no) = hits.get_mut(lexicon.no)
        {
            // "I do not know whether" takes nothing back.
            no.retain(|h| !unsure.iter().any(|u| u.from <= h.from && h.to <= u.to));
        }
        let mut passage = Self { tokens, hits, figures: vec![false; tokens.len()] };
        for figure in &lexicon.figures {
            let places: Vec<_> = figure.places(&passage, &[]).collect();
            places.into_iter().for_each(|at| hide(&mut passage.figures, at));
        }
        passage
    }

    /// Where a concept is named.
    pub fn hits(&self, concept: Concept) -> &[Hit] {
        self.hits.get(concept).map_or(&[], Vec::as_slice)
    }

    /// The places where a concept with a name of its own stands, each with that name, in the order of the tokens.
    pub fn named(&self, lexicon: &'static Lexicon) -> Vec<(&'static str, Hit)> {
        let named = self.hits.iter().enumerate().filter_map(|(c, hits)| Some((lexicon.concepts.name(c)?, hits)));
        let mut named: Vec<_> = named.flat_map(|(name, hits)| hits.iter().map(move |hit| (name, *hit))).collect();
        named.sort_by_key(|(_, hit)| *hit);
        named
    }

    /// For each stop, what says it.
    pub fn said(&self, lexicon: &Lexicon) -> Said {
        lexicon.rules.iter().map(|rules| self.says(rules, lexicon)).collect()
    }

    fn says(&self, rules: &Rules, lexicon: &Lexicon) -> Vec<(usize, Range<usize>)> {
        let mut hidden = self.figures.clone();
        for other in &rules.hides {
            let places: Vec<_> = other.places(self, &[]).collect();
            places.into_iter().for_each(|at| hide(&mut hidden, at));
        }
        let found = |pattern: &Pattern| pattern.find(self, &hidden, lexicon.no);
        rules.raises.iter().enumerate().filter_map(|(i, pattern)| Some((i, found(pattern)?))).collect()
    }

    /// How far apart two tokens are.
    pub fn distance(&self, a: usize, b: usize) -> usize {
        let at = |i: usize| self.tokens.get(i).map_or(0, |t| t.at);
        at(a).abs_diff(at(b))
    }

    /// Whether two tokens stand in one sentence.
    pub fn same_sentence(&self, a: usize, b: usize) -> bool {
        self.tokens.get(a).map(|t| t.sentence) == self.tokens.get(b).map(|t| t.sentence)
    }
}

fn hide(hidden: &mut [bool], at: Range<usize>) {
    if let Some(tokens) = hidden.get_mut(at) {
        tokens.fill(true);
    }
}
