//! Which attributes a table has, which values each can have, and which classes there are.

use super::{TableProblem, TableProblems};
use serde::de::{self, Deserializer, MapAccess, Visitor};
use serde::{Deserialize, Serialize};
use std::{collections::HashSet, fmt};

/// Most attributes, values of one attribute, and classes that are taken: far above any table of coded cases.
const MOST: usize = 2_000;

/// One attribute of the cases.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Attribute {
    /// Name of its column.
    pub id: String,
    /// The values it can have, in their order.
    pub values: Vec<String>,
}

impl Attribute {
    /// Index of a value.
    pub fn value_index(&self, value: &str) -> Option<usize> {
        self.values.iter().position(|v| v == value)
    }
}

/// What a table of coded cases can hold.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Schema {
    /// The attributes.
    pub attributes: Vec<Attribute>,
    /// The classes; none if the schema leaves them to the table.
    pub classes: Vec<String>,
}

/// The file: `{"attributes": {"name": ["value", …], …}, "classes": ["class", …]}`.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct SchemaFile {
    attributes: Named,
    #[serde(default)]
    classes: Vec<String>,
}

/// Attributes in the order in which they are written, with whatever is written twice.
struct Named(Vec<Attribute>);

impl<'de> Deserialize<'de> for Named {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Entries;
        impl<'de> Visitor<'de> for Entries {
            type Value = Named;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("an object of attributes with their values")
            }
            fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Named, A::Error> {
                let mut list = Vec::new();
                while let Some((id, values)) = map.next_entry()? {
                    if list.len() == MOST {
                        return Err(de::Error::custom("too many attributes"));
                    }
                    list.push(Attribute { id, values });
                }
                Ok(Named(list))
            }
        }
        deserializer.deserialize_map(Entries)
    }
}

impl Schema {
    /// Reads a schema from JSON.
    ///
    /// # Errors
    /// Everything that is wrong with it: its form, names given twice, attributes without values.
    pub fn from_json(text: &str) -> Result<Self, TableProblems> {
        let file: SchemaFile = serde_json::from_str(text)
            .map_err(|e| TableProblem::Unreadable { what: "schema", message: e.to_string() })?;
        let schema = Self { attributes: file.attributes.0, classes: file.classes };
        schema.check()?;
        Ok(schema)
    }

    /// Index of an attribute.
    pub fn attribute_index(&self, id: &str) -> Option<usize> {
        self.attributes.iter().position(|a| a.id == id)
    }

    /// Everything that cannot be so in a schema.
    pub(super) fn check(&self) -> Result<(), TableProblems> {
        let mut problems = Vec::new();
        if self.attributes.is_empty() {
            problems.push(TableProblem::bad("attributes", "there is none"));
        }
        if self.attributes.len() > MOST || self.classes.len() > MOST {
            problems.push(TableProblem::bad("schema", "has too many attributes or classes"));
        }
        twice("attribute", self.attributes.iter().map(|a| &a.id), &mut problems);
        twice("class", self.classes.iter(), &mut problems);
        for attribute in &self.attributes {
            if attribute.values.is_empty() || attribute.values.len() > MOST {
                problems.push(TableProblem::bad(&attribute.id, "has no values, or too many"));
            }
            twice("value", attribute.values.iter(), &mut problems);
        }
        if problems.is_empty() { Ok(()) } else { Err(TableProblems(problems)) }
    }
}

/// Adds a problem for every name that came before.
pub(super) fn twice<'a>(what: &'static str, names: impl Iterator<Item = &'a String>, problems: &mut Vec<TableProblem>) {
    let mut seen = HashSet::new();
    problems.extend(names.filter(|n| !seen.insert(*n)).map(|n| TableProblem::Twice { what, name: n.clone() }));
}
