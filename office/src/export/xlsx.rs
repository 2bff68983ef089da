//! Tables as a spreadsheet: numbers, days and yes or no as such; text never as a formula.

use std::path::Path;

use dooryard_core::{Error, Result};
use rust_xlsxwriter::{DocProperties, ExcelDateTime, Format, Workbook, Worksheet, XlsxError};
use serde_json::{Map, Value as Json, json};

use super::{
    Written,
    columns::Cell,
    scope::Scope,
    tables::{Form, Table},
    whole::{whole, writing},
};

/// Writes all tables, and a sheet `about` that says of what they are.
///
/// # Errors
/// `NO_SPACE`; of the stores; when there are more rows than a sheet can hold. No half file is left.
pub fn write(scope: &Scope<'_>, out: &Path) -> Result<Written> {
    let mut book = Workbook::new();
    // The day alone, so that the same content gives the same bytes.
    if let Some(day) = scope.made().and_then(excel_day) {
        book.set_properties(&DocProperties::new().set_creation_datetime(&day));
    }
    let (head, look) = (Format::new().set_bold(), Look::new());
    let mut sheets = Vec::new();
    for (at, table) in Table::ALL.into_iter().enumerate() {
        let form = Form::new(table, scope);
        let sheet = book.add_worksheet_with_constant_memory().map_err(failed)?;
        sheet.set_name(table.name()).map_err(failed)?;
        sheet.set_freeze_panes(1, 0).map_err(failed)?;
        for (column, heading) in (0..).zip(form.headings()) {
            sheet.set_column_width(column, 18).map_err(failed)?;
            sheet.write_string_with_format(0, column, heading, &head).map_err(failed)?;
        }
        sheets.push((at, table, form, 0_u32));
    }
    scope.each(|case| {
        for (at, _, form, count) in &mut sheets {
            let sheet = book.worksheet_from_index(*at).map_err(failed)?;
            for row in form.rows(case, scope) {
                *count += 1;
                look.row(sheet, *count, &row).map_err(failed)?;
            }
        }
        Ok(())
    })?;
    let counts: Map<String, Json> = sheets.iter().map(|(_, t, _, n)| (t.name().into(), json!(n))).collect();
    let about = scope.about("xlsx", &Json::Object(counts));
    let sheet = book.add_worksheet();
    sheet.set_name("about").map_err(failed)?;
    for (row, (name, value)) in (0..).zip(flat("", &about)) {
        look.row(sheet, row, &[Cell::Text(name), Cell::Text(value)]).map_err(failed)?;
    }
    let ((), bytes) = whole(out, |file| book.save_to_writer(file).map_err(failed))?;
    Ok(Written { bytes, about })
}

fn failed(e: XlsxError) -> Error {
    match e {
        XlsxError::IoError(e) => writing(e),
        XlsxError::ZipError(e) => writing(std::io::Error::other(e)),
        other => writing(std::io::Error::other(other.to_string())),
    }
}

struct Look {
    day: Format,
    /// Text stays text also when somebody edits the cell.
    text: Format,
}

impl Look {
    fn new() -> Self {
        Self { day: Format::new().set_num_format("yyyy-mm-dd"), text: Format::new().set_quote_prefix() }
    }

    fn row(&self, sheet: &mut Worksheet, at: u32, cells: &[Cell]) -> std::result::Result<(), XlsxError> {
        for (column, cell) in (0..).zip(cells) {
            match cell {
                Cell::Empty => {}
                Cell::Text(text) => {
                    sheet.write_string_with_format(at, column, text, &self.text)?;
                }
                Cell::Number(n) => {
                    sheet.write_number(at, column, *n)?;
                }
                Cell::Bool(b) => {
                    sheet.write_boolean(at, column, *b)?;
                }
                Cell::Day(day) => match excel_day(*day) {
                    Some(date) => {
                        sheet.write_datetime_with_format(at, column, &date, &self.day)?;
                    }
                    None => {
                        sheet.write_string(at, column, day.to_string())?;
                    }
                },
            }
        }
        Ok(())
    }
}

/// A spreadsheet knows days from 1900 on; others stay text.
fn excel_day(day: jiff::civil::Date) -> Option<ExcelDateTime> {
    let year = u16::try_from(day.year()).ok()?;
    ExcelDateTime::from_ymd(year, day.month().unsigned_abs(), day.day().unsigned_abs()).ok()
}

/// An object as lines of name and value: `inquiries.matching`, `12`.
fn flat(name: &str, value: &Json) -> Vec<(String, String)> {
    match value {
        Json::Object(parts) => {
            let dot = if name.is_empty() { "" } else { "." };
            parts.iter().flat_map(|(part, value)| flat(&format!("{name}{dot}{part}"), value)).collect()
        }
        Json::Array(items) => items.iter().flat_map(|item| flat(name, item)).collect(),
        Json::String(text) => vec![(name.to_owned(), text.clone())],
        other => vec![(name.to_owned(), other.to_string())],
    }
}
