//! The Darwin Core Archive: every column is the one that meta.xml says, and zeros are zeros.

use std::{
    collections::{BTreeMap, BTreeSet},
    fs::File,
    io::Read as _,
    path::Path,
};

use dooryard_core::record::Privacy;
use dooryard_office::export::{Audience, Licence, write_darwin};
use quick_xml::{Reader, events::Event};

use crate::yard::{County, all_for, marker};

/// A row by the last words of its terms; the number of the event under `id`.
type Row = BTreeMap<String, String>;

/// The archive as its own meta.xml says that it is to be read.
struct Archive {
    files: BTreeMap<String, Vec<u8>>,
    tables: BTreeMap<String, Vec<Row>>,
}

fn unzip(file: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut zip = zip::ZipArchive::new(File::open(file).unwrap()).unwrap();
    (0..zip.len())
        .map(|at| {
            let mut entry = zip.by_index(at).unwrap();
            let mut bytes = Vec::new();
            entry.read_to_end(&mut bytes).unwrap();
            (entry.name().unwrap().into_owned(), bytes)
        })
        .collect()
}

fn read(file: &Path) -> Archive {
    let files = unzip(file);
    let meta = String::from_utf8(files["meta.xml"].clone()).unwrap();
    let mut reader = Reader::from_str(&meta);
    let (mut tables, mut columns, mut row_type, mut location) = (BTreeMap::new(), Vec::new(), String::new(), None);
    let mut in_location = false;
    loop {
        let event = reader.read_event().unwrap();
        let attributes = |e: &quick_xml::events::BytesStart<'_>| -> BTreeMap<String, String> {
            e.attributes().map(|a| a.unwrap()).map(|a| (a.key.as_ref().to_owned(), a.value.into_owned())).collect()
        };
        match event {
            Event::Eof => break,
            Event::Start(e) if ["core", "extension"].contains(&e.name().as_ref()) => {
                let form = attributes(&e);
                assert_eq!(
                    (
                        form["encoding"].as_str(),
                        form["fieldsTerminatedBy"].as_str(),
                        form["ignoreHeaderLines"].as_str()
                    ),
                    ("UTF-8", ",", "1")
                );
                row_type = form["rowType"].clone();
            }
            Event::Start(e) if e.name().as_ref() == "location" => in_location = true,
            Event::Text(t) if in_location => {
                location = Some(t.to_string());
                in_location = false;
            }
            Event::Empty(e) => {
                let a = attributes(&e);
                let index: usize = a["index"].parse().unwrap();
                assert_eq!(index, columns.len(), "columns stand in order");
                columns.push(a.get("term").map_or("id".to_owned(), |t| t.rsplit('/').next().unwrap().to_owned()));
            }
            Event::End(e) if ["core", "extension"].contains(&e.name().as_ref()) => {
                let bytes = &files[&location.take().unwrap()];
                let rows = csv::Reader::from_reader(&bytes[..])
                    .records()
                    .map(|r| columns.iter().cloned().zip(r.unwrap().iter().map(str::to_owned)).collect::<Row>())
                    .collect::<Vec<_>>();
                let named = row_type.rsplit('/').next().unwrap();
                let key = if row_type.contains("/eco/") { "Humboldt".to_owned() } else { named.to_owned() };
                tables.insert(key, rows);
                columns = Vec::new();
            }
            _ => {}
        }
    }
    Archive { files, tables }
}

fn archive(county: &County, photos: bool) -> Archive {
    county.export("dwca.zip", &all_for(Audience::Public), |scope, out| {
        write_darwin(scope, &dooryard_office::pack::load(None).unwrap(), out, Licence::CcBy, photos).unwrap();
        read(out)
    })
}

