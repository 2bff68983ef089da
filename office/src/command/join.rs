//! `dooryard notebook join`: the phone's side of an enrolment by code.

use std::path::Path;

use anyhow::{Context, Result};
use dooryard_core::enrol::{Answer, Invitation};
use serde_json::json;

use super::{
    enrol::{said_words, show_code},
    notebook::open,
    qr,
    tell::Tell,
};

/// Takes an invitation, or the answer to the phone's ask.
pub fn join(dir: &Path, code: &str, answer: bool, png: Option<&Path>, tell: &Tell) -> Result<()> {
    let notebook = open(dir)?;
    let text = qr::read(code, &["DY"])?;
    if answer {
        notebook.take_answer(&Answer::from_text(&text)?)?;
        let (role, label) = notebook.role()?;
        tell.say(
            || format!("This notebook is {label} now, as {}. What is saved in it can be handed over.", role.name()),
            || json!({ "label": label, "role": role.name() }),
        );
        return Ok(());
    }
    let invitation = Invitation::from_text(&text)?;
    notebook.join(&invitation)?;
    let invited = &invitation.invited;
    if invited.is_past(notebook.env().now_ms()) {
        tell.say_words(|| {
            "By this phone's clock the invitation's time is over. The office decides by its own clock; if it refuses, ask for \
             another one. Nothing is lost."
                .to_owned()
        });
    }
    let words = notebook.check_words()?;
    let Some(ask) = notebook.ask()? else {
        tell.say(
            || "This notebook has its certificate already; there is nothing to ask for.".to_owned(),
            || json!({ "label": invited.label, "role": invited.role.name(), "words": words.english() }),
        );
        return Ok(());
    };
    let ask = ask.to_text().context("the phone's code")?;
    if tell.is_json() {
        let warned = invited.is_past(notebook.env().now_ms());
        tell.say(String::new, || {
            json!({
                "office": invitation.card.name, "label": invited.label, "role": invited.role.name(),
                "words": words.english(), "words_es": words.spanish(), "past_by_this_clock": warned,
            })
        });
    }
    show_code(&ask, png, tell, "ask", || {
        (
            format!(
                "{} invites this notebook as {}, {}. The office reads this code:",
                invitation.card.name,
                invited.label,
                invited.role.name()
            ),
            format!(
                "These words must stand at the office too, in this order. Compare them before the first contact is written down:\n{}\n\
                 Next: read the office's answer with --answer. Without one, write and make bundles: they carry this code, and \
                 wait at the office until it admits this phone.",
                said_words(words)
            ),
        )
    })
}
