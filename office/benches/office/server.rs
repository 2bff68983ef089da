//! The real program, serving an office, and somebody signed in at it.

use std::{
    fs,
    io::{BufRead, BufReader, Lines},
    path::Path,
    process::{Child, ChildStdout, Command, Stdio},
};

use dooryard_core::clock::Env;
use dooryard_office::people::{Passwords, People, Role};

/// A server, which ends when this is dropped.
pub struct Server {
    child: Child,
    /// What it says; it has to be there for it to go on saying.
    _said: Lines<BufReader<ChildStdout>>,
    /// Such as `127.0.0.1:40000`.
    pub at: String,
    /// The cookie of somebody who may see everything.
    pub cookie: String,
}

impl Server {
    /// Makes an account, starts the server, and waits until it says where it is.
    pub fn start(folder: &Path) -> Self {
        let env = Env::system();
        let passwords = Passwords::recommended(&env).expect("passwords");
        let people = People::open(folder, env, passwords).expect("accounts");
        // In a folder that is kept it is there already.
        let _made_or_there = people.add_account("bench", Role::Admin, "beans and squash");
        let session = people.sign_in("bench", "beans and squash", None).expect("a session");
        let mut child = Command::new(env!("CARGO_BIN_EXE_dooryard"))
            .args(["office", "serve", "--port", "0"])
            .arg(folder)
            .stdout(Stdio::piped())
            .spawn()
            .expect("the program");
        let mut lines = BufReader::new(child.stdout.take().expect("what it says")).lines();
        let at = lines.by_ref().map_while(Result::ok).find_map(|line| {
            line.strip_prefix("The office page: http://").map(|at| at.trim_end_matches('/').to_owned())
        });
        let at = at.expect("an address");
        let card = dooryard_office::desk::Office::open(folder, Env::system());
        let office = card.expect("the office").card().office().to_string();
        let cookie = format!("dooryard-{}={}", &office[..8], session.token);
        Self { child, _said: lines, at, cookie }
    }

    /// The most memory that it held at one time, megabytes.
    pub fn peak_mb(&self) -> f64 {
        let status = fs::read_to_string(format!("/proc/{}/status", self.child.id())).expect("Linux");
        let line = status.lines().find(|line| line.starts_with("VmHWM:")).expect("a line of it");
        let kib: f64 = line.split_whitespace().nth(1).and_then(|n| n.parse().ok()).expect("a number");
        kib * 1_024.0 / 1e6
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        let _ended = self.child.kill();
        let _reaped = self.child.wait();
    }
}
