//! Addresses, and who may ask for each: the one table. Headers of every answer.

use std::{sync::Arc, time::Duration};

use askama::Template;
use axum::{
    Router,
    extract::State,
    http::{HeaderName, HeaderValue, Method, StatusCode, header},
    middleware::from_fn_with_state,
    response::{Html, IntoResponse, Response},
};
use dooryard_core::{key::Pack, notebook::Notebook, words::Language};
use tower_http::set_header::SetResponseHeaderLayer;

use super::{
    accounts, audit, beside, desk, downloads,
    frame::{Frame, Here, render},
    guard::{Rights, Row, SLOWEST, guard},
    held, inquiries, inquiry_page, keeping, language, live, map,
    names::Names,
    own, person, reading, review, season, sign_in, take_in,
    trouble::Trouble,
    views,
    work::Work,
};
use crate::{
    desk::Office,
    index::{Held, Index},
    people::{Act, People, Role, Visitor},
};

const CSS: &str = include_str!("../../web/dooryard.css");
/// What each part of the page needs beyond the common look, in one file.
const PAGE_CSS: &str = concat!(
    include_str!("../../web/page.css"),
    include_str!("../../web/desk.css"),
    include_str!("../../web/inquiry.css"),
    include_str!("../../web/list.css"),
    include_str!("../../web/map.css"),
    include_str!("../../web/review.css"),
    include_str!("../../web/season.css"),
    include_str!("../../web/take-in.css"),
);
const TAKE_IN_JS: &str = include_str!("../../web/take-in.js");
const REVIEW_JS: &str = include_str!("../../web/review.js");
const INQUIRY_JS: &str = include_str!("../../web/inquiry.js");
const DESK_JS: &str = include_str!("../../web/desk.js");
const ICON: &str = include_str!("../../web/icon.svg");
const FONT: &[u8] = include_bytes!("../../web/source-sans-3.woff2");
const FONT_LICENCE: &str = include_str!("../../web/source-sans-3-LICENSE.txt");
const SCRIPT: &str = "text/javascript; charset=utf-8";
const MAP_JS: &str = include_str!("../../web/map.js");
const SEASON_JS: &str = include_str!("../../web/season.js");
const MAPLIBRE: &str = include_str!("../../web/library/maplibre-gl.mjs");
const MAPLIBRE_WORKER: &str = include_str!("../../web/library/maplibre-gl-worker.mjs");
const PMTILES: &str = include_str!("../../web/library/pmtiles.js");
const LIBRARY_LICENCES: &str = concat!(
    include_str!("../../web/library/maplibre-gl-LICENSE.txt"),
    "\n\n",
    include_str!("../../web/library/pmtiles-LICENSE.txt"),
    "\n\n",
    include_str!("../../web/library/fflate-LICENSE.txt"),
);
const POLICY: &str =
    "default-src 'self'; object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'";

/// Most that is sent by a form in which nothing is written, bytes.
const CHOICE: usize = 1 << 10;

/// What the pages stand on.
pub(super) struct Desk {
    pub(super) office: Arc<Office>,
    pub(super) people: Arc<People>,
    pub(super) pack: Arc<Pack>,
    pub(super) names: Names,
    /// The same in Spanish.
    pub(super) in_spanish: Names,
    pub(super) slowest: Duration,
    pub(super) work: Work,
    /// The county's own lines.
    pub(super) county: map::Kept,
    pub(super) live: live::Live,
    pub(super) queue: review::Queues,
    index: Held,
    rights: Vec<Rights>,
}

pub(super) type Shared = State<Arc<Desk>>;

