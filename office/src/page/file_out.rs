//! A file handed to the browser, block by block; the folder that it was made in is gone by then.

use std::{fs::File, path::Path};

use axum::{
    body::Body,
    http::{HeaderValue, header},
    response::{IntoResponse, Response},
};
use dooryard_core::Error;
use tempfile::TempDir;
use tokio_util::io::ReaderStream;

use super::trouble::Trouble;

/// Hands `file` of `room` out under `name`, which holds letters, digits, dots and dashes only.
pub(super) fn hand_out(room: TempDir, file: &Path, name: &str, kind: &'static str) -> Result<Response, Trouble> {
    let source = File::open(file).map_err(Error::io("handing a file out"))?;
    // The names go now, the bytes when all of them are sent.
    drop(room);
    send(source, name, kind)
}

/// Hands a file out under `name`, which holds letters, digits, dots and dashes only.
pub(super) fn send(source: File, name: &str, kind: &'static str) -> Result<Response, Trouble> {
    let left = source.metadata().map_err(Error::io("handing a file out"))?.len();
    let attached = HeaderValue::from_str(&format!("attachment; filename=\"{name}\"")).map_err(|_| Trouble::BadForm)?;
    let headers = [
        (header::CONTENT_TYPE, HeaderValue::from_static(kind)),
        (header::CONTENT_DISPOSITION, attached),
        (header::CONTENT_LENGTH, left.into()),
    ];
    Ok((headers, Body::from_stream(ReaderStream::new(tokio::fs::File::from_std(source)))).into_response())
}

/// A label as a part of a file's name: letters and digits of English, all else a dash.
pub(super) fn file_word(label: &str) -> String {
    let dashed: String =
        label.chars().map(|c| if c.is_ascii_alphanumeric() { c.to_ascii_lowercase() } else { '-' }).collect();
    dashed.split('-').filter(|part| !part.is_empty()).collect::<Vec<_>>().join("-")
}

#[cfg(test)]
mod tests {
    use axum::body::to_bytes;

    use super::*;

    #[test]
    fn a_file_is_handed_out_whole_and_its_folder_goes() {
        let room = tempfile::tempdir().unwrap();
        let (file, place) = (room.path().join("x"), room.path().to_owned());
        let bytes: Vec<u8> = (0..200_000u32).map(|n| n as u8).collect();
        std::fs::write(&file, &bytes).unwrap();
        let runtime = tokio::runtime::Builder::new_multi_thread().worker_threads(1).enable_all().build().unwrap();
        let got = runtime.block_on(async {
            let answer = hand_out(room, &file, "x.yard", "application/octet-stream").unwrap();
            assert_eq!(answer.headers()["content-disposition"], "attachment; filename=\"x.yard\"");
            to_bytes(answer.into_body(), 1 << 20).await.unwrap()
        });
        drop(runtime);
        assert!(got == bytes && !place.exists());
    }

    #[test]
    fn a_label_becomes_a_word_of_a_file_name() {
        assert_eq!(file_word("Scout 3"), "scout-3");
        assert_eq!(file_word("../\"x\"\r\ny é"), "x-y");
        assert_eq!(file_word("ñ"), "");
    }
}
