//! What must not work: without a session, with too small a role, from elsewhere, with forged, hostile, huge or slow input.

use std::{
    collections::BTreeMap,
    io::{Read, Write},
    net::{TcpListener, TcpStream},
    time::Duration,
};

use axum::{
    http::{Method, StatusCode},
    routing::{get as route_get, post as route_post},
};
use dooryard_core::{
    ids::RecordId,
    record::{Kind, Type, fields_of},
};
use serde_json::{Map, Value as Json, json};

use super::{
    asks::{Answer, Ask, get, post},
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
        let ask = if row.method == Method::GET { get(&uri) } else { post(&uri, &[]) };
        (row.least, row.method, uri, ask)
    });
    ways.collect()
}

/// Every form, with the most bytes that it takes.
fn posts_with_most(county: &County) -> Vec<(usize, Option<Role>, String, Ask)> {
    let most = table().into_iter().map(|row| row.most);
    let ways = most.zip(every_way(county)).filter(|(_, (_, method, ..))| *method == Method::POST);
    ways.map(|(most, (least, _, uri, ask))| (most, least, uri, ask)).collect()
}

fn posts(county: &County) -> Vec<(Option<Role>, String, Ask)> {
    let posts: Vec<_> = posts_with_most(county).into_iter().map(|(_, least, uri, ask)| (least, uri, ask)).collect();
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
    let noted = county.people.audit(None).unwrap().iter().filter(|row| row.act == "not_allowed").count();
    assert_eq!(noted, refused);
}

