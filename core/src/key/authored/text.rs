//! Texts that people read, in both languages of the pack.

use serde::{Deserialize, Serialize};

use crate::words::Language;

/// A text in both languages.
#[derive(Clone, PartialEq, Eq, Debug, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct Text {
    /// English; never empty in a pack that was read.
    pub en: String,
    /// Spanish; empty where nobody has translated it yet.
    #[serde(default)]
    pub es: String,
}

impl Text {
    /// The text in this language, or in English where there is no translation.
    pub fn get(&self, language: Language) -> &str {
        match language {
            Language::Es if !self.es.is_empty() => &self.es,
            _ => &self.en,
        }
    }

    /// The English text.
    pub fn en(&self) -> &str {
        &self.en
    }

    pub(in crate::key) fn new(en: String, es: Option<String>) -> Self {
        Self { en, es: es.unwrap_or_default() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn english_stands_in_for_a_missing_translation() {
        let text = Text { en: "Water".into(), es: String::new() };
        assert_eq!([Language::En, Language::Es].map(|l| text.get(l)), ["Water", "Water"]);
        assert_eq!(Text { es: "Agua".into(), ..text }.get(Language::Es), "Agua");
    }

    #[test]
    fn a_region_does_not_change_the_language() {
        assert_eq!(["es-US", "EN", "fr"].map(Language::from_tag), [Some(Language::Es), Some(Language::En), None]);
    }
}
