//! The pages of what the office holds: inquiries, photos, bundles, phones.

use std::collections::BTreeSet;

use askama::Template;
use axum::{
    Extension,
    extract::{Path, Query, State, rejection::QueryRejection},
    response::Response,
};
use dooryard_core::{ids::RecordId, record::Kind};

use super::{
    bundles::Bundle,
    clash::Clash,
    filter::Filter,
    frame::{Frame, Here},
    guard::Noted,
    inquiries::{List, Marks, list_page},
    intake,
    phones::{self, Asking, Phone},
    picture::{self, Size},
    routes::{Desk, Shared, answer, html},
    trouble::Trouble,
    words::When,
};
use crate::{
    ledger::row_of,
    people::{Act, Visitor},
};

type Who = Extension<Visitor>;

#[derive(Template)]
#[template(path = "inquiries.html")]
struct InquiriesPage {
    frame: Frame,
    page: List,
}

pub(super) async fn inquiries(
    State(desk): Shared,
    Extension(who): Who,
    filter: Result<Query<Filter>, QueryRejection>,
) -> Response {
    let sees_private = who.role.sees_private();
    answer(desk, Some(who), Here::Inquiries, move |desk, frame| {
        let Query(filter) = filter.map_err(|_| Trouble::BadAddress("A filter in it is not of its form.".into()))?;
        let ledger = desk.ledger()?;
        // Words are looked for in all fields, private ones too: others find by the names of plants and causes alone.
        let words = if sees_private { filter.q.as_str() } else { "" };
        let mut marks = Marks::read(desk.notebook(), &ledger, words)?;
        if !sees_private && !filter.q.trim().is_empty() {
            marks.with_words = Some(BTreeSet::new());
        }
        let mut page = list_page(&ledger, &marks, &filter, &desk.names, &When::now());
        for row in page.rows.iter_mut().filter(|row| row.own_words && !sees_private) {
            (row.words, row.own_words) = (String::new(), false);
        }
        Ok(html(&InquiriesPage { frame, page }))
    })
    .await
}

pub(super) async fn photo(
    State(desk): Shared,
    Extension(who): Who,
    Path((id, size)): Path<(String, String)>,
) -> Response {
    answer(desk, Some(who), Here::Inquiries, move |desk, _| {
        let size = match size.as_str() {
            "small" => Size::Small,
            "large" => Size::Large,
            "full" => Size::Full,
            _ => return Err(Trouble::NoSuchPage),
        };
        let record = desk.notebook().show(record_id(&id)?)?;
        if record.kind != Kind::Photo || record.hidden {
            return Err(Trouble::NotHere);
        }
        let ledger = desk.ledger()?;
        if ledger.owner(&row_of(&record)).is_some_and(|inquiry| ledger.sealed.contains(&inquiry)) {
            return Err(Trouble::Sealed);
        }
        // The small ones come with their inquiry, which is noted.
        let seen = if size == Size::Small { Vec::new() } else { vec![Act::SawPhoto] };
        Ok(Noted::on(picture::picture(desk.notebook(), &record, size)?, seen))
    })
    .await
}

#[derive(Template)]
#[template(path = "take_in.html")]
struct TakeInPage {
    frame: Frame,
    page: intake::Log,
}

pub(super) async fn take_in(State(desk): Shared, Extension(who): Who) -> Response {
    answer(desk, Some(who), Here::TakeIn, |desk, frame| {
        let page = intake::log(&desk.office, &When::now())?;
        Ok(html(&TakeInPage { frame, page }))
    })
    .await
}

#[derive(Template)]
#[template(path = "bundle.html")]
struct BundlePage {
    frame: Frame,
    b: Bundle,
    clashes: Vec<(Clash, String)>,
}

pub(super) async fn bundle(State(desk): Shared, Extension(who): Who, Path(number): Path<String>) -> Response {
    answer(desk, Some(who), Here::TakeIn, move |desk, frame| {
        let number: usize = number.parse().map_err(|_| Trouble::BadAddress("Bundles are numbered 1, 2, 3.".into()))?;
        let when = When::now();
        let b = intake::one(&desk.office, number, &when)?.ok_or(Trouble::NotHere)?;
        let clashes = open_conflicts(desk, &when)?;
        Ok(html(&BundlePage { frame, b, clashes }))
    })
    .await
}

/// Every open conflict outside the seal, with the address of its inquiry.
fn open_conflicts(desk: &Desk, when: &When) -> Result<Vec<(Clash, String)>, Trouble> {
    let ledger = desk.ledger()?;
    let mut shown = Vec::new();
    for conflict in desk.notebook().conflicts()? {
        let inquiries = ledger.inquiries_of(&row_of(&desk.notebook().show(conflict.record)?));
        if inquiries.iter().any(|id| ledger.sealed.contains(id)) {
            continue;
        }
        let href = inquiries.first().map_or_else(String::new, |id| format!("/inquiries/{id}"));
        shown.extend(super::clash::clash(&conflict, &desk.names, when, false).map(|c| (c, href)));
    }
    Ok(shown)
}

#[derive(Template)]
#[template(path = "phones.html")]
struct PhonesPage {
    frame: Frame,
    line: String,
    asking: Vec<Asking>,
    phones: Vec<Phone>,
}

pub(super) async fn phones_page(State(desk): Shared, Extension(who): Who) -> Response {
    answer(desk, Some(who), Here::Phones, |desk, frame| {
        let (line, phones) = phones::phones(&desk.office, &When::now())?;
        let asking = phones::asking(&desk.office)?;
        Ok(html(&PhonesPage { frame, line, asking, phones }))
    })
    .await
}

pub(super) fn record_id(text: &str) -> Result<RecordId, Trouble> {
    text.parse().map_err(|_| Trouble::BadAddress("The number in it is not one of a record.".into()))
}