/// Every way to ask for something, with the least role that may.
pub(super) fn table() -> Vec<Row> {
    let (anyone, reader, admin) = (None, Some(Role::Reader), Some(Role::Admin));
    let lead = Some(Role::ScoutLead);
    let mut table = vec![
        Row::see("/", reader, desk::morning),
        // Answering a caller.
        Row::see("/desk", lead, desk::desk),
        Row::send("/desk", lead, desk::desk_begin).up_to(desk::WORDS),
        Row::send("/desk/typed", lead, desk::desk_typed_first).up_to(desk::WORDS),
        Row::see("/desk/{id}", lead, desk::desk_one),
        Row::send("/desk/{id}", lead, desk::desk_save).up_to(desk::WORDS),
        Row::send("/desk/{id}/typed", lead, desk::desk_typed).up_to(desk::WORDS),
        Row::send("/desk/{id}/photos", lead, desk::add_photos).up_to(desk::PHOTOS).streamed(),
        Row::see("/inquiries/{id}/walk", lead, desk::walk),
        Row::send("/inquiries/{id}/walk", lead, desk::walk_answer).noting(Act::WroteLook),
        Row::send("/inquiries/{id}/walk/undo", lead, desk::walk_undo).up_to(CHOICE).noting(Act::WroteLook),
        Row::send("/inquiries/{id}/walk/host", lead, desk::walk_host).up_to(CHOICE).noting(Act::WroteLook),
        Row::send("/inquiries/{id}/walk/read", lead, desk::walk_read).up_to(CHOICE).noting(Act::ReadStop),
        Row::see("/inquiries/{id}/letter", lead, desk::letter),
        Row::send("/inquiries/{id}/letter", lead, desk::letter_write).up_to(desk::WORDS),
        Row::send("/inquiries/{id}/follow-up", lead, desk::follow_up_new),
        Row::see("/follow-ups", reader, desk::follow_ups),
        Row::send("/follow-ups/{id}", lead, desk::follow_up_write).up_to(desk::WORDS),
        // What is held.
        Row::see("/inquiries", reader, inquiries::page),
        Row::see("/inquiries/download", reader, downloads::download).noting(Act::Exported),
        Row::see("/views", reader, views::list),
        Row::send("/views", reader, views::save),
        Row::send("/views/{id}/name", reader, views::rename).up_to(CHOICE),
        Row::send("/views/{id}/delete", reader, views::delete).up_to(CHOICE),
        Row::see("/inquiries/{id}", reader, inquiry_page::inquiry).noting(Act::SawInquiry),
        Row::see("/inquiries/{id}/photos", reader, beside::photos).noting(Act::SawInquiry),
        Row::send("/inquiries/{id}/held", Some(held::LEAST), held::set).noting(Act::ChangedHolder),
        Row::see("/photos/{id}/{size}", reader, reading::photo).noting(Act::SawPhoto),
        Row::see("/map", reader, map::page),
        Row::see("/map/areas.geojson", reader, map::areas),
        Row::see("/map/lines.geojson", reader, map::lines),
        Row::see("/map/basemap.pmtiles", reader, map::basemap),
        Row::see("/season", reader, season::page),
        Row::see("/season/report", reader, season::report),
        Row::send("/language", anyone, language::choose).up_to(CHOICE),
        // One's own account.
        Row::see("/sign-in", anyone, sign_in::page),
        Row::send("/sign-in", anyone, sign_in::sign_in),
        Row::see("/recover", anyone, sign_in::recover_page),
        Row::send("/recover", anyone, sign_in::recover),
        Row::see("/welcome/{token}", anyone, sign_in::welcome_page),
        Row::send("/welcome/{token}", anyone, sign_in::welcome),
        Row::send("/sign-out", reader, sign_in::sign_out).up_to(CHOICE),
        Row::send("/sign-out-everywhere", reader, sign_in::sign_out_everywhere).up_to(CHOICE),
        Row::see("/account", reader, own::page),
        Row::send("/account/password", reader, own::password),
        Row::send("/account/codes", reader, own::codes).up_to(CHOICE),
        // Everybody's.
        Row::see("/people", admin, accounts::page),
        Row::send("/people", admin, accounts::invite),
        Row::send("/people/{id}/role", admin, accounts::role).up_to(CHOICE),
        Row::send("/people/{id}/link", admin, accounts::link).up_to(CHOICE),
        Row::send("/people/{id}/close", admin, accounts::close).up_to(CHOICE),
        Row::see("/audit", admin, audit::page),
        // One person's data, and how long private data is kept.
        Row::see("/person", admin, person::page),
        Row::send("/person", admin, person::search).noting(Act::Searched),
        Row::see("/person/{id}", admin, person::one).noting(Act::SawPerson),
        Row::send("/person/{id}/export", admin, person::export).up_to(CHOICE).noting(Act::ExportedPerson),
        Row::send("/person/{id}/erase", admin, person::erase).up_to(CHOICE).noting(Act::ErasedPerson),
        Row::see("/keeping", admin, keeping::page),
        Row::send("/keeping", admin, keeping::set).up_to(CHOICE),
        Row::send("/keeping/erase", admin, keeping::erase).up_to(CHOICE).noting(Act::ErasedByRule),
        // What the pages are drawn with.
        Row::see("/look/dooryard.css", anyone, || async { look("text/css; charset=utf-8", CSS) }),
        Row::see("/look/page.css", anyone, || async { look("text/css; charset=utf-8", PAGE_CSS) }),
        Row::see("/look/inquiry.js", anyone, || async { look("text/javascript; charset=utf-8", INQUIRY_JS) }),
        Row::see("/look/desk.js", anyone, || async { look("text/javascript; charset=utf-8", DESK_JS) }),
        Row::see("/look/icon.svg", anyone, || async { look("image/svg+xml", ICON) }),
        Row::see("/look/map.js", anyone, || async { look(SCRIPT, MAP_JS) }),
        Row::see("/look/season.js", anyone, || async { look(SCRIPT, SEASON_JS) }),
        // Libraries of others, as office/web/library says.
        Row::see("/look/maplibre-gl.mjs", anyone, || async { look(SCRIPT, MAPLIBRE) }),
        Row::see("/look/maplibre-gl-worker.mjs", anyone, || async { look(SCRIPT, MAPLIBRE_WORKER) }),
        Row::see("/look/pmtiles.js", anyone, || async { look(SCRIPT, PMTILES) }),
        Row::see("/look/library-LICENSES.txt", anyone, || async {
            look("text/plain; charset=utf-8", LIBRARY_LICENCES)
        }),
        // Asked for by a browser that shows a picture alone, which has no head to name another.
        Row::see("/favicon.ico", anyone, || async { look("image/svg+xml", ICON) }),
        Row::see("/look/source-sans-3.woff2", anyone, || async { look("font/woff2", FONT) }),
        Row::see("/look/source-sans-3-LICENSE.txt", anyone, || async {
            look("text/plain; charset=utf-8", FONT_LICENCE)
        }),
        Row::see("/look/take-in.js", anyone, || async { look("text/javascript; charset=utf-8", TAKE_IN_JS) }),
        Row::see("/look/review.js", anyone, || async { look("text/javascript; charset=utf-8", REVIEW_JS) }),
        // What pages that are open hear of.
        Row::see("/events", reader, live::events),
    ];
    table.extend(take_in::rows());
    table.extend(review::rows());
    table
}

