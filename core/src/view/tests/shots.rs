use std::{fs, path::Path};

use super::*;
use crate::record::Kind;

#[test]
fn a_shot_is_written_down_before_the_camera_opens_and_found_again_after_a_kill() {
    let mut phone = phone();
    let (inquiry, plant) = phone.tomato();
    let pending = expect_shot(&phone.view(), inquiry, Some(plant), "close_up", "ruler_card", "").unwrap();
    assert!(!pending.written && pending.path.ends_with(".jpg"));
    let again = pending_shot(&phone.killed()).unwrap().unwrap();
    assert_eq!(again, pending, "killed before the camera wrote");
    assert!(take_shot(&phone.view()).is_err(), "the camera wrote nothing");
    assert!(pending_shot(&phone.view()).unwrap().is_some(), "and it is still asked for");
    fs::copy(photo_file(), &pending.path).unwrap();
    let again = pending_shot(&phone.killed()).unwrap().unwrap();
    assert!(again.written, "killed after the camera wrote");
    let screen = take_shot(&phone.view()).unwrap();
    let row = screen.shots.iter().find(|s| s.part == "close_up").unwrap();
    assert_eq!((row.photos.len(), row.state.as_str()), (1, "Taken"));
    let card = &row.photos[0];
    assert_eq!(card.id, pending.id);
    assert_eq!(fs::read(&card.path).unwrap(), fs::read(photo_file()).unwrap(), "the original as it is");
    assert!(Path::new(&card.small).exists() && card.note.contains("ruler card"), "{card:?}");
    assert!(!Path::new(&pending.path).exists());
    assert!(pending_shot(&phone.killed()).unwrap().is_none());
}

#[test]
fn taking_a_shot_in_twice_gives_one_photo() {
    let phone = phone();
    let (inquiry, plant) = phone.tomato();
    let pending = expect_shot(&phone.view(), inquiry, Some(plant), "whole", "", "").unwrap();
    fs::copy(photo_file(), &pending.path).unwrap();
    let kept = phone.book().draft("shot").unwrap();
    take_shot(&phone.view()).unwrap();
    // Stopped after the photo was written and before the shot was forgotten.
    phone.book().keep_draft("shot", kept.as_deref()).unwrap();
    fs::copy(photo_file(), &pending.path).unwrap();
    take_shot(&phone.view()).unwrap();
    assert_eq!(phone.view().whole(inquiry).unwrap().of(Kind::Photo).len(), 1);
}

#[test]
fn a_new_shot_takes_in_the_one_before_it_and_one_that_was_given_up_leaves_nothing() {
    let phone = phone();
    let (inquiry, plant) = phone.tomato();
    let first = expect_shot(&phone.view(), inquiry, Some(plant), "whole", "", "").unwrap();
    fs::copy(photo_file(), &first.path).unwrap();
    let second = expect_shot(&phone.view(), inquiry, Some(plant), "underside", "", "").unwrap();
    assert_eq!(phone.view().whole(inquiry).unwrap().of(Kind::Photo).len(), 1);
    give_up_shot(&phone.view()).unwrap();
    assert!(pending_shot(&phone.view()).unwrap().is_none());
    assert!(!Path::new(&second.path).exists());
    assert!(expect_shot(&phone.view(), inquiry, Some(plant), "no_part", "", "").is_err());
}

#[test]
fn a_shot_of_a_look_stands_with_its_finding() {
    let phone = phone();
    let (inquiry, plant) = phone.tomato();
    let view = phone.view();
    let card = look(&view, inquiry, plant, "", "").unwrap().look.unwrap();
    answer(&view, inquiry, plant, &card.character, &ids(&["could_not_tell"]), &[], 1).unwrap();
    let pending = expect_shot(&view, inquiry, Some(plant), "close_up", "coin", &card.character).unwrap();
    fs::copy(photo_file(), &pending.path).unwrap();
    take_shot(&view).unwrap();
    phone.minutes(1);
    import_photo(&view, inquiry, Some(plant), "other", &card.character, &photo_file()).unwrap();
    phone.minutes(1);
    import_photo(&view, inquiry, Some(plant), "other", "", &photo_file()).unwrap();
    let whole = view.whole(inquiry).unwrap();
    let photos: Vec<String> = whole.of(Kind::Photo).iter().map(|photo| photo.id.to_string()).collect();
    let finding = whole.findings_on(plant)[0];
    assert_eq!(photos[0], pending.id.to_string());
    assert_eq!(finding.get("photos").unwrap(), &serde_json::json!(photos[..2]), "one from the gallery too");
}

