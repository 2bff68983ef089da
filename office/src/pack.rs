//! The pack an office works with: the one in a folder, or the starter pack that comes with the program.

use std::{collections::BTreeMap, path::Path};

use anyhow::{Result, anyhow};
use dooryard_core::key::{Pack, Source};
use include_dir::{Dir, include_dir};

static STARTER: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/../fixtures/packs/landscape");

/// The pack in `folder`, or the starter pack.
///
/// # Errors
/// A file that is missing, and everything that is wrong with the pack.
pub fn load(folder: Option<&Path>) -> Result<Pack> {
    let Some(folder) = folder else { return starter() };
    Pack::from_folder(folder).map_err(|e| anyhow!("{}: {e}", folder.display()))
}

/// The starter pack.
///
/// # Errors
/// None, unless the program was built with a pack that is wrong; a test holds it.
pub fn starter() -> Result<Pack> {
    let mut files = BTreeMap::new();
    collect(&STARTER, &mut files);
    Source::from_files(&files).and_then(Pack::from_source).map_err(|e| anyhow!("the starter pack: {e}"))
}

fn collect(dir: &Dir<'_>, files: &mut BTreeMap<String, String>) {
    for file in dir.files() {
        if let Some(text) = file.contents_utf8() {
            files.insert(file.path().to_string_lossy().replace('\\', "/"), text.to_owned());
        }
    }
    dir.dirs().for_each(|d| collect(d, files));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_starter_pack_is_whole_and_says_that_nobody_reviewed_it() {
        let pack = starter().unwrap();
        assert!(pack.notice(dooryard_core::key::Language::En).unwrap().contains("Unreviewed starter content"));
        assert!(pack.causes.len() >= 130);
    }

    #[test]
    fn a_folder_without_a_pack_is_named() {
        let e = load(Some(Path::new("/nowhere"))).unwrap_err();
        assert!(format!("{e:#}").starts_with("/nowhere: "));
    }
}
