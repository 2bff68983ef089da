//! The map: where inquiries come from, by township or by cell, shaded by a share and never by a number, with the list of the
//! same beside it.
//!
//! Comes in: the filters of the list, the county's own files, counts of the index. Goes out: a page with a drawing that needs
//! no script, the same as a table, and data for a map that can be moved. The smallest place is a cell of about five miles, for
//! those who see addresses; a township for everybody else.

mod areas;
mod basemap;
mod county;
mod data;
mod draw;
#[cfg(test)]
mod tests;
pub(in crate::page) mod told;

use std::sync::Arc;

use askama::Template;
use axum::{
    Extension,
    extract::{Query, State, rejection::QueryRejection},
    http::HeaderMap,
    response::Response,
};
pub(in crate::page) use county::Kept;
use serde::Deserialize;

use self::{
    areas::{By, Places, Shade, places},
    basemap::Basemap,
    county::{Bad, County},
    draw::{Drawing, Drawn},
    told::{Told, tell_one},
};
use super::{
    choices::{Choice, Day, choices, days},
    filter::Filter,
    frame::{Frame, Here},
    routes::{Desk, Shared, answer, html},
    trouble::Trouble,
};
use crate::{
    index::{Ask, From, Index},
    people::{Role, Visitor},
};

/// What the address asks beside the filters.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(super) struct Asked {
    by: String,
}

/// A map as the address asks for it, counted.
struct Counted {
    index: Arc<Index>,
    frame: Frame,
    filter: Filter,
    role: Role,
    county: Arc<County>,
    by: By,
    places: Places,
    /// Name and count of each row.
    words: Vec<(String, String)>,
}

