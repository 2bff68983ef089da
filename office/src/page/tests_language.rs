//! The page in the language of whoever reads it.

use axum::http::StatusCode;

use super::{
    asks::{Answer, get, post},
    sample_county::county,
};
use crate::people::Role;

fn tag(page: &Answer) -> String {
    let text = page.text();
    text.split("<html lang=\"").nth(1).and_then(|rest| rest.split('"').next()).unwrap().to_owned()
}

#[test]
fn the_page_speaks_as_the_browser_asks_until_somebody_chooses() {
    let county = county();
    let page = get("/sign-in").header("accept-language", "es-MX,es;q=0.9,en;q=0.5").send(&county);
    assert_eq!(tag(&page), "es");
    assert!(page.text().contains("<h1>Entrar</h1>") && !page.text().contains("Sign in"));
    assert_eq!(tag(&get("/sign-in").send(&county)), "en");

    let chosen = post("/language", &[("language", "es")]).header("referer", "http://127.0.0.1:8080/people?a=1");
    let chosen = chosen.send(&county);
    assert_eq!((chosen.status, chosen.header("location")), (StatusCode::SEE_OTHER, "/people?a=1"));
    let cookie = chosen.header("set-cookie").to_owned();
    assert!(cookie.starts_with("dooryard-language=es; HttpOnly; SameSite=Lax; Path=/"), "{cookie}");
    let page = get("/sign-in").header("cookie", "dooryard-language=es").header("accept-language", "en").send(&county);
    assert_eq!(tag(&page), "es", "a choice stands above what the browser asks");
}

#[test]
fn troubles_and_pages_behind_the_door_speak_it_too() {
    let county = county();
    let ask = |uri: &str| get(uri).signed_in(&county, Role::Admin).header("accept-language", "es").send(&county);
    let trouble = ask("/no-such-page");
    assert_eq!(trouble.status, StatusCode::NOT_FOUND);
    assert!(trouble.text().contains("Aquí no hay página") && tag(&trouble) == "es");
    let people = ask("/people").text();
    for words in
        ["Quién tiene cuenta", "guía de exploradores", "value=\"scout lead\"", ">Salir</button>", ">English</button>"]
    {
        assert!(people.contains(words), "{words}");
    }
    assert!(ask("/audit").text().contains("Quién entró"));
    assert!(ask("/keeping").text().contains("Cuánto tiempo se guardan los datos privados"));
}

#[test]
fn a_choice_leads_nowhere_else() {
    let county = county();
    let choose =
        |language: &str, from: &str| post("/language", &[("language", language)]).header("referer", from).send(&county);
    for elsewhere in ["https://elsewhere.invalid//elsewhere.invalid/x", "pigeon", "http://127.0.0.1:8080", ""] {
        assert_eq!(choose("en", elsewhere).header("location"), "/", "{elsewhere}");
    }
    let unknown = choose("de\r\nset-cookie: a=b", "/");
    assert_eq!((unknown.status, unknown.header("set-cookie")), (StatusCode::BAD_REQUEST, ""));
    let foreign = post("/language", &[("language", "es")]).header("origin", "https://elsewhere.invalid").send(&county);
    assert_eq!((foreign.status, foreign.header("set-cookie")), (StatusCode::FORBIDDEN, ""));
}
