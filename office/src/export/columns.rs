//! Which fields leave the office, and in which form.
//!
//! Privacy is a property of the field: nothing of class P2 or P3 leaves by any export. What goes to the public is P0 as it
//! stands, and of P1 only what [`COUNTED`] names, where the resident agreed to be counted: ids of the pack, words of fixed
//! lists, counts and days. Never a person's words, never a time of day.

use dooryard_core::{
    notebook::Summary,
    record::{Field, Kind, Part, Privacy, Type, fields_of},
};
use jiff::civil::Date;
use serde_json::Value as Json;

use super::{Audience, ids::Ids};
use crate::page::Names;

/// Fields of class P1 that are told to the public of who agreed to be counted.
const COUNTED: [(Kind, &[&str]); 6] = [
    (Kind::Inquiry, &["opened", "channel", "status", "outcome", "site"]),
    (Kind::Plant, &["host", "host_comfort", "affected", "present", "inquiry"]),
    (Kind::Visit, &["inquiry", "start", "minutes", "plants_looked_at"]),
    (Kind::Finding, &["plant", "visit", "character", "state", "status", "comfort", "method", "count", "percent"]),
    (Kind::Photo, &["part", "scale", "size", "plant", "visit", "inquiry"]),
    (Kind::Diagnosis, &["inquiry", "plant", "causes", "basis", "status", "at"]),
];

/// What stands in one place of a table.
#[derive(Clone, PartialEq, Debug)]
pub enum Cell {
    /// Nothing was written down.
    Empty,
    /// Text.
    Text(String),
    /// A number.
    Number(f64),
    /// A day.
    Day(Date),
    /// Yes or no.
    Bool(bool),
}

/// A column: a field, or a part of one.
#[derive(Clone, Debug)]
pub struct Column {
    /// Its heading.
    pub name: String,
    /// The field.
    pub field: &'static Field,
    part: Option<&'static Part>,
    /// The pack's name for the id in the field, instead of the id.
    named: bool,
}

/// Whether a field may leave for these readers.
pub fn may_leave(field: &Field, audience: Audience) -> bool {
    match (field.class, audience) {
        (Privacy::Private | Privacy::Sealed, _) => false,
        // Who asked stays behind, even as a number.
        _ if field.ty == Type::Ref(Kind::Contact) => false,
        (Privacy::Public, _) | (Privacy::Office, Audience::Office) => true,
        (Privacy::Office, Audience::Public) => {
            COUNTED.iter().any(|(kind, names)| *kind == field.kind && names.contains(&field.name))
        }
    }
}

/// The columns of a kind of record for these readers, in the order of the registry.
pub fn columns(kind: Kind, audience: Audience) -> Vec<Column> {
    let mut columns = Vec::new();
    for field in fields_of(kind).iter().filter(|f| may_leave(f, audience)) {
        let parts: &'static [Part] = match field.ty {
            Type::Group(parts) => parts,
            // One row a cause; other lists of groups stand in one cell.
            Type::List(Type::Group(parts)) if kind == Kind::Diagnosis => parts,
            _ => &[],
        };
        let parts = parts.iter().map(Some);
        let parts: Vec<Option<&'static Part>> = if parts.len() == 0 { vec![None] } else { parts.collect() };
        for part in parts {
            let name = match part {
                None => field.name.to_owned(),
                Some(part) if field.name == "causes" => part.name.to_owned(),
                Some(part) => format!("{}_{}", field.name, part.name),
            };
            let column = Column { name, field, part, named: false };
            // An id of the pack is followed by what the pack calls it.
            let known = ["host", "character", "state", "cause"].contains(&column.name.as_str());
            let beside = known.then(|| Column { name: format!("{}_name", column.name), named: true, ..column.clone() });
            columns.push(column);
            columns.extend(beside);
        }
    }
    columns
}

impl Column {
    /// What the row holds there. `item`: which cause, for columns of a list of causes.
    pub fn cell(&self, row: &Summary, item: Option<&Json>, names: &Names, ids: &Ids, audience: Audience) -> Cell {
        let value = match self.field.ty {
            Type::List(Type::Group(_)) if self.part.is_some() => item,
            _ => row.fields.get(self.field.name),
        };
        let value = match self.part {
            Some(part) => value.and_then(|v| v.get(part.name)),
            None => value,
        };
        let Some(value) = value else { return Cell::Empty };
        if self.named {
            return Cell::Text(self.name_of(row, value.as_str().unwrap_or_default(), names));
        }
        let ty = self.part.map_or(self.field.ty, |part| part.ty);
        cell(&ty, value, ids, audience)
    }

