//! What devices write in a history, each with what it has seen and heard.

use std::collections::BTreeSet;

use dooryard_core::{
    ids::{DeviceId, Hash32, RecordId},
    log::{Body, Change, FieldHead, Head, Slot},
    record::{EXISTENCE, Value},
};
use dooryard_tests::MAY_1;

use super::{Event, Play, Written};
use crate::{
    office::{PHONES, RECORDS, record, value},
    ops::Odd,
};

/// A field that no version knows.
const UNKNOWN: u32 = 199;

impl Play {
    /// The changes of a field that a device has seen and that no change of that field names which it has seen.
    fn unnamed(&self, seen: &BTreeSet<usize>, rec: RecordId, field: u32) -> Vec<Hash32> {
        let (mut all, mut named) = (BTreeSet::new(), BTreeSet::new());
        for written in seen.iter().map(|n| &self.written[*n]).filter(|w| w.change.head.rec == rec) {
            for of in written.change.head.fields.iter().filter(|of| of.field == field) {
                all.insert(written.hash);
                named.extend(of.preds.iter().copied());
            }
        }
        all.difference(&named).copied().collect()
    }

    pub(super) fn write(
        &mut self,
        device: u8,
        at: usize,
        values: Vec<(u32, Value)>,
        edit: impl FnOnce(&mut Head),
    ) -> Event {
        let (who, rec) = (self.pick(device), record(at));
        let device = self.devices[who].0.clone();
        let heard = self.office.said.iter().take(device.heard);
        let (mut generation, mut cert) = (0, Hash32::ZERO);
        for (said, hash, _) in heard {
            match &said.body {
                Body::Erase { rec: of, generation: given, .. } if *of == rec => generation = generation.max(*given),
                Body::Cert(of) if DeviceId::of_key(&of.key) == device.log.device => cert = *hash,
                _ => {}
            }
        }
        let wall_ms = MAY_1.saturating_add_signed(device.off_ms) + self.steps * 60_000;
        let (mut fields, mut slots) = (Vec::new(), Vec::new());
        for (field, value) in values {
            let mut salt = [field as u8; 16];
            salt[..8].copy_from_slice(&(self.written.len() as u64).to_be_bytes());
            fields.push(FieldHead { field, preds: self.unnamed(&device.seen, rec, field) });
            slots.push(Slot::Body { salt, value: value.to_cbor() });
        }
        let mut head = Head {
            rtype: RECORDS[at].0.id(),
            seq: device.seq + 1,
            wall_ms,
            generation,
            kind: 0,
            rec,
            cert,
            form_ver: 1,
            fields,
            crit: None,
            ext: None,
        };
        edit(&mut head);
        let change = Change::new(head, slots);
        let hash = change.hash(&self.office.id(), &device.log, &device.tip);
        self.written.push(Written { log: device.log, prev: device.tip, hash, change });
        let number = self.written.len() - 1;
        let (now, past) = &mut self.devices[who];
        past.push(device);
        (now.seq, now.tip) = (now.seq + 1, hash);
        now.seen.insert(number);
        Event::Wrote(who, number)
    }

    pub(super) fn exist(&mut self, device: u8, at: u8, alive: bool) -> Event {
        let at = at as usize % RECORDS.len();
        self.count(if alive { "a record brought back" } else { "a record deleted" });
        let value = if alive {
            Value::Int(1)
        } else {
            let seen = &self.devices[self.pick(device)].0.seen;
            let mut hashes: Vec<Hash32> =
                RECORDS[at].1.iter().flat_map(|field| self.unnamed(seen, record(at), *field)).collect();
            hashes.sort_unstable();
            hashes.dedup();
            let hashes = hashes.into_iter().map(|hash| Value::Bytes(hash.0.to_vec())).collect();
            Value::List(vec![Value::Int(0), Value::List(hashes)])
        };
        self.write(device, at, vec![(EXISTENCE, value)], |_| {})
    }

    pub(super) fn odd(&mut self, device: u8, at: u8, how: Odd) -> Event {
        let (at, n) = (at as usize % RECORDS.len(), self.written.len());
        let field = RECORDS[at].1[n % 3];
        let others = self.written.iter().map(|w| w.hash).take(8).collect::<BTreeSet<_>>();
        let stranger = self.office.said[1 + n % (PHONES.len() - 1)].1;
        let values = match how {
            Odd::UnknownField => vec![(UNKNOWN, Value::Int(n as i64))],
            _ => vec![(field, value(field, n))],
        };
        self.count("an odd change");
        self.write(device, at, values, |head| match how {
            Odd::UnknownField => {}
            Odd::Critical => head.crit = Some(vec![0x81, 1]),
            Odd::Addition => head.ext = Some(vec![0x81, 2]),
            Odd::Request => head.kind = 1,
            Odd::Generation => head.generation += 1,
            Odd::Certificate => head.cert = stranger,
            Odd::OtherPreds => head.fields[0].preds = others.into_iter().collect(),
        })
    }
}
