//! Photos in Audiovisual Core terms.

use dooryard_core::{Error, Result, ids::BlobId, notebook::Summary, photo::strip, record::Kind};

use super::rows::{Archive, safe, visit_of};
use crate::{
    export::{case::Case, columns::day},
    ledger::reference,
};

impl Archive<'_> {
    /// Adds the photos of an inquiry. Gives them, without metadata and with their names in the archive, where they are
    /// `wanted`.
    pub(super) fn photos(
        &mut self,
        case: &Case<'_>,
        visits: &[&Summary],
        wanted: bool,
    ) -> Result<Vec<(Vec<u8>, String)>> {
        let mut images = Vec::new();
        for photo in case.of(Kind::Photo) {
            let visit = case.linked(photo, "visit").or_else(|| visit_of(case, visits, reference(photo, "plant")));
            let Some(visit) = visit else { continue };
            let id = self.scope.ids.of(photo.id);
            let image = if wanted { self.image(photo)? } else { None };
            let kind = if image.as_ref().is_some_and(|i| i.starts_with(b"\x89PNG")) {
                ("png", "image/png")
            } else {
                ("jpg", "image/jpeg")
            };
            let name = format!("photos/{id}.{}", kind.0);
            let with = |text: String| if image.is_some() { text } else { String::new() };
            let hash = image.as_ref().map(|i| blake3::hash(i).to_hex().to_string()).unwrap_or_default();
            let on = photo.text("taken").and_then(day).map(|d| d.to_string());
            let event = self.scope.ids.of(visit.id);
            self.media.add(safe([
                event.clone(),
                id,
                "StillImage".to_owned(),
                with(name.clone()),
                with(kind.1.to_owned()),
                with("BLAKE3".to_owned()),
                hash,
                on.unwrap_or_default(),
                photo.text("part").map(|p| p.replace('_', " ")).unwrap_or_default(),
                event,
                format!("{}, with the resident's consent", self.scope.office),
                self.licence.iri().to_owned(),
                self.scope.office.clone(),
            ]))?;
            images.extend(image.map(|bytes| (bytes, name)));
        }
        Ok(images)
    }

    /// The photo without metadata; nothing when its bytes are not here, or are no picture that can be cleaned.
    fn image(&self, photo: &Summary) -> Result<Option<Vec<u8>>> {
        let Some(id) = photo.text("image").and_then(|t| t.parse::<BlobId>().ok()) else { return Ok(None) };
        if !self.scope.notebook.holds_blob(&id)? {
            return Ok(None);
        }
        let bytes = std::fs::read(self.scope.notebook.blob_path(&id)).map_err(Error::io("reading a photo"))?;
        Ok(strip(&bytes).ok())
    }
}
