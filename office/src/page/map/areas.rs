//! What is counted in each area, out of how many, and what of it may be told.

use std::collections::BTreeMap;

use dooryard_core::Result;

use super::{
    county::{County, plain},
    told::{Told, tell},
};
use crate::{
    counts::FEW,
    export::Area,
    index::{Ask, Index},
};

/// What the map is counted by.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum By {
    /// Townships.
    Township,
    /// Cells of about five miles.
    Cell,
}

/// How an area is drawn.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Shade {
    /// Nothing is chosen that a share could be of.
    Plain,
    /// Too few asked to know, or it may not be told.
    Unknown,
    /// Asked, none found.
    None,
    /// Less than a third.
    Less,
    /// One third to two.
    Middle,
    /// Two thirds or more.
    Most,
}

impl Shade {
    /// Its word in drawings and data.
    pub(super) fn name(self) -> &'static str {
        match self {
            Self::Plain => "plain",
            Self::Unknown => "unknown",
            Self::None => "none",
            Self::Less => "less",
            Self::Middle => "middle",
            Self::Most => "most",
        }
    }
}

/// One area.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct Place {
    /// Township or cell as sites have it; empty where nobody wrote it down.
    pub(super) key: String,
    /// What was counted.
    pub(super) told: Told,
    /// How it is drawn.
    pub(super) shade: Shade,
    /// Where it lies; nothing where no file says.
    pub(super) area: Option<Area>,
}

impl Place {
    /// What stands on it in a drawing: a township's name; of a cell nothing, as its name says nothing to people.
    pub(super) fn label(&self) -> &str {
        if Area::of_cell(&self.key).is_some() { "" } else { &self.key }
    }
}

/// All of a map.
#[derive(Clone, PartialEq, Debug)]
pub(super) struct Places {
    /// Townships in the order of their names, then what has none.
    pub(super) rows: Vec<Place>,
    /// The whole county.
    pub(super) all: (u64, u64),
    /// Found, left out because the resident does not agree to be counted.
    pub(super) left_out: u64,
}

/// Most areas that a map shows: a state has fewer townships than that.
pub(super) const MOST: usize = 2_000;

/// What a share is out of: the same question without its last part, the cause, or else the plant; or all on those days.
pub(super) fn out_of(ask: &Ask) -> Ask {
    let mut of = ask.clone();
    if !of.cause.is_empty() {
        of.cause.clear();
    } else if !of.host.is_empty() {
        of.host.clear();
    } else {
        let (township, from, to) = (of.township, of.from, of.to);
        of = Ask { township, from, to, ..Ask::default() };
    }
    of
}

/// Counts. `exact` tells small numbers too.
///
/// # Errors
/// Of the index.
pub(super) fn places(index: &Index, ask: &Ask, by: By, county: &County, exact: bool) -> Result<Places> {
    let of = out_of(ask);
    let found = by_key(index.places(ask)?, by);
    let asked = if of == *ask { found.clone() } else { by_key(index.places(&of)?, by) };
    let mut names: BTreeMap<String, String> = BTreeMap::new();
    if by == By::Township && ask.township.is_empty() {
        names.extend(county.townships.iter().map(|t| (plain(&t.name), t.name.clone())));
    }
    for (key, (name, _)) in &asked {
        names.entry(key.clone()).or_insert_with(|| name.clone());
    }
    let n = |counts: &BTreeMap<String, (String, u64)>, key: &str| counts.get(key).map_or(0, |(_, n)| *n);
    let counts: Vec<(String, u64, u64)> =
        names.into_iter().map(|(key, name)| (name, n(&found, &key), n(&asked, &key))).collect();
    let all = counts.iter().fold((0, 0), |sum, (_, n, of)| (sum.0 + n, sum.1 + of));
    let told = tell(&counts.iter().map(|(_, n, of)| (*n, *of)).collect::<Vec<_>>(), exact);
    let mut rows: Vec<Place> = counts
        .into_iter()
        .zip(told)
        .map(|((key, ..), told)| Place {
            shade: if of == *ask { Shade::Plain } else { shade(told) },
            area: match by {
                By::Township => county.township(&key).map(|t| t.area.clone()),
                By::Cell => Area::of_cell(&key),
            },
            key,
            told,
        })
        .collect();
    rows.sort_by_key(|row| row.key.is_empty());
    rows.truncate(MOST);
    Ok(Places { rows, all, left_out: index.left_out(ask)? })
}

/// (key, (as it is written, how many)) by township or cell.
fn by_key(spots: Vec<(String, String, u64)>, by: By) -> BTreeMap<String, (String, u64)> {
    let mut counts: BTreeMap<String, (String, u64)> = BTreeMap::new();
    for (township, cell, n) in spots {
        let name = if by == By::Township { township } else { cell };
        let key = if by == By::Township { plain(&name) } else { name.clone() };
        counts.entry(key).or_insert((name, 0)).1 += n;
    }
    counts
}

fn shade(told: Told) -> Shade {
    match told {
        Told::Whole(_, of) if of < FEW => Shade::Unknown,
        Told::Whole(0, _) => Shade::None,
        Told::Whole(n, of) if 3 * n < of => Shade::Less,
        Told::Whole(n, of) if 3 * n < 2 * of => Shade::Middle,
        Told::Whole(..) => Shade::Most,
        Told::FewOf(_) | Told::Few | Told::Nobody => Shade::Unknown,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_share_is_out_of_the_same_question_without_its_last_part() {
        let day = "2026-07-01".parse().ok();
        let both = Ask { host: "oak".into(), cause: "scab".into(), status: "open".into(), from: day, ..Ask::default() };
        assert_eq!(out_of(&both), Ask { cause: String::new(), ..both.clone() });
        let host = Ask { host: "oak".into(), township: "Sedge".into(), ..Ask::default() };
        assert_eq!(out_of(&host), Ask { host: String::new(), ..host.clone() });
        let open = Ask { status: "open".into(), township: "Sedge".into(), from: day, ..Ask::default() };
        assert_eq!(out_of(&open), Ask { status: String::new(), ..open.clone() });
        assert_eq!(out_of(&Ask::default()), Ask::default());
    }

    #[test]
    fn areas_are_shaded_by_their_share_and_not_by_their_number() {
        for ((n, of), expected) in [
            ((90, 300), Shade::Less),
            ((2, 4), Shade::Unknown),
            ((0, 5), Shade::None),
            ((3, 6), Shade::Middle),
            ((4, 6), Shade::Most),
            ((5, 5), Shade::Most),
        ] {
            assert_eq!(shade(tell(&[(n, of)], true)[0]), expected, "{n} of {of}");
        }
        assert_eq!(shade(Told::Nobody), Shade::Unknown);
    }
}
