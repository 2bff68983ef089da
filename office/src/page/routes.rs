//! Addresses, headers, and who may ask.

use std::sync::Arc;

use askama::Template;
use axum::{
    Router,
    extract::{Path, Query, Request, State, rejection::QueryRejection},
    http::{HeaderName, HeaderValue, StatusCode, header},
    middleware::{Next, from_fn_with_state},
    response::{Html, IntoResponse, Redirect, Response},
    routing::get,
};
use dooryard_core::{
    ids::RecordId,
    key::{Pack, under_seal},
    notebook::{Notebook, Record},
    record::Kind,
};
use serde::Deserialize;
use tower_http::set_header::SetResponseHeaderLayer;

use super::{
    bundles::Bundle,
    clash::Clash,
    filter::Filter,
    frame::{Frame, Here, render},
    gather::{Whole, day_of},
    inquiries::{List, list_page},
    inquiry::{Unveil, View, view},
    intake,
    names::Names,
    phones::{self, Asking, Phone},
    picture::{self, Size},
    reasons::{observations, raised as raised_by, reasons},
    trouble::Trouble,
    words::When,
};
use crate::{
    desk::Office,
    index::Index,
    ledger::{Ledger, row_of},
};

const CSS: &str = include_str!("../../web/dooryard.css");
const PAGE_CSS: &str = include_str!("../../web/page.css");
const ICON: &str = include_str!("../../web/icon.svg");
const FONT: &[u8] = include_bytes!("../../web/source-sans-3.woff2");
const FONT_LICENCE: &str = include_str!("../../web/source-sans-3-LICENSE.txt");
const POLICY: &str =
    "default-src 'self'; object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'";

pub(super) struct Desk {
    office: Arc<Office>,
    pack: Arc<Pack>,
    names: Names,
}

type Shared = State<Arc<Desk>>;

/// The page's addresses over an office and a pack.
pub fn router(office: Arc<Office>, pack: Arc<Pack>) -> Router {
    let names = Names::of(&pack);
    let desk = Arc::new(Desk { office, pack, names });
    let set = |name: HeaderName, value: &'static str| {
        SetResponseHeaderLayer::overriding(name, HeaderValue::from_static(value))
    };
    Router::new()
        .route("/", get(|| async { Redirect::to("/inquiries") }))
        .route("/inquiries", get(inquiries))
        .route("/inquiries/{id}", get(inquiry))
        .route("/photos/{id}/{size}", get(photo))
        .route("/take-in", get(take_in))
        .route("/take-in/{number}", get(bundle))
        .route("/phones", get(phones_page))
        .fallback(|State(desk): Shared| async move { Trouble::NoSuchPage.page(desk.frame(Here::Elsewhere)) })
        .layer(SetResponseHeaderLayer::if_not_present(header::CACHE_CONTROL, HeaderValue::from_static("no-store")))
        .route("/look/dooryard.css", get(|| async { ([(header::CONTENT_TYPE, "text/css; charset=utf-8")], CSS) }))
        .route("/look/page.css", get(|| async { ([(header::CONTENT_TYPE, "text/css; charset=utf-8")], PAGE_CSS) }))
        .route("/look/icon.svg", get(|| async { ([(header::CONTENT_TYPE, "image/svg+xml")], ICON) }))
        // Asked for by a browser that shows a picture alone, which has no head to name another.
        .route("/favicon.ico", get(|| async { ([(header::CONTENT_TYPE, "image/svg+xml")], ICON) }))
        .route("/look/source-sans-3.woff2", get(|| async { ([(header::CONTENT_TYPE, "font/woff2")], FONT) }))
        .route("/look/source-sans-3-LICENSE.txt", get(|| async { FONT_LICENCE }))
        .layer(from_fn_with_state(desk.clone(), only_here))
        .layer(SetResponseHeaderLayer::if_not_present(
            header::CONTENT_SECURITY_POLICY,
            HeaderValue::from_static(POLICY),
        ))
        .layer(set(header::X_CONTENT_TYPE_OPTIONS, "nosniff"))
        .layer(set(header::REFERRER_POLICY, "no-referrer"))
        .layer(set(HeaderName::from_static("cross-origin-resource-policy"), "same-origin"))
        .layer(set(HeaderName::from_static("permissions-policy"), "camera=(), geolocation=(), microphone=()"))
        .with_state(desk)
}

/// Another name for this machine may be somebody else's page pointing here: only the plain ones are answered.
async fn only_here(State(desk): Shared, request: Request, next: Next) -> Response {
    let host = request.headers().get(header::HOST).and_then(|h| h.to_str().ok()).unwrap_or_default();
    let name = host.rsplit_once(':').map_or(host, |(name, _)| name);
    if name == "127.0.0.1" || name == "localhost" {
        return next.run(request).await;
    }
    Trouble::BadAddress("The page is for this machine only, under the address that was printed.".into())
        .page(desk.frame(Here::Elsewhere))
}

