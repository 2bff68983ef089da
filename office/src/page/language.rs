//! The language of the page: as somebody chose it at this browser, else as the browser asks for it.

use axum::{
    Extension,
    extract::State,
    http::{HeaderMap, header},
    response::{IntoResponse, Redirect, Response},
};
use dooryard_core::words::Language;

use super::{frame::Here, guard::Given, request::cookie, routes::Shared, sign_in::own_path, trouble::Trouble};

/// Name of the cookie. It says nothing of a person; all offices of a machine may share it.
const COOKIE: &str = "dooryard-language";
/// How long a browser keeps the choice, seconds: a year.
const KEPT: u32 = 31_536_000;

/// The language for whoever asks.
pub(super) fn of(headers: &HeaderMap) -> Language {
    let chosen = cookie(headers, COOKIE).and_then(Language::from_tag);
    chosen.or_else(|| wanted(headers.get(header::ACCEPT_LANGUAGE)?.to_str().ok()?)).unwrap_or_default()
}

/// The first language of a browser's list that the page speaks: `es-MX,es;q=0.9,en;q=0.8`, by their weight.
fn wanted(list: &str) -> Option<Language> {
    let weighed = list.split(',').map(|item| {
        let (tag, rest) = item.split_once(';').unwrap_or((item, ""));
        let weight = rest.trim().strip_prefix("q=").map_or(1.0, |q| q.trim().parse().unwrap_or(0.0));
        (tag.trim(), weight)
    });
    let spoken = weighed.filter_map(|(tag, weight)| Some((Language::from_tag(tag)?, weight)));
    spoken
        .filter(|(_, weight)| *weight > 0.0)
        .reduce(|best, next| if next.1 > best.1 { next } else { best })
        .map(|l| l.0)
}

/// Keeps the choice at this browser, and goes back to where it was made.
pub(super) async fn choose(State(desk): Shared, headers: HeaderMap, Extension(given): Extension<Given>) -> Response {
    let Some(language) = Language::from_tag(given.text("language")) else {
        return Trouble::BadForm.page(desk.frame(None, Here::Elsewhere));
    };
    let keep = format!("{COOKIE}={}; HttpOnly; SameSite=Lax; Path=/; Max-Age={KEPT}", language.tag());
    // Only the way within the page counts: the guard has seen already that the form is ours.
    let from = headers.get(header::REFERER).and_then(|from| from.to_str().ok()).unwrap_or_default();
    let path = from.split_once("//").and_then(|(_, rest)| rest.find('/').and_then(|at| rest.get(at..))).unwrap_or("/");
    ([(header::SET_COOKIE, keep)], Redirect::to(own_path(path))).into_response()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_browsers_list_is_read_by_weight() {
        assert_eq!(wanted("es-MX,es;q=0.9,en;q=0.8"), Some(Language::Es));
        assert_eq!(wanted("de, en;q=0.5, es;q=0.7"), Some(Language::Es));
        assert_eq!(wanted("en-US,es"), Some(Language::En));
        for none in ["de", "", "es;q=0", "es;q=pigeon", ";;,"] {
            assert_eq!(wanted(none), None, "{none}");
        }
    }
}
