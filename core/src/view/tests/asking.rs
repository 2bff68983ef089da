use serde_json::json;

use super::*;
use crate::{Code, Error, record::Kind};

#[test]
fn an_inquiry_is_there_from_the_first_tap_and_opens_again_after_a_kill() {
    let mut phone = phone();
    assert_eq!(inquiries(&phone.view(), InquiryFilter::All, "", "", 20).unwrap().none, "No inquiries yet.");
    let inquiry = begin(&phone.view(), "").unwrap();
    let view = phone.killed();
    let page = inquiries(&view, InquiryFilter::Unfinished, "", "", 20).unwrap();
    assert_eq!((page.rows.len(), page.rows[0].id), (1, inquiry));
    assert_eq!(page.rows[0].unfinished, "Not finished");
    let home = today(&view).unwrap();
    let resume = home.resume.unwrap();
    assert_eq!((resume.screen, resume.inquiry, resume.at.as_str()), (Screen::Ask, inquiry, "10:42 am"));
    assert_eq!(home.date, "Monday 20 July");
    assert!(home.waits && home.waiting.starts_with("1 inquiry on this phone"), "{}", home.waiting);
    finish(&view, inquiry).unwrap();
    leave_place(&view).unwrap();
    let home = today(&phone.killed()).unwrap();
    assert!(home.resume.is_none() && home.unfinished.is_empty());
}

#[test]
fn what_is_typed_is_kept_letter_by_letter_and_written_when_the_field_is_left() {
    let mut phone = phone();
    let inquiry = begin(&phone.view(), "phone").unwrap();
    for typed in ["S", "Sp", "Spots on the low leaves"] {
        write(&phone.view(), inquiry, "words", typed, false).unwrap();
        let screen = ask(&phone.killed(), inquiry).unwrap();
        assert_eq!(field(&screen, "words").text, typed, "a kill keeps it");
    }
    assert_eq!(phone.book().show(inquiry).unwrap().text("question"), None, "no change for a letter");
    write(&phone.view(), inquiry, "words", "Spots on the low leaves", true).unwrap();
    assert_eq!(phone.book().show(inquiry).unwrap().text("question"), Some("Spots on the low leaves"));
    let saves = phone.book().history(inquiry).unwrap().len();
    write(&phone.view(), inquiry, "wish", "save_it", true).unwrap();
    let after = phone.book().history(inquiry).unwrap();
    assert_eq!(after.len(), saves + 1);
    assert_eq!(after.last().unwrap().wrote, [("wish".to_owned(), Some(json!("save_it")))], "only what was touched");
}

#[test]
fn what_is_typed_is_written_before_the_phone_sleeps() {
    let mut phone = phone();
    let inquiry = begin(&phone.view(), "").unwrap();
    write(&phone.view(), inquiry, "words", "Curled leaves", false).unwrap();
    write(&phone.view(), inquiry, "name", "Somebody", false).unwrap();
    settle_all(&phone.view()).unwrap();
    let view = phone.killed();
    let whole = view.whole(inquiry).unwrap();
    assert_eq!(whole.inquiry.text("question"), Some("Curled leaves"));
    assert_eq!(whole.contact.unwrap().get("reach").unwrap()["name"], "Somebody");
    assert!(!view.notebook.draft(&format!("typed {inquiry}")).unwrap().unwrap().contains("Somebody"));
}

#[test]
fn a_yes_and_a_not_sure_raise_the_stops_of_the_question_and_no_answer_takes_them_away() {
    for said in ["yes", "unsure"] {
        let mut phone = phone();
        let inquiry = begin(&phone.view(), "").unwrap();
        let screen = answer_question(&phone.view(), inquiry, "ate_or_touched", said).unwrap();
        assert_eq!(screen.step, 1, "the next question is the second");
        let raised: Vec<&str> = screen.halts.iter().map(|h| h.id.as_str()).collect();
        assert_eq!(raised, ["wild_mushroom", "toxic_plant"]);
        assert!(screen.halts[0].calls.contains(&"1-800-222-1222".to_owned()));
        for back in ["no", ""] {
            let screen = answer_question(&phone.view(), inquiry, "ate_or_touched", back).unwrap();
            assert_eq!(screen.halts.len(), 2, "{said} then {back:?}");
        }
        let screen = ask(&phone.killed(), inquiry).unwrap();
        assert_eq!(screen.halts.len(), 2, "a kill keeps them");
    }
}

