//! Work side by side: lanes, each of which does its steps in order, and steps that wait for steps of other lanes.

use std::{
    any::Any,
    panic::{AssertUnwindSafe, catch_unwind},
    sync::{Condvar, Mutex, PoisonError},
    thread,
};

use anyhow::{Result, anyhow};

/// Where a step stands.
pub struct Step<'a, L> {
    pub name: &'a str,
    /// Steps of one lane never run at the same time.
    pub lane: L,
    /// Names of steps that must have ended, well or not, before this one begins. Only of such as stand before it: so none
    /// can wait for ever.
    pub after: &'a [&'a str],
}

/// Does `work` once with the place of each step, every lane in a thread of its own, and gives what came of it in the order of
/// the steps. Panicking is an error of that step alone.
///
/// # Errors
/// When a step waits for one that does not stand before it.
pub fn side_by_side<L, T, W>(steps: &[Step<L>], work: W) -> Result<Vec<Result<T>>>
where
    L: PartialEq + Sync,
    T: Send,
    W: Fn(usize) -> Result<T> + Sync,
{
    let waits =
        steps.iter().enumerate().map(|(at, step)| places_before(steps, at, step)).collect::<Result<Vec<_>>>()?;
    let ended = Mutex::new(steps.iter().map(|_| None).collect::<Vec<Option<Result<T>>>>());
    let one_ended = Condvar::new();
    let in_lane = |first: usize| {
        for at in (first..steps.len()).filter(|at| steps[*at].lane == steps[first].lane) {
            let open = |ended: &mut Vec<Option<Result<T>>>| waits[at].iter().any(|before| ended[*before].is_none());
            let begun = one_ended.wait_while(ended.lock().unwrap_or_else(PoisonError::into_inner), open);
            drop(begun);
            let came = catch_unwind(AssertUnwindSafe(|| work(at))).unwrap_or_else(|panic| Err(said(&*panic)));
            ended.lock().unwrap_or_else(PoisonError::into_inner)[at] = Some(came);
            one_ended.notify_all();
        }
    };
    thread::scope(|scope| {
        for first in (0..steps.len()).filter(|at| steps[..*at].iter().all(|step| step.lane != steps[*at].lane)) {
            scope.spawn(move || in_lane(first));
        }
    });
    let ended = ended.into_inner().unwrap_or_else(PoisonError::into_inner);
    Ok(ended.into_iter().map(|came| came.unwrap_or_else(|| Err(anyhow!("it did not run")))).collect())
}

fn places_before<L>(steps: &[Step<L>], at: usize, step: &Step<L>) -> Result<Vec<usize>> {
    let place = |name: &&str| {
        let before = steps[..at].iter().position(|other| other.name == *name);
        before.ok_or_else(|| anyhow!("{} waits for {name}, which does not stand before it", step.name))
    };
    step.after.iter().map(place).collect()
}

fn said(panic: &(dyn Any + Send)) -> anyhow::Error {
    let words = panic.downcast_ref::<String>().map(String::as_str).or_else(|| panic.downcast_ref().copied());
    anyhow!("it broke: {}", words.unwrap_or("without a word"))
}

#[cfg(test)]
mod tests {
    use std::{sync::Barrier, time::Duration};

    use anyhow::bail;

    use super::*;

    fn step<'a>(name: &'a str, lane: u8, after: &'a [&'a str]) -> Step<'a, u8> {
        Step { name, lane, after }
    }

    #[test]
    fn each_runs_once_and_what_came_of_it_stands_in_the_order_of_the_steps() {
        let steps = [step("a", 1, &[]), step("b", 2, &[]), step("c", 1, &[]), step("d", 3, &[]), step("e", 2, &[])];
        let ran = Mutex::new(Vec::new());
        let came = side_by_side(&steps, |at| {
            // The first end last.
            thread::sleep(Duration::from_millis(5 * (5 - at as u64)));
            ran.lock().unwrap().push(at);
            Ok(steps[at].name)
        });
        let names: Vec<&str> = came.unwrap().into_iter().map(Result::unwrap).collect();
        assert_eq!(names, ["a", "b", "c", "d", "e"]);
        let mut ran = ran.into_inner().unwrap();
        let place = |of: usize| ran.iter().position(|at| *at == of).unwrap();
        assert!(place(0) < place(2) && place(1) < place(4), "a lane keeps its order: {ran:?}");
        ran.sort_unstable();
        assert_eq!(ran, [0, 1, 2, 3, 4]);
    }

    #[test]
    fn lanes_run_side_by_side_and_steps_of_one_lane_do_not() {
        // Both must be there at once, or neither goes on.
        let meeting = Barrier::new(2);
        let lone = Mutex::new(());
        let steps = [step("a", 1, &[]), step("b", 2, &[]), step("c", 1, &[])];
        let came = side_by_side(&steps, |at| {
            let _alone = (at != 1).then(|| lone.try_lock().unwrap());
            if at < 2 {
                meeting.wait();
            }
            Ok(())
        });
        assert!(came.unwrap().iter().all(Result::is_ok));
    }

    #[test]
    fn a_step_waits_for_what_it_needs_in_another_lane() {
        let steps = [step("built", 1, &[]), step("kotlin", 2, &["built"]), step("both", 1, &["built", "kotlin"])];
        let ran = Mutex::new(Vec::new());
        side_by_side(&steps, |at| {
            if at < 2 {
                thread::sleep(Duration::from_millis(20));
            }
            ran.lock().unwrap().push(at);
            Ok(())
        })
        .unwrap();
        assert_eq!(ran.into_inner().unwrap(), [0, 1, 2]);
    }

    #[test]
    fn what_fails_or_panics_lets_the_others_run() {
        let steps = [step("a", 1, &[]), step("b", 1, &[]), step("c", 2, &["a", "b"])];
        let came = side_by_side(&steps, |at| match at {
            0 => bail!("no"),
            1 => panic!("it fell over"),
            _ => Ok(at),
        })
        .unwrap();
        assert_eq!(came[0].as_ref().unwrap_err().to_string(), "no");
        assert_eq!(came[1].as_ref().unwrap_err().to_string(), "it broke: it fell over");
        assert_eq!(*came[2].as_ref().unwrap(), 2);
    }

    #[test]
    fn waiting_for_what_comes_later_or_is_not_there_is_refused() {
        let work = |_| Ok(());
        assert!(side_by_side(&[step("a", 1, &["b"]), step("b", 2, &[])], work).is_err());
        assert!(side_by_side(&[step("a", 1, &["a"])], work).is_err());
        assert!(side_by_side(&[step("a", 1, &["z"])], work).is_err());
    }
}
