//! A refusal in three parts: what and why, a code for programs, what to do.

use dooryard_core::{Error, error::FieldCode};

/// A refusal ready to be said.
pub struct Refusal {
    /// What was not done, and why.
    pub why: String,
    /// The code, where there is one.
    pub code: Option<&'static str>,
    /// What to do.
    pub to_do: String,
}

impl Refusal {
    /// Of an error with its context.
    pub fn of(e: &anyhow::Error) -> Self {
        let Some(core) = e.chain().find_map(|cause| cause.downcast_ref::<Error>()) else {
            return Self { why: chain(e), code: None, to_do: String::new() };
        };
        // What stands around the core's own words: the file, the step.
        let around: Vec<String> =
            e.chain().take_while(|c| c.downcast_ref::<Error>().is_none()).map(ToString::to_string).collect();
        let with = |words: String| around.iter().cloned().chain([words]).collect::<Vec<_>>().join(": ");
        match core {
            Error::Refused { code, detail } => {
                Self { why: with(format!("{detail}.")), code: Some(code.name()), to_do: code.sentence().to_owned() }
            }
            Error::Pack { code, detail } => Self {
                why: with(format!("{detail}.")),
                code: Some(code.name()),
                to_do: code.pack_sentence().to_owned(),
            },
            Error::Backup { code, detail } => Self {
                why: with(format!("{detail}.")),
                code: Some(code.name()),
                to_do: code.backup_sentence().to_owned(),
            },
            Error::Invalid(problems) => {
                let said: Vec<String> =
                    problems.iter().map(|p| format!("{} {}", p.field, field_words(p.code))).collect();
                Self {
                    why: with(format!("{}.", said.join("; "))),
                    code: problems.first().map(|p| p.code.name()),
                    to_do: "Correct it and save again; nothing of this step was saved.".into(),
                }
            }
            Error::NotFound(what) => Self {
                why: with(format!("not there: {what}.")),
                code: Some("NOT_FOUND"),
                to_do: "Look at the number or the folder once more; `dooryard notebook list` shows what is there.".into(),
            },
            Error::NotEnrolled => Self {
                why: with("the notebook belongs to no office yet.".into()),
                code: Some("NOT_ENROLLED"),
                to_do: "Run `dooryard notebook request`, have the office answer it, then run `dooryard notebook enrol`.".into(),
            },
            Error::Cancelled => {
                Self { why: with("stopped as asked.".into()), code: Some("CANCELLED"), to_do: "Run it again; nothing was lost.".into() }
            }
            Error::NewerDatabase { .. } => Self {
                why: with(format!("{core}.")),
                code: Some("NEWER_DATABASE"),
                to_do: "Use the newer program on this folder.".into(),
            },
            Error::Damaged { .. } => Self {
                why: with(format!("{core}.")),
                code: Some("DAMAGED"),
                to_do: "Keep that file. Run it again to go on, then `dooryard notebook recover` gets back what can be read of it.".into(),
            },
            other => Self {
                why: with(format!("{other}.")),
                code: other.code().map(|c| c.name()),
                to_do: "Look at the folder and its disk, then run it again. Nothing was lost.".into(),
            },
        }
    }
}

fn chain(e: &anyhow::Error) -> String {
    let parts: Vec<String> = e.chain().map(ToString::to_string).collect();
    let words = parts.join(": ");
    if words.ends_with('.') { words } else { format!("{words}.") }
}

fn field_words(code: FieldCode) -> &'static str {
    match code {
        FieldCode::UnknownField => "is no field of this kind",
        FieldCode::WrongType => "is of another type than the field needs",
        FieldCode::UnknownWord => "is none of the field's words",
        FieldCode::TooLong => "is longer than the field allows",
        FieldCode::OutOfRange => "is below or above what the field allows",
        FieldCode::BadForm => "is not in the field's form (days as 2026-05-12, instants with zone, ids of 36 letters)",
        FieldCode::Missing => "lacks a part that the group needs",
        FieldCode::NotYours => "is written by another role",
    }
}

#[cfg(test)]
mod tests {
    use anyhow::Context;
    use dooryard_core::Code;

    use super::*;

    #[test]
    fn a_refusal_names_the_file_the_reason_and_the_next_step() {
        let e = Err::<(), _>(Error::refused(Code::NotForUs, "a bundle made for another office"))
            .with_context(|| "other.yard".to_owned())
            .unwrap_err();
        let r = Refusal::of(&e);
        assert_eq!(r.why, "other.yard: a bundle made for another office.");
        assert_eq!(r.code, Some("NOT_FOR_US"));
        assert_eq!(r.to_do, Code::NotForUs.sentence());
    }
}
