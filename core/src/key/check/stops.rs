//! Stops that nothing raises.

use super::{Findings, Kind};
use crate::{
    danger::STOPS,
    key::{Pack, StopKind, stops::floor},
};

pub(super) fn check(pack: &Pack, findings: &mut Findings) {
    let states = || pack.characters.iter().flat_map(|c| &c.states).flat_map(|s| &s.stops);
    for stop in &pack.stops {
        let id = &stop.id;
        let asked = pack.questions.iter().any(|q| q.raises.contains(id));
        // Notes are printed and people give the warnings that every pack has: only what halts has to come by itself.
        let given = stop.kind != StopKind::Stop && floor().stops.iter().any(|s| s.id == *id);
        if !asked && !given && !STOPS.contains(&id.as_str()) && !states().any(|s| s == id) {
            findings.warning(Kind::UnreachableStop, id, "no state, no question and no words raise it");
        }
    }
}
