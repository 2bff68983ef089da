//! Downloads of exactly what the list of inquiries shows, in open forms: what `dooryard export` writes with the same filter.

use std::fs::File;

use axum::{
    Extension,
    body::Body,
    extract::{Query, State, rejection::QueryRejection},
    http::header,
    response::{IntoResponse, Response},
};
use dooryard_core::Error;
use serde::Deserialize;
use tokio_util::io::ReaderStream;

use super::{
    filter::Filter,
    frame::Here,
    routes::{Desk, Shared, answer},
    trouble::Trouble,
};
use crate::{
    export::{Ask, Audience, By, Form, Licence, Scope, Table, beside_report},
    people::Visitor,
};

/// One thing that can be downloaded.
pub struct Download {
    /// Its name in the address.
    pub value: &'static str,
    /// The name of its words.
    pub words: &'static str,
    /// Anybody may have it, not only who sees what is private.
    pub for_anybody: bool,
    form: fn() -> Form,
    ending: &'static str,
    kind: &'static str,
}

impl Download {
    /// The file that the export writes beside its own is meant.
    fn is_beside(&self) -> bool {
        self.value == "state-report-json"
    }
}

const XLSX: &str = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet";
const CSV: &str = "text/csv; charset=utf-8";
const ZIP: &str = "application/zip";
const JSON: &str = "application/json";

macro_rules! downloads {
    ($($value:literal, $words:literal, $for_anybody:literal, $form:expr, $ending:literal, $kind:expr;)*) => {
        /// All that can be downloaded.
        pub const FORMS: &[Download] = &[$(Download {
            value: $value, words: $words, for_anybody: $for_anybody, form: || $form, ending: $ending, kind: $kind,
        }),*];
    };
}

const fn table(table: Table) -> Form {
    Form::Csv { table: Some(table), bom: false }
}

downloads! {
    "xlsx", "list-form-xlsx", true, Form::Xlsx, "xlsx", XLSX;
    "csv", "list-form-csv", true, Form::Csv { table: None, bom: false }, "zip", ZIP;
    "csv-inquiries", "list-form-csv-inquiries", true, table(Table::Inquiries), "csv", CSV;
    "csv-plants", "list-form-csv-plants", true, table(Table::Plants), "csv", CSV;
    "csv-visits", "list-form-csv-visits", true, table(Table::Visits), "csv", CSV;
    "csv-findings", "list-form-csv-findings", true, table(Table::Findings), "csv", CSV;
    "csv-diagnoses", "list-form-csv-diagnoses", true, table(Table::Diagnoses), "csv", CSV;
    "csv-photos", "list-form-csv-photos", true, table(Table::Photos), "csv", CSV;
    "geojson", "list-form-geojson", true, Form::Geojson(By::Cell), "geojson", "application/geo+json";
    "darwin-core", "list-form-darwin-core", true, Form::DarwinCore { licence: Licence::CcBy, photos: false }, "zip", ZIP;
    "dump", "list-form-dump", false, Form::Dump, "json", JSON;
    "state-report", "list-form-state-report", true, Form::StateReport, "csv", CSV;
    "state-report-json", "list-form-state-report-json", true, Form::StateReport, "csv", JSON;
}

/// Which form, and for whom: `office`, or else the public.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(super) struct Wanted {
    form: String,
    #[serde(rename = "for")]
    meant_for: String,
}

pub(super) async fn download(
    State(desk): Shared,
    Extension(who): Extension<Visitor>,
    filter: Result<Query<Filter>, QueryRejection>,
    wanted: Result<Query<Wanted>, QueryRejection>,
) -> Response {
    let sees_private = who.role.sees_private();
    answer(desk, Some(who), Here::Inquiries, move |desk, frame| {
        let bad = || Trouble::BadAddress(frame.say("list-bad-filter"));
        let (Ok(Query(filter)), Ok(Query(wanted))) = (filter, wanted) else { return Err(bad()) };
        if let Some(name) = filter.wrong_days().first() {
            let day = if *name == "since" { &filter.since } else { &filter.until };
            return Err(Trouble::BadAddress(frame.with("list-day-wrong", [("day", day)])));
        }
        let what = FORMS.iter().find(|form| form.value == wanted.form).ok_or_else(bad)?;
        let meant = if wanted.meant_for == "office" { Audience::Office } else { Audience::Public };
        file(desk, filter, what, meant, sees_private)
    })
    .await
}

