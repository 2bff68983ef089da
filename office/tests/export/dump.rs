//! The dump against its schema, and the report to the state against the counts.

use dooryard_core::record::Privacy;
use dooryard_office::export::{Audience, dump_schema, write_dump, write_state_report};
use serde_json::Value as Json;

use crate::yard::{County, all_for, marker};

fn dump(county: &County) -> String {
    county.export("all.json", &all_for(Audience::Office), |scope, out| {
        write_dump(scope, out).unwrap();
        std::fs::read_to_string(out).unwrap()
    })
}

#[test]
fn a_dump_is_as_its_schema_says_and_holds_nothing_private() {
    let county = County::new();
    let text = dump(&county);
    let read: Json = serde_json::from_str(&text).unwrap();
    let validator = jsonschema::validator_for(&dump_schema()).unwrap();
    let wrong: Vec<String> = validator.iter_errors(&read).map(|e| format!("{}: {e}", e.instance_path())).collect();
    assert!(wrong.is_empty(), "{wrong:?}");
    for told in [marker(Privacy::Private), marker(Privacy::Sealed), "42.71234", "Sealedtown", "spongy_moth"] {
        assert!(!text.contains(told), "{told}");
    }
    assert!(
        text.contains(marker(Privacy::Office)) && text.contains("=officewords one"),
        "the office's own words stand as written"
    );
    let one = read["inquiries"]
        .as_array()
        .unwrap()
        .iter()
        .find(|i| i["inquiry"]["fields"]["summary"] == "=officewords one")
        .unwrap();
    assert_eq!(one["finding"].as_array().unwrap().len(), 5);
    assert_eq!(read["about"]["rows"]["finding"], 5);
    assert!(one["inquiry"]["fields"].get("contact").is_none() && one["inquiry"]["fields"].get("question").is_none());
}

#[test]
fn the_schema_refuses_what_a_dump_must_not_hold() {
    let county = County::new();
    let mut read: Json = serde_json::from_str(&dump(&county)).unwrap();
    let validator = jsonschema::validator_for(&dump_schema()).unwrap();
    assert!(validator.is_valid(&read));
    read["inquiries"][0]["inquiry"]["fields"]["question"] = "somebody's words".into();
    assert!(!validator.is_valid(&read));
}

#[test]
fn the_report_counts_by_month_with_denominators_and_hides_small_counts_from_the_public() {
    let county = County::new();
    let report = |audience| {
        county.export("report.csv", &all_for(audience), |scope, out| {
            write_state_report(scope, out).unwrap();
            let json: Json = serde_json::from_slice(&std::fs::read(out.with_extension("json")).unwrap()).unwrap();
            (std::fs::read_to_string(out).unwrap(), json)
        })
    };
    let (table, json) = report(Audience::Office);
    let lines: Vec<&str> = table.lines().collect();
    for line in [
        "month,what,id,name,of_host,n,of,percent,percent_low,percent_high",
        "2026-03,inquiries,,,,3,3,,,",
        "2026-03,visits,,,,2,,,,",
        "2026-03,plants_affected,,,tomato_family,12,30,40.0,24.6,57.7",
        "2026-03,cause,tomato_early_blight,Early blight of tomato,tomato_family,1,1,,,",
    ] {
        assert!(lines.contains(&line), "{line} is missing in\n{table}");
    }
    assert!(!table.contains("spongy_moth") && !table.contains("crown_rot"), "regulated, or unlikely");
    assert_eq!(json["months"][0]["hosts"][0]["of"], 3);
    let (table, json) = report(Audience::Public);
    assert_eq!(table.lines().nth(1).unwrap(), "2026-03,inquiries,,,,,2,,,", "{table}");
    assert!(json["months"][0]["inquiries"].is_null() && json["months"][0].get("hosts").is_none());
}
