//! A small notebook made from a fixed seed: kept in `fixtures/db` as every schema wrote it.

use std::path::Path;

use dooryard_core::{
    Result,
    clock::{Env, SetClock},
    ids::Hash32,
    log::{Body, Cert, Statement},
    notebook::{Card, Notebook, Request, seal_identity, write_answer},
    record::{Kind, Role},
    sign::Signing,
};
use serde_json::{Map, Value as Json, json};

/// What somebody is typing in it.
pub const DRAFT: &str = "half a sentence";

/// Makes it in an empty folder: an enrolled scout's notebook with an inquiry that was edited, a plant that was deleted, a
/// finding, a photo, a contact that was erased, a draft. Every key comes from a seed and is worth nothing.
///
/// # Errors
/// Of the notebook.
pub fn small_notebook(dir: &Path) -> Result<Notebook> {
    let clock = SetClock::at(1_777_636_800_000);
    let notebook = Notebook::create(dir, Env::seeded(7, &clock))?;
    let (root, key) = (Signing::from_seed(&[1; 32]), Signing::from_seed(&[2; 32]));
    let seal = seal_identity(&[3; 32])?.to_public().to_string();
    let name = "Larkspur County".to_owned();
    let card = Card {
        root: root.public(),
        key: key.public(),
        recovery: seal.clone(),
        seal,
        name,
        serial: 1,
        former: Vec::new(),
    };
    let Request { key: device, seal } = Request::read(&notebook.enrolment_request())?;
    let cert = Cert { key: device, seal, role: Role::Scout, label: "Scout 1".into(), seq: 1 };
    let (signed, _) = Statement { seq: 1, prev: Hash32::ZERO, body: Body::Cert(cert) }.sign(&key, &card.office());
    notebook.enrol(&write_answer(&card.sign(&root), &[signed]))?;

    let save = |kind, id, fields: Json| notebook.save(kind, id, &object(fields));
    let inquiry = save(Kind::Inquiry, None, json!({"channel": "yard", "question": "¿Por qué tiene manchas?"}))?;
    save(Kind::Inquiry, Some(inquiry), json!({"question": "Why are the leaves spotted?"}))?;
    let plant = save(Kind::Plant, None, json!({"host": "oak", "inquiry": inquiry.to_string()}))?;
    save(Kind::Finding, None, json!({"plant": plant.to_string(), "character": "leaf_spot", "status": "seen"}))?;
    let contact = save(Kind::Contact, None, json!({"note": "ring at the cobalt gate"}))?;
    let gone = save(Kind::Plant, None, json!({"host": "elm"}))?;
    notebook.delete(gone)?;
    let picture = dir.join("leaf.png");
    let what = || dooryard_core::Error::io("a picture");
    image::RgbImage::from_fn(32, 24, |x, y| image::Rgb([(x * 8) as u8, (y * 10) as u8, 90]))
        .save(&picture)
        .map_err(|e| what()(std::io::Error::other(e)))?;
    notebook.add_photo(&picture, &object(json!({"part": "close_up", "plant": plant.to_string()})))?;
    std::fs::remove_file(&picture).map_err(what())?;
    notebook.keep_draft("new inquiry", Some(DRAFT))?;
    notebook.erase(&key, contact, &[])?;
    notebook.refresh()?;
    notebook.pause()?;
    Ok(notebook)
}

fn object(json: Json) -> Map<String, Json> {
    json.as_object().cloned().unwrap_or_default()
}
