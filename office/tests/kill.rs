//! The take-in killed at fifty random moments, then repeated: the same state, nothing lost, nothing left over.
#![allow(clippy::unwrap_used, reason = "a test")]

mod common;

use std::{
    fs,
    time::{Duration, Instant},
};

use common::{Work, files, handed_over, state, take_in};
use dooryard_tests::Yard;
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;

#[test]
fn killed_at_fifty_random_moments_and_repeated_it_ends_in_the_same_state_with_nothing_left_over() {
    let yard = Yard::new(41, 1).unwrap();
    let mut random = ChaCha8Rng::seed_from_u64(41);
    let file = handed_over(&yard, &mut random, &Work { plants: 60, photos: &[300, 300, 1_300, 300, 1_500] });
    yard.office.notebook().pause().unwrap();
    let fresh = yard.office.folder().to_owned();

    let untouched = yard.file("untouched");
    dooryard_tests::copy_folder(&fresh, &untouched).unwrap();
    let before = state(&untouched, &yard);
    let whole = yard.file("whole");
    dooryard_tests::copy_folder(&fresh, &whole).unwrap();
    let begin = Instant::now();
    assert!(take_in(&whole, &file).status().unwrap().success());
    let full = begin.elapsed();
    let (digest, awaited) = state(&whole, &yard);
    let left = files(&whole);
    assert_eq!(awaited, 0);

    // Random moments of a span that follows the machine's speed: it shrinks when the work was over before its moment and grows
    // when it had not begun. Only runs that were really stopped count, and of these a part must have been in the work.
    let mut span = full.as_secs_f64();
    let (mut runs, mut stopped, mut in_between) = (0, 0, 0);
    while stopped < 50 || in_between < 10 {
        runs += 1;
        assert!(runs <= 500, "after {runs} runs {stopped} were stopped, {in_between} of them in the work");
        let folder = yard.file(&format!("killed-{runs}"));
        dooryard_tests::copy_folder(&fresh, &folder).unwrap();
        let moment = span * random.random::<f64>();
        let mut child = take_in(&folder, &file).spawn().unwrap();
        std::thread::sleep(Duration::from_secs_f64(moment));
        child.kill().unwrap();
        let was_stopped = !child.wait().unwrap().success();
        stopped += usize::from(was_stopped);
        let half = state(&folder, &yard);
        match (was_stopped, half == before) {
            (false, _) => span *= 0.95,
            (true, true) => span *= 1.02,
            (true, false) => in_between += usize::from(half != (digest, 0)),
        }
        assert!(take_in(&folder, &file).status().unwrap().success(), "moment {moment}");
        assert_eq!(state(&folder, &yard), (digest, 0), "moment {moment}");
        assert_eq!(files(&folder), left, "moment {moment}");
        fs::remove_dir_all(&folder).unwrap();
    }
    eprintln!("{runs} runs, {stopped} stopped before their end, {in_between} in the middle of the work");
}
