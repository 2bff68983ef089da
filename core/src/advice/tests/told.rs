//! What is told, and what is held back.

use super::{advise, all_seen, given, kinds};
use crate::advice::{Advice, Situation, Told, choose, conflicts};
use crate::key::{
    Blocks, Escalate, ProbabilityWord,
    Status::Seen,
    authored::{BlockKind, Needs},
    tests::landscape,
};

/// The steps for these causes, each as likely, before and after contradictions are taken out.
fn steps_for(
    causes: &[&str],
    host: &str,
    findings: &[(&str, &str, crate::key::Status)],
) -> (Vec<crate::advice::Step>, Vec<crate::advice::Contradiction>) {
    let pack = landscape();
    let told: Vec<Told<'_>> = causes
        .iter()
        .map(|id| Told {
            cause: pack.cause(id).unwrap(),
            probability: 0.7,
            word: ProbabilityWord::Likely,
            evidence: Needs::Likely,
            open: true,
        })
        .collect();
    let seen = given(host, (7, 1), findings);
    let mut steps = choose::steps(&pack, &seen, &told, &Situation::new([], []));
    let found = conflicts::resolve(&pack, &seen, &mut steps);
    (steps, found)
}

#[test]
fn water_against_no_water_forces_a_probe() {
    let (steps, found) = steps_for(&["drought_stress", "waterlogging"], "maple", &[]);
    let water = found.iter().find(|c| c.acts.contains(&"water_more".into())).expect("the contradiction is found");
    assert_eq!((water.settled.as_deref(), water.check.as_str()), (None, "check_soil_moisture"));
    assert!(steps.iter().any(|s| s.id == "check_soil_moisture" && s.kind == BlockKind::Check));
    assert!(!steps.iter().any(|s| s.id == "drought_stress.do" || s.id == "waterlogging.do" || s.id == "water_deep"));
    let alone = steps_for(&["drought_stress"], "maple", &[]);
    assert!(alone.1.is_empty() && alone.0.iter().any(|s| s.id == "drought_stress.do"));
}

#[test]
fn a_probe_that_was_made_settles_it() {
    for (state, kept, gone) in
        [("powder_dry", "drought_stress.do", "waterlogging.do"), ("soggy", "waterlogging.do", "drought_stress.do")]
    {
        let (steps, found) = steps_for(&["drought_stress", "waterlogging"], "maple", &[("soil_moisture", state, Seen)]);
        assert!(found.iter().any(|c| c.settled.is_some()), "{state}");
        let has = |id: &str| steps.iter().any(|s| s.id == id);
        assert!(has(kept) && !has(gone) && !has("check_soil_moisture"), "{state}");
    }
}

#[test]
fn nothing_likely_means_general_care_only() {
    let pack = landscape();
    let advice = advise(&pack, &given("maple", (6, 20), &[]));
    assert!(advice.causes.is_empty() && advice.look_again);
    assert!(advice.steps.iter().any(|s| s.id == "we_do_not_know_yet"));
    assert!(!advice.steps.iter().any(|s| s.id.ends_with(".do")));
}

#[test]
fn a_stop_takes_out_what_it_blocks() {
    let pack = landscape();
    let conk = all_seen(&pack, "wood_decay", "oak", (7, 1));
    let advice = advise(&pack, &conk);
    assert!(advice.stops[0].id == "tree_failure" && advice.steps.is_empty(), "{:?}", advice.stops);
    let mut situation = Situation::new([], ["utility_line"]);
    let spots = all_seen(&pack, "tar_spot", "maple", (8, 20));
    assert!(Advice::new(&pack, &spots, &situation).unwrap().steps.is_empty());
    situation.raised = vec![("poison_ivy".into(), "asked".into())];
    let warned = Advice::new(&pack, &spots, &situation).unwrap();
    assert!(!warned.steps.is_empty() && warned.stops[0].because == ["asked"]);
}

#[test]
fn a_regulated_suspect_is_never_named_and_is_a_stop() {
    let pack = landscape();
    for cause in pack.causes.iter().filter(|c| c.escalate == Escalate::Regulated) {
        let host = cause.hosts.first().map_or("maple", |h| pack.hosts[*h].id.as_str());
        let date = cause.window.first_day();
        let advice = advise(&pack, &all_seen(&pack, &cause.id, host, date));
        assert!(advice.stops.iter().any(|s| s.id == "regulated_suspect"), "{}", cause.id);
        assert!(advice.causes.is_empty() && advice.possible.is_empty() && advice.steps.is_empty(), "{}", cause.id);
        assert_eq!(advice.escalate, Escalate::Regulated);
        assert!(advice.stops.iter().any(|s| s.blocks.contains(&Blocks::Sharing)));
    }
}

