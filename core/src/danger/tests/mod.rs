//! Tests of the reading as a whole.

mod choose;
mod hostile;
mod learn;
mod lessons;
mod quiet;
mod raised;
mod train;

use super::*;

/// The ids that a text raises.
fn stops(text: &str) -> Vec<&'static str> {
    read(text).into_iter().map(|d| d.stop).collect()
}

#[test]
fn every_line_of_the_lexicon_can_be_read() {
    assert_eq!(Lexicon::get().problems, Vec::<String>::new());
}

/// The file with the words that are shown has the stops that words can raise, in the same order.
#[test]
fn the_stops_are_those_of_the_pack_in_its_order() {
    #[derive(serde::Deserialize)]
    struct Pack {
        questions: Vec<Question>,
        stops: Vec<Shown>,
    }
    #[derive(serde::Deserialize)]
    struct Question {
        raises: Vec<String>,
    }
    #[derive(serde::Deserialize)]
    struct Shown {
        id: String,
        kind: String,
        title: Words,
        text: Words,
    }
    #[derive(serde::Deserialize)]
    struct Words {
        en: String,
        es: String,
    }
    let pack: Pack = serde_saphyr::from_str(include_str!("../../key/stops/stops.yaml")).unwrap();
    let raised: Vec<&str> = pack.stops.iter().map(|s| s.id.as_str()).filter(|id| STOPS.contains(id)).collect();
    assert_eq!(raised, STOPS);
    assert_eq!(pack.questions.len(), 4);
    assert!(pack.questions.iter().flat_map(|q| &q.raises).all(|id| STOPS.contains(&id.as_str())));
    for shown in &pack.stops {
        assert!(["stop", "warn", "note"].contains(&shown.kind.as_str()), "{}", shown.id);
        assert!(!STOPS.contains(&shown.id.as_str()) || shown.kind != "note", "{}", shown.id);
        for words in [&shown.title.en, &shown.title.es, &shown.text.en, &shown.text.es] {
            assert!(!words.trim().is_empty(), "{}", shown.id);
        }
    }
}

#[test]
fn each_stop_comes_once_in_order_with_words_of_the_text() {
    let text = "Rama quebrada sobre los cables de la luz!! My kid ate a wild mushroom, and I mixed bleach with ammonia. \
                Going to dig post holes, and the neighbor sprayed my tomatoes.";
    let raised = read(text);
    let places: Vec<_> = raised.iter().map(|d| STOPS.iter().position(|s| *s == d.stop).unwrap()).collect();
    assert!(places.is_sorted_by(|a, b| a < b), "{raised:?}");
    assert!(raised.len() >= 5, "{raised:?}");
    for danger in &raised {
        assert!(!danger.phrase.is_empty() && text.contains(&danger.phrase), "{danger:?}");
    }
}
