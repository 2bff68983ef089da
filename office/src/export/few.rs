//! Small counts, which could point at somebody, are not told to the public.

use crate::counts::FEW;

/// Which of these counts, that add up to a number people know, are hidden: those under five; and if that is a single one, the
/// next smallest with it, since it could be reckoned from the others.
pub fn hidden(counts: &[u64]) -> Vec<bool> {
    let mut by_size: Vec<usize> = (0..counts.len()).collect();
    by_size.sort_by_key(|at| counts.get(*at));
    let few = counts.iter().filter(|n| **n < FEW).count();
    let hide = if few == 1 { 2 } else { few };
    let mut hidden = vec![false; counts.len()];
    for at in by_size.into_iter().take(hide) {
        hidden[at] = true;
    }
    hidden
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_single_small_count_is_not_left_alone() {
        assert_eq!(hidden(&[9, 7, 5]), [false, false, false]);
        assert_eq!(hidden(&[9, 4, 7]), [false, true, true]);
        assert_eq!(hidden(&[9, 4, 1, 7]), [false, true, true, false]);
        assert_eq!((hidden(&[3]), hidden(&[])), (vec![true], vec![]));
    }
}