#[test]
fn what_was_done_already_is_not_told_again() {
    let pack = landscape();
    let given = all_seen(&pack, "drought_stress", "maple", (7, 10));
    let before = advise(&pack, &given);
    let block =
        pack.guidance.blocks.iter().find(|b| !b.unless_done.is_empty() && before.steps.iter().any(|s| s.id == b.id));
    let Some(block) = block else { panic!("no step of drought can have been done already: {:?}", before.steps) };
    let done = pack.guidance.acts[block.unless_done[0]].id.clone();
    let after = Advice::new(&pack, &given, &Situation { done: vec![done], ..Situation::new([], []) }).unwrap();
    assert!(!after.steps.iter().any(|s| s.id == block.id));
}

#[test]
fn a_step_out_of_its_season_is_told_for_later_with_its_first_day() {
    let pack = landscape();
    let advice = advise(&pack, &all_seen(&pack, "canker_general", "oak", (7, 1)));
    let cut = advice.steps.iter().find(|s| s.id == "cut_oak_in_winter").expect("oaks are cut in winter");
    assert_eq!((cut.kind, cut.from), (BlockKind::When, Some((11, 1))));
    assert!(advice.steps.iter().any(|s| s.id == "oak_warm_months" && s.kind == BlockKind::WhenNot));
}

#[test]
fn a_laboratory_case_gets_no_more_than_general_care_until_it_is_confirmed() {
    let pack = landscape();
    let cause = pack.causes.iter().find(|c| c.id == "phytophthora_root_rot").unwrap();
    assert_eq!(cause.escalate, Escalate::Lab);
    let host = cause.hosts.first().map_or("maple", |h| pack.hosts[*h].id.as_str());
    let given = all_seen(&pack, &cause.id, host, cause.window.first_day());
    let before = advise(&pack, &given);
    let own = format!("{}.do", cause.id);
    assert!(before.causes.iter().any(|c| c.cause == cause.id), "{:?}", before.causes);
    assert!(!before.steps.iter().any(|s| s.id == own) && before.escalate >= Escalate::Lab);
    let confirmed = Situation { confirmed: Some(cause.id.clone()), ..Situation::new([], []) };
    let after = Advice::new(&pack, &given, &confirmed).unwrap();
    assert!(after.steps.iter().any(|s| s.id == own));
}

#[test]
fn steps_come_by_kind_then_by_the_harm_they_avoid_each_once() {
    let pack = landscape();
    let advice = advise(&pack, &all_seen(&pack, "drought_stress", "maple", (7, 10)));
    assert!(kinds(&advice).is_sorted() && advice.steps.len() > 3);
    for pair in advice.steps.windows(2).filter(|p| p[0].kind == p[1].kind) {
        assert!(pair[0].harm >= pair[1].harm);
    }
    let mut ids: Vec<_> = advice.steps.iter().map(|s| &s.id).collect();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), advice.steps.len());
}

#[test]
fn words_that_were_heard_raise_stops_once_and_take_none_away() {
    let mut situation = Situation::new([], []);
    situation.raise("dig_first", "asked");
    for _ in 0..2 {
        situation.hear("A limb is resting on the power line to our house.");
    }
    let of = |situation: &Situation, id: &str| situation.raised().iter().filter(|(stop, _)| stop == id).count();
    assert_eq!(["dig_first", "utility_line", "poison_ivy"].map(|id| of(&situation, id)), [1, 1, 0]);
    situation.hear("All is well.");
    assert_eq!(of(&situation, "utility_line"), 1);
}

#[test]
fn a_situation_begins_with_the_words_and_the_record_of_the_inquiry() {
    let words = ["A limb is resting on the power line to our house.", "The dog ate one of the mushrooms."];
    let situation = Situation::new(words, ["poison_ivy"]);
    let raised: Vec<&str> = situation.raised().iter().map(|(id, _)| id.as_str()).collect();
    assert_eq!(raised[0], "poison_ivy");
    assert!(["utility_line", "wild_mushroom"].iter().all(|id| raised.contains(id)), "{raised:?}");
    let shown: Vec<String> = situation.stops(&landscape()).into_iter().map(|s| s.id).collect();
    assert_eq!(shown.first().map(String::as_str), Some("utility_line"), "what can kill goes first");
}

#[test]
fn what_a_person_leaves_out_takes_no_stop_away_and_nobody_out_who_answers_first() {
    let pack = landscape();
    let given = all_seen(&pack, "tar_spot", "maple", (8, 20));
    let found = pack.differential(&given).unwrap();
    let situation = Situation::new([], ["dig_first"]);
    let whole = Advice::of(&pack, &given, &found, &situation);
    assert!(whole.causes.iter().any(|c| c.cause == "tar_spot"));
    let less = Advice::telling(&pack, &given, &found, &situation, |id| id != "tar_spot");
    assert!(!less.causes.iter().any(|c| c.cause == "tar_spot"));
    assert!(!less.steps.iter().any(|s| s.id.starts_with("tar_spot.")));
    assert_eq!((less.stops, less.escalate), (whole.stops, whole.escalate));
}
