use std::fs;

use super::*;
use crate::Code;

const LARKSPUR: &str = include_str!("../../../../fixtures/county/larkspur.geojson");

#[test]
fn a_fix_is_told_in_words_and_old_ones_are_told_to_be_old() {
    let phone = phone();
    let view = phone.view();
    let good = fix(&view, 6.0, 0).unwrap();
    assert!(good.good && good.advice.is_empty());
    assert_eq!(good.text, "Good: within 20 ft. That tells one yard from the next.");
    assert!(fix(&phone.spanish(), 6.0, 0).unwrap().text.contains("6 m"));
    for (meters, word) in [(40.0, "Fair"), (300.0, "Coarse"), (5_000.0, "township")] {
        let fix = fix(&view, meters, 0).unwrap();
        assert!(!fix.good && fix.text.contains(word) && !fix.advice.is_empty(), "{}", fix.text);
    }
    let old = fix(&view, 6.0, 300_000).unwrap();
    assert!(!old.good && old.text.contains("5 min old"), "{}", old.text);
    assert!(fix(&view, f64::NAN, 0).is_err() && fix(&view, -1.0, 0).is_err());
}

#[test]
fn a_position_is_kept_moved_by_hand_and_tells_the_township() {
    let mut phone = phone();
    fs::write(phone.book().folder().join("outline.geojson"), LARKSPUR).unwrap();
    let outline = Outline::from_geojson(LARKSPUR);
    let (name, rings) = outline.townships[0].clone();
    let n = (rings[0].len() - 1) as f64;
    let (lon, lat) = rings[0].iter().skip(1).fold((0.0, 0.0), |sum, c| (sum.0 + c.0 / n, sum.1 + c.1 / n));
    let inquiry = begin(&phone.view(), "").unwrap();
    let plant = write_plant(&phone.view(), inquiry, None, "host", "maple", true).unwrap().plant.unwrap();
    set_place(&phone.view(), inquiry, lat, lon, Some(12.0)).unwrap();
    let view = phone.killed();
    let screen = place(&view, inquiry, (400.0, 600.0), None).unwrap();
    assert!(screen.has_point && screen.point == "From the phone, within 39 ft", "{}", screen.point);
    assert!(screen.title.contains(&name), "{}", screen.title);
    assert!(view.notebook.show(plant).unwrap().text("site").is_some(), "the plant stands there too");
    let pin = screen.scene.shapes.iter().find(|s| s.kind == MapShapeKind::Pin).unwrap();
    assert_eq!(pin.points, [200.0, 300.0], "the pin is the middle");
    move_pin(&view, inquiry, &screen.scene, 300.0, 300.0).unwrap();
    let moved = place(&view, inquiry, (400.0, 600.0), Some((lat, lon, 9.0))).unwrap();
    assert_eq!(moved.point, "A pin set by hand");
    let here = moved.scene.shapes.iter().find(|s| s.kind == MapShapeKind::Here).unwrap();
    assert!((here.points[0] - 100.0).abs() < 1.0, "where it was is as far to the west: {:?}", here.points);
    assert!(moved.scene.twin.iter().any(|line| line.ends_with("east.")), "{:?}", moved.scene.twin);
    nudge_pin(&view, inquiry, 0.0, 3.0).unwrap();
    assert!(nudge_pin(&view, begin(&view, "").unwrap(), 0.0, 3.0).is_err());
}

