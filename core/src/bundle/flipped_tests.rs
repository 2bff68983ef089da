//! Files of which one byte was changed on the way, one byte after the other, and files that end anywhere: what was sealed is refused
//! and changes nothing; what comes after it spoils no more than itself.

use std::ops::Range;

use super::{
    Epoch,
    hostile_tests::{Scene, scene},
    make_reply,
    parts::HEADER,
};
use crate::{
    Code,
    ids::{BlobId, Hash32},
    job::Job,
    record::Kind,
    sign::Signing,
};

/// What a byte is changed by: its lowest bit, one in the middle, all of them.
const PATTERNS: [u8; 3] = [0x01, 0x10, 0xff];
/// What stands before the bytes of a part.
const BEFORE: usize = 1 + 8 + 32;
/// Bytes of the record at a file's end.
const END: usize = 1 + 4 + 32;

/// Where each part stands, with what stands before it.
fn parts(file: &[u8]) -> Vec<Range<usize>> {
    let (mut found, mut at) = (Vec::new(), HEADER);
    while at + END < file.len() {
        let length = u64::from_le_bytes(file[at + 1..at + 9].try_into().unwrap());
        let end = at + BEFORE + usize::try_from(length).unwrap();
        found.push(at..end);
        at = end;
    }
    assert_eq!(at + END, file.len(), "the end follows the last part");
    found
}

impl Scene {
    /// Writes the file with each of these bytes changed in turn, in every way.
    fn each_flip(&self, whole: &[u8], places: impl Iterator<Item = usize>, mut look: impl FnMut(String)) {
        let mut bytes = whole.to_vec();
        for at in places {
            for pattern in PATTERNS {
                bytes[at] ^= pattern;
                std::fs::write(self.path(), &bytes).unwrap();
                look(format!("byte {at} changed by {pattern:#x}"));
                bytes[at] ^= pattern;
            }
        }
        assert!(bytes == whole);
    }

    fn office_state(&self) -> (Hash32, usize) {
        (self.office.digest().unwrap(), self.office.logs().unwrap().len())
    }
}

#[test]
fn every_flipped_byte_and_every_prefix_of_a_small_bundle_is_refused_and_changes_nothing() {
    let scene = scene();
    scene.phone.save(Kind::Plant, None, &serde_json::Map::new()).unwrap();
    scene.phone.make_bundle(&scene.path(), &Job::silent()).unwrap();
    let whole = std::fs::read(scene.path()).unwrap();
    let control_end = whole.len() - END;
    assert!(parts(&whole).into_iter().eq(std::iter::once(HEADER..control_end)));
    let before = scene.office_state();
    scene.each_flip(&whole, 0..control_end, |which| {
        assert!(scene.take().is_err(), "{which}");
        assert_eq!(scene.office_state(), before, "{which}");
    });
    for len in 0..control_end {
        std::fs::write(scene.path(), &whole[..len]).unwrap();
        assert!(scene.take().is_err(), "first {len} bytes");
        assert_eq!(scene.office_state(), before, "first {len} bytes");
    }
    std::fs::write(scene.path(), &whole[..control_end]).unwrap();
    let cut = scene.take().unwrap();
    assert!(cut.cut && cut.new == 1, "the text is whole, only the end is missing");
    let after = scene.office_state();
    scene.each_flip(&whole, control_end..whole.len(), |which| {
        let taken = scene.take().unwrap();
        assert!(taken.cut && !taken.brought_anything(), "{which}: {taken:?}");
        assert_eq!(scene.office_state(), after, "{which}");
    });
    for len in control_end + 1..whole.len() {
        std::fs::write(scene.path(), &whole[..len]).unwrap();
        assert!(scene.take().unwrap().cut, "first {len} bytes");
        assert_eq!(scene.office_state(), after, "first {len} bytes");
    }
    std::fs::write(scene.path(), &whole).unwrap();
    assert!(!scene.take().unwrap().cut);
}

