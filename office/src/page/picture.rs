//! Photos as pictures: always made anew from the pixels, never the file that came, and without its metadata.

use std::sync::{Mutex, PoisonError};

use axum::{
    http::header,
    response::{IntoResponse, Response},
};
use dooryard_core::{
    ids::BlobId,
    notebook::{Notebook, Record},
    photo,
};

use super::trouble::Trouble;

/// Long side of the large picture, pixels.
const LARGE_PX: u32 = 1600;
/// Long side of the largest picture that is made, pixels: for a lesion on a whole leaf.
const FULL_PX: u32 = 3200;

/// A browser that shows a picture alone lays it out with inline styles of its own; nothing else is let in.
const POLICY: &str = "default-src 'none'; img-src 'self'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'; \
     frame-ancestors 'none'";

/// One picture is decoded at a time: forty megapixels take a few hundred megabytes.
static DECODING: Mutex<()> = Mutex::new(());

/// Which picture is asked for.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Size {
    /// For the page.
    Small,
    /// For a closer look.
    Large,
    /// For the closest: a part of it fills the screen.
    Full,
}

/// The picture of a photo.
///
/// # Errors
/// [`Trouble::NoPicture`] when it has not come or cannot be decoded.
pub fn picture(notebook: &Notebook, record: &Record, size: Size) -> Result<Response, Trouble> {
    // The thumbnail that came with the first bundle serves the small one, and stands in while the original is missing.
    let order = match size {
        Size::Small => ["thumbnail", "image"],
        Size::Large | Size::Full => ["image", "thumbnail"],
    };
    let bytes = order.into_iter().find_map(|field| blob(notebook, record, field)).ok_or(Trouble::NoPicture)?;
    let jpeg = {
        let _one = DECODING.lock().unwrap_or_else(PoisonError::into_inner);
        match size {
            Size::Small => photo::thumbnail(&bytes),
            Size::Large => photo::copy(&bytes, LARGE_PX),
            Size::Full => photo::copy(&bytes, FULL_PX),
        }
    };
    let jpeg = jpeg.map_err(|_| Trouble::NoPicture)?;
    let headers = [
        (header::CONTENT_TYPE, "image/jpeg"),
        (header::CACHE_CONTROL, "no-store"),
        (header::CONTENT_SECURITY_POLICY, POLICY),
    ];
    Ok((headers, jpeg).into_response())
}

/// Whether a picture of this photo has come.
pub fn here(notebook: &Notebook, record: &Record) -> bool {
    ["thumbnail", "image"].into_iter().filter_map(|f| id(record, f)).any(|id| notebook.blob_path(&id).is_file())
}

fn id(record: &Record, field: &str) -> Option<BlobId> {
    record.text(field)?.parse().ok()
}

fn blob(notebook: &Notebook, record: &Record, field: &str) -> Option<Vec<u8>> {
    let path = notebook.blob_path(&id(record, field)?);
    let size = std::fs::metadata(&path).ok()?.len();
    if size > photo::MAX_BYTES as u64 { None } else { std::fs::read(path).ok() }
}
