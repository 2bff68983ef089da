//! Packs as an office types them: keys, sealing, checking, the shelf, and the shelf killed at any moment.
#![expect(clippy::unwrap_used, reason = "a test")]

use std::{
    fs,
    path::{Path, PathBuf},
    process::{Command, Stdio},
    time::{Duration, Instant},
};

use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use serde_json::Value as Json;

/// Runs it in this folder, holds the exit code against what is expected, gives what it wrote.
fn said(dir: &Path, code: i32, line: &str) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_dooryard")).current_dir(dir).args(line.split(' ')).output().unwrap();
    let words = format!("{}{}", String::from_utf8_lossy(&output.stdout), String::from_utf8_lossy(&output.stderr));
    assert_eq!(output.status.code(), Some(code), "dooryard {line}\n{words}");
    words
}

fn object(dir: &Path, line: &str) -> Json {
    serde_json::from_str(&said(dir, 0, &format!("--json {line}"))).unwrap()
}

/// A folder with the starter pack as versions 2, 3 and 4, and two keys (`old.key`, `new.key`) with what they are trusted as.
struct Desk {
    folder: tempfile::TempDir,
    old: String,
    new: String,
}

impl Desk {
    fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let dir = folder.path();
        let starter = Path::new(env!("CARGO_MANIFEST_DIR")).join("../fixtures/packs/landscape");
        for version in 2..=4 {
            let to = dir.join(format!("v{version}"));
            dooryard_tests::copy_folder(&starter, &to).unwrap();
            let text = fs::read_to_string(to.join("pack.yaml")).unwrap();
            let changed = text.replace("version: 2", &format!("version: {version}"));
            assert!(version == 2 || changed != text, "the starter pack is of version 2");
            fs::write(to.join("pack.yaml"), changed).unwrap();
        }
        let [old, new] = ["old", "new"].map(|name| {
            let made = object(dir, &format!("pack key --out {name}.key"));
            made["key"].as_str().unwrap().to_owned()
        });
        Self { folder, old, new }
    }

    fn dir(&self) -> &Path {
        self.folder.path()
    }

    fn build(&self, version: u32, rest: &str) -> Json {
        object(self.dir(), &format!("pack build v{version} {rest} --out v{version}.pack"))
    }
}

#[test]
fn a_key_is_its_owners_alone_and_never_overwritten() {
    let desk = Desk::new();
    #[cfg(unix)]
    {
        let mode =
            std::os::unix::fs::PermissionsExt::mode(&fs::metadata(desk.dir().join("old.key")).unwrap().permissions());
        assert_eq!(mode & 0o777, 0o600);
    }
    let before = fs::read(desk.dir().join("old.key")).unwrap();
    assert!(said(desk.dir(), 1, "pack key --out old.key").contains("never overwritten"));
    assert_eq!(fs::read(desk.dir().join("old.key")).unwrap(), before);
    assert_ne!(desk.old, desk.new);
}

#[test]
fn a_sealed_pack_is_shown_checked_and_used_wherever_a_folder_is() {
    let desk = Desk::new();
    let dir = desk.dir();
    let built = desk.build(2, "--key old.key --date 2026-11-27");
    assert_eq!((&built["version"], &built["created"]), (&Json::from(2), &Json::from("2026-11-27")));
    let bytes = fs::read(dir.join("v2.pack")).unwrap();
    desk.build(2, "--key old.key --date 2026-11-27");
    assert_eq!(fs::read(dir.join("v2.pack")).unwrap(), bytes, "the same bytes again");
    let words = said(dir, 0, "pack show v2.pack");
    assert!(words.contains("landscape 2") && words.contains(&desk.old) && words.contains("not reviewed"), "{words}");

    let case = "- {id: one, host: maple, date: 06-20, findings: {}}\n";
    fs::write(dir.join("case.yaml"), case).unwrap();
    let folder = said(dir, 0, "--json key score case.yaml --pack v2");
    let (old, new) = (&desk.old, &desk.new);
    let file = said(dir, 0, &format!("--json key score case.yaml --pack v2.pack --pack-key {old}"));
    assert_eq!(file, folder);
    let unchecked = said(dir, 0, "--json key score case.yaml --pack v2.pack");
    assert!(unchecked.contains(&folder) && unchecked.contains("not checked against a trusted key"), "{unchecked}");
    let other = said(dir, 1, &format!("--json key score case.yaml --pack v2.pack --pack-key {new}"));
    assert!(other.contains("UNKNOWN_DEVICE"), "{other}");
    said(dir, 0, &format!("pack take v2.pack --shelf shelf --trust {old}"));
    assert_eq!(said(dir, 0, "--json key score case.yaml --pack shelf"), folder);

    let mut damaged = bytes;
    let last = damaged.len() - 1;
    damaged[last] ^= 1;
    fs::write(dir.join("v2.pack"), damaged).unwrap();
    for line in ["pack show v2.pack", "pack check v2.pack", "key score case.yaml --pack v2.pack"] {
        assert!(said(dir, 1, &format!("--json {line}")).contains("PART_HASH"), "{line}");
    }
}

