//! What was said in a transaction that a full disk refused is forgotten in memory too, not at the next opening only.
#![allow(clippy::unwrap_used, reason = "a test")]

use dooryard_core::{Code, clock::Env, notebook::Notebook};
use dooryard_office::desk::Office;
use dooryard_tests::{
    Yard, copy_folder,
    sim::disk::{self, Failing},
};

#[test]
fn a_revocation_that_a_full_disk_refused_cuts_nothing_off_and_goes_through_afterwards() {
    disk::begin().unwrap();
    let yard = Yard::new(61, 2).unwrap();
    yard.office.notebook().pause().unwrap();
    let device = yard.phones[0].device();
    let mut refused = 0;
    for after in 0.. {
        let folder = yard.dir.path().join(format!("copy-{after}"));
        copy_folder(yard.office.folder(), &folder).unwrap();
        let office = Office::open(&folder, Env::seeded(62 + after, &yard.clock)).unwrap();
        let before = office.notebook().authority().unwrap().newest();
        disk::fails(&folder, Failing::Full, after, 0);
        let revoked = office.revoke(device);
        disk::works();
        let Err(e) = revoked else {
            assert!(office.notebook().authority().unwrap().cut_off(&device).is_some());
            break;
        };
        assert_eq!(e.code(), Some(Code::NoSpace), "{e}");
        // What memory says is what a second opening reads from the disk.
        let beside = Notebook::open(&folder.join("notebook"), Env::seeded(63, &yard.clock)).unwrap();
        let on_disk = beside.authority().unwrap();
        drop(beside);
        let in_memory = office.notebook().authority().unwrap();
        assert_eq!(in_memory.newest(), on_disk.newest(), "full after {after} writes");
        assert_eq!(in_memory.cut_off(&device), on_disk.cut_off(&device), "full after {after} writes");
        refused += u64::from(on_disk.newest() == before);
        office.revoke(device).unwrap();
        assert!(office.notebook().authority().unwrap().cut_off(&device).is_some());
    }
    assert!(refused > 0, "the disk never refused the statement itself");
}
