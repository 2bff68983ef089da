//! Time and entropy, given from outside so that the same input gives the same output.

use std::sync::{
    Arc, Mutex,
    atomic::{AtomicU64, Ordering},
};

use rand::{RngCore, SeedableRng, rngs::StdRng};

use crate::ids::RecordId;

/// Where a notebook gets its time and its random bytes from.
#[derive(Clone)]
pub struct Env {
    clock: Arc<dyn Fn() -> u64 + Send + Sync>,
    random: Arc<Mutex<StdRng>>,
}

impl Env {
    /// The system's clock and entropy.
    pub fn system() -> Self {
        Self {
            clock: Arc::new(|| {
                std::time::SystemTime::now()
                    .duration_since(std::time::UNIX_EPOCH)
                    .map_or(0, |d| u64::try_from(d.as_millis()).unwrap_or(u64::MAX))
            }),
            random: Arc::new(Mutex::new(StdRng::from_os_rng())),
        }
    }

    /// A clock that somebody sets, and random bytes from a seed: for demos and tests.
    pub fn seeded(seed: u64, clock: &SetClock) -> Self {
        let clock = clock.clone();
        Self { clock: Arc::new(move || clock.now_ms()), random: Arc::new(Mutex::new(StdRng::seed_from_u64(seed))) }
    }

    /// Milliseconds since 1970 as the clock claims.
    pub fn now_ms(&self) -> u64 {
        (self.clock)()
    }

    /// Random bytes.
    pub fn random<const N: usize>(&self) -> [u8; N] {
        let mut bytes = [0; N];
        self.random.lock().unwrap_or_else(std::sync::PoisonError::into_inner).fill_bytes(&mut bytes);
        bytes
    }

    /// A new record id.
    pub fn record_id(&self) -> RecordId {
        RecordId::new(self.now_ms(), self.random())
    }
}

/// A clock that stands where it is set.
#[derive(Clone, Default)]
pub struct SetClock(Arc<AtomicU64>);

impl SetClock {
    /// A clock that stands at `ms` since 1970.
    pub fn at(ms: u64) -> Self {
        Self(Arc::new(AtomicU64::new(ms)))
    }

    /// Sets it.
    pub fn set(&self, ms: u64) {
        self.0.store(ms, Ordering::SeqCst);
    }

    /// What it shows.
    pub fn now_ms(&self) -> u64 {
        self.0.load(Ordering::SeqCst)
    }
}