#[test]
fn a_flipped_byte_of_a_bundle_with_a_photo_spoils_the_text_or_one_photo_and_nothing_else() {
    let pixels = image::RgbImage::from_fn(9, 7, |x, y| image::Rgb([x as u8 * 20, y as u8 * 30, 90]));
    for part in 0..3 {
        let scene = scene();
        let picture = scene.dir.path().join("leaf.png");
        pixels.save(&picture).unwrap();
        scene.phone.add_photo(&picture, &serde_json::Map::new()).unwrap();
        let ids: Vec<BlobId> = scene.phone.blobs_to_offer().unwrap().into_iter().map(|row| row.id).collect();
        scene.phone.make_bundle(&scene.path(), &Job::silent()).unwrap();
        let whole = std::fs::read(scene.path()).unwrap();
        let parts = parts(&whole);
        assert_eq!((parts.len(), ids.len()), (3, 2), "the text, the photo, its thumbnail");
        let held = || ids.iter().filter(|id| scene.office.holds_blob(id).unwrap()).count();
        let before = scene.office_state();
        if part == 0 {
            // Every third byte: the form of the part is that of a bundle without a photo, of which every byte is changed.
            scene.each_flip(&whole, parts[part].clone().step_by(3), |which| {
                assert!(scene.take().is_err(), "{which}");
                assert_eq!((scene.office_state(), held()), (before, 0), "{which}");
            });
            continue;
        }
        scene.phone.make_text_bundle(&scene.path(), &Job::silent()).unwrap();
        assert_eq!(scene.take().unwrap().new, 1);
        let text = scene.office_state();
        // What stands before the sealed bytes and age's header in whole. Behind that any byte is under one sum: every eleventh.
        let (start, end) = (parts[part].start, parts[part].end);
        let places = (start..end).filter(|at| at - start < BEFORE + 220 || (at - start) % 11 == 0 || end - at <= 16);
        scene.each_flip(&whole, places, |which| {
            let taken = scene.take();
            assert!(taken.is_ok_and(|taken| taken.new == 0 && taken.photos_missing > 0), "{which}");
            assert_eq!(scene.office_state(), text, "{which}");
            assert!(held() < 2, "{which}");
        });
        assert_eq!(held(), 1, "the other one came");
        std::fs::write(scene.path(), &whole).unwrap();
        let taken = scene.take().unwrap();
        assert_eq!((taken.photos, taken.photos_missing, taken.cut, held()), (1, 0, false, 2));
        scene.each_flip(&whole, whole.len() - END..whole.len(), |which| {
            assert!(scene.take().unwrap().cut, "{which}");
            assert_eq!((scene.office_state(), held()), (text, 2), "{which}");
        });
    }
}

#[test]
fn every_flipped_byte_of_a_reply_is_refused_by_its_phone_and_changes_nothing() {
    let scene = scene();
    scene.phone.save(Kind::Plant, None, &serde_json::Map::new()).unwrap();
    scene.phone.make_bundle(&scene.path(), &Job::silent()).unwrap();
    scene.take().unwrap();
    let key = Signing::from_seed(&[2; 32]);
    make_reply(&scene.office, &key, Epoch { n: 1, random: [7; 16] }, scene.phone.device(), &scene.path()).unwrap();
    let whole = std::fs::read(scene.path()).unwrap();
    let control_end = whole.len() - END;
    assert!(parts(&whole).into_iter().eq(std::iter::once(HEADER..control_end)));
    let state = || {
        let statements = scene.phone.statements().unwrap().len();
        (scene.phone.digest().unwrap(), scene.phone.own_logs().unwrap(), statements)
    };
    let before = state();
    scene.each_flip(&whole, 0..control_end, |which| {
        let refused = scene.phone.take_reply(&scene.path(), &Job::silent()).unwrap_err();
        assert!(refused.code().is_some_and(|code| code != Code::StaleReply), "{which}: {refused}");
        assert_eq!(state(), before, "{which}");
    });
    // A reply is whole where its one part is: the first with a changed end is taken, each one after it is not news.
    let mut taken = 0;
    let mut after = before.clone();
    scene.each_flip(&whole, control_end..whole.len(), |which| {
        match scene.phone.take_reply(&scene.path(), &Job::silent()) {
            Ok(reply) => {
                assert_eq!((reply.number, reply.received), (1, 1), "{which}");
                (taken, after) = (taken + 1, state());
            }
            Err(refused) => assert_eq!(refused.code(), Some(Code::StaleReply), "{which}"),
        }
        assert_eq!(state(), after, "{which}");
    });
    assert_eq!(taken, 1);
    assert_ne!(after, before, "the receipt came");
}