impl Desk {
    fn frame(&self, here: Here) -> Frame {
        Frame::new(&self.office.card().name, &self.names, here)
    }

    fn notebook(&self) -> &Notebook {
        self.office.notebook()
    }

    fn ledger(&self) -> Result<Ledger, Trouble> {
        Ok(Ledger::read(self.notebook(), &self.names.suspect)?)
    }
}

/// Runs what reads the store off the threads that answer, and turns trouble into its page.
async fn answer(
    desk: Arc<Desk>,
    here: Here,
    work: impl FnOnce(&Desk) -> Result<Response, Trouble> + Send + 'static,
) -> Response {
    let again = desk.clone();
    let done = tokio::task::spawn_blocking(move || work(&desk)).await;
    let done = done.unwrap_or_else(|_| Err(Trouble::Inside("The work on it stopped half way.".into())));
    done.unwrap_or_else(|trouble| trouble.page(again.frame(here)))
}

fn html(page: &impl Template) -> Response {
    (StatusCode::OK, Html(render(page))).into_response()
}

#[derive(Template)]
#[template(path = "inquiries.html")]
struct InquiriesPage {
    frame: Frame,
    page: List,
}

async fn inquiries(State(desk): Shared, filter: Result<Query<Filter>, QueryRejection>) -> Response {
    answer(desk, Here::Inquiries, move |desk| {
        let Query(filter) = filter.map_err(|_| Trouble::BadAddress("A filter in it is not of its form.".into()))?;
        let index = Index::open(desk.office.folder(), &desk.names)?;
        let page = list_page(&index, desk.notebook(), &filter, &desk.names, &When::now())?;
        Ok(html(&InquiriesPage { frame: desk.frame(Here::Inquiries), page }))
    })
    .await
}

#[derive(Template)]
#[template(path = "inquiry.html")]
struct InquiryPage {
    frame: Frame,
    v: View,
}

#[derive(Default, Deserialize)]
#[serde(default)]
struct Asked {
    place: String,
    contact: String,
}

async fn inquiry(State(desk): Shared, Path(id): Path<String>, asked: Result<Query<Asked>, QueryRejection>) -> Response {
    answer(desk, Here::Inquiries, move |desk| {
        let id = record_id(&id)?;
        let Query(asked) = asked.map_err(|_| Trouble::BadAddress("What it asks to see is not of its form.".into()))?;
        if desk.ledger()?.sealed.contains(&id) {
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
        let unveil = Unveil { place: asked.place == "full", contact: asked.contact == "full" };
        let here = |photo: &Record| picture::here(notebook, photo);
        let mut v = view(&whole, &desk.names, &When::now(), unveil, why, here);
        if under_seal(raised.iter().map(|s| s.id.as_str())) {
            return Err(Trouble::Sealed);
        }
        v.add_raised(&raised, &desk.names);
        Ok(html(&InquiryPage { frame: desk.frame(Here::Inquiries), v }))
    })
    .await
}

async fn photo(State(desk): Shared, Path((id, size)): Path<(String, String)>) -> Response {
    answer(desk, Here::Inquiries, move |desk| {
        let size = match size.as_str() {
            "small" => Size::Small,
            "large" => Size::Large,
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
        picture::picture(desk.notebook(), &record, size)
    })
    .await
}

#[derive(Template)]
#[template(path = "take_in.html")]
struct TakeInPage {
    frame: Frame,
    page: intake::Log,
}

async fn take_in(State(desk): Shared) -> Response {
    answer(desk, Here::TakeIn, |desk| {
        let page = intake::log(&desk.office, &When::now())?;
        Ok(html(&TakeInPage { frame: desk.frame(Here::TakeIn), page }))
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

async fn bundle(State(desk): Shared, Path(number): Path<String>) -> Response {
    answer(desk, Here::TakeIn, move |desk| {
        let number: usize = number.parse().map_err(|_| Trouble::BadAddress("Bundles are numbered 1, 2, 3.".into()))?;
        let when = When::now();
        let b = intake::one(&desk.office, number, &when)?.ok_or(Trouble::NotHere)?;
        let clashes = open_conflicts(desk, &when)?;
        Ok(html(&BundlePage { frame: desk.frame(Here::TakeIn), b, clashes }))
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

async fn phones_page(State(desk): Shared) -> Response {
    answer(desk, Here::Phones, |desk| {
        let (line, phones) = phones::phones(&desk.office, &When::now())?;
        let asking = phones::asking(&desk.office)?;
        Ok(html(&PhonesPage { frame: desk.frame(Here::Phones), line, asking, phones }))
    })
    .await
}

fn record_id(text: &str) -> Result<RecordId, Trouble> {
    text.parse().map_err(|_| Trouble::BadAddress("The number in it is not one of a record.".into()))
}
