//! What a person may say otherwise in a letter, and what not.

use jiff::civil::date;

use super::{Changes, Letter, Occasion, Place, Told};
use crate::{
    advice::{Advice, Situation},
    key::{
        Language, Observation, Observations, Pack,
        Status::{self, Seen},
        tests::landscape,
    },
};

fn occasion() -> Occasion {
    Occasion {
        office: "Larkspur County office".into(),
        office_lines: Vec::new(),
        inquiry: String::new(),
        date: date(2026, 8, 20),
        question: String::new(),
        reviewed_by: None,
        signed: "the office".into(),
    }
}

fn spots() -> Observations {
    let seen = |c: &str, s: &str, status: Status| Observation::new(c, s, status);
    Observations {
        host: "maple".into(),
        date: (8, 20),
        findings: vec![seen("leaf_spot", "raised_tar", Seen), seen("onset", "weeks", Seen)],
    }
}

fn letter(pack: &Pack, situation: &Situation, changes: &Changes, language: Language) -> Letter {
    let given = spots();
    let advice = Advice::new(pack, &given, situation).unwrap();
    let next = pack.next_looks(&given).unwrap();
    Letter::changed(pack, &given, &advice, &next, &occasion(), language, changes).unwrap()
}

#[test]
fn pieces_can_be_said_otherwise_or_left_out_and_the_rest_stays() {
    let pack = landscape();
    let calm = Situation::new([], ["poison_ivy"]);
    for language in Language::ALL {
        let plain = letter(&pack, &calm, &Changes::new(), language);
        assert!(plain.pieces.iter().all(|p| !p.is_changed()));
        let steps: Vec<_> =
            plain.pieces.iter().filter(|p| matches!(p.place, Place::Now | Place::Later | Place::Check)).collect();
        let step = steps.first().expect("there is a step");
        let mut changes = Changes::from([("opening".into(), "<b>Dear</b> gardener.".into())]);
        changes.insert(step.id.clone(), String::new());
        changes.insert("think".into(), "We will look again.".into());
        changes.insert("nothing_of_the_kind".into(), "Words of no piece.".into());
        let other = letter(&pack, &calm, &changes, language);
        assert!(other.text.contains("<b>Dear</b> gardener.") && other.text.contains("We will look again."));
        assert!(!other.body.contains("<b>Dear"), "words of a person are never a tag");
        assert!(plain.text.contains(&step.given) && !other.text.contains(&step.given), "{}", step.given);
        assert!(!other.text.contains("Words of no piece."));
        for fixed in
            pack.stops.iter().filter(|s| ["poison_ivy", "model_limits", "records_law"].contains(&s.id.as_str()))
        {
            assert!(other.text.contains(fixed.text.get(language)), "{}", fixed.id);
        }
    }
}

#[test]
fn no_change_reaches_stops_cautions_what_not_to_do_or_notes() {
    let pack = landscape();
    let calm = Situation::new([], ["poison_ivy"]);
    let advice = Advice::new(&pack, &spots(), &calm).unwrap();
    let mut ids: Vec<String> = advice.steps.iter().map(|s| s.id.clone()).collect();
    ids.extend(pack.stops.iter().map(|s| s.id.clone()));
    let none: Changes = ids.into_iter().map(|id| (id, String::new())).collect();
    let bare = letter(&pack, &calm, &none, Language::En);
    let kinds = [crate::key::authored::BlockKind::WhenNot, crate::key::authored::BlockKind::Caution];
    let fixed: Vec<_> = advice.steps.iter().filter(|s| kinds.contains(&s.kind)).collect();
    assert!(!fixed.is_empty());
    for step in fixed {
        let first = step.text.en().split(". ").next().unwrap_or_default().trim_end_matches('.');
        assert!(bare.text.contains(first), "{}: {first}\n{}", step.id, bare.text);
    }
    assert!(bare.text.contains(pack.stop("poison_ivy").unwrap().text.en()));
}

#[test]
fn where_naming_is_held_back_nobody_can_write_a_cause_in_its_place() {
    let pack = landscape();
    let changes = Changes::from([("think".into(), "It is surely the borer.".into())]);
    let sealed = letter(&pack, &Situation::new([], ["regulated_suspect"]), &changes, Language::En);
    assert!(!sealed.text.contains("borer") && !sealed.pieces.iter().any(|p| p.place == Place::Think));
}

#[test]
fn a_sentence_stands_once_in_a_letter() {
    let mut told = Told::default();
    told.once(vec!["Do not spray.".into()]);
    let first = told.once(vec!["Rake the leaves. Water slowly.".into(), "Water slowly.".into()]);
    assert_eq!(first, ["Rake the leaves. Water slowly."]);
    assert_eq!(told.once(vec!["Do not spray. Call us. Rake the leaves.".into()]), ["Call us."]);
}
