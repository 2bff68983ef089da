//! What stands before every page: who asks, whether the role is enough, whether a form is one of ours, how much and how
//! slowly is sent; and after it, the row in the audit.
//!
//! One table ([`Row`]s of `routes.rs`) says method, address and least role. What is not in it is not served, even if the
//! router knew it.

use std::{net::SocketAddr, sync::Arc, time::Duration};

use axum::{
    body::{Body, to_bytes},
    extract::{ConnectInfo, MatchedPath, Request, State},
    handler::Handler,
    http::{Method, header},
    middleware::Next,
    response::Response,
    routing::{MethodRouter, get, post},
};

use super::{
    arriving::{Arrives, Arriving},
    frame::{Here, in_language},
    language,
    request::{about, cookie, is_from_our_page, is_of_this_machine, to_sign_in},
    routes::Desk,
    trouble::Trouble,
};

use crate::people::{Act, Role, Visitor};

/// Most that a form sends, bytes, where the table does not say more exactly: names and passwords, no files.
const FORM: usize = 16 << 10;

/// How long a form may take to arrive as a whole.
pub(super) const SLOWEST: Duration = Duration::from_secs(20);

/// One way to ask for something.
pub(super) struct Row {
    pub(super) method: Method,
    pub(super) path: &'static str,
    /// The least role that may; `None` is for whoever is not signed in yet.
    pub(super) least: Option<Role>,
    /// What the audit says when it was done, where the page does not say more exactly.
    pub(super) act: Option<Act>,
    /// Most that is sent, bytes.
    pub(super) most: usize,
    /// It takes files instead of a form, so many bytes in all.
    pub(super) files: Option<u64>,
    pub(super) serve: MethodRouter<Arc<Desk>>,
}

impl Row {
    /// A page to look at.
    pub(super) fn see<T: 'static>(path: &'static str, least: Option<Role>, page: impl Handler<T, Arc<Desk>>) -> Self {
        Self { method: Method::GET, path, least, act: None, most: 0, files: None, serve: get(page) }
    }

    /// A form to send.
    pub(super) fn send<T: 'static>(path: &'static str, least: Option<Role>, page: impl Handler<T, Arc<Desk>>) -> Self {
        let serve = post(page);
        Self { method: Method::POST, path, least, act: None, most: FORM, files: None, serve }
    }

    /// Files to send, `most` bytes in all: from the socket to the disk, never whole in memory.
    pub(super) fn receive<T: 'static>(
        path: &'static str,
        least: Role,
        most: u64,
        page: impl Handler<T, Arc<Desk>>,
    ) -> Self {
        Self { files: Some(most), most: 0, ..Self::send(path, Some(least), page) }
    }

    /// Takes so many bytes and no more.
    pub(super) fn up_to(self, most: usize) -> Self {
        Self { most, ..self }
    }

    /// Leaves a row in the audit.
    pub(super) fn noting(self, act: Act) -> Self {
        Self { act: Some(act), ..self }
    }
}

/// What the table says of one way to ask.
pub(super) struct Rights {
    method: Method,
    path: &'static str,
    least: Option<Role>,
    act: Option<Act>,
    most: usize,
    files: Option<u64>,
}

impl From<&Row> for Rights {
    fn from(row: &Row) -> Self {
        let (method, path, least) = (row.method.clone(), row.path, row.least);
        Self { method, path, least, act: row.act, most: row.most, files: row.files }
    }
}

impl Rights {
    pub(super) fn is(&self, method: &Method, path: &str) -> bool {
        self.method == *method && self.path == path
    }
}

/// What a page notes in the audit instead of what the table says.
#[derive(Clone)]
pub(super) struct Noted(Vec<Act>);

impl Noted {
    /// Hangs it on an answer.
    pub(super) fn on(mut answer: Response, acts: Vec<Act>) -> Response {
        answer.extensions_mut().insert(Self(acts));
        answer
    }
}

/// A form as it was sent.
#[derive(Clone, Default)]
pub(super) struct Given(Vec<(String, String)>);

impl Given {
    /// What stands in a field; nothing where it was not sent.
    pub(super) fn text(&self, field: &str) -> &str {
        self.sent(field).unwrap_or_default()
    }

    /// What stands in a field, where it was sent.
    pub(super) fn sent(&self, field: &str) -> Option<&str> {
        self.0.iter().find(|(name, _)| name == field).map(|(_, text)| text.as_str())
    }

    /// Everything that was sent, in its order: (field, text).
    pub(super) fn fields(&self) -> impl Iterator<Item = (&str, &str)> {
        self.0.iter().map(|(name, text)| (name.as_str(), text.as_str()))
    }
}

/// Where a request came from: delays are counted by it.
#[derive(Clone)]
pub(super) struct CameFrom(pub(super) Option<String>);

/// The guard itself, in the language of whoever asks.
pub(super) async fn guard(desk: State<Arc<Desk>>, request: Request, next: Next) -> Response {
    let language = language::of(request.headers());
    in_language(language, look_and_pass(desk, request, next)).await
}

