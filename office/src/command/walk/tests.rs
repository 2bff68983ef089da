//! The session alone, and whole conversations over lines.

use std::io::Cursor;

use dooryard_core::key::{Blocks, Language, Status};
use jiff::civil::date;

use super::{
    dialog::Dialog,
    finish::Ending,
    sample,
    session::{Found, Session},
};
use crate::command::speak::Screen;

fn seen(state: &str) -> Found {
    Found::Looked { seen: vec![state.into()], absent: Vec::new() }
}

/// What a conversation shows, and it never needs more than 80 columns.
fn talk(language: Language, plain: bool, lines: &str) -> String {
    let pack = sample::pack();
    let mut out = Vec::new();
    let session = Session::new(&pack, language, date(2026, 7, 10));
    let screen = Screen::new(&mut out, 80, false, plain);
    Dialog::new(session, Cursor::new(lines), screen, None, true).run(&Ending { letter: None }).unwrap();
    String::from_utf8(out).unwrap()
}

#[test]
fn undo_gives_back_the_state_before_and_asks_that_look_again() {
    let pack = sample::pack();
    let mut session = Session::new(&pack, Language::En, date(2026, 7, 10));
    session.host = Some("maple".into());
    let before = session.turn().unwrap().unwrap();
    assert_eq!(before.look.as_deref(), Some("flare"), "asked first of all");
    session.answer("flare", seen("pole_like"));
    let after = session.turn().unwrap().unwrap();
    assert_ne!(after.found, before.found);
    assert_ne!(after.look, before.look);
    assert_eq!(session.undo().unwrap().character, "flare");
    let again = session.turn().unwrap().unwrap();
    assert_eq!((again.found, again.look), (before.found, before.look));
    assert!(session.undo().is_none());
}

#[test]
fn could_not_tell_and_not_looked_leave_the_causes_alone_and_are_not_asked_again() {
    let pack = sample::pack();
    let mut session = Session::new(&pack, Language::En, date(2026, 7, 10));
    session.host = Some("maple".into());
    let before = session.turn().unwrap().unwrap();
    session.answer("flare", Found::Unsure);
    let unsure = session.turn().unwrap().unwrap();
    let chances = |turn: &super::session::Turn| {
        turn.found.ranked.iter().map(|r| (r.cause.clone(), r.probability)).collect::<Vec<_>>()
    };
    assert_eq!(chances(&unsure), chances(&before));
    assert_ne!(unsure.look.as_deref(), Some("flare"));
    let next = unsure.look.unwrap();
    session.answer(&next, Found::Skipped);
    let skipped = session.turn().unwrap().unwrap();
    assert_ne!(skipped.look.as_ref(), Some(&next));
    session.choose(&next);
    assert_eq!(session.turn().unwrap().unwrap().look, Some(next.clone()), "what was skipped can be chosen");
    session.answer(&next, Found::Unsure);
    let statuses: Vec<Status> = session.findings().into_iter().map(|f| f.status).collect();
    assert_eq!(statuses, [Status::Unsure, Status::Unsure], "the answer stands in place of the skip");
}

#[test]
fn a_stop_that_was_shown_stays_after_undo() {
    let pack = sample::pack();
    let mut session = Session::new(&pack, Language::En, date(2026, 7, 10));
    session.host = Some("maple".into());
    session.answer("trunk_holes", seen("pencil"));
    let shown: Vec<String> = session.show_stops().into_iter().map(|s| s.id).collect();
    assert_eq!(shown, ["regulated_suspect"]);
    assert!(session.show_stops().is_empty(), "each is shown once");
    session.undo();
    assert!(session.is_blocked(Blocks::Diagnosis));
    let advice = session.advice().unwrap().unwrap();
    assert!(advice.causes.is_empty() && advice.steps.is_empty() && !advice.stops.is_empty());
}

#[test]
fn an_ended_input_ends_the_walk_wherever_it_is() {
    let whole = "n\nn\nThe leaves have black spots.\n\nmaple\n1\n?\nwhy\nl\n\nd\na\n3\n";
    for (at, _) in whole.char_indices() {
        let shown = talk(Language::En, false, &whole[..at]);
        assert!(shown.contains("Summary"), "after {:?}", &whole[..at]);
    }
}

#[test]
fn lines_fit_80_columns_in_both_languages() {
    let lines = "n\ny\nok\nq\n\n1\nwhy\n2\nd\na\n?\nl\n1\n-1\nh\nq\n\n\n";
    for language in Language::ALL {
        for plain in [false, true] {
            let shown = talk(language, plain, lines);
            for line in shown.lines() {
                assert!(line.chars().count() <= 80, "{line}");
            }
            assert!(!plain || !shown.contains(['#', '*']), "{shown}");
            assert!(!shown.contains('\u{1b}'));
        }
    }
}

#[test]
fn a_part_of_a_name_finds_a_host_in_either_language_with_or_without_accents() {
    let pack = sample::pack();
    let session = Session::new(&pack, Language::Es, date(2026, 7, 10));
    let ids = |typed: &str| session.hosts(typed).into_iter().map(|h| h.id.as_str()).collect::<Vec<_>>();
    assert_eq!(ids("ARCE"), ["maple"], "a whole name wins over parts");
    assert_eq!(ids("montana"), ["mountain_maple"]);
    assert_eq!(ids("apl"), ["maple", "mountain_maple"]);
    assert_eq!(ids("3"), ["lilac"]);
    assert!(ids("0").is_empty() && ids("4").is_empty() && ids("palm").is_empty());
}
