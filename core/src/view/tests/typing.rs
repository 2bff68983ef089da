//! What is typed beside the inquiry's own fields survives a kill at every letter, and is written when it is left or handed over.

use super::*;
use crate::record::Kind;

/// Types a text letter by letter, with a kill after each.
fn typed(phone: &mut Phone, form: Form, of: RecordId, field: &str, text: &str) {
    for n in 1..=text.chars().count() {
        let begin: String = text.chars().take(n).collect();
        type_in(&phone.killed(), form, of, field, &begin, false).unwrap();
    }
    phone.killed();
}

#[test]
fn an_answer_is_kept_letter_by_letter_written_when_left_and_asked_on_until_somebody_says_it_was_answered() {
    let mut phone = phone();
    let (inquiry, _) = phone.tomato();
    let id = ask_later(&phone.view(), inquiry, "2026-07-20", "Did it set fruit?").unwrap();
    typed(&mut phone, Form::Answer, id, "answer", "Yes");
    typed(&mut phone, Form::Answer, id, "did", "Cut it");
    let row = |phone: &Phone| later(&phone.view(), false, "", 20).unwrap().rows[0].clone();
    assert_eq!((row(&phone).answer, row(&phone).did), ("Yes".into(), "Cut it".into()));
    assert_eq!(phone.book().show(id).unwrap().text("answer"), None, "no change for a letter");
    type_in(&phone.view(), Form::Answer, id, "answer", "Yes, a lot", true).unwrap();
    let record = phone.book().show(id).unwrap();
    assert_eq!((record.text("answer"), record.text("action")), (Some("Yes, a lot"), Some("Cut it")));
    assert_eq!(row(&phone).answer, "Yes, a lot", "and it is asked on");
    let saves = phone.book().history(id).unwrap().len();
    type_in(&phone.view(), Form::Answer, id, "answer", "Yes, a lot", true).unwrap();
    assert_eq!(phone.book().history(id).unwrap().len(), saves, "the same again is no change");
    type_in(&phone.view(), Form::Answer, id, "outcome", "same", false).unwrap();
    assert!(row(&phone).outcomes.iter().any(|o| o.id == "same" && o.chosen));
    answer_later(&phone.view(), id, "Yes, a lot", "Cut it", "same").unwrap();
    assert!(later(&phone.view(), false, "", 20).unwrap().rows.is_empty());
    assert!(phone.view().notebook.drafts_after("form ").unwrap().is_empty());
}

#[test]
fn what_is_typed_anywhere_goes_with_the_bundle_and_what_no_record_takes_stays_typed() {
    let mut phone = phone();
    let (inquiry, plant) = phone.tomato();
    let photo =
        import_photo(&phone.view(), inquiry, Some(plant), "whole", "", &photo_file()).unwrap().shots[0].photos[0].id;
    let later_id = ask_later(&phone.view(), inquiry, "2026-07-20", "Did it set fruit?").unwrap();
    let sample = take_sample(&phone.view(), inquiry, Some(plant), "leaves", 4, "", true).unwrap().samples[0].id;
    typed(&mut phone, Form::Caption, photo, "caption", "Low leaf");
    typed(&mut phone, Form::Sample, sample, "accession", "L-77");
    let long = "x".repeat(3_000);
    type_in(&phone.view(), Form::Answer, later_id, "did", &long, false).unwrap();
    assert!(type_in(&phone.view(), Form::Answer, later_id, "did", &long, true).is_err());
    assert_eq!(photo_screen(&phone, photo).card.caption, "Low leaf");
    hand_over(&phone.view(), &phone.path("all.yard"), &Job::silent()).unwrap();
    assert_eq!(phone.book().show(photo).unwrap().text("caption"), Some("Low leaf"));
    assert_eq!(phone.book().show(sample).unwrap().text("accession"), Some("L-77"));
    assert_eq!(later(&phone.killed(), false, "", 20).unwrap().rows[0].did, long, "too long, and not lost");
    type_in(&phone.view(), Form::Caption, photo, "caption", "A wire hangs in it", true).unwrap();
    assert!(photo_screen(&phone, photo).halts.iter().any(|h| h.id == "utility_line"), "read for danger");
    assert!(type_in(&phone.view(), Form::Caption, photo, "answer", "x", false).is_err());
    assert!(type_in(&phone.view(), Form::Caption, sample, "caption", "x", false).is_err());
}

