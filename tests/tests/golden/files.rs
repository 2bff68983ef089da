//! The golden files: what each holds and how it came to be. Those that are sealed anew get other bytes each time; those that are
//! cut or changed from the outside are a function of the sealed ones.

use std::{
    collections::BTreeMap,
    fs,
    path::{Path, PathBuf},
};

use age::x25519::Identity;
use ciborium::Value;
use dooryard_core::{
    ids::RecordId,
    job::Job,
    log::{Segment, Slot},
    notebook::Notebook,
    record::Kind,
};
use dooryard_office::desk::Office;
use dooryard_tests::{
    edit,
    hand::Hand,
    save,
    wire::{self, HEADER, Outer, PHOTO, TEXT},
};
use serde_json::json;

use super::cast::{copy_of, env, office_key, phone, phone_key, resealed};

/// Files by name, below `fixtures/bundles`.
pub type Files = BTreeMap<&'static str, Vec<u8>>;

/// What one run of the play leaves.
pub struct Made {
    /// Gone with this.
    _dir: tempfile::TempDir,
    /// The office before any file came; and the phone before any reply came.
    pub office: PathBuf,
    pub phone: PathBuf,
    /// The sealed files.
    pub files: Files,
    /// Keys of everyone, to look inside.
    pub keys: Vec<Identity>,
}

/// The play from its seeds.
pub fn made() -> Made {
    let dir = tempfile::tempdir().unwrap();
    let place = |name: &str| dir.path().join(name);
    let office = Office::create(&place("at-work"), "Larkspur County", env(1)).unwrap();
    let one = phone(&place("one"), 2, &office, "Scout 1");
    let two = phone(&place("two"), 3, &office, "Scout 2");
    let lost = phone(&place("lost"), 4, &office, "Scout 3");
    office.revoke(lost.device()).unwrap();
    let office_before = copy_of(office.notebook(), office.folder(), &place("office"));

    let mut files = Files::new();
    let inquiry =
        json!({"channel": "yard", "language": "es", "summary": "Round spots", "question": "¿Qué tiene la hoja? 🍁"});
    let inquiry = save(&one, Kind::Inquiry, inquiry).unwrap();
    let plant =
        save(&one, Kind::Plant, json!({"inquiry": inquiry.to_string(), "host": "maple", "present": 4})).unwrap();
    save(&one, Kind::Finding, json!({"plant": plant.to_string(), "character": "leaf_spot", "status": "seen"})).unwrap();
    files.insert("to-office/first.yard", bundle(&one, &place("first.yard")));
    let copied = Notebook::open(&copy_of(&one, one.folder(), &place("copied")), env(20)).unwrap();
    edit(&one, Kind::Plant, plant, json!({"present": 5})).unwrap();
    let picture = place("leaf.jpg");
    dooryard_tests::picture(&picture).unwrap();
    let photo = json!({"plant": plant.to_string(), "part": "close_up"});
    one.add_photo(&picture, photo.as_object().unwrap()).unwrap();
    files.insert("to-office/whole.yard", bundle(&one, &place("whole.yard")));
    let phone_before = copy_of(&one, one.folder(), &place("phone"));
    edit(&copied, Kind::Plant, plant, json!({"present": 6})).unwrap();
    files.insert("to-office/fork.yard", bundle(&copied, &place("fork.yard")));
    drop(copied);

    let keys = [office_key(office.folder()), phone_key(one.folder()), phone_key(two.folder())];
    by_other_phones(&mut files, &place, &office_before, &lost);
    by_hand(&mut files, &one, &two, &office);
    replies(&mut files, &place, office, &one, &two, plant);
    files.insert("to-office/a-reply.yard", files["to-phone/first.yard"].clone());
    let to_office = keys[0].to_public().to_string();
    files.insert(
        "to-office/a-reply-resealed.yard",
        resealed(&files["to-phone/first.yard"], &keys[1], &to_office, |_| {}),
    );
    files.insert("to-phone/a-bundle.yard", files["to-office/first.yard"].clone());
    let to_phone = keys[1].to_public().to_string();
    files.insert(
        "to-phone/a-bundle-resealed.yard",
        resealed(&files["to-office/first.yard"], &keys[0], &to_phone, |_| {}),
    );
    let keys = keys.into_iter().chain([office_key(&place("next-door"))]).collect();
    Made { office: office_before, phone: phone_before, files, keys, _dir: dir }
}

