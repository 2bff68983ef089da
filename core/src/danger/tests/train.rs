//! Training of the likeness: `UPDATE=1` writes `likeness.bin` anew from the messages of `fixtures/messages`.
//!
//! Nothing here depends on the machine: the sums are plain IEEE arithmetic in a fixed order, without a library's functions.

use std::{collections::BTreeSet, fs, path::Path};

use super::super::{
    STOPS,
    lexicon::{Lexicon, texts},
    likeness::{BUCKETS, HEAD, Head, Likeness, distinct, held, share},
    passage::Passage,
    words::Words,
};

const THRESHOLDS: &str = include_str!("thresholds.txt");
const ROUNDS: usize = 14;
/// How much more a message that raises a stop counts than one that does not.
const RAISING: f32 = 2.0;
const STEP: f32 = 0.2;
/// By how much a weight shrinks with every step on it.
const SHRINK: f32 = 0.0004;

/// A message that trains.
#[derive(Clone)]
struct Lesson {
    /// What it holds.
    buckets: Vec<usize>,
    /// Its stops: raised, not raised, or nothing to learn.
    raises: [Option<bool>; STOPS.len()],
}

impl Lesson {
    /// This message and another one as one.
    fn with(&self, other: &Self) -> Self {
        let mut raises = self.raises;
        for (raises, other) in raises.iter_mut().zip(other.raises) {
            *raises = match (*raises, other) {
                (Some(true), _) | (_, Some(true)) => Some(true),
                (Some(false), Some(false)) => Some(false),
                _ => None,
            };
        }
        Self { buckets: distinct(self.buckets.iter().chain(&other.buckets).copied()), raises }
    }
}

/// The messages of a table.
fn lessons(table: &str) -> Vec<Lesson> {
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    let head = reader.headers().unwrap().clone();
    let column = |name: &str| head.iter().position(|h| h == name).unwrap_or_else(|| panic!("no column {name}"));
    let (text, must, may) = (column("text"), column("must"), column("may"));
    let rows = reader.records().map(Result::unwrap);
    let lesson = |row: csv::StringRecord| {
        let ids = |at: usize| row[at].split(';').map(str::trim).filter(|s| !s.is_empty()).collect::<BTreeSet<_>>();
        let (must, may) = (ids(must), ids(may));
        for id in must.iter().chain(&may) {
            assert!(STOPS.contains(id) || OTHERS.contains(id), "{id}: no such stop, in {:?}", &row[text]);
        }
        let raises =
            STOPS.map(|stop| if must.contains(stop) { Some(true) } else { (!may.contains(stop)).then_some(false) });
        Lesson { buckets: buckets(&row[text]), raises }
    };
    rows.map(lesson).collect()
}

/// Ids that labels may name and words do not raise.
const OTHERS: [&str; 3] = ["firewood", "label_is_law", "bees_water"];

/// What a text holds; of a long one, its first passage.
fn buckets(text: &str) -> Vec<usize> {
    let lexicon = Lexicon::get();
    let words = Words::of(text, lexicon);
    let passage = Passage::of(words.passages().next().unwrap(), lexicon);
    distinct(held(&passage, &passage.said(lexicon)).iter().map(|h| h.bucket))
}

/// Weights of each stop.
struct Trained {
    weights: Vec<[f32; STOPS.len()]>,
    bias: [f32; STOPS.len()],
}

/// Learns from messages, and from each with another one put after it, as people write of two things at once. Squared hinge
/// loss; the steps grow smaller for weights that were moved much.
fn train(single: &[Lesson]) -> Trained {
    let pairs = (0..single.len()).map(|i| single[i].with(&single[(i * 7_919 + 104_729) % single.len()]));
    let lessons: Vec<Lesson> = single.iter().cloned().chain(pairs).collect();
    let mut weights = vec![[0.0f32; STOPS.len()]; BUCKETS];
    let mut moved = vec![[0.01f32; STOPS.len()]; BUCKETS];
    let mut bias = [-1.0f32; STOPS.len()];
    for round in 0..ROUNDS {
        for i in 0..lessons.len() {
            // Another order each round, the same every time.
            let lesson = &lessons[(i * 7_919 + round * 104_729) % lessons.len()];
            let share = share(lesson.buckets.len());
            let mut sums = bias;
            for b in &lesson.buckets {
                sums.iter_mut().zip(&weights[*b]).for_each(|(sum, w)| *sum += share * w);
            }
            let mut wrong = [0.0f32; STOPS.len()];
            for ((wrong, raises), sum) in wrong.iter_mut().zip(lesson.raises).zip(sums) {
                *wrong = match raises {
                    Some(true) => RAISING * (1.0 - sum).max(0.0),
                    Some(false) => -(1.0 + sum).max(0.0),
                    None => 0.0,
                };
            }
            if wrong == [0.0; STOPS.len()] {
                continue;
            }
            bias.iter_mut().zip(wrong).for_each(|(b, w)| *b += 0.01 * w);
            for b in &lesson.buckets {
                for ((weight, moved), wrong) in weights[*b].iter_mut().zip(&mut moved[*b]).zip(wrong) {
                    let slope = wrong * share;
                    *moved += slope * slope;
                    *weight = *weight * (1.0 - SHRINK) + STEP * slope / moved.sqrt();
                }
            }
        }
    }
    Trained { weights, bias }
}

