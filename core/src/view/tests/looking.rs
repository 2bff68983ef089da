use super::*;
use crate::record::Kind;

#[test]
fn a_walk_goes_look_by_look_and_a_kill_at_any_step_keeps_every_answer() {
    let mut phone = phone();
    let (inquiry, plant) = phone.tomato();
    let mut answered = Vec::new();
    let mut last = String::new();
    for n in 0..6 {
        let view = phone.killed();
        let screen = look(&view, inquiry, plant, "", &last).unwrap();
        let card = screen.look.unwrap();
        assert!(!answered.contains(&card.character), "{} is asked twice", card.character);
        assert!(!card.ask.is_empty() && !card.why.is_empty() && !card.cost.is_empty());
        let [unsure, unlooked] = &card.answers[card.answers.len() - 2..] else { panic!("no answers") };
        assert_eq!((unsure.mark.as_str(), unlooked.mark.as_str()), ("unclear", "unlooked"));
        assert!(unlooked.chosen, "not looked stands there until somebody looks");
        let state = card.answers.iter().find(|a| a.mark == if n % 2 == 0 { "bare" } else { "seen" }).unwrap();
        phone.minutes(1);
        answer(&phone.view(), inquiry, plant, &card.character, std::slice::from_ref(&state.id), &[], 3).unwrap();
        let read: Vec<StopCard> = stop_screen(&phone.view(), inquiry).unwrap().unread;
        for stop in read {
            read_stop(&phone.view(), inquiry, &stop.id).unwrap();
        }
        last.clone_from(&card.character);
        answered.push(card.character);
    }
    let view = phone.killed();
    let screen = look(&view, inquiry, plant, "", &last).unwrap();
    assert_eq!(screen.after, "after 6 findings");
    assert_eq!(screen.undo.as_ref().unwrap().id, last);
    let found: usize = screen.parts.iter().flat_map(|p| &p.looks).filter(|l| l.mark != "unlooked").count();
    assert_eq!(found, 6);
    let thought = think(&view, inquiry, plant).unwrap();
    assert_eq!(thought.after, "after 6 findings");
    let visits: Vec<_> = view.whole(inquiry).unwrap().of(Kind::Visit).into_iter().cloned().collect();
    assert_eq!(visits.len(), 1, "one visit a day");
    assert_eq!(visits[0].text("observer"), Some("Scout 3"));
}

#[test]
fn an_answer_given_again_takes_the_place_of_the_first_and_can_be_taken_back() {
    let phone = phone();
    let (inquiry, plant) = phone.tomato();
    let view = phone.view();
    let card = look(&view, inquiry, plant, "", "").unwrap().look.unwrap();
    let states: Vec<&AnswerRow> = card.answers.iter().filter(|a| a.mark == "seen").collect();
    answer(&view, inquiry, plant, &card.character, std::slice::from_ref(&states[0].id), &[], 1).unwrap();
    answer(&view, inquiry, plant, &card.character, &ids(&["could_not_tell"]), &[], 2).unwrap();
    let whole = view.whole(inquiry).unwrap();
    let own = whole.findings_on(plant);
    assert_eq!(own.len(), 1);
    assert_eq!(own[0].text("status"), Some("could_not_tell"));
    let again = look(&view, inquiry, plant, &card.character, "").unwrap().look.unwrap();
    assert!(again.answers.iter().find(|a| a.id == "could_not_tell").unwrap().chosen);
    assert!(again.comfort[1].chosen);
    let screen = take_back(&view, inquiry, plant, &card.character).unwrap();
    assert_eq!(screen.look.unwrap().character, card.character);
    assert!(view.whole(inquiry).unwrap().findings_on(plant).is_empty());
    assert!(take_back(&view, inquiry, plant, &card.character).is_err());
}

#[test]
fn answers_that_cannot_be_true_at_once_are_refused_and_nothing_is_written() {
    let phone = phone();
    let (inquiry, plant) = phone.tomato();
    let view = phone.view();
    let several = PACK.characters.iter().find(|c| c.multi).unwrap();
    let single = PACK.characters.iter().find(|c| !c.multi && c.states.len() > 2).unwrap();
    let normal = &several.states[several.normal].id;
    let other = &several.states[several.abnormal().next().unwrap()].id;
    let two: Vec<String> = single.states.iter().take(2).map(|s| s.id.clone()).collect();
    let bad = [
        (several.id.as_str(), ids(&[normal, other]), vec![]),
        (several.id.as_str(), ids(&[other, "could_not_tell"]), vec![]),
        (several.id.as_str(), ids(&[other]), ids(&[other])),
        (single.id.as_str(), two, vec![]),
        (single.id.as_str(), ids(&["no_state"]), vec![]),
    ];
    for (character, picked, absent) in bad {
        assert!(answer(&view, inquiry, plant, character, &picked, &absent, 2).is_err(), "{character} {picked:?}");
    }
    assert!(answer(&view, inquiry, plant, "no_look", &[], &[], 2).is_err());
    assert!(view.whole(inquiry).unwrap().findings_on(plant).is_empty());
    answer(&view, inquiry, plant, &several.id, &[], &ids(&[other]), 9).unwrap();
    let whole = view.whole(inquiry).unwrap();
    let own = whole.findings_on(plant);
    assert_eq!((own.len(), own[0].text("status"), own[0].get("comfort")), (1, Some("absent"), None));
}

