//! What is done in a walk: an answer, one taken back, another plant, a stop read out. Every stop that stands after it is
//! written down, and a new one is read before anything else.

use std::sync::Arc;

use axum::{
    Extension,
    extract::{Path, State},
    response::{IntoResponse, Redirect, Response},
};
use dooryard_core::{
    ids::RecordId,
    key::{State as Answers, Status},
    record::Kind,
};
use serde_json::json;

use super::{
    known::{plant_of, record_stops},
    looks::{self, Answer},
    open_inquiry, save,
};
use crate::{
    page::{
        frame::{Frame, Here},
        gather::Whole,
        guard::Given,
        routes::{Desk, Shared, answer},
        trouble::Trouble,
    },
    people::Visitor,
};

type Who = Extension<Visitor>;

pub(in crate::page) async fn walk_answer(
    State(desk): Shared,
    Extension(who): Who,
    Path(id): Path<String>,
    Extension(given): Extension<Given>,
) -> Response {
    act(desk, who, id, given, |desk, whole, given, frame, who| {
        let plant = plant_of(whole, given.text("plant"))?.ok_or(Trouble::NotHere)?;
        let character = desk.pack.character(given.text("look")).ok_or(Trouble::BadForm)?;
        let known = |id: &str| character.state_index(id).is_some();
        let mut said =
            Answer { seen: Vec::new(), absent: Vec::new(), whole: None, comfort: given.text("comfort").parse().ok() };
        said.comfort = said.comfort.filter(|c| (1..=3).contains(c));
        if character.multi {
            let ticked = |s: &&Answers| given.text(&format!("seen_{}", s.id)) == "yes";
            said.seen = character.states.iter().filter(ticked).map(|s| s.id.clone()).collect();
            let normal = character.states.get(character.normal).map(|s| s.id.clone());
            if said.seen.len() > 1 && normal.is_some_and(|n| said.seen.contains(&n)) {
                return Err(Trouble::NotDone(frame.say("desk-problem-normal-alone")));
            }
        }
        match given.text("state") {
            // Ticked states say more than the answer that stands there from the start.
            _ if !said.seen.is_empty() => {}
            "could_not_tell" => said.whole = Some(Status::Unsure),
            "not_looked" | "" => said.whole = Some(Status::NotLooked),
            state if !character.multi && known(state) => said.seen = vec![state.to_owned()],
            _ => return Err(Trouble::BadForm),
        }
        looks::answer(desk, whole, who, plant.id, character, &said)?;
        Ok(format!("plant={}&answered={}", plant.id, character.id))
    })
    .await
}

pub(in crate::page) async fn walk_undo(
    State(desk): Shared,
    Extension(who): Who,
    Path(id): Path<String>,
    Extension(given): Extension<Given>,
) -> Response {
    act(desk, who, id, given, |desk, whole, given, frame, _| {
        let plant = plant_of(whole, given.text("plant"))?.ok_or(Trouble::NotHere)?;
        let character = desk.pack.character(given.text("look")).ok_or(Trouble::BadForm)?;
        if !looks::take_back(desk, whole, plant.id, &character.id)? {
            return Err(Trouble::NotDone(frame.say("desk-nothing-to-take-back")));
        }
        Ok(format!("plant={}&look={}", plant.id, character.id))
    })
    .await
}

pub(in crate::page) async fn walk_host(
    State(desk): Shared,
    Extension(who): Who,
    Path(id): Path<String>,
    Extension(given): Extension<Given>,
) -> Response {
    act(desk, who, id, given, |desk, whole, given, _, _| {
        let plant = plant_of(whole, given.text("plant"))?;
        let host = desk.pack.host(given.text("host")).ok_or(Trouble::BadForm)?;
        let mut fields = json!({ "inquiry": whole.inquiry.id.to_string(), "host": host.id });
        if let Some(site) = &whole.site {
            fields["site"] = json!(site.id.to_string());
        }
        let plant = save(desk.notebook(), Kind::Plant, plant.map(|p| p.id), fields)?;
        Ok(format!("plant={plant}"))
    })
    .await
}

pub(in crate::page) async fn walk_read(
    State(desk): Shared,
    Extension(who): Who,
    Path(id): Path<String>,
    Extension(given): Extension<Given>,
) -> Response {
    answer(desk, Some(who), Here::Desk, move |desk, _| {
        let whole = open_inquiry(desk, &id)?;
        let plant = plant_of(&whole, given.text("plant"))?.map_or_else(String::new, |p| format!("?plant={}", p.id));
        Ok(Redirect::to(&format!("/inquiries/{}/walk{plant}", whole.inquiry.id)).into_response())
    })
    .await
}

/// Does one thing in a walk, writes down the stops that stand after it, and goes on; to a new stop before anything else.
async fn act(
    desk: Arc<Desk>,
    who: Visitor,
    id: String,
    given: Given,
    act: impl FnOnce(&Desk, &Whole, &Given, &Frame, &Visitor) -> Result<String, Trouble> + Send + 'static,
) -> Response {
    answer(desk, Some(who.clone()), Here::Desk, move |desk, frame| {
        let whole = open_inquiry(desk, &id)?;
        let id: RecordId = whole.inquiry.id;
        let mut to = act(desk, &whole, &given, &frame, &who)?;
        if record_stops(desk, id)? {
            to.push_str("&stop=new");
        }
        Ok(Redirect::to(&format!("/inquiries/{id}/walk?{to}")).into_response())
    })
    .await
}
