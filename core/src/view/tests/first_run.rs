//! A phone that belongs to no office: everything is kept, and goes over to the office whose code is taken.

use std::fs;

use serde_json::json;

use super::*;
use crate::{
    Code, Error,
    enrol::Invitation,
    notebook::{DeviceKeys, OwnerOnlyFile, Query, Way},
    record::Kind,
};

impl Phone {
    fn invitation(&self) -> Invitation {
        let (made_ms, expires_ms) = (MONDAY - 1_000, MONDAY + 86_400_000);
        let label = "Scout 3".into();
        let invited = Invited { code: [7; 16], role: Role::Scout, label, made_ms, expires_ms };
        Invitation::new(self.signed_card.clone(), invited).unwrap()
    }

    /// Some of everything: typed and saved, private and not, a photo, something taken away, something written twice.
    fn fill(&mut self) -> (RecordId, RecordId) {
        let (inquiry, plant) = self.tomato();
        self.minutes(1);
        write(&self.view(), inquiry, "words", "Spots on the low leaves", true).unwrap();
        self.minutes(1);
        write(&self.view(), inquiry, "name", "Wren Somebody", true).unwrap();
        self.minutes(5);
        import_photo(&self.view(), inquiry, Some(plant), "whole", "", &photo_file()).unwrap();
        self.minutes(1);
        write_plant(&self.view(), inquiry, Some(plant), "present", "4", true).unwrap();
        self.minutes(60);
        write_plant(&self.killed(), inquiry, Some(plant), "present", "5", true).unwrap();
        let gone = begin(&self.view(), "").unwrap();
        self.minutes(1);
        write(&self.view(), gone, "words", "Nothing after all", true).unwrap();
        self.minutes(1);
        take_away(&self.view(), gone).unwrap();
        let back = begin(&self.view(), "").unwrap();
        self.minutes(1);
        take_away(&self.view(), back).unwrap();
        self.minutes(1);
        bring_back(&self.view(), back).unwrap();
        self.minutes(1);
        write(&self.view(), inquiry, "words", "Spots on the low leaves, and", false).unwrap();
        (inquiry, plant)
    }

    fn all(&self) -> Vec<RecordId> {
        let page = self.book().list(&Query { limit: 500, with_hidden: true, ..Query::default() }).unwrap();
        page.rows.iter().map(|row| row.id).collect()
    }

    /// Everything that is shown, but for how the phone stands with an office and for the hashes of changes.
    fn shown(&self) -> Vec<String> {
        let (view, book) = (self.view(), self.book());
        let mut all = Vec::new();
        for id in self.all() {
            let record = book.show(id).unwrap();
            let fields = record.fields.iter().map(|f| {
                let others: Vec<_> = f.others.iter().map(|v| (&v.value, v.at_ms)).collect();
                (f.name.as_str(), &f.shown.value, f.shown.at_ms, others)
            });
            all.push(format!("{id} {:?} {} {:?}", record.kind, record.hidden, fields.collect::<Vec<_>>()));
            for save in book.history(id).unwrap() {
                let wrote: Vec<_> = save.wrote.iter().filter(|(name, _)| name != "existence").collect();
                all.push(format!("{} {:?} {wrote:?} {}", save.at_ms, save.waiting, save.wrote.len()));
            }
            if record.kind == Kind::Inquiry && !record.hidden {
                all.push(all_of(&inquiry_screen(&view, id).unwrap()));
                all.push(all_of(&history(&view, id, "", 50).unwrap()));
                all.push(all_of(&ask(&view, id).unwrap()));
            }
        }
        all.push(all_of(&bin(&view, "", 20).unwrap()));
        all.push(all_of(&inquiries(&view, InquiryFilter::All, "spots", "", 20).unwrap()));
        all.push(all_of(&Today { notes: Vec::new(), ..today(&view).unwrap() }));
        all.push(all_of(&book.unhanded().unwrap()));
        all.push(all_of(&book.gaps().unwrap()));
        all.into_iter().map(|text| text.replace("Scout 3", "Scout")).collect()
    }

