//! Photos that leave the phone, files that are opened in the app, and the content that it speaks from.

use std::{fs, sync::Arc, sync::atomic::AtomicBool};

use super::*;
use crate::{
    archive::Writer,
    bundle::{Epoch, make_reply},
    enrol::{Answer, Invitation},
    key::{Source, file::PackFile},
    notebook::LetGo,
};

impl Phone {
    /// Hands over, and takes the office's answer; with `safe`, after a verified backup of the office.
    fn answered(&self, name: &str, safe: bool) {
        let path = self.path(name);
        hand_over(&self.view(), &path, &Job::silent()).unwrap();
        take_in(&self.office, &self.opener, &self.dir.path().join("office"), &path, &Job::silent()).unwrap();
        if safe {
            let seal = seal_identity(&[3; 32]).unwrap().to_public().to_string();
            let mut writer = Writer::create(&self.path("office.backup"), &[&seal]).unwrap();
            let (image, _) = self.office.back_up_whole(&mut writer, &Job::silent()).unwrap();
            self.office.mark_safe(&image).unwrap();
        }
        self.reply(name);
        self.book().take_reply(&self.path(&format!("{name}.reply")), &Job::silent()).unwrap();
    }

    fn reply(&self, name: &str) -> PathBuf {
        let out = self.path(&format!("{name}.reply"));
        let epoch = Epoch { n: 1, random: [9; 16] };
        make_reply(&self.office, &self.key, epoch, self.book().device(), &out).unwrap();
        out
    }

    /// A photo of some bytes more than the one before it.
    fn photo(&self, inquiry: RecordId, n: usize) -> PathBuf {
        let mut bytes = fs::read(photo_file()).unwrap();
        bytes.extend(std::iter::repeat_n(0, n));
        let file = self.path(&format!("{n}.jpg"));
        fs::write(&file, bytes).unwrap();
        import_photo(&self.view(), inquiry, None, "other", "", &file).unwrap();
        file
    }
}

#[test]
fn only_photos_proven_safe_are_offered_and_leave_and_their_small_pictures_stay() {
    let mut phone = phone();
    let (inquiry, _) = phone.tomato();
    let empty = let_go_offer(&phone.view()).unwrap();
    assert_eq!((empty.can, empty.lines.as_slice()), (false, &ids(&["No photo on this phone can leave it now."])[..]));
    phone.photo(inquiry, 1);
    phone.photo(inquiry, 2);
    let unproven = "2 photos stay: no answer of the office proves yet that they are safe there.";
    assert_eq!(let_go_offer(&phone.view()).unwrap().lines, [unproven]);
    phone.answered("stored.yard", false);
    assert_eq!(let_go_offer(&phone.view()).unwrap().lines, [unproven], "on the office's own disk only");
    phone.answered("safe.yard", true);
    phone.photo(inquiry, 3);
    let offer = let_go_offer(&phone.view()).unwrap();
    assert!(offer.can && offer.photos == 2 && offer.bytes > 1_000);
    assert!(offer.lines[0].starts_with("2 photos are proven to be safe at the office"), "{:?}", offer.lines);
    assert!(offer.lines[1].contains("small pictures stay") && offer.lines[2].starts_with("1 photo stays"));
    assert!(let_go_offer(&phone.spanish()).unwrap().lines[0].contains("2 fotos"));
    assert_eq!(inquiry_screen(&phone.view(), inquiry).unwrap().photos.iter().filter(|p| p.path.is_empty()).count(), 0);
    // Stopped after the first one: the other one goes when it is done again.
    let flag = Arc::new(AtomicBool::new(true));
    assert!(matches!(let_go(&phone.view(), &Job::silent().stopped_by(flag)), Err(crate::Error::Cancelled)));
    let view = phone.killed();
    assert_eq!(let_go_offer(&view).unwrap().photos, 1, "what was not removed yet is offered again");
    let lines = let_go(&view, &Job::silent()).unwrap();
    assert!(lines[0].starts_with("1 photo left this phone."), "{lines:?}");
    assert!(lines[1].starts_with("1 photo stays"));
    let photos = inquiry_screen(&view, inquiry).unwrap().photos;
    assert_eq!(photos.iter().filter(|p| p.path.is_empty()).count(), 2);
    assert!(photos.iter().all(|p| !p.small.is_empty()), "small pictures stay");
    assert_eq!(let_go(&view, &Job::silent()).unwrap()[0], "No photo left this phone.");
    assert_eq!(view.notebook.letting_go().unwrap(), LetGo::Nothing, "the rule is not changed");
    view.notebook.set_letting_go(LetGo::OriginalsAndContacts).unwrap();
    assert!(let_go_offer(&view).unwrap().lines.last().unwrap().contains("names and numbers"));
}

#[test]
fn without_an_office_no_photo_leaves() {
    let phone = new_phone();
    let (inquiry, _) = phone.tomato();
    phone.photo(inquiry, 1);
    let offer = let_go_offer(&phone.view()).unwrap();
    assert!(!offer.can && offer.lines[0].contains("belongs to no office yet"), "{:?}", offer.lines);
    let lines = let_go(&phone.view(), &Job::silent()).unwrap();
    assert_eq!(lines[0], "No photo left this phone.");
    assert!(!inquiry_screen(&phone.view(), inquiry).unwrap().photos[0].path.is_empty());
}

