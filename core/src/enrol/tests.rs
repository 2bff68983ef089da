//! The three texts between an office and a phone: whole, changed on the way, and with somebody in the middle.

use super::*;
use crate::{
    clock::{Env, SetClock},
    enrol::text::{Kind, pack, unpack},
    error::Code,
    log::{Body, Cert, FormerKey},
    notebook::{Card, DeviceKeys, Notebook, write_answer},
    record::Role,
    sign::Signing,
};

struct Scene {
    dir: tempfile::TempDir,
    signing: Signing,
    card: Card,
    signed_card: Vec<u8>,
    office: Notebook,
    phone: Notebook,
}

fn scene() -> Scene {
    let dir = tempfile::tempdir().unwrap();
    let clock = SetClock::at(1_777_636_800_000);
    let book = |name: &str, seed| Notebook::create(&dir.path().join(name), Env::seeded(seed, &clock)).unwrap();
    let (office, phone) = (book("office", 1), book("phone", 2));
    let (root, signing) = (Signing::from_seed(&[1; 32]), Signing::from_seed(&[2; 32]));
    let keys = DeviceKeys::new(&Env::seeded(3, &clock)).unwrap();
    let recipient = keys.seal.to_public().to_string();
    let card = Card {
        root: root.public(),
        key: signing.public(),
        seal: recipient.clone(),
        recovery: recipient,
        name: "Larkspur County office".into(),
        serial: 2,
        former: vec![FormerKey { key: Signing::from_seed(&[9; 32]).public(), last: 0 }],
    };
    let signed_card = card.sign(&root);
    let own = crate::notebook::Request::read(&office.enrolment_request()).unwrap();
    let first = crate::log::Statement {
        seq: 1,
        prev: crate::ids::Hash32::ZERO,
        body: Body::Cert(Cert { key: own.key, seal: own.seal, role: Role::Office, label: "Office".into(), seq: 1 }),
    };
    office.enrol(&write_answer(&signed_card, &[first.sign(&signing, &card.office()).0])).unwrap();
    Scene { dir, signing, card, signed_card, office, phone }
}

impl Scene {
    fn invitation(&self) -> Invitation {
        let made_ms = 1_777_636_800_000;
        let invited =
            Invited { code: [7; 16], role: Role::Scout, label: "Scout 3".into(), made_ms, expires_ms: made_ms + 1_000 };
        Invitation::new(self.signed_card.clone(), invited).unwrap()
    }

    fn answer(&self, ask: &Ask) -> Answer {
        let (key, seal) = (ask.request.key, ask.request.seal.clone());
        let say = |seq| Body::Cert(Cert { key, seal, role: Role::Scout, label: "Scout 3".into(), seq });
        Answer { signed_card: None, statement: self.office.say(&self.signing, say).unwrap() }
    }
}

#[test]
fn three_texts_make_a_phone_one_of_the_offices_and_both_sides_see_the_same_words() {
    let s = scene();
    let text = s.invitation().to_text().unwrap();
    let invitation = Invitation::from_text(&text).unwrap();
    assert_eq!(invitation, s.invitation());
    s.phone.join(&invitation).unwrap();
    assert_eq!(s.phone.role().unwrap(), (Role::Scout, "Scout 3".into()));
    let ask = Ask::from_text(&s.phone.ask().unwrap().unwrap().to_text().unwrap()).unwrap();
    ask.check(&[7; 16], &s.card.root).unwrap();
    assert_eq!(ask.words(&s.card).unwrap(), s.phone.check_words().unwrap());
    let answer = Answer::from_text(&s.answer(&ask).to_text()).unwrap();
    s.phone.take_answer(&answer).unwrap();
    assert!(s.phone.ask().unwrap().is_none(), "a phone with a certificate asks no more");
    assert_eq!(s.phone.role().unwrap(), (Role::Scout, "Scout 3".into()));
    // 483 letters are what a QR code of version 13 holds at level M: 69 modules a side.
    for text in [text, ask.to_text().unwrap(), answer.to_text()] {
        assert!(text.len() <= 483, "{} letters", text.len());
        assert!(text.chars().all(|c| "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:".contains(c)), "{text}");
    }
}

#[test]
fn an_answer_for_another_phone_or_of_another_office_is_refused() {
    let s = scene();
    s.phone.join(&s.invitation()).unwrap();
    let other = DeviceKeys::new(&Env::seeded(9, &SetClock::at(0))).unwrap();
    let theirs = s.answer(&Ask::new(other.request(), &[7; 16], &s.card.root).unwrap());
    assert_eq!(s.phone.take_answer(&theirs).unwrap_err().code(), Some(Code::NotForUs));
    let root = Signing::from_seed(&[5; 32]);
    let card = Card { root: root.public(), ..s.card.clone() };
    let foreign = Invitation::new(card.sign(&root), s.invitation().invited).unwrap();
    assert_eq!(s.phone.join(&foreign).unwrap_err().code(), Some(Code::NotForUs));
}

