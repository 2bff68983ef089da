//! What a request says of itself: to which name of this machine it came, from which page, with which cookie, about what.

use axum::{
    extract::Request,
    http::{HeaderMap, header},
    response::{IntoResponse, Redirect, Response},
};
use dooryard_core::ids::RecordId;

/// The number in the place of `{id}`; only what is one of a record or an account, never anything else that was typed.
pub(super) fn about(path: &str, pattern: &str) -> Option<String> {
    let at = pattern.split('/').position(|part| part == "{id}")?;
    let text = path.split('/').nth(at)?;
    let is_number = text.parse::<RecordId>().is_ok() || text.parse::<i64>().is_ok();
    is_number.then(|| text.to_owned())
}

/// Another name for this machine may be somebody else's page pointing here: only the plain ones are answered.
pub(super) fn is_of_this_machine(headers: &HeaderMap) -> bool {
    let host = headers.get(header::HOST).and_then(|h| h.to_str().ok()).unwrap_or_default();
    let name = host.rsplit_once(':').map_or(host, |(name, _)| name);
    name == "127.0.0.1" || name == "localhost"
}

/// Whether a browser says that this comes from a page of ours. Each browser says one of the two; neither is no browser.
pub(super) fn is_from_our_page(headers: &HeaderMap) -> bool {
    let text = |name: header::HeaderName| headers.get(name).map(|h| h.to_str().unwrap_or("?"));
    let site = text(header::HeaderName::from_static("sec-fetch-site"));
    let origin = text(header::ORIGIN);
    let own = text(header::HOST).map(|host| format!("http://{host}"));
    (site.is_some() || origin.is_some())
        && site.is_none_or(|site| site == "same-origin")
        && origin.is_none_or(|origin| Some(origin) == own.as_deref())
}

/// To the page to sign in, and back from there.
pub(super) fn to_sign_in(request: &Request) -> Response {
    let wanted = request.uri().path_and_query().map_or("/", |at| at.as_str());
    let query = serde_urlencoded::to_string([("next", wanted)]).unwrap_or_default();
    let href = if wanted == "/" { "/sign-in".into() } else { format!("/sign-in?{query}") };
    Redirect::to(&href).into_response()
}

/// A cookie by its name.
pub(super) fn cookie<'a>(headers: &'a HeaderMap, name: &str) -> Option<&'a str> {
    let all = headers.get_all(header::COOKIE).into_iter().filter_map(|h| h.to_str().ok());
    all.flat_map(|line| line.split(';')).find_map(|pair| pair.trim().strip_prefix(name)?.strip_prefix('='))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn headers(pairs: &[(&'static str, &'static str)]) -> HeaderMap {
        pairs.iter().map(|(n, v)| (header::HeaderName::from_static(n), header::HeaderValue::from_static(v))).collect()
    }

    #[test]
    fn only_what_comes_from_our_own_page_is_taken() {
        let host = ("host", "127.0.0.1:8080");
        let ours = |rest: &[(&'static str, &'static str)]| is_from_our_page(&headers(&[&[host], rest].concat()));
        assert!(ours(&[("origin", "http://127.0.0.1:8080")]) && ours(&[("sec-fetch-site", "same-origin")]));
        for foreign in
            ["http://127.0.0.1:8081", "https://127.0.0.1:8080", "http://localhost:8080", "null", "http://a.invalid", ""]
        {
            assert!(!ours(&[("origin", foreign)]), "{foreign}");
            assert!(!ours(&[("origin", foreign), ("sec-fetch-site", "same-origin")]), "{foreign}");
        }
        for site in ["same-site", "cross-site", "none", ""] {
            assert!(!ours(&[("sec-fetch-site", site), ("origin", "http://127.0.0.1:8080")]), "{site}");
        }
        assert!(!ours(&[]));
    }

    #[test]
    fn the_audit_takes_numbers_out_of_an_address_and_nothing_else() {
        let id = "0197f0c0-0000-7000-8000-000000000000";
        assert_eq!(about(&format!("/inquiries/{id}"), "/inquiries/{id}").as_deref(), Some(id));
        assert_eq!(about("/people/3/role", "/people/{id}/role").as_deref(), Some("3"));
        for typed in ["/inquiries/somebody", "/inquiries/", "/inquiries"] {
            assert_eq!(about(typed, "/inquiries/{id}"), None);
        }
        assert_eq!(about("/welcome/77", "/welcome/{token}"), None);
    }

    #[test]
    fn a_cookie_is_found_by_its_whole_name() {
        let found = |line: &'static str| cookie(&headers(&[("cookie", line)]), "dooryard").map(str::to_owned);
        assert_eq!(found("a=1; dooryard=abc; b=2").as_deref(), Some("abc"));
        for other in ["dooryards=abc", "xdooryard=abc", "dooryard", ""] {
            assert_eq!(found(other), None, "{other}");
        }
    }
}
