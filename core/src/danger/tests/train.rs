//! Training of the likeness: `UPDATE=1` writes `likeness.bin` anew from the messages of `fixtures/messages`.
//!
//! Nothing here depends on the machine: the sums are plain IEEE arithmetic in a fixed order, without a library's functions.

use std::{fs, path::Path};

use super::{
    super::{
        STOPS,
        lexicon::texts,
        likeness::{HEAD, Head, Likeness, PRINT, SCORES, THING, any_part},
    },
    choose::thresholds,
    learn::{LEARNING, Learned, learn},
    lessons::{Lesson, Values, held_by, know, lessons},
};

/// What every stop learns from some lessons.
pub fn learn_all(lessons: &[&Lesson], known: usize) -> Vec<Learned> {
    let next = std::sync::atomic::AtomicUsize::new(0);
    let mut learned: Vec<(usize, Learned)> = std::thread::scope(|scope| {
        let work = || {
            let stops = std::iter::from_fn(|| {
                let stop = next.fetch_add(1, std::sync::atomic::Ordering::Relaxed);
                (stop < SCORES).then_some(stop)
            });
            stops.map(|stop| (stop, learn(lessons, known, stop))).collect::<Vec<_>>()
        };
        let workers: Vec<_> = (0..4).map(|_| scope.spawn(work)).collect();
        workers.into_iter().flat_map(|w| w.join().unwrap()).collect()
    });
    learned.sort_by_key(|(stop, _)| *stop);
    learned.into_iter().map(|(_, learned)| learned).collect()
}

/// The scores of a message: of each stop from its words as a whole or those around what is said, with its part of danger of
/// any kind.
pub fn scores(learned: &[Learned], lesson: &Lesson) -> Vec<f32> {
    let of = |l: &Learned, values: &Values| l.bias + values.iter().map(|(b, v)| l.weights[*b] * v).sum::<f32>();
    let any = any_part(of(&learned[STOPS.len()], &lesson.whole));
    let stops = learned.iter().zip(&lesson.near);
    stops.map(|(l, near)| near.iter().map(|n| of(l, n)).fold(of(l, &lesson.whole), f32::max) + any).collect()
}

/// The file.
fn to_bytes(learned: &[Learned], known: &[u32], thresholds: &[f32]) -> Vec<u8> {
    let scales: Vec<f32> =
        learned.iter().map(|l| l.weights.iter().map(|w| w.abs()).fold(0.0f32, f32::max).max(1e-6) / 127.0).collect();
    let mut bytes = Vec::with_capacity(SCORES * HEAD + known.len() * (THING + SCORES) + PRINT);
    for ((learned, scale), raised) in learned.iter().zip(&scales).zip(thresholds.iter().chain([&0.0])) {
        let head = Head { scale: *scale, bias: learned.bias, raised: *raised };
        for number in [head.scale, head.bias, head.raised] {
            bytes.extend(number.to_le_bytes());
        }
    }
    known.iter().for_each(|thing| bytes.extend(thing.to_le_bytes()));
    for place in 0..known.len() {
        let weights = learned.iter().zip(&scales).map(|(l, scale)| (l.weights[place] / scale).round() as i8);
        bytes.extend(weights.map(i8::cast_unsigned));
    }
    bytes
}

/// The tables of messages that train, in the order of their names, with those.
fn tables() -> Vec<(String, String)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../fixtures/messages");
    let mut files: Vec<_> = fs::read_dir(folder).unwrap().map(|f| f.unwrap().path()).collect();
    files.retain(|f| f.extension().is_some_and(|e| e == "csv"));
    files.sort();
    let name = |f: &Path| f.file_stem().unwrap().to_str().unwrap().to_owned();
    files.iter().map(|f| (name(f), fs::read_to_string(f).unwrap())).collect()
}

/// What the weights are made from: the messages, the lexicon, how it is learned, and what some messages hold.
fn fingerprint(tables: &[(String, String)]) -> blake3::Hash {
    let mut hasher = blake3::Hasher::new();
    let mut parts: Vec<&str> = tables.iter().map(|(_, table)| table.as_str()).collect();
    texts().chain(LEARNING).for_each(|text| parts.push(text));
    for text in parts {
        hasher.update(&text.len().to_le_bytes()).update(text.as_bytes());
    }
    for (_, table) in tables {
        for row in csv::Reader::from_reader(table.as_bytes()).records().step_by(25) {
            for holding in held_by(&row.unwrap()[2]).0 {
                hasher.update(&holding.thing.to_le_bytes());
            }
        }
    }
    hasher.finalize()
}

/// Training takes minutes without optimisation: by default only what went into it is compared.
#[test]
fn the_committed_weights_have_not_drifted() {
    let tables = tables();
    let fingerprint = fingerprint(&tables);
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/danger/likeness.bin");
    if std::env::var_os("UPDATE").is_some() {
        let mut lessons: Vec<Lesson> = tables.iter().flat_map(|(name, table)| lessons(name, table)).collect();
        let known = know(&mut lessons);
        let thresholds = thresholds(&lessons, known.len());
        let learned = learn_all(&lessons.iter().collect::<Vec<_>>(), known.len());
        let mut bytes = to_bytes(&learned, &known, &thresholds);
        bytes.extend(fingerprint.as_bytes());
        fs::write(&file, bytes).unwrap();
    }
    let bytes = fs::read(file).unwrap();
    assert_eq!(fingerprint.as_bytes().len(), PRINT);
    assert_eq!((bytes.len() - SCORES * HEAD - PRINT) % (THING + SCORES), 0);
    assert!(bytes.len() < 1_000_000, "{} bytes", bytes.len());
    assert!(bytes.ends_with(fingerprint.as_bytes()), "write it anew with cargo xtask fixtures");
}

/// Three messages are learned, and what was learned is read back from the bytes.
#[test]
fn what_is_learned_is_read_back() {
    let table = "id,language,text,must,may,must_not\n1,en,a limb hangs over the porch,tree_failure,,\n\
                 2,en,a wire is down in the yard,utility_line,,\n3,en,when do I sow beans,,,\n";
    let mut lessons = lessons("letters", table);
    let known = know(&mut lessons);
    let learned = learn_all(&lessons.iter().collect::<Vec<_>>(), known.len());
    let mut bytes = to_bytes(&learned, &known, &[0.0; STOPS.len()]);
    bytes.extend([0; PRINT]);
    let likeness = Likeness::from_bytes(bytes.leak());
    let best = |row: csv::StringRecord| {
        let scores = likeness.scores(&held_by(&row[2]).0);
        STOPS.iter().zip(scores).filter(|(_, s)| *s > 0.0).map(|(id, _)| *id).collect::<Vec<_>>()
    };
    let rows = csv::Reader::from_reader(table.as_bytes()).into_records().map(Result::unwrap).map(best);
    assert_eq!(rows.collect::<Vec<_>>(), [vec!["tree_failure"], vec!["utility_line"], vec![]]);
}
