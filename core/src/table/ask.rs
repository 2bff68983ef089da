//! Which question to put next.

use super::{Answers, Chance, TablePack};

/// A question with what it is expected to bring.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Question {
    /// Index of the attribute.
    pub attribute: usize,
    /// Expected fall of the entropy over the classes, in nats.
    pub gain: f64,
}

/// What asking came to.
#[derive(Clone, PartialEq, Debug)]
pub struct Asked {
    /// Indices of the attributes that were asked, in order; those without an answer, too.
    pub asked: Vec<usize>,
    /// The classes with their chances after the answers, best first.
    pub ranked: Vec<Chance>,
}

impl TablePack {
    /// The questions among `open` (by attribute: whether it may be asked), those that bring most first; ties in the order
    /// of the schema.
    pub fn questions(&self, answers: &Answers, open: &[bool]) -> Vec<Question> {
        let mut questions = self.gains(answers, open).1;
        questions.sort_by(|a, b| b.gain.total_cmp(&a.gain));
        questions
    }

    /// Puts questions about one case, always the one that is expected to bring most, until one class has at least the
    /// chance `stop_at`, or no question is left that is expected to bring [`least_gain`](super::TableSettings::least_gain).
    /// A question that the case does not answer counts as asked, and says nothing.
    pub fn ask(&self, case: &Answers, stop_at: f64) -> Asked {
        let mut answers = vec![None; self.schema.attributes.len()];
        let mut open = vec![true; answers.len()];
        let mut asked = Vec::new();
        loop {
            let (chances, questions) = self.gains(&answers, &open);
            let done = chances.iter().any(|c| *c >= stop_at);
            let best = questions.into_iter().reduce(|best, q| if q.gain > best.gain { q } else { best });
            match best {
                Some(next) if !done && next.gain >= self.settings.least_gain => {
                    asked.push(next.attribute);
                    open[next.attribute] = false;
                    answers[next.attribute] = case.get(next.attribute).copied().flatten();
                }
                _ => return Asked { asked, ranked: self.ranked(&chances) },
            }
        }
    }

    /// The chances now, and what each open question is expected to bring, in the order of the schema.
    fn gains(&self, answers: &Answers, open: &[bool]) -> (Vec<f64>, Vec<Question>) {
        let beliefs = self.network.beliefs(answers);
        let chances = self.chances(&beliefs.ln_likelihood);
        let now = entropy(&chances);
        let unanswered = |a: &usize| answers.get(*a).copied().flatten().is_none();
        let may = (0..beliefs.predicted.len()).filter(|a| unanswered(a) && open.get(*a) == Some(&true));
        let gains = may.map(|attribute| {
            let then = self.expected_entropy(&chances, &beliefs.predicted[attribute]);
            Question { attribute, gain: now - then }
        });
        let gains = gains.collect();
        (chances, gains)
    }

    /// Entropy over the classes after an answer, on average over what it can be. `predicted` is the chance of each answer
    /// given the class, `[value][class]`.
    fn expected_entropy(&self, chances: &[f64], predicted: &[f64]) -> f64 {
        let answers = predicted.chunks_exact(chances.len()).map(|line| {
            let weight: f64 = chances.iter().zip(line).map(|(c, p)| c * p).sum();
            let after: Vec<f64> = chances.iter().zip(line).map(|(c, p)| c * p.powf(self.settings.tempering)).collect();
            weight * entropy(&after)
        });
        answers.sum()
    }
}

/// Entropy in nats of chances that need not add up to 1.
fn entropy(chances: &[f64]) -> f64 {
    let (mut sum, mut logs) = (0.0, 0.0);
    for chance in chances.iter().filter(|c| **c > 0.0) {
        sum += chance;
        logs += chance * chance.ln();
    }
    if sum > 0.0 { sum.ln() - logs / sum } else { 0.0 }
}
