//! News for open pages: one channel a session, which says that something changed, in which part and at which record, and
//! nothing of what.
//!
//! A page opens it and waits; nothing asks again and again. It ends when the session ends, when the office stops, and after
//! an hour without a new page, as the session does.

use std::{
    collections::VecDeque,
    convert::Infallible,
    pin::Pin,
    sync::{Mutex, MutexGuard, PoisonError},
    task::{Context, Poll},
    time::Duration,
};

use axum::{
    Extension,
    extract::State,
    response::{
        IntoResponse, Response,
        sse::{Event, KeepAlive, Sse},
    },
};
use dooryard_core::ids::RecordId;
use futures_core::Stream;
use serde_json::json;
use tokio::{
    sync::mpsc::{Receiver, Sender, channel},
    time::{Instant, Sleep, sleep_until},
};

use super::{
    routes::{Desk, Shared},
    trouble::Trouble,
};
use crate::people::{Role, Visitor};

/// Open channels of one session: the oldest makes room. A browser has six connections to one host.
const OF_SESSION: usize = 3;
/// Open channels in all.
const OF_ALL: usize = 200;
/// News that a page may be late with; one that is later is cut off, and reads anew.
const LATE: usize = 64;
/// How long a channel stays open, as a session that nobody uses.
const OPEN: Duration = Duration::from_secs(60 * 60);
/// How often a line without news is sent, so that a page that is gone is noticed.
const BREATH: Duration = Duration::from_secs(25);

/// Where something changed.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Part {
    /// The review of an answer.
    Review,
    /// An inquiry.
    Inquiry,
}

impl Part {
    fn id(self) -> &'static str {
        match self {
            Self::Review => "review",
            Self::Inquiry => "inquiry",
        }
    }

    /// The least role that may see it.
    fn least(self) -> Role {
        Role::Reader
    }
}

#[derive(Clone, PartialEq, Debug)]
enum News {
    Changed(Part, String),
    /// The channel ends; the page does not open it again by itself.
    Over,
}

impl News {
    fn event(&self) -> Event {
        match self {
            Self::Changed(part, at) => {
                Event::default().event("changed").data(json!({"part": part.id(), "at": at}).to_string())
            }
            Self::Over => Event::default().event("over").data("{}"),
        }
    }
}

struct Watcher {
    who: Visitor,
    to: Sender<News>,
}

/// Everybody who waits for news.
#[derive(Default)]
pub struct Live(Mutex<Watchers>);

#[derive(Default)]
struct Watchers {
    watchers: VecDeque<Watcher>,
    closed: bool,
}

impl Live {
    fn lock(&self) -> MutexGuard<'_, Watchers> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Opens a channel; `None` when there are too many, or the office stops.
    fn watch(&self, who: &Visitor) -> Option<Receiver<News>> {
        let mut state = self.lock();
        state.watchers.retain(|w| !w.to.is_closed());
        while state.watchers.iter().filter(|w| w.who.same_session(who)).count() >= OF_SESSION {
            let oldest = state.watchers.iter().position(|w| w.who.same_session(who))?;
            over(state.watchers.remove(oldest));
        }
        if state.closed || state.watchers.len() >= OF_ALL {
            return None;
        }
        // One place more than news may wait, so that the end always has room.
        let (to, from) = channel(LATE + 1);
        state.watchers.push_back(Watcher { who: who.clone(), to });
        Some(from)
    }

    /// Tells everybody who may see it that something changed. `is_open` says whether a session still stands.
    pub fn tell(&self, part: Part, at: &str, is_open: impl Fn(&Visitor) -> bool) {
        let mut state = self.lock();
        let (open, ended): (VecDeque<_>, VecDeque<_>) =
            std::mem::take(&mut state.watchers).into_iter().partition(|w| w.to.capacity() > 1 && is_open(&w.who));
        ended.into_iter().for_each(|w| over(Some(w)));
        for watcher in open.iter().filter(|w| w.who.role >= part.least()) {
            // Whoever is gone is let go with the next one that comes.
            let _sent = watcher.to.try_send(News::Changed(part, at.to_owned()));
        }
        state.watchers = open;
    }

    /// Ends the channels of a session, or of every session of its account.
    pub fn sign_out(&self, who: &Visitor, everywhere: bool) {
        let mut state = self.lock();
        let is_theirs = |w: &Watcher| w.who.same_session(who) || (everywhere && w.who.account == who.account);
        let (theirs, others): (VecDeque<_>, VecDeque<_>) =
            std::mem::take(&mut state.watchers).into_iter().partition(is_theirs);
        theirs.into_iter().for_each(|w| over(Some(w)));
        state.watchers = others;
    }

    /// Ends every channel: the office stops.
    pub fn close(&self) {
        let mut state = self.lock();
        state.closed = true;
        std::mem::take(&mut state.watchers).into_iter().for_each(|w| over(Some(w)));
    }
}

fn over(watcher: Option<Watcher>) {
    // The place is kept free for it; a page that is gone needs no word.
    let _told = watcher.map(|w| w.to.try_send(News::Over));
}

impl Desk {
    /// Tells open pages that something changed at a record. What is under seal is never spoken of: callers tell only of what
    /// they would show.
    pub(in crate::page) fn changed(&self, part: Part, at: RecordId) {
        self.live.tell(part, &at.to_string(), |who| self.people.is_open(who).unwrap_or(false));
    }
}

/// What one page hears.
struct Hearing {
    from: Receiver<News>,
    until: Pin<Box<Sleep>>,
    ended: bool,
}

impl Stream for Hearing {
    type Item = Result<Event, Infallible>;