#[test]
fn a_photo_from_the_gallery_comes_with_its_own_date_and_stays_where_it_is() {
    let mut phone = phone();
    let (inquiry, plant) = phone.tomato();
    let file = phone.path("from-gallery.jpg");
    fs::copy(photo_file(), &file).unwrap();
    import_photo(&phone.view(), inquiry, Some(plant), "other", "", &file).unwrap();
    assert!(file.exists());
    let view = phone.killed();
    let screen = shot_screen(&view, inquiry, Some(plant)).unwrap();
    assert_eq!(screen.others.len(), 1);
    let taken = view.notebook.show(screen.others[0].id).unwrap();
    let taken = taken.text("taken").expect("the file has a date").to_owned();
    assert!(!taken.starts_with("2026-07-20"), "its own date, not today's: {taken}");
    assert!(!screen.others[0].note.is_empty());
    assert!(import_photo(&view, inquiry, Some(plant), "other", "", &view.notebook.folder().join("none.jpg")).is_err());
}

#[test]
fn photos_of_a_child_that_asks_do_not_say_where_they_were_taken() {
    let mut phone = phone();
    let (inquiry, plant) = phone.tomato();
    let view = phone.view();
    let card = look(&view, inquiry, plant, "", "").unwrap().look.unwrap();
    answer(&view, inquiry, plant, &card.character, &ids(&["could_not_tell"]), &[], 1).unwrap();
    import_photo(&view, inquiry, Some(plant), "other", &card.character, &photo_file()).unwrap();
    let before = view.whole(inquiry).unwrap().of(Kind::Photo)[0].clone();
    assert!(before.get("place").is_some(), "the file says where");
    write(&view, inquiry, "minor", "yes", true).unwrap();
    let view = phone.killed();
    import_photo(&view, inquiry, Some(plant), "whole", "", &photo_file()).unwrap();
    let whole = view.whole(inquiry).unwrap();
    let photos = whole.of(Kind::Photo);
    assert_eq!(photos.len(), 2);
    for photo in &photos {
        assert!(photo.get("place").is_none());
        let file = fs::read(view.blob(photo.get("image"))).unwrap();
        let facts = crate::photo::read(&file).unwrap();
        assert_eq!((facts.latitude, facts.longitude, facts.taken()), (None, None, None), "nor does its file");
        assert_eq!(photo.text("taken"), before.text("taken"), "when is kept in the record");
    }
    assert!(view.notebook.show(before.id).unwrap().hidden);
    let again = photos.iter().find(|photo| photo.text("part") == Some("other")).unwrap();
    let finding = whole.findings_on(plant)[0];
    assert_eq!(finding.get("photos").unwrap(), &serde_json::json!([again.id.to_string()]));
}

#[test]
fn shots_are_skipped_and_none_is_compulsory() {
    let mut phone = phone();
    let (inquiry, plant) = phone.tomato();
    let screen = shot_screen(&phone.view(), inquiry, Some(plant)).unwrap();
    assert_eq!((screen.next.as_str(), screen.shots.len()), ("whole", 8));
    assert!(screen.shots.iter().all(|s| !s.how.is_empty()));
    skip_shot(&phone.view(), inquiry, Some(plant), "whole", true).unwrap();
    let screen = shot_screen(&phone.killed(), inquiry, Some(plant)).unwrap();
    assert_eq!((screen.next.as_str(), screen.shots[0].state.as_str()), ("boundary", "Skipped"));
    let screen = skip_shot(&phone.view(), inquiry, Some(plant), "whole", false).unwrap();
    assert_eq!(screen.next, "whole");
}

