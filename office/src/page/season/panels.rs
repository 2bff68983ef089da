//! A plant and a cause of it week by week: as bars, and the same as tables.

use std::collections::BTreeMap;

use super::{
    asked::Weeks,
    bars::{Bars, Week},
    board::Making,
    plants::address,
};
use crate::{
    index::{Ask, Weekly},
    page::map::told::{Told, tell, tell_one},
};

/// Weeks side by side in a table.
const ACROSS: usize = 13;

/// Units of a panel's width.
const WIDTH: f64 = 340.0;

/// Bars with their words.
pub(super) struct Panel {
    pub(super) plant: String,
    pub(super) cause: String,
    /// `51 of 90`.
    pub(super) count: String,
    /// `57 in 100 (46 to 66)`; empty under five.
    pub(super) share: String,
    /// What the drawing shows, in a sentence.
    pub(super) label: String,
    pub(super) bars: Bars,
    /// The map of it: address, and what the link is called.
    pub(super) map: String,
    pub(super) map_label: String,
    /// The inquiries themselves: address, and what the link is called.
    pub(super) list: String,
    pub(super) list_label: String,
}

/// Some weeks as a table.
pub(super) struct Table {
    /// `Weeks 1 to 13`.
    pub(super) name: String,
    /// Numbers of weeks, and whether they are not complete.
    pub(super) weeks: Vec<(i8, bool)>,
    /// Plant, cause, what stands in each week, and in all of the weeks asked for.
    pub(super) rows: Vec<(String, String, Vec<Cell>, String)>,
    /// The last column is of all weeks.
    pub(super) last: bool,
}

/// What stands in a week.
pub(super) struct Cell {
    pub(super) words: String,
    /// Nobody asked, or it is not told.
    pub(super) soft: bool,
}

/// A plant, a cause of it, and by week: its number, found, asked about the plant.
pub(super) type Counted = (String, String, Vec<(i8, u64, u64)>);

impl Making<'_> {
    pub(super) fn weeks(&self, weeks: &[(i8, u64, u64)], late: i8) -> Vec<Week> {
        let told = tell(&weeks.iter().map(|w| (w.1, w.2)).collect::<Vec<_>>(), self.exact);
        let week = |(&(week, ..), told): (&(i8, u64, u64), Told)| {
            let (asked, found) = match told {
                Told::Whole(n, of) => (Some(of), Some(n)),
                Told::FewOf(of) => (Some(of), None),
                Told::Few => (None, None),
                Told::Nobody => (Some(0), Some(0)),
            };
            Week { week, asked, found, before: None, late: week >= late }
        };
        weeks.iter().zip(told).map(week).collect()
    }

    pub(super) fn panel(
        &self,
        (plant, cause): (&str, &str),
        (weeks, late): (&[(i8, u64, u64)], i8),
        most: u64,
        ask: &Ask,
    ) -> Panel {
        let (n, of) = weeks.iter().fold((0, 0), |sum, w| (sum.0 + w.1, sum.1 + w.2));
        let told = tell_one(n, of, self.exact);
        let count = told.words(self.frame);
        let share = told.share(self.frame).map_or_else(String::new, |(_, share, between)| {
            self.frame.with("season-share", [("share", &share), ("between", &between)])
        });
        let label = self.frame.with("season-bars", [("plant", &plant), ("cause", &cause), ("count", &count)]);
        Panel {
            plant: plant.to_owned(),
            cause: cause.to_owned(),
            label,
            count,
            share,
            bars: Bars::of(&self.weeks(weeks, late), most, WIDTH),
            map: address("/map", ask),
            map_label: self.frame.with("season-map-of", [("plant", &plant), ("cause", &cause)]),
            list: address("/inquiries", ask),
            list_label: self.frame.with("season-list-of", [("plant", &plant), ("cause", &cause)]),
        }
    }

    pub(super) fn tables(&self, rows: &[Counted], late: i8) -> Vec<Table> {
        let whole = rows.first().map_or(0, |r| r.2.len());
        let told: Vec<Vec<Told>> = rows
            .iter()
            .map(|(.., weeks)| tell(&weeks.iter().map(|w| (w.1, w.2)).collect::<Vec<_>>(), self.exact))
            .collect();
        let sums: Vec<String> = rows
            .iter()
            .map(|(.., weeks)| {
                let (n, of) = weeks.iter().fold((0, 0), |sum, w| (sum.0 + w.1, sum.1 + w.2));
                tell_one(n, of, self.exact).words(self.frame)
            })
            .collect();
        let mut tables = Vec::new();
        for begin in (0..whole).step_by(ACROSS) {
            let end = (begin + ACROSS).min(whole);
            let numbers: Vec<i8> =
                rows.first().map_or(&[][..], |r| &r.2).iter().skip(begin).take(ACROSS).map(|w| w.0).collect();
            let cell = |told: &Told| Cell {
                words: if *told == Told::Nobody { self.frame.say("season-none") } else { told.words(self.frame) },
                soft: matches!(told, Told::Nobody | Told::Few),
            };
            let row = |((plant, cause, _), (told, sum)): (&Counted, (&Vec<Told>, &String))| {
                let cells = told.iter().skip(begin).take(ACROSS).map(cell).collect();
                (plant.clone(), cause.clone(), cells, sum.clone())
            };
            let (first, last) = (numbers.first().copied().unwrap_or(0), numbers.last().copied().unwrap_or(0));
            tables.push(Table {
                name: self.frame.with("season-weeks", [("first", &i64::from(first)), ("last", &i64::from(last))]),
                weeks: numbers.into_iter().map(|week| (week, week >= late)).collect(),
                rows: rows.iter().zip(told.iter().zip(&sums)).map(row).collect(),
                last: end == whole,
            });
        }
        tables
    }
}

/// One plant and one cause of it.
pub(super) struct Pair {
    pub(super) host: String,
    pub(super) cause: String,
    /// Week, found, asked about the plant.
    pub(super) weeks: Vec<(i8, u64, u64)>,
}

/// Every cause of every plant, the most found first.
pub(super) fn pairs(rows: Vec<Weekly>, weeks: &Weeks) -> Vec<Pair> {
    let mut counts: BTreeMap<(String, String), BTreeMap<String, u64>> = BTreeMap::new();
    for row in rows {
        *counts.entry((row.host, row.cause)).or_default().entry(row.week).or_default() += row.n;
    }
    let of = |host: &str, cause: &str, week: i8| {
        let row = counts.get(&(host.to_owned(), cause.to_owned()));
        row.and_then(|by_week| by_week.get(&weeks.name(week))).copied().unwrap_or(0)
    };
    let mut pairs: Vec<Pair> = counts
        .keys()
        .filter(|(_, cause)| !cause.is_empty())
        .map(|(host, cause)| Pair {
            weeks: weeks.numbers().into_iter().map(|w| (w, of(host, cause, w), of(host, "", w))).collect(),
            host: host.clone(),
            cause: cause.clone(),
        })
        .collect();
    let found = |pair: &Pair| pair.weeks.iter().map(|w| w.1).sum::<u64>();
    pairs.sort_by(|a, b| found(b).cmp(&found(a)).then_with(|| (&a.host, &a.cause).cmp(&(&b.host, &b.cause))));
    pairs
}