    /// Hands over and has it taken in: how many changes were new at the office, and how many were there.
    fn hand_over(&self, name: &str) -> (u64, u64) {
        let file = self.path(name);
        self.book().make_bundle(&file, &Job::silent()).unwrap();
        let report = take_in(&self.office, &self.opener, &self.path("scratch"), &file, &Job::silent()).unwrap();
        assert!(report.waiting.is_empty(), "{:?}", report.waiting);
        (report.new, report.repeated)
    }

    fn changes(&self) -> u64 {
        self.book().own_logs().unwrap().iter().map(|log| log.tip).sum()
    }
}

/// Compares line by line, so that a failure shows the one that differs.
fn same(now: &[String], before: &[String]) {
    now.iter().zip(before).for_each(|(now, before)| assert_eq!(now, before));
    assert_eq!(now.len(), before.len());
}

#[test]
fn without_an_office_everything_is_kept_and_handing_over_says_what_to_do() {
    let mut phone = new_phone();
    let (inquiry, _) = phone.fill();
    phone.killed();
    let view = phone.view();
    let standing = first(view.notebook, &phone.reader).unwrap();
    assert_eq!(standing.standing, Enrolling::NotInvited);
    assert!(standing.lines.iter().any(|l| l.contains("kept here")) && standing.facts.is_empty());
    assert!(today(&view).unwrap().notes[0].contains("no office yet"));
    assert!(inquiry_screen(&view, inquiry).unwrap().way == Way::OnThisPhone);
    let page = hand_over_screen(&view, "", 20).unwrap();
    assert!(page.waits && page.what.contains("1 photo"), "{}", page.what);
    assert_eq!((page.rows.len(), page.notes[0].contains("Ask your county's office for its code")), (2, true));
    assert!(matches!(hand_over(&view, &phone.path("x.yard"), &Job::silent()), Err(Error::NotEnrolled)));
    assert!(!phone.path("x.yard").exists());
    assert!(
        ask(&view, inquiry).unwrap().fields.iter().any(|f| f.text.ends_with("leaves, and")),
        "typed words are kept"
    );
    // Backup, its merge, and one's own data, both ways.
    let lines = back_up(&view, &phone.path("own.backup"), &Job::silent()).unwrap();
    assert!(lines[1].contains("only this phone's key"), "{lines:?}");
    assert_eq!(merge_backup(&view, &phone.path("own.backup"), &Job::silent()).unwrap()[0], "0 changes were not here.");
    write_own_data(&view, &phone.path("own.zip"), &Job::silent()).unwrap();
    assert_eq!(bring_own_data(&view, &phone.path("own.zip"), &Job::silent()).unwrap()[0], "0 values were written.");
    let before = phone.shown();
    phone.book().rebuild().unwrap();
    same(&phone.shown(), &before);
}

#[test]
fn an_offices_code_takes_everything_over_and_the_office_has_it_once() {
    let mut phone = new_phone();
    let (inquiry, _) = phone.fill();
    settle_all(&phone.view()).unwrap();
    let (before, changes, own) = (phone.shown(), phone.changes(), phone.book().own_log());
    phone.book().join(&phone.invitation()).unwrap();
    same(&phone.shown(), &before);
    assert_eq!(first(phone.book(), &phone.reader).unwrap().standing, Enrolling::Asking);
    phone.killed();
    same(&phone.shown(), &before);
    assert_eq!((phone.book().own_log(), phone.changes()), (own, changes));
    phone.book().rebuild().unwrap();
    same(&phone.shown(), &before);
    // More of it after joining, then the certificate, then all of it to the office.
    write(&phone.view(), inquiry, "words", "Spots, now higher", true).unwrap();
    let answer = phone.answer("Scout 3");
    phone.book().enrol(&answer).unwrap();
    let more = phone.changes();
    assert_eq!(phone.hand_over("a.yard"), (more, 0));
    assert_eq!(phone.hand_over("b.yard"), (0, more), "the same once more brings nothing");
    for id in phone.all() {
        let (here, there) = (phone.book().show(id).unwrap(), phone.office.show(id).unwrap());
        assert_eq!(here.hidden, there.hidden, "{:?}", here.kind);
        for f in &here.fields {
            assert_eq!(there.get(&f.name), f.shown.value.as_ref(), "{:?} {}", here.kind, f.name);
        }
    }
    assert!(phone.office.conflicts().unwrap().is_empty());
    assert!(phone.office.gaps().unwrap().is_empty());
}

