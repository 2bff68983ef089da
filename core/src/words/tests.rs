use std::collections::{BTreeMap, BTreeSet};

use super::*;

const FILES: [(Language, &[(&str, &str)]); 2] = [(Language::En, &files!("en")), (Language::Es, &files!("es"))];

/// What stands in a sentence, and the selectors it is chosen by.
type Variables = BTreeSet<String>;

/// Name of each sentence in a file, with its variables.
fn sentences(text: &str) -> BTreeMap<String, Variables> {
    let mut found = BTreeMap::new();
    let mut name = String::new();
    for line in text.lines().filter(|line| !line.starts_with('#')) {
        let is_name = line.starts_with(|c: char| c.is_ascii_lowercase());
        if let (true, Some((begun, _))) = (is_name, line.split_once(" =")) {
            name = begun.to_owned();
            assert!(found.insert(name.clone(), Variables::new()).is_none(), "{name} stands twice");
        }
        let word = |rest: &str| rest.chars().take_while(|c| c.is_ascii_alphanumeric() || *c == '_').collect();
        let variables = line.split('$').skip(1).map(word).collect::<Vec<String>>();
        if let Some(all) = found.get_mut(&name) {
            all.extend(variables);
        }
    }
    found
}

#[test]
fn every_file_can_be_read_and_no_name_stands_twice() {
    for (language, files) in FILES {
        let mut all = BTreeSet::new();
        for (name, text) in files {
            let read = FluentResource::try_new((*text).to_owned());
            assert!(read.is_ok(), "{language:?} {name}: {:?}", read.map_err(|(_, errors)| errors));
            for sentence in sentences(text).into_keys() {
                assert!(all.insert(sentence.clone()), "{language:?} {name}: {sentence} stands in two files");
                assert!(Words(language).has(&sentence), "{language:?} {name}: {sentence}");
            }
        }
        assert!(all.len() > 100, "only {} sentences were found", all.len());
    }
}

#[test]
fn both_languages_say_the_same_with_the_same_things_in_it() {
    for ((_, en), (_, es)) in [(FILES[0], FILES[1])] {
        for ((name, en), (_, es)) in en.iter().zip(es) {
            let (en, es) = (sentences(en), sentences(es));
            let only = |a: &BTreeMap<String, Variables>, b: &BTreeMap<String, Variables>| {
                a.keys().filter(|name| !b.contains_key(*name)).cloned().collect::<Vec<_>>()
            };
            assert_eq!((only(&en, &es), only(&es, &en)), (Vec::new(), Vec::new()), "{name}: in one language only");
            for (sentence, variables) in en {
                assert_eq!(Some(&variables), es.get(&sentence), "{name}: {sentence}");
            }
        }
    }
}

#[test]
fn numbers_and_names_stand_in_sentences_as_people_write_them() {
    let (en, es) = (Words(Language::En), Words(Language::Es));
    assert_eq!(en.with("time-late", [("n", &1u64)]), "1 day late");
    assert_eq!(en.with("time-late", [("n", &12_345u64)]), "12,345 days late");
    assert_eq!(es.with("time-late", [("n", &1u64)]), "con 1 día de retraso");
    assert_eq!(es.with("time-late", [("n", &2u64)]), "con 2 días de retraso");
    assert_eq!(en.say("no-such-sentence"), "no-such-sentence");
    assert!(!en.has("no-such-sentence"));
}