#[test]
fn the_scene_has_outline_townships_rings_north_scale_and_the_same_in_words() {
    let phone = phone();
    let inquiry = begin(&phone.view(), "").unwrap();
    let bare = place(&phone.view(), inquiry, (320.0, 480.0), None).unwrap();
    assert_eq!(bare.point, "No position. None is needed.");
    assert!(bare.scene.twin.iter().any(|line| line.starts_with("No outline")));
    fs::write(phone.book().folder().join("outline.geojson"), LARKSPUR).unwrap();
    let screen = place(&phone.view(), inquiry, (320.0, 480.0), None).unwrap();
    let count = |kind| screen.scene.shapes.iter().filter(|s| s.kind == kind).count();
    assert_eq!((count(MapShapeKind::County), count(MapShapeKind::Township), count(MapShapeKind::Ring)), (1, 8, 3));
    assert_eq!((count(MapShapeKind::North), count(MapShapeKind::Scale), screen.townships.len()), (1, 1, 8));
    for shape in screen.scene.shapes.iter().filter(|s| s.kind == MapShapeKind::Township) {
        for point in shape.points.chunks(2) {
            assert!(
                (0.0..=320.0).contains(&point[0]) && (0.0..=480.0).contains(&point[1]),
                "{point:?} is off the screen"
            );
        }
    }
    let rings: Vec<f32> =
        screen.scene.shapes.iter().filter(|s| s.kind == MapShapeKind::Ring).map(|s| s.radius).collect();
    assert!(rings[2] <= 161.0 && (rings[1] - 2.0 * rings[0]).abs() < 0.5, "{rings:?}");
    let scale = screen.scene.shapes.iter().find(|s| s.kind == MapShapeKind::Scale).unwrap();
    assert!(scale.text.ends_with(" mi") && (scale.points[2] - scale.points[0] - rings[0]).abs() < 0.5);
    assert!(
        place(&phone.spanish(), inquiry, (320.0, 480.0), None)
            .unwrap()
            .scene
            .shapes
            .iter()
            .any(|s| s.text.ends_with(" km"))
    );
}

#[test]
fn earlier_records_near_by_are_told_the_nearest_first() {
    let phone = phone();
    let view = phone.view();
    let mut made = Vec::new();
    for (host, east) in [("maple", 900.0), ("tomato_family", 200.0), ("oak", 9_000.0)] {
        let inquiry = begin(&view, "").unwrap();
        write_plant(&view, inquiry, None, "host", host, true).unwrap();
        let (lat, lon) = scene::moved((43.5, -87.0), east, 0.0);
        set_place(&view, inquiry, lat, lon, Some(5.0)).unwrap();
        made.push(inquiry);
    }
    let own = begin(&view, "").unwrap();
    let screen = place(&view, own, (300.0, 300.0), Some((43.5, -87.0, 5.0))).unwrap();
    let near: Vec<RecordId> = screen.near.iter().map(|n| n.inquiry).collect();
    assert_eq!(near, [made[1], made[0]], "the third is too far");
    assert_eq!(screen.near[0].way, "656 ft east");
    assert_eq!(screen.near[1].way, "0.6 mi east");
    take_away(&view, made[1]).unwrap();
    assert_eq!(place(&view, own, (300.0, 300.0), Some((43.5, -87.0, 5.0))).unwrap().near.len(), 1);
}

#[test]
fn a_place_is_told_by_its_words_and_kept_while_it_is_typed() {
    let mut phone = phone();
    let inquiry = begin(&phone.view(), "").unwrap();
    write_place(&phone.view(), inquiry, "address", "the blue ga", false).unwrap();
    let screen = place(&phone.killed(), inquiry, (300.0, 300.0), None).unwrap();
    assert_eq!(screen.fields.iter().find(|f| f.name == "address").unwrap().text, "the blue ga");
    write_place(&phone.view(), inquiry, "address", "the blue gate", true).unwrap();
    write_place(&phone.view(), inquiry, "land_use", "allotment", true).unwrap();
    for hazard in ["dog", "well", "dog"] {
        write_place(&phone.view(), inquiry, "hazard", hazard, true).unwrap();
    }
    let view = phone.killed();
    let site = view.whole(inquiry).unwrap().site.unwrap();
    assert_eq!((site.text("address"), site.text("land_use")), (Some("the blue gate"), Some("allotment")));
    assert_eq!(site.get("hazards").unwrap(), &serde_json::json!(["well"]));
    assert!(write_place(&view, inquiry, "hazard", "dragon", true).is_err());
    assert!(write_place(&view, inquiry, "land_use", "castle", true).is_err());
    assert!(write_place(&view, inquiry, "point", "1", true).is_err());
}

