//! What must not work: without a session, with too small a role, from elsewhere, with a forged token.

use axum::{
    http::{Method, StatusCode},
    routing::{get as route_get, post as route_post},
};

use super::{
    asks::{Answer, Ask, get, post, send_files},
    guard::SLOWEST,
    routes::{guarded, table},
    sample_county::{County, county},
};
use crate::people::Role;

/// Words that stand in the office's pages and in none for somebody not signed in.
const INSIDE: [&str; 5] = ["Sedge", "Scout 3", "Tomato", "Inquiries", "letter.yard"];

/// How many rows the audit has beside those of tries to sign in.
fn done(county: &County) -> usize {
    county.people.audit(None).unwrap().iter().filter(|row| row.act != "sign_in_refused").count()
}

/// Every way of the table as something to ask, with a record of the county in the place of `{id}`.
fn every_way(county: &County) -> Vec<(Option<Role>, Method, String, Ask)> {
    let photo = county.photo.to_string();
    let ways = table().into_iter().map(|row| {
        let id = if row.path.starts_with("/photos") { photo.clone() } else { county.tomato.to_string() };
        let uri = row.path.replace("{id}", &id).replace("{size}", "large").replace("{number}", "1");
        let uri = uri.replace("{token}", &"0".repeat(64));
        let uri = uri.replace("{file}", &"0".repeat(64)).replace("{phone}", &"0".repeat(32));
        let ask = match (&row.method, row.files) {
            (&Method::GET, _) => get(&uri),
            (_, Some(_)) => send_files(&uri, &[("s9.yard", b"no bundle")]),
            (_, None) => post(&uri, &[]),
        };
        (row.least, row.method, uri, ask)
    });
    ways.collect()
}

/// Every form without files, with the most bytes that it takes.
pub(super) fn posts_with_most(county: &County) -> Vec<(usize, Option<Role>, String, Ask)> {
    let most = table().into_iter().map(|row| (row.most, row.files));
    let ways =
        most.zip(every_way(county)).filter(|((_, files), (_, method, ..))| files.is_none() && *method == Method::POST);
    ways.map(|((most, _), (least, _, uri, ask))| (most, least, uri, ask)).collect()
}

fn posts(county: &County) -> Vec<(Option<Role>, String, Ask)> {
    let ways = every_way(county).into_iter().filter(|(_, method, ..)| *method == Method::POST);
    let posts: Vec<_> = ways.map(|(least, _, uri, ask)| (least, uri, ask)).collect();
    assert!(posts.len() >= 10, "there is something to send");
    posts
}

fn tells_nothing(answer: &Answer, uri: &str) {
    for words in INSIDE {
        assert!(!String::from_utf8_lossy(&answer.bytes).contains(words), "{words} in the answer of {uri}");
    }
}

#[test]
fn nothing_is_shown_or_done_without_a_session() {
    let county = county();
    let before = done(&county);
    let (mut closed, mut open) = (0, 0);
    for (least, method, uri, ask) in every_way(&county) {
        for ask in [ask.clone(), ask.clone().cookie(&county, &"0".repeat(64)), ask.cookie(&county, "../../x")] {
            let answer = ask.send(&county);
            tells_nothing(&answer, &uri);
            match (least, &method) {
                (None, _) => open += 1,
                (Some(_), &Method::GET) => {
                    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{uri}");
                    assert!(answer.header("location").starts_with("/sign-in"), "{uri}");
                    closed += 1;
                }
                (Some(_), _) => {
                    assert_eq!(answer.status, StatusCode::UNAUTHORIZED, "{uri}");
                    closed += 1;
                }
            }
        }
    }
    assert!(closed > 40 && open > 20, "{closed} {open}");
    assert_eq!(done(&county), before, "nothing was done");
}

