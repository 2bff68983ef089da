//! Files that an office keeps beside its notebook and that a backup holds as they are: the quarantine, bundles of phones that
//! wait to be admitted, invitations.
//!
//! ```text
//! entry = QUARANTINED, WAITING or INVITATION; name: the file's, in its folder
//! ```

use std::{
    fs::{self, File},
    io::{self, ErrorKind},
    path::Path,
};

use dooryard_core::{
    Error, Result,
    archive::{self, Writer},
    bundle::Opener,
    durable,
    ids::Hash32,
};

const QUARANTINED: u8 = 19;
const WAITING: u8 = 20;
const INVITATION: u8 = 21;

const FOLDERS: [(u8, &str); 3] = [(QUARANTINED, "quarantine"), (WAITING, "waiting"), (INVITATION, "invitations")];

/// Writes them into a backup; returns how many bundles of the quarantine were among them.
pub(super) fn back_up(dir: &Path, writer: &mut Writer) -> Result<u64> {
    let what = || Error::io("reading what is backed up");
    let mut quarantined = 0;
    for (kind, folder) in FOLDERS {
        let entries = match fs::read_dir(dir.join(folder)) {
            Err(e) if e.kind() == ErrorKind::NotFound => continue,
            other => other.map_err(what())?,
        };
        for entry in entries.flatten() {
            let name = entry.file_name().to_string_lossy().into_owned();
            if is_kept(&name) {
                let mut file = File::open(entry.path()).map_err(what())?;
                let size = file.metadata().map_err(what())?.len();
                writer.entry(kind, name.as_bytes(), size, &mut file)?;
                quarantined += u64::from(kind == QUARANTINED && name.ends_with(".yard"));
            }
        }
    }
    Ok(quarantined)
}

/// Puts those of a backup in their places. What stands there already is newer, and stays.
pub(super) fn bring_back(dir: &Path, file: &Path, opener: &Opener) -> Result<()> {
    let what = || Error::io("keeping a file of a backup");
    for (_, folder) in FOLDERS {
        durable::make_folders(&dir.join(folder)).map_err(what())?;
    }
    let mut owner_only = fs::OpenOptions::new();
    owner_only.write(true).create(true).truncate(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut owner_only, 0o600);
    archive::read(file, opener, &mut |kind, name, body| {
        let folder = FOLDERS.iter().find(|(known, _)| *known == kind).map(|(_, folder)| dir.join(folder));
        let name = std::str::from_utf8(name).ok().filter(|name| is_kept(name));
        let (Some(folder), Some(name)) = (folder, name) else { return Ok(()) };
        let place = folder.join(name);
        if !place.exists() {
            let new = folder.join(format!("{name}.new"));
            let mut out = owner_only.open(&new).map_err(what())?;
            io::copy(body, &mut out).and_then(|_| out.sync_all()).map_err(what())?;
            durable::rename(&new, &place).map_err(what())?;
        }
        Ok(())
    })
    .map(drop)
}

/// BLAKE3 of a file, in hex, and its bytes.
pub(super) fn hash_of(file: &Path) -> io::Result<(String, u64)> {
    let mut hasher = blake3::Hasher::new();
    let bytes = io::copy(&mut File::open(file)?, &mut hasher)?;
    Ok((Hash32(*hasher.finalize().as_bytes()).to_hex(), bytes))
}

/// Copies a sealed file into a folder under its hash, so that it is there whole or not at all. One that is there stays.
pub(super) fn keep(file: &Path, folder: &Path, hash: &str) -> io::Result<()> {
    let kept = folder.join(format!("{hash}.yard"));
    if kept.exists() {
        return Ok(());
    }
    let new = folder.join(format!("{hash}.new"));
    fs::copy(file, &new)?;
    File::open(&new)?.sync_all()?;
    durable::rename(&new, &kept)
}

/// They are named by a hash or by the number of a code, in hex, and nothing else.
fn is_kept(name: &str) -> bool {
    let stem = name.strip_suffix(".yard").or_else(|| name.strip_suffix(".json"));
    stem.is_some_and(|stem| !stem.is_empty() && stem.bytes().all(|b| b.is_ascii_hexdigit()))
}
