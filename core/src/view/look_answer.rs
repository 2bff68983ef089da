//! Answering a look: one of four answers and how sure, in place of an earlier one, and taking it back.

use super::{
    look::{LookScreen, character_of, look},
    plant::of_whole,
    reader::{PROTOCOL, View},
    stops,
};
use crate::{
    Code, Error, Result,
    ids::RecordId,
    inquiry::{self, Answer},
    key::{Character, Cost, Status},
};

/// Saves an answer, in place of an earlier one of this phone to the same look, and goes on to the next. `picked` are ids of
/// answers; `absent` states that were looked for and are not there; `comfort` is 1 to 3, or 0 where nobody said.
///
/// # Errors
/// `SCHEMA` for answers that do not go together or that there are not; [`Error::NotFound`]; as
/// [`crate::notebook::Notebook::save`].
pub fn answer(
    view: &View<'_>,
    inquiry: RecordId,
    plant: RecordId,
    character: &str,
    picked: &[String],
    absent: &[String],
    comfort: u8,
) -> Result<LookScreen> {
    let whole = view.whole(inquiry)?;
    of_whole(&whole, plant)?;
    let look_at = character_of(view, character)?;
    let given = given(look_at, picked, absent, comfort)?;
    let label = view.own_label()?;
    let method = match look_at.cost {
        Cost::Glance => "glance",
        Cost::Touch => "touch",
        Cost::Knife => "knife",
        Cost::Dig => "dig",
        Cost::Lab => "laboratory",
    };
    let version = view.pack.content_version();
    let looker = view.looker(&label, method, &version);
    inquiry::answer(view.notebook, &whole, &looker, plant, look_at, &given, &view.when)?;
    stops::record(view, inquiry)?;
    look(view, inquiry, plant, "", character)
}

fn given(character: &Character, picked: &[String], absent: &[String], comfort: u8) -> Result<Answer> {
    let bad = |why: &str| Error::refused(Code::Schema, why);
    let mut given = Answer { comfort: Some(comfort).filter(|c| (1..=3).contains(c)), ..Answer::default() };
    for id in picked {
        match id.as_str() {
            "could_not_tell" => given.whole = Some(Status::Unsure),
            "not_looked" => given.whole = Some(Status::NotLooked),
            state if character.state_index(state).is_some() => given.seen.push(state.to_owned()),
            _ => return Err(bad("that is no answer to this look")),
        }
    }
    if absent.iter().any(|state| character.state_index(state).is_none() || given.seen.contains(state)) {
        return Err(bad("that cannot be looked for and not there"));
    }
    given.absent = absent.to_vec();
    let normal = character.states.get(character.normal).is_some_and(|n| given.seen.contains(&n.id));
    let several = given.seen.len() > 1;
    if (several && (!character.multi || normal)) || (given.whole.is_some() && !given.seen.is_empty()) {
        return Err(bad("these answers cannot be true at once"));
    }
    if given.seen.is_empty() && given.absent.is_empty() && given.whole.is_none() {
        given.whole = Some(Status::NotLooked);
    }
    Ok(given)
}

/// Takes back what this phone wrote down of a look, and asks it again.
///
/// # Errors
/// [`Error::NotFound`] when there is nothing to take back; as [`crate::notebook::Notebook::delete`].
pub fn take_back(view: &View<'_>, inquiry: RecordId, plant: RecordId, character: &str) -> Result<LookScreen> {
    let whole = view.whole(inquiry)?;
    if !inquiry::take_back(view.notebook, &whole, plant, character, PROTOCOL)? {
        return Err(Error::NotFound(format!("an answer to {character}")));
    }
    look(view, inquiry, plant, character, "")
}