#[test]
fn an_enrolment_file_takes_everything_over_too() {
    let mut phone = new_phone();
    phone.fill();
    settle_all(&phone.view()).unwrap();
    let (before, changes) = (phone.shown(), phone.changes());
    let answer = phone.answer("Scout 3");
    phone.book().enrol(&answer).unwrap();
    phone.killed();
    same(&phone.shown(), &before);
    assert_eq!(phone.hand_over("a.yard"), (changes, 0));
}

#[test]
fn what_stands_in_the_file_after_joining_is_signed_for_the_office_and_nothing_of_before_is_left() {
    let mut phone = new_phone();
    phone.fill();
    phone.book().join(&phone.invitation()).unwrap();
    let conn = rusqlite::Connection::open(phone.path("phone/notebook.db")).unwrap();
    let one = |sql: &str| conn.query_row(sql, [], |row| row.get::<_, Vec<u8>>(0)).unwrap();
    let count = |sql: &str| conn.query_row(sql, [], |row| row.get::<_, i64>(0)).unwrap();
    assert_eq!(count("SELECT count(*) FROM fact WHERE hash NOT IN (SELECT hash FROM change)"), 0);
    assert!(count("SELECT count(*) FROM fact") > 20);
    let newest = one("SELECT hash FROM change ORDER BY seq DESC LIMIT 1");
    assert_eq!(one("SELECT value FROM meta WHERE key = 'last_tip'"), newest, "where the next log begins");
    let key = Request::read(&phone.book().enrolment_request()).unwrap().key;
    let signed = one("SELECT tip_signature FROM log");
    let tip = crate::log::Tip::verify(&signed, &phone.book().office().unwrap(), &key).unwrap();
    assert_eq!((tip.to, tip.hash.0.to_vec()), (phone.changes(), newest));
}

#[test]
fn what_is_no_code_of_an_office_changes_nothing_and_a_second_office_is_refused() {
    let mut phone = new_phone();
    phone.fill();
    let before = phone.shown();
    let mut tampered = phone.invitation();
    *tampered.signed_card.last_mut().unwrap() ^= 1;
    assert_eq!(phone.book().join(&tampered).unwrap_err().code(), Some(Code::BadSignature));
    let other = DeviceKeys::new(&Env::seeded(99, &phone.clock)).unwrap();
    let request = Request::read(&other.request()).unwrap();
    let foreign = Cert { key: request.key, seal: request.seal, role: Role::Scout, label: "Scout 9".into(), seq: 2 };
    let said = phone.office.say(&phone.key, |seq| Body::Cert(Cert { seq, ..foreign })).unwrap();
    let refused = phone.book().enrol(&write_answer(&phone.signed_card, &[said])).unwrap_err();
    assert_eq!(refused.code(), Some(Code::NotForUs), "a file that certifies another phone");
    phone.killed();
    assert_eq!(first(phone.book(), &phone.reader).unwrap().standing, Enrolling::NotInvited);
    same(&phone.shown(), &before);
    begin(&phone.view(), "").unwrap();
    phone.book().join(&phone.invitation()).unwrap();
    let root = Signing::from_seed(&[50; 32]);
    let signed = card(&seal_identity(&[3; 32]).unwrap().to_public().to_string(), &root, &phone.key).sign(&root);
    let other = Invitation::new(signed, phone.invitation().invited).unwrap();
    let before = phone.shown();
    assert_eq!(phone.book().join(&other).unwrap_err().code(), Some(Code::NotForUs));
    same(&phone.shown(), &before);
}

