use serde_json::json;

use super::*;
use crate::{inquiry::save, record::Kind};

/// Words that would name the inquiry or what is suspected.
const NAMES: [&str; 5] = ["Boxwood", "boxwood", "Teal Lane", "Sedge", "curled moth"];

#[test]
fn what_is_under_seal_is_named_in_no_list_and_stands_on_no_map_and_in_no_letter() {
    let mut phone = phone();
    let open = begin(&phone.view(), "").unwrap();
    set_place(&phone.view(), open, 43.5, -87.0, Some(5.0)).unwrap();
    let inquiry = begin(&phone.view(), "").unwrap();
    let plant = write_plant(&phone.view(), inquiry, None, "host", "boxwood", true).unwrap().plant.unwrap();
    write(&phone.view(), inquiry, "words", "It may be the curled moth", true).unwrap();
    write(&phone.view(), inquiry, "address", "1 Teal Lane", true).unwrap();
    write(&phone.view(), inquiry, "township", "Sedge", true).unwrap();
    set_place(&phone.view(), inquiry, 43.5001, -87.0001, Some(5.0)).unwrap();
    ask_later(&phone.view(), inquiry, "2026-07-20", "Is the boxwood worse?").unwrap();
    let before = place(&phone.view(), open, (300.0, 300.0), None).unwrap();
    assert_eq!(before.near.len(), 1, "as long as it is open it is near by");
    answer_question(&phone.view(), inquiry, "regulated", "yes").unwrap();
    let view = phone.killed();
    let screens = [
        all_of(&today(&view).unwrap()),
        all_of(&inquiries(&view, InquiryFilter::All, "", "", 20).unwrap()),
        all_of(&inquiries(&view, InquiryFilter::All, "moth", "", 20).unwrap()),
        all_of(&later(&view, false, "", 20).unwrap()),
        all_of(&hand_over_screen(&view, "", 20).unwrap()),
        all_of(&place(&view, open, (300.0, 300.0), None).unwrap()),
        all_of(&privacy(&view).unwrap()),
    ];
    for screen in &screens {
        for name in NAMES {
            assert!(!screen.contains(name), "{name} in {screen}");
        }
    }
    assert!(screens[1].contains("An inquiry under seal"));
    assert_eq!(place(&view, open, (300.0, 300.0), None).unwrap().near.len(), 0);
    let screen = inquiry_screen(&view, inquiry).unwrap();
    assert!(!screen.sealed.is_empty() && !screen.halts.is_empty());
    for stop in stop_screen(&view, inquiry).unwrap().unread {
        read_stop(&view, inquiry, &stop.id).unwrap();
    }
    let thought = think(&view, inquiry, plant).unwrap();
    assert!(thought.causes.is_empty() && thought.held == "A stop holds back any cause.");
    let card = look(&view, inquiry, plant, "", "").unwrap().look.unwrap();
    assert!(card.why.is_empty(), "why a look is asked names causes");
    let sheet = letter(&view, inquiry, plant, "").unwrap();
    assert!(sheet.text.is_empty() && sheet.held.contains("under seal"));
    assert!(letter_files(&view, inquiry, plant, "", &view.notebook.folder().join("out")).is_err());
    let file = view.notebook.folder().join("one.zip");
    let out = write_inquiry(&view, inquiry, &file, &Job::silent()).unwrap_err();
    assert!(out.to_string().contains("seal") && !file.exists(), "{out}");
    assert!(tell(&view, inquiry, plant).unwrap().say_this.contains("office"));
    assert!(!samples(&view, inquiry).unwrap().held.is_empty());
    take_away(&view, inquiry).unwrap();
    let gone = all_of(&bin(&view, "", 20).unwrap());
    assert!(gone.contains("under seal") && NAMES.iter().all(|name| !gone.contains(name)), "{gone}");
}

#[test]
fn an_alert_seals_its_inquiry_and_is_itself_in_no_list() {
    let phone = phone();
    let (inquiry, _) = phone.tomato();
    let view = phone.view();
    let fields = json!({"inquiry": inquiry.to_string(), "suspect": "late something", "at": view.when.instant()});
    save(view.notebook, Kind::Alert, None, fields).unwrap();
    let page = all_of(&inquiries(&view, InquiryFilter::All, "", "", 20).unwrap());
    assert!(page.contains("under seal") && !page.contains("Tomato"), "{page}");
    assert!(!all_of(&history(&view, inquiry, "", 50).unwrap()).contains("late something"));
}

#[test]
fn a_regulated_cause_is_named_by_no_screen() {
    let phone = phone();
    let regulated: Vec<&str> = PACK
        .causes
        .iter()
        .filter(|c| c.escalate == crate::key::Escalate::Regulated)
        .map(|c| c.name.get(Language::En))
        .collect();
    assert!(!regulated.is_empty());
    for host in ["boxwood", "maple", "ash"] {
        let inquiry = begin(&phone.view(), "").unwrap();
        if PACK.host(host).is_none() {
            continue;
        }
        let plant = write_plant(&phone.view(), inquiry, None, "host", host, true).unwrap().plant.unwrap();
        for _ in 0..4 {
            let view = phone.view();
            let screen = look(&view, inquiry, plant, "", "").unwrap();
            let Some(card) = screen.look else { break };
            let pick = card.answers.iter().find(|a| a.mark == "seen").unwrap();
            let next = answer(&view, inquiry, plant, &card.character, std::slice::from_ref(&pick.id), &[], 3).unwrap();
            let screens = [
                all_of(&next),
                all_of(&think(&view, inquiry, plant).unwrap()),
                all_of(&tell(&view, inquiry, plant).unwrap()),
            ];
            for name in &regulated {
                assert!(screens.iter().all(|s| !s.contains(name)), "{name}");
            }
        }
    }
}
