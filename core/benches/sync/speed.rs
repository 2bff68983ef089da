//! Merge, take-in and replay against a bare INSERT of the same rows; photos against a copy of the same bytes.

use std::{
    fs::{self, File},
    path::Path,
    time::{Duration, Instant},
};

use dooryard_core::{
    bundle::{Opener, take_in},
    job::Job,
    log::Segment,
};
use rand::{Rng, SeedableRng, rngs::StdRng};
use serde_json::json;

use crate::{
    bare::{Rows, Which},
    scene::{FIELDS, Scene, office_key},
};

const SEGMENT: usize = 2_000;

/// One measured ratio or size.
pub struct Figure {
    pub name: &'static str,
    pub value: f64,
    /// The gate, and the aim; zeros when it is measured only.
    pub goal: [f64; 2],
}

/// One round of all ratios: the time of the bare side over the time of ours.
pub fn round(dir: &Path, n: usize) -> Vec<Figure> {
    let folder = dir.join(format!("round-{n}"));
    let mut figures = merged(&folder);
    figures.extend(taken_in(&folder, "large", 2_000, 20, [0.50, 0.65]));
    figures.extend(taken_in(&folder, "small", 100, 60, [0.10, 0.25]));
    figures.push(photos(&folder));
    fs::remove_dir_all(&folder).expect("cleared away");
    figures
}

/// Segments from wire bytes, as a bundle brings them: reading and hashing are part of the merge. The heads alone are one row a
/// change, whatever it holds: they are compared where a change has one field, and where it has as many as most have.
fn merged(dir: &Path) -> Vec<Figure> {
    let (scene, ours) = merge(dir, "merged", FIELDS);
    let (narrow, ours_narrow) = merge(dir, "narrow", 1);
    let compare = |name, goal, (scene, ours): (&Scene, Duration), which| {
        let into = Scene::new(dir, name, 0);
        let bare = Rows::of(scene.office.folder(), SEGMENT).insert(into.office.folder(), which);
        Figure { name, value: ratio(bare, ours), goal }
    };
    vec![
        compare("merge / bare INSERT of the same rows", [0.60, 0.85], (&scene, ours), Which::All),
        compare("merge / bare INSERT of the log's rows", [0.25, 0.35], (&scene, ours), Which::Log),
        compare("merge / one row a change of one field", [0.0, 0.0], (&narrow, ours_narrow), Which::Heads),
        compare("merge / one row a change of four fields", [0.0, 0.0], (&scene, ours), Which::Heads),
    ]
}

fn merge(dir: &Path, name: &str, fields: usize) -> (Scene, Duration) {
    let scene = Scene::new(dir, name, 1);
    let history = scene.history(&scene.phones[0], fields, 100_000, SEGMENT);
    let wire: Vec<Vec<u8>> = history.iter().map(Segment::to_cbor).collect();
    drop(history);
    let ours = timed(|| {
        for bytes in &wire {
            let segment = Segment::from_cbor(bytes, &scene.id()).expect("a segment");
            scene.office.take_segment(segment).expect("merged");
        }
    });
    (scene, ours)
}

/// Sealed bundles: opened, verified, decoded, merged, committed; then all of them again.
fn taken_in(dir: &Path, name: &str, changes: usize, bundles: usize, goal: [f64; 2]) -> Vec<Figure> {
    let scene = Scene::new(dir, name, bundles);
    let files = scene.bundles(changes);
    let opener = Opener::new(vec![office_key()]);
    let all = |new: u64| {
        for file in &files {
            let report = take_in(&scene.office, &opener, dir, file, &Job::silent()).expect("taken in");
            assert_eq!(report.new, new);
        }
    };
    let ours = timed(|| all(changes as u64));
    let again = timed(|| all(0));
    let into = Scene::new(dir, &format!("{name}-bare"), 0);
    let bare = Rows::of(scene.office.folder(), changes).insert(into.office.folder(), Which::All);
    let large = changes == SEGMENT;
    let name = if large { "take-in of 2,000 changes / bare INSERT" } else { "take-in of 100 changes / bare INSERT" };
    let mut figures = vec![Figure { name, value: ratio(bare, ours), goal }];
    if large {
        figures.push(Figure { name: "replay / bare INSERT", value: ratio(bare, again), goal: [1.2, 2.0] });
    }
    figures
}

/// Photos of 8 MB: taken in sealed, against written to a file and synced.
fn photos(dir: &Path) -> Figure {
    let scene = Scene::new(dir, "photos", 1);
    let phone = &scene.phones[0].notebook;
    let mut random = StdRng::seed_from_u64(3);
    let file = dir.join("noise.png");
    for n in 0..10 {
        noise(&mut random, 1_640, &file);
        phone
            .add_photo(&file, &serde_json::Map::from_iter([("caption".into(), json!(format!("noise {n}")))]))
            .expect("a photo");
    }
    let out = dir.join("photos.yard");
    phone.make_bundle(&out, &Job::silent()).expect("a bundle");
    let bytes: Vec<Vec<u8>> = phone
        .blobs_to_offer()
        .expect("photos")
        .iter()
        .map(|b| fs::read(phone.blob_path(&b.id)).expect("a photo"))
        .collect();
    let copied = timed(|| {
        for (n, bytes) in bytes.iter().enumerate() {
            let path = dir.join(format!("copy-{n}"));
            fs::write(&path, bytes).and_then(|()| File::open(&path)?.sync_all()).expect("copied");
        }
    });
    let opener = Opener::new(vec![office_key()]);
    let ours = timed(|| {
        let report = take_in(&scene.office, &opener, dir, &out, &Job::silent()).expect("taken in");
        assert_eq!(report.photos, 20);
    });
    Figure { name: "photo take-in / (copy + fsync)", value: ratio(copied, ours), goal: [0.5, 0.8] }
}

/// A picture of noise, so many pixels wide and high: it does not compress.
pub fn noise(random: &mut StdRng, side: u32, file: &Path) {
    let mut pixels = vec![0u8; side as usize * side as usize * 3];
    random.fill(&mut pixels[..]);
    let picture = image::RgbImage::from_raw(side, side, pixels).expect("a picture");
    picture.save(file).expect("saved");
}

/// Bytes of a bundle of 500 changes of 4 fields.
pub fn text_part(dir: &Path) -> f64 {
    let scene = Scene::new(dir, "text", 1);
    let files = scene.bundles(500);
    fs::metadata(&files[0]).expect("the bundle").len() as f64
}

fn timed(work: impl FnOnce()) -> Duration {
    let start = Instant::now();
    work();
    start.elapsed()
}

fn ratio(bare: Duration, ours: Duration) -> f64 {
    bare.as_secs_f64() / ours.as_secs_f64()
}