#[test]
fn a_photo_is_captioned_read_for_danger_and_taken_away_with_undo() {
    let mut phone = phone();
    let (inquiry, plant) = phone.tomato();
    import_photo(&phone.view(), inquiry, Some(plant), "whole", "", &photo_file()).unwrap();
    import_photo(&phone.view(), inquiry, Some(plant), "close_up", "", &photo_file()).unwrap();
    let first = phone.view().whole(inquiry).unwrap().of(Kind::Photo)[0].id;
    let screen = photo(&phone.view(), first).unwrap();
    assert_eq!((screen.place.as_str(), screen.before, screen.after.is_some()), ("1 of 2", None, true));
    caption(&phone.view(), first, "part", "healthy").unwrap();
    caption(&phone.view(), first, "caption", "The big limb hangs on the power line").unwrap();
    let screen = photo(&phone.killed(), first).unwrap();
    assert_eq!(screen.card.caption, "The big limb hangs on the power line");
    assert!(stop_screen(&phone.view(), inquiry).unwrap().unread.iter().any(|h| h.id == "utility_line"));
    assert!(caption(&phone.view(), first, "part", "nothing").is_err());
    let undo = take_away(&phone.view(), first).unwrap();
    assert!(photo(&phone.view(), first).is_err());
    assert_eq!(bin(&phone.killed(), "", 20).unwrap().rows[0].record, first);
    bring_back(&phone.view(), undo.record).unwrap();
    assert!(photo(&phone.killed(), first).is_ok());
}

#[test]
fn photos_stand_in_the_order_that_somebody_gives_them() {
    let mut phone = phone();
    let (inquiry, plant) = phone.tomato();
    let take = |phone: &Phone| {
        phone.minutes(1);
        import_photo(&phone.view(), inquiry, Some(plant), "whole", "", &photo_file()).unwrap();
    };
    let order = |view: &View<'_>| -> Vec<RecordId> {
        view.whole(inquiry).unwrap().of(Kind::Photo).iter().map(|photo| photo.id).collect()
    };
    for _ in 0..4 {
        take(&phone);
    }
    let [a, b, c, d] = order(&phone.view())[..] else { panic!("four photos") };
    let screen = move_photo(&phone.view(), c, true).unwrap();
    assert_eq!((screen.place.as_str(), screen.before, screen.after), ("2 of 4", Some(a), Some(b)));
    assert_eq!(move_photo(&phone.view(), a, false).unwrap().place, "2 of 4");
    assert_eq!(order(&phone.killed()), [c, a, b, d]);
    let rows = shot_screen(&phone.view(), inquiry, Some(plant)).unwrap().shots;
    assert_eq!(rows[0].photos.iter().map(|p| p.id).collect::<Vec<_>>(), [c, a, b, d], "in its set too");
    take(&phone);
    assert_eq!(order(&phone.view())[..4], [c, a, b, d], "a new one stands behind");
    let changes = |view: &View<'_>| view.notebook.own_logs().unwrap().iter().map(|log| log.tip).sum::<u64>();
    let before = changes(&phone.view());
    assert_eq!(move_photo(&phone.view(), c, true).unwrap().place, "1 of 5");
    let last = *order(&phone.view()).last().unwrap();
    assert_eq!(move_photo(&phone.view(), last, false).unwrap().place, "5 of 5");
    assert_eq!(changes(&phone.view()), before, "at an end nothing is written");
    move_photo(&phone.view(), b, false).unwrap();
    assert_eq!(order(&phone.killed()), [c, a, d, b, last]);
    take_away(&phone.view(), a).unwrap();
    assert_eq!(move_photo(&phone.view(), b, true).unwrap().place, "2 of 4");
    assert_eq!(order(&phone.view()), [c, b, d, last]);
    assert!(move_photo(&phone.view(), a, true).is_err(), "it was taken away");
}

#[test]
fn the_shots_say_when_a_photo_was_saved_and_which_asks_for_a_size() {
    let phone = phone();
    let (inquiry, plant) = phone.tomato();
    let before = shot_screen(&phone.view(), inquiry, Some(plant)).unwrap();
    assert_eq!(before.saved, "");
    let sized: Vec<&str> = before.shots.iter().filter(|s| s.sized).map(|s| s.part.as_str()).collect();
    assert_eq!(sized, ["close_up"]);
    phone.minutes(3);
    let after = import_photo(&phone.view(), inquiry, Some(plant), "close_up", "", &photo_file()).unwrap();
    assert_eq!(after.saved, "Saved on this phone 10:45 am");
}
