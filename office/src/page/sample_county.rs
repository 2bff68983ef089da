//! A small county, for tests of the page: two phones that disagree on one count, and one sealed inquiry.

use std::{path::Path, sync::Arc, time::Duration};

use axum::Router;
use dooryard_core::{
    clock::{Env, SetClock},
    ids::RecordId,
    job::Job,
    notebook::Notebook,
    record::{Kind, Role},
};
use serde_json::{Value as Json, json};

use super::{
    asks::{Answer, get},
    guard::SLOWEST,
    routes,
};
use crate::{
    desk::Office,
    people::{Passwords, People, Role as PageRole, Session},
};

/// 20 July 2026, 10:42 in the county.
const MORNING: u64 = 1_784_562_120_000;

/// A small office behind its page.
pub struct County {
    _folder: tempfile::TempDir,
    pub router: Router,
    /// The office behind it.
    pub office: Arc<Office>,
    /// An inquiry.
    pub tomato: RecordId,
    /// Its site.
    pub site: RecordId,
    /// Who asked.
    pub contact: RecordId,
    pub sealed: RecordId,
    pub photo: RecordId,
    pub sealed_photo: RecordId,
    pub people: Arc<People>,
    pub clock: SetClock,
    sessions: Vec<Session>,
}

/// The password of every account.
pub const PASSWORD: &str = "beans and squash";

impl County {
    /// The session of somebody with this role; the account has the role's name.
    pub fn session(&self, role: PageRole) -> &Session {
        self.sessions.iter().find(|s| s.visitor.role == role).unwrap()
    }

    /// What somebody of this role sees at an address.
    pub fn see(&self, role: PageRole, uri: &str) -> Answer {
        get(uri).signed_in(self, role).send(self)
    }

    /// A new record, written at the office.
    pub fn save(&self, kind: Kind, fields: &Json) -> RecordId {
        save(self.office.notebook(), kind, fields)
    }

    /// What stands in one of the files that were handed in: `s3.yard`, `s3b.yard`, `s5.yard`, `letter.yard`.
    pub fn file(&self, name: &str) -> Vec<u8> {
        std::fs::read(self._folder.path().join(name)).unwrap()
    }

    /// A notebook that is no phone of the office's yet.
    pub fn notebook(&self, name: &str, seed: u64) -> Notebook {
        Notebook::create(&self._folder.path().join(name), Env::seeded(seed, &self.clock)).unwrap()
    }

    /// Its routes before the guard, with how slowly a form may arrive.
    pub fn laid_out(&self, slowest: Duration) -> (Arc<routes::Desk>, Router<Arc<routes::Desk>>) {
        routes::laid_out(self.office.clone(), self.people.clone(), Arc::new(crate::pack::starter().unwrap()), slowest)
    }
}

fn save(book: &Notebook, kind: Kind, fields: &Json) -> RecordId {
    book.save(kind, None, fields.as_object().unwrap()).unwrap()
}

fn phone(office: &Office, dir: &Path, label: &str, clock: &SetClock, seed: u64) -> Notebook {
    let book = Notebook::create(dir, Env::seeded(seed, clock)).unwrap();
    book.enrol(&office.add_device(&book.enrolment_request(), Role::Scout, label).unwrap()).unwrap();
    book
}

fn picture(path: &Path) {
    let mut bytes = Vec::new();
    let green = image::RgbImage::from_fn(900, 600, |x, y| image::Rgb([(x % 200) as u8, 120, (y % 90) as u8]));
    green.write_to(&mut std::io::Cursor::new(&mut bytes), image::ImageFormat::Jpeg).unwrap();
    std::fs::write(path, bytes).unwrap();
}

