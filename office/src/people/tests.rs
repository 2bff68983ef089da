//! Accounts, sessions and delays over a real store and a clock that the tests set.

use argon2::Params;
use dooryard_core::clock::SetClock;

use super::{
    sessions::{IDLE_MS, WHOLE_MS},
    *,
};

const BEGIN: u64 = 1_784_562_120_000;
const GOOD: &str = "beans and squash";

struct Office {
    _folder: tempfile::TempDir,
    clock: SetClock,
    people: People,
}

impl Office {
    fn later(&self, ms: i64) {
        self.clock.set(self.clock.now_ms().checked_add_signed(ms).unwrap());
    }
}

/// An office with an admin called Wren and a reader called Finch.
fn office() -> Office {
    let folder = tempfile::tempdir().unwrap();
    let clock = SetClock::at(BEGIN);
    let env = Env::seeded(7, &clock);
    let passwords = Passwords::with(&env, Params::new(8, 1, 1, None).unwrap()).unwrap();
    let people = People::open(folder.path(), env, passwords).unwrap();
    people.add_account("Wren", Role::Admin, GOOD).unwrap();
    people.add_account("Finch", Role::Reader, GOOD).unwrap();
    Office { _folder: folder, clock, people }
}

fn signed_in(o: &Office, name: &str) -> Session {
    o.people.sign_in(name, GOOD, None).unwrap_or_else(|e| panic!("{name}: {e}"))
}

fn wait(result: Result<Session>) -> Option<u64> {
    match result {
        Err(Error::Wait { seconds }) => Some(seconds),
        Err(Error::Wrong) => None,
        Err(e) => panic!("{e}"),
        Ok(_) => panic!("signed in"),
    }
}

#[test]
fn a_name_and_its_password_sign_in_and_nothing_else_does() {
    let o = office();
    assert_eq!(signed_in(&o, " wREN ").visitor.role, Role::Admin);
    for (name, password) in [("Wren", "beans and squasH"), ("Wren", ""), ("Nobody", GOOD), ("", "")] {
        let refused = o.people.sign_in(name, password, None);
        assert!(matches!(refused, Err(Error::Wrong)), "{name}");
    }
}

#[test]
fn a_session_is_held_by_its_token_alone_and_only_its_hash_is_stored() {
    let o = office();
    let session = signed_in(&o, "Finch");
    let visitor = o.people.visitor(&session.token).unwrap().unwrap();
    assert_eq!((visitor.name.as_str(), visitor.role), ("Finch", Role::Reader));
    assert!(visitor.sent(&session.visitor.form_token) && !visitor.sent(&session.token) && !visitor.sent(""));
    let other = session.token.replace(&session.token[..1], if session.token.starts_with('0') { "1" } else { "0" });
    for token in ["", "x", &session.token[1..], &other, &session.visitor.form_token] {
        assert!(o.people.visitor(token).unwrap().is_none(), "{token}");
    }
    o.people.lock().execute_batch("PRAGMA wal_checkpoint(TRUNCATE)").unwrap();
    let bytes = std::fs::read(o._folder.path().join("people.db")).unwrap();
    let raw = hex::decode(&session.token).unwrap();
    for secret in [session.token.as_bytes(), &raw, GOOD.as_bytes()] {
        assert!(!bytes.windows(secret.len()).any(|w| w == secret));
    }
}

#[test]
fn a_session_ends_when_idle_and_at_the_end_of_the_day_in_any_case() {
    let o = office();
    let token = signed_in(&o, "Finch").token;
    let holds = || o.people.visitor(&token).unwrap().is_some();
    o.later(IDLE_MS - 1);
    assert!(holds());
    o.later(IDLE_MS - 1);
    assert!(holds(), "being used keeps it");
    o.later(IDLE_MS);
    assert!(!holds());

    let token = signed_in(&o, "Finch").token;
    let steps = WHOLE_MS / (IDLE_MS / 2);
    for step in 1..=steps {
        o.later(IDLE_MS / 2);
        assert_eq!(o.people.visitor(&token).unwrap().is_some(), step < steps, "after {step} half hours");
    }
}

