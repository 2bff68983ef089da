//! Answers that go over all that matches, kept in memory until something changes: whoever pages through a list or comes back
//! to a board asks the same again.

use std::{
    any::Any,
    collections::HashMap,
    sync::{Arc, Mutex, PoisonError},
};

use dooryard_core::Result;
use rusqlite::Connection;

use super::{ask::Ask, store::mark};

/// So many answers are kept; then they are forgotten together.
const MOST: usize = 64;

/// How far the index was: its notebook, and the turn.
type AsOf = (Option<i64>, Option<i64>);

/// What is kept.
#[derive(Default)]
pub(super) struct Remembered(Mutex<State>);

#[derive(Default)]
struct State {
    as_of: AsOf,
    answers: HashMap<(&'static str, Ask), Arc<dyn Any + Send + Sync>>,
}

impl Remembered {
    /// The answer to `what` of an ask, as the connection sees the index: the one that is kept, or else the one that `work` gives.
    pub(super) fn of<T: Clone + Send + Sync + 'static>(
        &self,
        conn: &Connection,
        what: &'static str,
        ask: &Ask,
        work: impl FnOnce() -> Result<T>,
    ) -> Result<T> {
        let as_of: AsOf = (mark(conn, "database")?, mark(conn, "turn")?);
        let key = (what, ask.clone());
        if let Some(kept) = self.kept(as_of, &key) {
            return Ok(kept);
        }
        let answer = work()?;
        let mut state = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if state.as_of != as_of || state.answers.len() >= MOST {
            *state = State { as_of, ..State::default() };
        }
        state.answers.insert(key, Arc::new(answer.clone()));
        Ok(answer)
    }

    fn kept<T: Clone + Send + Sync + 'static>(&self, as_of: AsOf, key: &(&'static str, Ask)) -> Option<T> {
        let state = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let kept = state.answers.get(key).filter(|_| state.as_of == as_of)?;
        kept.downcast_ref::<T>().cloned()
    }
}
