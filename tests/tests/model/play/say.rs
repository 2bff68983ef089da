//! What the office says in a history.

use dooryard_core::{ids::RecordId, log::Body, record::Role};

use super::{Event, Play, Written};
use crate::{
    office::{self, PHONES, RECORDS, record},
    ops::Say,
};

impl Play {
    pub(super) fn say(&mut self, said: &Say) -> Event {
        let body = match *said {
            Say::Certify { phone, role } => {
                let phone = phone as usize % PHONES.len();
                Some(office::cert(phone, role, self.office.said.len() as u64 + 1))
            }
            Say::Revoke { change } => {
                self.written_at(change).map(|w| Body::Revoke { device: w.log.device, tips: vec![w.hash] })
            }
            Say::Decide { change, admit } => self.written_at(change).map(|w| {
                let (rec, change) = (w.change.head.rec, w.hash);
                if admit { Body::Admit { rec, change } } else { Body::Refuse { rec, change } }
            }),
            Say::Erase { record: at, fields } => {
                let at = at as usize % RECORDS.len();
                let fields = (0..3).filter(|bit| fields & (1 << bit) != 0).map(|bit| RECORDS[at].1[bit]).collect();
                Some(Body::Erase { rec: record(at), fields, generation: self.highest(record(at)) + 1, blobs: vec![] })
            }
            Say::Correct { change, skew_ms } => self.written_at(change).map(|w| Body::Clock {
                log: w.log,
                from: w.change.head.seq,
                to: w.change.head.seq + 5,
                skew_ms,
            }),
            Say::Assign { record: at, phone } => Some(Body::Assign {
                rec: record(at as usize % RECORDS.len()),
                device: office::device(phone as usize % PHONES.len()),
            }),
        };
        let Some(body) = body else { return Event::Nothing };
        self.count(match &body {
            Body::Cert(cert) if cert.role == Role::Scout => "a phone made a scout's",
            Body::Cert(_) => "a phone given another role",
            Body::Revoke { .. } => "a device revoked",
            Body::Admit { .. } => "a change admitted",
            Body::Refuse { .. } => "a change refused",
            Body::Erase { fields, .. } if fields.is_empty() => "a record erased",
            Body::Erase { .. } => "fields erased",
            Body::Clock { .. } => "a clock corrected",
            Body::Assign { .. } => "a record assigned",
        });
        self.office.say(body);
        Event::Said(self.office.said.len() - 1)
    }

    /// The highest generation of a record that anybody wrote or gave.
    fn highest(&self, rec: RecordId) -> u64 {
        let written = self.written.iter().filter(|w| w.change.head.rec == rec).map(|w| w.change.head.generation);
        let given = self.office.said.iter().filter_map(|(said, ..)| match said.body {
            Body::Erase { rec: of, generation, .. } if of == rec => Some(generation),
            _ => None,
        });
        written.chain(given).max().unwrap_or(0)
    }

    fn written_at(&self, change: u8) -> Option<&Written> {
        self.pick_change(change).map(|n| &self.written[n])
    }
}