#[derive(Template)]
#[template(path = "map.html")]
struct MapPage {
    frame: Frame,
    filter: Filter,
    choices: Vec<Choice>,
    days: [Day; 2],
    /// Whoever looks sees what is private, and small counts.
    sees_private: bool,
    /// Ways to count: (value, words, chosen); one where the role knows no other.
    ways: Vec<(&'static str, String, bool)>,
    /// What is shown, out of what.
    line: String,
    /// How shading is to be read, or what to choose so that there is any.
    about: String,
    shaded: bool,
    left_out: String,
    sealed: String,
    bad: Vec<(String, String, String)>,
    drawing: Option<Drawing>,
    rows: Vec<Row>,
    all: Row,
    /// The head of the first column.
    column: String,
    legend: Vec<(Shade, String)>,
    /// Addresses of the data for a map that can be moved.
    data: String,
    basemap: Basemap,
    /// There is a line of the county to draw on.
    has_lines: bool,
}

/// One row of the table beside the map.
struct Row {
    number: usize,
    name: String,
    count: String,
    share: String,
    between: String,
    list: String,
    /// It lies on the map.
    placed: bool,
}

/// Both as they came.
type Given = (Result<Query<Filter>, QueryRejection>, Result<Query<Asked>, QueryRejection>);

pub(super) async fn page(
    State(desk): Shared,
    Extension(who): Extension<Visitor>,
    filter: Result<Query<Filter>, QueryRejection>,
    asked: Result<Query<Asked>, QueryRejection>,
) -> Response {
    let role = who.role;
    answer(desk, Some(who), Here::Map, move |desk, frame| {
        Ok(html(&made(desk, Counted::of(desk, frame, role, (filter, asked))?)?))
    })
    .await
}

/// Areas and their counts, as GeoJSON.
pub(super) async fn areas(
    State(desk): Shared,
    Extension(who): Extension<Visitor>,
    filter: Result<Query<Filter>, QueryRejection>,
    asked: Result<Query<Asked>, QueryRejection>,
) -> Response {
    let role = who.role;
    answer(desk, Some(who), Here::Map, move |desk, frame| {
        let counted = Counted::of(desk, frame, role, (filter, asked))?;
        Ok(data::areas(&counted.places, &counted.words))
    })
    .await
}

/// The county's lines, as GeoJSON.
pub(super) async fn lines(State(desk): Shared, Extension(who): Extension<Visitor>) -> Response {
    answer(desk, Some(who), Here::Map, |desk, _| Ok(data::county(&desk.county.read(desk.office.folder())))).await
}

/// Parts of the base map.
pub(super) async fn basemap(State(desk): Shared, Extension(who): Extension<Visitor>, headers: HeaderMap) -> Response {
    answer(desk, Some(who), Here::Map, move |desk, _| basemap::part(desk.office.folder(), &headers)).await
}

fn given((filter, asked): Given, role: Role, frame: &Frame) -> Result<(Filter, By), Trouble> {
    let (Ok(Query(filter)), Ok(Query(asked))) = (filter, asked) else {
        return Err(Trouble::BadAddress(frame.say("map-bad-address")));
    };
    match asked.by.as_str() {
        "" | "township" => Ok((filter, By::Township)),
        "cell" if role.sees_private() => Ok((filter, By::Cell)),
        "cell" => Err(Trouble::NotAllowed),
        _ => Err(Trouble::BadAddress(frame.say("map-bad-address"))),
    }
}

fn question(filter: &Filter, role: Role) -> Ask {
    Ask { names_only: !role.sees_private(), ..filter.ask() }
}

impl Counted {
    fn of(desk: &Desk, frame: Frame, role: Role, asked: Given) -> Result<Self, Trouble> {
        let (index, county) = (desk.index()?, desk.county.read(desk.office.folder()));
        let (filter, by) = given(asked, role, &frame)?;
        let places = places(&index, &question(&filter, role), by, &county, role.sees_private())?;
        let name = |key: &str| match by {
            _ if key.is_empty() => frame.say("map-no-place"),
            By::Township => township(&frame, key),
            By::Cell => key.to_owned(),
        };
        let words = places.rows.iter().map(|row| (name(&row.key), row.told.words(&frame))).collect();
        Ok(Self { index, frame, filter, role, county, by, places, words })
    }
}

fn made(desk: &Desk, counted: Counted) -> Result<MapPage, Trouble> {
    let Counted { index, frame, filter, role, county, by, places, words } = counted;
    let ask = question(&filter, role);
    let of = areas::out_of(&ask);
    let shaded = of != ask;
    let rows: Vec<Row> = places
        .rows
        .iter()
        .zip(&words)
        .enumerate()
        .map(|(at, (place, (name, count)))| {
            let there = match by {
                By::Township => Filter { township: place.key.clone(), ..filter.first() },
                By::Cell => Filter { cell: place.key.clone(), ..filter.first() },
            };
            let list = if place.key.is_empty() { String::new() } else { there.href(1, From::Newest) };
            Row {
                list,
                placed: place.area.is_some(),
                ..row(&frame, at + 1, name.clone(), count.clone(), place.told, shaded)
            }
        })
        .collect();
    let (n, all) = places.all;
    let told = tell_one(n, all, role.sees_private());
    let total = row(&frame, 0, frame.say("map-whole"), told.words(&frame), told, shaded);
    let cells: Vec<Drawn<'_>> = places
        .rows
        .iter()
        .zip(&rows)
        .filter_map(|(place, row)| {
            let area = place.area.as_ref()?;
            Some(Drawn { area, shade: place.shade, name: place.label(), count: &row.count, number: row.number })
        })
        .collect();
    let outline = county.outline.as_ref();
    let (what, of_what) = (said(desk, &frame, &ask), out_of(desk, &frame, &ask));
    Ok(MapPage {
        choices: choices(index.offered()?, &filter, desk.names_in(frame.words.0), frame.words),
        days: days(&filter, frame.words),
        sees_private: role.sees_private(),
        ways: ways(by, role, &frame),
        line: match told {
            Told::Whole(n, _) if !shaded => frame.with("map-line-all", [("n", &n)]),
            Told::Nobody => frame.with("map-line-all", [("n", &0u64)]),
            Told::Few => frame.say("map-line-few"),
            told => frame.with("map-line", [("count", &told.words(&frame)), ("what", &what), ("of", &of_what)]),
        },
        about: if shaded {
            frame.with("map-shaded", [("what", &what), ("of", &of_what)])
        } else {
            frame.say("map-choose")
        },
        shaded,
        left_out: if places.left_out == 0 {
            String::new()
        } else {
            frame.with("season-left-out", [("n", &places.left_out)])
        },
        sealed: sealed(&index, &frame)?,
        bad: county.bad.iter().map(|bad| said_bad(&frame, bad)).collect(),
        drawing: Drawing::of(outline, &cells),
        legend: data::SHADES.iter().map(|s| (*s, frame.say(&format!("map-shade-{}", s.name())))).collect(),
        column: frame.say(if by == By::Cell { "map-cell" } else { "map-township" }),
        data: address("/map/areas.geojson", &filter, by),
        basemap: Basemap::of(desk.office.folder()),
        has_lines: outline.is_some() || !county.townships.is_empty(),
        all: total,
        rows,
        filter,
        frame,
    })
}

fn row(frame: &Frame, number: usize, name: String, count: String, told: Told, shaded: bool) -> Row {
    let share = if shaded { told.share(frame).map(|(share, _, between)| (share, between)) } else { None };
    let (share, between) = share.unwrap_or_default();
    Row { number, name, count, share, between, list: String::new(), placed: false }
}

fn ways(by: By, role: Role, frame: &Frame) -> Vec<(&'static str, String, bool)> {
    let mut ways = vec![("township", frame.say("map-by-township"), by == By::Township)];
    if role.sees_private() {
        ways.push(("cell", frame.say("map-by-cell"), by == By::Cell));
    }
    ways
}

/// What is counted, in words: the plant and the cause, or what else was chosen.
fn said(desk: &Desk, frame: &Frame, ask: &Ask) -> String {
    let names = desk.names_in(frame.words.0);
    let (plant, cause) = (names.host(&ask.host), names.cause(&ask.cause));
    match (ask.host.is_empty(), ask.cause.is_empty()) {
        (false, false) => frame.with("map-what-both", [("plant", &plant), ("cause", &cause)]),
        (false, true) => frame.with("map-what-plant", [("plant", &plant)]),
        (true, false) => frame.with("map-what-cause", [("cause", &cause)]),
        (true, true) if *ask == areas::out_of(ask) => frame.say("map-what-all"),
        (true, true) => frame.say("map-what-chosen"),
    }
}

/// What its share is out of, in words.
fn out_of(desk: &Desk, frame: &Frame, ask: &Ask) -> String {
    let of = areas::out_of(ask);
    if of == areas::out_of(&of) {
        frame.say("map-of-out")
    } else if of.host.is_empty() {
        frame.say("map-of-chosen")
    } else {
        frame.with("map-of-plant", [("plant", &desk.names_in(frame.words.0).host(&of.host))])
    }
}

/// `Sedge township`; where nobody wrote it down, so.
pub(in crate::page) fn township(frame: &Frame, name: &str) -> String {
    match name {
        "" => frame.say("map-no-place"),
        name if name.to_lowercase().contains("township") => name.to_owned(),
        name => frame.with("map-township-of", [("name", &name)]),
    }
}

/// That something is under seal, without saying what; empty where nothing is.
pub(in crate::page) fn sealed(index: &Index, frame: &Frame) -> Result<String, Trouble> {
    let n = index.sealed_records()?;
    Ok(if n == 0 { String::new() } else { frame.with("list-sealed", [("n", &n)]) })
}

fn said_bad(frame: &Frame, bad: &Bad) -> (String, String, String) {
    let (why, to_do) = (bad.why.id(), format!("{}-do", bad.why.id()));
    let detail = if bad.detail.is_empty() { frame.say("map-file-the-outline") } else { bad.detail.clone() };
    (bad.file.to_owned(), frame.with(why, [("detail", &detail)]), frame.say(&to_do))
}

/// The address of the same filters on another page.
fn address(page: &str, filter: &Filter, by: By) -> String {
    let by = if by == By::Cell { "by=cell" } else { "by=township" };
    match filter.query() {
        query if query.is_empty() => format!("{page}?{by}"),
        query => format!("{page}?{query}&{by}"),
    }
}
