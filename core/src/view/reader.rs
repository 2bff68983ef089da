//! Who reads, and what a screen is made from.

use serde_json::Value as Json;

use crate::{
    Result,
    ids::{BlobId, RecordId},
    inquiry::{Looker, Whole},
    key::Pack,
    notebook::{Notebook, Record},
    tell::{Names, Say, Speech},
    words::{Argument, Language, When, Words},
};

/// In which units lengths are said.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub enum Units {
    /// Feet, inches, miles.
    #[default]
    Customary,
    /// Meters, centimeters, kilometers.
    Metric,
}

/// Who reads.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Reader {
    /// The language chosen inside the app.
    pub language: Language,
    /// The units.
    pub units: Units,
    /// Name of the phone's zone, such as `America/Chicago`; the county's own where it is none.
    pub zone: String,
}

/// What a screen is made from.
#[derive(Clone)]
pub struct View<'a> {
    /// The notebook.
    pub notebook: &'a Notebook,
    /// The pack.
    pub pack: &'a Pack,
    /// What the pack calls things, in the reader's language.
    pub names: &'a Names,
    /// Sentences.
    pub words: Words,
    /// The units.
    pub units: Units,
    /// Times, as seen from now.
    pub when: When,
}

/// How a visit is marked in which somebody looked with the phone.
pub(super) const PROTOCOL: &str = "phone, looked";
/// Meters of a foot.
const FOOT: f64 = 0.3048;
/// Meters of a mile.
const MILE: f64 = 1_609.344;

impl<'a> View<'a> {
    /// What the screens of this moment are made from. `names` are the pack's, in the reader's language.
    pub fn new(notebook: &'a Notebook, pack: &'a Pack, names: &'a Names, reader: &Reader) -> Self {
        let words = Words(reader.language);
        let now = i64::try_from(notebook.env().now_ms()).unwrap_or(i64::MAX);
        let when = When::at_ms(now).in_zone(&reader.zone).told_in(words);
        Self { notebook, pack, names, words, units: reader.units, when }
    }

    pub(super) fn say(&self, name: &str) -> String {
        self.words.say(name)
    }

    pub(super) fn with<const N: usize>(&self, name: &str, given: [(&str, &dyn Argument); N]) -> String {
        self.words.with(name, given)
    }

    /// The sentence of this name; empty where there is none.
    pub(super) fn known(&self, name: &str) -> String {
        if self.words.has(name) { self.say(name) } else { String::new() }
    }

    pub(super) fn telling(&self) -> Say<'_> {
        Say { names: self.names, when: &self.when, words: self.words }
    }

    pub(super) fn speech(&self) -> Speech<'_> {
        Speech { pack: self.pack, words: self.words }
    }

    pub(super) fn whole(&self, inquiry: RecordId) -> Result<Whole> {
        Whole::read(self.notebook, inquiry)
    }

    /// Milliseconds since 1970.
    pub(super) fn now_ms(&self) -> i64 {
        i64::try_from(self.notebook.env().now_ms()).unwrap_or(i64::MAX)
    }

    /// Role and number, such as `Scout 3`.
    pub(super) fn own_label(&self) -> Result<String> {
        Ok(self.notebook.role()?.1)
    }

    /// Who looks: this phone's person, in this way.
    pub(super) fn looker<'l>(&self, label: &'l str, method: &'l str, pack_version: &'l str) -> Looker<'l> {
        Looker {
            observer: label,
            protocol: PROTOCOL,
            method,
            pack_version,
            app_version: concat!("dooryard phone ", env!("CARGO_PKG_VERSION")),
        }
    }

    /// `Saved on this phone 10:42 am`, for what was last written of a record.
    pub(super) fn saved(&self, record: &Record) -> String {
        let at = record.fields.iter().map(|f| f.shown.at_ms).max().unwrap_or_default();
        self.saved_at(at)
    }

    pub(super) fn saved_at(&self, ms: i64) -> String {
        let clock = self.when.clock_ms(ms);
        if self.when.day_of_ms(ms) == Some(self.when.today()) {
            return self.with("phone-saved", [("time", &clock)]);
        }
        self.with("phone-saved-day", [("day", &self.when.day_ms(ms))])
    }

    /// A short length: `20 ft`, `6 m`.
    pub(super) fn short_length(&self, meters: f64) -> String {
        match self.units {
            Units::Customary => self.with("phone-feet", [("n", &(meters / FOOT).round())]),
            Units::Metric => self.with("phone-meters", [("n", &meters.round())]),
        }
    }

    /// A way: `300 ft`, `1.2 mi`; `90 m`, `1.9 km`.
    pub(super) fn way_length(&self, meters: f64) -> String {
        let (long, one, name) = match self.units {
            Units::Customary => (meters >= MILE / 5.0, meters / MILE, "phone-miles"),
            Units::Metric => (meters >= 1_000.0, meters / 1_000.0, "phone-kilometers"),
        };
        if !long {
            return self.short_length(meters);
        }
        self.with(name, [("n", &format!("{one:.1}"))])
    }

    /// Where the bytes of a photo stand; empty where they are not on this phone.
    pub(super) fn blob(&self, field: Option<&Json>) -> String {
        let id: Option<BlobId> = field.and_then(Json::as_str).and_then(|hex| hex.parse().ok());
        let path = id.map(|id| self.notebook.blob_path(&id)).filter(|path| path.exists());
        path.map_or_else(String::new, |path| path.display().to_string())
    }
}
