//! The walk as it is typed: the real program over scripted lines, in both languages, and what the notebook holds afterwards.

#![expect(clippy::unwrap_used, reason = "a test")]

use std::{
    io::{BufRead, BufReader, Write},
    path::Path,
    process::{Command, Stdio},
};

use serde_json::Value as Json;

const PACK: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/small_pack");

/// Runs it over these lines, holds the exit code against what is expected, gives its words.
fn typed(dir: &Path, code: i32, arguments: &str, lines: &str) -> String {
    let mut child = Command::new(env!("CARGO_BIN_EXE_dooryard"))
        .current_dir(dir)
        .env("TERM", "dumb")
        .args(arguments.split_whitespace())
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // A program that refuses at once reads nothing.
    let _ = child.stdin.take().unwrap().write_all(lines.as_bytes());
    let output = child.wait_with_output().unwrap();
    let words = format!("{}{}", String::from_utf8_lossy(&output.stdout), String::from_utf8_lossy(&output.stderr));
    assert_eq!(output.status.code(), Some(code), "dooryard {arguments}\n{words}");
    words
}

fn walk(dir: &Path, arguments: &str, lines: &str) -> String {
    typed(dir, 0, &format!("key walk --date 2026-07-10 --pack {PACK} {arguments}"), lines)
}

fn objects(dir: &Path, arguments: &str) -> Vec<Json> {
    let words = typed(dir, 0, &format!("--json {arguments}"), "");
    words.lines().map(|line| serde_json::from_str(line).unwrap()).collect()
}

/// A folder with the notebook `phone`, which belongs to an office.
fn county() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    for line in [
        "office new county --name Larkspur",
        "notebook new phone",
        "notebook request phone --out phone.request",
        "office add-device county --request phone.request --role scout --label Scout-3 --out phone.answer",
        "notebook enrol phone phone.answer",
    ] {
        typed(folder.path(), 0, line, "");
    }
    folder
}

/// The shown fields of every record of a kind, with their ids.
fn records(dir: &Path, kind: &str) -> Vec<(String, Json)> {
    let rows = objects(dir, &format!("notebook list phone --kind {kind}"));
    let read = |row: &Json| {
        let id = row["id"].as_str().unwrap().to_owned();
        let shown = &objects(dir, &format!("notebook show phone {id}"))[0];
        let fields = shown["fields"].as_array().unwrap().iter();
        let fields = fields.map(|f| (f["name"].as_str().unwrap().to_owned(), f["shown"]["value"].clone()));
        (id, Json::Object(fields.collect()))
    };
    rows.iter().map(read).collect()
}

fn has(words: &str, facts: &[&str]) {
    let flat = words.split_whitespace().collect::<Vec<_>>().join(" ");
    for fact in facts {
        assert!(flat.contains(fact), "{fact} is missing in:\n{words}");
    }
}

#[test]
fn a_walk_in_english_ranks_explains_and_advises() {
    let folder = tempfile::tempdir().unwrap();
    let lines = "n\nn\nn\nn\nBlack spots all over.\n\nmaple\nwhy\n1\nwhy\n3\nd\na\nq\n\n\n";
    let words = walk(folder.path(), "", lines);
    has(
        &words,
        &[
            "Unreviewed starter content",
            "Is anything about to fall",
            "1 Maple 2 Mountain maple",
            "! Sap runs from winter cuts",
            "Look: Base of the trunk",
            "asked of every plant first",
            "If \"Shiny black spots\" (",
            "as the main cause: Tar spot ",
            "Tar spot, very likely (+",
            "+ for: Leaf spots: Shiny black spots (seen)",
            "Can be named: - Tar spot, very likely",
            "Rake up fallen leaves and bag them.",
            "No look that is left would change what to do.",
            "Nothing was saved in a notebook.",
        ],
    );
}

#[test]
fn a_walk_in_spanish_speaks_spanish_from_the_first_line_to_the_last() {
    let folder = tempfile::tempdir().unwrap();
    let lines = "s\nok\nok\nno\nno\nno\nManchas negras.\n\narce\n1\n¿por qué?\n3\nd\na\nh\nq\n\n\n";
    let words = walk(folder.path(), "--language es", lines);
    has(
        &words,
        &[
            "Contenido inicial sin revisar",
            "¿Hay algo por caer",
            "CUIDADO: Una planta puede ser venenosa",
            "Observe: Base del tronco",
            "Por qué se pregunta: Manchas en las hojas",
            "Mancha negra de la hoja, muy probable (+",
            "Manchas negras brillantes (visto)",
            "Rastrille las hojas caídas y póngalas en una bolsa.",
            "10 de julio",
            "No se guardó nada en un cuaderno.",
        ],
    );
    for english in ["Look:", "Summary", "seen", "Rake", "Maple", "maple", "likely"] {
        assert!(!words.contains(english), "{english} in:\n{words}");
    }
}

