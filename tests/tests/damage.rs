//! A damaged notebook: set aside, and what can be read is got back. Gaps, and who may see what.
#![allow(clippy::unwrap_used, reason = "a test")]

use std::fs;

use dooryard_core::{
    Error,
    clock::Env,
    ids::{Hash32, RecordId},
    log::Segment,
    notebook::Notebook,
    record::{Kind, Role},
};
use dooryard_tests::{Yard, edit, save};
use serde_json::json;

#[test]
fn what_can_be_read_of_a_damaged_notebook_is_got_back_and_the_rest_is_counted() {
    let mut yard = Yard::new(51, 1).unwrap();
    let ids: Vec<RecordId> = (0..400)
        .map(|n| {
            save(
                &yard.phones[0],
                Kind::Plant,
                json!({"host": "oak", "cultivar": format!("kind {n} {}", "x".repeat(150))}),
            )
            .unwrap()
        })
        .collect();
    yard.phones[0].pause().unwrap();
    yard.phones.clear();
    let path = yard.folder(1).join("notebook.db");
    let mut bytes = fs::read(&path).unwrap();
    // Four pages somewhere in the middle are lost.
    let middle = bytes.len() / 4096 / 2 * 4096;
    bytes[middle..middle + 4 * 4096].fill(0xaa);
    fs::write(&path, &bytes).unwrap();

    let env = || Env::seeded(52, &yard.clock);
    let Err(Error::Damaged { kept_at }) = Notebook::open(&yard.folder(1), env()) else { panic!("not noticed") };
    assert_eq!(fs::read(&kept_at).unwrap(), bytes, "set aside as it was");
    let phone = Notebook::open(&yard.folder(1), env()).unwrap();
    let recovered = phone.recover(&kept_at).unwrap();
    assert!(recovered.changes > 200 && recovered.unreadable > 0, "{recovered:?}");
    assert_eq!(recovered.changes + recovered.unreadable, 400, "{recovered:?}");
    let shown = ids.iter().filter(|id| phone.show(**id).is_ok_and(|r| r.text("host") == Some("oak"))).count();
    assert_eq!(shown as u64, recovered.changes);
    assert_eq!(phone.recover(&kept_at).unwrap().here, recovered.changes, "again changes nothing");
    assert_eq!(fs::read(&kept_at).unwrap(), bytes, "and the file is still as it was");
    save(&phone, Kind::Plant, json!({"host": "elm"})).unwrap();
    assert_eq!(
        phone.own_logs().unwrap().iter().filter(|l| l.tip > 0).count(),
        2,
        "the new file writes a log of its own"
    );
    let taken = yard.take_in(&yard.bundle(&phone, "1.yard").unwrap()).unwrap();
    assert_eq!(taken.report.new, recovered.changes + 1);
}

#[test]
fn a_missing_range_is_reported_exactly_and_no_receipt_goes_beyond_it() {
    let yard = Yard::new(53, 1).unwrap();
    let (one, office) = (&yard.phones[0], yard.office.notebook());
    for n in 0..7 {
        save(one, Kind::Plant, json!({"present": n})).unwrap();
    }
    let whole = one.segment_after(&one.own_log(), 0).unwrap().unwrap();
    let piece = |from: usize, to: usize| {
        let prev = if from == 0 { Hash32::ZERO } else { whole.hashes[from - 1] };
        Segment::new(&yard.office.card().office(), whole.log, prev, whole.changes[from..to].to_vec())
    };
    office.take_segment(piece(0, 2)).unwrap();
    office.take_segment(piece(4, 5)).unwrap();
    office.take_segment(piece(6, 7)).unwrap();
    let gaps = |n: &Notebook| n.gaps().unwrap().iter().map(|g| (g.from, g.to)).collect::<Vec<_>>();
    assert_eq!(gaps(office), [(3, 4), (6, 6)]);
    assert_eq!(yard.reply(one).unwrap().received, 2);
    assert_eq!(yard.take_in(&yard.bundle(one, "rest.yard").unwrap()).unwrap().report.new, 3);
    assert_eq!(gaps(office), []);
    assert_eq!(yard.reply(one).unwrap().received, 5);
}

#[test]
fn a_reply_holds_no_private_or_sealed_word_that_its_phone_may_not_read() {
    let yard = Yard::new(54, 2).unwrap();
    let [one, two] = [&yard.phones[0], &yard.phones[1]];
    let site = save(one, Kind::Site, json!({"township": "Gull Meadow", "address": "canary-address 7"})).unwrap();
    let inquiry =
        save(one, Kind::Inquiry, json!({"channel": "yard", "question": "canary-question", "site": site.to_string()}))
            .unwrap();
    save(one, Kind::Alert, json!({"inquiry": inquiry.to_string(), "suspect": "canary-suspect"})).unwrap();
    yard.take_in(&yard.bundle(one, "1.yard").unwrap()).unwrap();
    // The second scout visits the same site, so the site and the inquiry concern that phone now.
    save(two, Kind::Visit, json!({"site": site.to_string(), "inquiry": inquiry.to_string()})).unwrap();
    yard.take_in(&yard.bundle(two, "2.yard").unwrap()).unwrap();
    yard.reply(two).unwrap();
    assert_eq!(two.show(site).unwrap().text("township"), Some("Gull Meadow"));
    assert_eq!(two.show(inquiry).unwrap().text("channel"), Some("yard"));
    assert!(two.show(site).unwrap().get("address").is_none());
    two.pause().unwrap();
    for canary in ["canary-address", "canary-question", "canary-suspect"] {
        assert_eq!(
            dooryard_tests::files_with(&yard.folder(2), canary.as_bytes()).unwrap(),
            Vec::<std::path::PathBuf>::new()
        );
    }
    let educator = Notebook::create(&yard.folder(8), Env::seeded(80, &yard.clock)).unwrap();
    yard.enrol(&educator, Role::Educator, "Educator 1").unwrap();
    yard.office.assign(inquiry, educator.device()).unwrap();
    yard.reply(&educator).unwrap();
    assert_eq!(educator.show(inquiry).unwrap().text("question"), Some("canary-question"), "the educator may");
    yard.office.assign(inquiry, two.device()).unwrap();
    yard.reply(two).unwrap();
    assert_eq!(two.show(inquiry).unwrap().text("question"), Some("canary-question"), "and a scout it is assigned to");
}

#[test]
fn a_change_that_the_office_holds_behind_a_gap_is_one_value_on_its_phone() {
    let yard = Yard::new(55, 1).unwrap();
    let (one, office) = (&yard.phones[0], yard.office.notebook());
    save(one, Kind::Plant, json!({"host": "elm"})).unwrap();
    let plant = save(one, Kind::Plant, json!({"host": "oak"})).unwrap();
    // The second change alone: the reply shows it, and no receipt covers it.
    office.take_segment(one.segment_after(&one.own_log(), 1).unwrap().unwrap()).unwrap();
    assert_eq!(yard.reply(one).unwrap().received, 0);
    edit(one, Kind::Plant, plant, json!({"host": "ash"})).unwrap();
    assert_eq!(one.history(plant).unwrap().len(), 2);
    let taken = yard.take_in(&yard.bundle(one, "1.yard").unwrap()).unwrap();
    assert_eq!((taken.report.new, taken.report.repeated), (2, 1));
    assert_eq!(office.show(plant).unwrap().text("host"), Some("ash"));
    assert_eq!(office.conflicts().unwrap().len(), 0);
}
