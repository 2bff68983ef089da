//! Words for probabilities, as residents and volunteers read them.

use super::Language;
use serde::Serialize;

/// The seven words for the chance of a cause. Bounds: .05, .20, .45, .55, .80, .95. The number is always shown beside it,
/// because people read such words differently.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum ProbabilityWord {
    /// Below .05.
    AlmostNoChance,
    /// From .05.
    VeryUnlikely,
    /// From .20.
    Unlikely,
    /// From .45.
    AboutEven,
    /// From .55.
    Likely,
    /// From .80.
    VeryLikely,
    /// From .95, and only with a specific sign or a laboratory result.
    NearlyCertain,
}

impl ProbabilityWord {
    /// Where the words change, in a hundred.
    pub const CHANGES: [u8; 6] = [5, 20, 45, 55, 80, 95];

    /// The word for a probability from 0 to 1. Symptoms alone say no more than "very likely": `proof` tells that a specific
    /// sign or a laboratory result speaks for the cause.
    pub fn of(probability: f64, proof: bool) -> Self {
        let over = Self::CHANGES.iter().filter(|bound| probability >= f64::from(**bound) / 100.0).count();
        match over {
            0 => Self::AlmostNoChance,
            1 => Self::VeryUnlikely,
            2 => Self::Unlikely,
            3 => Self::AboutEven,
            4 => Self::Likely,
            6 if proof => Self::NearlyCertain,
            _ => Self::VeryLikely,
        }
    }

    /// The word as people read it.
    pub fn text(self, language: Language) -> &'static str {
        let (en, es) = match self {
            Self::AlmostNoChance => ("almost no chance", "casi imposible"),
            Self::VeryUnlikely => ("very unlikely", "muy poco probable"),
            Self::Unlikely => ("unlikely", "poco probable"),
            Self::AboutEven => ("about even", "puede que sí, puede que no"),
            Self::Likely => ("likely", "probable"),
            Self::VeryLikely => ("very likely", "muy probable"),
            Self::NearlyCertain => ("nearly certain", "casi seguro"),
        };
        match language {
            Language::En => en,
            Language::Es => es,
        }
    }
}

/// A chance from 0 to 1 in a hundred. Never 0 and never 100: nothing here is known that well.
pub fn percent(chance: f64) -> u8 {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "1 to 99")]
    let whole = (chance * 100.0).round().clamp(1.0, 99.0) as u8;
    whole
}
