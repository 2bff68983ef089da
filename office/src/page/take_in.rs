//! The page that bundles are dropped into, with the log of them; one bundle, or those that came together.

use askama::Template;
use axum::{
    Extension,
    extract::{Path, Query, State, rejection::QueryRejection},
    response::Response,
};
use dooryard_core::words::Argument;
use serde::Deserialize;

use super::{
    arriving::MOST_FILES,
    brought::{Brought, brought, disagreements},
    bundles::Bundle,
    clash::Clash,
    enrol,
    frame::{Frame, Here},
    guard::Row,
    health,
    inquiry_page::saying,
    intake, originals,
    phones::{self, Phone, phones},
    replies,
    routes::{Desk, Shared, answer, html},
    set_aside,
    trouble::Trouble,
    uploads,
    words::size,
};
use crate::{
    desk::Taken,
    people::{Role, Visitor},
};

/// Most that is sent by a form of this part, bytes: a phone's code is the longest.
const FORM: usize = 8 << 10;

/// The ways to ask for something of this part.
pub(super) fn rows() -> Vec<Row> {
    let (reader, lead) = (Some(Role::Reader), Some(Role::ScoutLead));
    let (reviewer, admin) = (Some(Role::Reviewer), Some(Role::Admin));
    vec![
        Row::see("/take-in", reader, page),
        Row::receive("/take-in", Role::ScoutLead, uploads::MOST, uploads::receive),
        Row::see("/take-in/{number}", reader, bundle),
        Row::see("/take-in/how-far/{number}", lead, uploads::how_far),
        Row::see("/take-in/{number}/original", lead, originals::take_out),
        Row::send("/take-in/{number}/again", lead, originals::again).up_to(FORM),
        Row::see("/set-aside", reader, set_aside::page),
        Row::send("/set-aside/again", lead, set_aside::again).up_to(FORM),
        Row::send("/set-aside/{file}/throw-away", admin, set_aside::throw_away).up_to(FORM),
        Row::send("/set-aside/changes", reviewer, set_aside::decide).up_to(FORM),
        Row::send("/set-aside/damaged", admin, set_aside::erase_damaged).up_to(FORM),
        Row::see("/phones", reader, phones::page),
        Row::send("/phones/replies", lead, replies::all).up_to(FORM),
        Row::send("/phones/{phone}/reply", lead, replies::one).up_to(FORM),
        Row::send("/phones/invite", admin, enrol::invite).up_to(FORM),
        Row::send("/phones/ask", admin, enrol::hear).up_to(FORM),
        Row::send("/phones/{phone}/admit", admin, enrol::admit).up_to(FORM),
        Row::send("/phones/{phone}/turn-away", admin, enrol::turn_away).up_to(FORM),
        Row::send("/phones/{phone}/close", admin, enrol::close).up_to(FORM),
        Row::see("/health-of-office", reader, health::page),
    ]
}

/// Most bundles that are shown as having come together.
const TOGETHER: usize = 200;

#[derive(Template)]
#[template(path = "take_in.html")]
struct TakeInPage {
    frame: Frame,
    page: intake::Log,
    /// For whoever may take bundles in.
    form: Option<Drop>,
    first: bool,
}

/// What the form for files says, also through its script. In the script's sentences words in braces are put in later.
struct Drop {
    most: u64,
    files: usize,
    limit: String,
    sending: String,
    taking: String,
    done: String,
    large: String,
    many: String,
    lost: String,
}

impl Drop {
    fn new(frame: &Frame) -> Self {
        let size = size(uploads::MOST, frame.words);
        let on_its_way = |name: &str| {
            let places: [(&str, &dyn Argument); 4] =
                [("file", &"{file}"), ("n", &"{n}"), ("files", &"{files}"), ("percent", &"{percent}")];
            frame.with(name, places)
        };
        Self {
            most: uploads::MOST,
            files: MOST_FILES,
            limit: frame.with("take-in-limit", [("files", &MOST_FILES), ("most", &size)]),
            sending: on_its_way("take-in-js-sending"),
            taking: on_its_way("take-in-js-taking"),
            done: frame.with("take-in-js-done", [("n", &"{n}"), ("files", &"{files}")]),
            large: frame.with("take-in-js-large", [("file", &"{file}"), ("most", &size)]),
            many: frame.with("take-in-js-many", [("most", &MOST_FILES)]),
            lost: frame.with("take-in-js-lost", [("file", &"{file}")]),
        }
    }
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
        let page = intake::log(&desk.office, before, &frame.when(), frame.words)?;
        let form = may.then(|| Drop::new(&frame));
        Ok(html(&TakeInPage { page, form, first: before.is_none(), frame }))
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
    /// What became of the file itself: whether it is here, and in words.
    original: (bool, String),
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
        let read = |text: &str| text.parse::<usize>().ok();
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
    let when = frame.when();
    let (b, at, taken) = intake::one(&desk.office, number, &when, frame.words)?.ok_or(Trouble::NotHere)?;
    let brought = brought(desk, &taken.report, &frame)?;
    let clashes = saying(desk, &frame, |say| disagreements(desk, &taken.report, say))?;
    let phone = of_phone(&taken, phones(&desk.office, &when, frame.words)?.1);
    let original = originals::told(desk, (at, &taken), &frame);
    Ok(html(&BundlePage { b, brought, clashes, phone, may, original, frame }))
}

fn of_phone(taken: &Taken, phones: Vec<Phone>) -> Option<Phone> {
    let from = &taken.report;
    // Reports of before the device was written down name it by its label alone.
    let same = |phone: &Phone| if from.device.is_empty() { phone.label == from.from } else { phone.id == from.device };
    phones.into_iter().find(same)
}

fn together(desk: &Desk, frame: Frame, first: usize, last: usize) -> Result<Response, Trouble> {
    let when = frame.when();
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
