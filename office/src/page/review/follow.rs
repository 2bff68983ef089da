//! The queue kept up to the notebook: worked out once, then what changed, turn by turn.

use std::{
    collections::BTreeSet,
    sync::{Mutex, PoisonError},
};

use dooryard_core::{ids::RecordId, notebook::Query, record::Kind};

use super::{case::answers, queue::Queue};
use crate::{
    ledger::{every, reference},
    page::{routes::Desk, trouble::Trouble},
};

/// Inquiries worked out at once.
const BATCH: usize = 100;
/// Turns read at once.
const STEP: usize = 2_000;

/// The queue of an office, worked out when somebody first asks.
#[derive(Default)]
pub struct Queues(Mutex<Option<Followed>>);

struct Followed {
    database: u64,
    turn: u64,
    queue: Queue,
}

impl Desk {
    /// Looks into the queue, up to the notebook as it stands.
    ///
    /// # Errors
    /// Of the stores; the queue is worked out anew the next time.
    pub(super) fn queue<T>(&self, look: impl FnOnce(&Queue) -> T) -> Result<T, Trouble> {
        let mut held = self.queue.0.lock().unwrap_or_else(PoisonError::into_inner);
        let followed = match held.take() {
            Some(followed) => follow(self, followed)?,
            None => begin(self)?,
        };
        let seen = look(&followed.queue);
        *held = Some(followed);
        Ok(seen)
    }
}

fn begin(desk: &Desk) -> Result<Followed, Trouble> {
    let notebook = desk.notebook();
    let now = notebook.changed_since(0, 0)?;
    let inquiries = every(notebook, &Query { kind: Some(Kind::Inquiry), ..Query::default() })?;
    let ids: Vec<RecordId> = inquiries.iter().map(|row| row.id).collect();
    let mut queue = Queue::default();
    put(desk, &mut queue, &ids)?;
    // What changed while it was worked out comes with the next turns.
    follow(desk, Followed { database: now.database, turn: now.newest, queue })
}

fn follow(desk: &Desk, mut followed: Followed) -> Result<Followed, Trouble> {
    loop {
        let changed = desk.notebook().changed_since(followed.turn, STEP)?;
        if changed.database != followed.database || changed.newest < followed.turn {
            return begin(desk);
        }
        if changed.records.is_empty() {
            return Ok(followed);
        }
        let index = desk.index()?;
        let mut inquiries: BTreeSet<RecordId> = BTreeSet::new();
        let mut alerts = Vec::new();
        for (id, kind, _) in &changed.records {
            match kind {
                Kind::Inquiry => drop(inquiries.insert(*id)),
                Kind::Alert => alerts.push(*id),
                Kind::Hours => {}
                _ => inquiries.extend(index.whose(*id)?),
            }
        }
        inquiries.extend(desk.notebook().rows_of(&alerts)?.iter().filter_map(|alert| reference(alert, "inquiry")));
        put(desk, &mut followed.queue, &Vec::from_iter(inquiries))?;
        followed.turn = changed.turn;
    }
}

fn put(desk: &Desk, queue: &mut Queue, inquiries: &[RecordId]) -> Result<(), Trouble> {
    for batch in inquiries.chunks(BATCH) {
        for (inquiry, answers) in answers(desk.notebook(), batch, &desk.pack, &desk.names)? {
            if !answers.is_empty() || queue.knows(inquiry) {
                queue.put(inquiry, answers);
            }
        }
    }
    Ok(())
}