    fn name_of(&self, row: &Summary, id: &str, names: &Names) -> String {
        match self.name.as_str() {
            "host_name" => names.host(id),
            "cause_name" => names.cause(id),
            "character_name" => names.label(id),
            _ => names.finding(row.text("character").unwrap_or_default(), Some(id)).1.unwrap_or_default(),
        }
    }
}

fn cell(ty: &Type, value: &Json, ids: &Ids, audience: Audience) -> Cell {
    let text = value.as_str();
    match ty {
        Type::Bool => value.as_bool().map_or(Cell::Empty, Cell::Bool),
        Type::Int(..) | Type::Degrees(..) => value.as_f64().map_or(Cell::Empty, Cell::Number),
        Type::Decimal => match text.and_then(|t| t.parse::<f64>().ok()).filter(|n| n.is_finite()) {
            Some(number) => Cell::Number(number),
            None => said(value),
        },
        Type::Date => text.and_then(day).map_or_else(|| said(value), Cell::Day),
        Type::Instant if audience == Audience::Public => text.and_then(day).map_or(Cell::Empty, Cell::Day),
        Type::Ref(_) => text.and_then(|t| t.parse().ok()).map_or(Cell::Empty, |id| Cell::Text(ids.of(id))),
        Type::Group(parts) => {
            let given = parts.iter().filter_map(|p| Some(cell(&p.ty, value.get(p.name)?, ids, audience).text()));
            Cell::Text(given.collect::<Vec<_>>().join(", "))
        }
        Type::List(item) => {
            let items = value.as_array().into_iter().flatten().map(|v| cell(item, v, ids, audience).text());
            Cell::Text(items.collect::<Vec<_>>().join("; "))
        }
        _ => said(value),
    }
}

fn said(value: &Json) -> Cell {
    Cell::Text(value.as_str().map_or_else(|| value.to_string(), str::to_owned))
}

/// The day of a date, or of an instant in its own zone.
pub fn day(text: &str) -> Option<Date> {
    text.parse::<jiff::ZonedDateTime>().map(|at| at.date()).ok().or_else(|| text.get(..10)?.parse().ok())
}

impl Cell {
    /// As text; numbers without needless digits.
    pub fn text(&self) -> String {
        match self {
            Self::Empty => String::new(),
            Self::Text(text) => text.clone(),
            Self::Number(n) => n.to_string(),
            Self::Day(day) => day.to_string(),
            Self::Bool(b) => if *b { "yes" } else { "no" }.to_owned(),
        }
    }

    /// As text that no spreadsheet takes for a formula: one that begins like one gets an apostrophe in front, as do a tab
    /// and a line's end, behind which some programs look on, and the wide forms that some read as the narrow ones.
    pub fn safe_text(&self) -> String {
        let text = self.text();
        let formula = ['=', '+', '-', '@', '\t', '\r', '\n', '＝', '＋', '－', '＠'];
        match self {
            Self::Text(_) if text.trim_start_matches(' ').starts_with(formula) => format!("'{text}"),
            _ => text,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_private_or_sealed_leaves_and_the_public_reads_nobodys_words() {
        for kind in Kind::ALL {
            for field in fields_of(*kind) {
                if field.class >= Privacy::Private {
                    assert!(!may_leave(field, Audience::Office), "{}", field.name);
                }
                if may_leave(field, Audience::Public) && field.class == Privacy::Office {
                    assert!(!matches!(field.ty, Type::Text(_) | Type::Blob), "{} is a person's words", field.name);
                }
            }
        }
        assert!(
            columns(Kind::Contact, Audience::Office).is_empty() && columns(Kind::Alert, Audience::Office).is_empty()
        );
    }

    #[test]
    fn every_field_told_to_the_public_is_one_of_the_registry() {
        for (kind, names) in COUNTED {
            for name in names {
                let field = fields_of(kind).iter().find(|f| f.name == *name);
                assert_eq!(field.map(|f| f.class), Some(Privacy::Office), "{kind} {name}");
            }
        }
    }

    #[test]
    fn no_text_begins_like_a_formula_and_numbers_stay_numbers() {
        for text in ["=1+1", "+1", "-1", "@sum", "\tx", "\rx", "\n=1", "  =1", "＝1"] {
            assert_eq!(Cell::Text(text.into()).safe_text(), format!("'{text}"));
        }
        assert_eq!(Cell::Text("leaf = round".into()).safe_text(), "leaf = round");
        assert_eq!(Cell::Number(-4.5).safe_text(), "-4.5");
    }
}