async fn look_and_pass(State(desk): State<Arc<Desk>>, request: Request, next: Next) -> Response {
    let name = desk.cookie_name();
    let token = cookie(request.headers(), &name).map(str::to_owned);
    let visitor = match token {
        None => Ok(None),
        Some(token) => desk.clone().work(move |desk| Ok(desk.people.visitor(&token)?)).await,
    };
    let visitor = match visitor {
        Ok(visitor) => visitor,
        Err(trouble) => return trouble.page(desk.frame(None, Here::Elsewhere)),
    };
    match pass(&desk, request, next, visitor.clone()).await {
        Ok(answer) => answer,
        Err(trouble) => {
            if let (Trouble::NotAllowed, Some(who)) = (&trouble, visitor.clone()) {
                // It was refused either way: a full disk is no reason for another answer.
                let _noted = desk.clone().work(move |desk| Ok(desk.people.note(&who, Act::NotAllowed, None)?)).await;
            }
            trouble.page(desk.frame(visitor.as_ref(), Here::Elsewhere))
        }
    }
}

async fn pass(
    desk: &Arc<Desk>,
    mut request: Request,
    next: Next,
    visitor: Option<Visitor>,
) -> Result<Response, Trouble> {
    if !is_of_this_machine(request.headers()) {
        return Err(Trouble::BadAddress(desk.frame(None, Here::Elsewhere).say("trouble-this-machine")));
    }
    let reads = matches!(*request.method(), Method::GET | Method::HEAD);
    if !reads && !is_from_our_page(request.headers()) {
        return Err(Trouble::Forged);
    }
    let rights = request.extensions().get::<MatchedPath>().and_then(|at| desk.rights_of(request.method(), at.as_str()));
    let least = rights.map_or(Some(Role::Reader), |rights| rights.least);
    if let Some(least) = least {
        match &visitor {
            None if reads => return Ok(to_sign_in(&request)),
            None => return Err(Trouble::SignedOut),
            Some(who) if who.role < least => return Err(Trouble::NotAllowed),
            Some(_) => {}
        }
    }
    let rights = rights.ok_or(Trouble::NoSuchPage)?;
    if let Some(most) = rights.files {
        let (arriving, token) = Arriving::begin(&mut request, most, desk.slowest).await?;
        if !visitor.as_ref().is_some_and(|who| who.sent(&token)) {
            return Err(Trouble::Forged);
        }
        request.extensions_mut().insert(Arrives::new(arriving));
    } else if !reads {
        let given = form(&mut request, rights.most, desk.slowest).await?;
        if let (Some(_), Some(who)) = (rights.least, &visitor)
            && !who.sent(given.text("token"))
        {
            return Err(Trouble::Forged);
        }
        request.extensions_mut().insert(given);
    }
    let from = request.extensions().get::<ConnectInfo<SocketAddr>>().map(|ConnectInfo(at)| at.ip().to_string());
    request.extensions_mut().insert(CameFrom(from));
    let about = about(request.uri().path(), rights.path);
    if let Some(who) = &visitor {
        request.extensions_mut().insert(who.clone());
    }
    let answer = next.run(request).await;
    match visitor {
        Some(who) => note(desk, answer, who, rights.act, about).await,
        None => Ok(answer),
    }
}

/// Nothing that has to be noted is shown unless it is.
async fn note(
    desk: &Arc<Desk>,
    answer: Response,
    who: Visitor,
    act: Option<Act>,
    about: Option<String>,
) -> Result<Response, Trouble> {
    let acts = answer.extensions().get::<Noted>().map_or_else(|| act.into_iter().collect(), |noted| noted.0.clone());
    if acts.is_empty() {
        return Ok(answer);
    }
    if answer.status().is_client_error() || answer.status().is_server_error() {
        return Ok(answer);
    }
    let noted =
        move |desk: &Desk| acts.iter().try_for_each(|act| Ok(desk.people.note(&who, *act, about.as_deref())?));
    desk.clone().work(noted).await?;
    Ok(answer)
}

/// Reads a form whole: small, in time, and of the form that a page sends.
async fn form(request: &mut Request, most: usize, slowest: Duration) -> Result<Given, Trouble> {
    let kind = request.headers().get(header::CONTENT_TYPE).and_then(|kind| kind.to_str().ok()).unwrap_or_default();
    let kind = kind.split(';').next().unwrap_or_default().trim();
    if !kind.eq_ignore_ascii_case("application/x-www-form-urlencoded") {
        return Err(Trouble::BadForm);
    }
    let announced = request.headers().get(header::CONTENT_LENGTH).and_then(|n| n.to_str().ok()?.parse::<u64>().ok());
    if announced.is_some_and(|n| n > most as u64) {
        return Err(Trouble::TooLarge);
    }
    let body = std::mem::replace(request.body_mut(), Body::empty());
    let read = tokio::time::timeout(slowest, to_bytes(body, most)).await.map_err(|_| Trouble::TooSlow)?;
    let bytes = read.map_err(|_| Trouble::TooLarge)?;
    let fields = std::str::from_utf8(&bytes).ok().and_then(|text| serde_urlencoded::from_str(text).ok());
    fields.map(Given).ok_or(Trouble::BadForm)
}