#[test]
fn mistakes_are_explained_and_asked_again() {
    let folder = tempfile::tempdir().unwrap();
    let lines = "perhaps\nn\nn\nn\nn\n\npalm\napl\n2\nbrown\n7\n\n1 2\n1 -1\nu\nl\n44\n\nq\n\n\n";
    let words = walk(folder.path(), "", lines);
    has(
        &words,
        &[
            "Please answer y or n.",
            "No plant of this key has that name: palm",
            "Several plants fit.",
            "The plant: Mountain maple",
            "This is neither a number nor a command: brown",
            "There is no such number: 7",
            "Type an answer, or s to skip this look.",
            "Only one of these can be true.",
            "It cannot be there and not there: 1",
            "There is nothing to undo.",
            "There is no such number: 44",
            "Nothing was looked at.",
        ],
    );
}

#[test]
fn a_stop_is_shown_at_once_and_has_to_be_read() {
    let folder = tempfile::tempdir().unwrap();
    let words = walk(folder.path(), "--host lilac", "n\ny\nwhat\nok\nok\nn\nn\n\n1\nq\n\n\n");
    has(
        &words,
        &["STOP: It may fall", "Please read it, then type ok.", "A stop stands: no advice beyond its own words."],
    );
    let (stop, next) = (words.find("STOP: It may fall").unwrap(), words.find("food sprayed").unwrap());
    assert!(stop < next, "before the next question");

    // A finding that raises one: from then on no cause is named, and undo does not take the stop away.
    let words = walk(folder.path(), "--host lilac", "n\nn\nn\nn\n\nl\nwings\nBARK\n1\n2\nok\nd\nwhy\nu\nd\nq\n\n\n");
    has(
        &words,
        &[
            "No look that is left has this word: wings",
            "STOP: This needs an official look",
            "A stop that was shown stays",
            "No cause is named while a stop stands.",
        ],
    );
    assert!(!words.contains("Watched beetle"), "{words}");
}

#[test]
fn what_is_typed_is_saved_as_it_is_typed_and_reads_back() {
    let folder = county();
    let dir = folder.path();
    // The input ends in the middle of a line: what was typed of it counts.
    let lines = "n\ny\nok\nok\nn\nn\nMy tree is thin.\nIt was fine last year.\n\nmaple\n2\n-3 2\n?\nu\ns";
    let words = walk(dir, "--notebook phone", lines);
    has(&words, &["STOP: It may fall", "Summary", "Saved in the notebook as inquiry"]);

    let (inquiry, fields) = records(dir, "inquiry").remove(0);
    assert!(words.contains(&inquiry), "{words}");
    assert_eq!(fields["question"], "My tree is thin.\nIt was fine last year.");
    assert_eq!(fields["stops"], serde_json::json!(["utility_line", "tree_failure"]));
    assert_eq!((&fields["language"], &fields["taken_by"]), (&Json::from("en"), &Json::from("Scout-3")));
    let (plant, fields) = records(dir, "plant").remove(0);
    assert_eq!((&fields["host"], &fields["inquiry"]), (&Json::from("maple"), &Json::from(inquiry.as_str())));
    let (visit, fields) = records(dir, "visit").remove(0);
    assert!(fields["pack_version"].as_str().unwrap().starts_with("small 1 (2026-11-26) "));
    assert!(fields["start"].as_str().unwrap().starts_with("2026-07-10T"));
    assert!(fields["end"].as_str().is_some());

    let mut found: Vec<String> = Vec::new();
    for (_, fields) in records(dir, "finding") {
        assert_eq!((fields["plant"].as_str(), fields["visit"].as_str()), (Some(plant.as_str()), Some(visit.as_str())));
        let word = |name: &str| fields[name].as_str().unwrap_or("-").to_owned();
        found.push(format!("{} {} {}", word("character"), word("state"), word("status")));
    }
    found.sort();
    assert_eq!(found, ["flare pole_like seen", "spots brown seen", "spots tar absent", "trunk_holes - not_looked"]);
    let deleted = objects(dir, "notebook list phone --kind finding --deleted");
    assert_eq!(deleted.len(), 5, "what was taken back is hidden and not lost");

    // Going on: the findings are there, the stop is shown again, a new visit begins.
    let words = walk(dir, &format!("--notebook phone --inquiry {inquiry}"), "ok\nok\nn\nn\nn\nn\n1\nq\nn\n\n");
    assert!(words.find("STOP: It may fall").unwrap() < words.find("Is anything about to fall").unwrap());
    has(&words, &["The question in the notebook: My tree is thin.", "Base of the trunk: Straight like a pole (seen)"]);
    assert_eq!((records(dir, "inquiry").len(), records(dir, "plant").len(), records(dir, "visit").len()), (1, 1, 2));
}

