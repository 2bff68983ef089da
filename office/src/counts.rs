//! Counts per host and cause. No count stands without what it was counted out of; under five there is no share.

use std::collections::{BTreeMap, btree_map::Entry};

use dooryard_core::{ids::RecordId, notebook::Summary};
use serde_json::{Value as Json, json};

use crate::{
    ledger::{Ledger, reference},
    page::{Names, by_name, count},
};

/// Fewer than these give no share: it would say more about chance than about plants.
pub(crate) const FEW: u64 = 5;

/// Words of the scale that count a cause as held: about even, or more.
const HELD: [&str; 4] = ["about_even", "likely", "very_likely", "nearly_certain"];

/// Counts of a season.
#[derive(Clone, PartialEq, Debug)]
pub struct Counts {
    /// Inquiries counted.
    pub inquiries: u64,
    /// Inquiries left out because the resident did not agree to being counted.
    pub not_counted: u64,
    /// Per host, most inquiries first.
    pub hosts: Vec<HostCount>,
}

/// Hosts as they are counted, one inquiry after the other.
#[derive(Default)]
pub(crate) struct Tally(BTreeMap<String, HostCount>);

impl Tally {
    /// Adds one inquiry of a ledger.
    pub(crate) fn add(&mut self, ledger: &Ledger, inquiry: RecordId, names: &Names) {
        for one in HostCount::of_inquiry(ledger, inquiry, names) {
            match self.0.entry(one.id.clone()) {
                Entry::Vacant(place) => drop(place.insert(one)),
                Entry::Occupied(mut row) => row.get_mut().add(one),
            }
        }
    }

    /// The counts, out of so many inquiries.
    pub(crate) fn counts(self, inquiries: u64, not_counted: u64) -> Counts {
        Counts::in_order(inquiries, not_counted, self.0.into_values().collect())
    }
}

/// Counts of one host.
#[derive(Clone, PartialEq, Debug)]
pub struct HostCount {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// Inquiries about it.
    pub inquiries: u64,
    /// Plants that showed the trouble, and out of how many, where both were written down.
    pub plants: (u64, u64),
    /// Inquiries of it that have an answer.
    pub answered: u64,
    /// Causes held about even or likelier, with the number of inquiries: (id, name, how many).
    pub causes: Vec<(String, String, u64)>,
}

impl Counts {
    /// Counts what is not sealed and may be counted.
    pub fn of(ledger: &Ledger, names: &Names) -> Self {
        let counted: Vec<&Summary> = ledger.inquiries.iter().filter(|i| may_count(i)).collect();
        let mut tally = Tally::default();
        for inquiry in &counted {
            tally.add(ledger, inquiry.id, names);
        }
        tally.counts(counted.len() as u64, (ledger.inquiries.len() - counted.len()) as u64)
    }

    /// The counts with hosts and causes in the order in which they are shown.
    pub(crate) fn in_order(inquiries: u64, not_counted: u64, mut hosts: Vec<HostCount>) -> Self {
        hosts.sort_by(|a, b| b.inquiries.cmp(&a.inquiries).then_with(|| by_name(&a.name).cmp(&by_name(&b.name))));
        for host in &mut hosts {
            host.causes.sort_by(|a, b| b.2.cmp(&a.2).then_with(|| by_name(&a.1).cmp(&by_name(&b.1))));
        }
        Self { inquiries, not_counted, hosts }
    }

    /// The same with the names of another language, and in their order.
    pub(crate) fn named(mut self, names: &Names) -> Self {
        for host in &mut self.hosts {
            host.name = names.host(&host.id);
            host.causes.iter_mut().for_each(|(id, name, _)| *name = names.cause(id));
        }
        Self::in_order(self.inquiries, self.not_counted, self.hosts)
    }

    /// The table in words.
    pub fn words(&self) -> String {
        let mut lines = vec![
            format!("Counts per plant and cause, out of {}.", count(self.inquiries, "inquiry", "inquiries")),
            "A cause counts where the newest answer holds it about even or likelier; several can count in one inquiry."
                .into(),
        ];
        if self.not_counted > 0 {
            lines.push(format!(
                "{} left out at the resident's wish.",
                count(self.not_counted, "inquiry is", "inquiries are")
            ));
        }
        for h in &self.hosts {
            let mut line = format!("  {}: {}", h.name, out_of(h.inquiries, self.inquiries, "inquiries"));
            if h.plants.1 > 0 {
                line = format!("{line}; {} of {} plants show it", h.plants.0, h.plants.1);
            }
            lines.push(format!("{line}; {} of {} answered", h.answered, h.inquiries));
            for (_, name, n) in &h.causes {
                lines.push(format!("      {name}: {}", out_of(*n, h.answered, "answered")));
            }
        }
        lines.join("\n")
    }

    /// One object a line: a row for each host, and one for each cause of it.
    pub fn objects(&self) -> Vec<Json> {
        let mut rows = Vec::new();
        for h in &self.hosts {
            rows.push(json!({
                "host": h.id, "inquiries": h.inquiries, "of": self.inquiries,
                "affected": h.plants.0, "present": h.plants.1, "answered": h.answered,
            }));
            rows.extend(
                h.causes.iter().map(|(id, _, n)| json!({ "host": h.id, "cause": id, "n": n, "of": h.answered })),
            );
        }
        rows
    }
}

