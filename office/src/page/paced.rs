//! A body that is taken bit by bit: no more bytes than its route takes, not slower than a floor, and never more of it in
//! memory than somebody has asked for.

use std::{
    pin::Pin,
    sync::{Arc, Mutex, MutexGuard, PoisonError},
    task::{Context, Poll},
    time::Duration,
};

use axum::body::{Body, Bytes};
use http_body::{Body as HttpBody, Frame, SizeHint};
use tokio::time::{Instant, Sleep, sleep};

/// So many bytes have to come within the time that a whole form has, while there are as many to come.
const LEAST: u64 = 64 << 10;
/// So many bytes are read ahead of whoever reads, beside the one block that is on its way.
const AHEAD: u64 = 256 << 10;

/// Why a body was not read to its end.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Broken {
    /// More came than its route takes: how many bytes it does.
    TooLarge(u64),
    /// It came too slowly.
    TooSlow,
    /// Much came of which nothing could be made, such as the head of a part without an end.
    Formless,
    /// The other side went away.
    Cut,
}

#[derive(Debug)]
struct Counts {
    most: u64,
    left: u64,
    unread: u64,
    broken: Option<Broken>,
}

/// What the reader of a body and the body itself both know.
#[derive(Clone, Debug)]
pub(super) struct Pace(Arc<Mutex<Counts>>);

impl Pace {
    fn lock(&self) -> MutexGuard<'_, Counts> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The reader made something of what came so far.
    pub(super) fn was_read(&self) {
        self.lock().unread = 0;
    }

    /// Why the body was not read to its end.
    pub(super) fn broken(&self) -> Option<Broken> {
        self.lock().broken
    }
}

#[derive(Debug, thiserror::Error)]
#[error("the body was not read to its end")]
struct NotToItsEnd;

/// The body itself.
struct Paced {
    body: Body,
    pace: Pace,
    slowest: Duration,
    /// Time waited, and bytes that came, since the floor was last reached.
    waited: Duration,
    came: u64,
    waiting: Option<(Instant, Pin<Box<Sleep>>)>,
    /// A block was given: whoever reads looks at it before there is another.
    rests: bool,
}

/// Lets at most `most` bytes of a body through.
pub(super) fn paced(body: Body, most: u64, slowest: Duration) -> (Body, Pace) {
    let pace = Pace(Arc::new(Mutex::new(Counts { most, left: most, unread: 0, broken: None })));
    let waiting = None;
    let paced = Paced { body, pace: pace.clone(), slowest, waited: Duration::ZERO, came: 0, waiting, rests: false };
    (Body::new(paced), pace)
}

impl Paced {
    fn breaks(&self, why: Broken) -> Poll<Option<Result<Frame<Bytes>, NotToItsEnd>>> {
        self.pace.lock().broken.get_or_insert(why);
        Poll::Ready(Some(Err(NotToItsEnd)))
    }

    /// Counts what came; says what is wrong with it.
    fn count(&mut self, bytes: u64) -> Option<Broken> {
        self.came += bytes;
        if self.came >= LEAST {
            (self.waited, self.came) = (Duration::ZERO, 0);
        }
        let mut counts = self.pace.lock();
        counts.unread += bytes;
        match counts.left.checked_sub(bytes) {
            Some(left) => {
                counts.left = left;
                None
            }
            None => Some(Broken::TooLarge(counts.most)),
        }
    }
}

impl HttpBody for Paced {
    type Data = Bytes;
    type Error = NotToItsEnd;

    fn poll_frame(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<Option<Result<Frame<Bytes>, NotToItsEnd>>> {
        let this = &mut *self;
        if std::mem::take(&mut this.rests) {
            cx.waker().wake_by_ref();
            return Poll::Pending;
        }
        if this.pace.lock().unread > AHEAD {
            return this.breaks(Broken::Formless);
        }
        let Poll::Ready(frame) = Pin::new(&mut this.body).poll_frame(cx) else {
            let left = this.slowest.saturating_sub(this.waited);
            let (_, alarm) = this.waiting.get_or_insert_with(|| (Instant::now(), Box::pin(sleep(left))));
            return match alarm.as_mut().poll(cx) {
                Poll::Ready(()) => this.breaks(Broken::TooSlow),
                Poll::Pending => Poll::Pending,
            };
        };
        if let Some((since, _)) = this.waiting.take() {
            this.waited += since.elapsed();
        }
        match frame {
            None => Poll::Ready(None),
            Some(Err(_)) => this.breaks(Broken::Cut),
            Some(Ok(frame)) => {
                let bytes = frame.data_ref().map_or(0, |data| data.len() as u64);
                if let Some(why) = this.count(bytes) {
                    return this.breaks(why);
                }
                this.rests = true;
                Poll::Ready(Some(Ok(frame)))
            }
        }
    }

    fn is_end_stream(&self) -> bool {
        self.body.is_end_stream()
    }

    fn size_hint(&self) -> SizeHint {
        self.body.size_hint()
    }
}

#[cfg(test)]
mod tests {
    use std::{collections::VecDeque, convert::Infallible, future::poll_fn};

    use super::*;

    /// A body in blocks, as a socket gives it.
    struct Blocks(VecDeque<Bytes>);

    impl HttpBody for Blocks {
        type Data = Bytes;
        type Error = Infallible;

        fn poll_frame(mut self: Pin<&mut Self>, _: &mut Context<'_>) -> Poll<Option<Result<Frame<Bytes>, Infallible>>> {
            Poll::Ready(self.0.pop_front().map(|block| Ok(Frame::data(block))))
        }
    }

    /// How many blocks of a body come, where it is read or only heaped up.
    fn blocks(most: u64, is_read: bool) -> (usize, Option<Broken>) {
        let body = Body::new(Blocks(vec![Bytes::from_static(&[0; 64 << 10]); 100].into()));
        let (mut body, pace) = paced(body, most, Duration::from_secs(20));
        let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap();
        let came = runtime.block_on(async {
            let mut came = 0;
            while let Some(Ok(_)) = poll_fn(|cx| Pin::new(&mut body).poll_frame(cx)).await {
                came += 1;
                if is_read {
                    pace.was_read();
                }
            }
            came
        });
        (came, pace.broken())
    }

    #[test]
    fn what_nobody_reads_is_not_heaped_up_in_memory() {
        assert_eq!(blocks(1 << 30, true), (100, None));
        assert_eq!(blocks(1 << 30, false), (5, Some(Broken::Formless)));
        assert_eq!(blocks(10 << 16, true), (10, Some(Broken::TooLarge(10 << 16))));
    }
}
