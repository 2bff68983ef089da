//! The filters of the list of inquiries, as they stand in the address.

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use crate::index::{Ask, From, Key};

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
    /// How far the newest diagnosis is confirmed: `presumptive`, `reviewed`, `laboratory`, `authority`.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub answer: String,
    /// Opened on this day or later, such as `2026-07-01`. What is no day asks nothing.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub since: String,
    /// Opened on this day or earlier.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub until: String,
    /// `yes`: a stop was raised.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub stop: String,
    /// `yes`: two phones disagree.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub conflict: String,
    /// Page, from 1; 0 is the first. It only says where the rows stand: the keys below say which they are.
    #[serde(skip_serializing_if = "is_first")]
    pub page: usize,
    /// The last row of the page before.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub after: Option<Key>,
    /// The first row of the page behind.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub before: Option<Key>,
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde hands a reference")]
fn is_first(page: &usize) -> bool {
    *page <= 1
}

impl Filter {
    /// Whether anything is filtered.
    pub fn narrows(&self) -> bool {
        self.first() != Self::default()
    }

    /// The same filters at their first page.
    pub fn first(&self) -> Self {
        Self { page: 0, after: None, before: None, ..self.clone() }
    }

    /// The filters as they stand in an address, without the page; empty where nothing is filtered.
    pub fn query(&self) -> String {
        serde_urlencoded::to_string(self.first()).unwrap_or_default()
    }

    /// Name and value of each filter in force, for a form that carries them along.
    pub fn pairs(&self) -> Vec<(String, String)> {
        serde_urlencoded::from_str(&self.query()).unwrap_or_default()
    }

    /// The filters out of an address; nothing when they are not of their form.
    pub fn of_query(query: &str) -> Option<Self> {
        serde_urlencoded::from_str::<Self>(query).ok().map(|filter| filter.first())
    }

    /// The names of the days that are none: `since`, `until`.
    pub fn wrong_days(&self) -> Vec<&'static str> {
        let wrong = |text: &str| !text.trim().is_empty() && day(text).is_none();
        [("since", &self.since), ("until", &self.until)].into_iter().filter(|(_, t)| wrong(t)).map(|(n, _)| n).collect()
    }

    /// What it asks of the index.
    pub fn ask(&self) -> Ask {
        Ask {
            words: self.q.clone(),
            status: self.status.clone(),
            host: self.host.clone(),
            township: self.township.clone(),
            scout: self.scout.clone(),
            cause: self.cause.clone(),
            diagnosis: self.answer.clone(),
            from: day(&self.since),
            to: day(&self.until),
            stop: !self.stop.is_empty(),
            conflict: !self.conflict.is_empty(),
            ..Ask::default()
        }
    }

    /// From where its page goes.
    pub fn from(&self) -> From {
        let before = self.before.map(From::Before);
        self.after.map(From::After).or(before).unwrap_or_default()
    }

    /// The address of another page of the same filters.
    pub fn href(&self, page: usize, from: From) -> String {
        let (after, before) = match from {
            From::Newest => (None, None),
            From::After(key) => (Some(key), None),
            From::Before(key) => (None, Some(key)),
        };
        let query = serde_urlencoded::to_string(Self { page, after, before, ..self.clone() }).unwrap_or_default();
        if query.is_empty() { "/inquiries".into() } else { format!("/inquiries?{query}") }
    }
}

fn day(text: &str) -> Option<Date> {
    text.trim().parse().ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_address_keeps_every_filter_and_nothing_else() {
        let filter = Filter { q: "oak & ash".into(), scout: "Scout 3".into(), ..Filter::default() };
        assert_eq!(filter.href(2, From::Newest), "/inquiries?q=oak+%26+ash&scout=Scout+3&page=2");
        assert_eq!(Filter::default().href(1, From::Newest), "/inquiries");
        let key = Key { opened_ms: -5, id: dooryard_core::ids::RecordId([1; 16]) };
        let href = Filter::default().href(2, From::Before(key));
        assert_eq!(href, "/inquiries?page=2&before=-5.01010101-0101-0101-0101-010101010101");
        let there: Filter = serde_urlencoded::from_str(href.split_once('?').unwrap().1).unwrap();
        assert_eq!((there.from(), there.narrows()), (From::Before(key), false));
        for wrong in ["after=1", "after=x.01010101-0101-0101-0101-010101010101", "before=1.pigeon"] {
            assert!(serde_urlencoded::from_str::<Filter>(wrong).is_err(), "{wrong}");
        }
        let days = Filter { since: "2026-07-01".into(), until: "July".into(), ..Filter::default() };
        assert_eq!(days.wrong_days(), ["until"]);
        assert_eq!((days.ask().from, days.ask().to), (Some(Date::constant(2026, 7, 1)), None));
        assert_eq!(Filter::of_query(&days.query()), Some(days));
        assert_eq!(Filter::of_query("page=7&after=-5.01010101-0101-0101-0101-010101010101"), Some(Filter::default()));
        let back: Filter = serde_urlencoded::from_str("q=oak+%26+ash&scout=Scout+3&page=2").unwrap();
        assert_eq!(back, Filter { page: 2, ..filter });
        assert!(back.narrows() && !Filter { page: 3, ..Filter::default() }.narrows());
    }
}