#[test]
fn the_least_role_of_the_table_is_enough() {
    for least in [Role::Reader, Role::Admin] {
        let (county, mut asked) = (county(), 0);
        for (_, _, uri, ask) in every_way(&county).into_iter().filter(|way| way.0 == Some(least)) {
            // These end the session.
            if uri.starts_with("/sign-out") {
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

const HOSTILE: &str = r#""'><script>alert(1)</script><img src=x onerror=alert(1)>"#;

/// A value of this type that is as hostile as the type lets it be.
fn hostile(ty: &Type, ids: &BTreeMap<Kind, RecordId>) -> Option<Json> {
    Some(match ty {
        Type::Text(most) => json!(HOSTILE.chars().take(*most).collect::<String>()),
        Type::Ref(kind) => json!(ids.get(kind)?.to_string()),
        Type::List(ty) => json!([hostile(ty, ids)?]),
        Type::Group(parts) => {
            let parts = parts.iter().filter_map(|p| Some((p.name.to_owned(), hostile(&p.ty, ids)?)));
            Json::Object(parts.collect())
        }
        Type::Int(least, _) => json!(least),
        Type::Decimal => json!("1.5"),
        Type::Degrees(..) => json!(1.0),
        Type::Word(words) => json!(words[0]),
        Type::Date => json!("2026-07-18"),
        Type::Instant => json!("2026-07-18T09:00:00-05:00[America/Chicago]"),
        Type::Key => json!("leaf_spot"),
        Type::Bool => json!(false),
        Type::Existence | Type::Blob => return None,
    })
}

#[test]
fn a_script_in_every_text_field_stays_text() {
    let county = county();
    let mut ids: BTreeMap<Kind, RecordId> = BTreeMap::new();
    let mut written = 0;
    // A sealed alert would hide the inquiry that this is about.
    let kinds = [Kind::Contact, Kind::Site, Kind::Inquiry, Kind::Plant, Kind::Visit];
    let rest = Kind::ALL.iter().copied().filter(|k| !kinds.contains(k) && *k != Kind::Alert);
    for kind in kinds.into_iter().chain(rest) {
        for field in fields_of(kind).iter().filter(|f| f.name != "stops" && f.name != "supersedes") {
            let Some(value) = hostile(&field.ty, &ids) else { continue };
            // Field by field: one that its kind does not take like this does not keep the others out.
            let one: Map<String, Json> = [(field.name.to_owned(), value.clone())].into_iter().collect();
            match county.office.notebook().save(kind, ids.get(&kind).copied(), &one) {
                Ok(id) => _ = ids.insert(kind, id),
                Err(e) => panic!("{kind} {}: {e}", field.name),
            }
            written += usize::from(value.to_string().contains("script"));
        }
    }
    assert!(written >= 25, "{written} fields hold the script");
    let admin = county.session(Role::Admin);
    let made = post("/people", &[("name", HOSTILE), ("role", "reader")]).held(&county, admin).send(&county);
    let link = made.text().split('"').find(|part| part.starts_with("/welcome/")).unwrap().to_owned();
    let query = serde_urlencoded::to_string([("q", HOSTILE)]).unwrap();
    let id = ids[&Kind::Inquiry];
    let see = |uri: &str| get(uri).held(&county, admin).send(&county);
    let mut pages = vec![
        ("made".to_owned(), made),
        (
            "sign in".into(),
            post("/sign-in", &[("name", HOSTILE), ("password", HOSTILE), ("next", HOSTILE)]).send(&county),
        ),
    ];
    let next = serde_urlencoded::to_string([("next", HOSTILE)]).unwrap();
    for uri in [
        "/inquiries".to_owned(),
        format!("/inquiries?{query}"),
        format!("/inquiries/{id}?place=full&contact=full"),
        format!("/inquiries/{id}"),
        "/take-in".into(),
        "/take-in/1".into(),
        "/phones".into(),
        "/people".into(),
        "/audit".into(),
        link,
        format!("/sign-in?{next}"),
    ] {
        let answer = see(&uri);
        assert_eq!(answer.status, StatusCode::OK, "{uri}");
        pages.push((uri, answer));
    }
    let mut shown = 0;
    for (uri, answer) in pages {
        let text = answer.text();
        assert!(!text.contains("<script") && !text.contains("<img src=x"), "{uri}:\n{text}");
        assert!(!text.contains(r#""'>"#), "a value ends its attribute in {uri}");
        shown += usize::from(text.contains("&#60;script&#62;"));
        assert!(answer.header("content-security-policy").starts_with("default-src 'self'"), "{uri}");
    }
    assert!(shown >= 6, "the words stand on {shown} pages");
}

#[test]
fn a_body_over_the_tables_limit_is_refused_and_files_are_taken_nowhere() {
    let county = county();
    for (most, least, uri, ask) in posts_with_most(&county) {
        assert!((1..=16 << 10).contains(&most), "{uri} takes {most}");
        let ask = if least.is_some() { ask.signed_in(&county, Role::Admin) } else { ask };
        // Not of a session's form: within the limit it is read, and refused for that.
        let read = ask.clone().body(vec![b'a'; most]).send(&county).status;
        assert_ne!(read, StatusCode::PAYLOAD_TOO_LARGE, "{uri}");
        let over = ask.clone().body(vec![b'a'; most + 1]).send(&county);
        assert_eq!(over.status, StatusCode::PAYLOAD_TOO_LARGE, "{uri}");
        let huge = ask.clone().body(vec![b'a'; 1 << 20]).send(&county);
        assert_eq!(huge.status, StatusCode::PAYLOAD_TOO_LARGE, "{uri}");
        let said = ask.clone().header("content-length", "99999999999").send(&county);
        assert_eq!(said.status, StatusCode::PAYLOAD_TOO_LARGE, "{uri}");
        for kind in ["multipart/form-data; boundary=x", "text/plain", "application/json", ""] {
            let answer = ask.clone().header("content-type", kind).send(&county);
            assert_eq!(answer.status, StatusCode::BAD_REQUEST, "{uri}: {kind}");
        }
        let broken = ask.body(vec![0xff, b'=', 0xfe]).send(&county);
        assert_eq!(broken.status, StatusCode::BAD_REQUEST, "{uri}");
    }
}

#[test]
fn a_slow_body_is_not_waited_for() {
    let county = county();
    let (desk, routes) = county.laid_out(Duration::from_millis(50));
    let router = guarded(desk, routes);
    let runtime = tokio::runtime::Builder::new_multi_thread().worker_threads(1).enable_all().build().unwrap();
    let listener = TcpListener::bind("127.0.0.1:0").unwrap();
    let at = listener.local_addr().unwrap();
    listener.set_nonblocking(true).unwrap();
    runtime.spawn(async move {
        axum::serve(tokio::net::TcpListener::from_std(listener).unwrap(), router).await.unwrap();
    });
    let mut stream = TcpStream::connect(at).unwrap();
    // It never comes to its end.
    write!(
        stream,
        "POST /sign-in HTTP/1.1\r\nHost: {at}\r\nOrigin: http://{at}\r\nContent-Length: 100\r\n\
         Content-Type: application/x-www-form-urlencoded\r\n\r\nname="
    )
    .unwrap();
    stream.set_read_timeout(Some(Duration::from_secs(30))).unwrap();
    let mut answer = [0; 12];
    stream.read_exact(&mut answer).unwrap();
    assert_eq!(std::str::from_utf8(&answer).unwrap(), "HTTP/1.1 408");
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