impl Trained {
    /// The file, with the thresholds that were chosen.
    fn to_bytes(&self, thresholds: &[[f32; 2]; STOPS.len()]) -> Vec<u8> {
        let scale: Vec<f32> = (0..STOPS.len())
            .map(|s| self.weights.iter().map(|w| w[s].abs()).fold(0.0f32, f32::max).max(1e-6) / 127.0)
            .collect();
        let mut bytes = Vec::with_capacity(STOPS.len() * (HEAD + BUCKETS));
        for (stop, scale) in scale.iter().enumerate() {
            let head =
                Head { scale: *scale, bias: self.bias[stop], said: thresholds[stop][0], alike: thresholds[stop][1] };
            for number in [head.scale, head.bias, head.said, head.alike] {
                bytes.extend(number.to_le_bytes());
            }
        }
        for weights in &self.weights {
            bytes.extend(weights.iter().zip(&scale).map(|(w, scale)| ((w / scale).round() as i8).cast_unsigned()));
        }
        bytes
    }
}

/// The tables of messages that train, in the order of their names.
fn tables() -> Vec<String> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../fixtures/messages");
    let mut files: Vec<_> = fs::read_dir(folder).unwrap().map(|f| f.unwrap().path()).collect();
    files.retain(|f| f.extension().is_some_and(|e| e == "csv"));
    files.sort();
    files.iter().map(|f| fs::read_to_string(f).unwrap()).collect()
}

/// The scores from which each stop is raised where a pattern says it, and where none does.
fn thresholds() -> [[f32; 2]; STOPS.len()] {
    STOPS.map(|stop| {
        let line =
            THRESHOLDS.lines().find_map(|l| l.strip_prefix(stop)).unwrap_or_else(|| panic!("nothing for {stop}"));
        let numbers: Vec<f32> = line.split_whitespace().map(|n| n.parse().unwrap()).collect();
        numbers.try_into().unwrap()
    })
}

/// What the weights are made from: the messages, the thresholds, the lexicon, and what some messages hold.
fn fingerprint(tables: &[String]) -> blake3::Hash {
    let mut hasher = blake3::Hasher::new();
    let mut parts: Vec<&str> = tables.iter().map(String::as_str).collect();
    parts.push(THRESHOLDS);
    texts().for_each(|text| parts.push(text));
    for text in parts {
        hasher.update(&text.len().to_le_bytes()).update(text.as_bytes());
    }
    for number in [RAISING, STEP, SHRINK, ROUNDS as f32, BUCKETS as f32] {
        hasher.update(&number.to_le_bytes());
    }
    for table in tables {
        for row in csv::Reader::from_reader(table.as_bytes()).records().step_by(25) {
            buckets(&row.unwrap()[2]).iter().for_each(|b| {
                hasher.update(&b.to_le_bytes());
            });
        }
    }
    hasher.finalize()
}

/// Training takes a minute without optimisation: by default only what went into it is compared.
#[test]
fn the_committed_weights_have_not_drifted() {
    let tables = tables();
    let fingerprint = fingerprint(&tables);
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/danger/likeness.bin");
    if std::env::var_os("UPDATE").is_some() {
        let lessons: Vec<Lesson> = tables.iter().flat_map(|table| lessons(table)).collect();
        let mut bytes = train(&lessons).to_bytes(&thresholds());
        bytes.extend(fingerprint.as_bytes());
        fs::write(&file, bytes).unwrap();
    }
    let bytes = fs::read(file).unwrap();
    assert_eq!(bytes.len(), STOPS.len() * (HEAD + BUCKETS) + fingerprint.as_bytes().len());
    assert!(bytes.len() < 300_000, "{} bytes", bytes.len());
    assert!(bytes.ends_with(fingerprint.as_bytes()), "write it anew with cargo xtask fixtures");
}

/// Three messages are learned, and what was learned is read back from the bytes.
#[test]
fn what_is_learned_is_read_back() {
    let table = "id,language,text,must,may,must_not\n1,en,a limb hangs over the porch,tree_failure,,\n\
                 2,en,a wire is down in the yard,utility_line,,\n3,en,when do I sow beans,,,\n";
    let lessons = lessons(table);
    let bytes = train(&lessons).to_bytes(&thresholds());
    let likeness = Likeness::from_bytes(bytes.leak());
    let best = |lesson: &Lesson| {
        let scores = likeness.scores(lesson.buckets.iter().copied());
        STOPS.iter().zip(scores).filter(|(_, s)| *s > 0.0).map(|(id, _)| *id).collect::<Vec<_>>()
    };
    assert_eq!(lessons.iter().map(best).collect::<Vec<_>>(), [vec!["tree_failure"], vec!["utility_line"], vec![]]);
}
