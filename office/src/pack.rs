//! The pack an office works with: a folder, a signed file, a shelf, or the starter pack that comes with the program.

use std::{collections::BTreeMap, path::Path};

use anyhow::{Context, Result, anyhow, bail};
use dooryard_core::key::{
    Language, Pack, Source,
    file::{Key, Manifest, PackFile},
    shelf::Shelf,
};
use include_dir::{Dir, include_dir};

use crate::page::When;

static STARTER: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/../fixtures/packs/landscape");

/// The pack in a folder, in a file or on a shelf, or the starter pack.
///
/// # Errors
/// As [`load_signed`].
pub fn load(place: Option<&Path>) -> Result<Pack> {
    load_signed(place, &[])
}

/// The same; a file must be signed by one of these keys. Without keys its signature must hold all the same, and it is said
/// that nobody checked whose it is. What is to be known of a pack is said on standard error.
///
/// # Errors
/// A file that is missing or refused, keys for something that nobody signed, everything that is wrong with the pack.
pub fn load_signed(place: Option<&Path>, keys: &[Key]) -> Result<Pack> {
    let signed = place.is_some_and(Path::is_file);
    if !keys.is_empty() && !signed {
        bail!("--pack-key is for a pack file: nobody signed this pack");
    }
    let Some(place) = place else { return starter() };
    let whole = |file: &PackFile| {
        notices(&file.manifest).iter().for_each(|notice| eprintln!("{notice}"));
        file.pack().with_context(|| place.display().to_string())
    };
    if Shelf::is_there(place) {
        let current = Shelf::open(place, &[]).and_then(|shelf| shelf.current());
        let current = current.with_context(|| place.display().to_string())?;
        return whole(&current.ok_or_else(|| anyhow!("{}: no pack on this shelf yet", place.display()))?);
    }
    if !signed {
        return Pack::from_folder(place).map_err(|e| anyhow!("{}: {e}", place.display()));
    }
    let file = PackFile::read(place).with_context(|| place.display().to_string())?;
    if keys.is_empty() {
        let signers: Vec<String> = file.manifest.signers.iter().map(hex::encode).collect();
        eprintln!(
            "{}: signed by key {}, not checked against a trusted key. --pack-key checks it.",
            place.display(),
            signers.join(" and ")
        );
    } else {
        file.check_signer(keys).with_context(|| place.display().to_string())?;
    }
    whole(&file)
}

/// What has to be told with a pack file today.
pub fn notices(manifest: &Manifest) -> Vec<String> {
    manifest.age_notice(When::now().today(), Language::En).into_iter().collect()
}

/// A key as people give it: 64 hexadecimal digits.
///
/// # Errors
/// Anything else.
pub fn key(text: &str) -> Result<Key> {
    let mut key = [0; 32];
    hex::decode_to_slice(text, &mut key).map_err(|_| anyhow!("a key is 64 hexadecimal digits"))?;
    Ok(key)
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
        assert!(pack.notice(Language::En).unwrap().contains("Unreviewed starter content"));
        assert!(pack.causes.len() >= 130);
    }

    #[test]
    fn a_folder_without_a_pack_is_named() {
        let e = load(Some(Path::new("/nowhere"))).unwrap_err();
        assert!(format!("{e:#}").starts_with("/nowhere: "));
    }

    #[test]
    fn keys_are_for_files_only() {
        assert!(load_signed(Some(Path::new("/nowhere")), &[[0; 32]]).unwrap_err().to_string().contains("--pack-key"));
        assert!(key("00").is_err() && key(&"0f".repeat(32)).is_ok());
    }
}
