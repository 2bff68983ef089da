//! Stops that nothing raises.

use super::{Findings, Kind};
use crate::key::{Pack, StopKind};

/// Stops that the words of a resident or a scout can raise.
const BY_WORDS: [&str; 20] = [
    "utility_line",
    "tree_failure",
    "wild_mushroom",
    "toxic_plant",
    "insects_bites",
    "heat_storm",
    "site_hazard",
    "poison_ivy",
    "bleach",
    "alcohol",
    "food_contaminated",
    "dig_first",
    "regulated_suspect",
    "no_home_brew",
    "no_off_label",
    "restricted_use",
    "permission",
    "minors",
    "no_blame",
    "not_a_doctor",
];
/// Notes that are printed on letters, whatever was found.
const PRINTED: [&str; 4] = ["label_is_law", "no_brand", "model_limits", "records_law"];

pub(super) fn check(pack: &Pack, findings: &mut Findings) {
    let states = || pack.characters.iter().flat_map(|c| &c.states).flat_map(|s| &s.stops);
    for stop in &pack.stops {
        let id = &stop.id;
        let asked = pack.questions.iter().any(|q| q.raises.contains(id));
        let printed = stop.kind == StopKind::Note && PRINTED.contains(&id.as_str());
        if !asked && !printed && !BY_WORDS.contains(&id.as_str()) && !states().any(|s| s == id) {
            findings.warning(Kind::UnreachableStop, id, "no state, no question and no words raise it");
        }
    }
}
