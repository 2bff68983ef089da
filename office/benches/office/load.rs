//! Clients that ask one after the other, each waiting for its answer, and how long the answers took.

use std::{
    io::{Read, Write},
    net::TcpStream,
    sync::atomic::{AtomicUsize, Ordering},
    thread,
    time::{Duration, Instant},
};

use crate::server::Server;

/// How long answers took.
pub struct Figures {
    pub middle_ms: f64,
    pub p95_ms: f64,
    pub most_ms: f64,
    pub a_second: f64,
}

/// Lets so many clients ask for as long as this, after each has asked once; every answer has to be a whole page.
pub fn ask_for(server: &Server, clients: usize, lasting: Duration, uri: &(dyn Fn(usize) -> String + Sync)) -> Figures {
    let count = AtomicUsize::new(0);
    let begin = Instant::now();
    let mut all: Vec<Duration> = thread::scope(|scope| {
        let running: Vec<_> = (0..clients).map(|_| scope.spawn(|| client(server, &count, lasting, uri))).collect();
        running.into_iter().flat_map(|one| one.join().expect("a client")).collect()
    });
    let took = begin.elapsed();
    all.sort();
    let at = |hundredths: usize| all[(all.len() * hundredths / 100).min(all.len() - 1)].as_secs_f64() * 1e3;
    let a_second = all.len() as f64 / took.as_secs_f64();
    Figures { middle_ms: at(50), p95_ms: at(95), most_ms: at(100), a_second }
}

/// How long each answer took that one client waited for; the first, with which it connects, is not among them.
fn client(server: &Server, count: &AtomicUsize, lasting: Duration, uri: &dyn Fn(usize) -> String) -> Vec<Duration> {
    let mut stream = TcpStream::connect(&server.at).expect("the server");
    stream.set_nodelay(true).expect("a socket");
    let mut ask = || {
        let uri = uri(count.fetch_add(1, Ordering::Relaxed));
        let begin = Instant::now();
        let (status, page) = get(&mut stream, server, &uri);
        let took = begin.elapsed();
        let is_whole = page.trim_end().ends_with("</html>") || (page.starts_with('{') && page.ends_with('}'));
        assert!(status == 200 && is_whole, "{uri}: {status}");
        took
    };
    ask();
    let end = Instant::now() + lasting;
    let mut all = Vec::new();
    while Instant::now() < end {
        all.push(ask());
    }
    assert!(!all.is_empty(), "an answer came in time");
    all
}

/// Asks for a page over a connection that stays: (status, page).
fn get(stream: &mut TcpStream, server: &Server, uri: &str) -> (u16, String) {
    write!(stream, "GET {uri} HTTP/1.1\r\nhost: {}\r\ncookie: {}\r\n\r\n", server.at, server.cookie).expect("sent");
    let (mut bytes, mut piece) = (Vec::new(), [0; 1 << 16]);
    loop {
        let n = stream.read(&mut piece).expect("an answer");
        assert!(n > 0, "{uri}: the answer stopped half way");
        bytes.extend_from_slice(&piece[..n]);
        let mut headers = [httparse::EMPTY_HEADER; 32];
        let mut head = httparse::Response::new(&mut headers);
        let httparse::Status::Complete(from) = head.parse(&bytes).expect("an answer of HTTP") else { continue };
        let length = head.headers.iter().find(|h| h.name.eq_ignore_ascii_case("content-length")).map(|h| h.value);
        let length: usize = std::str::from_utf8(length.expect("its length")).expect("text").parse().expect("a number");
        if bytes.len() >= from + length {
            let status = head.code.expect("a status");
            return (status, String::from_utf8(bytes[from..from + length].to_vec()).expect("text"));
        }
    }
}