    fn poll_next(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<Option<Self::Item>> {
        if self.ended {
            return Poll::Ready(None);
        }
        let late = self.until.as_mut().poll(cx).is_ready();
        let news = if late { Poll::Ready(Some(News::Over)) } else { self.from.poll_recv(cx) };
        news.map(|news| {
            self.ended = matches!(news, Some(News::Over) | None);
            news.map(|news| Ok(news.event()))
        })
    }
}

/// The channel.
pub(super) async fn events(State(desk): Shared, Extension(who): Extension<Visitor>) -> Response {
    let Some(from) = desk.live.watch(&who) else {
        let frame = desk.frame(Some(&who), super::frame::Here::Elsewhere);
        return Trouble::NotDone(frame.say("page-many-wait")).page(frame);
    };
    let hearing = Hearing { from, until: Box::pin(sleep_until(Instant::now() + OPEN)), ended: false };
    Sse::new(hearing).keep_alive(KeepAlive::new().interval(BREATH)).into_response()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::page::{
        asks::get,
        guard::SLOWEST,
        routes::guarded,
        sample_county::{County, county},
    };

    fn heard(from: &mut Receiver<News>) -> Vec<News> {
        std::iter::from_fn(|| from.try_recv().ok()).collect()
    }

    fn who(county: &County, role: Role) -> &Visitor {
        &county.session(role).visitor
    }

    #[test]
    fn news_says_where_and_nothing_of_what() {
        let (county, live) = (county(), Live::default());
        let mut from = live.watch(who(&county, Role::Reader)).unwrap();
        live.tell(Part::Review, "7", |_| true);
        assert_eq!(heard(&mut from), [News::Changed(Part::Review, "7".into())]);
    }

    #[test]
    fn a_session_has_few_channels_and_the_oldest_makes_room() {
        let (county, live) = (county(), Live::default());
        let mut all: Vec<_> = (0..=OF_SESSION).map(|_| live.watch(who(&county, Role::Reviewer)).unwrap()).collect();
        let mut other = live.watch(who(&county, Role::Admin)).unwrap();
        live.tell(Part::Review, "7", |_| true);
        let ends: Vec<bool> = all.iter_mut().map(|from| heard(from) == [News::Over]).collect();
        assert_eq!(ends, [vec![true], vec![false; OF_SESSION]].concat());
        assert_eq!(heard(&mut other).len(), 1, "another session is not touched");
    }

    #[test]
    fn a_channel_ends_with_its_session() {
        let (county, live) = (county(), Live::default());
        let mut out = live.watch(who(&county, Role::Reviewer)).unwrap();
        let mut closed = live.watch(who(&county, Role::Admin)).unwrap();
        live.sign_out(who(&county, Role::Reviewer), false);
        assert_eq!(heard(&mut out), [News::Over]);
        let admin = who(&county, Role::Admin).account;
        live.tell(Part::Review, "7", |who| who.account != admin);
        assert_eq!(heard(&mut closed), [News::Over], "a session that ended hears no more");
        live.tell(Part::Review, "8", |_| true);
        assert!(heard(&mut out).is_empty() && heard(&mut closed).is_empty());
    }

    #[test]
    fn whether_a_session_stands_is_asked_of_the_accounts_and_is_no_use_of_it() {
        let county = county();
        let reviewer = who(&county, Role::Reviewer).clone();
        assert!(county.people.is_open(&reviewer).unwrap());
        for _ in 0..4 {
            county.clock.set(county.clock.now_ms() + 20 * 60_000);
            let _asked = county.people.is_open(&reviewer).unwrap();
        }
        assert!(!county.people.is_open(&reviewer).unwrap(), "an open page kept the session awake");
        county.people.sign_out(who(&county, Role::Admin)).unwrap();
        assert!(!county.people.is_open(who(&county, Role::Admin)).unwrap());
    }

    #[test]
    fn one_that_does_not_listen_is_cut_off_and_the_end_has_room() {
        let (county, live) = (county(), Live::default());
        let mut from = live.watch(who(&county, Role::Reviewer)).unwrap();
        for n in 0..LATE * 2 {
            live.tell(Part::Review, &n.to_string(), |_| true);
        }
        let all = heard(&mut from);
        assert_eq!((all.len(), all.last()), (LATE + 1, Some(&News::Over)));
    }

    #[test]
    fn a_browser_hears_where_something_changed_and_that_it_is_over() {
        let county = county();
        let (desk, routes) = county.laid_out(SLOWEST);
        let router = guarded(desk.clone(), routes);
        let tomato = county.tomato;
        let told = std::thread::spawn(move || {
            while desk.live.lock().watchers.is_empty() {
                std::thread::sleep(Duration::from_millis(5));
            }
            desk.changed(Part::Review, tomato);
            desk.live.close();
        });
        let answer = get("/events").signed_in(&county, Role::Reader).send_to(router);
        told.join().unwrap();
        assert!(answer.header("content-type").starts_with("text/event-stream"));
        assert_eq!(
            answer.text(),
            format!("event: changed\ndata: {{\"at\":\"{tomato}\",\"part\":\"review\"}}\n\nevent: over\ndata: {{}}\n\n")
        );
    }

    #[test]
    fn an_office_that_stops_ends_every_channel_and_opens_none() {
        let (county, live) = (county(), Live::default());
        let mut from = live.watch(who(&county, Role::Reviewer)).unwrap();
        live.close();
        assert_eq!(heard(&mut from), [News::Over]);
        assert!(live.watch(who(&county, Role::Reviewer)).is_none());
    }
}