#[test]
fn what_is_open_without_a_session_is_this_and_no_more() {
    let open: Vec<String> = table()
        .iter()
        .filter(|row| row.least.is_none())
        .map(|row| format!("{} {}", row.method, row.path))
        .filter(|way| !way.starts_with("GET /look/"))
        .collect();
    assert_eq!(
        open,
        [
            "POST /language",
            "GET /sign-in",
            "POST /sign-in",
            "GET /recover",
            "POST /recover",
            "GET /welcome/{token}",
            "POST /welcome/{token}",
            "GET /favicon.ico",
        ]
    );
}

#[test]
fn a_smaller_role_than_the_tables_is_refused_and_noted() {
    let county = county();
    let mut refused = 0;
    for (least, _, uri, ask) in every_way(&county) {
        let Some(least) = least else { continue };
        for role in Role::ALL.into_iter().filter(|role| *role < least) {
            let answer = ask.clone().signed_in(&county, role).send(&county);
            assert_eq!(answer.status, StatusCode::FORBIDDEN, "{uri} as {}", role.name());
            assert!(answer.text().contains("Not for this role"), "{uri}");
            refused += 1;
        }
    }
    assert!(refused >= 15, "{refused}");
    let (mut noted, mut before) = (0, None);
    loop {
        let rows = county.people.audit(before).unwrap();
        let Some(last) = rows.last() else { break };
        before = Some(last.n);
        noted += rows.iter().filter(|row| row.act == "not_allowed").count();
    }
    assert_eq!(noted, refused);
}

#[test]
fn the_least_role_of_the_table_is_enough() {
    for least in [Role::Reader, Role::Admin] {
        let (county, mut asked) = (county(), 0);
        for (_, _, uri, ask) in every_way(&county).into_iter().filter(|way| way.0 == Some(least)) {
            // These end the session; and news ends with it: the tests of `live.rs` hear it.
            if uri.starts_with("/sign-out") || uri == "/events" {
                continue;
            }
            let answer = ask.signed_in(&county, least).send(&county);
            assert!(![StatusCode::FORBIDDEN, StatusCode::UNAUTHORIZED].contains(&answer.status), "{uri}");
            assert!(!answer.status.is_server_error(), "{uri}: {}", answer.text());
            asked += 1;
        }
        assert!(asked >= 5, "{asked}");
    }
}

#[test]
fn a_route_beside_the_table_is_not_served() {
    let county = county();
    let (desk, routes) = county.laid_out(SLOWEST);
    let routes = routes
        .route("/hidden", route_get(|| async { "hidden words" }))
        .route("/phones", route_post(|| async { "hidden words" }));
    let router = guarded(desk, routes);
    for ask in [get("/hidden"), post("/phones", &[])] {
        let answer = ask.signed_in(&county, Role::Admin).send_to(router.clone());
        assert_eq!(answer.status, StatusCode::NOT_FOUND);
        assert!(!answer.text().contains("hidden words"));
    }
}

#[test]
fn a_form_without_the_sessions_own_token_does_nothing() {
    let county = county();
    let admin = county.session(Role::Admin);
    let other = county.session(Role::Reader).visitor.form_token.clone();
    let (cut, cased) = (admin.visitor.form_token[1..].to_owned(), admin.visitor.form_token.to_uppercase());
    let before = done(&county);
    for (least, uri, ask) in posts(&county) {
        if least.is_none() {
            continue;
        }
        for token in ["", "0", &other, &admin.token, &cut, &cased] {
            let answer = ask.clone().held(&county, admin).token(token).send(&county);
            assert_eq!(answer.status, StatusCode::FORBIDDEN, "{uri} {token}");
            assert!(answer.text().contains("Not from this page"), "{uri}");
        }
    }
    assert_eq!(done(&county), before, "nothing was done");
    assert_eq!(get("/people").held(&county, admin).send(&county).status, StatusCode::OK, "still signed in");
}

