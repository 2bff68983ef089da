//! The pages of what the office holds: inquiries, photos, bundles, phones.

use std::collections::BTreeSet;

use askama::Template;
use axum::{
    Extension,
    extract::{Path, Query, State, rejection::QueryRejection},
    response::Response,
};
use dooryard_core::{ids::RecordId, key::under_seal, notebook::Record, record::Kind};
use serde::Deserialize;

use super::{
    bundles::Bundle,
    clash::Clash,
    frame::{Frame, Here},
    gather::{Whole, day_of},
    guard::Noted,
    inquiry::{Unveil, View, view},
    intake,
    phones::{self, Asking, Phone},
    picture::{self, Size},
    reasons::{observations, raised as raised_by, reasons},
    routes::{Desk, Shared, answer, html},
    trouble::Trouble,
    words::When,
};
use crate::{
    index::{Ask, From, rows_around},
    people::{Act, Visitor},
};

type Who = Extension<Visitor>;

#[derive(Template)]
#[template(path = "inquiry.html")]
struct InquiryPage {
    frame: Frame,
    v: View,
    /// Whoever looks does not see what is private.
    closed: bool,
}

#[derive(Default, Deserialize)]
#[serde(default)]
pub(super) struct Asked {
    place: String,
    contact: String,
}

pub(super) async fn inquiry(
    State(desk): Shared,
    Extension(who): Who,
    Path(id): Path<String>,
    asked: Result<Query<Asked>, QueryRejection>,
) -> Response {
    let closed = !who.role.sees_private();
    answer(desk, Some(who), Here::Inquiries, move |desk, frame| {
        let id = record_id(&id)?;
        let Query(asked) = asked.map_err(|_| Trouble::BadAddress("What it asks to see is not of its form.".into()))?;
        if desk.index()?.is_sealed(id)? {
            return Err(Trouble::Sealed);
        }
        let notebook = desk.notebook();
        let whole = Whole::read(notebook, id)?;
        let day = day_of(&whole);
        let mut raised = Vec::new();
        let why = |plant: &Record, findings: &[&Record]| {
            let host = plant.text("host").unwrap_or_default();
            let (given, unknown) = observations(&desk.pack, host, day, findings);
            raised.extend(raised_by(&desk.pack, &given));
            reasons(&desk.pack, &desk.names, &given, unknown).ok().filter(|_| !given.findings.is_empty())
        };
        if closed && (asked.place == "full" || asked.contact == "full") {
            return Err(Trouble::NotAllowed);
        }
        let unveil = Unveil { place: asked.place == "full", contact: asked.contact == "full" };
        let here = |photo: &Record| picture::here(notebook, photo);
        let mut v = view(&whole, &desk.names, &When::now(), unveil, why, here);
        if under_seal(raised.iter().map(|s| s.id.as_str())) {
            return Err(Trouble::Sealed);
        }
        v.add_raised(&raised, &desk.names);
        if closed {
            v.said.clear();
            v.clashes = whole
                .conflicts
                .iter()
                .filter_map(|c| super::clash::clash(c, &desk.names, &When::now(), false))
                .collect();
        }
        let mut seen = vec![Act::SawInquiry];
        seen.extend(unveil.place.then_some(Act::SawPlace));
        seen.extend(unveil.contact.then_some(Act::SawContact));
        Ok(Noted::on(html(&InquiryPage { frame, v, closed }), seen))
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
        let seen = if size == Size::Large { vec![Act::SawPhoto] } else { Vec::new() };
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
