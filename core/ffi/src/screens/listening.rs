//! Whoever shows a screen is told when something was written, and asks its screen again.

use std::sync::{Arc, Mutex, PoisonError, Weak};

use crate::errors::NotebookError;

/// Told after each act that wrote something, on the thread that called. It asks its screen again, from a thread that may wait.
#[uniffi::export(foreign)]
pub trait ChangeListener: Send + Sync {
    /// Something was written. What is thrown here is heard by nobody: the act is done.
    ///
    /// # Errors
    /// Whatever the listener throws.
    fn on_change(&self) -> Result<(), NotebookError>;
}

type List = Mutex<Vec<(u64, Arc<dyn ChangeListener>)>>;

/// Everybody who listens.
#[derive(Default)]
pub(super) struct Listeners {
    list: Arc<List>,
    next: Mutex<u64>,
}

impl Listeners {
    pub(super) fn add(&self, listener: Arc<dyn ChangeListener>) -> Arc<Listening> {
        let mut next = self.next.lock().unwrap_or_else(PoisonError::into_inner);
        *next += 1;
        self.list.lock().unwrap_or_else(PoisonError::into_inner).push((*next, listener));
        Arc::new(Listening { number: *next, list: Arc::downgrade(&self.list) })
    }

    /// Tells everybody. The list is free meanwhile: a listener may cancel itself.
    pub(super) fn tell(&self) {
        let all: Vec<Arc<dyn ChangeListener>> = {
            let list = self.list.lock().unwrap_or_else(PoisonError::into_inner);
            list.iter().map(|(_, listener)| listener.clone()).collect()
        };
        for listener in all {
            // The act is done, whatever a listener makes of it.
            let _ = listener.on_change();
        }
    }
}

/// The handle of a listener: it is told until this is cancelled.
#[derive(uniffi::Object)]
pub struct Listening {
    number: u64,
    list: Weak<List>,
}

#[uniffi::export]
impl Listening {
    /// The listener is told no more. Asking twice is fine.
    ///
    /// # Errors
    /// None.
    pub fn cancel(&self) -> Result<(), NotebookError> {
        if let Some(list) = self.list.upgrade() {
            list.lock().unwrap_or_else(PoisonError::into_inner).retain(|(number, _)| *number != self.number);
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use std::sync::atomic::{AtomicU32, Ordering};

    use super::*;

    #[derive(Default)]
    struct Counts(AtomicU32);

    impl ChangeListener for Counts {
        fn on_change(&self) -> Result<(), NotebookError> {
            self.0.fetch_add(1, Ordering::SeqCst);
            Err(NotebookError::ListenerFailed)
        }
    }

    #[test]
    fn each_listener_is_told_until_its_handle_is_cancelled() {
        let listeners = Listeners::default();
        let (a, b) = (Arc::new(Counts::default()), Arc::new(Counts::default()));
        let (first, _second) = (listeners.add(a.clone()), listeners.add(b.clone()));
        listeners.tell();
        first.cancel().unwrap();
        first.cancel().unwrap();
        listeners.tell();
        assert_eq!((a.0.load(Ordering::SeqCst), b.0.load(Ordering::SeqCst)), (1, 2));
        drop(listeners);
        first.cancel().unwrap();
    }
}