fn photo_screen(phone: &Phone, photo: RecordId) -> PhotoScreen {
    super::photo(&phone.view(), photo).unwrap()
}

#[test]
fn what_makes_a_new_record_waits_for_its_act_and_goes_with_it() {
    let mut phone = phone();
    let (inquiry, plant) = phone.tomato();
    typed(&mut phone, Form::Question, inquiry, "question", "More?");
    let in_a_week = later_form(&phone.view(), inquiry).unwrap().days[1].clone();
    assert_eq!((in_a_week.id.as_str(), in_a_week.text.as_str()), ("2026-07-27", "in 7 days, 27 July"));
    typed(&mut phone, Form::Question, inquiry, "due", &in_a_week.id);
    typed(&mut phone, Form::NewSample, inquiry, "part", "roots");
    type_in(&phone.view(), Form::Telling, plant, "how", "print", false).unwrap();
    type_in(&phone.view(), Form::Telling, plant, "read_back", "yes", false).unwrap();
    let form = later_form(&phone.killed(), inquiry).unwrap();
    assert_eq!((form.question.as_str(), form.due.as_str()), ("More?", "2026-07-27"));
    assert!(form.days[1].chosen);
    let screen = samples(&phone.view(), inquiry).unwrap();
    assert_eq!(screen.fields.iter().find(|f| f.name == "part").unwrap().text, "roots");
    assert_eq!((screen.plants.len(), screen.plants[0].id.clone()), (1, plant.to_string()));
    let told = tell(&phone.view(), inquiry, plant).unwrap();
    assert!(told.read_back && told.asked.is_empty() && told.ways.iter().any(|w| w.id == "print" && w.chosen));
    let whole = phone.view().whole(inquiry).unwrap();
    assert!(whole.of(Kind::FollowUp).is_empty() && whole.of(Kind::Sample).is_empty(), "nothing was made");
    ask_later(&phone.view(), inquiry, &form.due, &form.question).unwrap();
    let screen = take_sample(&phone.view(), inquiry, None, "roots", 0, "", false).unwrap();
    let sample = screen.samples[0].id;
    typed(&mut phone, Form::Custody, sample, "to", "Lab");
    assert_eq!(samples(&phone.view(), inquiry).unwrap().samples[0].handing[0].text, "Lab");
    let screen = hand_over_sample(&phone.view(), sample, "Lab", "").unwrap();
    assert_eq!(screen.samples[0].handing[0].text, "");
    told_it(&phone.view(), inquiry, plant, "print", true, "").unwrap();
    let told = tell(&phone.view(), inquiry, plant).unwrap();
    assert_eq!((told.read_back, told.asked.as_str()), (false, "A question waits already, for 27 July."));
    assert!(phone.view().notebook.drafts_after("form ").unwrap().is_empty());
    assert!(later_form(&phone.view(), plant).is_err());
}

#[test]
fn what_was_typed_of_a_new_plant_goes_with_it() {
    let mut phone = phone();
    let inquiry = begin(&phone.view(), "").unwrap();
    write_plant(&phone.view(), inquiry, None, "tag", "row 4", false).unwrap();
    let plant = write_plant(&phone.view(), inquiry, None, "host", "maple", true).unwrap().plant.unwrap();
    let view = phone.killed();
    let tag = |plant| {
        let screen = plant_screen(&view, inquiry, plant).unwrap();
        screen.fields.into_iter().find(|f| f.name == "tag").unwrap().text
    };
    assert_eq!((tag(Some(plant)).as_str(), tag(None).as_str()), ("row 4", ""));
}
