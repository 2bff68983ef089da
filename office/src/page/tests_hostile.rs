//! Hostile, huge and slow input: stored scripts stay text, and nobody waits for a body without an end.

use std::{
    collections::BTreeMap,
    io::{Read, Write},
    net::{TcpListener, TcpStream},
    time::Duration,
};

use axum::http::StatusCode;
use dooryard_core::{
    ids::RecordId,
    record::{Kind, Type, fields_of},
};
use serde_json::{Map, Value as Json, json};

use super::{
    asks::{get, post},
    routes::guarded,
    sample_county::county,
    tests_security::posts_with_most,
};
use crate::people::Role;

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
        // Our own scripts are files of ours and nothing else.
        let text = answer.text().replace("<script type=\"module\" src=\"/look/", "");
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
        assert!((1..=256 << 10).contains(&most), "{uri} takes {most}");
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
