use std::{io, sync::Mutex};

use super::{
    super::identity::{Request, seal_identity, write_answer},
    *,
};
use crate::{
    clock::SetClock,
    log::{Body, Cert, Statement},
    record::{EXISTENCE, Kind},
    sign::Signing,
};

/// A platform whose secret is one byte; without one it fails so.
struct Platform(Mutex<std::result::Result<u8, ErrorKind>>);

impl Platform {
    fn turn(&self, bytes: &[u8]) -> io::Result<Vec<u8>> {
        let secret = (*self.0.lock().unwrap())?;
        Ok(bytes.iter().map(|byte| byte ^ secret).collect())
    }

    fn now(&self, state: std::result::Result<u8, ErrorKind>) {
        *self.0.lock().unwrap() = state;
    }
}

impl Secrets for Platform {
    fn wrap(&self, key: &[u8]) -> io::Result<Option<Vec<u8>>> {
        self.turn(key).map(Some)
    }

    fn unwrap(&self, wrapped: &[u8]) -> io::Result<Vec<u8>> {
        match self.turn(wrapped) {
            Ok(plain) if plain.is_ascii() => Ok(plain),
            Ok(_) => Err(ErrorKind::InvalidData.into()),
            Err(e) => Err(e),
        }
    }
}

/// A platform that would wrap a new key, and fails so to give the old one back.
struct Unwilling(ErrorKind);

impl Secrets for Unwilling {
    fn wrap(&self, key: &[u8]) -> io::Result<Option<Vec<u8>>> {
        Ok(Some(key.to_vec()))
    }

    fn unwrap(&self, _wrapped: &[u8]) -> io::Result<Vec<u8>> {
        Err(self.0.into())
    }
}

fn env(seed: u64) -> Env {
    Env::seeded(seed, &SetClock::at(0))
}