/// Whether an inquiry may be counted: nobody said no to it.
pub(crate) fn may_count(inquiry: &Summary) -> bool {
    inquiry.fields.get("consent").and_then(|c| c.get("count")).and_then(Json::as_bool) != Some(false)
}

impl HostCount {
    /// What one inquiry adds to the counts of each of its hosts.
    pub(crate) fn of_inquiry(ledger: &Ledger, inquiry: RecordId, names: &Names) -> Vec<Self> {
        ledger.hosts_of(inquiry).into_iter().map(|host| Self::of_host(ledger, inquiry, host, names)).collect()
    }

    fn of_host(ledger: &Ledger, inquiry: RecordId, host: &str, names: &Names) -> Self {
        let (id, name) = (host.to_owned(), names.host(host));
        let mut row = Self { id, name, inquiries: 1, plants: (0, 0), answered: 0, causes: Vec::new() };
        let int = |p: &Summary, field: &str| p.fields.get(field).and_then(Json::as_u64);
        for plant in ledger.plants.get(&inquiry).into_iter().flatten().filter(|p| p.text("host") == Some(host)) {
            if let (Some(n), Some(of)) = (int(plant, "affected"), int(plant, "present")) {
                row.plants = (row.plants.0 + n, row.plants.1 + of);
            }
        }
        // An answer about one plant counts for that plant's host only; one about none in particular for every host.
        let about = |d: &&Summary| {
            let plants = ledger.plants.get(&inquiry).into_iter().flatten();
            reference(d, "plant").is_none_or(|id| plants.clone().any(|p| p.id == id && p.text("host") == Some(host)))
        };
        let Some(newest) = ledger.diagnoses.get(&inquiry).and_then(|d| d.iter().find(about)) else { return row };
        row.answered = 1;
        let causes = newest.fields.get("causes").and_then(Json::as_array).into_iter().flatten();
        for id in causes.filter(|c| held(c)).filter_map(|c| c.get("cause")?.as_str()) {
            // What is regulated is neither named nor counted before the authority has spoken.
            if !names.regulated.contains(id) {
                row.add_cause(id.to_owned(), names.cause(id), 1);
            }
        }
        row
    }

    fn add(&mut self, other: Self) {
        self.inquiries += other.inquiries;
        self.plants = (self.plants.0 + other.plants.0, self.plants.1 + other.plants.1);
        self.answered += other.answered;
        for (id, name, n) in other.causes {
            self.add_cause(id, name, n);
        }
    }

    fn add_cause(&mut self, id: String, name: String, n: u64) {
        match self.causes.iter_mut().find(|(known, ..)| *known == id) {
            Some((.., known)) => *known += n,
            None => self.causes.push((id, name, n)),
        }
    }
}

/// Whether a named cause is held: about even, or likelier.
pub(crate) fn held(cause: &Json) -> bool {
    match cause.get("percent").and_then(Json::as_u64) {
        Some(percent) => percent >= 45,
        None => cause.get("word").and_then(Json::as_str).is_some_and(|w| HELD.contains(&w)),
    }
}

/// `16 of 19 inquiries, 84 in 100 (62 to 94)`; under five, `2 of 3 inquiries`.
pub fn out_of(n: u64, of: u64, what: &str) -> String {
    if of < FEW {
        return format!("{n} of {of} {what}");
    }
    let (share, low, high) = share(n, of);
    format!("{n} of {of} {what}, {share:.0} in 100 ({low:.0} to {high:.0})")
}

/// Share in a hundred with its 95 % interval by Wilson's score (E. B. Wilson, 1927), z = 1.96.
#[expect(clippy::cast_precision_loss, reason = "counts of a county")]
pub(crate) fn share(n: u64, of: u64) -> (f64, f64, f64) {
    let (n, of, z) = (n as f64, of as f64, 1.959_964);
    let p = n / of;
    let middle = p + z * z / (2.0 * of);
    let half = z * (p * (1.0 - p) / of + z * z / (4.0 * of * of)).sqrt();
    let whole = 1.0 + z * z / of;
    (p * 100.0, ((middle - half) / whole * 100.0).max(0.0), (middle + half) / whole * 100.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_share_stands_only_with_its_count_and_its_interval() {
        assert_eq!(out_of(16, 19, "inquiries"), "16 of 19 inquiries, 84 in 100 (62 to 94)");
        assert_eq!(out_of(2, 4, "inquiries"), "2 of 4 inquiries");
        assert_eq!(out_of(0, 5, "inquiries"), "0 of 5 inquiries, 0 in 100 (0 to 43)");
    }

    #[test]
    fn a_cause_counts_from_about_even_on() {
        assert!(held(&json!({"percent": 45})) && !held(&json!({"percent": 44, "word": "likely"})));
        assert!(held(&json!({"word": "about_even"})) && !held(&json!({"word": "unlikely"})));
    }
}
