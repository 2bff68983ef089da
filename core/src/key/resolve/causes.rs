//! Causes: their hosts, links, season and advice group.

use super::Resolver;
use crate::key::authored::{CauseEntry, CauseWords};
use crate::key::{Cause, Character, Host, Link, Text, Window};
use std::collections::BTreeMap;

impl Resolver {
    pub(super) fn cause(
        &mut self,
        entry: CauseEntry,
        es: &BTreeMap<String, CauseWords>,
        hosts: &[Host],
        characters: &[Character],
    ) -> Option<Cause> {
        let id = &entry.id;
        let es = es.get(id).cloned().unwrap_or_default();
        let key = self.links(&format!("{id} key"), &entry.key, characters);
        let fits = self.links(&format!("{id} fits"), &entry.fits, characters);
        let against = self.links(&format!("{id} against"), &entry.against, characters);
        let normal = |link: &Link| characters[link.character].normal == link.state;
        if key.iter().any(normal) {
            self.bad(format!("{id} key"), "names a normal state: a cause does not produce it");
        }
        if !fits.iter().all(normal) {
            self.bad(format!("{id} fits"), "names a state that is not the normal one");
        }
        let any_host = entry.hosts.iter().any(|h| h == "any");
        if any_host && entry.hosts.len() > 1 {
            self.bad(format!("{id} hosts"), "names hosts beside any");
        }
        if !any_host && !entry.except.is_empty() {
            self.bad(format!("{id} except"), "leaves hosts out of a list that names each");
        }
        let mut except = Vec::new();
        for name in &entry.except {
            let out: Vec<usize> =
                (0..hosts.len()).filter(|h| hosts[*h].id == *name || hosts[*h].group == *name).collect();
            if out.is_empty() {
                self.unknown(&format!("{id} except"), "host or host group", name);
            }
            except.extend(out);
        }
        let named: Vec<String> = entry.hosts.iter().filter(|h| *h != "any").cloned().collect();
        let (known_hosts, known_causes) = (self.index.hosts.clone(), self.index.causes.clone());
        let own_hosts = self.places(&format!("{id} hosts"), "host", &named, &known_hosts);
        let confusers = self.places(&format!("{id} confusers"), "cause", &entry.confusers, &known_causes);
        let window = Window::from_texts(&entry.window.0, &entry.window.1);
        if window.is_none() {
            self.bad(format!("{id} window"), "not two dates in the form 03-15");
        }
        let group = self.index.groups.get(&entry.group).copied();
        if group.is_none() {
            self.unknown(&format!("{id} group"), "advice group", &entry.group);
        }
        let prior = self.word(&format!("{id} prior"), &entry.prior);
        Some(Cause {
            name: Text::new(entry.name, es.name),
            origin: Text::new(entry.cause, es.cause),
            kind: entry.kind,
            any_host,
            except,
            hosts: own_hosts,
            prior: prior?.1,
            key,
            fits,
            against,
            confirm: Text::new(entry.confirm, es.confirm),
            confusers,
            window: window?,
            weather: Text::new(entry.weather, es.weather),
            steps: Text::new(entry.steps, es.steps),
            cautions: Text::new(entry.cautions, es.cautions),
            group: group?,
            role: entry.role,
            escalate: entry.escalate,
            id: entry.id,
        })
    }
}
