//! The season board: what was reported week by week, per plant and cause, each count with what it is out of.

use std::collections::BTreeMap;

use jiff::civil::Date;

use super::{
    asked::{Asked, Weeks},
    bars::{Bars, Week},
    panels::{Pair, Panel, Table, pairs},
    plants::Plant,
};
use crate::{
    counts::Counts,
    index::{Ask, Index},
    page::{
        frame::Frame,
        map::told::{Told, tell},
        names::Names,
        trouble::Trouble,
        words::When,
    },
};

/// Panels of bars; the tables hold the rest.
const PANELS: usize = 12;

/// Units of the drawing of everything.
const ALL_WIDE: f64 = 600.0;

/// The board.
pub(super) struct Board {
    /// `The season so far, weeks 22 to 30`.
    pub(super) title: String,
    /// What was counted, of which days.
    pub(super) line: String,
    /// That the last weeks may still grow; empty where they do not.
    pub(super) late: String,
    /// How many are left out at the resident's wish; empty where none is.
    pub(super) left_out: String,
    /// Nothing was reported.
    pub(super) empty: bool,
    /// Everything by week.
    pub(super) all: Panel,
    /// A plant and a cause each.
    pub(super) panels: Vec<Panel>,
    /// The same as tables.
    pub(super) tables: Vec<Table>,
    /// Plants and causes over all the weeks.
    pub(super) plants: Vec<Plant>,
    /// The same weeks of the year before.
    pub(super) before: Option<Before>,
}

/// The same weeks of the year before.
pub(super) struct Before {
    pub(super) year: i16,
    /// Plant, this year, the year before.
    pub(super) rows: Vec<(String, String, String)>,
}

/// What a board is made with.
pub(super) struct Making<'a> {
    pub(super) index: &'a Index,
    pub(super) names: &'a Names,
    pub(super) frame: &'a Frame,
    pub(super) when: &'a When,
    /// Small counts are told too.
    pub(super) exact: bool,
}

impl Making<'_> {
    /// The board of some weeks.
    ///
    /// # Errors
    /// Of the index.
    pub(super) fn board(&self, asked: &Asked, weeks: &Weeks, first_day: Option<Date>) -> Result<Board, Trouble> {
        let (ask, frame) = (asked.ask(weeks), self.frame);
        let by_week = self.index.answered_by_week(&ask)?;
        let counts = self.index.counts(&ask)?.named(self.names);
        let before = weeks.before();
        let before_ask = asked.ask(&before);
        let has_before = first_day.is_some_and(|day| day <= before.sunday());
        let before_weeks = if has_before { self.index.answered_by_week(&before_ask)? } else { BTreeMap::new() };
        let late = weeks.late_from(self.when.today());
        let line = |week: i8, counts: (u64, u64)| (week, counts.1, counts.0);
        let all: Vec<(i8, u64, u64)> = weeks
            .numbers()
            .into_iter()
            .map(|week| line(week, by_week.get(&weeks.name(week)).copied().unwrap_or_default()))
            .collect();
        let pairs = pairs(self.index.weekly(&ask)?, weeks);
        let most = pairs.iter().take(PANELS).flat_map(|p| p.weeks.iter().map(|w| w.2)).max().unwrap_or(0);
        let of_before = |week: i8| before_weeks.get(&before.name(week)).map_or(0, |(n, _)| *n);
        let asked_of_all = frame.say("season-all");
        let answered = frame.say("season-answered");
        let mut everything = self.panel((&asked_of_all, &answered), (&all, late), 0, &ask);
        let weeks_of_all = self.weeks(&all, late).into_iter();
        let with: Vec<Week> =
            weeks_of_all.map(|w| Week { before: (has_before && self.exact).then(|| of_before(w.week)), ..w }).collect();
        let highest = with.iter().map(|w| w.before.unwrap_or(0).max(w.asked.unwrap_or(0))).max().unwrap_or(0);
        everything.bars = Bars::of(&with, highest, ALL_WIDE);
        let named = |p: &Pair| (self.names.host(&p.host), self.names.cause(&p.cause));
        let panels = pairs.iter().take(PANELS).map(|p| {
            let (host, cause) = named(p);
            let ask = Ask { host: p.host.clone(), cause: p.cause.clone(), ..ask.clone() };
            self.panel((&host, &cause), (&p.weeks, late), most, &ask)
        });
        let mut rows = vec![(asked_of_all.clone(), answered.clone(), all.clone())];
        rows.extend(pairs.iter().take(PANELS).map(|p| {
            let (host, cause) = named(p);
            (host, cause, p.weeks.clone())
        }));
        Ok(Board {
            title: self.title(weeks, all.len()),
            line: frame.with(
                "season-line",
                [
                    ("n", &counts.inquiries),
                    ("from", &self.when.date(weeks.monday())),
                    ("to", &self.when.date(weeks.sunday())),
                ],
            ),
            late: if weeks.last >= late { frame.say("season-late") } else { String::new() },
            left_out: if counts.not_counted == 0 {
                String::new()
            } else {
                frame.with("season-left-out", [("n", &counts.not_counted)])
            },
            empty: counts.inquiries == 0,
            panels: panels.collect(),
            all: everything,
            tables: self.tables(&rows, late),
            before: if has_before {
                self.before(&counts, &self.index.counts(&before_ask)?.named(self.names), before.year)
            } else {
                None
            },
            plants: self.plants(&counts, &ask),
        })
    }

    fn title(&self, weeks: &Weeks, n: usize) -> String {
        let (year, first, last) = (weeks.year.to_string(), i64::from(weeks.first), i64::from(weeks.last));
        if n == 1 {
            return self.frame.with("season-title-week", [("year", &year), ("week", &first)]);
        }
        self.frame.with("season-title", [("year", &year), ("first", &first), ("last", &last)])
    }

    fn before(&self, now: &Counts, then: &Counts, year: i16) -> Option<Before> {
        if then.inquiries == 0 {
            return None;
        }
        let mut hosts: Vec<(&str, u64, u64)> = now.hosts.iter().map(|h| (h.id.as_str(), h.inquiries, 0)).collect();
        for host in &then.hosts {
            match hosts.iter_mut().find(|(id, ..)| *id == host.id) {
                Some(row) => row.2 = host.inquiries,
                None => hosts.push((&host.id, 0, host.inquiries)),
            }
        }
        let column = |at: fn(&(&str, u64, u64)) -> u64, of: u64| -> Vec<Told> {
            tell(&hosts.iter().map(|h| (at(h), of)).collect::<Vec<_>>(), self.exact)
        };
        let (a, b) = (column(|h| h.1, now.inquiries), column(|h| h.2, then.inquiries));
        let mut rows = vec![(
            self.frame.say("season-all"),
            self.frame.with("season-inquiries", [("n", &now.inquiries)]),
            self.frame.with("season-inquiries", [("n", &then.inquiries)]),
        )];
        rows.extend(
            hosts
                .iter()
                .zip(a.into_iter().zip(b))
                .map(|((id, ..), (a, b))| (self.names.host(id), a.full(self.frame), b.full(self.frame))),
        );
        Some(Before { year, rows })
    }
}