#[test]
fn a_walk_that_is_killed_has_kept_every_answer() {
    let folder = county();
    let dir = folder.path();
    let mut child = Command::new(env!("CARGO_BIN_EXE_dooryard"))
        .current_dir(dir)
        .args(format!("key walk --notebook phone --host maple --pack {PACK}").split_whitespace())
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut stdin = child.stdin.take().unwrap();
    stdin.write_all(b"n\nn\nn\nn\nThin.\n\n2\n").unwrap();
    // The next look is asked only after the answer before it was saved.
    let mut lines = BufReader::new(child.stdout.take().unwrap()).lines();
    assert!(lines.any(|line| line.unwrap() == "Look: Leaf spots"));
    child.kill().unwrap();
    child.wait().unwrap();
    assert_eq!(records(dir, "inquiry")[0].1["question"], "Thin.");
    let found = records(dir, "finding");
    assert_eq!(found.len(), 1);
    assert_eq!((&found[0].1["state"], &found[0].1["status"]), (&Json::from("pole_like"), &Json::from("seen")));
}

#[test]
fn a_first_answer_and_the_letter_follow_from_the_record() {
    let folder = county();
    let dir = folder.path();
    let lines = "n\nn\nn\nn\nBlack spots.\n\nmaple\n1\n3\nq\nphone\ny\nwalk.txt\n";
    let words = walk(dir, "", lines);
    has(&words, &["Keep the causes that can be named", "The letter is written: walk.txt"]);
    let (inquiry, _) = records(dir, "inquiry").remove(0);
    let (_, answer) = records(dir, "diagnosis").remove(0);
    assert_eq!(answer["causes"][0]["cause"], "tar_spot");
    assert_eq!(answer["causes"][0]["word"], "very_likely");
    assert!(answer["pack_version"].as_str().unwrap().starts_with("small 1"));
    let walked = std::fs::read_to_string(dir.join("walk.txt")).unwrap();
    let line = format!("key letter phone {inquiry} --pack {PACK} --text a.txt --html a.html");
    typed(dir, 0, &line, "");
    assert_eq!(
        std::fs::read_to_string(dir.join("a.txt")).unwrap(),
        walked,
        "the same from the record as from the walk"
    );
    has(&walked, &["Larkspur", &inquiry, "Black spots.", "Tar spot: very likely", "A person reviewed this letter: no"]);
    let page = std::fs::read_to_string(dir.join("a.html")).unwrap();
    assert!(page.starts_with("<!doctype html>") && page.contains("Tar spot"));
    let spanish =
        typed(dir, 0, &format!("key letter phone {inquiry} --pack {PACK} --language es --reviewed-by educator"), "");
    has(&spanish, &["Mancha negra de la hoja: muy probable", "Una persona revisó esta carta: sí (por: educator)"]);
}

#[test]
fn a_described_case_is_advised() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path();
    let case = "- {id: spots, host: maple, date: 07-10, findings: {spots: {seen: [tar], absent: [holes]}, flare: {seen: [widens]}}}\n";
    std::fs::write(dir.join("cases.yaml"), case).unwrap();
    let words = typed(dir, 0, &format!("key advise cases.yaml --case spots --pack {PACK}"), "");
    has(
        &words,
        &[
            "What to tell Can be named: - Tar spot, very likely",
            "We looked here and saw nothing unusual: - Base of the trunk: It widens",
            "We looked for this and did not find it: - Leaf spots: Holes where spots fell out",
            "July 10, ",
        ],
    );
    let words = typed(dir, 1, &format!("key advise cases.yaml --case none --pack {PACK}"), "");
    has(&words, &["there is no case \"none\""]);
    let told = objects(dir, &format!("key advise cases.yaml --case spots --pack {PACK}"));
    assert_eq!(told[0]["advice"]["causes"][0]["cause"], "tar_spot");
    assert!(told[1]["html"].as_str().unwrap().starts_with("<!doctype html>"));
}

#[test]
fn what_cannot_be_walked_is_refused_before_the_first_question() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path();
    let refused = |arguments: &str| typed(dir, 1, &format!("{arguments} --pack {PACK}"), "n\n");
    let words = refused("key walk --host palm");
    has(&words, &["has no host \"palm\"", "maple, mountain_maple, lilac"]);
    assert!(!words.contains("about to fall"));
    has(&refused("key walk --notebook nowhere"), &["nowhere"]);
    has(&refused("--json key walk"), &["a walk is a conversation"]);
    typed(dir, 2, "key walk --language fr", "");
    typed(dir, 2, "key walk --inquiry 1", "");
}

#[test]
fn a_notebook_of_no_office_is_walked_and_keeps_every_answer() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path();
    typed(dir, 0, "notebook new alone", "");
    let lines = "n\nn\nn\nn\nBlack spots all over.\n\nmaple\n1\nd\n";
    has(&walk(dir, "--notebook alone", lines), &["Saved in the notebook as inquiry"]);
    assert_eq!(objects(dir, "notebook list alone --kind inquiry").len(), 1);
}
