//! How one stop is learned: a linear support vector machine with squared hinge loss, by dual coordinate descent (Hsieh et
//! al. 2008, "A dual coordinate descent method for large-scale linear SVM").

use super::lessons::Lesson;

/// The sources that decide what is learned.
pub const LEARNING: [&str; 4] =
    [include_str!("learn.rs"), include_str!("lessons.rs"), include_str!("choose.rs"), include_str!("../held.rs")];
/// What a mistake costs, against large weights.
const COST: f32 = 1.0;
/// How much a short made-up sentence counts against a letter.
const SHORT: f32 = 0.6;
const ROUNDS: usize = 30;
/// Steps smaller than this are the end.
const ENOUGH: f32 = 1e-3;

/// What is learned of a stop.
pub struct Learned {
    /// Of each known thing.
    pub weights: Vec<f32>,
    /// What is added.
    pub bias: f32,
}

/// Learns one stop, from so many known things.
pub fn learn(lessons: &[&Lesson], known: usize, stop: usize) -> Learned {
    let order: Vec<(&Lesson, f32)> =
        lessons.iter().filter_map(|l| Some((*l, if l.raises[stop]? { 1.0 } else { -1.0 }))).collect();
    let raising = order.iter().filter(|(_, y)| *y > 0.0).count().max(1) as f32;
    // As rare as a stop is, its messages count more.
    let rare = (order.len() as f32 / raising - 1.0).max(1.0).sqrt();
    let mut doubts = vec![0.0f32; order.len()];
    let mut learned = Learned { weights: vec![0.0; known], bias: 0.0 };
    let mut places: Vec<usize> = (0..order.len()).collect();
    let mut chance = 12_345u64;
    for _ in 0..ROUNDS {
        for k in (1..places.len()).rev() {
            // Another order each round, the same every time.
            chance = chance.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            places.swap(k, (chance >> 33) as usize % (k + 1));
        }
        let mut most = 0.0f32;
        for k in &places {
            let (lesson, sign) = order[*k];
            let cost = COST * if sign > 0.0 { rare } else { 1.0 } * if lesson.is_letter() { 1.0 } else { SHORT };
            let slack = 1.0 / (2.0 * cost);
            let score = learned.bias + lesson.whole.iter().map(|(b, v)| learned.weights[*b] * v).sum::<f32>();
            let slope = sign * score - 1.0 + doubts[*k] * slack;
            let size = 1.0 + slack + lesson.whole.iter().map(|(_, v)| v * v).sum::<f32>();
            let new = (doubts[*k] - slope / size).max(0.0);
            let step = (new - doubts[*k]) * sign;
            if step != 0.0 {
                doubts[*k] = new;
                learned.bias += step;
                lesson.whole.iter().for_each(|(b, v)| learned.weights[*b] += step * v);
                most = most.max(step.abs());
            }
        }
        if most < ENOUGH {
            break;
        }
    }
    learned
}
