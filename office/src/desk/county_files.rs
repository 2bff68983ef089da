//! Files that a county drops into the office's folder, and which of them a backup holds: its outline and its townships, as
//! they are. A base map may weigh gigabytes and can be fetched again: it stays out.
//!
//! ```text
//! entry = COUNTY; name: the file's; its bytes, at most MOST_LINES
//! ```

use std::{
    fs::File,
    io::{ErrorKind, Read},
    path::Path,
};

use dooryard_core::{
    Error, Result,
    archive::{self, Writer},
    bundle::Opener,
};

use super::erasures::write_whole;

const COUNTY: u8 = 23;

/// The county's outline; its townships too, where they are of the kind `township`.
pub(crate) const OUTLINE: &str = "outline.geojson";
/// Townships in a file of their own, each with its name.
pub(crate) const TOWNSHIPS: &str = "townships.geojson";
/// A base map.
pub(crate) const BASEMAP: &str = "basemap.pmtiles";
/// Most that a file of lines may weigh, bytes: outlines drawn finer than this say nothing more on a page.
pub(crate) const MOST_LINES: u64 = 16 << 20;

/// Writes the lines into a backup; returns how many files, and the names of those that are there and stay out.
pub(super) fn back_up(dir: &Path, writer: &mut Writer) -> Result<(u64, Vec<String>)> {
    let what = || Error::io("reading what is backed up");
    let (mut held, mut left_out) = (0, Vec::new());
    for name in [OUTLINE, TOWNSHIPS] {
        let mut file = match File::open(dir.join(name)) {
            Err(e) if e.kind() == ErrorKind::NotFound => continue,
            other => other.map_err(what())?,
        };
        let size = file.metadata().map_err(what())?.len();
        if size > MOST_LINES {
            left_out.push(name.to_owned());
            continue;
        }
        writer.entry(COUNTY, name.as_bytes(), size, &mut file)?;
        held += 1;
    }
    if dir.join(BASEMAP).exists() {
        left_out.push(BASEMAP.to_owned());
    }
    Ok((held, left_out))
}

/// Puts the lines of a backup in their places; returns how many files. What stands there already is newer, and stays.
pub(super) fn bring_back(dir: &Path, file: &Path, opener: &Opener) -> Result<u64> {
    let mut back = 0;
    archive::read(file, opener, &mut |kind, name, body| {
        let known = [OUTLINE, TOWNSHIPS].into_iter().find(|known| kind == COUNTY && known.as_bytes() == name);
        let Some(place) = known.map(|name| dir.join(name)).filter(|place| !place.exists()) else { return Ok(()) };
        let mut bytes = Vec::new();
        body.take(MOST_LINES).read_to_end(&mut bytes).map_err(Error::io("reading the backup"))?;
        write_whole(&place, &bytes)?;
        back += 1;
        Ok(())
    })?;
    Ok(back)
}