#[test]
fn words_that_speak_of_danger_raise_a_stop_while_they_are_typed_and_deleting_them_does_not_take_it_away() {
    let mut phone = phone();
    let inquiry = begin(&phone.view(), "").unwrap();
    let text = "My toddler ate two of the red berries";
    let screen = write(&phone.view(), inquiry, "words", text, false).unwrap();
    assert!(screen.halts.iter().any(|h| h.id == "toxic_plant"), "{:?}", screen.halts);
    write(&phone.view(), inquiry, "words", "", true).unwrap();
    let screen = stop_screen(&phone.killed(), inquiry).unwrap();
    assert!(screen.unread.iter().any(|h| h.id == "toxic_plant"));
}

#[test]
fn nothing_is_kept_of_a_child_that_asks() {
    let mut phone = phone();
    let inquiry = begin(&phone.view(), "").unwrap();
    write(&phone.view(), inquiry, "name", "Little Wren", true).unwrap();
    write(&phone.view(), inquiry, "phone", "555-0100", false).unwrap();
    let screen = write(&phone.view(), inquiry, "minor", "yes", true).unwrap();
    assert!(!screen.child.is_empty());
    assert!(screen.fields.iter().all(|f| f.name != "name" && f.name != "phone"));
    let refused = write(&phone.view(), inquiry, "name", "Little Wren", true).unwrap_err();
    assert_eq!(refused.code(), Some(Code::ForbiddenField));
    let view = phone.killed();
    let contact = view.whole(inquiry).unwrap().contact.unwrap();
    assert!(!all_of(&contact).contains("Wren"));
    let drafts = view.notebook.drafts_after("").unwrap();
    assert!(!format!("{drafts:?}").contains("555-0100"));
}

#[test]
fn what_is_wrong_stays_typed_and_is_said_and_goes_into_no_record() {
    let mut phone = phone();
    let inquiry = begin(&phone.view(), "").unwrap();
    let long = "x".repeat(500);
    let screen = write(&phone.view(), inquiry, "name", &long, true).unwrap();
    assert!(field(&screen, "name").problem.starts_with("Too long"));
    let screen = ask(&phone.killed(), inquiry).unwrap();
    assert_eq!(field(&screen, "name").text, long);
    assert!(phone.view().whole(inquiry).unwrap().contact.is_none());
    for (name, text) in [("no_field", "x"), ("wish", "rain"), ("may_visit", "perhaps")] {
        let refused = write(&phone.view(), inquiry, name, text, true).unwrap_err();
        assert!(matches!(refused, Error::Refused { code: Code::Schema, .. }), "{name}");
    }
    assert!(answer_question(&phone.view(), inquiry, "ate_or_touched", "perhaps").is_err());
    assert!(answer_question(&phone.view(), inquiry, "no_question", "yes").is_err());
}

#[test]
fn pages_go_on_where_they_ended_whatever_is_written_meanwhile() {
    let phone = phone();
    let mut made = std::collections::BTreeSet::new();
    for n in 0..45 {
        phone.minutes(1);
        let inquiry = begin(&phone.view(), "").unwrap();
        write(&phone.view(), inquiry, "words", &format!("inquiry {n}"), true).unwrap();
        made.insert(inquiry);
    }
    let (mut seen, mut after) = (Vec::new(), String::new());
    loop {
        let page = inquiries(&phone.view(), InquiryFilter::All, "", &after, 20).unwrap();
        seen.extend(page.rows.iter().map(|row| row.id));
        phone.minutes(1);
        begin(&phone.view(), "").unwrap();
        if page.next.is_empty() {
            break;
        }
        after = page.next;
    }
    assert_eq!(seen.len(), 45);
    assert_eq!(seen.into_iter().collect::<std::collections::BTreeSet<_>>(), made);
    assert_eq!(inquiries(&phone.view(), InquiryFilter::All, "inquiry 4", "", 20).unwrap().rows.len(), 6);
    assert_eq!(
        inquiries(&phone.view(), InquiryFilter::All, "drought", "", 20).unwrap().none,
        "No inquiry holds all these words."
    );
    assert!(inquiries(&phone.view(), InquiryFilter::All, "", "nonsense", 20).is_err());
    let month = inquiries(&phone.view(), InquiryFilter::ThisMonth, "", "", 50).unwrap().rows.len();
    assert_eq!(month, 48);
    phone.clock.set(MONDAY + 40 * 86_400_000);
    assert_eq!(inquiries(&phone.view(), InquiryFilter::ThisMonth, "", "", 50).unwrap().rows.len(), 0);
    assert!(phone.book().show(*made.first().unwrap()).unwrap().kind == Kind::Inquiry);
}

