//! Files as a page of ours sends them: from the socket to the disk, part by part. The token comes first, in a header or in
//! the first part, and is looked at before any file is.

use std::{
    path::{Path, PathBuf},
    sync::{Arc, Mutex, PoisonError},
    time::Duration,
};

use axum::{
    body::Body,
    extract::{
        DefaultBodyLimit, FromRequest, Multipart, Request,
        multipart::{Field, MultipartError},
    },
    http::header,
};
use dooryard_core::{Error, ids::Hash32};
use tokio::{fs::File, io::AsyncWriteExt};

use super::{
    paced::{Broken, Pace, paced},
    trouble::Trouble,
};

/// The header in which a script of ours sends the token of its page.
pub(super) const TOKEN_HEADER: &str = "x-dooryard-token";
/// Longest token, bytes.
const TOKEN: usize = 256;
/// Most parts of one request: a form of files, its token, and a field that was left empty.
pub(super) const MOST_FILES: usize = 100;
/// Longest name of a file that is kept, characters.
const NAME: usize = 100;

/// Files on their way.
pub(super) struct Arriving {
    parts: Multipart,
    pace: Pace,
    seen: usize,
}

/// One file that is on disk.
#[derive(Debug)]
pub(super) struct Arrived {
    /// What it was called, for people: never a path here.
    pub(super) name: String,
    /// Where it stands until the request ends.
    pub(super) path: PathBuf,
    /// BLAKE3 of its bytes.
    pub(super) hash: Hash32,
}

/// Hands files on their way from the guard to the page, once.
#[derive(Clone)]
pub(super) struct Arrives(Arc<Mutex<Option<Arriving>>>);

impl Arrives {
    pub(super) fn new(arriving: Arriving) -> Self {
        Self(Arc::new(Mutex::new(Some(arriving))))
    }

    pub(super) fn take(&self) -> Result<Arriving, Trouble> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).take().ok_or(Trouble::BadForm)
    }
}

impl Arriving {
    /// Begins with a request: reads no more than its token.
    pub(super) async fn begin(request: &mut Request, most: u64, slowest: Duration) -> Result<(Self, String), Trouble> {
        let headers = request.headers().clone();
        let text = |name: &str| headers.get(name).and_then(|value| value.to_str().ok());
        let announced = text("content-length").and_then(|n| n.parse::<u64>().ok());
        if announced.is_some_and(|n| n > most) {
            return Err(Trouble::FilesTooLarge(most));
        }
        let sent = text(TOKEN_HEADER).map(str::to_owned);
        let kind = headers.get(header::CONTENT_TYPE).cloned().ok_or(Trouble::BadForm)?;
        let (body, pace) = paced(std::mem::replace(request.body_mut(), Body::empty()), most, slowest);
        let mut whole = Request::new(body);
        whole.headers_mut().insert(header::CONTENT_TYPE, kind);
        // The body counts itself.
        DefaultBodyLimit::disable().apply(&mut whole);
        let parts = Multipart::from_request(whole, &()).await.map_err(|_| Trouble::BadForm)?;
        let mut arriving = Self { parts, pace, seen: 0 };
        let token = match sent {
            Some(token) => token,
            None => arriving.token().await?,
        };
        Ok((arriving, token))
    }

    async fn token(&mut self) -> Result<String, Trouble> {
        let pace = self.pace.clone();
        let Some(mut part) = self.part().await?.filter(|part| part.name() == Some("token")) else {
            return Ok(String::new());
        };
        let mut token = Vec::new();
        while let Some(bytes) = chunk(&mut part, &pace).await? {
            token.extend_from_slice(&bytes);
            if token.len() > TOKEN {
                return Ok(String::new());
            }
        }
        Ok(String::from_utf8(token).unwrap_or_default())
    }

    async fn part(&mut self) -> Result<Option<Field<'_>>, Trouble> {
        self.seen += 1;
        if self.seen > MOST_FILES + 2 {
            return Err(Trouble::TooManyFiles(MOST_FILES));
        }
        let part = self.parts.next_field().await.map_err(|e| why(&self.pace, &e))?;
        self.pace.was_read();
        Ok(part)
    }

    /// Takes every file into a folder. A field in which no file was chosen counts for nothing.
    pub(super) async fn into_folder(mut self, folder: &Path) -> Result<Vec<Arrived>, Trouble> {
        let (mut files, pace) = (Vec::new(), self.pace.clone());
        while let Some(part) = self.part().await? {
            let path = folder.join((files.len() + 1).to_string());
            let Some(called) = part.file_name() else { return Err(Trouble::BadForm) };
            let name = shown(called);
            let (bytes, hash) = to_disk(part, &pace, &path).await?;
            if bytes > 0 || !name.is_empty() {
                files.push(Arrived { name, path, hash });
            }
        }
        Ok(files)
    }
}

/// Writes one part to the disk; durable on return.
async fn to_disk(mut part: Field<'_>, pace: &Pace, path: &Path) -> Result<(u64, Hash32), Trouble> {
    let (mut hasher, mut written) = (blake3::Hasher::new(), 0);
    let mut file = File::create(path).await.map_err(keeping)?;
    while let Some(bytes) = chunk(&mut part, pace).await? {
        hasher.update(&bytes);
        written += bytes.len() as u64;
        file.write_all(&bytes).await.map_err(keeping)?;
    }
    file.flush().await.map_err(keeping)?;
    file.sync_all().await.map_err(keeping)?;
    Ok((written, Hash32(*hasher.finalize().as_bytes())))
}

fn keeping(e: std::io::Error) -> Trouble {
    Trouble::from(Error::io("keeping what arrives")(e))
}

async fn chunk(part: &mut Field<'_>, pace: &Pace) -> Result<Option<axum::body::Bytes>, Trouble> {
    let bytes = part.chunk().await.map_err(|e| why(pace, &e))?;
    pace.was_read();
    Ok(bytes)
}

/// Why there is no next part: the body knows more than whoever takes it apart.
fn why(pace: &Pace, _: &MultipartError) -> Trouble {
    match pace.broken() {
        Some(Broken::TooLarge(most)) => Trouble::FilesTooLarge(most),
        Some(Broken::TooSlow) => Trouble::TooSlow,
        Some(Broken::Cut) => Trouble::CutShort,
        Some(Broken::Formless) | None => Trouble::BadForm,
    }
}

/// A file's name as it is shown: what follows its last slash of either kind, in one line.
fn shown(called: &str) -> String {
    let last = called.rsplit(['/', '\\']).next().unwrap_or_default();
    let name: String = last.chars().filter(|c| !c.is_control() && !is_turning(*c)).take(NAME).collect();
    match name.trim() {
        "." | ".." => String::new(),
        name => name.to_owned(),
    }
}

/// Letters without a shape that turn the reading direction: with them `dray.exe` can look like `exe.yard`.
fn is_turning(c: char) -> bool {
    matches!(c, '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_is_never_a_path_and_stands_in_one_line() {
        for (called, name) in [
            ("s3.yard", "s3.yard"),
            ("../../office.key", "office.key"),
            ("C:\\Users\\x\\s3.yard", "s3.yard"),
            ("/etc/passwd", "passwd"),
            ("a/..", ""),
            ("..\\..", ""),
            ("s3\r\nSet-Cookie: x.yard", "s3Set-Cookie: x.yard"),
            ("s3\u{202e}dray.exe", "s3dray.exe"),
            ("\u{0}", ""),
        ] {
            assert_eq!(shown(called), name, "{called:?}");
        }
        assert_eq!(shown(&"ñ".repeat(500)).chars().count(), NAME);
    }
}
