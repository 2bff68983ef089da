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