#[test]
fn a_file_that_is_opened_is_told_for_what_it_is() {
    let phone = phone();
    phone.tomato();
    phone.answered("one.yard", false);
    let view = phone.view();
    back_up(&view, &phone.path("own.backup"), &Job::silent()).unwrap();
    write_own_data(&view, &phone.path("own.zip"), &Job::silent()).unwrap();
    let third = Notebook::create(&phone.path("third"), Env::seeded(77, &phone.clock)).unwrap();
    let other = View::new(&third, &PACK, names(Language::En), &phone.reader);
    back_up(&other, &phone.path("other.backup"), &Job::silent()).unwrap();
    let source = Source::from_folder(&PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../fixtures/packs/landscape"));
    let source = source.unwrap();
    let pack = PackFile::make(&source, source.pack.date.parse().unwrap(), &[&Signing::from_seed(&[8; 32])], &[]);
    let pack = pack.unwrap().bytes().to_vec();
    fs::write(phone.path("a.pack"), &pack).unwrap();
    fs::write(phone.path("cut.pack"), &pack[..pack.len() / 2]).unwrap();
    let answer = Answer { signed_card: None, statement: vec![7; 90] }.to_text();
    fs::write(phone.path("answer.txt"), format!("\n{answer}\n")).unwrap();
    fs::write(phone.path("wrong.txt"), answer.replace('.', "")).unwrap();
    let invited =
        Invited { code: [7; 16], role: Role::Scout, label: "Scout 9".into(), made_ms: MONDAY, expires_ms: MONDAY + 1 };
    let code = Invitation::new(phone.signed_card.clone(), invited).unwrap().to_text().unwrap();
    fs::write(phone.path("code.txt"), code).unwrap();
    let reply = phone.reply("one.yard");
    let whole = fs::read(&reply).unwrap();
    fs::write(phone.path("cut.yard"), &whole[..whole.len() / 2]).unwrap();
    for (name, bytes) in
        [("empty", &b""[..]), ("letter.txt", b"Dear Wren"), ("x.zip", b"PK\x03\x04no zip"), ("half", &whole[..4])]
    {
        fs::write(phone.path(name), bytes).unwrap();
    }
    let told = |name: &str| {
        let file = file_kind(&view, &phone.path(name)).unwrap();
        (file.kind, !file.held.is_empty())
    };
    for (name, kind, held) in [
        ("one.yard.reply", FileKind::Reply, false),
        ("one.yard", FileKind::Bundle, true),
        ("cut.yard", FileKind::Bundle, true),
        ("own.backup", FileKind::Backup, false),
        ("other.backup", FileKind::Backup, true),
        ("own.zip", FileKind::OwnData, false),
        ("a.pack", FileKind::Pack, false),
        ("cut.pack", FileKind::Pack, true),
        ("answer.txt", FileKind::AnswerCode, false),
        ("wrong.txt", FileKind::AnswerCode, true),
        ("code.txt", FileKind::OfficeCode, false),
        ("empty", FileKind::Other, true),
        ("letter.txt", FileKind::Other, true),
        ("x.zip", FileKind::Other, true),
        ("half", FileKind::Other, true),
    ] {
        assert_eq!(told(name), (kind, held), "{name}");
    }
    assert_eq!(file_kind(&view, &phone.path("answer.txt")).unwrap().text, answer);
    assert!(file_kind(&other, &reply).unwrap().held.contains("sealed to"), "another phone's answer");
    assert!(file_kind(&view, &phone.path("cut.yard")).unwrap().held.contains("Nothing of it was used"));
    assert!(file_kind(&view, &phone.path("nothing")).is_err());
    assert!(file_kind(&view, phone.dir.path()).is_err(), "a folder");
    let [english, spanish] = [&view, &phone.spanish()].map(|v| file_kind(v, &phone.path("cut.pack")).unwrap().held);
    assert!(!spanish.is_empty() && spanish != english, "{spanish}");
}

#[test]
fn the_content_says_where_it_came_from_and_when_it_may_be_outdated() {
    let phone = phone();
    let screen = content(&phone.view(), false);
    assert_eq!(screen.name, PACK.title.get(Language::En));
    assert!(screen.outdated.is_empty() && screen.facts.iter().any(|f| f.text == "with the app"));
    assert!(screen.facts.iter().any(|f| f.label == "Version" && f.text == PACK.version.to_string()));
    let sent = content(&phone.spanish(), true);
    assert!(sent.facts.iter().any(|f| f.text.starts_with("de la oficina")));
    phone.clock.set(MONDAY + 20 * 365 * 86_400_000);
    let old = content(&phone.view(), false);
    assert!(old.outdated.contains("meant to be used until"), "{}", old.outdated);
    assert_eq!(today(&phone.view()).unwrap().notes, [old.outdated], "and the first screen says the same");
}