fn names(dir: &Path) -> Vec<String> {
    let local = fs::read_dir(dir.join("local")).unwrap();
    let mut names: Vec<_> = local.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

fn written(dir: &Path, platform: &Platform) -> (Vec<u8>, usize) {
    let book = Notebook::create_with(dir, env(1), platform).unwrap();
    book.save(Kind::Plant, None, &serde_json::Map::new()).unwrap();
    (fs::read(key_file(dir)).unwrap(), book.list(&Default::default()).unwrap().total)
}

#[test]
fn a_new_key_is_made_only_where_the_old_one_is_gone_for_good() {
    let dir = tempfile::tempdir().unwrap();
    let (folder, platform) = (dir.path(), Platform(Mutex::new(Ok(0x5a))));
    let (key, total) = written(folder, &platform);
    let refused = |seed| Notebook::open_with_new_key(folder, env(seed), &platform).err().unwrap();
    assert_eq!(refused(2).code(), Some(Code::Schema), "it can be read");
    for locked in [ErrorKind::PermissionDenied, ErrorKind::Other] {
        let kept = Notebook::open_with_new_key(folder, env(3), &Unwilling(locked)).err().unwrap();
        assert!(matches!(kept, Error::Io { source, .. } if source.kind() == locked));
        assert_eq!(fs::read(key_file(folder)).unwrap(), key, "a key that is only locked stays");
        platform.now(Err(locked));
        assert!(matches!(refused(3), Error::Io { source, .. } if source.kind() == locked));
    }
    // Gone, and the platform makes no new secret either: nothing is left half done.
    platform.now(Err(ErrorKind::NotFound));
    assert!(matches!(refused(4), Error::Io { .. }));
    assert_eq!(
        (fs::read(key_file(folder)).unwrap(), names(folder)),
        (key.clone(), vec!["device.key".into(), "incarnation".into()])
    );
    // Another secret than the one that wrapped it, as after a reset.
    platform.now(Ok(0xa5));
    assert!(Notebook::open_with(folder, env(5), &platform).is_err());
    let book = Notebook::open_with_new_key(folder, env(6), &platform).unwrap();
    assert_eq!(book.list(&Default::default()).unwrap().total, total);
    let log = book.own_log();
    drop(book);
    assert_eq!(names(folder), ["device.key", "device.key.lost-1", "incarnation"]);
    assert_eq!(fs::read(folder.join("local/device.key.lost-1")).unwrap(), key);
    assert_eq!(Notebook::open_with(folder, env(7), &platform).unwrap().own_log(), log);
    assert_eq!(refused(8).code(), Some(Code::Schema));
    // And once more: the files of both stay.
    platform.now(Ok(0xa6));
    Notebook::open_with_new_key(folder, env(9), &platform).unwrap();
    assert_eq!(names(folder), ["device.key", "device.key.lost-1", "device.key.lost-2", "incarnation"]);
}

#[test]
fn a_change_of_keys_that_was_stopped_is_finished_or_undone() {
    let dir = tempfile::tempdir().unwrap();
    let (folder, platform) = (dir.path(), Platform(Mutex::new(Ok(0x5a))));
    let (key, total) = written(folder, &platform);
    // Before the database knew of it: the old key stands.
    fs::copy(key_file(folder), folder.join(NEXT)).unwrap();
    let device = Notebook::open_with(folder, env(2), &platform).unwrap().device();
    assert_eq!(names(folder), ["device.key", "incarnation"]);
    // After: the new one goes into its place, whichever of the two renames was the last.
    platform.now(Ok(0xa5));
    drop(Notebook::open_with_new_key(folder, env(3), &platform).unwrap());
    let lost = folder.join("local/device.key.lost-1");
    for old_stands in [true, false] {
        fs::rename(key_file(folder), folder.join(NEXT)).unwrap();
        if old_stands {
            fs::rename(&lost, key_file(folder)).unwrap();
        }
        let book = Notebook::open_with(folder, env(4), &platform).unwrap();
        assert!(book.device() != device && book.list(&Default::default()).unwrap().total == total);
        assert_eq!(fs::read(&lost).unwrap(), key);
        assert_eq!(names(folder), ["device.key", "device.key.lost-1", "incarnation"]);
    }
}

#[test]
fn the_first_change_of_the_new_log_names_the_last_one_of_the_old() {
    let dir = tempfile::tempdir().unwrap();
    let platform = Platform(Mutex::new(Ok(0x5a)));
    let book = Notebook::create_with(dir.path(), env(1), &platform).unwrap();
    let root = Signing::from_seed(&[1; 32]);
    let seal = seal_identity(&[3; 32]).unwrap().to_public().to_string();
    let (key, name) = (root.public(), "Larkspur".to_owned());
    let card = Card { root: key, key, recovery: seal.clone(), seal, name, serial: 1, former: vec![] };
    let request = Request::read(&book.enrolment_request()).unwrap();
    let cert = Cert { key: request.key, seal: request.seal, role: Role::Scout, label: "Scout 1".into(), seq: 1 };
    let said = Statement { seq: 1, prev: Hash32::ZERO, body: Body::Cert(cert) };
    let said = said.sign(&root, &card.office()).0;
    book.enrol(&write_answer(&card.sign(&root), &[said])).unwrap();
    let plant = book.save(Kind::Plant, None, &serde_json::Map::new()).unwrap();
    let old = book.own_log();
    let tip = book.segment_after(&old, 0).unwrap().unwrap().tip();
    drop(book);
    platform.now(Ok(0xa5));
    let book = Notebook::open_with_new_key(dir.path(), env(2), &platform).unwrap();
    assert!(book.must_enrol_again().unwrap() && book.own_log().incarnation != old.incarnation);
    book.delete(plant).unwrap();
    let first = book.segment_after(&book.own_log(), 0).unwrap().unwrap();
    assert_eq!((first.from(), first.prev), (1, tip));
    assert_eq!(first.changes[0].head.fields[0].field, EXISTENCE);
    assert_eq!(book.segment_after(&old, 0).unwrap().unwrap().tip(), tip, "byte for byte");
}
