//! Tests of the screens, on a phone of an office unless they say otherwise: every step is followed by killing the app and opening it anew.

mod asking;
mod first_run;
mod handing;
mod keeping;
mod leaving;
mod looking;
mod over_time;
mod places;
mod sealed;
mod shots;
mod telling;
mod typing;
mod words;

use std::{
    path::PathBuf,
    sync::{LazyLock, OnceLock},
};

use super::{inquiry as inquiry_screen, plant as plant_screen, shots as shot_screen, *};
use crate::{
    bundle::{Opener, take_in},
    clock::{Env, SetClock},
    ids::{Hash32, RecordId},
    job::Job,
    key::{Pack, tests::landscape},
    log::{Body, Cert, Statement},
    notebook::{Card, Invited, Notebook, Request, seal_identity, write_answer},
    record::Role,
    sign::Signing,
    tell::Names,
    words::Language,
};

/// 20 July 2026, 10:42 in the county: a Monday.
const MONDAY: u64 = 1_784_562_120_000;

static PACK: LazyLock<Pack> = LazyLock::new(landscape);

fn names(language: Language) -> &'static Names {
    static NAMES: [OnceLock<Names>; 2] = [OnceLock::new(), OnceLock::new()];
    NAMES[usize::from(language == Language::Es)].get_or_init(|| Names::told_in(&PACK, language))
}

/// A phone and its office.
struct Phone {
    dir: tempfile::TempDir,
    clock: SetClock,
    notebook: Option<Notebook>,
    office: Notebook,
    opener: Opener,
    reader: Reader,
    signed_card: Vec<u8>,
    key: Signing,
}

fn card(seal: &str, root: &Signing, key: &Signing) -> Card {
    let recipient = seal.to_owned();
    Card {
        root: root.public(),
        key: key.public(),
        seal: recipient.clone(),
        recovery: recipient,
        name: "Larkspur County".into(),
        serial: 1,
        former: Vec::new(),
    }
}

/// A phone that belongs to the office.
fn phone() -> Phone {
    let phone = new_phone();
    phone.book().enrol(&phone.answer("Scout 3")).unwrap();
    phone
}

/// A phone that belongs to no office, and an office.
fn new_phone() -> Phone {
    let dir = tempfile::tempdir().unwrap();
    let clock = SetClock::at(MONDAY);
    let (root, key) = (Signing::from_seed(&[1; 32]), Signing::from_seed(&[2; 32]));
    let seal = seal_identity(&[3; 32]).unwrap();
    let card = card(&seal.to_public().to_string(), &root, &key);
    let office = Notebook::create(&dir.path().join("office"), Env::seeded(1, &clock)).unwrap();
    let notebook = Notebook::create(&dir.path().join("phone"), Env::seeded(2, &clock)).unwrap();
    let cert = |book: &Notebook| {
        let request = Request::read(&book.enrolment_request()).unwrap();
        let cert = Cert { key: request.key, seal: request.seal, role: Role::Office, label: "Office".into(), seq: 1 };
        Statement { seq: 1, prev: Hash32::ZERO, body: Body::Cert(cert) }.sign(&key, &card.office()).0
    };
    let signed_card = card.sign(&root);
    office.enrol(&write_answer(&signed_card, &[cert(&office)])).unwrap();
    let reader = Reader { language: Language::En, units: Units::Customary, zone: "America/Chicago".into() };
    Phone { dir, clock, notebook: Some(notebook), office, opener: Opener::of(&seal), reader, signed_card, key }
}

impl Phone {
    fn book(&self) -> &Notebook {
        self.notebook.as_ref().unwrap()
    }

    /// The office certifies the phone: its card, and the statements of its log.
    fn answer(&self, label: &str) -> Vec<u8> {
        let request = Request::read(&self.book().enrolment_request()).unwrap();
        let (key, seal) = (request.key, request.seal);
        let say = |seq| Body::Cert(Cert { key, seal, role: Role::Scout, label: label.into(), seq });
        self.office.say(&self.key, say).unwrap();
        write_answer(&self.signed_card, &self.office.statements().unwrap())
    }

