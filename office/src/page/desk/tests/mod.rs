//! Calls, follow-ups and the morning, asked as a browser asks: what these tests have in common.

mod calls;
mod later;
mod photos;

use axum::http::StatusCode;

use dooryard_core::{
    ids::RecordId,
    notebook::{Query, Record},
    record::Kind,
};

use serde_json::Value as Json;

use crate::{
    ledger::every,
    page::{
        asks::{Answer, get, post},
        sample_county::County,
    },
    people::Role,
};

pub(in crate::page::desk) const SCRIPT: &str = "<script>alert(1)</script>\"'><img src=x onerror=alert(1)>";

pub(in crate::page::desk) fn send(county: &County, uri: &str, fields: &[(&str, &str)]) -> Answer {
    post(uri, fields).signed_in(county, Role::ScoutLead).send(county)
}

pub(in crate::page::desk) fn look(county: &County, uri: &str) -> Answer {
    get(uri).signed_in(county, Role::ScoutLead).send(county)
}

pub(in crate::page::desk) fn show(county: &County, id: RecordId) -> Record {
    county.office.notebook().show(id).unwrap()
}

pub(in crate::page::desk) fn all(county: &County, kind: Kind) -> Vec<Record> {
    let rows = every(county.office.notebook(), &Query { kind: Some(kind), ..Query::default() }).unwrap();
    rows.into_iter().map(|row| show(county, row.id)).collect()
}

/// Words as they stand in a page.
fn escaped(text: &str) -> String {
    text.replace('&', "&#38;").replace('<', "&#60;").replace('>', "&#62;").replace('"', "&#34;").replace('\'', "&#39;")
}

fn typed(county: &County, uri: &str, fields: &[(&str, &str)]) -> Json {
    let answer = send(county, uri, fields);
    assert_eq!(answer.status, StatusCode::OK, "{}", answer.text());
    serde_json::from_slice(&answer.bytes).unwrap()
}

fn id_of(said: &Json) -> RecordId {
    said["id"].as_str().unwrap().parse().unwrap()
}