#[test]
fn while_a_stop_is_unread_no_screen_names_a_cause_or_gives_advice_and_reading_it_is_kept_with_its_wording() {
    let mut phone = phone();
    let (inquiry, plant) = phone.tomato();
    answer_question(&phone.view(), inquiry, "sprayed", "yes").unwrap();
    let thought = think(&phone.view(), inquiry, plant).unwrap();
    assert!(thought.causes.is_empty() && !thought.held.is_empty() && !thought.halts.is_empty());
    let told = tell(&phone.view(), inquiry, plant).unwrap();
    assert!(told.groups.is_empty() && told.say_this.is_empty() && !told.held.is_empty());
    let held = letter(&phone.view(), inquiry, plant, "").unwrap();
    assert!(held.text.is_empty() && !held.held.is_empty());
    assert!(letter_files(&phone.view(), inquiry, plant, "", &phone.path("out")).is_err());
    assert!(told_it(&phone.view(), inquiry, plant, "spoken", true, "").is_err());
    assert!(!phone.path("out").exists());
    let unread = stop_screen(&phone.view(), inquiry).unwrap().unread;
    for stop in &unread {
        read_stop(&phone.view(), inquiry, &stop.id).unwrap();
    }
    let view = phone.killed();
    let screen = stop_screen(&view, inquiry).unwrap();
    assert_eq!((screen.unread.len(), screen.read.len()), (0, unread.len()), "they stand on");
    assert_eq!(screen.read[0].read, "Read at 10:42 am, 20 July");
    assert!(tell(&view, inquiry, plant).unwrap().stops.len() == unread.len(), "and are told");
    assert!(read_stop(&view, inquiry, "no_stop").is_err());
    // Other words are another reading: in Spanish nobody read it yet.
    assert_eq!(stop_screen(&phone.spanish(), inquiry).unwrap().unread.len(), unread.len());
}

#[test]
fn a_finding_that_raises_a_stop_is_stopped_at_once_also_where_nobody_knows_the_plant() {
    let mut phone = phone();
    let inquiry = begin(&phone.view(), "").unwrap();
    let plant = write_plant(&phone.view(), inquiry, None, "host", "unknown", true).unwrap().plant.unwrap();
    let (character, state) = PACK
        .characters
        .iter()
        .find_map(|c| c.states.iter().find(|s| s.stops.iter().any(|id| id == "utility_line")).map(|s| (c, s)))
        .unwrap();
    let screen = answer(&phone.view(), inquiry, plant, &character.id, std::slice::from_ref(&state.id), &[], 3).unwrap();
    assert!(screen.halts.iter().any(|h| h.id == "utility_line"), "{:?}", screen.halts);
    take_back(&phone.view(), inquiry, plant, &character.id).unwrap();
    let screen = stop_screen(&phone.killed(), inquiry).unwrap();
    assert!(screen.unread.iter().any(|h| h.id == "utility_line"), "taking the finding back leaves the stop");
}

#[test]
fn a_stop_that_forbids_digging_takes_digging_out_of_the_looks() {
    let phone = phone();
    let inquiry = begin(&phone.view(), "").unwrap();
    let plant = write_plant(&phone.view(), inquiry, None, "host", "maple", true).unwrap().plant.unwrap();
    let view = phone.view();
    let dig = PACK.characters.iter().find(|c| c.cost == crate::key::Cost::Dig).unwrap();
    let known = look(&view, inquiry, plant, &dig.id, "").unwrap();
    assert!(known.look.is_some());
    let stop = PACK.stops.iter().find(|s| s.blocks.contains(&crate::key::Blocks::Digging)).unwrap();
    crate::inquiry::save(view.notebook, Kind::Inquiry, Some(inquiry), serde_json::json!({"stops": [stop.id]})).unwrap();
    let held = look(&view, inquiry, plant, &dig.id, "").unwrap();
    assert!(held.look.is_none());
    let row = held.parts.iter().flat_map(|p| &p.looks).find(|l| l.character == dig.id);
    assert!(row.is_none_or(|row| row.held));
}

#[test]
fn what_was_looked_for_and_is_not_there_stands_so_in_the_look() {
    let phone = phone();
    let (inquiry, plant) = phone.tomato();
    let several = PACK.characters.iter().find(|c| c.multi).unwrap();
    let state = &several.states[several.abnormal().next().unwrap()].id;
    answer(&phone.view(), inquiry, plant, &several.id, &[], &ids(&[state]), 2).unwrap();
    let card = look(&phone.view(), inquiry, plant, &several.id, "").unwrap().look.unwrap();
    let absent: Vec<&str> = card.answers.iter().filter(|a| a.absent).map(|a| a.id.as_str()).collect();
    assert_eq!(absent, [state.as_str()]);
    let screen = inquiry_screen(&phone.view(), inquiry).unwrap();
    let leads = |to| screen.useful.iter().find(|u| u.screen == to).unwrap().plant;
    assert_eq!((leads(Screen::Tell), leads(Screen::Shots)), (Some(plant), Some(plant)));
}
