//! Every sentence that pages ask for is there, and every one that is there is asked for.

use std::{
    collections::{BTreeMap, BTreeSet},
    fs,
    path::Path,
};

use dooryard_core::words::{Language, Words};

/// Files with their text, of folders under this crate.
fn files(folders: &[&str]) -> BTreeMap<String, String> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut found = BTreeMap::new();
    let mut left: Vec<_> = folders.iter().map(|folder| root.join(folder)).collect();
    while let Some(folder) = left.pop() {
        for entry in fs::read_dir(&folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                left.push(path);
            } else if let Ok(text) = fs::read_to_string(&path) {
                found.insert(path.display().to_string(), text);
            }
        }
    }
    found
}

/// What stands between quotes in a text, where it could be the name of a sentence.
fn names_in(text: &str) -> impl Iterator<Item = &str> {
    text.split('"').filter(|part| {
        let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || "-{}_:".contains(c);
        !part.is_empty() && part.starts_with(|c: char| c.is_ascii_lowercase()) && part.chars().all(plain)
    })
}

/// Names given to the functions that say sentences.
fn asked_for(text: &str) -> Vec<String> {
    let calls = [".say(\"", ".fill(\"", ".with(\""];
    let after = calls.iter().flat_map(|call| text.split(call).skip(1));
    after.filter_map(|rest| rest.split('"').next()).filter(|name| name.contains('-')).map(str::to_owned).collect()
}

#[test]
fn every_sentence_that_a_page_asks_for_is_there() {
    let mut asked = 0;
    for (path, text) in files(&["src/page", "templates"]) {
        for name in asked_for(&text).iter().filter(|_| !path.contains("tests")) {
            asked += 1;
            for language in Language::ALL {
                assert!(Words(language).has(name), "{path}: {name} in {}", language.tag());
            }
        }
    }
    assert!(asked > 100, "only {asked} were found");
}

#[test]
fn every_sentence_that_is_there_is_asked_for() {
    // What the core says of records and of the key is asked for there; what phones say is looked at there, too, and in the app.
    let sources = files(&["src", "templates", "../core/src"]);
    let (mut whole, mut begun) = (BTreeSet::new(), BTreeSet::new());
    for (path, text) in &sources {
        if path.contains("tests_words") {
            continue;
        }
        for name in names_in(text) {
            match name.split_once('{') {
                Some((before, _)) if before.ends_with('-') => _ = begun.insert(before),
                _ => _ = whole.insert(name),
            }
        }
    }
    let (mut there, mut left) = (0, Vec::new());
    for (path, text) in files(&["../core/words/en"]) {
        if path.contains("/phone-") || path.contains("/app") {
            continue;
        }
        let names = text.lines().filter_map(|line| line.split_once(" =")).map(|(name, _)| name);
        for name in names.filter(|name| name.starts_with(|c: char| c.is_ascii_lowercase())) {
            there += 1;
            // `trouble-role-why` is asked for through `{name}-why`.
            let stem = name.strip_suffix("-why").or_else(|| name.strip_suffix("-do")).unwrap_or(name);
            if !whole.contains(name) && !whole.contains(stem) && !begun.iter().any(|before| name.starts_with(before)) {
                left.push(format!("{path}: {name}"));
            }
        }
    }
    assert!(there > 100, "only {there} were found");
    assert!(left.is_empty(), "nobody asks for: {left:#?}");
}