#[test]
fn no_position_is_kept_where_a_child_asks_or_a_stop_says_so() {
    let phone = phone();
    let view = phone.view();
    let inquiry = begin(&view, "").unwrap();
    set_place(&view, inquiry, 43.5, -87.0, Some(5.0)).unwrap();
    let way_back = clear_place(&view, inquiry).unwrap();
    write(&view, inquiry, "minor", "yes", true).unwrap();
    assert_eq!(undo(&view, &way_back).unwrap_err().code(), Some(Code::ForbiddenField));
    assert!(view.notebook.show(way_back.place.unwrap()).unwrap().hidden, "it stays in the bin");
    let refused = set_place(&view, inquiry, 43.5, -87.0, Some(5.0)).unwrap_err();
    assert_eq!(refused.code(), Some(Code::ForbiddenField));
    assert!(!place(&view, inquiry, (300.0, 300.0), None).unwrap().held.is_empty());
    let other = begin(&view, "").unwrap();
    write(
        &view,
        other,
        "words",
        "hi im in 7th grade and i want to join the plant scouts, my mom doesnt know yet but here is my cell number",
        true,
    )
    .unwrap();
    let stops = stop_screen(&view, other).unwrap();
    assert!(stops.unread.iter().any(|h| h.id == "minors"), "{stops:?}");
    assert!(set_place(&view, other, 43.5, -87.0, None).is_err());
    assert!(view.whole(other).unwrap().site.is_none());
    assert!(set_place(&view, begin(&view, "").unwrap(), 143.5, -87.0, None).is_err(), "no degrees");
}

#[test]
fn where_a_child_lives_goes_with_the_tick_also_what_was_written_before() {
    let mut phone = phone();
    let (inquiry, plant) = phone.tomato();
    let view = phone.view();
    write_place(&view, inquiry, "address", "the blue gate", true).unwrap();
    write_place(&view, inquiry, "township", "Sedge", true).unwrap();
    write_place(&view, inquiry, "hazard", "dog", true).unwrap();
    set_place(&view, inquiry, 43.5, -87.0, Some(5.0)).unwrap();
    write_place(&view, inquiry, "access", "round the back", false).unwrap();
    let old = view.whole(inquiry).unwrap().site.unwrap().id;
    write(&view, inquiry, "minor", "yes", true).unwrap();
    let view = phone.killed();
    let whole = view.whole(inquiry).unwrap();
    let site = whole.site.as_ref().unwrap();
    assert!(site.get("point").is_none() && site.get("address").is_none() && site.get("access").is_none());
    assert_eq!((site.text("township"), site.get("hazards")), (Some("Sedge"), Some(&serde_json::json!(["dog"]))));
    assert_eq!(crate::inquiry::reference(&whole.records[&plant], "site"), Some(site.id));
    let emptied = view.notebook.show(old).unwrap();
    assert_eq!((emptied.hidden, emptied.text("address")), (true, Some("")));
    assert!(!format!("{:?}", view.notebook.drafts_after("").unwrap()).contains("round the back"));
    let screen = place(&view, inquiry, (400.0, 600.0), None).unwrap();
    assert!(!screen.has_point && screen.fields.iter().all(|f| f.name != "address" && f.name != "access"));
    for (name, refused) in [
        ("place", write_place(&view, inquiry, "address", "the blue gate", true).unwrap_err()),
        ("ask", write(&view, inquiry, "address", "the blue gate", true).unwrap_err()),
    ] {
        assert_eq!(refused.code(), Some(Code::ForbiddenField), "{name}");
    }
    // A place at which another inquiry is stays as it is.
    let other = begin(&view, "").unwrap();
    set_place(&view, other, 43.6, -87.0, Some(5.0)).unwrap();
    write_place(&view, other, "address", "the green gate", true).unwrap();
    let shared = view.whole(other).unwrap().site.unwrap().id;
    let again = again(&view, other).unwrap();
    write(&view, again, "minor", "yes", true).unwrap();
    assert_ne!(view.whole(again).unwrap().site.unwrap().id, shared);
    let kept = view.whole(other).unwrap().site.unwrap();
    assert_eq!((kept.id, kept.hidden, kept.text("address")), (shared, false, Some("the green gate")));
}

