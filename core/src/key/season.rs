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

    /// Whether (month, day) lies in it.
    pub fn holds(self, (month, day): (u8, u8)) -> bool {
        day_of_year(month, day).is_some_and(|day| self.days_outside(day) == 0)
    }

    /// Its first day (month, day).
    pub fn first_day(self) -> (u8, u8) {
        let first = Date::constant(2000, 1, 1).saturating_add(jiff::Span::new().days(i64::from(self.first) - 1));
        (first.month().unsigned_abs(), first.day().unsigned_abs())
    }

    /// Whether it begins and ends on the same day.
    pub fn is_one_day(self) -> bool {
        self.first == self.last
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_outside_go_round_the_year_the_shorter_way() {
        let outside = |window: (&str, &str), date: (u8, u8)| {
            Window::from_texts(window.0, window.1).unwrap().days_outside(day_of_year(date.0, date.1).unwrap())
        };
        let (summer, winter) = (("06-01", "08-31"), ("11-15", "02-10"));
        assert_eq!([(6, 1), (8, 31), (5, 31), (9, 14)].map(|d| outside(summer, d)), [0, 0, 1, 14]);
        assert_eq!([(12, 31), (1, 1), (2, 10), (2, 12), (11, 14)].map(|d| outside(winter, d)), [0, 0, 0, 2, 1]);
        assert_eq!([(1, 1), (1, 31)].map(|d| outside(("01-11", "12-25"), d)), [7, 0]);
        assert_eq!(outside(("02-20", "03-01"), (2, 29)), 0);
    }

    #[test]
    fn a_window_that_wraps_holds_both_ends_and_knows_its_first_day() {
        let winter = Window::from_texts("11-15", "02-10").unwrap();
        assert_eq!([(11, 15), (12, 31), (2, 10), (2, 11)].map(|d| winter.holds(d)), [true, true, true, false]);
        assert_eq!(winter.first_day(), (11, 15));
        assert_eq!(Window::from_texts("03-01", "03-02").unwrap().first_day(), (3, 1));
    }

    #[test]
    fn the_factor_falls_in_two_steps() {
        let settings = Settings::default();
        let summer = Window::from_texts("06-01", "08-31").unwrap();
        let factor = |month, day| summer.factor(day_of_year(month, day).unwrap(), &settings);
        assert_eq!([factor(6, 1), factor(9, 14), factor(9, 15)], [1.0, 0.4, 0.1]);
        assert_eq!(Window::from_texts("06-31", "08-31"), None);
    }
}