#[test]
fn a_changed_byte_is_refused_even_with_a_check_made_to_fit() {
    let s = scene();
    let flip = |kind: Kind, text: &str, refused: &dyn Fn(&str) -> bool| {
        let body = unpack(kind, text).unwrap();
        for at in 0..body.len() {
            let mut flipped = body.clone();
            flipped[at] ^= 1;
            assert!(refused(&pack(kind, &flipped)), "byte {at} of {}, {kind:?}", body.len());
        }
    };
    // In the invitation everything that the root signed; the rest is the code, and what the office decides by its own notes.
    let known = s.invitation();
    flip(Kind::Invitation, &known.to_text().unwrap(), &|text| {
        Invitation::from_text(text).is_err_and(|e| e.code().is_some())
            || Invitation::from_text(text).is_ok_and(|i| i.card == known.card && i.invited != known.invited)
    });
    s.phone.join(&known).unwrap();
    let ask = s.phone.ask().unwrap().unwrap();
    flip(Kind::Ask, &ask.to_text().unwrap(), &|text| {
        let read = Ask::from_text(text);
        read.is_err() || read.is_ok_and(|a| a.code_id != ask.code_id || a.check(&[7; 16], &s.card.root).is_err())
    });
    flip(Kind::Answer, &s.answer(&ask).to_text(), &|text| {
        Answer::from_text(text).and_then(|answer| s.phone.take_answer(&answer)).is_err()
    });
    assert!(s.phone.ask().unwrap().is_some(), "no changed answer made it the office's");
}

#[test]
fn somebody_in_the_middle_without_the_code_is_refused_and_with_it_shows_other_words() {
    let s = scene();
    // The middle shows the phone an office of its own, and the office a phone of its own.
    let root = Signing::from_seed(&[66; 32]);
    let card = Card { root: root.public(), ..s.card.clone() };
    let false_invitation = Invitation::new(card.sign(&root), s.invitation().invited).unwrap();
    s.phone.join(&Invitation::from_text(&false_invitation.to_text().unwrap()).unwrap()).unwrap();
    let from_phone = s.phone.ask().unwrap().unwrap();
    assert_eq!(from_phone.check(&[7; 16], &s.card.root).unwrap_err().code(), Some(Code::WrongCode), "another root");
    let middle = DeviceKeys::new(&Env::seeded(77, &SetClock::at(0))).unwrap();
    let guessed = Ask::new(middle.request(), &[8; 16], &s.card.root).unwrap();
    assert_eq!(guessed.check(&[7; 16], &s.card.root).unwrap_err().code(), Some(Code::WrongCode), "another code");
    // Who saw the paper has the code: only the words tell.
    let knowing = Ask::new(middle.request(), &[7; 16], &s.card.root).unwrap();
    knowing.check(&[7; 16], &s.card.root).unwrap();
    assert_ne!(knowing.words(&s.card).unwrap(), s.phone.check_words().unwrap());
    assert_ne!(from_phone.words(&s.card).unwrap(), s.phone.check_words().unwrap(), "the root alone");
}

#[test]
fn a_phone_keeps_what_it_wrote_before_the_invitation_before_the_certificate_and_after() {
    let s = scene();
    let fields = serde_json::json!({"township": "Sedge"});
    let fields = fields.as_object().unwrap();
    let early = s.phone.save(crate::record::Kind::Site, None, fields).unwrap();
    s.phone.join(&s.invitation()).unwrap();
    let id = s.phone.save(crate::record::Kind::Site, None, fields).unwrap();
    let clock = SetClock::at(1_777_636_800_000);
    let again = Notebook::open(&s.dir.path().join("phone"), Env::seeded(4, &clock)).unwrap();
    let all_count = || {
        for id in [early, id] {
            assert_eq!(again.show(id).unwrap().text("township"), Some("Sedge"));
            assert!(again.history(id).unwrap().iter().all(|entry| entry.waiting.is_none()));
        }
    };
    all_count();
    // The certificate comes: what was written before it goes on counting.
    let answer = s.answer(&again.ask().unwrap().unwrap());
    again.take_answer(&answer).unwrap();
    all_count();
    again.rebuild().unwrap();
    all_count();
}

#[test]
fn a_label_stands_for_a_person_and_is_neither_empty_nor_long() {
    let s = scene();
    for label in ["", "  ", &"x".repeat(41)] {
        let invited = Invited { label: label.into(), ..s.invitation().invited };
        assert_eq!(Invitation::new(s.signed_card.clone(), invited).unwrap_err().code(), Some(Code::Schema));
    }
}
