//! The season board: what was reported week by week, per plant and cause, each count with what it is out of.

use std::collections::BTreeMap;

use jiff::civil::Date;

use super::{
    asked::{Asked, Weeks},
    bars::{Bars, Week},
};
use crate::{
    counts::{Counts, HostCount},
    index::{Ask, Index, Weekly},
    page::{
        frame::Frame,
        map::told::{Told, tell, tell_one},
        names::Names,
        trouble::Trouble,
        words::When,
    },
};

/// Panels of bars; the tables hold the rest.
const PANELS: usize = 12;
/// Weeks side by side in a table.
const ACROSS: usize = 13;
/// Units of a panel's width.
const WIDTH: f64 = 340.0;
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

/// One plant with its causes.
pub(super) struct Plant {
    pub(super) name: String,
    /// `90 of 300, 30 in 100 (25 to 35)`.
    pub(super) asked: String,
    /// `23 of 35 plants show it`; empty where nobody counted.
    pub(super) plants: String,
    /// `84 of 90`.
    pub(super) answered: String,
    /// Causes: name, found of those who asked, share, where the true one would lie.
    pub(super) causes: Vec<Cause>,
    pub(super) list: String,
}

/// One cause of a plant.
pub(super) struct Cause {
    pub(super) name: String,
    pub(super) found: String,
    pub(super) share: String,
    pub(super) list: String,
}

/// The same weeks of the year before.
pub(super) struct Before {
    pub(super) year: i16,
    /// Plant, this year, the year before.
    pub(super) rows: Vec<(String, String, String)>,
}

/// A plant, a cause of it, and by week: its number, found, asked about the plant.
type Counted = (String, String, Vec<(i8, u64, u64)>);

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

    fn weeks(&self, weeks: &[(i8, u64, u64)], late: i8) -> Vec<Week> {
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

    fn panel(
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

    fn tables(&self, rows: &[Counted], late: i8) -> Vec<Table> {
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

    /// Plants and causes over all the weeks.
    pub(super) fn plants(&self, counts: &Counts, ask: &Ask) -> Vec<Plant> {
        let sizes: Vec<(u64, u64)> = counts.hosts.iter().map(|h| (h.inquiries, counts.inquiries)).collect();
        let told = tell(&sizes, self.exact);
        counts.hosts.iter().zip(told).map(|(host, told)| self.plant(host, told, ask)).collect()
    }

    fn plant(&self, host: &HostCount, told: Told, ask: &Ask) -> Plant {
        let ask = Ask { host: host.id.clone(), ..ask.clone() };
        let told_whole = matches!(told, Told::Whole(..));
        let causes = host.causes.iter().filter(|_| told_whole).map(|(id, name, n)| {
            let told = tell_one(*n, host.inquiries, self.exact);
            Cause {
                name: name.clone(),
                found: told.words(self.frame),
                share: told.share(self.frame).map_or_else(String::new, |(_, share, between)| {
                    self.frame.with("season-share", [("share", &share), ("between", &between)])
                }),
                list: address("/inquiries", &Ask { cause: id.clone(), ..ask.clone() }),
            }
        });
        let (n, of) = host.plants;
        Plant {
            name: host.name.clone(),
            asked: told.full(self.frame),
            plants: if of == 0 || !told_whole {
                String::new()
            } else {
                self.frame.with("season-plants", [("n", &n), ("of", &of)])
            },
            answered: if told_whole {
                tell_one(host.answered, host.inquiries, self.exact).words(self.frame)
            } else {
                String::new()
            },
            causes: causes.collect(),
            list: address("/inquiries", &ask),
        }
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

    /// Inquiries by the words of one column, the most first: word, how many of all.
    pub(super) fn shares(&self, counts: BTreeMap<String, u64>, said: impl Fn(&str) -> String) -> Vec<(String, String)> {
        let of: u64 = counts.values().sum();
        let mut rows: Vec<(String, u64)> = counts.into_iter().map(|(word, n)| (said(&word), n)).collect();
        rows.sort_by(|a, b| b.1.cmp(&a.1).then_with(|| a.0.cmp(&b.0)));
        // All of them stand here: a number under five would be their whole less the others.
        let told = tell(&rows.iter().map(|(_, n)| (*n, of)).collect::<Vec<_>>(), self.exact);
        rows.into_iter().zip(told).map(|((word, _), told)| (word, told.full(self.frame))).collect()
    }
}

/// One plant and one cause of it.
struct Pair {
    host: String,
    cause: String,
    /// Week, found, asked about the plant.
    weeks: Vec<(i8, u64, u64)>,
}

/// Every cause of every plant, the most found first.
fn pairs(rows: Vec<Weekly>, weeks: &Weeks) -> Vec<Pair> {
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

/// The address of the list or the map with the same question.
fn address(page: &str, ask: &Ask) -> String {
    let mut query: Vec<(&str, String)> = vec![
        ("host", ask.host.clone()),
        ("cause", ask.cause.clone()),
        ("township", ask.township.clone()),
        ("since", ask.from.map(|d| d.to_string()).unwrap_or_default()),
        ("until", ask.to.map(|d| d.to_string()).unwrap_or_default()),
    ];
    query.retain(|(_, value)| !value.is_empty());
    let query = serde_urlencoded::to_string(query).unwrap_or_default();
    if query.is_empty() { page.to_owned() } else { format!("{page}?{query}") }
}