#[test]
fn signing_out_ends_one_session_and_everywhere_ends_all_of_that_person() {
    let o = office();
    let [a, b, c] = std::array::from_fn(|_| signed_in(&o, "Finch"));
    let wren = signed_in(&o, "Wren");
    let held = |s: &Session| o.people.visitor(&s.token).unwrap().is_some();
    o.people.sign_out(&a.visitor).unwrap();
    assert!(!held(&a) && held(&b) && held(&c));
    o.people.sign_out_everywhere(&b.visitor).unwrap();
    assert!(!held(&b) && !held(&c) && held(&wren));
}

#[test]
fn tries_that_went_wrong_delay_the_account_and_the_right_one_begins_anew() {
    let o = office();
    let wrong = |name: &str| wait(o.people.sign_in(name, "wrong wrong wrong", None));
    for name in ["Finch", "Nobody"] {
        assert_eq!((wrong(name), wrong(name), wrong(name)), (None, None, None), "{name}");
        assert_eq!(wrong(name), Some(1), "{name}");
        assert_eq!(wait(o.people.sign_in(name, GOOD, None)), Some(1), "the right password waits too");
        o.later(1000);
        assert_eq!(wrong(name), None, "{name}");
        assert_eq!(wrong(name), Some(2), "{name}: doubled");
    }
    signed_in(&o, "Wren");
    o.later(2000);
    signed_in(&o, "Finch");
    assert_eq!((wrong("Finch"), wrong("Finch")), (None, None), "begins anew");
}

#[test]
fn nobody_is_locked_out_for_good_whatever_the_clock_does() {
    let o = office();
    for _ in 0..60 {
        o.later(15 * 60_000);
        assert_eq!(wait(o.people.sign_in("Finch", "wrong wrong wrong", None)), None);
    }
    assert_eq!(wait(o.people.sign_in("Finch", GOOD, None)), Some(900));
    o.later(-400 * 86_400_000);
    assert_eq!(wait(o.people.sign_in("Finch", GOOD, None)), Some(900), "a clock that was set back");
    o.later(900_000);
    signed_in(&o, "Finch");
}

#[test]
fn many_names_from_one_address_are_delayed_and_another_address_is_not() {
    let o = office();
    let from = |n: u32, address| wait(o.people.sign_in(&format!("Guess {n}"), "wrong wrong wrong", Some(address)));
    assert!((0..10).all(|n| from(n, "10.0.0.7").is_none()));
    assert_eq!(from(10, "10.0.0.7"), Some(1));
    assert_eq!(wait(o.people.sign_in("Finch", GOOD, Some("10.0.0.7"))), Some(1));
    o.people.sign_in("Finch", GOOD, Some("10.0.0.8")).unwrap();
    o.later(1000);
    o.people.sign_in("Finch", GOOD, Some("10.0.0.7")).unwrap();
    o.later(60_000);
    for n in 0..30 {
        let right = o.people.sign_in("Finch", GOOD, Some("10.0.0.9"));
        assert!(right.is_ok(), "after {n} that were right nobody waits");
    }
}

#[test]
fn tries_at_once_are_no_way_past_the_delay() {
    let o = office();
    let people = &o.people;
    let tried: usize = std::thread::scope(|scope| {
        let tries: Vec<_> = (0..12)
            .map(|_| scope.spawn(|| wait(people.sign_in("Finch", "wrong wrong wrong", None)).is_none()))
            .collect();
        tries.into_iter().map(|t| usize::from(t.join().unwrap())).sum()
    });
    assert_eq!(tried, 3, "only these looked at the password");
}

#[test]
fn the_first_link_makes_one_admin_once_within_its_hour() {
    let folder = tempfile::tempdir().unwrap();
    let clock = SetClock::at(BEGIN);
    let env = Env::seeded(9, &clock);
    let passwords = Passwords::with(&env, Params::new(8, 1, 1, None).unwrap()).unwrap();
    let people = People::open(folder.path(), env, passwords).unwrap();
    let old = people.first_link().unwrap().unwrap();
    clock.set(BEGIN + 3_600_000);
    assert!(matches!(people.look_at_link(&old), Err(Error::LinkGone)), "an hour is over");
    let link = people.first_link().unwrap().unwrap();
    assert_eq!(people.look_at_link(&link).unwrap(), Invited::First);
    assert!(matches!(people.use_link(&link, "Wren", "too short"), Err(Error::ShortPassword)));
    assert!(matches!(people.use_link(&link, "\n", GOOD), Err(Error::BadName)));
    let session = people.use_link(&link, "Wren", GOOD).unwrap();
    assert_eq!(session.visitor.role, Role::Admin);
    assert!(matches!(people.use_link(&link, "Second", GOOD), Err(Error::LinkGone)));
    assert_eq!(people.first_link().unwrap(), None, "somebody can sign in now");
    assert_eq!(people.accounts().unwrap().len(), 1);
}

