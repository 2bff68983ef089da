//! CSV and spreadsheets.

use std::{fs::File, io::Read, path::Path};

use calamine::{Data, Reader, Xlsx, open_workbook};
use dooryard_core::record::{Kind, Privacy};
use dooryard_office::export::{Audience, Table, write_csv, write_xlsx};

use dooryard_tests::{MAY_1, edit};
use serde_json::json;

use crate::yard::{County, FORMULAS, all_for, marker};

/// A table read back: headings, rows.
fn read(bytes: &[u8]) -> (Vec<String>, Vec<Vec<String>>) {
    let mut reader = csv::Reader::from_reader(bytes);
    let headings = reader.headers().unwrap().iter().map(str::to_owned).collect();
    let rows = reader.records().map(|r| r.unwrap().iter().map(str::to_owned).collect()).collect();
    (headings, rows)
}

fn unpacked(file: &Path) -> Vec<(String, Vec<u8>)> {
    let mut zip = zip::ZipArchive::new(File::open(file).unwrap()).unwrap();
    let mut found = Vec::new();
    for at in 0..zip.len() {
        let mut entry = zip.by_index(at).unwrap();
        let mut bytes = Vec::new();
        entry.read_to_end(&mut bytes).unwrap();
        found.push((entry.name().unwrap().into_owned(), bytes));
    }
    found
}

fn has(bytes: &[u8], needle: &str) -> bool {
    bytes.windows(needle.len()).any(|w| w == needle.as_bytes())
}

/// All bytes of a zip, unpacked, one after the other.
fn contents(file: &Path) -> Vec<u8> {
    unpacked(file).into_iter().flat_map(|(_, bytes)| bytes).collect()
}

#[test]
fn hostile_words_in_every_text_begin_no_formula_and_are_all_there() {
    let county = County::new();
    let file = county.export("all.zip", &all_for(Audience::Office), |scope, out| {
        write_csv(scope, out, None, false).unwrap();
        out.to_owned()
    });
    let (mut cells, mut hostile) = (0, 0);
    for (name, bytes) in unpacked(&file).iter().filter(|(name, _)| name.ends_with(".csv")) {
        for cell in read(bytes).1.into_iter().flatten() {
            cells += 1;
            let number = cell.parse::<f64>().is_ok();
            assert!(number || !FORMULAS.iter().any(|f| cell.starts_with(f)), "{name}: {cell:?}");
            hostile += u32::from(cell.starts_with('\''));
        }
    }
    assert!(cells > 100 && hostile > 20, "{cells} cells, {hostile} of them were hostile");
}

#[test]
fn the_public_reads_nobodys_words_no_number_of_a_record_and_nothing_finer_than_a_cell() {
    let county = County::new();
    for audience in [Audience::Public, Audience::Office] {
        let csv = county.export("all.zip", &all_for(audience), |scope, out| {
            write_csv(scope, out, None, false).unwrap();
            contents(out)
        });
        let xlsx = county.export("all.xlsx", &all_for(audience), |scope, out| {
            write_xlsx(scope, out).unwrap();
            contents(out)
        });
        for (form, bytes) in [("csv", csv), ("xlsx", xlsx)] {
            for class in [Privacy::Private, Privacy::Sealed] {
                assert!(!has(&bytes, marker(class)), "{form} for {audience:?} tells {class:?}");
            }
            for finer in ["42.71234", "87.01234", "Sealedtown"] {
                assert!(!has(&bytes, finer), "{form} for {audience:?} tells {finer}");
            }
            assert!(!has(&bytes, "spongy_moth"), "{form} for {audience:?} names what is regulated");
            let words = has(&bytes, marker(Privacy::Office));
            assert_eq!(words, audience == Audience::Office, "{form} for {audience:?}: words of the office");
            let numbered = county.all.iter().any(|id| has(&bytes, &id.to_string()));
            assert_eq!(numbered, audience == Audience::Office, "{form} for {audience:?}: numbers of records");
            assert!(has(&bytes, "r589c944"), "{form} for {audience:?}: the cell is public");
        }
    }
}

#[test]
fn four_states_stay_four_and_what_nobody_looked_at_has_no_row() {
    let county = County::new();
    let bytes = county.export("findings.csv", &all_for(Audience::Public), |scope, out| {
        write_csv(scope, out, Some(Table::Findings), true).unwrap();
        std::fs::read(out).unwrap()
    });
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").expect("a byte order mark was asked for");
    let (headings, rows) = read(bytes);
    let at = |name: &str| headings.iter().position(|h| h == name).unwrap();
    let mut said: Vec<String> =
        rows.iter().map(|r| format!("{} {} {}", r[at("character")], r[at("state")], r[at("status")])).collect();
    said.sort();
    assert_eq!(
        said,
        [
            "crown_base crown_firm seen",
            "leaf_spot bullseye seen",
            "mine trail could_not_tell",
            "seedling_base pinched not_looked",
            "stipple stipple_mites absent",
        ]
    );
    assert!(rows.iter().all(|r| r[at("percent")] == "12.5" && r[0].len() == 32));
    assert_eq!(rows[0][at("plant")], rows[1][at("plant")], "one plant has one public number");
}