#[test]
fn living_causes_are_present_what_was_looked_for_in_vain_is_absent_and_nothing_else_has_a_row() {
    let county = County::new();
    let archive = archive(&county, false);
    let mut said: Vec<String> = archive.tables["Occurrence"]
        .iter()
        .map(|o| {
            format!("{} {} ({}): {}", o["taxonRank"], o["scientificName"], o["vernacularName"], o["occurrenceStatus"])
        })
        .collect();
    said.sort();
    // Of the four states: a firm crown was seen, so white mold was looked for in vain; crown rot is several
    // kinds, and no kingdom is absent because one disease is; the mine nobody could tell, the
    // seedling's base nobody looked at, mites walk away, drought is no living thing, the moth is regulated.
    assert_eq!(
        said,
        [
            "genus Alternaria (Early blight of tomato): present",
            "species Sclerotinia sclerotiorum (White mold of bean and other soft stems): absent",
        ]
    );
    let present = archive.tables["Occurrence"].iter().find(|o| o["occurrenceStatus"] == "present").unwrap();
    assert_eq!(present["identificationVerificationStatus"], "volunteer_presumptive");
    assert_eq!(present["identificationQualifier"], "likely, 80 in 100");
    assert!(present["associatedTaxa"].starts_with("host: "));
    let effort = archive.tables["Humboldt"].iter().find(|h| h["isAbsenceReported"] == "true").unwrap();
    assert_eq!((effort["samplingEffortValue"].as_str(), effort["samplingEffortUnit"].as_str()), ("34", "minutes"));
    assert_eq!(effort["absentTaxa"], "Sclerotinia sclerotiorum (White mold of bean and other soft stems)");
    assert_eq!(effort["isTaxonomicScopeFullyReported"], "true");
    let other = archive.tables["Humboldt"].iter().find(|h| h["isAbsenceReported"] == "false").unwrap();
    assert_eq!(
        (other["targetTaxonomicScope"].as_str(), other["absentTaxa"].as_str()),
        ("", ""),
        "a visit that looked at nothing"
    );
}

#[test]
fn every_row_hangs_on_a_visit_and_states_licence_and_what_is_withheld() {
    let county = County::new();
    let archive = archive(&county, false);
    let events = &archive.tables["Event"];
    assert_eq!(events.len(), 2);
    let numbers: BTreeSet<&String> = events.iter().map(|e| &e["eventID"]).collect();
    for (table, rows) in &archive.tables {
        assert!(rows.iter().all(|r| numbers.contains(&r["id"])), "{table}");
    }
    for event in events {
        assert!(
            event["license"].starts_with("http://creativecommons.org/")
                && event["informationWithheld"].contains("address")
        );
        assert_eq!((event["eventDate"].as_str(), event["sampleSizeValue"].as_str()), ("2026-03-02", "30"));
        assert!(!event.contains_key("decimalLatitude"), "an area, no point");
        assert_eq!(event["county"], "'=LARKSPUR()", "no formula");
    }
    assert!(events.iter().any(|e| e["footprintWKT"].starts_with("POLYGON ((-87.016 42.7025")));
    let eml = String::from_utf8(archive.files["eml.xml"].clone()).unwrap();
    for told in ["by/4.0", "&quot;written&quot;:2", "Unreviewed starter content", "2026-03-02"] {
        assert!(eml.contains(told), "{told} is missing in {eml}");
    }
}

#[test]
fn nothing_private_is_in_the_archive_and_photos_come_without_metadata_from_who_agreed() {
    let county = County::new();
    let with = archive(&county, true);
    let whole: Vec<u8> = with.files.values().flatten().copied().collect();
    let has = |needle: &str| whole.windows(needle.len()).any(|w| w == needle.as_bytes());
    for class in [Privacy::Office, Privacy::Private, Privacy::Sealed] {
        assert!(!has(marker(class)), "{class:?}");
    }
    assert!(!has("Sealedtown") && !has("42.71234") && !has("spongy_moth"));
    assert!(!county.all.iter().any(|id| has(&id.to_string())));
    let media = &with.tables["Multimedia"];
    assert_eq!(media.len(), 1, "one of four photos: checked for people, and the resident said yes");
    let image = &with.files[&media[0]["accessURI"]];
    assert_eq!(media[0]["hashValue"], blake3::hash(image).to_hex().to_string());
    assert_eq!(image::load_from_memory(image).unwrap().width(), 64);
    assert_eq!(archive(&county, false).tables["Multimedia"][0]["accessURI"], "");
}
