//! Photos that came with a call: all on disk first, then taken in as from a phone. The page never shows the file that came,
//! only pictures made anew from it.

use std::{fs, sync::Arc};

use axum::{
    Extension,
    extract::{Path, State},
    response::{IntoResponse, Redirect, Response},
};
use dooryard_core::{
    Error,
    photo::{self, PhotoProblem},
};
use serde_json::{Map, json};
use tempfile::TempDir;

use crate::{
    page::{
        arriving::{Arrived, Arrives},
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

/// Most that one sending of photos holds, bytes.
pub(in crate::page) const BYTES: u64 = (MOST * photo::MAX_BYTES) as u64;

pub(in crate::page) async fn add(
    State(desk): Shared,
    Extension(who): Extension<Visitor>,
    Path(id): Path<String>,
    Extension(arrives): Extension<Arrives>,
) -> Response {
    let came = come(desk.clone(), &arrives).await;
    answer(desk, Some(who.clone()), Here::Desk, move |desk, frame| {
        // The room goes with all that is in it, whatever becomes of the photos.
        let ((_room, files), id) = (came?, record_id(&id)?);
        super::take::may_write(desk, id)?;
        let plant = first_plant(desk.notebook(), id)?;
        let mut fields = Map::from_iter([("inquiry".to_owned(), json!(id.to_string()))]);
        plant.map(|plant| fields.insert("plant".into(), json!(plant.id.to_string())));
        // All or none: each is looked at before the first is kept.
        for file in &files {
            sound(&file.path).map_err(|e| match e {
                Error::Photo(problem) => {
                    let id = format!("desk-photo-{}", problem.name().to_lowercase().replace('_', "-"));
                    Trouble::NotDone(frame.say(&id))
                }
                other => other.into(),
            })?;
        }
        for file in &files {
            desk.notebook().add_photo(&file.path, &fields)?;
        }
        desk.people.note(&who, Act::AddedPhotos, Some(&id.to_string()))?;
        Ok(Redirect::to(&format!("/desk/{id}#photos")).into_response())
    })
    .await
}

/// The photos on disk, with the folder that holds them as long as it is held.
async fn come(desk: Arc<Desk>, arrives: &Arrives) -> Result<(TempDir, Vec<Arrived>), Trouble> {
    let arriving = arrives.take()?;
    let room = desk.work(|desk| Ok(desk.office.room_for_arriving()?)).await?;
    let files = arriving.into_folder(room.path()).await?;
    if files.len() > MOST { Err(Trouble::TooManyFiles(MOST)) } else { Ok((room, files)) }
}

/// Whether a file is a photo that can be kept.
fn sound(file: &std::path::Path) -> dooryard_core::Result<()> {
    let reading = || Error::io("looking at a photo that came");
    if fs::metadata(file).map_err(reading())?.len() > photo::MAX_BYTES as u64 {
        return Err(Error::Photo(PhotoProblem::TooManyBytes));
    }
    let bytes = fs::read(file).map_err(reading())?;
    photo::read(&bytes)?;
    photo::thumbnail(&bytes)?;
    Ok(())
}