#[test]
fn a_plant_is_written_field_by_field_in_the_readers_units() {
    let mut phone = phone();
    let inquiry = begin(&phone.view(), "").unwrap();
    let screen = plant_screen(&phone.view(), inquiry, None).unwrap();
    assert!(screen.plant.is_none() && screen.hosts.len() > 4 && screen.recent.is_empty());
    let plant = write_plant(&phone.view(), inquiry, None, "host", "maple", true).unwrap().plant.unwrap();
    write_plant(&phone.view(), inquiry, Some(plant), "trunk", "10", true).unwrap();
    write_plant(&phone.view(), inquiry, Some(plant), "present", "4", true).unwrap();
    let screen = write_plant(&phone.view(), inquiry, Some(plant), "affected", "9", true).unwrap();
    assert_eq!(field_of(&screen.fields, "affected").problem, "More show it than there are.");
    write_plant(&phone.view(), inquiry, Some(plant), "tag", "row 4", false).unwrap();
    let view = phone.killed();
    let screen = plant_screen(&view, inquiry, Some(plant)).unwrap();
    assert_eq!(field_of(&screen.fields, "tag").text, "row 4");
    assert_eq!(field_of(&screen.fields, "affected").text, "9");
    let record = view.notebook.show(plant).unwrap();
    assert_eq!((record.get("affected"), record.get("tag")), (None, None));
    assert_eq!(record.get("trunk").unwrap()["diameter_cm"], "25.4");
    let metric = plant_screen(&phone.spanish(), inquiry, Some(plant)).unwrap();
    assert_eq!(field_of(&metric.fields, "trunk").text, "25.4");
    assert!(plant_screen(&phone.view(), begin(&phone.view(), "").unwrap(), None).unwrap().recent[0].id == "maple");
    assert!(write_plant(&phone.view(), inquiry, Some(plant), "host", "moon_tree", true).is_err());
}

fn field<'s>(screen: &'s AskScreen, name: &str) -> &'s AskField {
    field_of(&screen.fields, name)
}

fn field_of<'s>(fields: &'s [AskField], name: &str) -> &'s AskField {
    fields.iter().find(|f| f.name == name).unwrap()
}

#[test]
fn answers_are_one_change_when_somebody_goes_on_and_a_kill_loses_none() {
    let mut phone = phone();
    let inquiry = begin(&phone.view(), "").unwrap();
    let saves = |phone: &Phone| phone.book().history(inquiry).unwrap().len();
    let before = saves(&phone);
    let questions: Vec<String> = PACK.questions.iter().map(|q| q.id.clone()).collect();
    for (n, question) in questions.iter().enumerate() {
        let screen = answer_question(&phone.view(), inquiry, question, "no").unwrap();
        assert_eq!(screen.step, u32::try_from(n + 1).unwrap());
        assert_eq!(ask(&phone.killed(), inquiry).unwrap().step, screen.step, "a kill keeps it");
    }
    assert_eq!(saves(&phone), before, "nothing is written while somebody answers");
    keep_place(&phone.view(), Screen::Stop, inquiry, None, "").unwrap();
    assert_eq!(saves(&phone), before, "a stop to read is not the end of the questions");
    keep_place(&phone.view(), Screen::Place, inquiry, None, "").unwrap();
    assert_eq!(saves(&phone), before + 1);
    assert_eq!(crate::inquiry::asked(&phone.book().show(inquiry).unwrap()).len(), questions.len());
    // The same answer again is no change, another one is, and taking one back is one too.
    answer_question(&phone.view(), inquiry, &questions[0], "no").unwrap();
    leave_place(&phone.view()).unwrap();
    assert_eq!(saves(&phone), before + 1);
    answer_question(&phone.view(), inquiry, &questions[0], "").unwrap();
    settle_all(&phone.killed()).unwrap();
    assert_eq!(saves(&phone), before + 2);
    assert_eq!(ask(&phone.view(), inquiry).unwrap().step, 0);
    assert!(phone.view().notebook.drafts_after("answers ").unwrap().is_empty());
}
