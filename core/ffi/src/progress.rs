//! Long work seen from a phone: it is told of each step and can stop the work.

use std::sync::{
    Arc, Mutex, PoisonError,
    atomic::{AtomicBool, Ordering},
};

use dooryard_core::job::Job;

use crate::errors::NotebookError;

/// Told of each coarse step of long work, on the thread that called.
#[uniffi::export(foreign)]
pub trait ProgressListener: Send + Sync {
    /// `done` of `total` steps are behind. Throwing stops the work.
    ///
    /// # Errors
    /// Whatever the listener throws: it comes back from the call that does the work.
    fn on_progress(&self, done: i64, total: i64) -> Result<(), NotebookError>;
}

/// Stops one piece of long work, from any thread. Once cancelled it stays so: make a new one for the next piece.
#[derive(Default, Debug, uniffi::Object)]
pub struct CancelToken {
    stop: Arc<AtomicBool>,
}

#[uniffi::export]
impl CancelToken {
    /// A token that stops nothing yet.
    #[uniffi::constructor]
    pub fn new() -> Arc<Self> {
        Arc::default()
    }

    /// Stops the work at its next step.
    pub fn cancel(&self) {
        self.stop.store(true, Ordering::SeqCst);
    }

    /// Whether somebody asked to stop.
    pub fn is_cancelled(&self) -> bool {
        self.stop.load(Ordering::SeqCst)
    }
}

/// Runs long work of the core under a token and a listener.
///
/// # Errors
/// The listener's own error when it stopped the work, otherwise the core's.
pub(crate) fn watched<T>(
    token: Option<Arc<CancelToken>>,
    listener: Option<Arc<dyn ProgressListener>>,
    work: impl FnOnce(&Job) -> dooryard_core::Result<T>,
) -> Result<T, NotebookError> {
    let stop = token.unwrap_or_default().stop.clone();
    // Work without a step, such as a backup without photos, would not notice.
    if stop.load(Ordering::SeqCst) {
        return Err(NotebookError::Cancelled);
    }
    let thrown = Arc::new(Mutex::new(None));
    let job = match listener {
        None => Job::silent(),
        Some(listener) => {
            let (stop, thrown) = (stop.clone(), thrown.clone());
            Job::watched(move |done, total| {
                if let Err(e) = listener.on_progress(signed(done), signed(total)) {
                    thrown.lock().unwrap_or_else(PoisonError::into_inner).get_or_insert(e);
                    stop.store(true, Ordering::SeqCst);
                }
            })
        }
    };
    work(&job.stopped_by(stop)).map_err(|e| {
        let thrown = thrown.lock().unwrap_or_else(PoisonError::into_inner).take();
        match (NotebookError::from(e), thrown) {
            (NotebookError::Cancelled, Some(thrown)) => thrown,
            (e, _) => e,
        }
    })
}

fn signed(count: u64) -> i64 {
    i64::try_from(count).unwrap_or(i64::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;

    struct Heard {
        steps: Mutex<Vec<(i64, i64)>>,
        throws_at: i64,
        throws: NotebookError,
    }

    impl ProgressListener for Heard {
        fn on_progress(&self, done: i64, total: i64) -> Result<(), NotebookError> {
            self.steps.lock().unwrap().push((done, total));
            if done == self.throws_at { Err(self.throws.clone()) } else { Ok(()) }
        }
    }

    fn listener(throws_at: i64, throws: NotebookError) -> Arc<Heard> {
        Arc::new(Heard { steps: Mutex::default(), throws_at, throws })
    }

    fn three_steps(job: &Job) -> dooryard_core::Result<&'static str> {
        (1..=3).try_for_each(|done| job.step(done, 3))?;
        Ok("done")
    }

    #[test]
    fn each_step_is_heard_in_order() {
        let heard = listener(99, NotebookError::Cancelled);
        assert_eq!(watched(None, Some(heard.clone()), three_steps), Ok("done"));
        assert_eq!(*heard.steps.lock().unwrap(), [(1, 3), (2, 3), (3, 3)]);
    }

    #[test]
    fn a_listener_that_throws_stops_the_work_and_its_error_comes_back() {
        let heard = listener(2, NotebookError::ListenerFailed);
        assert_eq!(watched(None, Some(heard.clone()), three_steps), Err(NotebookError::ListenerFailed));
        assert_eq!(heard.steps.lock().unwrap().len(), 2);
    }

    #[test]
    fn a_cancelled_token_stops_the_work_before_it_begins() {
        let token = CancelToken::new();
        assert!(!token.is_cancelled());
        token.cancel();
        assert!(token.is_cancelled());
        let begun = |_: &Job| -> dooryard_core::Result<()> { panic!("the work began") };
        assert_eq!(watched(Some(token), None, begun), Err(NotebookError::Cancelled));
    }

    #[test]
    fn a_token_cancelled_by_another_thread_stops_the_work_at_its_next_step() {
        let token = CancelToken::new();
        let far = token.clone();
        let work = |job: &Job| {
            job.step(1, 3)?;
            std::thread::spawn(move || far.cancel()).join().unwrap();
            job.step(2, 3)
        };
        assert_eq!(watched(Some(token), None, work), Err(NotebookError::Cancelled));
    }

    #[test]
    fn another_error_of_the_work_is_not_hidden_by_the_listeners() {
        let heard = listener(1, NotebookError::ListenerFailed);
        let fails = |job: &Job| -> dooryard_core::Result<()> {
            let _ = job.step(1, 2);
            Err(dooryard_core::Error::NotEnrolled)
        };
        assert_eq!(watched(None, Some(heard), fails), Err(crate::errors::not_enrolled()));
    }
}
