//! A table for spreadsheets: one row a record, no cell that a spreadsheet would take for a formula.

use serde_json::Value as Json;

use crate::{
    error::{Error, Result},
    notebook::Record,
    record::{Kind, fields_of},
};

/// Spreadsheets take a file that begins so for Unicode.
const BYTE_ORDER_MARK: &[u8] = b"\xef\xbb\xbf";

/// The table of the records of one kind, in their order.
pub(super) fn table<'r>(kind: Kind, records: impl Iterator<Item = &'r Record>) -> Result<Vec<u8>> {
    let mut writer = csv::Writer::from_writer(BYTE_ORDER_MARK.to_vec());
    let names: Vec<&str> = fields_of(kind).iter().map(|field| field.name).collect();
    let wrong = |e: csv::Error| Error::io("writing a table")(e.into());
    writer.write_record(["id", "deleted"].iter().chain(&names)).map_err(wrong)?;
    for record in records {
        let values = names.iter().map(|name| record.get(name).map_or_else(String::new, cell));
        let row = [record.id.to_string(), record.hidden.to_string()].into_iter().chain(values);
        writer.write_record(row).map_err(wrong)?;
    }
    writer.into_inner().map_err(|e| Error::io("writing a table")(e.into_error()))
}

fn cell(value: &Json) -> String {
    let text = match value {
        Json::String(text) => text.clone(),
        other => other.to_string(),
    };
    if text.starts_with(['=', '+', '-', '@', '\t', '\r']) { format!("'{text}") } else { text }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_cell_begins_like_a_formula() {
        for said in ["=1+1", "+1", "-1", "@sum", "\tx", "\rx"] {
            assert_eq!(cell(&Json::from(said)), format!("'{said}"));
        }
        assert_eq!(cell(&Json::from(-5)), "'-5");
        assert_eq!(cell(&Json::from("leaf = round")), "leaf = round");
        assert_eq!(cell(&serde_json::json!({"a": 1})), "{\"a\":1}");
    }
}