fn look(kind: &'static str, bytes: impl IntoResponse) -> Response {
    ([(header::CONTENT_TYPE, kind), (header::CACHE_CONTROL, "max-age=600")], bytes).into_response()
}

/// The page's addresses over an office, its people and a pack.
pub fn router(office: Arc<Office>, people: Arc<People>, pack: Arc<Pack>) -> Router {
    let (desk, routes) = laid_out(office, people, pack, SLOWEST);
    guarded(desk, routes)
}

/// The desk, and the table as routes.
pub(super) fn laid_out(
    office: Arc<Office>,
    people: Arc<People>,
    pack: Arc<Pack>,
    slowest: Duration,
) -> (Arc<Desk>, Router<Arc<Desk>>) {
    let (names, in_spanish, table) = (Names::of(&pack), Names::told_in(&pack, Language::Es), table());
    let rights = table.iter().map(Rights::from).collect();
    let index = Held::new(office.folder().to_owned(), names.clone());
    let (work, county, live) = (Work::default(), map::Kept::default(), live::Live::default());
    let queue = review::Queues::default();
    let desk =
        Arc::new(Desk { office, people, pack, names, in_spanish, slowest, work, county, live, queue, index, rights });
    (desk, table.into_iter().fold(Router::new(), |routes, row| routes.route(row.path, row.serve)))
}

