//! The filters of the list of inquiries, as they stand in the address.

use serde::{Deserialize, Serialize};

/// Filters. Empty text filters nothing.
#[derive(Clone, Default, PartialEq, Eq, Debug, Deserialize, Serialize)]
#[serde(default)]
pub struct Filter {
    /// Words.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub q: String,
    /// Where it stands: `open`, `waiting`, `answered`, `closed`.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub status: String,
    /// Host of the pack.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub host: String,
    /// Township.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub township: String,
    /// Who took it.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub scout: String,
    /// A cause that the newest diagnosis names.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub cause: String,
    /// `yes`: a stop was raised.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub stop: String,
    /// `yes`: two phones disagree.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub conflict: String,
    /// Page, from 1; 0 is the first.
    #[serde(skip_serializing_if = "is_first")]
    pub page: usize,
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde hands a reference")]
fn is_first(page: &usize) -> bool {
    *page <= 1
}

impl Filter {
    /// Whether anything is filtered.
    pub fn narrows(&self) -> bool {
        let first = Self { page: 0, ..self.clone() };
        first != Self::default()
    }

    /// The address of another page of the same filters.
    pub fn href(&self, page: usize) -> String {
        let query = serde_urlencoded::to_string(Self { page, ..self.clone() }).unwrap_or_default();
        if query.is_empty() { "/inquiries".into() } else { format!("/inquiries?{query}") }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_address_keeps_every_filter_and_nothing_else() {
        let filter = Filter { q: "oak & ash".into(), scout: "Scout 3".into(), ..Filter::default() };
        assert_eq!(filter.href(2), "/inquiries?q=oak+%26+ash&scout=Scout+3&page=2");
        assert_eq!(Filter::default().href(1), "/inquiries");
        let back: Filter = serde_urlencoded::from_str("q=oak+%26+ash&scout=Scout+3&page=2").unwrap();
        assert_eq!(back, Filter { page: 2, ..filter });
        assert!(back.narrows() && !Filter { page: 3, ..Filter::default() }.narrows());
    }
}