#[test]
fn a_taking_over_that_is_stopped_half_way_leaves_all_as_it_was() {
    let mut phone = new_phone();
    phone.fill();
    let before = phone.shown();
    let path = phone.path("phone/notebook.db");
    let conn = rusqlite::Connection::open(&path).unwrap();
    let stop = format!(
        "CREATE TRIGGER stop BEFORE INSERT ON change WHEN NEW.seq = {} BEGIN SELECT RAISE(ABORT, 'stopped'); END",
        phone.changes() / 2
    );
    conn.execute_batch(&stop).unwrap();
    assert!(phone.book().join(&phone.invitation()).is_err());
    conn.execute_batch("DROP TRIGGER stop").unwrap();
    drop(conn);
    assert!(matches!(phone.book().card(), Err(Error::NotEnrolled)));
    same(&phone.shown(), &before);
    phone.killed();
    assert!(matches!(phone.book().card(), Err(Error::NotEnrolled)), "neither the card nor any of the changes");
    same(&phone.shown(), &before);
    phone.book().join(&phone.invitation()).unwrap();
    same(&phone.shown(), &before);
    let answer = phone.answer("Scout 3");
    phone.book().enrol(&answer).unwrap();
    assert_eq!(phone.hand_over("a.yard"), (phone.changes(), 0));
}

#[test]
fn two_values_that_stand_beside_each_other_go_over_as_two() {
    let mut phone = new_phone();
    let (inquiry, _) = phone.fill();
    settle_all(&phone.view()).unwrap();
    phone.notebook = None;
    // The folder was copied, and both copies were written in: what a device can do to itself.
    dooryard_copy(&phone.path("phone"), &phone.path("twin"));
    phone.killed();
    let twin = Notebook::open(&phone.path("twin"), Env::seeded(70, &phone.clock)).unwrap();
    let question = |text: &str| json!({ "question": text }).as_object().unwrap().clone();
    twin.save(Kind::Inquiry, Some(inquiry), &question("Asked in the copy")).unwrap();
    twin.back_up(&phone.path("twin.backup"), &Job::silent()).unwrap();
    phone.minutes(3);
    phone.book().save(Kind::Inquiry, Some(inquiry), &question("Asked here")).unwrap();
    let merged = phone.book().merge_backup(&phone.path("twin.backup"), &Job::silent()).unwrap();
    assert!(merged.new_log, "{merged:?}");
    assert_eq!(phone.book().conflicts().unwrap().len(), 1);
    let before = phone.shown();
    phone.book().join(&phone.invitation()).unwrap();
    same(&phone.shown(), &before);
    assert_eq!(phone.book().conflicts().unwrap().len(), 1);
}

#[test]
fn a_backup_made_before_comes_back_after_and_nothing_is_there_twice() {
    let mut phone = new_phone();
    phone.fill();
    settle_all(&phone.view()).unwrap();
    let before = phone.shown();
    phone.book().back_up(&phone.path("early.backup"), &Job::silent()).unwrap();
    phone.book().join(&phone.invitation()).unwrap();
    let answer = phone.answer("Scout 3");
    phone.book().enrol(&answer).unwrap();
    let changes = phone.changes();
    assert_eq!(phone.hand_over("a.yard"), (changes, 0));
    let again = phone.book().merge_backup(&phone.path("early.backup"), &Job::silent()).unwrap();
    assert_eq!((again.changes, again.here, again.new_log), (0, changes, false));
    // The database is lost, a new one joins, and the backup comes back into it.
    phone.notebook = None;
    for name in ["notebook.db", "notebook.db-wal", "notebook.db-shm"] {
        let _ = fs::remove_file(phone.path("phone").join(name));
    }
    phone.killed();
    begin(&phone.view(), "").unwrap();
    phone.book().join(&phone.invitation()).unwrap();
    phone.book().enrol(&answer).unwrap();
    let merged = phone.book().merge_backup(&phone.path("early.backup"), &Job::silent()).unwrap();
    assert_eq!((merged.changes, merged.here), (changes, 0));
    assert_eq!(phone.hand_over("b.yard"), (phone.changes() - changes, changes), "the office has it once");
    for line in before.iter().filter(|line| line.contains(" Finding ") || line.contains(" Plant ")) {
        assert!(phone.shown().contains(line), "{line}");
    }
    assert!(phone.office.conflicts().unwrap().is_empty());
}

