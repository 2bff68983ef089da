//! The season board and the report of a month: counts per plant and cause, week by week, each with what it is out of.
//!
//! Comes in: weeks, a township, a plant, out of the address; counts of the index. Goes out: pages with bars drawn here and the
//! same as tables. Small counts are told to those who see the records behind them.

mod asked;
mod bars;
mod board;
mod panels;
mod plants;
mod report;
#[cfg(test)]
mod tests;

use askama::Template;
use axum::{
    Extension,
    extract::{Query, State, rejection::QueryRejection},
    response::Response,
};
use jiff::civil::Date;
use serde::Deserialize;

use self::{
    asked::{Asked, Weeks},
    board::{Board, Making},
    report::{Month, Report},
};
use super::{
    choices::Choice,
    frame::{Frame, Here},
    map::sealed,
    routes::{Desk, Shared, answer, html},
    trouble::Trouble,
    words::by_name,
};
use crate::{index::Index, people::Visitor};

#[derive(Template)]
#[template(path = "season.html")]
struct SeasonPage {
    frame: Frame,
    board: Board,
    choices: Vec<Choice>,
    narrowed: bool,
    report: String,
    sealed: String,
}

pub(super) async fn page(
    State(desk): Shared,
    Extension(who): Extension<Visitor>,
    asked: Result<Query<Asked>, QueryRejection>,
) -> Response {
    let exact = who.role.sees_private();
    answer(desk, Some(who), Here::Season, move |desk, frame| {
        let Query(asked) = asked.map_err(|_| Trouble::BadAddress(frame.say("season-bad-address")))?;
        let (index, when) = (desk.index()?, frame.when());
        let days = days(&index)?;
        let weeks = asked.weeks(days, when.today());
        let weeks = weeks.map_err(|_| Trouble::BadAddress(frame.say("season-bad-address")))?;
        let making = Making { index: &index, names: desk.names_in(frame.words.0), frame: &frame, when: &when, exact };
        let board = making.board(&asked, &weeks, days.map(|d| d.0))?;
        let page = SeasonPage {
            board,
            choices: choices(desk, &index, &frame, &asked, &weeks, days)?,
            narrowed: asked.narrows(),
            report: weeks.sunday().min(days.map_or(when.today(), |d| d.1)).strftime("%Y-%m").to_string(),
            sealed: sealed(&index, &frame)?,
            frame,
        };
        Ok(html(&page))
    })
    .await
}

#[derive(Default, Deserialize)]
#[serde(default)]
pub(super) struct Wanted {
    month: String,
}

#[derive(Template)]
#[template(path = "season_report.html")]
struct ReportPage {
    frame: Frame,
    r: Report,
}

pub(super) async fn report(
    State(desk): Shared,
    Extension(who): Extension<Visitor>,
    wanted: Result<Query<Wanted>, QueryRejection>,
) -> Response {
    let exact = who.role.sees_private();
    answer(desk, Some(who), Here::Season, move |desk, frame| {
        let Query(wanted) = wanted.map_err(|_| Trouble::BadAddress(frame.say("season-bad-month")))?;
        let (index, when) = (desk.index()?, frame.when());
        let newest = days(&index)?.map_or(when.today(), |d| d.1);
        let month = match wanted.month.as_str() {
            "" => Month::with(newest),
            text => Month::of(text).ok_or_else(|| Trouble::BadAddress(frame.say("season-bad-month")))?,
        };
        let making = Making { index: &index, names: desk.names_in(frame.words.0), frame: &frame, when: &when, exact };
        let r = making.report(month, sealed(&index, &frame)?)?;
        Ok(html(&ReportPage { r, frame }))
    })
    .await
}

/// The first and the last day of what was reported.
fn days(index: &Index) -> Result<Option<(Date, Date)>, Trouble> {
    let days = index.days()?;
    Ok(days.and_then(|(first, last)| Some((first.parse().ok()?, last.parse().ok()?))))
}

fn choices(
    desk: &Desk,
    index: &Index,
    frame: &Frame,
    asked: &Asked,
    weeks: &Weeks,
    days: Option<(Date, Date)>,
) -> Result<Vec<Choice>, Trouble> {
    let [townships, _, hosts, _] = index.offered()?;
    let years = days.map_or(weeks.year..=weeks.year, |(first, last)| {
        first.iso_week_date().year().min(weeks.year)..=last.iso_week_date().year().max(weeks.year)
    });
    let numbers: Vec<String> = (1..=asked::weeks_in(weeks.year)).map(|n| n.to_string()).collect();
    let same = |all: Vec<String>, chosen: &str| -> Vec<(String, String, bool)> {
        all.into_iter().map(|v| (v.clone(), v.clone(), v == chosen)).collect()
    };
    let mut plants: Vec<(String, String, bool)> =
        hosts.into_iter().map(|id| (id.clone(), desk.names_in(frame.words.0).host(&id), id == asked.host)).collect();
    plants.sort_by_key(|(_, name, _)| by_name(name));
    let all = |mut options: Vec<(String, String, bool)>| {
        options.insert(0, (String::new(), frame.say("list-all"), false));
        options
    };
    Ok(vec![
        Choice {
            name: "year",
            label: frame.say("season-year"),
            options: same(years.rev().map(|y| y.to_string()).collect(), &weeks.year.to_string()),
        },
        Choice {
            name: "from",
            label: frame.say("season-from"),
            options: same(numbers.clone(), &weeks.first.to_string()),
        },
        Choice { name: "to", label: frame.say("season-to"), options: same(numbers, &weeks.last.to_string()) },
        Choice {
            name: "township",
            label: frame.say("season-township"),
            options: all(same(townships, &asked.township)),
        },
        Choice { name: "host", label: frame.say("season-plant"), options: all(plants) },
    ])
}