    fn view(&self) -> View<'_> {
        View::new(self.book(), &PACK, names(self.reader.language), &self.reader)
    }

    fn spanish(&self) -> View<'_> {
        let reader = Reader { language: Language::Es, units: Units::Metric, ..self.reader.clone() };
        View::new(self.book(), &PACK, names(Language::Es), &reader)
    }

    /// The app is killed and opened anew.
    fn killed(&mut self) -> View<'_> {
        self.notebook = None;
        let folder = self.dir.path().join("phone");
        self.notebook = Some(Notebook::open(&folder, Env::seeded(self.clock.now_ms(), &self.clock)).unwrap());
        self.view()
    }

    fn path(&self, name: &str) -> PathBuf {
        self.dir.path().join(name)
    }

    fn minutes(&self, n: u64) {
        self.clock.set(self.clock.now_ms() + n * 60_000);
    }

    /// An inquiry about so many tomatoes.
    fn tomato(&self) -> (RecordId, RecordId) {
        let view = self.view();
        let inquiry = begin(&view, "").unwrap();
        let plant = write_plant(&view, inquiry, None, "host", "tomato_family", true).unwrap().plant.unwrap();
        (inquiry, plant)
    }
}

fn photo_file() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../fixtures/phones/leaf.jpg")
}

/// Every text of a screen, as `Debug` writes it: for what must stand nowhere.
fn all_of(screen: &impl std::fmt::Debug) -> String {
    format!("{screen:?}")
}

fn ids(words: &[&str]) -> Vec<String> {
    words.iter().map(|w| (*w).to_owned()).collect()
}

#[test]
fn an_invited_phone_writes_before_the_office_answered() {
    let dir = tempfile::tempdir().unwrap();
    let clock = SetClock::at(MONDAY);
    let notebook = Notebook::create(&dir.path().join("new"), Env::seeded(5, &clock)).unwrap();
    let reader = Reader::default();
    let screen = first(&notebook, &reader).unwrap();
    assert_eq!((screen.standing, screen.words.len()), (Enrolling::NotInvited, 0));
    assert!(screen.lines[1].contains("code"), "{:?}", screen.lines);
    let (root, key) = (Signing::from_seed(&[1; 32]), Signing::from_seed(&[2; 32]));
    let seal = seal_identity(&[3; 32]).unwrap().to_public().to_string();
    let made_ms = MONDAY - 1_000;
    let invited =
        Invited { code: [7; 16], role: Role::Scout, label: "Scout 9".into(), made_ms, expires_ms: MONDAY - 500 };
    let text = crate::enrol::Invitation::new(card(&seal, &root, &key).sign(&root), invited).unwrap().to_text().unwrap();
    let code = read_code(&notebook, &reader, &text).unwrap();
    assert!(code.to_confirm && code.words.len() == 6 && !code.warning.is_empty());
    assert_eq!(first(&notebook, &reader).unwrap().standing, Enrolling::NotInvited, "looking changes nothing");
    notebook.join(&crate::enrol::Invitation::from_text(&text).unwrap()).unwrap();
    let asking = first(&notebook, &reader).unwrap();
    assert_eq!((asking.standing, &asking.words), (Enrolling::Asking, &code.words));
    assert!(asking.ask.starts_with("DY2:"));
    let es = first(&notebook, &Reader { language: Language::Es, ..reader.clone() }).unwrap();
    assert_ne!(es.words, asking.words);
    let view = View::new(&notebook, &PACK, names(Language::En), &reader);
    let inquiry = begin(&view, "").unwrap();
    assert_eq!(today(&view).unwrap().notes.len(), 1);
    assert_eq!(inquiry_screen(&view, inquiry).unwrap().way, crate::notebook::Way::OnThisPhone);
}
