//! Tables as CSV: one chosen table with a file beside it that says of what, or all of them in a zip.

use std::{
    io::Write,
    path::{Path, PathBuf},
};

use dooryard_core::Result;
use serde_json::{Map, Value as Json, json};
use zip::ZipWriter;

use super::{
    Written,
    columns::Cell,
    scope::Scope,
    tables::{Form, Table},
    whole::{Rows, entry, whole, writing},
};

/// Writes the tables: one as it is, with `NAME.about.json` beside it; without a choice all of them and `about.json` in a zip.
///
/// # Errors
/// `NO_SPACE`; of the stores. No half file is left.
pub fn write(scope: &Scope<'_>, out: &Path, one: Option<Table>, bom: bool) -> Result<Written> {
    let tables = one.map_or(Table::ALL.to_vec(), |table| vec![table]);
    let mut sheets = Vec::new();
    for table in tables {
        let form = Form::new(table, scope);
        let rows = Rows::new(&form.headings(), bom)?;
        sheets.push((table, form, rows));
    }
    scope.each(|case| {
        for (_, form, rows) in &mut sheets {
            for row in form.rows(case, scope) {
                rows.add(row.iter().map(Cell::safe_text))?;
            }
        }
        Ok(())
    })?;
    let counts: Map<String, Json> = sheets.iter().map(|(t, _, rows)| (t.name().into(), json!(rows.count))).collect();
    let about = scope.about("csv", &Json::Object(counts));
    let told = serde_json::to_vec_pretty(&about).map_err(writing)?;
    let bytes = if one.is_some() {
        let ((), bytes) = whole(out, |file| {
            sheets.into_iter().try_for_each(|(.., rows)| rows.copy(file))?;
            file.flush().map_err(writing)?;
            whole(&beside(out), |file| file.write_all(&told).map_err(writing)).map(drop)
        })?;
        bytes
    } else {
        let ((), bytes) = whole(out, |file| {
            let mut zip = ZipWriter::new(file);
            for (table, _, rows) in sheets {
                entry(&mut zip, &format!("{}.csv", table.name()), |zip| rows.copy(zip))?;
            }
            entry(&mut zip, "about.json", |zip| zip.write_all(&told).map_err(writing))?;
            zip.finish().map(drop).map_err(writing)
        })?;
        bytes
    };
    Ok(Written { bytes, about })
}

/// The file beside a table that says of what it is.
pub fn beside(out: &Path) -> PathBuf {
    let mut name = out.file_stem().unwrap_or_default().to_owned();
    name.push(".about.json");
    out.with_file_name(name)
}