#[test]
fn a_stop_at_the_tick_of_a_child_leaves_nothing_half_kept() {
    let mut phone = phone();
    let inquiry = begin(&phone.view(), "").unwrap();
    set_place(&phone.view(), inquiry, 43.5, -87.0, Some(5.0)).unwrap();
    // Stopped at the contact's change.
    let db = phone.path("phone/notebook.db");
    let on_disk = |sql: &str| rusqlite::Connection::open(&db).unwrap().execute_batch(sql).unwrap();
    on_disk(
        "CREATE TRIGGER stop BEFORE INSERT ON change WHEN substr(NEW.head, 2, 1) = x'02' BEGIN SELECT RAISE(ABORT, 'stopped'); END",
    );
    assert!(write(&phone.view(), inquiry, "minor", "yes", true).is_err());
    on_disk("DROP TRIGGER stop");
    let view = phone.killed();
    assert!(!place(&view, inquiry, (400.0, 600.0), None).unwrap().has_point, "it went first");
    settle(&view, inquiry).unwrap();
    let contact = view.whole(inquiry).unwrap().contact.unwrap();
    assert_eq!(contact.get("minor"), Some(&serde_json::json!(true)), "and the tick was kept");
}

#[test]
fn a_position_is_taken_away_and_the_words_of_the_place_stay() {
    let mut phone = phone();
    let (inquiry, plant) = phone.tomato();
    assert!(!place(&phone.view(), inquiry, (400.0, 600.0), None).unwrap().can_pin, "a scene of nowhere");
    assert!(place(&phone.view(), inquiry, (400.0, 600.0), Some((43.5, -87.0, 8.0))).unwrap().can_pin);
    assert!(clear_place(&phone.view(), inquiry).is_err(), "there is none");
    write_place(&phone.view(), inquiry, "address", "the blue gate", true).unwrap();
    write_place(&phone.view(), inquiry, "hazard", "dog", true).unwrap();
    set_place(&phone.view(), inquiry, 43.5, -87.0, Some(5.0)).unwrap();
    let old = phone.view().whole(inquiry).unwrap().site.unwrap().id;
    assert!(place(&phone.view(), inquiry, (400.0, 600.0), None).unwrap().can_pin);
    let way_back = clear_place(&phone.view(), inquiry).unwrap();
    let screen = place(&phone.killed(), inquiry, (400.0, 600.0), None).unwrap();
    assert!(!screen.has_point);
    assert_eq!(screen.fields.iter().find(|f| f.name == "address").unwrap().text, "the blue gate");
    assert!(screen.hazards.iter().any(|h| h.id == "dog" && h.chosen));
    assert!(phone.book().show(old).unwrap().hidden, "the place with its position is in the bin");
    let whole = phone.view().whole(inquiry).unwrap();
    assert_eq!(crate::inquiry::reference(&whole.records[&plant], "site"), whole.site.map(|s| s.id));
    // The way back: the position with the words as they stand now.
    write_place(&phone.view(), inquiry, "address", "the green gate", true).unwrap();
    let between = phone.view().whole(inquiry).unwrap().site.unwrap().id;
    undo(&phone.killed(), &way_back).unwrap();
    let whole = phone.view().whole(inquiry).unwrap();
    let site = whole.site.unwrap();
    assert_eq!((site.id, site.hidden, site.text("address")), (old, false, Some("the green gate")));
    assert!(site.get("point").is_some());
    assert_eq!(crate::inquiry::reference(&whole.records[&plant], "site"), Some(old));
    assert!(phone.book().show(between).unwrap().hidden, "nothing is left of the place between");
    assert!(phone.view().notebook.conflicts().unwrap().is_empty());
    clear_place(&phone.view(), inquiry).unwrap();
    // Where another inquiry is at the place, it stays as it is.
    set_place(&phone.view(), inquiry, 43.5, -87.0, Some(5.0)).unwrap();
    let shared = phone.view().whole(inquiry).unwrap().site.unwrap().id;
    let other = again(&phone.view(), inquiry).unwrap();
    clear_place(&phone.view(), inquiry).unwrap();
    assert_eq!(phone.view().whole(other).unwrap().site.unwrap().id, shared);
    assert!(!phone.book().show(shared).unwrap().hidden);
}