fn bundle(phone: &Notebook, path: &Path) -> Vec<u8> {
    phone.make_bundle(path, &Job::silent()).unwrap();
    fs::read(path).unwrap()
}

fn by_other_phones(files: &mut Files, place: &impl Fn(&str) -> PathBuf, office: &Path, lost: &Notebook) {
    save(lost, Kind::Plant, json!({"host": "oak"})).unwrap();
    files.insert("to-office/revoked-device.yard", bundle(lost, &place("lost.yard")));

    // Certified by a twin of the office whose log was lost since.
    dooryard_tests::copy_folder(office, &place("twin")).unwrap();
    let twin = Office::open(&place("twin"), env(5)).unwrap();
    let stranger = phone(&place("stranger"), 6, &twin, "Scout 4");
    save(&stranger, Kind::Plant, json!({"host": "oak"})).unwrap();
    files.insert("to-office/unknown-device.yard", bundle(&stranger, &place("stranger.yard")));

    let next_door = Office::create(&place("next-door"), "Foxglove County", env(50)).unwrap();
    let theirs = phone(&place("theirs"), 51, &next_door, "Scout 1");
    save(&theirs, Kind::Plant, json!({"host": "oak"})).unwrap();
    let file = bundle(&theirs, &place("theirs.yard"));
    let to_us = office_key(office).to_public().to_string();
    let resealed = resealed(&file, &office_key(next_door.folder()), &to_us, |_| {});
    files.insert("to-office/other-office.yard", file);
    files.insert("to-office/other-recipient.yard", resealed);
}

