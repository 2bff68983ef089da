//! The report of one month, to print: what came, what became of it, each count with what it is out of.

use jiff::{ToSpan, civil::Date};

use super::{
    asked::Weeks,
    bars::{Bars, Week},
    board::Making,
    plants::Plant,
};
use crate::{
    index::{Ask, What},
    page::{
        map::{
            told::{Told, tell, tell_one},
            township,
        },
        say::word,
        trouble::Trouble,
    },
};

/// A month.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Month(Date);

/// The report.
pub(super) struct Report {
    /// `July 2026`.
    pub(super) month: String,
    /// From which to which day.
    pub(super) days: String,
    /// Inquiries that came.
    pub(super) came: String,
    /// Of these, answered.
    pub(super) answered: String,
    /// The same month of the year before; empty where nothing was reported then.
    pub(super) before: String,
    /// Left out at the resident's wish; empty where none is.
    pub(super) left_out: String,
    /// What is under seal, in a sentence; empty where nothing is.
    pub(super) sealed: String,
    /// Nothing came.
    pub(super) empty: bool,
    /// Bars of its weeks.
    pub(super) bars: Bars,
    /// The same in words.
    pub(super) weeks: Vec<(String, String)>,
    /// Tables of words and counts: (heading, rows).
    pub(super) tables: Vec<(String, Vec<(String, String)>)>,
    /// Plants and causes.
    pub(super) plants: Vec<Plant>,
    /// Addresses of the month before and the one after.
    pub(super) earlier: String,
    pub(super) later: String,
    /// The list of what it is of.
    pub(super) list: String,
    /// The day on which it was made.
    pub(super) made: String,
}

impl Month {
    /// Of `2026-07`.
    pub(super) fn of(text: &str) -> Option<Self> {
        let (year, month) = text.trim().split_once('-')?;
        let (year, month): (i16, i8) = (year.parse().ok()?, month.parse().ok()?);
        (1900..=2200).contains(&year).then(|| Date::new(year, month, 1).ok())?.map(Self)
    }

    /// The month of a day.
    pub(super) fn with(day: Date) -> Self {
        Self(day.first_of_month())
    }

    fn other(self, months: i64) -> Self {
        Self(self.0.checked_add(months.months()).unwrap_or(self.0))
    }

    fn ask(self) -> Ask {
        Ask { from: Some(self.0), to: Some(self.0.last_of_month()), ..Ask::default() }
    }

    fn address(self) -> String {
        self.0.strftime("/season/report?month=%Y-%m").to_string()
    }
}

