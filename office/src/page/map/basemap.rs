//! The base map that a county may drop into the office's folder: what its file says of itself, and parts of it as they are
//! asked for.
//!
//! The head of a file of version 3 (127 bytes, numbers little-endian): `PMTiles` and the version in bytes 0 to 7; the kind of
//! its tiles in byte 99; the least and the largest zoom in bytes 100 and 101.

use std::{
    fs::{self, File},
    io::{ErrorKind, Read, Seek, SeekFrom},
    path::Path,
    time::SystemTime,
};

use axum::{
    http::{HeaderMap, StatusCode, header},
    response::{IntoResponse, Response},
};

use crate::{desk::county_files::BASEMAP, page::trouble::Trouble};

/// Most that is read for one answer, bytes. The library asks for 16 KB and for single tiles.
const MOST: u64 = 4 << 20;
const HEAD: usize = 127;

/// What a base map is.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Basemap {
    /// There is none.
    Absent,
    /// Lines and areas.
    Vector,
    /// Pictures.
    Pictures,
    /// It is no file of this form, or an older version.
    NotOne,
    /// It cannot be read.
    Unreadable,
}

impl Basemap {
    /// Looks at the file's head.
    pub(super) fn of(folder: &Path) -> Self {
        let mut head = [0; HEAD];
        match File::open(folder.join(BASEMAP)).and_then(|mut file| file.read_exact(&mut head)) {
            Err(e) if e.kind() == ErrorKind::NotFound => Self::Absent,
            Err(e) if e.kind() == ErrorKind::UnexpectedEof => Self::NotOne,
            Err(_) => Self::Unreadable,
            Ok(()) if !head.starts_with(b"PMTiles\x03") => Self::NotOne,
            Ok(()) => match head[99] {
                1 => Self::Vector,
                2..=4 => Self::Pictures,
                _ => Self::NotOne,
            },
        }
    }
}

/// The part of the file that is asked for. A browser that asks for no part is refused: the whole may be a gigabyte.
pub(super) fn part(folder: &Path, asked: &HeaderMap) -> Result<Response, Trouble> {
    let path = folder.join(BASEMAP);
    let meta = fs::metadata(&path).map_err(|_| Trouble::NotHere)?;
    let size = meta.len();
    let mark = meta.modified().ok().and_then(|at| at.duration_since(SystemTime::UNIX_EPOCH).ok());
    let mark = format!("\"{:x}-{size:x}\"", mark.map_or(0, |d| d.as_nanos()));
    let range = asked.get(header::RANGE).and_then(|r| r.to_str().ok());
    let Some((from, to)) = range.and_then(|r| bounds(r, size)) else {
        let whole = [(header::CONTENT_RANGE, format!("bytes */{size}")), (header::ACCEPT_RANGES, "bytes".into())];
        return Ok((StatusCode::RANGE_NOT_SATISFIABLE, whole).into_response());
    };
    let mut bytes = Vec::new();
    let mut file = File::open(&path).map_err(|_| Trouble::NotHere)?;
    let read = file.seek(SeekFrom::Start(from)).and_then(|_| file.take(to - from + 1).read_to_end(&mut bytes));
    read.map_err(|e| Trouble::Inside(e.to_string()))?;
    if bytes.len() as u64 != to - from + 1 {
        return Err(Trouble::Inside(format!("{BASEMAP} became shorter while it was read")));
    }
    let about = [
        (header::CONTENT_TYPE, "application/vnd.pmtiles".to_owned()),
        (header::CONTENT_RANGE, format!("bytes {from}-{to}/{size}")),
        (header::ACCEPT_RANGES, "bytes".into()),
        (header::ETAG, mark),
    ];
    Ok((StatusCode::PARTIAL_CONTENT, about, bytes).into_response())
}

/// First and last byte of `bytes=0-16383` in a file of this size; nothing for what is not one part of it. What is longer than
/// one answer is cut, as a server may.
fn bounds(range: &str, size: u64) -> Option<(u64, u64)> {
    let (from, to) = range.strip_prefix("bytes=")?.split_once('-')?;
    let last = size.checked_sub(1)?;
    let (from, to) = match (from, to) {
        ("", tail) => (size - tail.parse::<u64>().ok().filter(|n| *n > 0)?.min(size), last),
        (from, "") => (from.parse().ok()?, last),
        (from, to) => (from.parse().ok()?, to.parse::<u64>().ok()?.min(last)),
    };
    (from <= to).then(|| (from, to.min(from + MOST - 1)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_range_is_one_part_that_lies_in_the_file() {
        for (range, expected) in [
            ("bytes=0-9", Some((0, 9))),
            ("bytes=90-200", Some((90, 99))),
            ("bytes=90-", Some((90, 99))),
            ("bytes=-10", Some((90, 99))),
            ("bytes=-500", Some((0, 99))),
            ("bytes=99-99", Some((99, 99))),
            ("bytes=100-", None),
            ("bytes=9-0", None),
            ("bytes=-0", None),
            ("bytes=0-9,20-29", None),
            ("bytes=a-b", None),
            ("bytes=-", None),
            ("lines=0-9", None),
            ("bytes=18446744073709551616-", None),
        ] {
            assert_eq!(bounds(range, 100), expected, "{range}");
        }
        assert_eq!(bounds("bytes=0-", 0), None);
        assert_eq!(bounds("bytes=5-", 1 << 40), Some((5, 4 + MOST)));
        assert_eq!(bounds("bytes=18446744073709551615-", u64::MAX), None);
    }

    #[test]
    fn a_file_is_known_by_its_head() {
        let folder = tempfile::tempdir().unwrap();
        assert_eq!(Basemap::of(folder.path()), Basemap::Absent);
        let mut head = vec![0; HEAD];
        head[..8].copy_from_slice(b"PMTiles\x03");
        for (tiles, expected) in [(1, Basemap::Vector), (3, Basemap::Pictures), (0, Basemap::NotOne)] {
            head[99] = tiles;
            fs::write(folder.path().join(BASEMAP), &head).unwrap();
            assert_eq!(Basemap::of(folder.path()), expected);
        }
        head[7] = 2;
        fs::write(folder.path().join(BASEMAP), &head).unwrap();
        assert_eq!(Basemap::of(folder.path()), Basemap::NotOne);
        fs::write(folder.path().join(BASEMAP), b"PMTiles").unwrap();
        assert_eq!(Basemap::of(folder.path()), Basemap::NotOne);
    }
}
