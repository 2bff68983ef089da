//! The log of a lost key in a bundle of the new one: taken in as its author closed it, and in no other way.

use super::{
    control::SEGMENT,
    hostile_tests::{Scene, scene},
};
use crate::{
    clock::{Env, SetClock},
    ids::{Hash32, LogId},
    log::{Body, Cert, Segment, Statement},
    notebook::{Notebook, OwnerOnlyFile, Request, write_answer},
    record::{Kind, Role},
    sign::Signing,
};

/// A scene whose phone wrote so many plants, lost its key, and was taken on again; and the log of the lost key.
fn lost(changes: usize) -> (Scene, LogId) {
    let mut scene = scene();
    let log = scene.phone.own_log();
    for _ in 0..changes {
        scene.phone.save(Kind::Plant, None, &serde_json::Map::new()).unwrap();
    }
    let folder = scene.dir.path().join("phone");
    std::fs::remove_file(folder.join("local/device.key")).unwrap();
    let env = Env::seeded(9, &SetClock::at(1_777_636_800_000));
    scene.phone = Notebook::open_with_new_key(&folder, env, &OwnerOnlyFile).unwrap();
    let Request { key, seal } = Request::read(&scene.phone.enrolment_request()).unwrap();
    let cert = Cert { key, seal, role: Role::Scout, label: "Scout".into(), seq: 3 };
    let said = Statement { seq: 3, prev: Hash32::ZERO, body: Body::Cert(cert) };
    let said = [said.sign(&Signing::from_seed(&[2; 32]), &scene.card.office()).0];
    scene.office.take_statements(&said).unwrap();
    scene.phone.enrol(&write_answer(&scene.phone.signed_card().unwrap(), &said)).unwrap();
    (scene, log)
}

fn segments(scene: &Scene, log: &LogId) -> Vec<Segment> {
    let state = scene.phone.own_logs().unwrap().into_iter().find(|state| state.log == *log).unwrap();
    let mut found = scene.phone.former_segments(&state).unwrap();
    // All of it, and not its end alone.
    let whole = scene.phone.segment_after(log, 0).unwrap().unwrap();
    let signature = found.pop().unwrap().signature;
    vec![Segment { signature, ..whole }]
}

fn refused(scene: &Scene, segments: &[&Segment]) {
    let frames: Vec<_> = segments.iter().map(|segment| (SEGMENT, segment.to_cbor())).collect();
    scene.frames(&frames);
    let report = scene.take_unchanged().unwrap();
    assert_eq!((report.new, report.segments_refused.get("BAD_SIGNATURE")), (0, Some(&1)), "{report:?}");
}

#[test]
fn what_the_new_key_altered_or_closed_in_the_old_ones_name_is_refused() {
    let (scene, log) = lost(4);
    let office = scene.card.office();
    let whole = segments(&scene, &log).remove(0);
    let (.., key) = scene.phone.sender().unwrap();
    let mut by_the_new_key = whole.clone();
    by_the_new_key.close(&key, &office, 0);
    refused(&scene, &[&by_the_new_key]);

    let mut changes = whole.changes.clone();
    let head = crate::log::Head { wall_ms: 5, ..changes[1].head.clone() };
    changes[1] = crate::log::Change::new(head, changes[1].slots.clone());
    let mut altered = Segment::new(&office, log, Hash32::ZERO, changes.clone());
    altered.signature.clone_from(&whole.signature);
    refused(&scene, &[&altered]);
    altered.close(&key, &office, 0);
    refused(&scene, &[&altered]);
    // Altered where no signature stands, before an end that is sound.
    let first = Segment::new(&office, log, Hash32::ZERO, changes[..2].to_vec());
    let mut end = Segment::new(&office, log, whole.hashes[1], whole.changes[2..].to_vec());
    end.signature.clone_from(&whole.signature);
    refused(&scene, &[&first, &end]);
    // A shorter log than the one that was signed.
    let mut shorter = Segment::new(&office, log, Hash32::ZERO, whole.changes[..3].to_vec());
    shorter.signature.clone_from(&whole.signature);
    refused(&scene, &[&shorter]);

    scene.frames(&[(SEGMENT, whole.to_cbor())]);
    assert_eq!(scene.take().unwrap().new, 4);
}

#[test]
fn many_segments_wait_for_the_one_signature_of_a_lost_key() {
    let (scene, log) = lost(40);
    let office = scene.card.office();
    let whole = segments(&scene, &log).remove(0);
    let mut before = Hash32::ZERO;
    let mut each: Vec<Segment> = Vec::new();
    for change in &whole.changes {
        each.push(Segment::new(&office, log, before, vec![change.clone()]));
        before = each.last().unwrap().tip();
    }
    each.last_mut().unwrap().signature.clone_from(&whole.signature);
    let frames: Vec<_> = each.iter().map(|segment| (SEGMENT, segment.to_cbor())).collect();
    scene.frames(&frames[..39]);
    let open = scene.take_unchanged().unwrap();
    assert_eq!(open.segments_refused.get("BAD_SIGNATURE"), Some(&39), "nothing closes them");
    scene.frames(&frames);
    let report = scene.take().unwrap();
    assert_eq!((report.new, report.segments_refused.len()), (40, 0), "{report:?}");
}