#[test]
fn every_export_says_its_filter_and_out_of_how_many() {
    let county = County::new();
    let mut ask = all_for(Audience::Public);
    let about = |ask: &_| {
        county.export("one.csv", ask, |s, out| write_csv(s, out, Some(Table::Inquiries), false).unwrap().about)
    };
    let n = about(&ask)["inquiries"].clone();
    let counts = [
        "inquiries",
        "matching",
        "left_out_at_the_residents_wish",
        "left_out_without_a_yes",
        "left_out_erased",
        "written",
    ];
    assert_eq!(counts.map(|c| n[c].as_u64().unwrap()), [5, 5, 1, 1, 1, 2]);
    ask.audience = Audience::Office;
    assert_eq!(about(&ask)["inquiries"]["written"], 3, "the office also counts whom nobody asked");
    ask.filter.host = "tomato_family".into();
    ask.filter.q = "officewords one".into();
    let told = about(&ask);
    assert_eq!((&told["filter"]["host"], &told["inquiries"]["matching"]), (&"tomato_family".into(), &1.into()));
    assert_eq!(told["filter"]["q"], "officewords one");
    ask.audience = Audience::Public;
    assert_eq!(about(&ask)["filter"]["q"], "narrowed by this; not repeated here");
    ask.filter.status = "closed".into();
    assert_eq!(about(&ask)["rows"]["inquiries"], 0);
    let beside = std::fs::read_to_string(county.yard.file("one.about.json")).unwrap();
    assert!(beside.contains("Not looked is not absent"), "{beside}");
}

#[test]
fn where_phones_disagree_on_consent_a_no_counts() {
    let county = County::new();
    let ask = all_for(Audience::Office);
    let written = |name: &str| {
        let about =
            county.export(name, &ask, |scope, out| write_csv(scope, out, Some(Table::Inquiries), false).unwrap().about);
        (
            about["inquiries"]["written"].as_u64().unwrap(),
            about["inquiries"]["left_out_at_the_residents_wish"].as_u64().unwrap(),
        )
    };
    assert_eq!(written("before.csv"), (3, 1));
    let consent = |count: bool| json!({"consent": {"visit": true, "cut": count, "photo": true, "count": count, "contact_back": false}});
    let (yard, office) = (&county.yard, county.yard.office.notebook());
    edit(&yard.phones[0], Kind::Inquiry, county.told, consent(false)).unwrap();
    yard.clock.set(MAY_1 + 60_000);
    edit(office, Kind::Inquiry, county.told, consent(true)).unwrap();
    yard.take_in(&yard.bundle(&yard.phones[0], "no.yard").unwrap()).unwrap();
    assert_eq!(
        office.show(county.told).unwrap().get("consent").unwrap()["count"],
        true,
        "the office's yes is what shows"
    );
    assert_eq!(written("after.csv"), (2, 2));
}

#[test]
fn only_answers_in_force_and_only_photos_that_may_be_shown() {
    let county = County::new();
    for (audience, photos) in [(Audience::Public, 1), (Audience::Office, 2)] {
        let files = county.export("all.zip", &all_for(audience), |scope, out| {
            write_csv(scope, out, None, false).unwrap();
            unpacked(out)
        });
        let table = |name: &str| read(&files.iter().find(|(n, _)| n == name).unwrap().1);
        assert_eq!(table("photos.csv").1.len(), photos, "{audience:?}");
        let (headings, rows) = table("diagnoses.csv");
        let cause = headings.iter().position(|h| h == "cause").unwrap();
        let causes: Vec<&str> = rows.iter().map(|r| r[cause].as_str()).collect();
        assert_eq!(causes, ["tomato_early_blight", "drought_stress", "crown_rot"], "{audience:?}");
        assert_eq!(rows[0][cause + 1], "Early blight of tomato");
    }
}

#[test]
fn a_spreadsheet_reader_finds_the_same_rows_with_types_and_no_formula() {
    let county = County::new();
    let ask = all_for(Audience::Office);
    let files = county.export("all.zip", &ask, |scope, out| {
        write_csv(scope, out, None, false).unwrap();
        unpacked(out)
    });
    let mut book: Xlsx<_> = county.export("all.xlsx", &ask, |scope, out| {
        write_xlsx(scope, out).unwrap();
        open_workbook(out).unwrap()
    });
    for table in Table::ALL {
        let (headings, rows) = read(&files.iter().find(|(n, _)| *n == format!("{}.csv", table.name())).unwrap().1);
        let sheet = book.worksheet_range(table.name()).unwrap();
        let mut found = sheet.rows();
        let heads: Vec<String> = found.next().unwrap().iter().map(ToString::to_string).collect();
        assert_eq!(heads, headings, "{}", table.name());
        let found: Vec<&[Data]> = found.collect();
        assert_eq!(found.len(), rows.len(), "{}", table.name());
        for (cells, row) in found.iter().zip(&rows) {
            for (cell, text) in cells.iter().zip(row) {
                let plain = text.strip_prefix('\'').unwrap_or(text);
                match cell {
                    Data::Float(n) => assert_eq!(n.to_string(), *text),
                    Data::DateTime(day) => {
                        assert_eq!(day.to_ymd_hms_milli().0, text[..4].parse::<u16>().unwrap(), "{text}");
                    }
                    Data::Bool(b) => assert_eq!(if *b { "yes" } else { "no" }, text),
                    Data::Empty => assert_eq!(text, ""),
                    // XML has no carriage return of its own.
                    other => assert_eq!(other.to_string().replace('\r', ""), plain.replace('\r', "")),
                }
            }
        }
        assert!(book.worksheet_formula(table.name()).unwrap().used_cells().next().is_none(), "{}", table.name());
    }
    let plants = book.worksheet_range("plants").unwrap();
    let affected = plants.rows().next().unwrap().iter().position(|h| h == "affected").unwrap();
    assert_eq!(plants.rows().nth(1).unwrap()[affected], Data::Float(12.0));
    let about = book.worksheet_range("about").unwrap();
    assert!(about.rows().any(|r| r[0] == "inquiries.written" && r[1] == "3"), "{about:?}");
}
