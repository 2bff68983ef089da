//! Photos that came with a call: streamed to disk one by one, then taken in as from a phone. The page never shows the file
//! that came, only pictures made anew from it.

use std::{io::Write, path::PathBuf, sync::Arc};

use axum::{
    Extension,
    extract::{
        Multipart, Path, State,
        multipart::{Field, MultipartRejection},
    },
    response::{IntoResponse, Redirect, Response},
};
use dooryard_core::{Error, photo};
use serde_json::{Map, json};
use tempfile::NamedTempFile;

use crate::{
    page::{
        frame::Here,
        reading::record_id,
        routes::{Desk, Shared, answer},
        trouble::Trouble,
    },
    people::{Act, Visitor},
};
use dooryard_core::inquiry::first_plant;

/// Photos that are taken at once.
const MOST: usize = 20;

/// Most bytes of a form's token.
const TOKEN: usize = 1 << 10;

/// How much slower photos may arrive than a form.
const SLOWER: u32 = 10;

/// Most that one sending of photos holds, bytes.
pub(in crate::page) const BYTES: usize = MOST * photo::MAX_BYTES;

pub(in crate::page) async fn add(
    State(desk): Shared,
    Extension(who): Extension<Visitor>,
    Path(id): Path<String>,
    sent: Result<Multipart, MultipartRejection>,
) -> Response {
    let folder = desk.office.folder().join("scratch");
    let came = match sent {
        // What is no form of files carries no token either.
        Err(_) => Err(Trouble::Forged),
        Ok(sent) => {
            let came = tokio::time::timeout(desk.slowest * SLOWER, come(&who, folder, sent)).await;
            came.unwrap_or(Err(Trouble::TooSlow))
        }
    };
    keep(desk, who, id, came).await
}

async fn keep(desk: Arc<Desk>, who: Visitor, id: String, came: Result<Vec<NamedTempFile>, Trouble>) -> Response {
    answer(desk, Some(who.clone()), Here::Desk, move |desk, frame| {
        let (files, id) = (came?, record_id(&id)?);
        super::take::may_write(desk, id)?;
        let plant = first_plant(desk.notebook(), id)?;
        let mut fields = Map::from_iter([("inquiry".to_owned(), json!(id.to_string()))]);
        plant.map(|plant| fields.insert("plant".into(), json!(plant.id.to_string())));
        // All or none: each is looked at before the first is kept.
        for file in &files {
            let bytes = std::fs::read(file.path()).map_err(failed)?;
            photo::read(&bytes).and_then(|_| photo::thumbnail(&bytes)).map_err(|e| match e {
                Error::Photo(problem) => {
                    let id = format!("desk-photo-{}", problem.name().to_lowercase().replace('_', "-"));
                    Trouble::NotDone(frame.say(&id))
                }
                other => other.into(),
            })?;
        }
        for file in &files {
            desk.notebook().add_photo(file.path(), &fields)?;
        }
        desk.people.note(&who, Act::AddedPhotos, Some(&id.to_string()))?;
        Ok(Redirect::to(&format!("/desk/{id}#photos")).into_response())
    })
    .await
}

/// The photos as they come, each in a file of its own that is gone when it is no longer held.
async fn come(who: &Visitor, folder: PathBuf, mut sent: Multipart) -> Result<Vec<NamedTempFile>, Trouble> {
    let (mut ours, mut files) = (false, Vec::new());
    while let Some(field) = sent.next_field().await.map_err(|_| Trouble::BadForm)? {
        match field.name() {
            Some("token") => ours = who.sent(&token(field).await?),
            Some("photo") if !ours => return Err(Trouble::Forged),
            Some("photo") if files.len() == MOST => return Err(Trouble::TooLarge),
            Some("photo") => files.extend(file(&folder, field).await?),
            _ => return Err(Trouble::BadForm),
        }
    }
    if ours { Ok(files) } else { Err(Trouble::Forged) }
}

/// A form's token, which is short.
async fn token(mut field: Field<'_>) -> Result<String, Trouble> {
    let mut bytes = Vec::new();
    while let Some(chunk) = field.chunk().await.map_err(|_| Trouble::BadForm)? {
        bytes.extend_from_slice(&chunk);
        if bytes.len() > TOKEN {
            return Err(Trouble::BadForm);
        }
    }
    String::from_utf8(bytes).map_err(|_| Trouble::BadForm)
}

fn failed(e: std::io::Error) -> Trouble {
    Trouble::Inside(e.to_string())
}

/// One photo. A browser sends an empty one where nobody chose any.
async fn file(folder: &std::path::Path, mut field: Field<'_>) -> Result<Option<NamedTempFile>, Trouble> {
    let mut file = NamedTempFile::new_in(folder).map_err(failed)?;
    let mut bytes = 0;
    while let Some(chunk) = field.chunk().await.map_err(|_| Trouble::BadForm)? {
        bytes += chunk.len();
        if bytes > photo::MAX_BYTES {
            return Err(Trouble::TooLarge);
        }
        file.write_all(&chunk).map_err(failed)?;
    }
    Ok((bytes > 0).then_some(file))
}
