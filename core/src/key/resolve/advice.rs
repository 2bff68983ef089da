//! Advice: acts, blocks, groups, and what contradicts what.

use super::Resolver;
use crate::key::authored::{AdviceEntry, BlockEntry, BlockKind, ConflictEntry, GroupEntry};
use crate::key::guidance::{Act, Block, Conflict, Group, Guidance};
use crate::key::{Character, Host, Window};
use std::collections::HashMap;

impl Resolver {
    pub(super) fn guidance(&mut self, entry: AdviceEntry, hosts: &[Host], characters: &[Character]) -> Guidance {
        let acts = self.index_of("act", entry.acts.0.iter().map(|(id, _)| id));
        let block_index = self.index_of("advice block", entry.blocks.iter().map(|b| &b.id));
        let blocks: Vec<Block> = entry.blocks.into_iter().map(|b| self.block(b, &acts, hosts)).collect();
        let groups = entry.groups.into_iter().map(|g| self.group(g, &block_index, &blocks)).collect();
        let conflicts = entry.conflicts.into_iter();
        let conflicts = conflicts.filter_map(|c| self.conflict(c, &acts, &block_index, &blocks, characters)).collect();
        let general = self.index.groups.get(Guidance::GENERAL).copied();
        if general.is_none() {
            self.unknown("advice", "advice group", Guidance::GENERAL);
        }
        let acts = entry.acts.0.into_iter().map(|(id, text)| Act { id, text }).collect();
        Guidance { acts, blocks, groups, conflicts, general: general.unwrap_or_default() }
    }

    fn block(&mut self, entry: BlockEntry, acts: &HashMap<String, usize>, hosts: &[Host]) -> Block {
        let place = format!("advice block {}", entry.id);
        let known_hosts = self.index.hosts.clone();
        let season = entry.season.as_ref().and_then(|(first, last)| Window::from_texts(first, last));
        if entry.season.is_some() && season.is_none() {
            self.bad(format!("{place} season"), "not two dates in the form 03-15");
        }
        for group in entry.host_groups.iter().filter(|g| !hosts.iter().any(|h| h.group == **g)) {
            self.unknown(&place, "host group", group);
        }
        Block {
            acts: self.places(&place, "act", &entry.acts, acts),
            hosts: self.places(&place, "host", &entry.hosts, &known_hosts),
            unless_done: self.places(&place, "act", &entry.unless_done, acts),
            id: entry.id,
            kind: entry.kind,
            needs: entry.needs,
            season,
            host_groups: entry.host_groups,
            edible: entry.edible,
            text: entry.text,
        }
    }

    fn group(&mut self, entry: GroupEntry, index: &HashMap<String, usize>, blocks: &[Block]) -> Group {
        let place = format!("advice group {}", entry.id);
        if !(1..=5).contains(&entry.harm) {
            self.bad(place.clone(), "harm lies between 1 and 5");
        }
        let own = self.places(&place, "advice block", &entry.blocks, index);
        let mut acts: Vec<usize> = own.iter().flat_map(|b| blocks[*b].acts.iter().copied()).collect();
        acts.sort_unstable();
        acts.dedup();
        Group { id: entry.id, name: entry.name, harm: entry.harm, blocks: own, acts, follow_up: entry.follow_up }
    }

    fn conflict(
        &mut self,
        entry: ConflictEntry,
        acts: &HashMap<String, usize>,
        index: &HashMap<String, usize>,
        blocks: &[Block],
        characters: &[Character],
    ) -> Option<Conflict> {
        let place = format!("advice conflict {}", entry.acts.join(" and "));
        let check = self.places(&place, "advice block", std::slice::from_ref(&entry.check), index).first().copied();
        if check.is_some_and(|c| blocks[c].kind != BlockKind::Check) {
            self.bad(place.clone(), "is settled by a block that is no check");
        }
        let own = self.places(&place, "act", &entry.acts, acts);
        if own.len() < 2 {
            self.bad(place.clone(), "names fewer than two acts");
        }
        let mut settled_by = Vec::new();
        for (finding, act) in &entry.settled_by.0 {
            let at = self.find_state(&place, finding, characters);
            let act = self.places(&place, "act", std::slice::from_ref(act), acts).first().copied();
            if let (Some((character, state)), Some(act)) = (at, act) {
                settled_by.push((character, state, act));
            }
        }
        Some(Conflict { acts: own, check: check?, settled_by })
    }
}