fn by_hand(files: &mut Files, one: &Notebook, two: &Notebook, office: &Office) {
    let (hand, second) = (Hand::of(one, office.card()), Hand::of(two, office.card()));
    let key = office_key(office.folder());
    let first = files["to-office/first.yard"].clone();
    let to_us = hand.recipient.clone();
    files.insert("to-office/resealed.yard", resealed(&first, &key, &to_us, |_| {}));
    let later = one.segment_after(&hand.log, 3).unwrap().unwrap();
    files.insert("to-office/second.yard", hand.file(&[hand.manifest(4, 5), (2, later.to_cbor())]));

    let whole = one.segment_after(&hand.log, 0).unwrap().unwrap();
    let frames = [hand.manifest(1, 5), (2, whole.to_cbor()), (200, b"a kind of a later version".to_vec())];
    let mut outer = Outer::read(&hand.file(&frames)).unwrap();
    outer.parts.push((9, b"a kind of a later version".to_vec()));
    files.insert("to-office/unknown-kinds.yard", outer.write());

    files.insert(
        "to-office/flipped-envelope.yard",
        resealed(&first, &key, &to_us, |text| {
            let mut signed: Value = ciborium::from_reader(&text.envelope[..]).unwrap();
            let mut payload = wire::payload(&text.envelope).unwrap();
            payload.as_array_mut().unwrap()[7].as_bytes_mut().unwrap()[0] ^= 1;
            signed.as_array_mut().unwrap()[2] = Value::Bytes(wire::cbor(&payload).unwrap());
            text.envelope = wire::cbor(&signed).unwrap();
        }),
    );
    files.insert(
        "to-office/flipped-signature.yard",
        resealed(&first, &key, &to_us, |text| {
            *text.envelope.last_mut().unwrap() ^= 1;
        }),
    );
    files.insert(
        "to-office/flipped-frames.yard",
        resealed(&first, &key, &to_us, |text| {
            let middle = text.packed.len() / 2;
            text.packed[middle] ^= 1;
        }),
    );
    let mut flipped = whole.clone();
    *flipped.signature.last_mut().unwrap() ^= 1;
    files.insert("to-office/flipped-segment.yard", hand.file(&[hand.manifest(1, 5), (2, flipped.to_cbor())]));

    // The second change is lost; and once something else stands in place of the first, with a signature that cannot tell.
    let after_lost = |prev| {
        let mut segment =
            Segment::after_lost(&hand.office, hand.log, prev, vec![whole.hashes[1]], whole.changes[2..].to_vec());
        segment.close(&hand.key, &hand.office, 0);
        (2, segment.to_cbor())
    };
    let mut before = Segment::new(&hand.office, hand.log, whole.prev, whole.changes[..1].to_vec());
    before.close(&hand.key, &hand.office, 0);
    let lost = [hand.manifest(1, 5), (2, before.to_cbor()), after_lost(before.tip())];
    files.insert("to-office/lost-change.yard", hand.file(&lost));
    let mut forged = whole.changes[..1].to_vec();
    forged[0].slots[0] = Slot::Body { salt: [7; 16], value: vec![0x02] };
    let forged = Segment::new(&hand.office, hand.log, whole.prev, forged);
    let frames = [hand.manifest(1, 5), (2, forged.to_cbor()), after_lost(forged.tip())];
    files.insert("to-office/forged-before-lost.yard", hand.file(&frames));

    let zeros = zstd::encode_all(&vec![0; 8 << 20][..], 19).unwrap();
    files.insert("to-office/bomb.yard", hand.file_of(&zeros, 1_000));
    files.insert("to-office/deep.yard", hand.file(&[hand.manifest(1, 1), (2, vec![0x81; 10_000])]));
    files.insert("to-office/no-manifest.yard", hand.file(&[(2, whole.to_cbor())]));
    files.insert("to-office/forbidden-field.yard", second.one_change(110, |_| {}));
    files.insert("to-office/unknown-field.yard", second.one_change(199, |_| {}));
    files.insert("to-office/newer-change.yard", second.one_change(102, |head| head.crit = Some(vec![0x81, 0x01])));
    files.insert("to-office/unknown-erasure.yard", second.one_change(102, |head| head.generation = 3));
}

fn replies(
    files: &mut Files,
    place: &impl Fn(&str) -> PathBuf,
    mut office: Office,
    one: &Notebook,
    two: &Notebook,
    plant: RecordId,
) {
    let take = |office: &Office, files: &Files, name: &str| {
        fs::write(place("in.yard"), &files[name]).unwrap();
        office.take_in(&place("in.yard"), &Job::silent()).unwrap();
    };
    let reply = |office: &Office, to: &Notebook| {
        office.make_reply(to.device(), &place("out.yard"), &Job::silent()).unwrap();
        fs::read(place("out.yard")).unwrap()
    };
    take(&office, files, "to-office/first.yard");
    files.insert("to-phone/first.yard", reply(&office, one));
    take(&office, files, "to-office/whole.yard");
    files.insert("to-phone/second.yard", reply(&office, one));
    let newest = one.segment_after(&one.own_log(), 4).unwrap().unwrap();
    office.refuse(newest.changes[0].head.rec, newest.tip()).unwrap();
    files.insert("to-phone/refused-change.yard", reply(&office, one));
    office.erase(plant).unwrap();
    files.insert("to-phone/erasure.yard", reply(&office, one));
    take(&office, files, "to-office/fork.yard");
    files.insert("to-phone/restored.yard", reply(&office, one));

    let other = reply(&office, two);
    let to_one = phone_key(one.folder()).to_public().to_string();
    files.insert("to-phone/other-device-resealed.yard", resealed(&other, &phone_key(two.folder()), &to_one, |_| {}));
    files.insert("to-phone/other-device.yard", other);

    // Another life of the office's database begins, and then the earlier one speaks again.
    let kept = fs::read_to_string(office.folder().join("office.key")).unwrap();
    let folder = office.folder().to_owned();
    for (name, text, seed) in [
        ("to-phone/new-epoch.yard", kept.replace("\"epoch\": 1", "\"epoch\": 2"), 60),
        ("to-phone/earlier-epoch.yard", kept, 61),
    ] {
        fs::write(folder.join("office.key"), text).unwrap();
        drop(office);
        office = Office::open(&folder, env(seed)).unwrap();
        files.insert(name, reply(&office, one));
    }

    let hand = Hand::of_office(&folder, office.card(), one);
    let (first, key) = (files["to-phone/first.yard"].clone(), phone_key(one.folder()));
    let frames = Outer::read(&first).unwrap().text(&key).unwrap().frames().unwrap();
    let receipt = frames.iter().position(|(kind, _)| *kind == 4).unwrap();
    let mut forged = frames.clone();
    *forged[receipt].1.last_mut().unwrap() ^= 1;
    files.insert("to-phone/forged-receipt.yard", hand.file(&forged));
    let mut none = frames.clone();
    none.remove(receipt);
    files.insert("to-phone/no-receipt.yard", hand.file(&none));
    let mut deep = frames.clone();
    deep.push((5, vec![0x81; 10_000]));
    files.insert("to-phone/deep.yard", hand.file(&deep));
    let zeros = zstd::encode_all(&vec![0; 8 << 20][..], 19).unwrap();
    files.insert("to-phone/bomb.yard", hand.file_of(&zeros, 1_000));
    files.insert(
        "to-phone/flipped-signature.yard",
        resealed(&first, &key, &to_one, |text| {
            *text.envelope.last_mut().unwrap() ^= 1;
        }),
    );
}

