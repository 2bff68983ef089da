//! Phones that become the office's: an invitation as a code, the words that two people compare, admission, turning away,
//! closing.

use askama::Template;
use axum::{
    Extension,
    extract::{Path, State},
    response::{IntoResponse, Redirect, Response},
};
use dooryard_core::{enrol::Ask, ids::DeviceId, job::Job, record::Role};

use super::{
    bundles::bundle,
    code::drawn,
    frame::{Frame, Here},
    guard::Given,
    phones::role_word,
    replies,
    routes::{Desk, Shared, answer, html},
    trouble::Trouble,
};
use crate::{
    desk::Asked,
    people::{Act, Visitor},
};

/// Longest that an invitation is good, days.
pub(super) const MOST_DAYS: u64 = 366;
/// How long one is good when nobody says otherwise, days.
pub(super) const DAYS: u64 = 7;
const DAY_MS: u64 = 86_400_000;

/// Roles that the page invites. Another machine of the office is invited with the command.
pub(super) const ROLES: [Role; 3] = [Role::Scout, Role::Lead, Role::Educator];

#[derive(Template)]
#[template(path = "code.html")]
struct CodePage {
    frame: Frame,
    head: String,
    about: String,
    /// The path of the drawing, and its width in modules.
    drawn: Option<(String, usize)>,
    text: String,
    /// What became of the bundles that waited: (number-less head, sum).
    taken: Vec<(String, String)>,
    next: Vec<String>,
}

/// The phone among those that ask.
fn asked(desk: &Desk, number: &str) -> Result<Asked, Trouble> {
    let device: DeviceId = number.parse().map_err(|_| Trouble::NotHere)?;
    desk.office.asking()?.into_iter().find(|asked| asked.device() == device).ok_or(Trouble::NotHere)
}

pub(super) async fn invite(
    State(desk): Shared,
    Extension(who): Extension<Visitor>,
    Extension(given): Extension<Given>,
) -> Response {
    answer(desk, Some(who.clone()), Here::Phones, move |desk, frame| {
        let words = frame.words;
        let role = ROLES.into_iter().find(|role| role.name() == given.text("role"));
        let role = role.ok_or_else(|| Trouble::NotDone(words.say("take-in-invite-no-role")))?;
        let days = given.text("days").trim().parse().ok().filter(|days| (1..=MOST_DAYS).contains(days));
        let days =
            days.ok_or_else(|| Trouble::NotDone(words.with("take-in-invite-no-days", [("most", &MOST_DAYS)])))?;
        let made = desk.office.invite(role, given.text("label"), days * DAY_MS);
        let made = made.map_err(|e| match e.code() {
            Some(_) => Trouble::NotDone(words.say("take-in-invite-no-label")),
            None => e.into(),
        })?;
        desk.people.note(&who, Act::InvitedPhone, None)?;
        let (text, until) = (made.to_text()?, i64::try_from(made.invited.expires_ms).unwrap_or(i64::MAX));
        let about: [(&str, &dyn dooryard_core::words::Argument); 3] = [
            ("label", &made.invited.label),
            ("role", &role_word(role, words)),
            ("until", &frame.when().full_ms(until)),
        ];
        Ok(html(&CodePage {
            head: words.with("take-in-invited", [("label", &made.invited.label)]),
            about: words.with("take-in-invited-about", about),
            drawn: drawn(&text),
            text,
            taken: Vec::new(),
            next: vec![words.say("take-in-invited-once"), words.say("take-in-invited-next")],
            frame,
        }))
    })
    .await
}

/// Hears a phone's own code, which somebody typed or pasted.
pub(super) async fn hear(
    State(desk): Shared,
    Extension(who): Extension<Visitor>,
    Extension(given): Extension<Given>,
) -> Response {
    answer(desk, Some(who.clone()), Here::Phones, move |desk, frame| {
        let read = Ask::from_text(given.text("code").trim());
        let ask = read.map_err(|_| Trouble::NotDone(frame.words.say("take-in-ask-unread")))?;
        let heard = desk.office.hear(&ask).map_err(Trouble::of_refusal)?;
        desk.people.note(&who, Act::HeardPhone, Some(&heard.device().to_string()))?;
        Ok(Redirect::to("/phones#ask").into_response())
    })
    .await
}

pub(super) async fn admit(
    State(desk): Shared,
    Extension(who): Extension<Visitor>,
    Extension(given): Extension<Given>,
    Path(number): Path<String>,
) -> Response {
    answer(desk, Some(who.clone()), Here::Phones, move |desk, frame| {
        let words = frame.words;
        let asked = asked(desk, &number)?;
        if given.text("same") != "yes" {
            return Err(Trouble::NotDone(words.say("take-in-not-compared")));
        }
        let _turn = desk.work.turn();
        let this_one = given.text("this_one") == "yes";
        let admitted = desk.office.admit_phone(&asked, this_one, &Job::silent()).map_err(Trouble::of_refusal)?;
        desk.people.note(&who, Act::AdmittedPhone, Some(&asked.device().to_string()))?;
        let text = admitted.answer.to_text();
        let when = frame.when();
        let now = desk.now_ms();
        let taken = admitted.taken.iter().map(|taken| {
            let b = bundle(0, now, taken, &when, words);
            (b.head, b.sum)
        });
        let (label, role) = (&asked.label, role_word(asked.role, words));
        Ok(html(&CodePage {
            head: words.with("take-in-admitted", [("label", label)]),
            about: words.with("take-in-admitted-about", [("label", label), ("role", &role)]),
            drawn: drawn(&text),
            text,
            taken: taken.collect(),
            next: vec![words.say("take-in-admitted-next")],
            frame,
        }))
    })
    .await
}

pub(super) async fn turn_away(
    State(desk): Shared,
    Extension(who): Extension<Visitor>,
    Path(number): Path<String>,
) -> Response {
    answer(desk, Some(who.clone()), Here::Phones, move |desk, _| {
        let device = asked(desk, &number)?.device();
        desk.office.turn_away(device)?;
        desk.people.note(&who, Act::TurnedPhoneAway, Some(&device.to_string()))?;
        Ok(Redirect::to("/phones#ask").into_response())
    })
    .await
}

/// Cuts a phone off: what it wrote and handed over stays, what it writes from now on waits for a person.
pub(super) async fn close(
    State(desk): Shared,
    Extension(who): Extension<Visitor>,
    Path(number): Path<String>,
) -> Response {
    answer(desk, Some(who.clone()), Here::Phones, move |desk, _| {
        let (device, _) = replies::phone(desk, &number)?;
        desk.office.revoke(device)?;
        desk.people.note(&who, Act::ClosedPhone, Some(&device.to_string()))?;
        Ok(Redirect::to("/phones").into_response())
    })
    .await
}
