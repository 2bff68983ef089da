//! What a run did to files, call by call, as `strace` wrote it down.

use std::{
    ffi::OsString,
    fs,
    os::unix::ffi::OsStringExt,
    path::{Path, PathBuf},
    process::{Command, Stdio},
};

/// The calls that open, change, make durable or name files, and those by which a place in a file moves.
const TRACED: &str = "?open,openat,creat,close,dup,dup2,dup3,fcntl,lseek,read,write,writev,pwrite64,?pwritev,?pwritev2,\
                      ftruncate,?fallocate,copy_file_range,sendfile,fsync,fdatasync,?sync_file_range,rename,?renameat,\
                      renameat2,link,linkat,unlink,unlinkat,mkdir,mkdirat,rmdir";

/// One call that succeeded. Files are named by the number that the program has for them.
#[derive(Debug)]
pub enum Call {
    Open { path: PathBuf, file: i64, make: bool, empty: bool, append: bool },
    Close(i64),
    Twin { of: i64, file: i64 },
    Seek { file: i64, to: u64 },
    Read { file: i64, bytes: u64 },
    Write { file: i64, bytes: Vec<u8> },
    WriteAt { file: i64, at: u64, bytes: Vec<u8> },
    Length { file: i64, length: u64 },
    Copy { from: i64, to: i64, bytes: u64 },
    Sync(i64),
    Rename { from: PathBuf, to: PathBuf },
    Remove(PathBuf),
    MakeFolder(PathBuf),
}

/// Runs a command, which must succeed, and gives its calls in order.
pub fn of(command: &Command, log: &Path) -> Vec<Call> {
    let mut strace = Command::new("strace");
    strace.args(["-f", "-qq", "-y", "-xx", "-s", "1000000000", "-e"]).arg(format!("trace={TRACED}")).arg("-o").arg(log);
    strace.arg(command.get_program()).args(command.get_args()).stdin(Stdio::null());
    let output = strace.output().unwrap();
    assert!(output.status.success(), "{command:?}: {}", String::from_utf8_lossy(&output.stderr));
    let mut begun = std::collections::HashMap::new();
    let mut calls = Vec::new();
    for line in fs::read_to_string(log).unwrap().lines() {
        let (thread, said) = line.split_once(' ').unwrap();
        let said = said.trim_start();
        if let Some(first) = said.strip_suffix(" <unfinished ...>") {
            begun.insert(thread.to_owned(), first.to_owned());
        } else if let Some((_, rest)) = said.split_once(" resumed>").filter(|_| said.starts_with("<... ")) {
            let first = begun.remove(thread).unwrap();
            calls.extend(read(&format!("{first}{rest}")));
        } else {
            calls.extend(read(said));
        }
    }
    calls
}

/// One line. `None` for a call that failed or that changes nothing.
///
/// # Panics
/// On a call that changes files in a way that is not known here.
fn read(line: &str) -> Option<Call> {
    let (name, rest) = line.split_once('(')?;
    let (arguments, result) = rest.rsplit_once(") = ")?;
    let result = number(result.split(' ').next()?)?;
    if result < 0 {
        return None;
    }
    let said: Vec<&str> = arguments.split(", ").collect();
    let file = |at: usize| number(said[at]).unwrap();
    let count = |at: usize| number(said[at]).unwrap().unsigned_abs();
    let path = |at: usize| text(said[at]);
    let below = |at: usize| match said[at].split_once('<') {
        Some((_, folder)) => unescaped(folder.trim_end_matches('>')).join(text(said[at + 1])),
        None => text(said[at + 1]),
    };
    Some(match name {
        "open" | "openat" | "creat" => {
            let (path, flags) =
                if name == "openat" { (below(0), said[2]) } else { (path(0), said.get(1).copied().unwrap_or("")) };
            let has = |flag: &str| name == "creat" || flags.split('|').any(|has| has == flag);
            if flags.contains("O_TMPFILE") {
                return None;
            }
            let append = flags.contains("O_APPEND");
            Call::Open { path, file: result, make: has("O_CREAT"), empty: has("O_TRUNC"), append }
        }
        "close" => Call::Close(file(0)),
        "dup" | "dup2" | "dup3" => Call::Twin { of: file(0), file: result },
        "fcntl" if said[1].starts_with("F_DUPFD") => Call::Twin { of: file(0), file: result },
        "fcntl" => return None,
        "lseek" => Call::Seek { file: file(0), to: result.unsigned_abs() },
        "read" => Call::Read { file: file(0), bytes: result.unsigned_abs() },
        "write" => Call::Write { file: file(0), bytes: head(bytes(said[1]), result) },
        "pwrite64" => Call::WriteAt { file: file(0), at: count(3), bytes: head(bytes(said[1]), result) },
        "ftruncate" => Call::Length { file: file(0), length: count(1) },
        "copy_file_range" => Call::Copy { from: file(0), to: file(2), bytes: result.unsigned_abs() },
        "sendfile" => Call::Copy { from: file(1), to: file(0), bytes: result.unsigned_abs() },
        "fsync" | "fdatasync" => Call::Sync(file(0)),
        "rename" => Call::Rename { from: path(0), to: path(1) },
        "renameat" | "renameat2" => Call::Rename { from: below(0), to: below(2) },
        "unlink" | "rmdir" => Call::Remove(path(0)),
        "unlinkat" => Call::Remove(below(0)),
        "mkdir" => Call::MakeFolder(path(0)),
        "mkdirat" => Call::MakeFolder(below(0)),
        // What is said to people goes out in several pieces at once; no file does.
        "writev" if file(0) <= 2 => return None,
        _ => panic!("not known here: {}", &line[..line.len().min(200)]),
    })
}

fn head(mut bytes: Vec<u8>, length: i64) -> Vec<u8> {
    bytes.truncate(usize::try_from(length).unwrap());
    bytes
}

/// The number that something begins with, as in `3<path>`.
fn number(text: &str) -> Option<i64> {
    let end = text.find(|c: char| !c.is_ascii_digit() && c != '-').unwrap_or(text.len());
    text[..end].parse().ok()
}

fn text(quoted: &str) -> PathBuf {
    OsString::from_vec(bytes(quoted)).into()
}

fn unescaped(escaped: &str) -> PathBuf {
    OsString::from_vec(hex_pairs(escaped)).into()
}

fn bytes(quoted: &str) -> Vec<u8> {
    let inner = quoted.strip_prefix('"').and_then(|rest| rest.strip_suffix('"'));
    hex_pairs(inner.unwrap_or_else(|| panic!("cut short: {}", &quoted[..quoted.len().min(60)])))
}

/// `\x2f\x74` and so on.
fn hex_pairs(escaped: &str) -> Vec<u8> {
    let digit = |c: u8| (c as char).to_digit(16).unwrap() as u8;
    escaped.as_bytes().chunks_exact(4).map(|pair| digit(pair[2]) << 4 | digit(pair[3])).collect()
}