/// Two phones, three bundles and a file that is none; one inquiry is under seal.
pub fn county() -> County {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    let clock = SetClock::at(MORNING);
    let office = Office::create(&at("office"), "Larkspur County office", Env::seeded(1, &clock)).unwrap();
    let three = phone(&office, &at("s3"), "Scout 3", &clock, 3);
    let five = phone(&office, &at("s5"), "Scout 5", &clock, 5);

    let site = save(
        &three,
        Kind::Site,
        &json!({
            "township": "Sedge", "county": "Larkspur", "cell": "LK-0304", "address": "1 Teal Lane",
            "point": {"latitude": 43.5, "longitude": -87.25, "datum": "EPSG:4326", "method": "phone"},
        }),
    );
    let contact = save(&three, Kind::Contact, &json!({"reach": {"name": "Somebody Invented", "phone": "000 0000"}}));
    let tomato = save(
        &three,
        Kind::Inquiry,
        &json!({
            "opened": "2026-07-18T09:00:00-05:00[America/Chicago]", "channel": "email", "taken_by": "Scout 3",
            "question": "Is it <script>alert(1)</script> the blight?", "site": site.to_string(),
            "contact": contact.to_string(), "stops": ["wild_mushroom"],
        }),
    );
    let plant = save(
        &three,
        Kind::Plant,
        &json!({
            "inquiry": tomato.to_string(), "site": site.to_string(), "host": "tomato_family", "affected": 12, "present": 30,
        }),
    );
    let visit = save(
        &three,
        Kind::Visit,
        &json!({
            "inquiry": tomato.to_string(), "start": "2026-07-20T10:28:00-05:00[America/Chicago]", "observer": "Scout 3",
            "minutes": 34, "plants_looked_at": 30,
        }),
    );
    for (character, state, status, comfort) in [
        ("leaf_spot", Some("tan_dark_rim"), "seen", Some(3)),
        ("leaf_spot", Some("bullseye"), "absent", Some(2)),
        ("age_of_leaves_hit", Some("oldest_first"), "seen", Some(3)),
        ("soil_ph", None, "not_looked", None),
    ] {
        let mut finding =
            json!({"plant": plant.to_string(), "visit": visit.to_string(), "character": character, "status": status});
        if let Some(state) = state {
            finding["state"] = json!(state);
        }
        if let Some(comfort) = comfort {
            finding["comfort"] = json!(comfort);
        }
        save(&three, Kind::Finding, &finding);
    }
    picture(&at("leaf.jpg"));
    let shows = json!({"inquiry": tomato.to_string(), "part": "close_up", "caption": "Lowest leaf"});
    let photo = three.add_photo(&at("leaf.jpg"), shows.as_object().unwrap()).unwrap();

    let sealed = save(&three, Kind::Inquiry, &json!({"taken_by": "Scout 3", "summary": "Boxwood bare at the door"}));
    let shows = json!({"inquiry": sealed.to_string()});
    let sealed_photo = three.add_photo(&at("leaf.jpg"), shows.as_object().unwrap()).unwrap();
    save(&three, Kind::Alert, &json!({"inquiry": sealed.to_string(), "suspect": "the suspected one"}));

    let job = Job::silent();
    three.make_bundle(&at("s3.yard"), &job).unwrap();
    office.take_in(&at("s3.yard"), &job).unwrap();
    // The other phone learns of the plant by a reply; then both change one count without seeing each other.
    let device = office.device("Scout 5").unwrap();
    office.assign(tomato, device).unwrap();
    office.make_reply(device, &at("r5.yard"), &job).unwrap();
    five.take_reply(&at("r5.yard"), &job).unwrap();
    for (book, affected, minutes) in [(&three, 14, 5), (&five, 9, 9)] {
        clock.set(MORNING + minutes * 60_000);
        book.save(Kind::Plant, Some(plant), json!({"affected": affected}).as_object().unwrap()).unwrap();
    }
    for (book, name) in [(&three, "s3b.yard"), (&five, "s5.yard")] {
        book.make_bundle(&at(name), &job).unwrap();
        office.take_in(&at(name), &job).unwrap();
    }
    std::fs::write(at("letter.yard"), b"no bundle").unwrap();
    office.take_in(&at("letter.yard"), &job).unwrap();
    let office = Arc::new(office);
    let env = Env::seeded(11, &clock);
    let passwords = Passwords::with(&env, argon2::Params::new(8, 1, 1, None).unwrap()).unwrap();
    let people = Arc::new(People::open(office.folder(), env, passwords).unwrap());
    let sessions = PageRole::ALL.map(|role| {
        people.add_account(role.name(), role, PASSWORD).unwrap();
        people.sign_in(role.name(), PASSWORD, None).unwrap()
    });
    let (desk, routes) =
        routes::laid_out(office.clone(), people.clone(), Arc::new(crate::pack::starter().unwrap()), SLOWEST);
    County {
        _folder: folder,
        router: routes::guarded(desk, routes),
        office,
        site,
        contact,
        tomato,
        sealed,
        photo,
        sealed_photo,
        people,
        clock,
        sessions: sessions.into(),
    }
}
