//! The page that bundles are dropped into, with the log of them; one bundle, or those that came together.

use askama::Template;
use axum::{
    Extension,
    extract::{Path, Query, State, rejection::QueryRejection},
    response::Response,
};
use serde::Deserialize;

use super::{
    brought::{Brought, brought, disagreements},
    bundles::Bundle,
    clash::Clash,
    frame::{Frame, Here},
    intake,
    phones::{Phone, phones},
    routes::{Desk, Shared, answer, html},
    set_aside::size,
    trouble::Trouble,
    uploads,
};
use crate::{
    desk::Taken,
    people::{Role, Visitor},
};

/// Most bundles that are shown as having come together.
const TOGETHER: usize = 200;

#[derive(Template)]
#[template(path = "take_in.html")]
struct TakeInPage {
    frame: Frame,
    page: intake::Log,
    /// Whoever looks may take bundles in, at most so much at once.
    may: Option<String>,
    first: bool,
}

/// The page key: bundles with lower numbers are shown.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(super) struct Before {
    before: Option<usize>,
}

pub(super) async fn page(
    State(desk): Shared,
    Extension(who): Extension<Visitor>,
    asked: Result<Query<Before>, QueryRejection>,
) -> Response {
    let may = who.role >= Role::ScoutLead;
    answer(desk, Some(who), Here::TakeIn, move |desk, frame| {
        let asked = asked.map_err(|_| Trouble::BadAddress(frame.words.say("take-in-place-no-number")))?;
        let Query(Before { before }) = asked;
        let page = intake::log(&desk.office, before, &desk.when(&frame), frame.words)?;
        let may = may.then(|| size(uploads::MOST, &frame));
        Ok(html(&TakeInPage { page, may, first: before.is_none(), frame }))
    })
    .await
}

#[derive(Template)]
#[template(path = "bundle.html")]
struct BundlePage {
    frame: Frame,
    b: Bundle,
    brought: Brought,
    clashes: Vec<(Clash, String)>,
    /// The phone it came from, as it stands now.
    phone: Option<Phone>,
    /// Whoever looks may take bundles in and make replies.
    may: bool,
}

#[derive(Template)]
#[template(path = "bundles.html")]
struct BundlesPage {
    frame: Frame,
    head: String,
    bundles: Vec<Bundle>,
    /// Changes in all of them, new ones, those that were here, those set aside.
    sum: [u64; 4],
}

pub(super) async fn bundle(
    State(desk): Shared,
    Extension(who): Extension<Visitor>,
    Path(number): Path<String>,
) -> Response {
    let may = who.role >= Role::ScoutLead;
    answer(desk, Some(who), Here::TakeIn, move |desk, frame| {
        let read = |text: &str| text.parse::<usize>().ok().filter(|n| *n > 0);
        let bad = || Trouble::BadAddress(frame.words.say("take-in-bad-number"));
        let (first, last) = match number.split_once('-') {
            Some((first, last)) => (read(first).ok_or_else(bad)?, read(last).ok_or_else(bad)?),
            None => (read(&number).ok_or_else(bad)?, read(&number).ok_or_else(bad)?),
        };
        if first > last || last - first >= TOGETHER {
            return Err(bad());
        }
        if first < last { together(desk, frame, first, last) } else { alone(desk, frame, first, may) }
    })
    .await
}

fn alone(desk: &Desk, frame: Frame, number: usize, may: bool) -> Result<Response, Trouble> {
    let when = desk.when(&frame);
    let (b, taken) = intake::one(&desk.office, number, &when, frame.words)?.ok_or(Trouble::NotHere)?;
    let ledger = desk.ledger()?;
    let brought = brought(desk, &ledger, &taken.report, &when, &frame)?;
    let clashes = disagreements(desk, &ledger, &taken.report, &when)?;
    let phone = of_phone(&taken, phones(&desk.office, &when, frame.words)?.1);
    Ok(html(&BundlePage { b, brought, clashes, phone, may, frame }))
}

fn of_phone(taken: &Taken, phones: Vec<Phone>) -> Option<Phone> {
    let id = &taken.report.device;
    phones.into_iter().find(|phone| phone.id == *id)
}

fn together(desk: &Desk, frame: Frame, first: usize, last: usize) -> Result<Response, Trouble> {
    let when = desk.when(&frame);
    let mut bundles = Vec::new();
    for number in first..=last {
        bundles.push(intake::one(&desk.office, number, &when, frame.words)?.ok_or(Trouble::NotHere)?.0);
    }
    let all = |part: fn(&Bundle) -> u64| bundles.iter().map(part).sum();
    let sum = [all(|b| b.came), all(|b| b.new), all(|b| b.repeated), all(|b| b.set_aside)];
    let (n, kept) = (bundles.len(), bundles.iter().filter(|b| b.kept).count());
    let head = frame.words.with("take-in-together", [("n", &n), ("kept", &kept)]);
    Ok(html(&BundlesPage { head, bundles, sum, frame }))
}
