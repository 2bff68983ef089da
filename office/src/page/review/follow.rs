//! The queue kept up to the notebook: worked out once and kept beside the index, then what changed, turn by turn.

use std::{
    collections::BTreeSet,
    sync::{Mutex, PoisonError},
};

use dooryard_core::{ids::RecordId, record::Kind};

use super::{
    case::{Answer, answers},
    queue::Queue,
};
use crate::{
    index::{Answers, Ask},
    ledger::reference,
    page::{routes::Desk, trouble::Trouble},
};

/// Inquiries worked out at once.
const BATCH: usize = 100;
/// Inquiries kept at once while all are worked out.
const KEPT: usize = 1_000;
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
    /// Works the queue out, or reads it, so that nobody has to wait for it later. Trouble is told to whoever asks next.
    pub(in crate::page) fn make_queue(&self) {
        let _told_later = self.queue(|_| ());
    }

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

/// The rules by which answers are kept: another number is worked out anew, and so is another pack.
const RULES: u32 = 1;

pub(super) fn rules(desk: &Desk) -> String {
    format!("{RULES} {}", desk.names.pack)
}

/// As it was kept, or else worked out of every inquiry that lists may show.
fn begin(desk: &Desk) -> Result<Followed, Trouble> {
    let (notebook, index) = (desk.notebook(), desk.index()?);
    let now = notebook.changed_since(0, 0)?;
    let mut queue = Queue::default();
    if let Some((turn, kept)) = index.answers(&rules(desk))?.filter(|(turn, _)| *turn <= now.newest) {
        let read = |(id, text): (RecordId, String)| Some((id, serde_json::from_str(&text).ok()?));
        let answers: Option<Vec<(RecordId, Vec<Answer>)>> = kept.into_iter().map(read).collect();
        if let Some(answers) = answers {
            answers.into_iter().for_each(|(inquiry, answers)| queue.put(inquiry, answers));
            return follow(desk, Followed { database: now.database, turn, queue });
        }
    }
    index.forget_answers()?;
    for batch in index.ids(&Ask::default())?.chunks(KEPT) {
        index.keep_answers(&put(desk, &mut queue, batch)?, None)?;
    }
    index.keep_answers(&[], Some((now.newest, &rules(desk))))?;
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
        let answers = put(desk, &mut followed.queue, &Vec::from_iter(inquiries))?;
        index.keep_answers(&answers, Some((changed.turn, &rules(desk))))?;
        followed.turn = changed.turn;
    }
}

/// Works these inquiries out and puts them into the queue; returns them as they are kept.
fn put(desk: &Desk, queue: &mut Queue, inquiries: &[RecordId]) -> Result<Answers, Trouble> {
    let mut kept = Answers::new();
    for batch in inquiries.chunks(BATCH) {
        for (inquiry, answers) in answers(desk.notebook(), batch, &desk.pack, &desk.names)? {
            let is_known = queue.knows(inquiry);
            if answers.is_empty() && !is_known {
                continue;
            }
            let text = if answers.is_empty() { String::new() } else { as_text(&answers)? };
            kept.push((inquiry, text));
            queue.put(inquiry, answers);
        }
    }
    Ok(kept)
}

fn as_text(answers: &[Answer]) -> Result<String, Trouble> {
    serde_json::to_string(answers).map_err(|_| Trouble::HalfWay)
}
