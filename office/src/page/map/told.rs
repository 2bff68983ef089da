//! Counts as they may be told to whoever looks: small ones, which could point at somebody, are for those who see the records.

use crate::{
    counts::{FEW, share},
    export::hidden,
    page::frame::Frame,
};

/// A count as it may be told.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(in crate::page) enum Told {
    /// So many, out of so many.
    Whole(u64, u64),
    /// Not told how many were found, out of so many.
    FewOf(u64),
    /// Not told how many asked.
    Few,
    /// Nobody asked.
    Nobody,
}

impl Told {
    /// `16 of 19`; `none` where nobody asked; `under 5` of what is not told.
    pub(in crate::page) fn words(self, frame: &Frame) -> String {
        match self {
            Self::Whole(n, of) => frame.with("map-of", [("n", &n), ("of", &of)]),
            Self::FewOf(of) => frame.with("map-few-of", [("of", &of)]),
            Self::Few => frame.say("map-few"),
            Self::Nobody => frame.say("map-nobody"),
        }
    }

    /// The share in a hundred (`84`), the same with its words, and where the true one would lie 19 times in 20; nothing under
    /// five.
    pub(in crate::page) fn share(self, frame: &Frame) -> Option<(String, String, String)> {
        let Self::Whole(n, of) = self else { return None };
        if of < FEW {
            return None;
        }
        let (share, low, high) = share(n, of);
        let [share, low, high] = [share, low, high].map(|n| format!("{n:.0}"));
        let said = frame.with("map-share", [("n", &share)]);
        let between = frame.with("map-between", [("low", &low), ("high", &high)]);
        Some((share, said, between))
    }

    /// `16 of 19, 84 in 100 (62 to 94)`.
    pub(in crate::page) fn full(self, frame: &Frame) -> String {
        let words = self.words(frame);
        match self.share(frame) {
            Some((_, share, between)) => {
                frame.with("map-full", [("count", &words), ("share", &share), ("between", &between)])
            }
            None => words,
        }
    }
}

/// What may be told of counts that stand beside their sum. Where small numbers are not told, neither is a number from which
/// one could be reckoned.
pub(in crate::page) fn tell(counts: &[(u64, u64)], exact: bool) -> Vec<Told> {
    let shut = |of: fn(&(u64, u64)) -> u64| {
        if exact { vec![false; counts.len()] } else { hidden(&counts.iter().map(of).collect::<Vec<_>>()) }
    };
    let one = |((&(n, of), asked), found): ((&(u64, u64), bool), bool)| match (of, asked, found) {
        (_, true, _) => Told::Few,
        (0, ..) => Told::Nobody,
        (_, _, true) => Told::FewOf(of),
        _ => Told::Whole(n, of),
    };
    counts.iter().zip(shut(|c| c.1)).zip(shut(|c| c.0)).map(one).collect()
}

/// What may be told of one count.
pub(in crate::page) fn tell_one(n: u64, of: u64, exact: bool) -> Told {
    tell(&[(n, of)], exact).first().copied().unwrap_or(Told::Few)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn who_may_not_see_small_numbers_cannot_reckon_them_either() {
        let told = tell(&[(16, 19), (13, 30), (2, 9), (1, 4), (0, 0), (7, 7)], false);
        let whole = |n, of| Told::Whole(n, of);
        assert_eq!(told, [whole(16, 19), whole(13, 30), Told::FewOf(9), Told::Few, Told::Few, whole(7, 7)]);
        // One small number alone takes the next smallest with it, found as asked.
        assert_eq!(tell(&[(9, 30), (1, 2), (6, 12)], false), [whole(9, 30), Told::Few, Told::Few]);
        assert_eq!(tell(&[(9, 30), (1, 20), (6, 12)], false), [whole(9, 30), Told::FewOf(20), Told::FewOf(12)]);
        assert_eq!(tell(&[(2, 3), (0, 0)], true), [Told::Whole(2, 3), Told::Nobody]);
    }
}
