//! Which steps are told: by cause, season, host, plants to be eaten, and what was done already.

use super::{Situation, Step, Told};
use crate::key::{
    Escalate, Host, Observations, Pack,
    authored::BlockKind,
    guidance::{Block, FollowUp, Needs},
};

/// The steps for the causes told; general care where none is likely.
pub(super) fn steps(pack: &Pack, observations: &Observations, told: &[Told<'_>], situation: &Situation) -> Vec<Step> {
    let Some(host) = pack.host(&observations.host) else { return Vec::new() };
    let at = pack.hosts.iter().position(|h| h.id == host.id).unwrap_or_default();
    let done: Vec<usize> = situation.done.iter().filter_map(|act| pack.guidance.act(act)).collect();
    let chooser = Chooser { pack, host, at, done, date: observations.date };
    let mut steps = Vec::new();
    let likely = || told.iter().filter(|t| t.evidence >= Needs::Likely);
    if likely().next().is_none() || likely().any(|t| !t.open) {
        chooser.group(pack.guidance.general, Needs::VeryLikely, &mut steps);
    }
    for one in told {
        let closed = !one.open;
        if one.evidence >= Needs::Likely && !closed {
            chooser.own_words(one, &mut steps);
        }
        // Before the laboratory has answered nothing goes out but what does no harm if it is something else.
        chooser.group(one.cause.group, if closed { Needs::Possible } else { one.evidence }, &mut steps);
    }
    steps
}

/// What is asked later: that of the group whose advice avoids most harm, or of general care.
pub(super) fn follow_up(pack: &Pack, told: &[Told<'_>]) -> Option<FollowUp> {
    let likely = told.iter().filter(|t| t.evidence >= Needs::Likely).map(|t| &pack.guidance.groups[t.cause.group]);
    let group = likely.max_by_key(|g| g.harm).or_else(|| pack.guidance.groups.get(pack.guidance.general));
    group.and_then(|g| g.follow_up.clone())
}

struct Chooser<'p> {
    pack: &'p Pack,
    host: &'p Host,
    at: usize,
    done: Vec<usize>,
    date: (u8, u8),
}

impl Chooser<'_> {
    /// What the cause's own entry says. It counts as asking for everything its group asks for.
    fn own_words(&self, told: &Told<'_>, steps: &mut Vec<Step>) {
        let group = &self.pack.guidance.groups[told.cause.group];
        let harm = group.harm;
        let step = |kind, part: &str, text: &crate::key::Text, acts: Vec<usize>| Step {
            kind,
            id: format!("{}.{part}", told.cause.id),
            text: text.clone(),
            from: None,
            harm,
            acts,
        };
        if told.cause.escalate != Escalate::Regulated {
            steps.push(step(BlockKind::Now, "do", &told.cause.steps, group.acts.clone()));
            steps.push(step(BlockKind::WhenNot, "dont", &told.cause.cautions, Vec::new()));
        }
    }

    fn group(&self, group: usize, evidence: Needs, steps: &mut Vec<Step>) {
        let group = &self.pack.guidance.groups[group];
        for block in group.blocks.iter().map(|b| &self.pack.guidance.blocks[*b]) {
            if block.needs <= evidence && self.fits(block) {
                self.tell(block, group.harm, steps);
            }
        }
    }

    fn fits(&self, block: &Block) -> bool {
        let named = block.hosts.is_empty() && block.host_groups.is_empty();
        let host = named || block.hosts.contains(&self.at) || block.host_groups.contains(&self.host.group);
        let eaten = block.edible.is_none_or(|edible| edible == self.host.edible);
        host && eaten && !block.unless_done.iter().any(|act| self.done.contains(act))
    }

    /// Each block stands once; what cannot be done at this time of year is told for later.
    fn tell(&self, block: &Block, harm: u8, steps: &mut Vec<Step>) {
        if let Some(known) = steps.iter_mut().find(|s| s.id == block.id) {
            known.harm = known.harm.max(harm);
            return;
        }
        let later = block.season.filter(|season| !season.holds(self.date));
        let (kind, from) = match (block.kind, later) {
            (BlockKind::Now | BlockKind::When, Some(season)) => (BlockKind::When, Some(season.first_day())),
            (kind, _) => (kind, None),
        };
        steps.push(Step { kind, id: block.id.clone(), text: block.text.clone(), from, harm, acts: block.acts.clone() });
    }
}
