//! Tests of the key as a whole.

mod behaviour;
mod brute;
mod cases;
mod content;
mod looks;
mod networks;
mod schema;

use super::{Observation, Observations, Pack, PackProblems, Source, Status};
use std::{collections::BTreeMap, path::Path};

/// The texts of the starter pack.
pub(crate) fn files() -> BTreeMap<String, String> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../fixtures/packs/landscape");
    Source::files_of(&folder).unwrap()
}

/// The pack that these texts make.
pub(crate) fn pack_of(files: &BTreeMap<String, String>) -> Result<Pack, PackProblems> {
    Source::from_files(files).and_then(Pack::from_source)
}

pub(crate) fn landscape() -> Pack {
    pack_of(&files()).unwrap()
}

/// The texts of a small pack: one host, `tree`, with these characters and causes, and two advice groups, `a` and `b`.
pub(crate) fn small_files(characters: &str, causes: &str) -> BTreeMap<String, String> {
    let words = "nearly_always: 0.95, usually: 0.8, often: 0.6, sometimes: 0.35, occasionally: 0.15, rarely: 0.05, almost_never: 0.01";
    let pack = format!(
        "{{id: small, version: 3, date: 2026-01-02, not_after: 2027-01-02, status: reviewed, title: {{en: Small}}, core: [1, 1], \
         ask_first: {{}}, frequency: {{{words}}}}}"
    );
    let group = |id: &str| format!("{{id: {id}, name: {{en: n}}, harm: 1, blocks: [], follow_up: null}}");
    let groups = ["general_care", "a", "b"].map(group).join(", ");
    [
        ("pack.yaml", pack.as_str()),
        ("hosts.yaml", "[{id: tree, name: Tree, sci: Arbor, group: tree}]"),
        ("stops.yaml", "{questions: [], stops: []}"),
        ("es/hosts.yaml", "{}"),
        ("advice/groups.yaml", &format!("{{groups: [{groups}]}}")),
        ("characters/all.yaml", characters),
        ("causes/all.yaml", causes),
    ]
    .into_iter()
    .map(|(path, text)| (path.to_owned(), text.to_owned()))
    .collect()
}

/// Findings on a maple in June, each as (character, state, status).
fn maple(findings: &[(&str, &str, Status)]) -> Observations {
    let findings = findings.iter().map(|(c, s, status)| Observation::new(*c, *s, *status)).collect();
    Observations { host: "maple".into(), date: (6, 20), findings }
}