#[test]
fn a_shelf_goes_forward_goes_back_when_told_to_and_follows_a_new_key() {
    let desk = Desk::new();
    let (dir, old, new) = (desk.dir(), &desk.old, &desk.new);
    desk.build(2, "--key old.key");
    desk.build(3, "--key old.key");
    assert!(said(dir, 1, "pack take v2.pack --shelf shelf").contains("without a key to trust"));
    let taken = object(dir, &format!("pack take v2.pack --shelf shelf --trust {old}"));
    assert_eq!((&taken["done"], &taken["before"]), (&Json::from("taken"), &Json::Null));
    assert_eq!(object(dir, "pack take v3.pack --shelf shelf")["before"], 2);
    assert_eq!(object(dir, "pack take v3.pack --shelf shelf")["done"], "already_there");
    let refused = said(dir, 1, "--json pack take v2.pack --shelf shelf");
    assert!(refused.contains("STALE_REPLY") && refused.contains("say so"), "{refused}");
    assert_eq!(object(dir, "pack take v2.pack --shelf shelf --roll-back")["version"], 2);
    assert!(said(dir, 1, "pack take v2.pack --shelf shelf --roll-back").contains("version 3"));
    assert_eq!(object(dir, "pack take --shelf shelf --roll-back")["version"], 3);

    desk.build(4, "--key new.key");
    assert!(said(dir, 1, "--json pack take v4.pack --shelf shelf").contains("UNKNOWN_DEVICE"));
    desk.build(4, &format!("--key old.key --key new.key --from-now-on {new}"));
    let taken = object(dir, "pack take v4.pack --shelf shelf");
    assert_eq!((&taken["version"], &taken["trusted"]), (&Json::from(4), &serde_json::json!([new])));
}

#[test]
fn a_check_lists_findings_and_refuses_errors_only() {
    let desk = Desk::new();
    let dir = desk.dir();
    let words = said(dir, 0, "pack check v2");
    assert!(words.lines().last().unwrap().starts_with("0 errors, "), "{words}");
    desk.build(2, "--key old.key");
    assert_eq!(said(dir, 0, "pack check v2.pack"), words);
    let blocks = dir.join("v2/advice/blocks_cutting.yaml");
    let text = fs::read_to_string(&blocks).unwrap();
    fs::write(&blocks, text.replacen("en: \"", "en: \"Use 2 tsp per gallon. ", 1)).unwrap();
    let lines = said(dir, 1, "--json pack check v2");
    let findings: Vec<Json> = lines.lines().filter_map(|l| serde_json::from_str(l).ok()).collect();
    let errors = findings.iter().filter(|f| f["severity"] == "error").count();
    assert_eq!(errors, 2, "{lines}");
    assert!(findings.iter().any(|f| f["errors"] == 2), "{lines}");
    fs::write(&blocks, "blocks: 3\n").unwrap();
    assert!(said(dir, 1, "pack check v2").contains("cannot be read"));
}

fn take(dir: &Path, file: &str) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_dooryard"));
    command.current_dir(dir).args(["pack", "take", file, "--shelf", "shelf"]);
    command.stdout(Stdio::null()).stderr(Stdio::null());
    command
}

/// Names and bytes of a folder's files.
fn state(folder: PathBuf) -> Vec<(String, Vec<u8>)> {
    let entries = fs::read_dir(folder).unwrap().map(|e| e.unwrap());
    let mut files: Vec<_> =
        entries.map(|e| (e.file_name().to_string_lossy().into_owned(), fs::read(e.path()).unwrap())).collect();
    files.sort();
    files
}

#[test]
fn killed_at_any_moment_the_shelf_is_as_before_or_after() {
    let desk = Desk::new();
    let dir = desk.dir();
    desk.build(2, "--key old.key");
    desk.build(3, "--key old.key");
    object(dir, &format!("pack take v2.pack --shelf first --trust {}", desk.old));
    let fresh = || {
        let _ = fs::remove_dir_all(dir.join("shelf"));
        dooryard_tests::copy_folder(&dir.join("first"), &dir.join("shelf")).unwrap();
    };
    fresh();
    let begun = Instant::now();
    assert!(take(dir, "v3.pack").status().unwrap().success());
    let whole = begun.elapsed();
    let done = state(dir.join("shelf"));
    let mut random = ChaCha8Rng::seed_from_u64(5);
    let (mut killed, mut versions) = (0, Vec::new());
    for _ in 0..30 {
        fresh();
        let mut child = take(dir, "v3.pack").spawn().unwrap();
        std::thread::sleep(whole.mul_f64(random.random_range(0.0..1.0)).max(Duration::from_micros(100)));
        child.kill().unwrap();
        killed += u32::from(!child.wait().unwrap().success());
        let shelf: Json = serde_json::from_slice(&fs::read(dir.join("shelf/shelf.json")).unwrap()).unwrap();
        versions.push(shelf["current"]["version"].as_u64().unwrap());
        said(dir, 0, "pack take v3.pack --shelf shelf");
        assert_eq!(object(dir, "pack take v3.pack --shelf shelf")["done"], "already_there");
        assert_eq!(state(dir.join("shelf")), done, "repeated, it ends in the same state");
    }
    assert!(killed > 0 && versions.iter().all(|v| [2, 3].contains(v)), "{killed} killed, versions {versions:?}");
}
