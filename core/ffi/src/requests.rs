//! What a phone hands in: ids, kinds, JSON of fields, what to list.

use dooryard_core::{ids, notebook::Query, record};
use serde_json::{Map, Value as Json};

use crate::errors::{NotebookError, bad_form};

/// A record's id: 36 characters such as `0197f0c0-0000-7000-8000-000000000000`.
pub type RecordId = ids::RecordId;

uniffi::custom_type!(RecordId, String, {
    remote,
    lower: |id| id.to_string(),
    try_lift: |text| text.parse().map_err(|_| bad_form("id").into()),
});

/// A kind of record.
pub type Kind = record::Kind;

/// A kind of record.
#[uniffi::remote(Enum)]
pub enum Kind {
    /// One request for help.
    Inquiry,
    /// Who asked. Always private, its own record.
    Contact,
    /// Where.
    Site,
    /// What was seen or measured of a site.
    SiteNote,
    /// One plant, or a group of one kind, at a site.
    Plant,
    /// One look at a site at one time by one scout.
    Visit,
    /// One character of one plant in one visit.
    Finding,
    /// One image.
    Photo,
    /// A specimen for a laboratory.
    Sample,
    /// One hand-over in the life of a sample.
    Custody,
    /// A list of causes.
    Diagnosis,
    /// What was told.
    Advice,
    /// A question due on a date, and its answer.
    FollowUp,
    /// The office's own answer and decision.
    Review,
    /// A suspected regulated pest.
    Alert,
    /// A volunteer's hours.
    Hours,
}

/// A field whose shown value must equal a given one.
#[derive(Clone, PartialEq, Eq, Debug, uniffi::Record)]
pub struct FieldEquals {
    /// The field's name.
    pub field: String,
    /// The value as JSON: `"open"`, `3`, `true`.
    pub json: String,
}

/// What to list. By default everything that is not hidden, last changed first.
#[derive(Clone, Default, Debug, uniffi::Record)]
pub struct ListRequest {
    /// Only this kind.
    #[uniffi(default)]
    pub kind: Option<Kind>,
    /// Only records in which all these words stand, as beginnings of words.
    #[uniffi(default)]
    pub words: String,
    /// Only records whose shown values equal these.
    #[uniffi(default)]
    pub equals: Vec<FieldEquals>,
    /// Only records that point at this one.
    #[uniffi(default)]
    pub refers_to: Option<RecordId>,
    /// Also hidden records.
    #[uniffi(default)]
    pub with_hidden: bool,
    /// Only records in conflict.
    #[uniffi(default)]
    pub in_conflict: bool,
    /// Rows to pass over.
    #[uniffi(default)]
    pub offset: u32,
    /// Rows at most; 0 means 100.
    #[uniffi(default)]
    pub limit: u32,
}

impl TryFrom<ListRequest> for Query {
    type Error = NotebookError;

    fn try_from(request: ListRequest) -> Result<Self, NotebookError> {
        let read = |e: FieldEquals| match serde_json::from_str(&e.json) {
            Ok(json) => Ok((e.field, json)),
            Err(_) => Err(bad_form(&e.field)),
        };
        Ok(Self {
            kind: request.kind,
            words: request.words,
            equals: request.equals.into_iter().map(read).collect::<Result<_, _>>()?,
            refers_to: request.refers_to,
            with_hidden: request.with_hidden,
            in_conflict: request.in_conflict,
            offset: request.offset as usize,
            limit: request.limit as usize,
        })
    }
}

/// Reads the JSON object of a record's fields.
///
/// # Errors
/// [`NotebookError::Invalid`] for `fields_json` when it is no JSON object.
pub(crate) fn fields(json: &str) -> Result<Map<String, Json>, NotebookError> {
    serde_json::from_str(json).map_err(|_| bad_form("fields_json"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_request_becomes_a_query_with_every_field() {
        let id: RecordId = "0197f0c0-0000-7000-8000-000000000000".parse().unwrap();
        let request = ListRequest {
            kind: Some(Kind::Finding),
            words: "leaf spot".into(),
            equals: vec![FieldEquals { field: "comfort".into(), json: "3".into() }],
            refers_to: Some(id),
            with_hidden: true,
            in_conflict: true,
            offset: 20,
            limit: 10,
        };
        let query = Query::try_from(request).unwrap();
        assert_eq!((query.kind, query.words.as_str(), query.refers_to), (Some(Kind::Finding), "leaf spot", Some(id)));
        assert_eq!(query.equals, [("comfort".to_owned(), serde_json::json!(3))]);
        assert!(query.with_hidden && query.in_conflict);
        assert_eq!((query.offset, query.limit), (20, 10));
    }

    #[test]
    fn what_is_no_json_is_named() {
        let equals = vec![FieldEquals { field: "comfort".into(), json: "three".into() }];
        let bad = Query::try_from(ListRequest { equals, ..ListRequest::default() });
        assert_eq!(bad.unwrap_err(), bad_form("comfort"));
        for text in ["", "[]", "\"a\"", "{", "{\"a\": 1} x"] {
            assert_eq!(fields(text).unwrap_err(), bad_form("fields_json"), "{text}");
        }
        assert_eq!(fields("{\"channel\": \"yard\"}").unwrap()["channel"], "yard");
    }
}
