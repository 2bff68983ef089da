//! How a shelf lies in its folder.

use crate::{Code, Error, Result, durable, key::file::PackFile};
use serde::{Deserialize, Serialize};
use std::{
    collections::BTreeMap,
    fs,
    path::{Path, PathBuf},
};

const STATE: &str = "shelf.json";

/// A pack file that is kept.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Kept {
    /// BLAKE3 of the file, hexadecimal; also its name.
    pub hash: String,
    /// Id of the pack.
    pub id: String,
    /// Its version.
    pub version: u32,
}

/// `shelf.json`.
#[derive(Clone, PartialEq, Eq, Debug, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct State {
    /// Keys, as 64 hexadecimal digits.
    pub trusted: Vec<String>,
    /// Highest version by key.
    pub highest: BTreeMap<String, u32>,
    pub current: Option<Kept>,
    pub previous: Option<Kept>,
}

impl State {
    fn names(&self, file: &Path) -> bool {
        self.current.iter().chain(&self.previous).any(|kept| file.ends_with(name(kept)))
    }
}

fn name(kept: &Kept) -> String {
    format!("{}.pack", kept.hash)
}

pub(super) fn is_there(folder: &Path) -> bool {
    folder.join(STATE).is_file()
}

/// The state of the shelf in this folder; nothing if there is none.
pub(super) fn read(folder: &Path) -> Result<Option<State>> {
    let path = folder.join(STATE);
    let text = match fs::read_to_string(&path) {
        Ok(text) => text,
        Err(e) if e.kind() == std::io::ErrorKind::NotFound => return Ok(None),
        Err(e) => return Err(Error::io("reading the shelf")(e)),
    };
    let state: State = serde_json::from_str(&text).map_err(|_| Error::pack(Code::Schema, "the shelf's own list"))?;
    // The names of files come from here: nothing but a hash may be one.
    let hash = |text: &String| text.len() == 64 && text.bytes().all(|b| matches!(b, b'0'..=b'9' | b'a'..=b'f'));
    let kept = state.current.iter().chain(&state.previous);
    if kept.map(|k| &k.hash).chain(&state.trusted).all(hash) {
        Ok(Some(state))
    } else {
        Err(Error::pack(Code::Schema, "the shelf's own list"))
    }
}

/// The file that is kept there.
pub(super) fn load(folder: &Path, kept: &Kept) -> Result<PackFile> {
    let file = PackFile::read(&folder.join(name(kept)))?;
    if file.hash().to_hex() == kept.hash { Ok(file) } else { Err(Error::pack(Code::PartHash, "the pack on the shelf")) }
}

/// Puts a file there, then the state that names it, then takes away what the state does not name.
pub(super) fn put(folder: &Path, state: &State, file: Option<&PackFile>) -> Result<()> {
    durable::make_folders(folder).map_err(Error::io("writing the shelf"))?;
    if let Some(file) = file {
        replace(&folder.join(format!("{}.pack", file.hash().to_hex())), file.bytes())?;
    }
    let text = serde_json::to_string_pretty(state).map_err(|e| Error::pack(Code::Schema, e.to_string()))?;
    replace(&folder.join(STATE), text.as_bytes())?;
    clear(folder, state);
    Ok(())
}

fn replace(path: &Path, bytes: &[u8]) -> Result<()> {
    durable::write_whole(path, bytes).map_err(Error::io("writing the shelf"))
}

/// Takes away older packs and what a kill left. What cannot be removed only takes room, and goes the next time.
fn clear(folder: &Path, state: &State) {
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    let ours = |path: &PathBuf| path.extension().is_some_and(|e| e == "pack" || e == "part");
    for path in entries.map(|e| e.path()).filter(|path| ours(path) && !state.names(path)) {
        let _ = fs::remove_file(path);
    }
}
