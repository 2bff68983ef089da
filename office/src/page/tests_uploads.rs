//! What must not work with files: tricks in their names, too much, too slow, cut, without form.

use std::{
    fs,
    io::{ErrorKind, Read, Write},
    net::{TcpListener, TcpStream},
    path::Path,
    time::{Duration, Instant},
};

use axum::{body::Body, extract::Request, http::StatusCode};

use super::{
    arriving::{Arriving, MOST_FILES},
    asks::{get, parts, send_files},
    guard::SLOWEST,
    routes::guarded,
    sample_county::{County, county},
    trouble::Trouble,
    uploads,
};
use crate::people::Role;

const SCRIPT: &str = "<script>alert(1)<\"'><img src=x onerror=alert(1)>.yard";

/// Names of everything in a folder and below it, but for what SQLite keeps beside its stores.
fn everything(folder: &Path) -> Vec<String> {
    let mut found = Vec::new();
    let entries = match fs::read_dir(folder) {
        // It went while the folder above was looked through.
        Err(e) if e.kind() == ErrorKind::NotFound => return found,
        entries => entries.unwrap(),
    };
    for entry in entries.flatten() {
        let path = entry.path();
        let name = path.display().to_string();
        if path.is_dir() {
            found.extend(everything(&path));
        }
        if !name.ends_with("-wal") && !name.ends_with("-shm") {
            found.push(name);
        }
    }
    found.sort();
    found
}

pub(super) fn arriving(county: &County) -> Vec<String> {
    let folder = county.office.folder().join("arriving");
    if folder.exists() { everything(&folder) } else { Vec::new() }
}

fn taken(county: &County) -> usize {
    county.office.intake_log().unwrap().len()
}

#[test]
fn a_name_that_is_a_path_leads_nowhere() {
    let county = county();
    let folder = county.office.folder().to_owned();
    let before = everything(&folder);
    let key = fs::read(folder.join("office.key")).unwrap();
    let names = ["../../office.key", "..\\..\\office.key", "/etc/passwd", "a/../../people.db", "..", ""];
    for name in names {
        let answer = send_files("/take-in", &[(name, b"no bundle")]).signed_in(&county, Role::ScoutLead).send(&county);
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{name:?}: {}", answer.text());
    }
    let now: Vec<_> = everything(&folder).into_iter().filter(|name| !name.ends_with("/arriving")).collect();
    assert_eq!(now, before, "nothing is left beside what was there");
    assert_eq!(fs::read(folder.join("office.key")).unwrap(), key);
    let called: Vec<_> = county.office.intake_log().unwrap().into_iter().map(|(_, row)| row.file).collect();
    assert!(called.iter().all(|name| !name.contains(['/', '\\', '\u{0}'])), "{called:?}");
    assert!(called.contains(&"office.key".to_owned()) && called.contains(&"people.db".to_owned()), "{called:?}");
}

#[test]
fn a_script_in_a_name_stays_text_wherever_it_is_shown() {
    let county = county();
    let mut newer = county.file("s3.yard");
    newer[8] = 99;
    let sent = send_files("/take-in", &[(SCRIPT, &newer), (SCRIPT, b"x")]);
    let answer = sent.signed_in(&county, Role::ScoutLead).send(&county);
    let report = answer.header("location").to_owned();
    let mut shown = 0;
    for uri in [report.as_str(), "/take-in", "/take-in/5", "/take-in/6", "/set-aside", "/phones", "/health-of-office"] {
        let answer = get(uri).signed_in(&county, Role::Admin).send(&county);
        assert_eq!(answer.status, StatusCode::OK, "{uri}");
        let text = answer.text();
        let own = text.replace("<script type=\"module\" src=\"/look/", "");
        assert!(!own.contains("<script") && !text.contains("<img src=x"), "{uri}:\n{text}");
        shown += usize::from(text.contains("&#60;script&#62;"));
    }
    assert!(shown >= 4, "it stands on {shown} pages");
    let sent = send_files("/take-in", &[(SCRIPT, b"x")]).header("accept", "application/json");
    let answer = sent.signed_in(&county, Role::ScoutLead).send(&county);
    assert_eq!(answer.header("content-type"), "application/json");
    assert_eq!(answer.header("x-content-type-options"), "nosniff");
}

