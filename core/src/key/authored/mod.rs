//! A pack as people write it: YAML files in a folder, put together and not yet checked.

mod advice;
mod entries;
mod ordered;
mod text;

pub use advice::{AdviceEntry, BlockEntry, BlockKind, ConflictEntry, FollowUp, GroupEntry, Needs};
pub use entries::{
    CauseEntry, CauseWords, CharacterEntry, CharacterWords, HostEntry, HostWords, PackEntry, QuestionEntry, StopEntry,
    StopsEntry,
};
pub use ordered::Ordered;
pub use text::Text;

use super::{PackProblem, PackProblems};
use serde::{Deserialize, Serialize, de::DeserializeOwned};
use std::{collections::BTreeMap, fs, path::Path};

/// All content of a pack, in the form in which `schemas/pack.schema.json` describes it.
#[derive(Clone, PartialEq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct Source {
    /// `pack.yaml`.
    pub pack: PackEntry,
    /// `characters/*.yaml`, by the part of the plant, then as written.
    pub characters: Vec<CharacterEntry>,
    /// `hosts.yaml`.
    pub hosts: Vec<HostEntry>,
    /// `causes/*.yaml`, in the order of the file names.
    pub causes: Vec<CauseEntry>,
    /// `stops.yaml`: what the pack adds to the stops of every pack, or words otherwise.
    pub stops: StopsEntry,
    /// `advice/*.yaml`.
    pub advice: AdviceEntry,
    /// `es/`.
    pub es: Spanish,
}

/// The Spanish texts, by id.
#[derive(Clone, PartialEq, Debug, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct Spanish {
    /// `es/characters/*.yaml`.
    pub characters: BTreeMap<String, CharacterWords>,
    /// `es/causes/*.yaml`.
    pub causes: BTreeMap<String, CauseWords>,
    /// `es/hosts.yaml`.
    pub hosts: BTreeMap<String, HostWords>,
}

/// Largest file of a pack that is read, in bytes.
const LARGEST_FILE: u64 = 4 * 1024 * 1024;

impl Source {
    /// The pack in a folder.
    ///
    /// # Errors
    /// Every file that is missing, cannot be read or is not in its form.
    pub fn from_folder(folder: &Path) -> Result<Self, PackProblems> {
        Self::from_files(&Self::files_of(folder)?)
    }

    /// The texts of a pack's folder, by their path in it, parted by `/`.
    ///
    /// # Errors
    /// Every file that cannot be read, or is larger than 4 MiB.
    pub fn files_of(folder: &Path) -> Result<BTreeMap<String, String>, PackProblems> {
        let (mut files, mut problems) = (BTreeMap::new(), Vec::new());
        for place in ["", "characters", "causes", "advice", "es", "es/characters", "es/causes"] {
            read_folder(folder, place, &mut files, &mut problems);
        }
        if problems.is_empty() { Ok(files) } else { Err(PackProblems(problems)) }
    }

    /// The pack in these texts, by their path in its folder, parted by `/`.
    ///
    /// # Errors
    /// As [`Source::from_folder`].
    pub fn from_files(files: &BTreeMap<String, String>) -> Result<Self, PackProblems> {
        let mut reader = Reader { files, problems: Vec::new() };
        let pack = reader.one("pack.yaml");
        let mut characters: Vec<_> = reader.all::<Vec<CharacterEntry>>("characters/").into_iter().flatten().collect();
        characters.sort_by_key(|c| c.part);
        let hosts = reader.one("hosts.yaml");
        let causes = reader.all::<Vec<CauseEntry>>("causes/").into_iter().flatten().collect();
        let stops = reader.maybe("stops.yaml");
        let mut advice = AdviceEntry::default();
        for part in reader.all::<AdviceEntry>("advice/") {
            advice.acts.0.extend(part.acts.0);
            advice.conflicts.extend(part.conflicts);
            advice.blocks.extend(part.blocks);
            advice.groups.extend(part.groups);
        }
        let es = Spanish {
            characters: reader.all::<BTreeMap<_, _>>("es/characters/").into_iter().flatten().collect(),
            causes: reader.all::<BTreeMap<_, _>>("es/causes/").into_iter().flatten().collect(),
            hosts: reader.maybe("es/hosts.yaml"),
        };
        match (pack, hosts) {
            (Some(pack), Some(hosts)) if reader.problems.is_empty() => {
                Ok(Self { pack, characters, hosts, causes, stops, advice, es })
            }
            _ => Err(PackProblems(reader.problems)),
        }
    }
}

fn read_folder(folder: &Path, place: &str, files: &mut BTreeMap<String, String>, problems: &mut Vec<PackProblem>) {
    let unreadable = |file: &str, message: String| PackProblem::Unreadable { file: file.to_owned(), message };
    let entries = match fs::read_dir(folder.join(place)) {
        Ok(entries) => entries,
        Err(e) if place.is_empty() => return problems.push(unreadable(&folder.display().to_string(), e.to_string())),
        Err(_) => return,
    };
    for entry in entries.flatten() {
        let name = entry.file_name().to_string_lossy().into_owned();
        if !name.ends_with(".yaml") {
            continue;
        }
        let path = if place.is_empty() { name } else { format!("{place}/{name}") };
        match entry.metadata() {
            Ok(meta) if meta.len() > LARGEST_FILE => problems.push(unreadable(&path, "larger than 4 MiB".into())),
            _ => match fs::read_to_string(entry.path()) {
                Ok(text) => drop(files.insert(path, text)),
                Err(e) => problems.push(unreadable(&path, e.to_string())),
            },
        }
    }
}

struct Reader<'a> {
    files: &'a BTreeMap<String, String>,
    problems: Vec<PackProblem>,
}

impl Reader<'_> {
    fn one<T: DeserializeOwned>(&mut self, path: &str) -> Option<T> {
        let Some(text) = self.files.get(path) else {
            self.unreadable(path, "is missing".into());
            return None;
        };
        serde_saphyr::from_str(text).map_err(|e| self.unreadable(path, e.to_string())).ok()
    }

    /// A file that may be left out.
    fn maybe<T: DeserializeOwned + Default>(&mut self, path: &str) -> T {
        if self.files.contains_key(path) { self.one(path).unwrap_or_default() } else { T::default() }
    }

    /// Every file of a folder, in the order of their names.
    fn all<T: DeserializeOwned>(&mut self, folder: &str) -> Vec<T> {
        let files = self.files;
        files.keys().filter(|path| path.starts_with(folder)).filter_map(|path| self.one(path)).collect()
    }

    fn unreadable(&mut self, file: &str, message: String) {
        self.problems.push(PackProblem::Unreadable { file: file.to_owned(), message });
    }
}