#[test]
fn a_form_from_elsewhere_does_nothing() {
    let county = county();
    let before = done(&county);
    for (_, uri, ask) in posts(&county) {
        let ask = ask.signed_in(&county, Role::Admin);
        let foreign = [
            ask.clone().header("origin", "http://elsewhere.invalid"),
            ask.clone().header("origin", "http://127.0.0.1:9999").without("sec-fetch-site"),
            ask.clone().header("origin", "null").without("sec-fetch-site"),
            ask.clone().header("sec-fetch-site", "cross-site").without("origin"),
            ask.clone().header("sec-fetch-site", "same-site"),
            ask.clone().without("origin").without("sec-fetch-site"),
        ];
        for ask in foreign {
            assert_eq!(ask.send(&county).status, StatusCode::FORBIDDEN, "{uri}");
        }
        let elsewhere = ask.header("host", "elsewhere.invalid").header("origin", "http://elsewhere.invalid");
        assert_eq!(elsewhere.send(&county).status, StatusCode::BAD_REQUEST, "{uri}");
    }
    assert_eq!(done(&county), before, "nothing was done");
}

#[test]
fn nothing_is_reached_by_tricks_with_the_path() {
    let county = county();
    let id = county.sealed_photo;
    let tricks = [
        "/look/../people.db",
        "/look/%2e%2e/people.db",
        "/look/..%2fpeople.db",
        "/look//people.db",
        "/people.db",
        "/photos/../people.db/small",
        "/photos/..%2f..%2fpeople.db/small",
        "/photos/%2e%2e/small",
        "/photos/..%5c..%5cpeople.db/large",
        "/inquiries/..%2f..%2foffice.key",
        "/inquiries/%00",
        "/inquiries//",
        "//people",
        "/./people",
        "/people/",
        "/people/.",
        "/PEOPLE",
        "/people;x",
        "/%70eople",
        "/%70eople/",
        "/inquiries/../people",
        "/inquiries/%2e%2e/people",
        "/look/%2e%2e/people",
        "/take-in/-1",
        "/take-in/99999999999999999999",
        "/welcome/../people",
        "/welcome/%2e%2e%2fpeople",
        "/look/dooryard.css/../../people",
    ];
    for uri in tricks {
        let answer = get(uri).signed_in(&county, Role::Reader).send(&county);
        assert!(answer.status.is_client_error() || answer.status == StatusCode::CONFLICT, "{uri}: {}", answer.status);
        let text = String::from_utf8_lossy(&answer.bytes).into_owned();
        assert!(!text.contains("SQLite format") && !text.contains("Who has an account"), "{uri}");
        let unsigned = get(uri).send(&county);
        tells_nothing(&unsigned, uri);
    }
    let spelled = get(&format!("/photos/{}/large", id.to_string().to_uppercase()));
    assert!(spelled.signed_in(&county, Role::Admin).send(&county).status.is_client_error(), "sealed in capitals too");
}

#[test]
fn every_answer_has_the_headers_whoever_asks() {
    let county = county();
    for (_, _, uri, ask) in every_way(&county) {
        for ask in [ask.clone(), ask.clone().signed_in(&county, Role::Admin), ask.header("host", "elsewhere.invalid")] {
            let answer = ask.send(&county);
            let policy = answer.header("content-security-policy").to_owned();
            assert!(policy.contains("default-src") && policy.contains("frame-ancestors 'none'"), "{uri}");
            assert!(!policy.contains("unsafe-eval") && !policy.contains("script-src"), "{uri}");
            for (name, value) in [
                ("x-content-type-options", "nosniff"),
                ("x-frame-options", "DENY"),
                ("referrer-policy", "same-origin"),
                ("cross-origin-opener-policy", "same-origin"),
                ("cross-origin-resource-policy", "same-origin"),
            ] {
                assert_eq!(answer.header(name), value, "{uri}");
            }
            let kept = if uri.starts_with("/look/") || uri == "/favicon.ico" { "" } else { "no-store" };
            assert!(answer.header("cache-control").contains(kept), "{uri}");
            assert_eq!(answer.header("access-control-allow-origin"), "", "{uri}");
        }
    }
}
