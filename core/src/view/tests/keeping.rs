use std::path::Path;

use super::*;
use crate::{
    notebook::{LetGo, Notebook},
    record::Kind,
};

#[test]
fn the_bin_holds_what_was_taken_away_and_brings_it_back() {
    let mut phone = phone();
    let (inquiry, plant) = phone.tomato();
    assert_eq!(bin(&phone.view(), "", 20).unwrap().none, "Nothing was taken away.");
    phone.minutes(1);
    let undo = take_away(&phone.view(), plant).unwrap();
    assert_eq!(undo.text, "A plant taken away.");
    phone.minutes(1);
    take_away(&phone.view(), inquiry).unwrap();
    let view = phone.killed();
    let page = bin(&view, "", 1).unwrap();
    assert_eq!((page.rows.len(), page.rows[0].record), (1, inquiry));
    let next = bin(&view, &page.next, 1).unwrap();
    assert_eq!(
        (next.rows[0].record, next.rows[0].text.as_str(), next.next.as_str()),
        (plant, "Tomato, pepper, potato", "")
    );
    assert!(inquiries(&view, InquiryFilter::All, "", "", 20).unwrap().rows.is_empty());
    assert!(today(&view).unwrap().resume.is_none(), "what is in the bin is not gone on with");
    bring_back(&view, inquiry).unwrap();
    bring_back(&view, undo.record).unwrap();
    assert_eq!(inquiry_screen(&phone.killed(), inquiry).unwrap().plants.len(), 1);
}

#[test]
fn the_privacy_page_counts_what_is_here_and_says_what_erasing_loses() {
    let phone = phone();
    let (inquiry, plant) = phone.tomato();
    write(&phone.view(), inquiry, "name", "Wren Somebody", true).unwrap();
    import_photo(&phone.view(), inquiry, Some(plant), "whole", "", &photo_file()).unwrap();
    let screen = privacy(&phone.view()).unwrap();
    let counts: Vec<(&str, &str)> = screen.holds.iter().map(|l| (l.label.as_str(), l.text.as_str())).collect();
    assert!(
        counts.contains(&("Inquiries", "1")) && counts.contains(&("People who asked (private)", "1")),
        "{counts:?}"
    );
    assert!(screen.erase.contains("1 inquiry on this phone"), "{}", screen.erase);
    assert!(!all_of(&screen).contains("Wren"));
    assert!(screen.letting_go[0].chosen);
    phone.book().set_letting_go(LetGo::Originals).unwrap();
    assert!(privacy(&phone.view()).unwrap().letting_go[1].chosen);
}

#[test]
fn a_backup_is_asked_for_made_and_merged_back() {
    let mut phone = phone();
    let (inquiry, _) = phone.tomato();
    write(&phone.view(), inquiry, "words", "Spots", false).unwrap();
    assert_eq!(backup(&phone.view()).unwrap().last, "No backup was made yet.");
    let file = phone.path("notebook.backup");
    let lines = back_up(&phone.view(), &file, &Job::silent()).unwrap();
    assert!(lines[0].contains("0 pictures"), "{lines:?}");
    let screen = backup(&phone.killed()).unwrap();
    assert_eq!((screen.last.as_str(), screen.due.as_str()), ("Last backup: 20 July", ""));
    let again = merge_backup(&phone.view(), &file, &Job::silent()).unwrap();
    assert_eq!(again[0], "0 changes were not here.");
    for n in 0..200 {
        write_plant(&phone.view(), inquiry, None, "cultivar", &format!("kind {n}"), true).unwrap();
    }
    assert!(backup(&phone.view()).unwrap().due.contains("changes since"));
}

