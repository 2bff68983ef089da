//! When in the year a cause is reported.

use super::Settings;
use jiff::civil::Date;

/// Days of a leap year: every date of a year has its own number, and 29 February is a date like any other.
const YEAR: i16 = 366;

/// The span of the year in which new cases are reported, both days included. It wraps past the year's end when the last
/// day comes before the first.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Window {
    first: i16,
    last: i16,
}

/// Day of a leap year, 1 to 366, of (month 1 to 12, day 1 to 31); nothing for a day that no year has.
pub(super) fn day_of_year(month: u8, day: u8) -> Option<i16> {
    let date = Date::new(2000, i8::try_from(month).ok()?, i8::try_from(day).ok()?);
    date.ok().map(Date::day_of_year)
}

impl Window {
    /// A window from two texts like `03-15`; nothing if one of them is no date.
    pub(super) fn from_texts(first: &str, last: &str) -> Option<Self> {
        let day = |text: &str| {
            let (month, day) = text.split_once('-')?;
            day_of_year(month.parse().ok()?, day.parse().ok()?)
        };
        Some(Self { first: day(first)?, last: day(last)? })
    }

    /// How many days `day` (of a leap year, 1 to 366) lies outside the window, going round the year the shorter way; 0 inside.
    pub(super) fn days_outside(self, day: i16) -> i16 {
        let inside = if self.first <= self.last {
            (self.first..=self.last).contains(&day)
        } else {
            day >= self.first || day <= self.last
        };
        if inside { 0 } else { (self.first - day).rem_euclid(YEAR).min((day - self.last).rem_euclid(YEAR)) }
    }

    /// The factor on the odds of the cause on `day` (of a leap year, 1 to 366).
    pub(super) fn factor(self, day: i16, settings: &Settings) -> f64 {
        match self.days_outside(day).unsigned_abs() {
            0 => 1.0,
            days if days <= settings.shoulder_days => settings.shoulder_factor,
            _ => settings.out_of_season_factor,
        }
    }
}
