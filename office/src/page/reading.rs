//! The pages of what the office holds: inquiries, photos, bundles, phones.

use std::collections::BTreeSet;

use askama::Template;
use axum::{
    Extension,
    extract::{Path, State},
    response::Response,
};
use dooryard_core::{ids::RecordId, record::Kind};

use super::{
    bundles::Bundle,
    clash::Clash,
    frame::{Frame, Here},
    guard::Noted,
    intake,
    phones::{self, Asking, Phone},
    picture::{self, Size},
    routes::{Desk, Shared, answer, html},
    trouble::Trouble,
    words::When,
};
use crate::{
    index::{Ask, From, rows_around},
    people::{Act, Visitor},
};

type Who = Extension<Visitor>;

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
        let id = record_id(&id)?;
        let record = desk.notebook().show(id)?;
        if record.kind != Kind::Photo || record.hidden {
            return Err(Trouble::NotHere);
        }
        if desk.index()?.is_under_seal(id)? {
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

/// Inquiries of which a page shows the open conflicts.
const WITH_CONFLICTS: usize = 20;

/// The open conflicts of the newest inquiries outside the seal that have some, with the address of each inquiry.
fn open_conflicts(desk: &Desk, when: &When) -> Result<Vec<(Clash, String)>, Trouble> {
    let (index, notebook) = (desk.index()?, desk.notebook());
    let page = index.page(&Ask { conflict: true, ..Ask::default() }, From::Newest, WITH_CONFLICTS)?;
    let (mut shown, mut done) = (Vec::new(), BTreeSet::new());
    for inquiry in page.rows.iter().map(|row| row.key.id) {
        let rows = rows_around(notebook, &[inquiry])?;
        let ids: Vec<_> = rows.iter().filter(|row| row.conflicts > 0).map(|row| row.id).collect();
        for conflict in notebook.conflicts_in(&ids)? {
            // One of a site or a contact that several share, or that is under seal elsewhere.
            if index.is_under_seal(conflict.record)? || !done.insert((conflict.record, conflict.field.clone())) {
                continue;
            }
            let clash = super::clash::clash(&conflict, &desk.names, when, false);
            shown.extend(clash.map(|c| (c, format!("/inquiries/{inquiry}"))));
        }
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