/// Files that are a function of sealed ones: cut, or changed from the outside.
pub fn derived(files: &Files) -> Files {
    let mut derived = Files::new();
    let (first, whole) = (&files["to-office/first.yard"], &files["to-office/whole.yard"]);
    let reply = &files["to-phone/first.yard"];
    let text_end = |file: &[u8]| HEADER + 41 + Outer::read(file).unwrap().parts[0].1.len();
    let flipped = |file: &[u8], at: usize| {
        let mut file = file.to_vec();
        file[at] ^= 1;
        file
    };
    let version = |file: &[u8]| [&file[..8], &[9], &file[9..]].concat();
    derived.insert("to-office/cut-in-header.yard", first[..5].to_vec());
    derived.insert("to-office/cut-in-length.yard", first[..HEADER + 5].to_vec());
    derived.insert("to-office/cut-in-text.yard", first[..first.len() / 2].to_vec());
    derived.insert("to-office/cut-after-text.yard", first[..text_end(first)].to_vec());
    derived.insert("to-office/cut-in-photo.yard", whole[..whole.len() - 200].to_vec());
    derived.insert("to-office/flipped-magic.yard", flipped(first, 2));
    derived.insert("to-office/flipped-flags.yard", flipped(first, 10));
    derived.insert("to-office/flipped-text.yard", flipped(first, text_end(first) - 9));
    derived.insert("to-office/flipped-photo.yard", flipped(whole, text_end(whole) + 41 + 300));
    derived.insert("to-office/new-version.yard", version(first));
    let mut endless = first.clone();
    endless[HEADER + 1..HEADER + 9].fill(0xff);
    derived.insert("to-office/endless-part.yard", endless);
    let mut outer = Outer::read(whole).unwrap();
    outer.parts.swap(0, 1);
    assert_eq!([outer.parts[0].0, outer.parts[1].0], [PHOTO, TEXT]);
    derived.insert("to-office/photo-first.yard", outer.write());
    derived.insert("to-phone/cut-in-text.yard", reply[..reply.len() / 2].to_vec());
    derived.insert("to-phone/cut-after-text.yard", reply[..text_end(reply)].to_vec());
    derived.insert("to-phone/flipped-magic.yard", flipped(reply, 2));
    derived.insert("to-phone/flipped-flags.yard", flipped(reply, 10));
    derived.insert("to-phone/flipped-text.yard", flipped(reply, text_end(reply) - 9));
    derived.insert("to-phone/new-version.yard", version(reply));
    derived
}
