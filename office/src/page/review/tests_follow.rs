//! The queue as it is kept beside the index, and read by a program that starts anew.

use std::time::Duration;

use dooryard_core::{ids::RecordId, record::Kind};
use serde_json::{Value as Json, json};

use super::{follow::rules, queue::Queue};
use crate::page::{
    routes::Desk,
    sample_county::{County, county},
};

fn save(county: &County, kind: Kind, id: Option<RecordId>, fields: &Json) -> RecordId {
    county.office.notebook().save(kind, id, fields.as_object().unwrap()).unwrap()
}

fn queue_of(desk: &Desk) -> Queue {
    desk.queue(Queue::clone).unwrap_or_else(|_| panic!("a queue"))
}

/// As a program that starts finds it.
fn started(county: &County) -> Queue {
    queue_of(&county.laid_out(Duration::from_secs(5)).0)
}

/// Nothing is kept: all is worked out.
fn worked_out(county: &County) -> Queue {
    let (desk, _) = county.laid_out(Duration::from_secs(5));
    desk.index().unwrap_or_else(|_| panic!("an index")).forget_answers().unwrap();
    queue_of(&desk)
}

fn diagnosis(inquiry: RecordId, n: usize) -> Json {
    let causes = json!([{"cause": "tomato_early_blight", "role": "primary", "word": "likely", "percent": 40 + n}]);
    json!({"inquiry": inquiry.to_string(), "causes": causes, "by": "Scout 3", "at": format!("2026-07-{:02}T11:00:00-05:00[America/Chicago]", 1 + n)})
}

#[test]
fn a_program_that_starts_reads_the_queue_as_it_was_kept_and_follows_from_there() {
    let county = county();
    let (first, _) = county.laid_out(Duration::from_secs(5));
    queue_of(&first);
    let mut made = Vec::new();
    for n in 0..12 {
        let inquiry = save(&county, Kind::Inquiry, None, &json!({"taken_by": "Scout 3", "urgency": "today"}));
        made.push((inquiry, save(&county, Kind::Diagnosis, None, &diagnosis(inquiry, n))));
    }
    let seen = queue_of(&first);
    assert!(seen.len() >= 2, "some await a reviewer");
    assert_eq!(started(&county), seen);
    // One is reviewed, one taken away, one sealed, while nobody follows.
    save(&county, Kind::Diagnosis, Some(made[0].1), &json!({"status": "reviewed"}));
    county.office.notebook().delete(made[1].0).unwrap();
    save(&county, Kind::Alert, None, &json!({"inquiry": made[2].0.to_string(), "suspect": "x"}));
    let followed = started(&county);
    assert_ne!(followed, seen);
    assert_eq!(followed, worked_out(&county));
    assert!([made[0].1, made[1].1, made[2].1].iter().all(|id| followed.entry(*id).is_none()));
}

#[test]
fn what_is_kept_is_what_is_read_unless_its_rules_are_others() {
    let county = county();
    let (desk, _) = county.laid_out(Duration::from_secs(5));
    let inquiry = save(&county, Kind::Inquiry, None, &json!({"taken_by": "Scout 3"}));
    let id = save(&county, Kind::Diagnosis, None, &diagnosis(inquiry, 0));
    assert!(queue_of(&desk).entry(id).is_some());
    let (index, rules) = (desk.index().unwrap_or_else(|_| panic!("an index")), rules(&desk));
    let (turn, kept) = index.answers(&rules).unwrap().expect("kept");
    let is_kept = |(of, _): &&(RecordId, String)| *of == inquiry;
    let text = kept.iter().find(is_kept).expect("its answers").1.clone();
    assert!(!text.contains("Scout 3"), "of people only what a reviewer is called: {text}");
    // Taken out by hand, it is not looked for elsewhere.
    index.keep_answers(&[(inquiry, String::new())], None).unwrap();
    assert!(started(&county).entry(id).is_none());
    // Of other rules, of a text that is none, of a turn that has not come: worked out anew.
    for (text, rules, turn) in [("", "0 of another pack", turn), ("no answers", &rules, turn), ("", &rules, turn + 9)] {
        index.keep_answers(&[(inquiry, text.to_owned())], Some((turn, rules))).unwrap();
        assert!(started(&county).entry(id).is_some(), "{text} {rules} {turn}");
        assert!(index.answers(rules).unwrap().is_none_or(|(_, kept)| kept.iter().any(|row| is_kept(&row))));
    }
}