#[test]
fn the_first_link_is_good_no_longer_once_there_is_an_account() {
    let folder = tempfile::tempdir().unwrap();
    let env = Env::seeded(9, &SetClock::at(BEGIN));
    let passwords = Passwords::with(&env, Params::new(8, 1, 1, None).unwrap()).unwrap();
    let people = People::open(folder.path(), env, passwords).unwrap();
    let link = people.first_link().unwrap().unwrap();
    people.add_account("Wren", Role::Admin, GOOD).unwrap();
    assert!(matches!(people.look_at_link(&link), Err(Error::LinkGone)));
    assert!(matches!(people.use_link(&link, "Second", GOOD), Err(Error::LinkGone)));
}

#[test]
fn an_invited_person_chooses_the_password_and_a_new_link_ends_the_old_one() {
    let o = office();
    let wren = signed_in(&o, "Wren").visitor;
    let first = o.people.invite(Some(&wren), "Lark", Role::ScoutLead).unwrap();
    assert!(matches!(o.people.invite(Some(&wren), " lark", Role::Admin), Err(Error::NameTaken)));
    assert!(matches!(o.people.sign_in("Lark", "", None), Err(Error::Wrong)), "no password yet");
    let lark = o.people.account_named("Lark").unwrap();
    assert!(!lark.ready);
    let second = o.people.link(Some(&wren), lark.id).unwrap();
    assert!(matches!(o.people.use_link(&first, "", GOOD), Err(Error::LinkGone)));
    let session = o.people.use_link(&second, "Somebody Else", GOOD).unwrap();
    assert_eq!((session.visitor.name.as_str(), session.visitor.role), ("Lark", Role::ScoutLead));
    let third = o.people.link(None, lark.id).unwrap();
    o.people.use_link(&third, "", "another good one").unwrap();
    assert!(o.people.visitor(&session.token).unwrap().is_none(), "the sessions of before end");
    assert!(matches!(o.people.sign_in("Lark", GOOD, None), Err(Error::Wrong)));
}

#[test]
fn a_recovery_code_is_good_once_of_its_account_and_past_the_accounts_delay() {
    let o = office();
    let finch = signed_in(&o, "Finch");
    let codes = o.people.new_codes(&finch.visitor).unwrap();
    assert_eq!(codes.iter().collect::<std::collections::BTreeSet<_>>().len(), CODES);
    let tries = [(); 4].map(|()| wait(o.people.sign_in("Finch", "wrong wrong wrong", None)));
    assert_eq!(tries, [None, None, None, Some(1)]);
    let new = "a new good password";
    assert!(matches!(o.people.recover("Wren", &codes[0], new, None), Err(Error::Wrong)));
    assert!(matches!(o.people.recover("Finch", &codes[0], "short", None), Err(Error::ShortPassword)));
    let session = o.people.recover("finch", &codes[0].to_lowercase(), new, None).unwrap();
    assert_eq!(session.visitor.name, "Finch");
    assert!(o.people.visitor(&finch.token).unwrap().is_none());
    assert!(matches!(o.people.recover("Finch", &codes[0], new, None), Err(Error::Wrong)), "once");
    assert_eq!(o.people.account_named("Finch").unwrap().codes, 9);
    let newer = o.people.new_codes(&session.visitor).unwrap();
    assert!(matches!(o.people.recover("Finch", &codes[1], new, None), Err(Error::Wrong)), "replaced");
    o.people.recover("Finch", &newer[1], new, None).unwrap();
}

