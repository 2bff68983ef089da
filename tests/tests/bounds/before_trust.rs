//! Files of strangers, and files that no signature holds together: next to no memory, and nothing changed.

use std::fs;

use ciborium::Value;
use dooryard_core::{Code, clock::Env, job::Job, record::Kind};
use dooryard_office::desk::Office;
use dooryard_tests::{
    Yard, hand, save,
    wire::{self, HEADER, Outer, TEXT, Text},
};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use serde_json::json;

use super::{AFTER_TRUST, BEFORE_TRUST, STRANGERS, Scene, peak, refused};

#[test]
fn a_stranger_s_file_takes_next_to_no_memory_and_a_known_phone_s_a_bounded_one() {
    let scene = Scene::new(61);
    let yard = &scene.yard;
    // Words that hardly pack: the text part is near the largest that there is.
    let mut random = ChaCha8Rng::seed_from_u64(63);
    for _ in 0..430 {
        let words: String = (0..15_900).map(|_| char::from(random.random_range(b'!'..=b'~'))).collect();
        save(&yard.phones[0], Kind::Inquiry, json!({"question": words})).unwrap();
    }
    let file = yard.bundle(&yard.phones[0], "large.yard").unwrap();
    let bytes = fs::read(&file).unwrap();
    assert!(bytes.len() > 5 << 20, "only {} bytes", bytes.len());

    let unknown = Office::open(&yard.file(STRANGERS), Env::seeded(64, &yard.clock)).unwrap();
    let mut worst = refused(&unknown, &file, Code::UnknownDevice);
    let other = Yard::new(65, 0).unwrap();
    worst = worst.max(refused(&other.office, &file, Code::NotForUs));
    let mut changed = |change: &dyn Fn(&mut Vec<u8>), code: Code| {
        let mut bytes = bytes.clone();
        change(&mut bytes);
        let path = scene.write(&bytes);
        drop(bytes);
        worst = worst.max(refused(&yard.office, &path, code));
    };
    changed(&|b| b[4 << 20] ^= 1, Code::PartHash);
    changed(&|b| b[HEADER + 1..HEADER + 9].fill(0xff), Code::TooBig);
    changed(&|b| b.truncate(4 << 20), Code::Cut);
    assert!(worst <= BEFORE_TRUST, "{worst} bytes before anything was trusted");

    let (taken, known) = peak(|| yard.take_in(&file).unwrap());
    assert_eq!((taken.report.new, taken.report.refused), (430, None));
    assert!(known <= AFTER_TRUST, "{known} bytes for a bundle of a known phone");
    assert!(known > BEFORE_TRUST, "the count sees what a real bundle takes");
    eprintln!(
        "{} KiB before trust, {:.1} MiB for a text part of {} MiB",
        worst >> 10,
        known as f64 / 1_048_576.0,
        bytes.len() >> 20
    );
}

