//! The pack an office works with: the one in a folder, or the starter pack that comes with the program.

use std::path::Path;

use anyhow::{Context, Result, anyhow};
use dooryard_core::key::Pack;

const STARTER: [&str; 3] = [
    include_str!("../../fixtures/packs/landscape/pack.yaml"),
    include_str!("../../fixtures/packs/landscape/characters.yaml"),
    include_str!("../../fixtures/packs/landscape/disorders.yaml"),
];

/// The pack in `folder` (`pack.yaml`, `characters.yaml`, `disorders.yaml`), or the starter pack.
///
/// # Errors
/// A file that is missing, and everything that is wrong with the pack.
pub fn load(folder: Option<&Path>) -> Result<Pack> {
    let Some(folder) = folder else { return starter() };
    let read = |name: &str| {
        let path = folder.join(name);
        std::fs::read_to_string(&path).with_context(|| format!("reading {}", path.display()))
    };
    let (pack, characters, disorders) = (read("pack.yaml")?, read("characters.yaml")?, read("disorders.yaml")?);
    Pack::from_yaml(&pack, &characters, &disorders).map_err(|e| anyhow!("{}: {e}", folder.display()))
}

/// The starter pack.
///
/// # Errors
/// None, unless the program was built with a pack that is wrong; a test holds it.
pub fn starter() -> Result<Pack> {
    let [pack, characters, disorders] = STARTER;
    Pack::from_yaml(pack, characters, disorders).map_err(|e| anyhow!("the starter pack: {e}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_starter_pack_is_whole_and_says_that_nobody_reviewed_it() {
        let pack = starter().unwrap();
        assert!(pack.notice().unwrap().contains("Unreviewed starter content"));
        assert!(pack.causes.len() > 50);
    }

    #[test]
    fn a_folder_without_a_pack_is_named() {
        let e = load(Some(Path::new("/nowhere"))).unwrap_err();
        assert!(format!("{e:#}").starts_with("reading /nowhere/pack.yaml"));
    }
}
