//! A scout's work from a file: records in order, with labels by which later ones refer to earlier ones.
//!
//! ```json
//! [ {"label": "site", "kind": "site", "fields": {"township": "Sedge"}},
//!   {"kind": "inquiry", "label": "q", "fields": {"channel": "yard", "site": "@site"}},
//!   {"photo": "leaf.jpg", "fields": {"inquiry": "@q", "part": "close_up"}} ]
//! ```
//! The whole file is checked before the first record is saved.

use std::{
    collections::{BTreeMap, BTreeSet},
    path::{Path, PathBuf},
};

use anyhow::{Context, Result, bail};
use dooryard_core::{
    ids::RecordId,
    notebook::Notebook,
    record::{Kind, Role, Type, fields_of, parse_fields},
};
use serde::Deserialize;
use serde_json::{Map, Value as Json};

/// One step of a file.
#[derive(Deserialize, Debug)]
#[serde(deny_unknown_fields)]
struct Step {
    kind: Option<String>,
    id: Option<String>,
    photo: Option<PathBuf>,
    label: Option<String>,
    #[serde(default)]
    fields: Map<String, Json>,
}

/// One record that was saved.
pub struct Saved {
    /// Its label in the file.
    pub label: Option<String>,
    /// Its kind.
    pub kind: Kind,
    /// Its id.
    pub id: RecordId,
}

/// A checked file.
pub struct Plan {
    steps: Vec<(Kind, Step)>,
    folder: PathBuf,
}

impl Plan {
    /// Reads and checks a file's text for a notebook of this role. Photos are looked for from `folder`.
    ///
    /// # Errors
    /// The first step that cannot be saved as it stands, and why.
    pub fn read(text: &str, folder: &Path, role: Role) -> Result<Self> {
        let json: Json = serde_json::from_str(text).context("it is not JSON")?;
        let items = match json {
            Json::Array(items) => items,
            one @ Json::Object(_) => vec![one],
            _ => bail!("it is neither one record nor a list of records"),
        };
        let mut plan = Self { steps: Vec::new(), folder: folder.to_owned() };
        let mut labels = BTreeSet::new();
        for (at, item) in items.into_iter().enumerate() {
            let number = at + 1;
            let step: Step = serde_json::from_value(item).with_context(|| format!("step {number}"))?;
            let kind = plan.check(&step, &labels, role).with_context(|| match &step.label {
                Some(label) => format!("step {number} ({label})"),
                None => format!("step {number}"),
            })?;
            if let Some(label) = &step.label
                && !labels.insert(label.clone())
            {
                bail!("step {number}: the label {label} stands twice");
            }
            plan.steps.push((kind, step));
        }
        Ok(plan)
    }

    /// How many steps it has.
    pub fn len(&self) -> usize {
        self.steps.len()
    }

    fn check(&self, step: &Step, labels: &BTreeSet<String>, role: Role) -> Result<Kind> {
        let kind = match (&step.kind, &step.photo) {
            (Some(kind), None) => kind.parse()?,
            (None, Some(photo)) => {
                if step.id.is_some() {
                    bail!("a photo step makes a new record: leave out \"id\"");
                }
                let path = self.folder.join(photo);
                if !path.is_file() {
                    bail!("there is no photo {}", path.display());
                }
                Kind::Photo
            }
            (Some(_), Some(_)) => bail!("\"kind\" and \"photo\" stand together: one of the two"),
            (None, None) => bail!("\"kind\" or \"photo\" is missing"),
        };
        let known: BTreeMap<String, RecordId> = labels.iter().map(|l| (l.clone(), RecordId([0; 16]))).collect();
        if let Some(id) = &step.id {
            resolve(id, &known)?.parse::<RecordId>()?;
        }
        parse_fields(kind, role, &filled(kind, &step.fields, &known)?)?;
        Ok(kind)
    }

