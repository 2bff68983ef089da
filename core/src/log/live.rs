//! Live values as a function of a set, and what is shown of them.

use std::collections::{HashMap, HashSet};

use super::store::Fact;
use crate::{
    fault::{self, Fault},
    ids::Hash32,
    record::Value,
};

/// Recomputes which facts of one record are live: admitted, and not named by an admitted fact of the same field.
/// Returns the places of those whose flag changed.
pub(super) fn mark_live(facts: &mut [Fact]) -> Vec<usize> {
    let named: HashSet<(u32, Hash32)> = facts
        .iter()
        .filter(|f| f.admitted || fault::is(Fault::UnadmittedSupersedes))
        .flat_map(|f| f.preds.iter().map(|p| (f.field, *p)))
        .collect();
    let mut changed = Vec::new();
    let mut capped: HashMap<u32, u32> = HashMap::new();
    for (at, fact) in facts.iter_mut().enumerate() {
        let live = fact.admitted && !named.contains(&(fact.field, fact.hash));
        let live = live && !(fault::is(Fault::PredsOfAnyField) && named.iter().any(|(_, hash)| *hash == fact.hash));
        let live = live && !(fault::is(Fault::LiveCapped) && over_two(&mut capped, fact.field));
        if live != fact.live {
            fact.live = live;
            changed.push(at);
        }
    }
    changed
}

/// Counts a live value of a field; whether it is past the second.
fn over_two(counts: &mut HashMap<u32, u32>, field: u32) -> bool {
    let count = counts.entry(field).or_default();
    *count += 1;
    *count > 2
}

/// One live value with what decides whether it is the one shown.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Candidate {
    /// The value's CBOR; `None` when erased or withheld.
    pub value: Option<Vec<u8>>,
    /// Rank of the role on the author's certificate.
    pub rank: u8,
    /// Claimed time less the office's correction, milliseconds since 1970.
    pub at_ms: i64,
    /// The change.
    pub hash: Hash32,
}

/// Sorts live values of one field: the one shown comes first. A body wins over an erased one, then role, time, hash.
pub fn shown_order<T>(live: &mut [T], candidate: impl Fn(&T) -> &Candidate) {
    let key = |t: &T| {
        let c = candidate(t);
        (c.value.is_some(), c.rank, c.at_ms, c.hash)
    };
    live.sort_by_key(|t| std::cmp::Reverse(key(t)));
}

/// The places of the live values that differ from the first and from each other: a conflict when there are any.
/// An erased value never conflicts.
pub fn conflicts_with<T>(sorted: &[T], candidate: impl Fn(&T) -> &Candidate) -> Vec<usize> {
    let mut seen: HashMap<&[u8], ()> = HashMap::new();
    let mut differing = Vec::new();
    for (at, item) in sorted.iter().enumerate() {
        if let Some(value) = &candidate(item).value
            && seen.insert(value, ()).is_none()
            && at > 0
        {
            differing.push(at);
        }
    }
    differing
}

/// Whether a record is hidden: a live deletion, no live "alive", and no live change that the deletions had not seen.
pub fn is_hidden<'a>(existence: impl IntoIterator<Item = &'a Value>, others: impl IntoIterator<Item = Hash32>) -> bool {
    let (mut deleted, mut seen) = (false, HashSet::new());
    for value in existence {
        let Value::List(items) = value else { return false };
        deleted = true;
        if let Some(Value::List(hashes)) = items.get(1) {
            seen.extend(hashes.iter().filter_map(|h| Hash32::from_slice(h.as_bytes()?).ok()));
        }
    }
    deleted && others.into_iter().all(|hash| seen.contains(&hash) || fault::is(Fault::DeletionHidesUnseen))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn candidate(value: Option<u8>, rank: u8, at_ms: i64, hash: u8) -> Candidate {
        Candidate { value: value.map(|v| vec![v]), rank, at_ms, hash: Hash32([hash; 32]) }
    }

    #[test]
    fn shown_is_decided_by_body_role_time_hash_in_this_order() {
        let mut live = [
            candidate(Some(1), 1, 9, 1),
            candidate(Some(2), 3, 1, 2),
            candidate(None, 4, 99, 3),
            candidate(Some(2), 1, 9, 4),
        ];
        shown_order(&mut live, |c| c);
        assert_eq!(live.iter().map(|c| c.hash.0[0]).collect::<Vec<_>>(), [2, 4, 1, 3]);
        assert_eq!(conflicts_with(&live, |c| c), [2], "equal values are shown as one, an erased one never conflicts");
    }

    #[test]
    fn a_record_is_hidden_only_when_the_deletion_saw_all_that_is_live() {
        let deletion = |seen: &[u8]| {
            let hashes = seen.iter().map(|h| Value::Bytes(vec![*h; 32])).collect();
            Value::List(vec![Value::Int(0), Value::List(hashes)])
        };
        let h = |b: u8| Hash32([b; 32]);
        assert!(!is_hidden([], [h(1)]));
        assert!(is_hidden([&deletion(&[1])], [h(1)]));
        assert!(!is_hidden([&deletion(&[1])], [h(1), h(2)]), "an edit the deletion had not seen brings it back");
        assert!(is_hidden([&deletion(&[1]), &deletion(&[2])], [h(1), h(2)]));
        assert!(!is_hidden([&deletion(&[1]), &Value::Int(1)], [h(1)]));
    }
}
