//! The scores from which stops are raised, chosen on letters that were not learned from.

use super::{
    super::STOPS,
    lessons::Lesson,
    train::{learn_all, scores},
};

/// Parts of the letters: each is scored by what is learned from the others.
const PARTS: usize = 8;
/// Stops that can kill, the first ones.
const DEADLY: usize = 4;
/// What it costs to miss all of the deadly ones, all of the others, to raise something in all harmless letters, to raise
/// all that letters only sound like, and to raise one stop too many in each of the other letters.
const COSTS: [f32; 5] = [14.0, 2.5, 4.0, 0.5, 0.5];
/// Letters that were at hand when the lexicon was written: they say too little of others.
const KNOWN: [&str; 2] = ["first_40", "letters_1"];

/// A letter with its scores.
struct Scored<'a> {
    lesson: &'a Lesson,
    scores: Vec<f32>,
}

/// Scores of all letters that choose.
fn scored(lessons: &[Lesson], known: usize) -> Vec<Scored<'_>> {
    let part = |i: usize, l: &Lesson| l.is_letter().then_some((i * 7_919) % 1_009 % PARTS);
    let mut scored = Vec::new();
    for now in 0..PARTS {
        let others: Vec<&Lesson> =
            lessons.iter().enumerate().filter(|(i, l)| part(*i, l) != Some(now)).map(|(_, l)| l).collect();
        let learned = learn_all(&others, known);
        for (_, lesson) in lessons.iter().enumerate().filter(|(i, l)| part(*i, l) == Some(now)) {
            if !KNOWN.contains(&lesson.table.as_str()) {
                scored.push(Scored { lesson, scores: scores(&learned, lesson) });
            }
        }
    }
    scored
}

/// For each stop, the score with the least cost, given those of the others; some times over.
pub fn thresholds(lessons: &[Lesson], known: usize) -> Vec<f32> {
    let scored = scored(lessons, known);
    let counts = Counts::of(&scored);
    let mut chosen = vec![-0.3f32; STOPS.len()];
    for _ in 0..3 {
        for stop in 0..STOPS.len() {
            let cost = |score: &f32| {
                let mut tried = chosen.clone();
                tried[stop] = *score;
                cost(&scored, &tried, &counts)
            };
            let tries = (0..61).map(|n| -1.2 + n as f32 * 0.03);
            chosen[stop] = tries.min_by(|a, b| cost(a).total_cmp(&cost(b))).unwrap();
        }
    }
    println!("letters left out in turn: {:.3?}", shares(&scored, &chosen, &counts));
    chosen
}

/// How many there are at most.
struct Counts {
    deadly: f32,
    others: f32,
    harmless: f32,
    sounds_like: f32,
    dangerous: f32,
}

impl Counts {
    fn of(scored: &[Scored]) -> Self {
        let stops = || scored.iter().flat_map(|s| s.lesson.raises.iter().take(STOPS.len()).enumerate());
        Self {
            deadly: stops().filter(|(i, r)| *i < DEADLY && **r == Some(true)).count() as f32,
            others: stops().filter(|(i, r)| *i >= DEADLY && **r == Some(true)).count() as f32,
            harmless: scored.iter().filter(|s| !s.lesson.raises.contains(&Some(true))).count() as f32,
            sounds_like: scored.iter().flat_map(|s| s.lesson.sounds_like).filter(|s| *s).count() as f32,
            dangerous: scored.iter().filter(|s| s.lesson.raises.contains(&Some(true))).count() as f32,
        }
    }
}

/// Deadly stops missed, others missed, harmless letters that raise something, what letters only sound like: shares. Last the
/// stops too many in a letter that raises some.
fn shares(scored: &[Scored], thresholds: &[f32], counts: &Counts) -> [f32; 5] {
    let mut found = [0.0f32; 5];
    for Scored { lesson, scores } in scored {
        let dangerous = lesson.raises.contains(&Some(true));
        let mut wrong = 0u8;
        for (stop, (score, least)) in scores.iter().zip(thresholds).enumerate() {
            match (lesson.raises[stop], score >= least) {
                (Some(true), false) => found[usize::from(stop >= DEADLY)] += 1.0,
                (Some(false), true) => wrong += 1,
                _ => {}
            }
            found[3] += f32::from(u8::from(score >= least && lesson.sounds_like[stop]));
        }
        if dangerous {
            found[4] += f32::from(wrong);
        } else {
            found[2] += f32::from(wrong.min(1));
        }
    }
    let of = [counts.deadly, counts.others, counts.harmless, counts.sounds_like, counts.dangerous];
    std::array::from_fn(|at| found[at] / of[at])
}

fn cost(scored: &[Scored], thresholds: &[f32], counts: &Counts) -> f32 {
    shares(scored, thresholds, counts).iter().zip(COSTS).map(|(share, cost)| share * cost).sum()
}