    /// Saves the steps one after the other. Each is on disk before the next begins; `told` hears of each.
    ///
    /// # Errors
    /// The first step that was refused, after how many that were saved.
    pub fn save(&self, notebook: &Notebook, mut told: impl FnMut(&Saved)) -> Result<()> {
        let mut known: BTreeMap<String, RecordId> = BTreeMap::new();
        for (at, (kind, step)) in self.steps.iter().enumerate() {
            let id = self
                .one(notebook, *kind, step, &known)
                .with_context(|| format!("step {} of {}; the {at} before it are saved", at + 1, self.steps.len()))?;
            if let Some(label) = &step.label {
                known.insert(label.clone(), id);
            }
            told(&Saved { label: step.label.clone(), kind: *kind, id });
        }
        Ok(())
    }

    fn one(
        &self,
        notebook: &Notebook,
        kind: Kind,
        step: &Step,
        known: &BTreeMap<String, RecordId>,
    ) -> Result<RecordId> {
        let fields = filled(kind, &step.fields, known)?;
        if let Some(photo) = &step.photo {
            let path = self.folder.join(photo);
            return notebook.add_photo(&path, &fields).with_context(|| path.display().to_string());
        }
        let id = step.id.as_ref().map(|id| Ok::<_, anyhow::Error>(resolve(id, known)?.parse()?)).transpose()?;
        Ok(notebook.save(kind, id, &fields)?)
    }
}

/// The fields with every `@label` in a reference replaced. Text of a person may begin with @ and stays as it is.
fn filled(kind: Kind, fields: &Map<String, Json>, known: &BTreeMap<String, RecordId>) -> Result<Map<String, Json>> {
    let mut out = Map::new();
    for (name, value) in fields {
        let ty = fields_of(kind).iter().find(|f| f.name == name).map(|f| f.ty);
        let value = match (ty, value) {
            (Some(Type::Ref(_)), Json::String(text)) => Json::String(resolve(text, known)?),
            (Some(Type::List(Type::Ref(_))), Json::Array(items)) => {
                let one = |item: &Json| match item {
                    Json::String(text) => resolve(text, known).map(Json::String),
                    other => Ok(other.clone()),
                };
                items.iter().map(one).collect::<Result<_>>()?
            }
            (_, other) => other.clone(),
        };
        out.insert(name.clone(), value);
    }
    Ok(out)
}

fn resolve(text: &str, known: &BTreeMap<String, RecordId>) -> Result<String> {
    let Some(label) = text.strip_prefix('@') else { return Ok(text.to_owned()) };
    let id = known.get(label).with_context(|| format!("no earlier step has the label {label}"))?;
    Ok(id.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn problem(text: &str) -> String {
        format!("{:#}", Plan::read(text, Path::new("."), Role::Scout).err().unwrap())
    }

    #[test]
    fn a_file_is_checked_whole_before_anything_is_saved() {
        assert!(problem("pigeon").starts_with("it is not JSON"));
        assert!(problem(r#"[{"kind":"site"},{"kind":"pigeon"}]"#).starts_with("step 2: "));
        assert_eq!(
            problem(r#"[{"kind":"inquiry","label":"q","fields":{"site":"@home"}}]"#),
            "step 1 (q): no earlier step has the label home"
        );
        assert!(problem(r#"{"kind":"inquiry","fields":{"channel":"pigeon"}}"#).contains("channel UNKNOWN_WORD"));
        assert!(problem(r#"{"photo":"none.jpg"}"#).contains("there is no photo"));
        assert!(problem(r#"[{"kind":"site","label":"a"},{"kind":"site","label":"a"}]"#).contains("stands twice"));
    }

    #[test]
    fn labels_stand_for_records_only_in_references() {
        let known = BTreeMap::from([("q".to_owned(), RecordId([7; 16]))]);
        let fields = serde_json::json!({"inquiry": "@q", "photos": ["@q"], "note": "@q said so"});
        let out = filled(Kind::Finding, fields.as_object().unwrap(), &known);
        // `inquiry` is no field of a finding: it stays for the check to refuse.
        let out = out.unwrap();
        assert_eq!(out["inquiry"], "@q");
        assert_eq!(out["photos"][0], RecordId([7; 16]).to_string());
        assert_eq!(out["note"], "@q said so");
    }
}
