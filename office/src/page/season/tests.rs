//! The season board and the report over a real office, asked as a browser asks.

use axum::http::StatusCode;
use dooryard_core::record::Kind;
use serde_json::json;

use crate::{
    page::{
        asks::get,
        sample_county::{County, county},
    },
    people::Role,
};

/// Adds inquiries about oaks, opened on these days; the first `held` of each day name a cause, with this chance.
fn ask(county: &County, days: &[(&str, usize, usize)], percent: u8) {
    for (day, asked, held) in days {
        for n in 0..*asked {
            let site = county.save(Kind::Site, &json!({"township": "Tern Hollow"}));
            let opened = format!("{day}T09:00:00-05:00[America/Chicago]");
            let fields = json!({"opened": opened, "site": site.to_string(), "channel": "phone", "status": "answered"});
            let inquiry = county.save(Kind::Inquiry, &fields).to_string();
            county.save(Kind::Plant, &json!({"inquiry": inquiry, "host": "oak", "affected": 1, "present": 2}));
            if n < *held {
                let causes =
                    json!([{"cause": "drought_stress", "role": "primary", "word": "about_even", "percent": percent}]);
                county.save(Kind::Diagnosis, &json!({"inquiry": inquiry, "causes": causes, "status": "reviewed"}));
            }
        }
    }
}

fn oaks() -> County {
    let county = county();
    ask(&county, &[("2026-06-01", 9, 7), ("2026-06-08", 2, 1), ("2025-06-03", 6, 0)], 70);
    county
}

/// Cells of the row of the weekly table that begins with these words.
fn row(page: &str, begins: &str) -> Vec<String> {
    let tables = page.split("class=\"weeks\"").nth(1).unwrap();
    let row = tables.split("<tr>").find(|row| row.contains(&format!("scope=\"row\">{begins}"))).unwrap();
    let cells = row.split("<td").skip(1).map(|cell| cell.split_once('>').unwrap().1.split("</td>").next().unwrap());
    cells.map(|cell| cell.replace("<b>", "").replace("</b>", "")).collect()
}

#[test]
fn each_week_is_counted_out_of_those_who_asked_about_the_plant() {
    let county = oaks();
    let page = county.see(Role::Reviewer, "/season?year=2026&from=22&to=25").text();
    assert!(page.contains("The season 2026, weeks 22 to 25"), "{page}");
    assert_eq!(row(&page, "Oak"), ["none", "7 of 9", "1 of 2", "none", "8 of 11"]);
    assert_eq!(row(&page, "All inquiries"), ["none", "7 of 9", "1 of 2", "none", "8 of 11"]);
    for fact in
        ["8 of 11</b>, 73 in 100 (43 to 90)", "11 of 22 plants show it", "records reported, not cases", "role=\"img\""]
    {
        assert!(page.contains(fact), "{fact} is missing in:\n{page}");
    }
    for forbidden in [" style=", "<style", " onclick", "http://", "https://", "<script"] {
        assert!(!page.contains(forbidden), "{forbidden}");
    }
}

#[test]
fn a_cause_that_is_thought_less_likely_than_not_counts_for_nobody() {
    let county = county();
    ask(&county, &[("2026-06-01", 9, 7)], 30);
    let page = county.see(Role::Reviewer, "/season?year=2026&from=22&to=25").text();
    assert_eq!(row(&page, "All inquiries")[1], "7 of 9");
    assert!(page.contains("none held") && !page.contains("73 in 100"), "{page}");
    assert!(!page.split("class=\"weeks\"").nth(1).unwrap().contains("scope=\"row\">Oak"));
}

#[test]
fn the_year_before_stands_beside_where_it_has_data() {
    let county = oaks();
    let page = county.see(Role::Reviewer, "/season?year=2026&from=22&to=25").text();
    assert!(page.contains("Beside the same weeks of 2025") && page.contains("c-before"), "{page}");
    assert!(page.contains("6 of 6, 100 in 100"));
    let first = county.see(Role::Reviewer, "/season?year=2025&from=22&to=25").text();
    assert!(!first.contains("Beside the same weeks") && !first.contains("class=\"c-before\""));
}

#[test]
fn small_counts_are_told_to_those_who_see_the_records() {
    let county = oaks();
    let reader = county.see(Role::Reader, "/season?year=2026&from=22&to=25").text();
    let cells = row(&reader, "Oak");
    assert_eq!(cells, ["under 5", "7 of 9", "under 5", "under 5", "8 of 11"]);
    assert!(reader.contains("c-dot") && !reader.contains(">1 of 2<"), "{reader}");
}

#[test]
fn filters_stand_in_the_address_and_in_the_form() {
    let county = oaks();
    let page = county.see(Role::Reviewer, "/season?township=Tern+Hollow&host=oak&year=2026&from=23&to=24").text();
    for chosen in
        ["value=\"Tern Hollow\" selected", "value=\"oak\" selected", "value=\"2026\" selected", "value=\"23\" selected"]
    {
        assert!(page.contains(chosen), "{chosen}");
    }
    assert_eq!(row(&page, "All inquiries"), ["7 of 9", "1 of 2", "8 of 11"]);
    let nobody = county.see(Role::Reviewer, "/season?township=Nowhere&year=2026&from=23&to=24").text();
    assert!(nobody.contains("None reported is not none there."), "{nobody}");
    for wrong in
        ["/season?year=pigeon", "/season?from=60", "/season/report?month=2026-13", "/season/report?month=pigeon"]
    {
        assert_eq!(county.see(Role::Admin, wrong).status, StatusCode::BAD_REQUEST, "{wrong}");
    }
}

#[test]
fn the_report_of_a_month_says_what_came_and_what_became_of_it() {
    let county = oaks();
    let page = county.see(Role::Reviewer, "/season/report?month=2026-06").text();
    for fact in [
        "Report for June 2026",
        "11 inquiries came.",
        "Answered: 8 of 11, 73 in 100 (43 to 90).",
        "In the same month of 2025: 6.",
        "Tern Hollow township",
        "telephone",
        "no answer yet",
        "month=2026-05",
        "month=2026-07",
        "One sealed record exists.",
    ] {
        assert!(page.contains(fact), "{fact} is missing in:\n{page}");
    }
    assert!(!page.contains("Boxwood"));
    let newest = county.see(Role::Reviewer, "/season/report").text();
    assert!(newest.contains("Report for July 2026"), "the month of the newest inquiry: {newest}");
    let reader = county.see(Role::Reader, "/season/report?month=2026-06").text();
    assert!(!reader.contains("3 of 11"), "{reader}");
    let empty = county.see(Role::Reviewer, "/season/report?month=2020-01").text();
    assert!(empty.contains("0 inquiries came.") && empty.contains("None reported is not none there."));
}

#[test]
fn the_pages_speak_both_languages() {
    let county = oaks();
    for (uri, words) in
        [("/season?year=2026", "La temporada 2026"), ("/season/report?month=2026-06", "Informe de junio de 2026")]
    {
        let page = get(uri).header("accept-language", "es").signed_in(&county, Role::Admin).send(&county).text();
        assert!(page.contains(words), "{words} is missing in:\n{page}");
        assert!(!page.contains(">season-") && !page.contains(">map-"));
    }
}