/// Files that anyone can write who has the office's card.
fn of_strangers(scene: &Scene) -> Vec<(&'static str, Vec<u8>, Code)> {
    let recipient = scene.yard.office.card().seal.clone();
    let header = [&b"\x89YRD\r\n\x1a\n"[..], &[1, 0, 0, 0]].concat();
    let text =
        |envelope: Vec<u8>| hand::sealed(header.clone(), &Text { envelope, packed: vec![0; 1 << 20] }, &recipient);
    let part = |sealed: Vec<u8>| Outer { header: header.clone(), parts: vec![(TEXT, sealed)] }.write();
    let plain = |bytes: &[u8]| part(wire::seal(bytes, &[&recipient]).unwrap());
    // An envelope whose signature is a list of as many numbers as fit: each is one byte here and many in memory.
    let list = |n: usize| {
        let many = Value::Array(vec![0.into(); n]);
        let parts = vec![Value::Bytes(vec![]), Value::Map(vec![]), Value::Bytes(vec![]), many];
        wire::cbor(&Value::Array(parts)).unwrap()
    };
    let maps = wire::cbor(&Value::Array(vec![
        Value::Bytes(vec![]),
        Value::Map((0..900).map(|n: u32| (n.into(), Value::Null)).collect()),
        Value::Bytes(vec![]),
        Value::Bytes(vec![]),
    ]));
    let protected = wire::cbor(&Value::Array(vec![0.into(); 4_000])).unwrap();
    let protected = wire::cbor(&Value::Array(vec![
        Value::Bytes(protected),
        Value::Map(vec![]),
        Value::Bytes(vec![]),
        Value::Bytes(vec![0; 64]),
    ]));
    let keys: Vec<String> = (0..6).map(|_| age::x25519::Identity::generate().to_public().to_string()).collect();
    let strangers: Vec<&str> = keys.iter().map(String::as_str).collect();
    let stanza =
        b"-> X25519 AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA\nAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA\n";
    let endless = |stanzas: usize| {
        part([&b"age-encryption.org/v1\n"[..], &stanza.repeat(stanzas), b"--- AAAA\n", &[0; 1 << 20]].concat())
    };
    vec![
        ("numbers for a signature", text(list(4_000)), Code::Schema),
        ("a map for nothing", text(maps.unwrap()), Code::Schema),
        ("numbers under the signature", text(protected.unwrap()), Code::Schema),
        ("an envelope of zeros", text(vec![0; 4_096]), Code::Schema),
        ("nested too deep", text(vec![0x81; 4_096]), Code::Schema),
        ("bytes to the end of memory", text(vec![0x5b, 0x7f, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff]), Code::Schema),
        ("an envelope over its limit", plain(&[&[0xff, 0xff], &[0; 1 << 20][..]].concat()), Code::TooBig),
        ("no envelope", plain(&[]), Code::Schema),
        ("not sealed at all", part(vec![0; 8 << 20]), Code::Schema),
        ("sealed to six strangers", part(wire::seal(&[0; 1 << 20], &strangers).unwrap()), Code::NotForUs),
        ("a header whose last line never ends", endless(1), Code::Schema),
        ("sealed to a thousand strangers", endless(1_000), Code::Schema),
        (
            "a header without an end",
            part([&b"age-encryption.org/v1\n"[..], &b"-> ".repeat(2 << 20)].concat()),
            Code::Schema,
        ),
        ("a photo first", Outer { header: header.clone(), parts: vec![(2, vec![0; 4 << 20])] }.write(), Code::Schema),
        ("a part over its limit", part(vec![0; (8 << 20) + 1]), Code::TooBig),
        (
            "ten thousand empty parts",
            Outer { header: header.clone(), parts: vec![(3, vec![]); 10_000] }.write(),
            Code::Schema,
        ),
    ]
}

#[test]
fn no_file_of_a_stranger_takes_more_however_it_is_made() {
    let scene = Scene::new(66);
    let mut all = of_strangers(&scene);
    // Of a known phone, but for the last byte of its signature.
    let mut envelope = scene.envelope();
    *envelope.last_mut().unwrap() ^= 1;
    let text = Text { envelope, packed: vec![0; 6 << 20] };
    let header = [&b"\x89YRD\r\n\x1a\n"[..], &[1, 0, 0, 0]].concat();
    all.push((
        "a signature that does not hold",
        hand::sealed(header, &text, &scene.hand.recipient),
        Code::BadSignature,
    ));
    let mut worst = 0;
    for (name, bytes, code) in all {
        let file = scene.write(&bytes);
        drop(bytes);
        let bytes = refused(&scene.yard.office, &file, code);
        eprintln!("{:4} KiB {name}", bytes >> 10);
        assert!(bytes <= BEFORE_TRUST, "{bytes} bytes for {name}");
        worst = worst.max(bytes);
        // A phone is as careful with what calls itself a reply.
        let phone = &scene.yard.phones[0];
        let before = phone.digest().unwrap();
        let (taken, peak) = peak(|| phone.take_reply(&file, &Job::silent()));
        assert!(taken.is_err_and(|e| e.code().is_some()), "{name}");
        assert!(peak <= BEFORE_TRUST, "{peak} bytes on a phone for {name}");
        assert_eq!(phone.digest().unwrap(), before);
    }
    eprintln!("{} KiB at most", worst >> 10);
}
