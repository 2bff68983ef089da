//! The page in the language of whoever reads it.

use axum::http::StatusCode;

use dooryard_core::{record::Kind, words::Language};
use serde_json::json;

use super::{
    asks::{Answer, get, post},
    guard::SLOWEST,
    routes::guarded,
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

#[test]
fn plants_causes_and_disagreements_are_named_in_the_language_of_whoever_reads() {
    let county = county();
    let (host, cause) = ("oak", "drought_stress");
    for n in 0..6 {
        let save = |kind, fields| county.save(kind, &fields).to_string();
        let site = save(Kind::Site, json!({"township": "Tern Hollow"}));
        let opened = format!("2026-07-0{}T09:00:00-05:00[America/Chicago]", n + 1);
        let inquiry = save(Kind::Inquiry, json!({"opened": opened, "site": site}));
        save(Kind::Plant, json!({"inquiry": inquiry, "host": host}));
        let causes = json!([{"cause": cause, "role": "primary", "word": "likely", "percent": 70}]);
        save(Kind::Diagnosis, json!({"inquiry": inquiry, "causes": causes}));
    }
    let (desk, _) = county.laid_out(SLOWEST);
    let [english, spanish] = Language::ALL.map(|language| {
        let names = desk.names_in(language);
        [names.host(host), names.cause(cause)]
    });
    let query = format!("host={host}&cause={cause}");
    let kept = post("/views", &[("name", "x"), ("filter", &query)]).signed_in(&county, Role::Reviewer).send(&county);
    assert_eq!(kept.status, StatusCode::SEE_OTHER);
    for uri in [
        &format!("/inquiries?{query}"),
        "/views",
        "/season?year=2026",
        &format!("/season?year=2026&host={host}"),
        "/season/report?month=2026-07",
        &format!("/map?{query}"),
    ] {
        let told = |language: &str| {
            let ask = get(uri).header("accept-language", language);
            ask.signed_in(&county, Role::Reviewer).send(&county).text()
        };
        let (en, es) = (told("en"), told("es"));
        for (ours, theirs) in english.iter().zip(&spanish) {
            // Between marks, so that a short name is not found inside a word.
            let stands = |page: &str, name: &str| {
                page.split(|c: char| !c.is_alphanumeric() && !" ,()-".contains(c)).any(|part| part.contains(name))
            };
            assert!(stands(&en, ours) && !stands(&en, theirs), "{uri}: {ours}\n{en}");
            assert!(stands(&es, theirs) && !stands(&es, ours), "{uri}: {theirs}\n{es}");
        }
    }
    for uri in [format!("/inquiries/{}", county.tomato), "/take-in/3".into(), "/review".into()] {
        let ask = get(&uri).header("accept-language", "es").signed_in(&county, Role::Reviewer);
        let page = ask.send(&county).text();
        assert!(!page.contains(" wrote ") && !page.contains("Both are kept"), "{uri}:\n{page}");
        let clash = "Scout 3 escribió <b>14</b> (";
        assert!(uri == "/review" || (page.contains(clash) && page.contains("Se guardan los dos.")), "{uri}:\n{page}");
    }
}

#[test]
fn an_address_without_a_number_and_a_channel_that_is_full_are_said_in_it_too() {
    let county = county();
    let ask = |uri: &str| get(uri).signed_in(&county, Role::Admin).header("accept-language", "es");
    let wrong = ask("/inquiries/pigeon").send(&county);
    assert_eq!(wrong.status, StatusCode::BAD_REQUEST);
    assert!(wrong.text().contains("El número que lleva no es el de un registro."), "{}", wrong.text());
    let (desk, routes) = county.laid_out(SLOWEST);
    desk.live.close();
    let full = ask("/events").send_to(guarded(desk, routes));
    assert_eq!(full.status, StatusCode::CONFLICT);
    assert!(full.text().contains("Hay demasiadas páginas"), "{}", full.text());
}
