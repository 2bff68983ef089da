//! Replies, how the office is, and accounts that come back with a backup.

use axum::http::StatusCode;
use dooryard_core::{clock::Env, job::Job};

use super::{
    asks::{get, post},
    sample_county::{PASSWORD, county},
    tests_take_in::{acts, another_phone, see, sent},
    tests_uploads::arriving,
};
use crate::{
    desk::{LedgerChoice, Office, recovery_key},
    people::{Passwords, People, Role},
};

#[test]
fn a_reply_goes_to_its_phone_and_the_page_says_what_it_was_told() {
    let county = county();
    let (book, bundle) = another_phone(&county);
    sent(&county, &[("s9.yard", &bundle)]);
    let before = see(&county, "/phones", Role::ScoutLead);
    assert!(before.contains("nothing yet") && before.contains("2 changes here that no reply has said yet"), "{before}");
    let device = county.office.device("Scout 9").unwrap();
    let reply = |id: &str| post(&format!("/phones/{id}/reply"), &[]).signed_in(&county, Role::ScoutLead).send(&county);
    let answer = reply(&device.to_string());
    assert_eq!(answer.header("content-disposition"), "attachment; filename=\"reply-scout-9-1.yard\"");
    assert!(answer.bytes.len() as u64 > super::code::MOST, "no reply fits a code");
    let file = book.folder().join("reply.yard");
    std::fs::write(&file, &answer.bytes).unwrap();
    assert_eq!(book.take_reply(&file, &Job::silent()).unwrap().received, 2);
    let page = see(&county, "/phones", Role::Reader);
    assert!(
        page.contains("Reply 1,") && page.contains("2 changes, 0 pictures") && page.contains("stored at the office")
    );
    assert!(!page.contains("2 changes here that no reply"), "{page}");
    for wrong in ["0".repeat(32), "x".into(), county.office.notebook().device().to_string()] {
        assert_eq!(reply(&wrong).status, StatusCode::NOT_FOUND, "{wrong}");
    }
    assert_eq!(acts(&county).iter().filter(|act| *act == "made_reply").count(), 1);
    assert!(arriving(&county).is_empty(), "nothing is left of it here");
}

#[test]
fn all_replies_come_in_one_file() {
    let county = county();
    let answer = post("/phones/replies", &[]).signed_in(&county, Role::ScoutLead).send(&county);
    assert_eq!(answer.header("content-type"), "application/zip");
    let mut zip = zip::ZipArchive::new(std::io::Cursor::new(answer.bytes)).unwrap();
    let names: Vec<String> = (0..zip.len()).map(|at| zip.by_index(at).unwrap().name().unwrap().into_owned()).collect();
    assert_eq!(names.len(), 2);
    assert!(names[0].starts_with("reply-scout-3-") && names[1].starts_with("reply-scout-5-"), "{names:?}");
}

#[test]
fn the_pages_speak_spanish_too() {
    let county = county();
    for (uri, said) in [
        ("/take-in", "Traer paquetes"),
        ("/take-in/1", "Paquete de Scout 3"),
        ("/take-in/4", "No es un paquete de entrega"),
        ("/set-aside", "Archivos enteros"),
        ("/phones", "Invitar un teléfono"),
        ("/health-of-office", "Último respaldo"),
    ] {
        let answer = get(uri).header("accept-language", "es").signed_in(&county, Role::Admin).send(&county);
        assert!(answer.text().contains(said), "{uri}: {said} is missing in {}", answer.text());
    }
}

#[test]
fn the_office_says_how_it_is_and_how_old_its_last_backup_is() {
    let county = county();
    let page = see(&county, "/health-of-office", Role::Reader);
    for fact in ["None was made yet.", "make one now", "free of", "tables of the notebook", "dooryard office backup"] {
        assert!(page.contains(fact), "{fact} is missing in:\n{page}");
    }
    let out = tempfile::tempdir().unwrap();
    county.office.back_up(&out.path().join("county.backup"), false, &Job::silent()).unwrap();
    let page = see(&county, "/health-of-office", Role::Reader);
    assert!(page.contains("less than a day ago") && page.contains("none is off this machine"), "{page}");
    assert!(page.contains("county.backup") && !page.contains(&out.path().display().to_string()));
    assert!(see(&county, "/health-of-office", Role::Admin).contains(&out.path().display().to_string()));
    county.office.erase(county.tomato).unwrap();
    assert!(see(&county, "/health-of-office", Role::Reader).contains("no backup lacks one of them"));
    std::fs::remove_file(out.path().join("county.backup")).unwrap();
    county.office.erase(county.site).unwrap();
    let page = see(&county, "/health-of-office", Role::Reader);
    assert!(page.contains("1 backup does not know of all of it") && page.contains("cannot be reached now"), "{page}");
    // Within a session's time nothing grows old: another begins nine days later.
    county.clock.set(county.clock.now_ms() + 9 * 86_400_000);
    let later = county.people.sign_in("reader", PASSWORD, None).unwrap();
    let old = get("/health-of-office").held(&county, &later).send(&county).text();
    assert!(old.contains("9 days ago") && old.contains("make one now"), "{old}");
}

#[test]
fn accounts_come_back_with_a_backup_and_sessions_do_not() {
    let county = county();
    let (out, key) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    let (file, key) = (out.path().join("county.backup"), key.path().join("recovery.key"));
    std::fs::write(&key, county.office.recovery_key().unwrap()).unwrap();
    let link = county.people.invite(None, "Wren", Role::Reviewer).unwrap();
    assert!(county.office.back_up(&file, false, &Job::silent()).unwrap().accounts);
    let held = county.session(Role::Admin).token.clone();
    assert!(county.people.visitor(&held).unwrap().is_some());
    let place = tempfile::tempdir().unwrap();
    let dir = place.path().join("again");
    let (env, job) = (Env::seeded(5, &county.clock), Job::silent());
    let key = recovery_key(&key).unwrap();
    let back = Office::restore(&file, &dir, &key, &LedgerChoice::Beside, None, env, &job).unwrap();
    assert!(back.accounts);
    let env = Env::seeded(6, &county.clock);
    let passwords = Passwords::with(&env, argon2::Params::new(8, 1, 1, None).unwrap()).unwrap();
    let people = People::open(&dir, env, passwords).unwrap();
    let names = |people: &People| -> Vec<_> {
        people.accounts().unwrap().into_iter().map(|a| (a.name, a.role.name(), a.ready)).collect()
    };
    assert_eq!(names(&people), names(&county.people));
    assert!(people.accounts().unwrap().iter().all(|account| account.sessions == 0));
    assert!(people.visitor(&held).unwrap().is_none(), "a session came back");
    assert!(people.look_at_link(&link).is_err(), "a link came back");
    assert!(people.sign_in("admin", PASSWORD, None).is_ok());
    assert!(people.audit(None).unwrap().iter().any(|row| row.act == "made_account"), "the audit came back");
    // What stands there is newer than a backup, and stays.
    people.add_account("Tern", Role::Reader, PASSWORD).unwrap();
    let (env, job) = (Env::seeded(7, &county.clock), Job::silent());
    let merged = Office::restore(&file, &dir, &key, &LedgerChoice::Beside, None, env, &job).unwrap();
    assert!(!merged.accounts && people.account_named("Tern").is_ok());
    let left: Vec<_> = std::fs::read_dir(county.office.folder()).unwrap().flatten().map(|e| e.file_name()).collect();
    assert!(!left.iter().any(|name| name.to_string_lossy().starts_with("accounts")), "{left:?}");
}