#[test]
fn codes_cannot_be_guessed_without_delay() {
    let o = office();
    let guess = || wait(o.people.recover("Finch", "0000-0000-0000-0000", GOOD, Some("127.0.0.1")));
    assert!((0..10).all(|_| guess().is_none()));
    assert_eq!(guess(), Some(1));
}

#[test]
fn a_role_counts_at_once_and_a_closed_account_is_out_at_once() {
    let o = office();
    let (wren, finch) = (signed_in(&o, "Wren").visitor, signed_in(&o, "Finch"));
    o.people.change_role(&wren, finch.visitor.account, Role::Reviewer).unwrap();
    assert_eq!(o.people.visitor(&finch.token).unwrap().unwrap().role, Role::Reviewer);
    let codes = o.people.new_codes(&finch.visitor).unwrap();
    o.people.close_account(&wren, finch.visitor.account).unwrap();
    assert!(o.people.visitor(&finch.token).unwrap().is_none());
    assert!(matches!(o.people.sign_in("Finch", GOOD, None), Err(Error::Wrong)));
    assert!(matches!(o.people.recover("Finch", &codes[0], GOOD, None), Err(Error::Wrong)));
    assert!(matches!(o.people.link(None, finch.visitor.account), Err(Error::NoAccount)));
    assert!(matches!(o.people.add_account("finch", Role::Reader, GOOD), Err(Error::NameTaken)), "the audit names it");
}

#[test]
fn the_only_admin_stays() {
    let o = office();
    let wren = signed_in(&o, "Wren").visitor;
    o.people.invite(Some(&wren), "Not yet", Role::Admin).unwrap();
    assert!(matches!(o.people.close_account(&wren, wren.account), Err(Error::LastAdmin)));
    assert!(matches!(o.people.change_role(&wren, wren.account, Role::Reader), Err(Error::LastAdmin)));
    let finch = o.people.account_named("Finch").unwrap().id;
    o.people.change_role(&wren, finch, Role::Admin).unwrap();
    o.people.close_account(&wren, wren.account).unwrap();
}

#[test]
fn another_password_needs_the_old_one_and_ends_the_other_sessions() {
    let o = office();
    let (here, there) = (signed_in(&o, "Finch"), signed_in(&o, "Finch"));
    let new = "a new good password";
    assert!(matches!(o.people.change_password(&here.visitor, "wrong wrong", new), Err(Error::Wrong)));
    assert!(matches!(o.people.change_password(&here.visitor, GOOD, "short"), Err(Error::ShortPassword)));
    o.people.change_password(&here.visitor, GOOD, new).unwrap();
    assert!(o.people.visitor(&here.token).unwrap().is_some() && o.people.visitor(&there.token).unwrap().is_none());
    o.people.sign_in("Finch", new, None).unwrap();
}

#[test]
fn the_audit_names_who_did_what_and_nothing_that_was_typed() {
    let o = office();
    let wren = signed_in(&o, "Wren").visitor;
    assert!(o.people.sign_in("Finch", "my secret phrase", None).is_err());
    assert!(o.people.sign_in("my secret phrase", "", None).is_err());
    o.people.note(&wren, Act::SawInquiry, Some("0197f0c0-0000-7000-8000-000000000000")).unwrap();
    let rows = o.people.audit(None).unwrap();
    let told: Vec<(Option<&str>, &str, Option<&str>)> =
        rows.iter().map(|row| (row.who.as_deref(), row.act.as_str(), row.about.as_deref())).collect();
    assert_eq!(
        told[..4],
        [
            (Some("Wren"), "saw_inquiry", Some("0197f0c0-0000-7000-8000-000000000000")),
            (None, "sign_in_refused", None),
            (None, "sign_in_refused", Some("2")),
            (Some("Wren"), "signed_in", None),
        ]
    );
    for _ in 0..120 {
        o.people.note(&wren, Act::SawPhoto, None).unwrap();
    }
    let newest = o.people.audit(None).unwrap();
    let older = o.people.audit(newest.last().map(|row| row.n)).unwrap();
    assert_eq!((newest.len(), older.len()), (100, 20 + rows.len()));
    assert_eq!(older[0].n + 1, newest[99].n, "no row is left out between two pages");
}
