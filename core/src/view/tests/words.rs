//! Every sentence that the screens ask for is there, each that is there is asked for, and none shows a hole.

use std::{collections::BTreeSet, fs, path::Path};

use super::*;
use crate::words::Words;

fn sources() -> String {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/view");
    let files = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    files.filter(|path| path.is_file()).map(|path| fs::read_to_string(path).unwrap()).collect()
}

fn asked_for() -> (BTreeSet<String>, BTreeSet<String>) {
    let text = sources();
    let named = text.split('"').filter(|part| part.starts_with("phone-") && !part.contains(' '));
    let (begun, whole): (BTreeSet<String>, BTreeSet<String>) =
        named.map(str::to_owned).partition(|name| name.contains('{'));
    (whole, begun.into_iter().map(|name| name.split('{').next().unwrap().to_owned()).collect())
}

#[test]
fn every_sentence_is_there_in_both_languages_and_asked_for() {
    let (whole, begun) = asked_for();
    assert!(whole.len() > 150, "{}", whole.len());
    for language in Language::ALL {
        for name in &whole {
            assert!(Words(language).has(name), "{name} in {}", language.tag());
        }
    }
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("words/en");
    let mut left = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let text = fs::read_to_string(entry.unwrap().path()).unwrap();
        let names = text.lines().filter_map(|line| line.split_once(" =")).map(|(name, _)| name.to_owned());
        left.extend(names.filter(|name| {
            name.starts_with("phone-") && !whole.contains(name) && !begun.iter().any(|b| name.starts_with(b.as_str()))
        }));
    }
    assert!(left.is_empty(), "nobody asks for {left:?}");
}

#[test]
fn every_word_that_is_put_together_is_there() {
    let mut names: Vec<String> = Vec::new();
    let parts = ["whole", "boundary", "close-up", "underside", "trunk-base", "other-side", "healthy", "site"];
    names.extend(parts.iter().map(|part| format!("phone-shot-{part}")));
    names.extend(["township", "address", "access", "land-use"].iter().map(|f| format!("phone-place-{f}")));
    names.extend((1..=6).map(|n| format!("phone-pack-{n}")));
    names.extend((1..=4).map(|n| format!("phone-leaves-{n}")));
    names.extend((1..=3).map(|n| format!("phone-backup-note-{n}")));
    names.extend(Role::ALL.iter().map(|role| format!("phone-role-{}", role.name())));
    names.extend(["agree", "correct", "ask-back", "sample", "not-known"].map(|d| format!("phone-review-{d}")));
    names.extend((1..=7).map(|n| format!("time-weekday-{n}")));
    for language in Language::ALL {
        for name in &names {
            assert!(Words(language).has(name), "{name} in {}", language.tag());
        }
    }
}

#[test]
fn no_screen_shows_a_name_of_a_sentence_or_a_hole_in_one() {
    let mut phone = phone();
    let (inquiry, plant) = phone.tomato();
    for view in [phone.view(), phone.spanish()] {
        answer(&view, inquiry, plant, "leaf_spot_look", &[], &[], 0).unwrap_or_else(|_| {
            let first = look(&view, inquiry, plant, "", "").unwrap().look.unwrap();
            answer(&view, inquiry, plant, &first.character, &ids(&["could_not_tell"]), &[], 2).unwrap()
        });
        ask_later(&view, inquiry, "2026-07-20", "Did it set fruit?").unwrap();
        take_sample(&view, inquiry, Some(plant), "leaves", 4, "A-7", true).unwrap();
        set_place(&view, inquiry, 43.5, -87.0, Some(6.0)).unwrap();
        let screens = [
            all_of(&today(&view).unwrap()),
            all_of(&inquiries(&view, InquiryFilter::All, "", "", 20).unwrap()),
            all_of(&inquiry_screen(&view, inquiry).unwrap()),
            all_of(&ask(&view, inquiry).unwrap()),
            all_of(&plant_screen(&view, inquiry, Some(plant)).unwrap()),
            all_of(&place(&view, inquiry, (400.0, 600.0), Some((43.5, -87.0, 8.0))).unwrap()),
            all_of(&look(&view, inquiry, plant, "", "").unwrap()),
            all_of(&shot_screen(&view, inquiry, Some(plant)).unwrap()),
            all_of(&think(&view, inquiry, plant).unwrap()),
            all_of(&tell(&view, inquiry, plant).unwrap()),
            all_of(&letter(&view, inquiry, plant, "").unwrap()),
            all_of(&samples(&view, inquiry).unwrap()),
            all_of(&later(&view, false, "", 20).unwrap()),
            all_of(&hand_over_screen(&view, "", 20).unwrap()),
            all_of(&history(&view, inquiry, "", 50).unwrap()),
            all_of(&conflicts(&view, None).unwrap()),
            all_of(&bin(&view, "", 20).unwrap()),
            all_of(&privacy(&view).unwrap()),
            all_of(&backup(&view).unwrap()),
            all_of(&first(view.notebook, &phone.reader).unwrap()),
        ];
        for screen in &screens {
            for hole in ["phone-", "desk-", "key-", "inquiry-", "registry-", "time-", "{$", "{ $"] {
                // Ids of records and paths hold dashes of their own.
                let found = screen.match_indices(hole).find(|(at, _)| screen[..*at].ends_with(['"', ' ', '(', '“']));
                assert!(found.is_none(), "{hole} in {}", &screen[found.unwrap().0..][..80]);
            }
        }
    }
    phone.killed();
}
