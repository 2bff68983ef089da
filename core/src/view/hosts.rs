//! The kinds of plants to choose from: those chosen lately, and all of the pack by group.

use super::{act::Choice, reader::View};
use crate::{
    Result,
    notebook::PageAsk,
    record::Kind,
    words::{sentence_case, spaced},
};

/// Kinds shown as met last.
const RECENT: usize = 6;
/// Plants looked through for them.
const LOOKED_THROUGH: usize = 40;

/// Kinds of one group.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct HostGroup {
    /// What the group is called.
    pub name: String,
    /// Its kinds.
    pub hosts: Vec<Choice>,
}

pub(super) fn recent(view: &View<'_>, chosen: &str) -> Result<Vec<Choice>> {
    let ask = PageAsk {
        kinds: vec![Kind::Plant],
        deleted: false,
        words: String::new(),
        only: crate::notebook::Only::All,
        after: None,
        limit: LOOKED_THROUGH,
    };
    let mut recent: Vec<Choice> = Vec::new();
    for row in view.notebook.page(&ask)?.0 {
        let Some(host) = row.text("host").and_then(|id| view.pack.host(id)) else { continue };
        if recent.len() < RECENT && !recent.iter().any(|c| c.id == host.id) {
            let text = host.name.get(view.words.0).to_owned();
            recent.push(Choice { id: host.id.clone(), text, chosen: host.id == chosen });
        }
    }
    Ok(recent)
}

pub(super) fn hosts(view: &View<'_>, chosen: &str) -> Vec<HostGroup> {
    let mut groups: Vec<HostGroup> = Vec::new();
    for host in &view.pack.hosts {
        let known = view.known(&format!("desk-group-{}", host.group.replace('_', "-")));
        let name = if known.is_empty() { sentence_case(&spaced(&host.group)) } else { known };
        let text = host.name.get(view.words.0).to_owned();
        let row = Choice { id: host.id.clone(), text, chosen: host.id == chosen };
        match groups.iter_mut().find(|g| g.name == name) {
            Some(group) => group.hosts.push(row),
            None => groups.push(HostGroup { name, hosts: vec![row] }),
        }
    }
    let unknown = Choice { id: "unknown".into(), text: view.say("key-host-unknown"), chosen: chosen == "unknown" };
    groups.push(HostGroup { name: view.say("phone-host-none"), hosts: vec![unknown] });
    groups
}
