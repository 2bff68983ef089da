//! Filters of the list, and views that are saved, opened, renamed and deleted.

use axum::http::StatusCode;
use dooryard_core::record::Kind;
use serde_json::{Value as Json, json};

use super::{
    asks::{Answer, get, post},
    sample_county::{County, county},
};
use crate::people::Role;

fn see(county: &County, uri: &str) -> String {
    let answer = get(uri).signed_in(county, Role::Admin).send(county);
    assert_eq!(answer.status, StatusCode::OK, "{uri}");
    answer.text()
}

fn send(county: &County, role: Role, uri: &str, fields: &[(&str, &str)]) -> Answer {
    post(uri, fields).signed_in(county, role).send(county)
}

fn save(county: &County, kind: Kind, fields: &Json) -> String {
    county.office.notebook().save(kind, None, fields.as_object().unwrap()).unwrap().to_string()
}

#[test]
fn days_and_how_far_confirmed_choose_and_say_out_of_how_many() {
    let county = county();
    for (day, summary) in [("2026-05-01", "first of May"), ("2026-05-31", "end of May")] {
        let opened = format!("{day}T23:30:00-05:00[America/Chicago]");
        let inquiry = save(&county, Kind::Inquiry, &json!({"opened": opened, "summary": summary}));
        let plant = save(&county, Kind::Plant, &json!({"inquiry": inquiry, "host": "maple"}));
        if summary == "end of May" {
            let causes = json!([{"cause": "girdling_roots", "role": "primary", "word": "likely", "percent": 70}]);
            let told = json!({"inquiry": inquiry, "plant": plant, "status": "laboratory", "causes": causes});
            save(&county, Kind::Diagnosis, &told);
        }
    }
    for (query, found, holds) in [
        ("since=2026-05-01&until=2026-05-31", 2, "first of May"),
        ("since=2026-05-02&until=2026-05-31", 1, "end of May"),
        ("until=2026-05-30", 1, "first of May"),
        ("answer=laboratory", 1, "Laboratory:"),
        ("answer=presumptive", 0, "None of 3 inquiries is like this."),
        ("since=2026-05-31&answer=laboratory", 1, "end of May"),
    ] {
        let page = see(&county, &format!("/inquiries?{query}"));
        assert!(page.contains(&format!("{found} of 3 inquiries; {found} of {found} not closed.")), "{query}:\n{page}");
        assert!(page.contains(holds), "{query}:\n{page}");
    }
    let page = see(&county, "/inquiries?since=2026-05-31&answer=laboratory");
    for words in ["Opened on or after: 31 May", "How far confirmed: laboratory", r#"name="since" value="2026-05-31""#] {
        assert!(page.contains(words), "{words}:\n{page}");
    }
}

#[test]
fn a_day_that_is_none_is_said_beside_its_field_and_chooses_nothing() {
    let county = county();
    let page = see(&county, "/inquiries?since=soon");
    assert!(page.contains("1 of 1 inquiry;"), "{page}");
    assert!(!page.contains("Opened on or after: soon"), "{page}");
    assert!(page.contains(r#"aria-describedby="w-since""#) && page.contains("“soon” is no day"), "{page}");
}

#[test]
fn a_view_is_saved_opened_renamed_deleted_and_kept_after_all() {
    let county = county();
    let uri = "/inquiries?status=open&township=Sedge";
    let save_it = |name: &str| {
        let filter = "township=Sedge&status=open&page=3";
        send(&county, Role::Admin, "/views", &[("name", name), ("filter", filter)])
    };
    assert!(see(&county, uri).contains("Save this view"));
    let saved = save_it(" Open in Sedge ");
    assert_eq!((saved.status, saved.header("location")), (StatusCode::SEE_OTHER, uri));
    let page = see(&county, uri);
    let link = r#"<a href="/inquiries?status=open&#38;township=Sedge" aria-current="page">Open in Sedge</a>"#;
    assert!(page.contains(link) && !page.contains("Save this view"), "{page}");
    assert!(see(&county, "/inquiries").contains("Open in Sedge"));
    // Of each person alone.
    assert!(!get("/views").signed_in(&county, Role::Reviewer).send(&county).text().contains("Open in Sedge"));
    let other = send(&county, Role::Reviewer, "/views/1/name", &[("name", "Mine")]);
    assert_eq!(other.status, StatusCode::CONFLICT);
    assert_eq!(send(&county, Role::Reviewer, "/views/1/delete", &[]).status, StatusCode::CONFLICT);
    // What cannot be is said beside the field, and what was typed stays.
    for (name, why) in [("open in sedge", "already"), ("", "1 to 60 characters"), ("a\nb", "1 to 60 characters")] {
        let refused = save_it(name);
        assert_eq!(refused.status, StatusCode::CONFLICT, "{name}");
        let text = refused.text();
        assert!(text.contains(why) && text.contains(r#"aria-describedby="fresh-why""#), "{name}:\n{text}");
        assert!(text.contains(r#"name="filter" value="status=open&#38;township=Sedge""#), "{text}");
    }
    assert_eq!(send(&county, Role::Admin, "/views/1/name", &[("name", "Sedge")]).header("location"), "/views");
    let page = see(&county, "/views");
    assert!(page.contains(">Sedge</a>") && page.contains("Where it stands: open; Township: Sedge township"), "{page}");
    let gone = send(&county, Role::Admin, "/views/1/delete", &[]).text();
    assert!(gone.contains("“Sedge” is deleted") && gone.contains("Keep it after all"), "{gone}");
    assert!(!see(&county, "/views").contains(">Sedge</a>"));
    assert_eq!(save_it("Sedge").status, StatusCode::SEE_OTHER);
    assert_eq!(
        send(&county, Role::Admin, "/views", &[("name", "x"), ("filter", "after=1")]).status,
        StatusCode::BAD_REQUEST
    );
}

#[test]
fn a_script_in_a_filter_or_in_the_name_of_a_view_stays_text() {
    let county = county();
    let hostile = r#""'><script>alert(1)</script>"#;
    let fields = ["q", "status", "host", "township", "scout", "cause", "answer", "since", "until", "stop", "conflict"];
    for field in fields {
        let query = serde_urlencoded::to_string([(field, hostile)]).unwrap();
        let page = see(&county, &format!("/inquiries?{query}"));
        assert!(page.contains("alert(1)") && !page.contains("<script>"), "{field}:\n{page}");
        let name = format!("{hostile} {field}");
        assert_eq!(
            send(&county, Role::Admin, "/views", &[("name", &name), ("filter", &query)]).status,
            StatusCode::SEE_OTHER
        );
    }
    let page = see(&county, "/views");
    assert!(page.contains("alert(1)") && !page.contains("<script>"), "{page}");
    let gone = send(&county, Role::Admin, "/views/1/delete", &[]).text();
    assert!(gone.contains("alert(1)") && !gone.contains("<script>"), "{gone}");
}

#[test]
fn an_inquiry_is_found_by_the_number_that_its_letter_has() {
    let county = county();
    let other = save(&county, Kind::Inquiry, &json!({"summary": "another one"}));
    let number = other.get(other.len() - 8..).unwrap();
    for typed in [number.to_owned(), number.to_uppercase()] {
        let page = see(&county, &format!("/inquiries?q={typed}"));
        assert!(page.contains("1 of 2 inquiries;") && page.contains("another one"), "{page}");
    }
}
