//! Time of the processor that a hostile bundle takes, against an honest one of the same size. Never in seconds.

use std::time::Duration;

use cpu_time::ThreadTime;
use dooryard_core::{ids::Hash32, log::FieldHead};

use super::{SEGMENT, Scene, field, hashes};

/// A byte of a hostile bundle, once it is unpacked, may take so many times as long as one of an honest bundle.
const AT_MOST: f64 = 3.0;

/// Time to take a bundle of these frames in, for each byte that it unpacks to.
fn per_byte(scene: &Scene, frames: &[(u8, Vec<u8>)]) -> f64 {
    let raw: usize = frames.iter().map(|(_, bytes)| 5 + bytes.len()).sum();
    took(scene, &scene.hand.file(frames)).as_secs_f64() / raw as f64
}

fn took(scene: &Scene, file: &[u8]) -> Duration {
    let file = scene.write(file);
    let begin = ThreadTime::now();
    scene.yard.take_in(&file).unwrap();
    begin.elapsed()
}

#[test]
fn a_byte_of_a_hostile_bundle_takes_no_longer_than_one_of_an_honest_bundle() {
    let words = |seq: u64| [&[0x79, 0x04, 0x00][..], format!("{seq:01024}").as_bytes()].concat();
    let honest = {
        let scene = Scene::new(76);
        let frames = scene.log_of(4_000, 1_000, |seq| scene.change(seq, seq, field(105), &words(seq)));
        per_byte(&scene, &frames)
    };
    let scene = Scene::new(77);
    let manifest = || scene.hand.manifest(0, 0);
    let segments = |bytes: Vec<u8>| std::iter::once(manifest()).chain(vec![(SEGMENT, bytes); 20]).collect::<Vec<_>>();
    let preds = |n| vec![FieldHead { field: 105, preds: hashes(0..n) }];
    let many_preds = scene.segment(Hash32::ZERO, vec![scene.change(1, 1, preds(30_000), b"\x61a")]).0;
    let all = [
        ("empty frames", std::iter::once(manifest()).chain(vec![(0, vec![]); 4 << 20]).collect()),
        ("deep lists", segments(vec![0x81; 2 << 20])),
        ("lists that lie", segments([&[0x9b][..], &[0xff; 8], &vec![0; 2_000_000]].concat())),
        ("empty lists", segments([&[0x9a, 0, 0x1f, 0xff, 0xf0][..], &vec![0x80; 0x1f_fff0]].concat())),
        ("one change with 30,000 predecessors", segments(many_preds)),
        (
            "a million predecessors of one field",
            scene.log_of(15_625, 900, |seq| scene.change(seq, 1, preds(64), b"\x61a")),
        ),
    ];
    for (name, frames) in all {
        let times = per_byte(&scene, &frames) / honest;
        eprintln!("{times:5.2} times as long a byte: {name}");
        assert!(times <= AT_MOST, "{times} times as long a byte: {name}");
    }
}