#[test]
fn more_than_the_limit_is_refused_before_anything_is_read() {
    let county = county();
    let before = taken(&county);
    let announced = (uploads::MOST + 1).to_string();
    let sent = send_files("/take-in", &[("s9.yard", b"x")]).header("content-length", &announced);
    let answer = sent.signed_in(&county, Role::ScoutLead).send(&county);
    assert_eq!(answer.status, StatusCode::PAYLOAD_TOO_LARGE);
    assert!(answer.text().contains("More than 4 GB"), "the limit is said in words: {}", answer.text());
    assert_eq!((taken(&county), arriving(&county).len()), (before, 0));
}

/// What becomes of a body that is read with a limit.
fn read(body: Vec<u8>, most: u64) -> Result<usize, Trouble> {
    let folder = tempfile::tempdir().unwrap();
    let runtime = tokio::runtime::Runtime::new().unwrap();
    runtime.block_on(async {
        let mut request = Request::new(Body::from(body));
        let kind = "multipart/form-data; boundary=----dooryard-part".parse().unwrap();
        request.headers_mut().insert("content-type", kind);
        let (arriving, token) = Arriving::begin(&mut request, most, SLOWEST).await?;
        assert_eq!(token, "t");
        Ok(arriving.into_folder(folder.path()).await?.len())
    })
}

fn form(files: &[(String, Vec<u8>)]) -> Vec<u8> {
    parts(&[("token".into(), "t".into())], files)
}

#[test]
fn a_body_that_does_not_say_how_long_it_is_ends_at_the_limit() {
    let body = form(&[("a.yard".into(), vec![7; 5_000])]);
    let whole = body.len() as u64;
    assert_eq!(read(body.clone(), whole).unwrap(), 1);
    assert!(matches!(read(body, whole - 1), Err(Trouble::FilesTooLarge(most)) if most == whole - 1));
}

#[test]
fn a_thousand_empty_parts_and_a_head_without_an_end_are_refused() {
    let empty = vec![("e.yard".to_owned(), Vec::new()); 1_000];
    assert!(matches!(read(form(&empty), 1 << 30), Err(Trouble::TooManyFiles(_))));
    assert_eq!(read(form(&empty[..MOST_FILES]), 1 << 30).unwrap(), MOST_FILES);
    let county = county();
    let before = taken(&county);
    let files: Vec<(&str, &[u8])> = vec![("e.yard", b""); 1_000];
    let answer = send_files("/take-in", &files).signed_in(&county, Role::ScoutLead).send(&county);
    assert_eq!(answer.status, StatusCode::PAYLOAD_TOO_LARGE);
    assert!(answer.text().contains("More than 100 files"), "{}", answer.text());
    assert_eq!((taken(&county), arriving(&county).len()), (before, 0));
    let mut head = b"------dooryard-part\r\nContent-Disposition: form-data; name=\"token\"\r\n\r\nt\r\n".to_vec();
    head.extend(b"------dooryard-part\r\nContent-Disposition: form-data; name=\"files\"; filename=\"");
    head.extend(vec![b'a'; 4 << 20]);
    assert!(matches!(read(head, 1 << 30), Err(Trouble::BadForm)));
}

#[test]
fn a_body_without_files_or_of_another_form_is_refused() {
    let county = county();
    let before = taken(&county);
    let lead = |ask: super::asks::Ask| ask.signed_in(&county, Role::ScoutLead).send(&county);
    assert_eq!(lead(send_files("/take-in", &[])).status, StatusCode::BAD_REQUEST);
    for kind in ["application/x-www-form-urlencoded", "text/plain", "multipart/form-data", "application/json", ""] {
        let answer = lead(send_files("/take-in", &[("a.yard", b"x")]).header("content-type", kind));
        assert_eq!(answer.status, StatusCode::BAD_REQUEST, "{kind}");
    }
    assert_eq!(taken(&county), before);
}

