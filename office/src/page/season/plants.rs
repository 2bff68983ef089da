//! Plants with their causes over all that was asked for, and shares of it by one word.

use std::collections::BTreeMap;

use super::board::Making;
use crate::{
    counts::{Counts, HostCount},
    index::Ask,
    page::map::told::{Told, tell, tell_one},
};

/// One plant with its causes.
pub(super) struct Plant {
    pub(super) name: String,
    /// `90 of 300, 30 in 100 (25 to 35)`.
    pub(super) asked: String,
    /// `23 of 35 plants show it`; empty where nobody counted.
    pub(super) plants: String,
    /// `84 of 90`.
    pub(super) answered: String,
    /// Causes: name, found of those who asked, share, where the true one would lie.
    pub(super) causes: Vec<Cause>,
    pub(super) list: String,
}

/// One cause of a plant.
pub(super) struct Cause {
    pub(super) name: String,
    pub(super) found: String,
    pub(super) share: String,
    pub(super) list: String,
}

impl Making<'_> {
    /// Plants and causes over all the weeks.
    pub(super) fn plants(&self, counts: &Counts, ask: &Ask) -> Vec<Plant> {
        let sizes: Vec<(u64, u64)> = counts.hosts.iter().map(|h| (h.inquiries, counts.inquiries)).collect();
        let told = tell(&sizes, self.exact);
        counts.hosts.iter().zip(told).map(|(host, told)| self.plant(host, told, ask)).collect()
    }

    fn plant(&self, host: &HostCount, told: Told, ask: &Ask) -> Plant {
        let ask = Ask { host: host.id.clone(), ..ask.clone() };
        let told_whole = matches!(told, Told::Whole(..));
        let causes = host.causes.iter().filter(|_| told_whole).map(|(id, name, n)| {
            let told = tell_one(*n, host.inquiries, self.exact);
            Cause {
                name: name.clone(),
                found: told.words(self.frame),
                share: told.share(self.frame).map_or_else(String::new, |(_, share, between)| {
                    self.frame.with("season-share", [("share", &share), ("between", &between)])
                }),
                list: address("/inquiries", &Ask { cause: id.clone(), ..ask.clone() }),
            }
        });
        let (n, of) = host.plants;
        Plant {
            name: host.name.clone(),
            asked: told.full(self.frame),
            plants: if of == 0 || !told_whole {
                String::new()
            } else {
                self.frame.with("season-plants", [("n", &n), ("of", &of)])
            },
            answered: if told_whole {
                tell_one(host.answered, host.inquiries, self.exact).words(self.frame)
            } else {
                String::new()
            },
            causes: causes.collect(),
            list: address("/inquiries", &ask),
        }
    }

    /// Inquiries by the words of one column, the most first: word, how many of all.
    pub(super) fn shares(&self, counts: BTreeMap<String, u64>, said: impl Fn(&str) -> String) -> Vec<(String, String)> {
        let of: u64 = counts.values().sum();
        let mut rows: Vec<(String, u64)> = counts.into_iter().map(|(word, n)| (said(&word), n)).collect();
        rows.sort_by(|a, b| b.1.cmp(&a.1).then_with(|| a.0.cmp(&b.0)));
        // All of them stand here: a number under five would be their whole less the others.
        let told = tell(&rows.iter().map(|(_, n)| (*n, of)).collect::<Vec<_>>(), self.exact);
        rows.into_iter().zip(told).map(|((word, _), told)| (word, told.full(self.frame))).collect()
    }
}

/// The address of the list or the map with the same question.
pub(super) fn address(page: &str, ask: &Ask) -> String {
    let mut query: Vec<(&str, String)> = vec![
        ("host", ask.host.clone()),
        ("cause", ask.cause.clone()),
        ("township", ask.township.clone()),
        ("since", ask.from.map(|d| d.to_string()).unwrap_or_default()),
        ("until", ask.to.map(|d| d.to_string()).unwrap_or_default()),
    ];
    query.retain(|(_, value)| !value.is_empty());
    let query = serde_urlencoded::to_string(query).unwrap_or_default();
    if query.is_empty() { page.to_owned() } else { format!("{page}?{query}") }
}
