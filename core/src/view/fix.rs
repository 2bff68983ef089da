//! What a fix of the phone is worth, in words.

use super::reader::View;
use crate::{Code, Error, Result};

/// A fix of the phone, in words.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Fix {
    /// How good it is: `Good: within 20 ft.`
    pub text: String,
    /// It is good enough to tell one yard from the next.
    pub good: bool,
    /// What would make it better; empty where it is good.
    pub advice: String,
}

/// Meters within which one yard is told from the next.
const YARD: f64 = 15.0;
/// Meters within which a street is.
const STREET: f64 = 60.0;
/// Meters within which a position says no more than a township does.
const TOWNSHIP: f64 = 1_000.0;
/// Milliseconds after which a fix is told to be old.
const OLD: i64 = 60_000;

/// What a fix of the phone is worth. `accuracy_m` is the radius in meters within which the phone is, as it says itself; `age_ms`
/// how long ago it was taken.
///
/// # Errors
/// `SCHEMA` for an accuracy that is none.
pub fn fix(view: &View<'_>, accuracy_m: f64, age_ms: i64) -> Result<Fix> {
    if !accuracy_m.is_finite() || accuracy_m < 0.0 {
        return Err(Error::refused(Code::Schema, "an accuracy that is none"));
    }
    let within = view.short_length(accuracy_m.max(1.0));
    let name = match accuracy_m {
        m if m <= YARD => "phone-fix-good",
        m if m <= STREET => "phone-fix-street",
        m if m <= TOWNSHIP => "phone-fix-coarse",
        _ => "phone-fix-none",
    };
    let old = age_ms > OLD;
    let good = accuracy_m <= YARD && !old;
    let mut text = view.with(name, [("within", &within)]);
    if old {
        text = format!("{text} {}", view.with("phone-fix-old", [("n", &(age_ms / 60_000))]));
    }
    Ok(Fix { text, good, advice: if good { String::new() } else { view.say("phone-fix-better") } })
}
