//! A notebook on a clock that somebody sets, so that pictures and tests show the same each time.

use std::{path::Path, sync::Arc};

use dooryard_core::{
    clock::{Env, SetClock},
    notebook::Notebook,
};

use crate::{
    errors::NotebookError,
    notebook::FieldNotebook,
    secrets::{Secrets, Supplied},
};

/// A clock that stands where it is set.
#[derive(uniffi::Object)]
pub struct StageClock {
    clock: SetClock,
}

#[uniffi::export]
impl StageClock {
    /// A clock that stands at `ms` since 1970.
    ///
    /// # Errors
    /// `Invalid` for a time before that.
    #[uniffi::constructor]
    pub fn at(ms: i64) -> Result<Arc<Self>, NotebookError> {
        Ok(Arc::new(Self { clock: SetClock::at(since_1970(ms)?) }))
    }

    /// Sets it.
    ///
    /// # Errors
    /// `Invalid` for a time before 1970.
    pub fn set(&self, ms: i64) -> Result<(), NotebookError> {
        self.clock.set(since_1970(ms)?);
        Ok(())
    }
}

fn since_1970(ms: i64) -> Result<u64, NotebookError> {
    u64::try_from(ms).map_err(|_| NotebookError::Invalid { problems: Vec::new() })
}

#[uniffi::export]
impl FieldNotebook {
    /// Makes or opens the notebook in the folder `path` on a clock that somebody sets, with what is random from a seed: two
    /// runs with the same seeds and acts write the same. For pictures and tests; what it writes bears the time that was set.
    ///
    /// # Errors
    /// As `create` and `open`.
    #[uniffi::constructor]
    pub fn rehearse(
        path: String,
        secrets: Arc<dyn Secrets>,
        clock: Arc<StageClock>,
        seed: u64,
    ) -> Result<Arc<Self>, NotebookError> {
        let (path, secrets) = (Path::new(&path), Supplied(secrets));
        let env = Env::seeded(seed, &clock.clock);
        let opened = match Notebook::open_with(path, env.clone(), &secrets) {
            Err(dooryard_core::Error::NotFound(_)) => Notebook::create_with(path, env, &secrets),
            opened => opened,
        };
        Ok(Self::holding(opened?))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::secrets::tests::Turned;

    #[test]
    fn two_runs_with_one_seed_write_the_same_and_the_clock_stands_where_it_is_set() {
        let dir = tempfile::tempdir().unwrap();
        let clock = StageClock::at(1_784_500_000_000).unwrap();
        let open = |name: &str, seed| {
            let path = dir.path().join(name).display().to_string();
            FieldNotebook::rehearse(path, Arc::new(Turned::default()), clock.clone(), seed).unwrap()
        };
        let request = |book: &FieldNotebook| book.enrolment_request().unwrap();
        let (one, same, other) = (open("a", 7), open("b", 7), open("c", 8));
        assert_eq!(request(&one), request(&same));
        assert_ne!(request(&one), request(&other));
        clock.set(1_784_500_060_000).unwrap();
        assert_eq!(one.core().unwrap().env().now_ms(), 1_784_500_060_000);
        assert!(StageClock::at(-1).is_err() && clock.set(-1).is_err());
    }
}
