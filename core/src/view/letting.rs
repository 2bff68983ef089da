//! Letting originals of photos go from this phone once the office proved that it has them safely: what can go, and the act.

use super::reader::View;
use crate::{
    Error, Result,
    job::Job,
    notebook::{LetGo, LetGone},
    words::size,
};

/// What can leave this phone now.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct LetGoOffer {
    /// How many photos can leave, how much that frees, what stays; why none can.
    pub lines: Vec<String>,
    /// Photos that can leave now.
    pub photos: u64,
    /// Their bytes.
    pub bytes: u64,
    /// Something can leave: the act is offered.
    pub can: bool,
}

/// By which rule photos leave: the person's own, which may name more than photos, else that of this one act.
fn rule(view: &View<'_>) -> Result<LetGo> {
    Ok(match view.notebook.letting_go()? {
        LetGo::Nothing => LetGo::Originals,
        rule => rule,
    })
}

/// What can leave this phone now. Nothing is changed.
///
/// # Errors
/// Of SQLite.
pub fn let_go_offer(view: &View<'_>) -> Result<LetGoOffer> {
    let rule = rule(view)?;
    let could = view.notebook.could_let_go(rule)?;
    let mut lines = Vec::new();
    if could.originals > 0 {
        let bytes = size(could.bytes, view.words);
        lines.push(view.with("phone-go-can", [("n", &could.originals), ("size", &bytes)]));
        lines.push(view.with("phone-go-stays", [("n", &could.originals)]));
    } else if could.originals_kept == 0 {
        lines.push(view.say("phone-go-none"));
    }
    lines.extend(unproven(view, &could)?);
    if rule == LetGo::OriginalsAndContacts {
        lines.push(view.say("phone-go-contacts"));
    }
    Ok(LetGoOffer { lines, photos: could.originals, bytes: could.bytes, can: could.originals > 0 })
}

/// How many photos stay, and why.
fn unproven(view: &View<'_>, could: &LetGone) -> Result<Option<String>> {
    if could.originals_kept == 0 {
        return Ok(None);
    }
    let no_office = match view.notebook.card() {
        Ok(_) => false,
        Err(Error::NotEnrolled) => true,
        Err(e) => return Err(e),
    };
    let name = if no_office { "phone-go-no-office" } else { "phone-go-unproven" };
    Ok(Some(view.with(name, [("n", &could.originals_kept)])))
}

/// Lets go of what [`let_go_offer`] names, by a person's act, and says what came of it. The rule that stands is not changed.
///
/// # Errors
/// As [`crate::notebook::Notebook::let_go_by`]; [`Error::Cancelled`]: what went is gone, and doing it again goes on.
pub fn let_go(view: &View<'_>, job: &Job) -> Result<Vec<String>> {
    let rule = rule(view)?;
    let could = view.notebook.could_let_go(rule)?;
    view.notebook.let_go_by(rule, job)?;
    let mut lines = vec![if could.originals > 0 {
        let bytes = size(could.bytes, view.words);
        view.with("phone-went", [("n", &could.originals), ("size", &bytes)])
    } else {
        view.say("phone-went-none")
    }];
    lines.extend(unproven(view, &could)?);
    Ok(lines)
}
