//! Long work: progress in coarse steps, and a way to stop it.

use std::sync::{
    Arc,
    atomic::{AtomicBool, Ordering},
};

use crate::error::{Error, Result};

/// Handed into long work: told of each step, asked whether to stop.
#[derive(Clone, Default)]
pub struct Job {
    cancelled: Arc<AtomicBool>,
    listener: Option<Arc<dyn Fn(u64, u64) + Send + Sync>>,
}

impl Job {
    /// Work that nobody watches.
    pub fn silent() -> Self {
        Self::default()
    }

    /// Work that tells `listener` of (done, total) after each step.
    pub fn watched(listener: impl Fn(u64, u64) + Send + Sync + 'static) -> Self {
        Self { cancelled: Arc::default(), listener: Some(Arc::new(listener)) }
    }

    /// The same work, stopped by `flag`: for a caller that holds the flag before the work begins.
    #[must_use]
    pub fn stopped_by(mut self, flag: Arc<AtomicBool>) -> Self {
        self.cancelled = flag;
        self
    }

    /// Asks the work to stop at its next step.
    pub fn cancel(&self) {
        self.cancelled.store(true, Ordering::SeqCst);
    }

    /// Says how far the work is.
    ///
    /// # Errors
    /// [`Error::Cancelled`] when somebody asked to stop.
    pub fn step(&self, done: u64, total: u64) -> Result<()> {
        if let Some(listener) = &self.listener {
            listener(done, total);
        }
        if self.cancelled.load(Ordering::SeqCst) { Err(Error::Cancelled) } else { Ok(()) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_flag_raised_before_or_during_the_work_stops_it_at_the_next_step() {
        let flag = Arc::new(AtomicBool::new(false));
        let job = Job::silent().stopped_by(flag.clone());
        assert!(job.step(1, 2).is_ok());
        flag.store(true, Ordering::SeqCst);
        assert!(matches!(job.step(2, 2), Err(Error::Cancelled)));
    }
}
