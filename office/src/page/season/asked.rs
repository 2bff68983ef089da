//! What is asked of the season board, as it stands in the address: a year, weeks of it, a township, a plant.

use jiff::civil::{Date, ISOWeekDate, Weekday};
use serde::{Deserialize, Serialize};

use crate::index::Ask;

/// As it stands in the address. Empty text asks nothing.
#[derive(Clone, Default, PartialEq, Eq, Debug, Deserialize, Serialize)]
#[serde(default)]
pub(in crate::page) struct Asked {
    /// Year of the weeks, as ISO 8601 counts them; empty for the newest.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub(super) year: String,
    /// First week.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub(super) from: String,
    /// Last week.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub(super) to: String,
    /// Township.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub(super) township: String,
    /// Host of the pack.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub(super) host: String,
}

/// Weeks of one year.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Weeks {
    pub(super) year: i16,
    pub(super) first: i8,
    pub(super) last: i8,
}

/// A year or a week in the address is none.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct NoWeek;

impl Asked {
    /// The weeks asked for. Where the address does not say: those of the newest year in which anything was reported, up to the
    /// newest week, or up to this week where that is the year.
    pub(super) fn weeks(&self, reported: Option<(Date, Date)>, today: Date) -> Result<Weeks, NoWeek> {
        let now = today.iso_week_date();
        let (first, last) = reported.map_or((now, now), |(a, b)| (a.iso_week_date(), b.iso_week_date()));
        let year: i16 = number(&self.year)?.unwrap_or(last.year());
        if !(1900..=2200).contains(&year) {
            return Err(NoWeek);
        }
        let most = weeks_in(year);
        let begins = if first.year() == year { first.week() } else { 1 };
        let ends = if year == last.year() { last.week() } else { most };
        // Up to this week while the season runs: a quiet week is part of it, a quiet autumn is not.
        let runs = year == now.year() && (0..=3).contains(&(now.week() - ends));
        let ends = if runs { now.week() } else { ends };
        let (from, to): (i8, i8) = (number(&self.from)?.unwrap_or(begins), number(&self.to)?.unwrap_or(ends));
        if !(1..=53).contains(&from) || !(1..=53).contains(&to) {
            return Err(NoWeek);
        }
        let (from, to) = (from.min(most), to.min(most));
        Ok(Weeks { year, first: from.min(to), last: from.max(to) })
    }

    /// The question to the index for these weeks.
    pub(super) fn ask(&self, weeks: &Weeks) -> Ask {
        Ask {
            township: self.township.clone(),
            host: self.host.clone(),
            from: Some(weeks.monday()),
            to: Some(weeks.sunday()),
            ..Ask::default()
        }
    }

    /// Whether anything is chosen.
    pub(super) fn narrows(&self) -> bool {
        *self != Self::default()
    }
}

impl Weeks {
    /// The first day.
    pub(super) fn monday(&self) -> Date {
        day(self.year, self.first, Weekday::Monday)
    }

    /// The last day.
    pub(super) fn sunday(&self) -> Date {
        day(self.year, self.last, Weekday::Sunday)
    }

    /// Their numbers.
    pub(super) fn numbers(&self) -> Vec<i8> {
        (self.first..=self.last).collect()
    }

    /// The name of one in the index: `2026-W30`.
    pub(super) fn name(&self, week: i8) -> String {
        format!("{:04}-W{week:02}", self.year)
    }

    /// The same weeks of the year before, as far as it has them.
    pub(super) fn before(&self) -> Self {
        let most = weeks_in(self.year - 1);
        Self { year: self.year - 1, first: self.first.min(most), last: self.last.min(most) }
    }

    /// From which week on phones may still bring more: last week and this one.
    pub(super) fn late_from(&self, today: Date) -> i8 {
        let now = today.iso_week_date();
        if now.year() == self.year {
            now.week() - 1
        } else if now.year() > self.year {
            i8::MAX
        } else {
            1
        }
    }
}

/// How many weeks a year has.
pub(super) fn weeks_in(year: i16) -> i8 {
    ISOWeekDate::new(year, 53, Weekday::Monday).map_or(52, |_| 53)
}

fn day(year: i16, week: i8, day: Weekday) -> Date {
    let at = ISOWeekDate::new(year, week, day).or_else(|_| ISOWeekDate::new(year, 52, day));
    at.map_or(Date::ZERO, |at| at.date())
}

fn number<T: std::str::FromStr>(text: &str) -> Result<Option<T>, NoWeek> {
    if text.trim().is_empty() { Ok(None) } else { text.trim().parse().map(Some).map_err(|_| NoWeek) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn date(text: &str) -> Date {
        text.parse().unwrap()
    }

    fn weeks(query: &str, reported: Option<(&str, &str)>, today: &str) -> Result<Weeks, NoWeek> {
        let asked: Asked = serde_urlencoded::from_str(query).unwrap();
        asked.weeks(reported.map(|(a, b)| (date(a), date(b))), date(today))
    }

    #[test]
    fn the_season_so_far_goes_from_the_first_report_to_this_week() {
        let season = Some(("2026-05-25", "2026-07-15"));
        assert_eq!(weeks("", season, "2026-07-22"), Ok(Weeks { year: 2026, first: 22, last: 30 }));
        assert_eq!(weeks("", season, "2026-11-26"), Ok(Weeks { year: 2026, first: 22, last: 29 }));
        assert_eq!(weeks("", season, "2027-02-01"), Ok(Weeks { year: 2026, first: 22, last: 29 }));
        let years = Some(("2025-04-20", "2026-07-15"));
        assert_eq!(weeks("year=2025", years, "2026-07-22"), Ok(Weeks { year: 2025, first: 16, last: 52 }));
        assert_eq!(weeks("from=30&to=27", years, "2026-07-22"), Ok(Weeks { year: 2026, first: 27, last: 30 }));
        assert_eq!(weeks("", None, "2026-07-22"), Ok(Weeks { year: 2026, first: 30, last: 30 }));
        for wrong in ["year=pigeon", "from=0", "to=54", "from=1.5", "year=30000", "year=1"] {
            assert_eq!(weeks(wrong, season, "2026-07-22"), Err(NoWeek), "{wrong}");
        }
    }

    #[test]
    fn weeks_are_those_of_iso_8601_and_a_year_may_have_53() {
        let all = weeks("year=2026&from=1&to=53", None, "2026-07-22").unwrap();
        assert_eq!((all.monday(), all.sunday()), (date("2025-12-29"), date("2027-01-03")));
        assert_eq!(all.before(), Weeks { year: 2025, first: 1, last: 52 });
        assert_eq!(all.name(7), "2026-W07");
        assert_eq!(all.late_from(date("2026-07-22")), 29);
        assert_eq!(all.late_from(date("2027-07-22")), i8::MAX);
    }
}
