//! A file that appears whole or not at all.

use std::{
    fs::File,
    io::{self, BufWriter, Seek, Write},
    path::Path,
};

use dooryard_core::{Error, Result, durable};
use tempfile::NamedTempFile;
use zip::{CompressionMethod, DateTime, ZipWriter, write::SimpleFileOptions};

/// What goes wrong with a file that is written.
pub fn writing(e: impl Into<io::Error>) -> Error {
    Error::io("writing an export")(e.into())
}

/// Lets `write` fill a new file beside `out`, readable by its owner only, and puts it in its place when all of it is on the
/// disk. Gives what `write` gave and the bytes of the file.
///
/// # Errors
/// `NO_SPACE`; of the file system; of `write`. Nothing new stands there then, and what stood there stays.
pub fn whole<T>(out: &Path, write: impl FnOnce(&mut BufWriter<File>) -> Result<T>) -> Result<(T, u64)> {
    let (file, temp) = new_beside(out)?.into_parts();
    let mut buffered = BufWriter::new(file);
    let given = write(&mut buffered)?;
    let file = buffered.into_inner().map_err(|e| writing(e.into_error()))?;
    file.sync_all().map_err(writing)?;
    let bytes = file.metadata().map_err(writing)?.len();
    temp.persist(out).map_err(|e| writing(e.error))?;
    durable::sync_name(out).map_err(writing)?;
    Ok((given, bytes))
}

fn new_beside(out: &Path) -> Result<NamedTempFile> {
    if out.is_dir() {
        return Err(writing(io::Error::from(io::ErrorKind::IsADirectory)));
    }
    let folder = out.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
    NamedTempFile::new_in(folder).map_err(writing)
}

/// A table on its way into a file: rows on the disk, none in memory. The file goes when it is dropped.
pub struct Rows {
    writer: csv::Writer<File>,
    /// How many were written, without the headings.
    pub count: u64,
}

impl Rows {
    /// An empty table with its headings; `bom`: begun as spreadsheets take it for Unicode.
    ///
    /// # Errors
    /// Of the file system.
    pub fn new(headings: &[String], bom: bool) -> Result<Self> {
        let mut file = tempfile::tempfile().map_err(writing)?;
        if bom {
            file.write_all(b"\xef\xbb\xbf").map_err(writing)?;
        }
        let mut rows = Self { writer: csv::Writer::from_writer(file), count: 0 };
        rows.writer.write_record(headings).map_err(writing)?;
        Ok(rows)
    }

    /// One more row.
    ///
    /// # Errors
    /// Of the file system.
    pub fn add(&mut self, row: impl IntoIterator<Item = String>) -> Result<()> {
        self.count += 1;
        self.writer.write_record(row).map_err(writing)
    }

    /// Copies the table into `to`.
    ///
    /// # Errors
    /// Of the file system.
    pub fn copy(self, to: &mut impl Write) -> Result<()> {
        let mut file = self.writer.into_inner().map_err(|e| writing(e.into_error()))?;
        file.rewind().map_err(writing)?;
        io::copy(&mut file, to).map(drop).map_err(writing)
    }
}

/// Puts a file into a zip; the same content gives the same bytes. Pictures are packed already.
///
/// # Errors
/// Of the file system, and of `write`.
pub fn entry<W: Write + Seek>(
    zip: &mut ZipWriter<W>,
    name: &str,
    write: impl FnOnce(&mut ZipWriter<W>) -> Result<()>,
) -> Result<()> {
    let picture = [".jpg", ".png"].iter().any(|end| name.ends_with(end));
    let method = if picture { CompressionMethod::Stored } else { CompressionMethod::Deflated };
    let options = SimpleFileOptions::default().compression_method(method).last_modified_time(DateTime::default());
    zip.start_file(name, options).map_err(writing)?;
    write(zip)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_full_disk_leaves_no_half_file_and_keeps_what_stood_there() {
        let folder = tempfile::tempdir().unwrap();
        let out = folder.path().join("out.csv");
        std::fs::write(&out, "older").unwrap();
        let full = whole(&out, |file| {
            file.write_all(&[b'x'; 100_000]).map_err(writing)?;
            Err::<(), _>(writing(io::Error::from(io::ErrorKind::StorageFull)))
        });
        assert_eq!(full.unwrap_err().code().map(|c| c.name()), Some("NO_SPACE"));
        assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
        assert_eq!(std::fs::read(&out).unwrap(), b"older");
        assert_eq!(whole(&out, |file| file.write_all(b"new").map_err(writing)).unwrap().1, 3);
        assert_eq!(std::fs::read(&out).unwrap(), b"new");
    }
}