/// The page on a port, with how slowly a body may come.
fn served(county: &County, slowest: Duration) -> (tokio::runtime::Runtime, std::net::SocketAddr) {
    let (desk, routes) = county.laid_out(slowest);
    let router = guarded(desk, routes);
    let runtime = tokio::runtime::Builder::new_multi_thread().worker_threads(1).enable_all().build().unwrap();
    let listener = TcpListener::bind("127.0.0.1:0").unwrap();
    let at = listener.local_addr().unwrap();
    listener.set_nonblocking(true).unwrap();
    runtime.spawn(async move {
        axum::serve(tokio::net::TcpListener::from_std(listener).unwrap(), router).await.unwrap();
    });
    (runtime, at)
}

/// Begins to send a body of so many bytes with this token.
fn begun(county: &County, at: std::net::SocketAddr, token: &str, length: usize) -> TcpStream {
    let session = county.session(Role::ScoutLead);
    let office = county.office.card().office().to_string();
    let mut stream = TcpStream::connect(at).unwrap();
    stream.set_read_timeout(Some(Duration::from_secs(30))).unwrap();
    write!(
        stream,
        "POST /take-in HTTP/1.1\r\nHost: {at}\r\nOrigin: http://{at}\r\nContent-Length: {length}\r\n\
         Cookie: dooryard-{}={}\r\nContent-Type: multipart/form-data; boundary=----dooryard-part\r\n\r\n\
         ------dooryard-part\r\nContent-Disposition: form-data; name=\"token\"\r\n\r\n{token}\r\n\
         ------dooryard-part\r\nContent-Disposition: form-data; name=\"files\"; filename=\"s.yard\"\r\n\r\n",
        &office[..8],
        session.token,
    )
    .unwrap();
    stream
}

fn status(stream: &mut TcpStream) -> String {
    let mut answer = [0; 12];
    stream.read_exact(&mut answer).unwrap();
    String::from_utf8_lossy(&answer).into_owned()
}

#[test]
fn a_forged_token_is_refused_before_the_file_is_read() {
    let county = county();
    let (_runtime, at) = served(&county, SLOWEST);
    // The file itself is never sent.
    let mut stream = begun(&county, at, "forged", 1 << 30);
    assert_eq!(status(&mut stream), "HTTP/1.1 403");
    assert_eq!(arriving(&county).len(), 0);
}

#[test]
fn a_body_that_stops_or_trickles_is_not_waited_for() {
    let county = county();
    let before = taken(&county);
    let (_runtime, at) = served(&county, Duration::from_millis(200));
    let token = county.session(Role::ScoutLead).visitor.form_token.clone();
    let mut stopped = begun(&county, at, &token, 1 << 20);
    assert_eq!(status(&mut stopped), "HTTP/1.1 408");
    let mut trickles = begun(&county, at, &token, 1 << 20);
    let mut hand = trickles.try_clone().unwrap();
    let drip = std::thread::spawn(move || {
        while hand.write_all(b"x").is_ok() {
            std::thread::sleep(Duration::from_millis(20));
        }
    });
    assert_eq!(status(&mut trickles), "HTTP/1.1 408");
    drop(trickles);
    drip.join().unwrap();
    assert_eq!((taken(&county), arriving(&county).len()), (before, 0));
}

#[test]
fn what_was_cut_on_the_way_leaves_nothing_behind() {
    let county = county();
    let before = taken(&county);
    let (_runtime, at) = served(&county, SLOWEST);
    let token = county.session(Role::ScoutLead).visitor.form_token.clone();
    let mut stream = begun(&county, at, &token, 8 << 20);
    stream.write_all(&vec![7; 1 << 20]).unwrap();
    let until = Instant::now() + Duration::from_secs(30);
    while !arriving(&county).iter().any(|name| name.ends_with("/1")) {
        assert!(Instant::now() < until, "the file never began to arrive");
        std::thread::sleep(Duration::from_millis(5));
    }
    drop(stream);
    while !arriving(&county).is_empty() {
        assert!(Instant::now() < until, "left behind: {:?}", arriving(&county));
        std::thread::sleep(Duration::from_millis(5));
    }
    assert_eq!(taken(&county), before);
}