impl Making<'_> {
    /// The report of a month.
    ///
    /// # Errors
    /// Of the index.
    pub(super) fn report(&self, month: Month, sealed: String) -> Result<Report, Trouble> {
        let (ask, frame) = (month.ask(), self.frame);
        let counts = self.index.counts(&ask)?.named(self.names);
        let by_week = self.index.answered_by_week(&ask)?;
        let weeks: Vec<(String, u64, u64)> = weeks_of(month)
            .into_iter()
            .map(|(name, _)| {
                let (of, n) = by_week.get(&name).copied().unwrap_or_default();
                (name, n, of)
            })
            .collect();
        let told = tell(&weeks.iter().map(|w| (w.1, w.2)).collect::<Vec<_>>(), self.exact);
        let drawn: Vec<Week> = weeks_of(month)
            .iter()
            .zip(&told)
            .map(|((_, week), told)| Week {
                week: *week,
                asked: match told {
                    Told::Whole(_, of) | Told::FewOf(of) => Some(*of),
                    Told::Nobody => Some(0),
                    Told::Few => None,
                },
                found: match told {
                    Told::Whole(n, _) => Some(*n),
                    Told::Nobody => Some(0),
                    _ => None,
                },
                before: None,
                late: false,
            })
            .collect();
        let most = weeks.iter().map(|w| w.2).max().unwrap_or(0);
        let answered: u64 = by_week.values().map(|(_, n)| n).sum();
        let then = self.index.answered_by_week(&month.other(-12).ask())?;
        let then: u64 = then.values().map(|(n, _)| n).sum();
        let mut tables = Vec::new();
        for (what, heading) in [
            (What::Township, "season-by-township"),
            (What::Channel, "season-by-channel"),
            (What::Status, "season-by-status"),
            (What::Diagnosis, "season-by-diagnosis"),
            (What::Outcome, "season-by-outcome"),
        ] {
            let said = |text: &str| match (what, text) {
                (What::Township, name) => township(frame, name),
                (What::Diagnosis, "") => frame.say("season-no-answer"),
                (_, "") => frame.say("season-no-word"),
                (_, text) => {
                    let name = format!("season-{}-{text}", what.name());
                    if frame.words.has(&name) { frame.say(&name) } else { word(frame.words, text) }
                }
            };
            let rows = self.shares(self.index.by(&ask, what)?, said);
            if !rows.is_empty() {
                tables.push((frame.say(heading), rows));
            }
        }
        let (name, days) = (self.month(month.0), (self.when.date(month.0), self.when.date(month.0.last_of_month())));
        Ok(Report {
            month: name,
            days: frame.with("season-days", [("from", &days.0), ("to", &days.1)]),
            came: frame.with("season-came", [("n", &counts.inquiries)]),
            answered: tell_one(answered, counts.inquiries, self.exact).full(frame),
            before: if then == 0 {
                String::new()
            } else {
                let year = i64::from(month.0.year() - 1).to_string();
                frame.with("season-month-before", [("n", &then), ("year", &year)])
            },
            left_out: if counts.not_counted == 0 {
                String::new()
            } else {
                frame.with("season-left-out", [("n", &counts.not_counted)])
            },
            sealed,
            empty: counts.inquiries == 0,
            bars: Bars::of(&drawn, most, 400.0),
            weeks: weeks
                .iter()
                .zip(&told)
                .zip(&drawn)
                .map(|((_, told), week)| {
                    (frame.with("season-week", [("week", &i64::from(week.week))]), told.words(frame))
                })
                .collect(),
            tables,
            plants: self.plants(&counts, &ask),
            earlier: month.other(-1).address(),
            later: month.other(1).address(),
            list: format!("/inquiries?since={}&until={}", month.0, month.0.last_of_month()),
            made: self.when.date(self.when.today()),
        })
    }

    fn month(&self, first: Date) -> String {
        let (name, year) = (format!("time-month-{}", first.month()), first.year().to_string());
        self.frame.with("season-month", [("month", &self.frame.say(&name)), ("year", &year)])
    }
}

/// The weeks that a month touches: (`2026-W27`, 27).
fn weeks_of(month: Month) -> Vec<(String, i8)> {
    let last = month.0.last_of_month();
    let mut weeks = Vec::new();
    let mut day = month.0;
    loop {
        let week = day.iso_week_date();
        let one = Weeks { year: week.year(), first: week.week(), last: week.week() };
        weeks.push((one.name(week.week()), week.week()));
        match one.sunday().tomorrow() {
            Ok(next) if next <= last => day = next,
            _ => return weeks,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_month_is_read_strictly_and_touches_its_weeks() {
        let july = Month::of("2026-07").unwrap();
        assert_eq!(july.ask().to, Some("2026-07-31".parse().unwrap()));
        let numbers: Vec<i8> = weeks_of(july).iter().map(|w| w.1).collect();
        assert_eq!(numbers, [27, 28, 29, 30, 31]);
        let january: Vec<String> = weeks_of(Month::of("2027-01").unwrap()).into_iter().map(|w| w.0).collect();
        assert_eq!(january, ["2026-W53", "2027-W01", "2027-W02", "2027-W03", "2027-W04"]);
        assert_eq!(july.other(6).address(), "/season/report?month=2027-01");
        for wrong in ["", "2026", "2026-13", "2026-0", "pigeon", "99999-01", "2026-07-01"] {
            assert_eq!(Month::of(wrong), None, "{wrong}");
        }
    }
}