#[test]
fn one_inquiry_is_a_file_that_another_phone_takes_in() {
    let phone = phone();
    let (inquiry, plant) = phone.tomato();
    write(&phone.view(), inquiry, "name", "Wren Somebody", true).unwrap();
    write(&phone.view(), inquiry, "words", "Spots on the low leaves", false).unwrap();
    import_photo(&phone.view(), inquiry, Some(plant), "whole", "", &photo_file()).unwrap();
    let photo = inquiry_screen(&phone.view(), inquiry).unwrap().photos[0].id;
    type_in(&phone.view(), Form::Caption, photo, "caption", "Rings like a target", false).unwrap();
    let (other, _) = phone.tomato();
    write(&phone.view(), other, "words", "Curled tips on the peppers", true).unwrap();
    let file = phone.path("one.zip");
    let lines = write_inquiry(&phone.view(), inquiry, &file, &Job::silent()).unwrap();
    assert!(lines.last().unwrap().contains("not sealed"), "{lines:?}");
    assert!(crate::own_data::is_own_data(&file).unwrap());

    let second = new_phone();
    second.book().enrol(&second.answer("Scout 4")).unwrap();
    bring_own_data(&second.view(), &file, &Job::silent()).unwrap();
    let view = second.view();
    assert_eq!(inquiries(&view, InquiryFilter::All, "", "", 20).unwrap().rows.len(), 1, "and no other");
    let screen = inquiry_screen(&view, inquiry).unwrap();
    assert_eq!((screen.said.as_str(), screen.plants.len(), screen.photos.len()), ("Spots on the low leaves", 1, 1));
    assert!(Path::new(&screen.photos[0].path).exists());
    assert_eq!(screen.photos[0].caption, "Rings like a target", "what was being typed anywhere in it too");
    assert!(all_of(&ask(&view, inquiry).unwrap()).contains("Wren"), "whose it is goes with it");

    assert!(write_inquiry(&phone.view(), plant, &phone.path("no.zip"), &Job::silent()).is_err(), "no inquiry");
    assert!(!phone.path("no.zip").exists());
}

#[test]
fn ones_own_data_is_written_with_what_is_being_typed_and_brought_back() {
    let phone = phone();
    let (inquiry, _) = phone.tomato();
    write(&phone.view(), inquiry, "words", "Spots on the low leaves", false).unwrap();
    let file = phone.path("own.zip");
    let lines = write_own_data(&phone.view(), &file, &Job::silent()).unwrap();
    assert!(lines[0].starts_with("2 records"), "{lines:?}");
    assert!(lines.last().unwrap().contains("not sealed"));
    let brought = bring_own_data(&phone.view(), &file, &Job::silent()).unwrap();
    assert_eq!(brought[0], "0 values were written.");
    assert!(bring_own_data(&phone.view(), &phone.path("none.zip"), &Job::silent()).is_err());
}

#[test]
fn erasing_everything_leaves_nothing_of_a_person_in_the_folder() {
    let mut phone = phone();
    let (inquiry, plant) = phone.tomato();
    write(&phone.view(), inquiry, "name", "Wren Canaryword", true).unwrap();
    write(&phone.view(), inquiry, "words", "typed canaryword", false).unwrap();
    import_photo(&phone.view(), inquiry, Some(plant), "whole", "", &photo_file()).unwrap();
    expect_shot(&phone.view(), inquiry, Some(plant), "underside", "", "").unwrap();
    let folder = phone.path("phone");
    assert!(Notebook::erase_folder(&phone.path("office/photos")).is_err(), "a folder without a notebook");
    phone.notebook = None;
    Notebook::erase_folder(&folder).unwrap();
    assert!(!folder.exists() || std::fs::read_dir(&folder).unwrap().next().is_none());
    assert!(Notebook::open(&folder, Env::seeded(1, &phone.clock)).is_err());
    Notebook::create(&folder, Env::seeded(9, &phone.clock)).unwrap();
}

#[test]
fn the_history_is_told_newest_first_in_pages_and_private_words_are_not_in_it() {
    let mut phone = phone();
    let (inquiry, plant) = phone.tomato();
    write(&phone.view(), inquiry, "address", "1 Teal Lane", true).unwrap();
    phone.minutes(60 * 24);
    write_plant(&phone.view(), inquiry, Some(plant), "present", "4", true).unwrap();
    phone.minutes(60);
    write_plant(&phone.view(), inquiry, Some(plant), "present", "5", true).unwrap();
    let view = phone.killed();
    let first = history(&view, inquiry, "", 1).unwrap();
    assert_eq!((first.rows.len(), first.rows[0].who.as_str(), first.rows[0].day.as_str()), (1, "Scout 3", "21 July"));
    let mut after = first.next;
    let mut all = vec![first.rows[0].clone()];
    while !after.is_empty() {
        let page = history(&view, inquiry, &after, 1).unwrap();
        all.extend(page.rows);
        after = page.next;
    }
    assert!(all.len() >= 3);
    assert!(!all_of(&all).contains("Teal Lane"));
    assert!(all[0].fields.iter().any(|f| f.contains("was 4")), "{:?}", all[0]);
    assert!(view.whole(inquiry).unwrap().of(Kind::Plant).len() == 1);
}
