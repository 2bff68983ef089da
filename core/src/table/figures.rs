//! How good a table is to learn from: figures from cases that were held out.

use super::{Chance, Table, TablePack, TableProblem, TableProblems, TableSettings};

/// Figures of cross-validation, averaged over all judged cases.
#[derive(Clone, Copy, PartialEq, Default, Debug)]
pub struct Figures {
    /// How many judgements: cases times shuffles.
    pub judged: usize,
    /// Share whose class came first.
    pub first: f64,
    /// Share whose class was among the first three.
    pub three: f64,
    /// Natural log of the chance given to the true class, negative; at most 27.6 for one case.
    pub log_loss: f64,
    /// Sum over the classes of the squared difference between chance and truth.
    pub brier: f64,
    /// Questions put, where asking was judged.
    pub questions: f64,
    /// Share whose class came first when asking ended, where asking was judged.
    pub right_at_stop: f64,
}

impl Figures {
    fn add(&mut self, ranked: &[Chance], class: &str) {
        let place = ranked.iter().position(|r| r.class == class);
        let given = place.map_or(0.0, |p| ranked[p].probability);
        let squares: f64 = ranked.iter().map(|r| r.probability.powi(2)).sum();
        self.judged += 1;
        self.first += f64::from(u8::from(place == Some(0)));
        self.three += f64::from(u8::from(place.is_some_and(|p| p < 3)));
        self.log_loss -= given.max(1e-12).ln();
        self.brier += squares - 2.0 * given + 1.0;
    }

    fn averaged(mut self) -> Self {
        let all = self.judged.max(1) as f64;
        for sum in [
            &mut self.first,
            &mut self.three,
            &mut self.log_loss,
            &mut self.brier,
            &mut self.questions,
            &mut self.right_at_stop,
        ] {
            *sum /= all;
        }
        self
    }
}

/// Judges every case by a pack learned without it: the cases are shuffled, dealt into `folds`, and each fold is judged by
/// what is learned from the others; all of it `shuffles` times. With `stop_at`, asking is judged as well. The shuffle is
/// the order of the BLAKE3 hashes of shuffle and row, so that everybody gets the same figures.
///
/// # Errors
/// As [`TablePack::learn`]; fewer than two folds, or more folds than cases.
pub fn cross_validate(
    table: &Table,
    settings: &TableSettings,
    folds: usize,
    shuffles: u64,
    stop_at: Option<f64>,
) -> Result<Figures, TableProblems> {
    if folds < 2 || folds > table.rows.len() {
        return Err(TableProblem::bad("folds", "must be two at least, and no more than there are cases").into());
    }
    let mut figures = Figures::default();
    for shuffle in 0..shuffles {
        let mut order: Vec<usize> = (0..table.rows.len()).collect();
        order.sort_by_cached_key(|row| *blake3::hash(format!("{shuffle} {row}").as_bytes()).as_bytes());
        for fold in 0..folds {
            let others = order.iter().enumerate().filter(|(at, _)| at % folds != fold);
            let rows: Vec<_> = others.map(|(_, row)| table.rows[*row].clone()).collect();
            let pack = TablePack::learn_from(table, &rows, 1, settings)?;
            for row in order.iter().skip(fold).step_by(folds).map(|row| &table.rows[*row]) {
                let Some(class) = row.class.map(|c| table.schema.classes[c].as_str()) else { continue };
                figures.add(&pack.posterior(&row.answers), class);
                if let Some(stop_at) = stop_at {
                    let asked = pack.ask(&row.answers, stop_at);
                    figures.questions += asked.asked.len() as f64;
                    let right = asked.ranked.first().is_some_and(|r| r.class == class);
                    figures.right_at_stop += f64::from(u8::from(right));
                }
            }
        }
    }
    Ok(figures.averaged())
}
