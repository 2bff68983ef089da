//! How a learned pack is stored: JSON with its schema and its counts, from which everything else follows.

use super::pack::{Counts, Provenance, TablePack};
use super::{Attribute, Schema, TableProblem, TableProblems, TableSettings};
use serde::{Deserialize, Serialize};

/// What tells the form from that of other packs.
const KIND: &str = "table";
/// The form's own version.
const FORM: u32 = 1;

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Stored {
    kind: String,
    form: u32,
    version: u32,
    source: Provenance,
    settings: TableSettings,
    class: String,
    classes: Vec<StoredClass>,
    attributes: Vec<StoredAttribute>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct StoredClass {
    id: String,
    cases: u32,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct StoredAttribute {
    id: String,
    values: Vec<String>,
    /// By value, then class.
    counts: Vec<Vec<u32>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    parent: Option<String>,
    /// By value of the parent, then value, then class.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    with_parent: Vec<Vec<Vec<u32>>>,
}

impl TablePack {
    /// The pack as JSON text, as it is stored.
    pub fn to_json(&self) -> String {
        let classes = self.schema.classes.len();
        let lines = |counts: &[u32]| counts.chunks_exact(classes).map(<[u32]>::to_vec).collect::<Vec<_>>();
        let attributes = self.schema.attributes.iter().zip(&self.counts).map(|(attribute, counts)| StoredAttribute {
            id: attribute.id.clone(),
            values: attribute.values.clone(),
            counts: lines(&counts.own),
            parent: counts.parent.map(|p| self.schema.attributes[p].id.clone()),
            with_parent: counts.with_parent.chunks_exact(counts.own.len()).map(lines).collect(),
        });
        let cases = self.schema.classes.iter().zip(&self.cases);
        let stored = Stored {
            kind: KIND.to_owned(),
            form: FORM,
            version: self.version,
            source: self.source.clone(),
            settings: self.settings,
            class: self.class.clone(),
            classes: cases.map(|(id, cases)| StoredClass { id: id.clone(), cases: *cases }).collect(),
            attributes: attributes.collect(),
        };
        // Texts, whole numbers and checked settings only: writing them as JSON cannot fail.
        serde_json::to_string(&stored).unwrap_or_default()
    }

    /// Reads a pack from JSON text.
    ///
    /// # Errors
    /// Another kind or form of pack, names given twice or leading nowhere, counts that are not of the schema's size or
    /// are more than there were cases, settings outside their range.
    pub fn from_json(text: &str) -> Result<Self, TableProblems> {
        let unreadable = |message: String| TableProblem::Unreadable { what: "pack", message };
        let stored: Stored = serde_json::from_str(text).map_err(|e| unreadable(e.to_string()))?;
        if stored.kind != KIND || stored.form != FORM {
            let found = format!("kind {:?} form {}, not {KIND:?} form {FORM}", stored.kind, stored.form);
            return Err(unreadable(found).into());
        }
        let (mut attributes, mut rest) = (Vec::new(), Vec::new());
        for StoredAttribute { id, values, counts, parent, with_parent } in stored.attributes {
            attributes.push(Attribute { id, values });
            rest.push((counts, parent, with_parent));
        }
        let schema = Schema { attributes, classes: stored.classes.iter().map(|c| c.id.clone()).collect() };
        schema.check()?;
        let cases: Vec<u32> = stored.classes.iter().map(|c| c.cases).collect();
        let mut counts = Vec::with_capacity(rest.len());
        for ((own, parent, with_parent), attribute) in rest.into_iter().zip(&schema.attributes) {
            let wrong = |why| TableProblem::bad(&attribute.id, why);
            let parent = match parent {
                None => None,
                Some(name) => Some(schema.attribute_index(&name).ok_or_else(|| wrong("hangs on no attribute"))?),
            };
            let (values, classes) = (attribute.values.len(), cases.len());
            let above = parent.map_or(0, |p| schema.attributes[p].values.len());
            let fits = |lines: &Vec<Vec<u32>>| lines.len() == values && lines.iter().all(|l| l.len() == classes);
            if !fits(&own) || with_parent.len() != above || !with_parent.iter().all(fits) {
                return Err(wrong("has counts of another size than the schema").into());
            }
            let (own, with_parent): (Vec<u32>, Vec<u32>) =
                (own.concat(), with_parent.into_iter().flatten().flatten().collect());
            let within = |counts: &[u32]| {
                let sum = |class: usize| counts.iter().skip(class).step_by(classes).map(|n| u64::from(*n)).sum::<u64>();
                cases.iter().enumerate().all(|(class, cases)| sum(class) <= u64::from(*cases))
            };
            if !within(&own) || !within(&with_parent) {
                return Err(wrong("counts more than there were cases").into());
            }
            counts.push(Counts { parent, own, with_parent });
        }
        Self::from_counts(schema, stored.class, cases, counts, (stored.version, stored.source), stored.settings)
    }
}
