//! `meta.xml`, which says what stands in which column, and `eml.xml`, which says what the whole is.

use std::io;

use dooryard_core::Result;
use jiff::civil::Date;
use quick_xml::{
    Writer,
    events::{BytesDecl, BytesText, Event},
};
use serde_json::Value as Json;

use super::{Licence, terms::SHEETS};
use crate::export::{scope::Scope, whole::writing};

type Out = Writer<Vec<u8>>;

/// `meta.xml` (Darwin Core text guide).
pub fn meta() -> Result<Vec<u8>> {
    document(|w| {
        let archive = w
            .create_element("archive")
            .with_attributes([("xmlns", "http://rs.tdwg.org/dwc/text/"), ("metadata", "eml.xml")]);
        archive
            .write_inner_content(|w| {
                for (at, sheet) in SHEETS.into_iter().enumerate() {
                    let (element, first) = if at == 0 { ("core", "id") } else { ("extension", "coreid") };
                    let row_type = sheet.row_type();
                    let form = [
                        ("encoding", "UTF-8"),
                        ("fieldsTerminatedBy", ","),
                        ("linesTerminatedBy", "\\n"),
                        ("fieldsEnclosedBy", "\""),
                        ("ignoreHeaderLines", "1"),
                        ("rowType", row_type.as_str()),
                    ];
                    w.create_element(element).with_attributes(form).write_inner_content(|w| {
                        w.create_element("files").write_inner_content(|w| text(w, "location", sheet.file))?;
                        w.create_element(first).with_attribute(("index", "0")).write_empty()?;
                        for (index, term) in (1..).zip(sheet.terms()) {
                            let index = format!("{index}");
                            let column = [("index", index.as_str()), ("term", term.as_str())];
                            w.create_element("field").with_attributes(column).write_empty()?;
                        }
                        Ok(())
                    })?;
                }
                Ok(())
            })
            .map(drop)
    })
}

/// `eml.xml` (Ecological Metadata Language 2.2.0): title, office, days, filter and denominators, licence, method.
pub fn eml(scope: &Scope<'_>, about: &Json, days: Option<(Date, Date)>, licence: Licence) -> Result<Vec<u8>> {
    let made = about["made"].as_str().unwrap_or_default();
    let package = format!("dooryard/{made}");
    let title = format!("Scouting of garden and landscape plants, {}", scope.office);
    document(|w| {
        let root = [
            ("xmlns:eml", "https://eml.ecoinformatics.org/eml-2.2.0"),
            ("packageId", package.as_str()),
            ("system", "https://gbif.org"),
            ("scope", "system"),
            ("xml:lang", "en"),
        ];
        w.create_element("eml:eml").with_attributes(root).write_inner_content(|w| {
            w.create_element("dataset").write_inner_content(|w| {
                text(w, "title", &title)?;
                for who in ["creator", "metadataProvider"] {
                    w.create_element(who).write_inner_content(|w| text(w, "organizationName", &scope.office))?;
                }
                text(w, "pubDate", made)?;
                text(w, "language", "en")?;
                let told = [
                    format!("Living causes of trouble found on plants, and those looked for and not found, by visit. {}", super::WITHHELD),
                    format!("Filter: {}. Inquiries: {}. Rows: {}.", about["filter"], about["inquiries"], about["rows"]),
                    about["notice"].as_str().unwrap_or_default().to_owned(),
                ];
                paragraphs(w, "abstract", told.iter().filter(|p| !p.is_empty()))?;
                paragraphs(w, "intellectualRights", [&format!("This work is licensed under {}", licence.iri())])?;
                if let Some((first, last)) = days {
                    w.create_element("coverage").write_inner_content(|w| {
                        w.create_element("temporalCoverage").write_inner_content(|w| {
                            w.create_element("rangeOfDates").write_inner_content(|w| {
                                for (end, day) in [("beginDate", first), ("endDate", last)] {
                                    let day = day.to_string();
                                    w.create_element(end).write_inner_content(|w| text(w, "calendarDate", &day))?;
                                }
                                Ok(())
                            })?;
                            Ok(())
                        })?;
                        Ok(())
                    })?;
                }
                w.create_element("contact").write_inner_content(|w| text(w, "organizationName", &scope.office))?;
                w.create_element("methods").write_inner_content(|w| {
                    w.create_element("methodStep")
                        .write_inner_content(|w| paragraphs(w, "description", [&super::PROTOCOL.to_owned()]))?;
                    Ok(())
                })?;
                Ok(())
            })?;
            Ok(())
        })
        .map(drop)
    })
}

fn document(write: impl FnOnce(&mut Out) -> io::Result<()>) -> Result<Vec<u8>> {
    let mut w = Writer::new_with_indent(Vec::new(), b' ', 2);
    w.write_event(Event::Decl(BytesDecl::new("1.0", Some("UTF-8"), None))).map_err(writing)?;
    write(&mut w).map_err(writing)?;
    Ok(w.into_inner())
}

fn text(w: &mut Out, element: &str, text: &str) -> io::Result<()> {
    w.create_element(element).write_text_content(BytesText::new(text)).map(drop)
}

fn paragraphs<'t>(w: &mut Out, element: &str, told: impl IntoIterator<Item = &'t String>) -> io::Result<()> {
    w.create_element(element).write_inner_content(|w| told.into_iter().try_for_each(|p| text(w, "para", p))).map(drop)
}