/// The whole file, written beside everything else and read from there piece by piece while it is sent.
fn file(
    desk: &Desk,
    filter: Filter,
    what: &Download,
    meant: Audience,
    sees_private: bool,
) -> Result<Response, Trouble> {
    let form = (what.form)();
    let audience = form.audience(meant);
    if audience == Audience::Office && !sees_private {
        return Err(Trouble::NotAllowed);
    }
    let ask = Ask { filter, audience, delay_days: form.delay_days(audience), names_only: !sees_private };
    let scope = Scope::choose(&desk.office, &*desk.index()?, &desk.names, &ask)?;
    // What a stop leaves there goes with what else was under way.
    let folder = desk.office.room_for_arriving()?;
    let out = folder.path().join(format!("out.{}", what.ending));
    form.write(&scope, &desk.pack, &out)?;
    let (out, ending) = if what.is_beside() { (beside_report(&out), "json") } else { (out, what.ending) };
    let file = File::open(out).map_err(Error::io("reading an export"))?;
    let bytes = file.metadata().map_err(Error::io("reading an export"))?.len();
    // The name goes now, the bytes when all of them are sent.
    drop(folder);
    let day = scope.made().map(|day| day.to_string()).unwrap_or_default();
    let name = format!("attachment; filename=\"{}-{day}.{ending}\"", what.value);
    let headers = [
        (header::CONTENT_TYPE, what.kind.to_owned()),
        (header::CONTENT_DISPOSITION, name),
        (header::CONTENT_LENGTH, bytes.to_string()),
    ];
    Ok((headers, Body::from_stream(ReaderStream::new(tokio::fs::File::from_std(file)))).into_response())
}

#[cfg(test)]
mod tests {
    use axum::http::StatusCode;

    use super::*;
    use crate::{
        index::Index,
        page::{Names, asks::get, sample_county::county},
        people::Role,
    };

    #[test]
    fn a_download_has_the_bytes_of_the_export_with_the_same_filter() {
        let county = county();
        let pack = crate::pack::starter().unwrap();
        let (names, dir) = (Names::of(&pack), tempfile::tempdir().unwrap());
        let index = Index::open(county.office.folder(), &names).unwrap();
        for (query, matching) in [("", 1), ("status=open&township=Sedge", 1), ("township=Elsewhere", 0)] {
            for what in FORMS {
                for meant in [Audience::Public, Audience::Office] {
                    let uri = format!("/inquiries/download?{query}&form={}&for={}", what.value, meant.name());
                    let answer = get(&uri).signed_in(&county, Role::ScoutLead).send(&county);
                    assert_eq!(answer.status, StatusCode::OK, "{uri}");
                    let form = (what.form)();
                    let audience = form.audience(meant);
                    let filter = Filter::of_query(query).unwrap();
                    let delay_days = form.delay_days(audience);
                    let ask = Ask { filter, audience, delay_days, names_only: false };
                    let scope = Scope::choose(&county.office, &index, &names, &ask).unwrap();
                    assert_eq!(scope.out_of.matching, matching, "{uri}");
                    let out = dir.path().join("there.csv");
                    form.write(&scope, &pack, &out).unwrap();
                    let out = if what.is_beside() { beside_report(&out) } else { out };
                    assert!(answer.bytes == std::fs::read(out).unwrap(), "{uri}");
                    assert_eq!(answer.header("content-length"), answer.bytes.len().to_string(), "{uri}");
                    assert!(answer.header("content-disposition").starts_with("attachment; filename=\""), "{uri}");
                }
            }
        }
        let rows =
            get("/inquiries/download?form=csv-inquiries&for=office").signed_in(&county, Role::Admin).send(&county);
        assert_eq!(rows.text().lines().count(), 2, "{}", rows.text());
        assert!(!rows.text().contains("Teal Lane") && !rows.text().contains("Boxwood bare"));
    }

    #[test]
    fn every_download_is_in_the_audit_and_one_that_was_refused_is_not() {
        let county = county();
        let acts = || county.people.audit(None).unwrap().into_iter().filter(|row| row.act == "exported").count();
        for (uri, role, status) in [
            ("form=xlsx&for=office", Role::Reader, StatusCode::FORBIDDEN),
            ("form=dump", Role::Reader, StatusCode::FORBIDDEN),
            ("form=pigeon", Role::Admin, StatusCode::BAD_REQUEST),
            ("form=xlsx&since=yesterday", Role::Admin, StatusCode::BAD_REQUEST),
            ("form=xlsx&after=pigeon", Role::Admin, StatusCode::BAD_REQUEST),
        ] {
            let answer = get(&format!("/inquiries/download?{uri}")).signed_in(&county, role).send(&county);
            assert_eq!((answer.status, acts()), (status, 0), "{uri}");
        }
        for (n, uri) in ["form=xlsx", "form=csv-findings&for=public"].into_iter().enumerate() {
            let answer = get(&format!("/inquiries/download?{uri}")).signed_in(&county, Role::Reader).send(&county);
            assert_eq!((answer.status, acts()), (StatusCode::OK, n + 1), "{uri}");
        }
        // Whoever must not see a resident's words does not find by them either.
        for (role, found) in [(Role::Reader, 1), (Role::Admin, 1)] {
            let form = if role == Role::Reader { "for=public" } else { "for=office" };
            let uri = format!("/inquiries/download?form=csv&{form}&q=blight");
            let bytes = get(&uri).signed_in(&county, role).send(&county).bytes;
            let mut zip = zip::ZipArchive::new(std::io::Cursor::new(bytes)).unwrap();
            let about: serde_json::Value = serde_json::from_reader(zip.by_name("about.json").unwrap()).unwrap();
            let matching = if role == Role::Reader { 0 } else { found };
            assert_eq!(about["inquiries"]["matching"], matching, "{uri}");
        }
    }
}
