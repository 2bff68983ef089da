//! Answers that go over all that matches, kept in memory until something changes: whoever pages through a list or comes back
//! to a board asks the same again.

use std::{
    any::Any,
    num::NonZeroUsize,
    sync::{Arc, Mutex, PoisonError},
};

use dooryard_core::Result;
use lru::LruCache;
use rusqlite::Connection;

use super::{ask::Ask, store::mark};

/// So many answers are kept that are a few numbers, and so many that are more; then the one not asked for longest goes.
const FEW_NUMBERS: NonZeroUsize = NonZeroUsize::new(2_000).unwrap();
const MORE: NonZeroUsize = NonZeroUsize::new(40).unwrap();

/// What is asked about all that matches.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub(super) enum About {
    /// How many there are, and how many of them are not closed.
    Sum,
    /// How many may not be counted.
    LeftOut,
    /// In which inquiries the words stand.
    Hits,
    /// Counts per host and cause.
    Counts,
    /// The same by week.
    Weekly,
    /// Inquiries per week, and how many have an answer.
    Answered,
    /// Inquiries per place.
    Places,
    /// Inquiries by the words of a column.
    By(&'static str),
}

/// How far the index was: its notebook, and the turn.
type AsOf = (Option<i64>, Option<i64>);

type Kept = LruCache<(About, Ask), Arc<dyn Any + Send + Sync>>;

/// What is kept.
pub(super) struct Remembered(Mutex<State>);

struct State {
    as_of: AsOf,
    few_numbers: Kept,
    more: Kept,
}

impl State {
    fn of(&mut self, about: About) -> &mut Kept {
        if matches!(about, About::Sum | About::LeftOut) { &mut self.few_numbers } else { &mut self.more }
    }
}

impl Default for Remembered {
    fn default() -> Self {
        let (few_numbers, more) = (LruCache::new(FEW_NUMBERS), LruCache::new(MORE));
        Self(Mutex::new(State { as_of: (None, None), few_numbers, more }))
    }
}

impl Remembered {
    /// The answer about an ask, as the connection sees the index: the one that is kept, or else the one that `work` gives.
    pub(super) fn of<T: Clone + Send + Sync + 'static>(
        &self,
        conn: &Connection,
        about: About,
        ask: &Ask,
        work: impl FnOnce() -> Result<T>,
    ) -> Result<T> {
        let as_of: AsOf = (mark(conn, "database")?, mark(conn, "turn")?);
        let key = (about, ask.clone());
        if let Some(kept) = self.kept(as_of, &key) {
            return Ok(kept);
        }
        let answer = work()?;
        let mut state = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if state.as_of != as_of {
            state.few_numbers.clear();
            state.more.clear();
            state.as_of = as_of;
        }
        state.of(about).put(key, Arc::new(answer.clone()));
        Ok(answer)
    }

    fn kept<T: Clone + Send + Sync + 'static>(&self, as_of: AsOf, key: &(About, Ask)) -> Option<T> {
        let mut state = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if state.as_of != as_of {
            return None;
        }
        state.of(key.0).get(key)?.downcast_ref::<T>().cloned()
    }
}

#[cfg(test)]
mod tests {
    use std::cell::Cell;

    use super::*;
    use crate::index::store::{open, set_mark};

    #[test]
    fn an_answer_is_worked_out_once_until_the_index_goes_on() {
        let dir = tempfile::tempdir().unwrap();
        let conn = open(dir.path()).unwrap();
        let (kept, worked) = (Remembered::default(), Cell::new(0_u64));
        let ask = |status: &str| Ask { status: status.into(), ..Ask::default() };
        let answer = |about, ask: &Ask| {
            let work = || {
                worked.set(worked.get() + 1);
                Ok(worked.get())
            };
            kept.of(&conn, about, ask, work).unwrap()
        };
        assert_eq!([answer(About::Sum, &ask("open")), answer(About::Sum, &ask("open"))], [1, 1]);
        assert_eq!(answer(About::Sum, &ask("closed")), 2, "of another ask");
        assert_eq!(answer(About::Hits, &ask("open")), 3, "about something else");
        set_mark(&conn, "turn", 7).unwrap();
        assert_eq!([answer(About::Sum, &ask("open")), answer(About::Sum, &ask("open"))], [4, 4]);
        set_mark(&conn, "database", 1).unwrap();
        assert_eq!(answer(About::Sum, &ask("open")), 5, "of another notebook");
        // Many asks push the large answers out that nobody asked for again, not the small ones.
        let (small, large) = (answer(About::Sum, &ask("first")), answer(About::Counts, &ask("first")));
        for n in 0..MORE.get() {
            answer(About::Counts, &ask(&n.to_string()));
            answer(About::Sum, &ask(&n.to_string()));
        }
        assert_eq!(answer(About::Sum, &ask("first")), small);
        assert_ne!(answer(About::Counts, &ask("first")), large);
    }
}
