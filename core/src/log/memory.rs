//! The log in memory: the model that every other store is compared with.

use std::collections::{BTreeMap, BTreeSet};

use super::{
    chain::Link,
    store::{ChangeRow, Fact, FactState, Inserted, Pick, Store},
};
use crate::{
    error::Result,
    ids::{Hash32, LogId, RecordId},
};

/// A store of sorted maps.
#[derive(Clone, Default, Debug)]
pub struct Memory {
    changes: BTreeMap<(LogId, u64, Hash32), ChangeRow>,
    facts: BTreeMap<(RecordId, u32, Hash32), Fact>,
    lost: BTreeMap<(LogId, u64, Hash32), Hash32>,
    records: BTreeSet<RecordId>,
    statements: BTreeMap<(u64, Hash32), Vec<u8>>,
}

impl Store for Memory {
    fn insert_changes(&mut self, log: &LogId, rows: &[ChangeRow]) -> Result<Vec<Inserted>> {
        let put = |row: &ChangeRow| {
            if let Some(here) = self.changes.get(&(*log, row.seq, row.hash)) {
                return Inserted::Known { partial: here.partial };
            }
            let place = (*log, row.seq, Hash32::ZERO)..=(*log, row.seq, Hash32([0xff; 32]));
            let forked = self.changes.range(place).next().is_some();
            self.changes.insert((*log, row.seq, row.hash), row.clone());
            Inserted::New { forked }
        };
        Ok(rows.iter().map(put).collect())
    }

    fn touch_records(&mut self, records: &[(RecordId, u32)]) -> Result<Vec<bool>> {
        Ok(records.iter().map(|(rec, _)| !self.records.insert(*rec)).collect())
    }

    fn facts(&mut self, rec: &RecordId, field: Option<u32>) -> Result<Vec<Fact>> {
        let (low, high) = field.map_or((0, u32::MAX), |f| (f, f));
        let range = (*rec, low, Hash32::ZERO)..=(*rec, high, Hash32([0xff; 32]));
        Ok(self.facts.range(range).map(|(_, fact)| fact.clone()).collect())
    }

    fn insert_facts(&mut self, facts: &[Fact]) -> Result<()> {
        self.update_facts(facts)
    }

    fn update_facts(&mut self, facts: &[Fact]) -> Result<()> {
        self.facts.extend(facts.iter().map(|fact| ((fact.rec, fact.field, fact.hash), fact.clone())));
        Ok(())
    }

    fn changes(&mut self, pick: Pick) -> Result<Vec<(LogId, ChangeRow)>> {
        let picked = |log: &LogId, row: &ChangeRow| match pick {
            Pick::Log(wanted) => *log == wanted,
            Pick::Record(wanted) => row.rec == wanted,
        };
        let all = self.changes.iter().filter(|((log, ..), row)| picked(log, row));
        Ok(all.map(|((log, ..), row)| (*log, row.clone())).collect())
    }

    fn update_change(&mut self, log: &LogId, row: &ChangeRow) -> Result<()> {
        self.changes.insert((*log, row.seq, row.hash), row.clone());
        Ok(())
    }

    fn insert_lost(&mut self, log: &LogId, lost: &[Link]) -> Result<()> {
        for link in lost {
            let prev = self.lost.entry((*log, link.seq, link.hash)).or_insert(link.prev);
            *prev = link.prev.max(*prev);
        }
        Ok(())
    }

    fn lost(&mut self) -> Result<Vec<(LogId, Link)>> {
        let open = self.lost.iter().filter(|(place, _)| !self.changes.contains_key(*place));
        Ok(open.map(|((log, seq, hash), prev)| (*log, Link { seq: *seq, hash: *hash, prev: *prev })).collect())
    }

    fn logs(&mut self) -> Result<Vec<LogId>> {
        let mut logs: Vec<_> = self.changes.keys().map(|(log, ..)| *log).collect();
        logs.dedup();
        Ok(logs)
    }

    fn insert_statement(&mut self, seq: u64, hash: &Hash32, signed: &[u8]) -> Result<()> {
        self.statements.insert((seq, *hash), signed.to_vec());
        Ok(())
    }

    fn statements(&mut self) -> Result<Vec<Vec<u8>>> {
        Ok(self.statements.values().cloned().collect())
    }

    fn each_fact(&mut self, see: &mut dyn FnMut(FactState)) -> Result<()> {
        for f in self.facts.values() {
            see(FactState {
                rec: f.rec,
                field: f.field,
                hash: f.hash,
                state: f.state,
                admitted: f.admitted,
                live: f.live,
            });
        }
        Ok(())
    }
}