/// Puts the guard before routes, and the headers on every answer.
pub(super) fn guarded(desk: Arc<Desk>, routes: Router<Arc<Desk>>) -> Router {
    let set = |name: HeaderName, value: &'static str| {
        SetResponseHeaderLayer::overriding(name, HeaderValue::from_static(value))
    };
    let other = |name: HeaderName, value: &'static str| {
        SetResponseHeaderLayer::if_not_present(name, HeaderValue::from_static(value))
    };
    routes
        // The guard has refused it already; a router needs something to fall back to.
        .fallback(|| async { StatusCode::NOT_FOUND })
        .layer(from_fn_with_state(desk.clone(), guard))
        .layer(other(header::CACHE_CONTROL, "no-store"))
        .layer(other(header::CONTENT_SECURITY_POLICY, POLICY))
        .layer(set(header::X_CONTENT_TYPE_OPTIONS, "nosniff"))
        .layer(set(header::X_FRAME_OPTIONS, "DENY"))
        // Not "no-referrer": with it a browser hides from our own page that a form came from it.
        .layer(set(header::REFERRER_POLICY, "same-origin"))
        .layer(set(HeaderName::from_static("cross-origin-opener-policy"), "same-origin"))
        .layer(set(HeaderName::from_static("cross-origin-resource-policy"), "same-origin"))
        .layer(set(HeaderName::from_static("permissions-policy"), "camera=(), geolocation=(), microphone=()"))
        .with_state(desk)
}

impl Desk {
    /// The pack's names in a language.
    pub(super) fn names_in(&self, language: Language) -> &Names {
        match language {
            Language::En => &self.names,
            Language::Es => &self.in_spanish,
        }
    }

    /// What stands around a page for whoever is signed in.
    pub(super) fn frame(&self, who: Option<&Visitor>, here: Here) -> Frame {
        let mut frame = Frame::new(&self.office.card().name, &self.names, who, here);
        frame.notice.clone_from(&self.names_in(frame.words.0).notice);
        frame
    }

    pub(super) fn notebook(&self) -> &Notebook {
        self.office.notebook()
    }

    /// Now by the office's clock, milliseconds since 1970.
    pub(super) fn now_ms(&self) -> i64 {
        i64::try_from(self.notebook().env().now_ms()).unwrap_or(i64::MAX)
    }

    /// The index of inquiries, up to the notebook as it stands. It is opened once and follows what is written since.
    pub(super) fn index(&self) -> Result<Arc<Index>, Trouble> {
        Ok(self.index.followed(self.notebook())?)
    }

    /// What the table says. A page that can be looked at can also be asked for its head alone.
    pub(super) fn rights_of(&self, method: &Method, path: &str) -> Option<&Rights> {
        let method = if *method == Method::HEAD { &Method::GET } else { method };
        self.rights.iter().find(|rights| rights.is(method, path))
    }

    /// Offices on one machine share its name, and a browser does not tell ports apart: each has a cookie of its own.
    pub(super) fn cookie_name(&self) -> String {
        let office = self.office.card().office().to_string();
        format!("dooryard-{}", office.get(..8).unwrap_or(&office))
    }

    /// Runs what reads a store off the threads that answer.
    pub(super) async fn work<T: Send + 'static>(
        self: Arc<Self>,
        work: impl FnOnce(&Self) -> Result<T, Trouble> + Send + 'static,
    ) -> Result<T, Trouble> {
        let done = tokio::task::spawn_blocking(move || work(&self)).await;
        done.unwrap_or(Err(Trouble::HalfWay))
    }
}

/// Makes a page off the threads that answer, and turns trouble into its page.
pub(super) async fn answer(
    desk: Arc<Desk>,
    who: Option<Visitor>,
    here: Here,
    work: impl FnOnce(&Desk, Frame) -> Result<Response, Trouble> + Send + 'static,
) -> Response {
    let frame = desk.frame(who.as_ref(), here);
    let again = frame.clone();
    desk.work(move |desk| work(desk, frame)).await.unwrap_or_else(|trouble| trouble.page(again))
}

pub(super) fn html(page: &impl Template) -> Response {
    (StatusCode::OK, Html(render(page))).into_response()
}
