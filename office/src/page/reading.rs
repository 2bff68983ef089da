//! The pages of what the office holds: inquiries, photos.

use axum::{
    Extension,
    extract::{Path, State},
    response::Response,
};
use dooryard_core::{ids::RecordId, record::Kind};

use super::{
    frame::Here,
    guard::Noted,
    picture::{self, Size},
    routes::{Shared, answer},
    trouble::Trouble,
};
use crate::people::{Act, Visitor};

type Who = Extension<Visitor>;

pub(super) async fn photo(
    State(desk): Shared,
    Extension(who): Who,
    Path((id, size)): Path<(String, String)>,
) -> Response {
    answer(desk, Some(who), Here::Inquiries, move |desk, _| {
        let size = match size.as_str() {
            "small" => Size::Small,
            "large" => Size::Large,
            "full" => Size::Full,
            _ => return Err(Trouble::NoSuchPage),
        };
        let id = record_id(&id)?;
        let record = desk.notebook().show(id)?;
        if record.kind != Kind::Photo || record.hidden {
            return Err(Trouble::NotHere);
        }
        if desk.index()?.is_under_seal(id)? {
            return Err(Trouble::Sealed);
        }
        // The small ones come with their inquiry, which is noted.
        let seen = if size == Size::Small { Vec::new() } else { vec![Act::SawPhoto] };
        Ok(Noted::on(picture::picture(desk.notebook(), &record, size)?, seen))
    })
    .await
}

pub(super) fn record_id(text: &str) -> Result<RecordId, Trouble> {
    text.parse().map_err(|_| Trouble::BadNumber)
}
