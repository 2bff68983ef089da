//! A file handed to the browser, block by block. The folder that it stands in goes when the last block is gone.

use std::{
    fs::File,
    io::Read,
    path::Path,
    pin::Pin,
    task::{Context, Poll},
};

use axum::{
    body::{Body, Bytes},
    http::{HeaderValue, header},
    response::{IntoResponse, Response},
};
use dooryard_core::Error;
use http_body::{Body as HttpBody, Frame, SizeHint};
use tempfile::TempDir;
use tokio::sync::mpsc::{Receiver, channel};

use super::trouble::Trouble;

/// Bytes of a block.
const BLOCK: usize = 64 << 10;

struct Blocks {
    blocks: Receiver<std::io::Result<Bytes>>,
    left: u64,
}

impl HttpBody for Blocks {
    type Data = Bytes;
    type Error = std::io::Error;

    fn poll_frame(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<Option<std::io::Result<Frame<Bytes>>>> {
        self.blocks.poll_recv(cx).map(|block| {
            let block = block?;
            self.left -= block.as_ref().map_or(0, |bytes| bytes.len() as u64).min(self.left);
            Some(block.map(Frame::data))
        })
    }

    fn size_hint(&self) -> SizeHint {
        SizeHint::with_exact(self.left)
    }
}

/// Hands `file` of `room` out under `name`, which holds letters, digits, dots and dashes only.
pub(super) fn hand_out(room: TempDir, file: &Path, name: &str, kind: &'static str) -> Result<Response, Trouble> {
    let what = || Error::io("handing a file out");
    let mut source = File::open(file).map_err(what())?;
    let left = source.metadata().map_err(what())?.len();
    let (sender, blocks) = channel(4);
    tokio::task::spawn_blocking(move || {
        let _room = room;
        while let Some(block) = next_block(&mut source).transpose() {
            let broken = block.is_err();
            if sender.blocking_send(block).is_err() || broken {
                return;
            }
        }
    });
    let attached = HeaderValue::from_str(&format!("attachment; filename=\"{name}\"")).map_err(|_| Trouble::BadForm)?;
    let headers = [(header::CONTENT_TYPE, HeaderValue::from_static(kind)), (header::CONTENT_DISPOSITION, attached)];
    Ok((headers, Body::new(Blocks { blocks, left })).into_response())
}

fn next_block(source: &mut File) -> std::io::Result<Option<Bytes>> {
    let mut block = vec![0; BLOCK];
    let n = source.read(&mut block)?;
    block.truncate(n);
    Ok((n > 0).then(|| block.into()))
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