#[test]
fn a_backup_put_in_the_place_of_a_lost_notebook_belongs_to_no_office_yet_and_joins() {
    let mut phone = new_phone();
    phone.fill();
    settle_all(&phone.view()).unwrap();
    let (before, changes) = (phone.shown(), phone.changes());
    phone.book().back_up(&phone.path("early.backup"), &Job::silent()).unwrap();
    phone.notebook = None;
    let folder = phone.path("phone");
    for name in ["notebook.db", "notebook.db-wal", "notebook.db-shm"] {
        let _ = fs::remove_file(folder.join(name));
    }
    let env = Env::seeded(71, &phone.clock);
    let restored = Notebook::restore_backup(&folder, &phone.path("early.backup"), env, &Job::silent()).unwrap();
    phone.notebook = Some(restored);
    same(&phone.shown(), &before);
    begin(&phone.view(), "").unwrap();
    phone.book().join(&phone.invitation()).unwrap();
    let answer = phone.answer("Scout 3");
    phone.book().enrol(&answer).unwrap();
    assert_eq!(phone.hand_over("a.yard"), (phone.changes(), 0));
    assert!(phone.changes() > changes && phone.office.gaps().unwrap().is_empty());
}

#[test]
fn what_a_damaged_file_holds_from_before_comes_back_with_and_without_an_office() {
    for joined in [false, true] {
        let mut phone = new_phone();
        let (inquiry, _) = phone.fill();
        settle_all(&phone.view()).unwrap();
        let (changes, all) = (phone.changes(), phone.all().len());
        phone.book().pause().unwrap();
        phone.notebook = None;
        fs::rename(phone.path("phone/notebook.db"), phone.path("phone/notebook.damaged-1")).unwrap();
        phone.killed();
        assert!(phone.all().is_empty());
        if joined {
            phone.book().join(&phone.invitation()).unwrap();
        }
        let got = phone.book().recover(&phone.path("phone/notebook.damaged-1")).unwrap();
        assert_eq!((got.changes, got.unreadable, phone.all().len()), (changes, 0, all), "joined: {joined}");
        assert_eq!(phone.book().recover(&phone.path("phone/notebook.damaged-1")).unwrap().here, changes);
        assert_eq!(inquiry_screen(&phone.view(), inquiry).unwrap().plants.len(), 1);
        if !joined {
            phone.book().join(&phone.invitation()).unwrap();
        }
        let answer = phone.answer("Scout 3");
        phone.book().enrol(&answer).unwrap();
        assert_eq!(phone.hand_over("a.yard"), (changes, 0));
    }
}

#[test]
fn the_key_file_alone_says_which_office_of_its_own_a_device_writes_for() {
    let phone = new_phone();
    let keys = DeviceKeys::read(&phone.path("phone/local/device.key"), &OwnerOnlyFile).unwrap();
    assert_eq!(keys.signing.device(), phone.book().device());
    assert_eq!(phone.book().role().unwrap(), (Role::Scout, "Scout".into()));
    assert!(matches!(phone.book().office(), Err(Error::NotEnrolled)));
    assert!(matches!(phone.book().check_words(), Err(Error::NotEnrolled)));
    assert!(phone.book().statements().unwrap().is_empty());
}

fn dooryard_copy(from: &std::path::Path, to: &std::path::Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap().flatten() {
        let target = to.join(entry.file_name());
        if entry.path().is_dir() {
            dooryard_copy(&entry.path(), &target);
        } else {
            fs::copy(entry.path(), target).unwrap();
        }
    }
}
