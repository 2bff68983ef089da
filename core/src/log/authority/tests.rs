//! Verdicts, decisions, erasures, clocks and keys of an office log.

use super::*;
use crate::{log::FieldHead, sign::Signing};

fn said(bodies: &[Body]) -> (Authority, Vec<Hash32>) {
    let key = Signing::from_seed(&[1; 32]);
    let office = OfficeId([1; 16]);
    let mut authority = Authority::new(office, key.public());
    let mut hashes = Vec::new();
    for (seq, body) in (1..).zip(bodies) {
        let (bytes, hash) = Statement { seq, prev: Hash32::ZERO, body: body.clone() }.sign(&key, &office);
        authority.take(&bytes).unwrap();
        hashes.push(hash);
    }
    (authority, hashes)
}

fn cert(role: Role) -> (Body, LogId) {
    let key = Signing::from_seed(&[2; 32]);
    let log = LogId { device: key.device(), incarnation: 1 };
    (Body::Cert(Cert { key: key.public(), seal: String::new(), role, label: "Scout 1".into(), seq: 1 }), log)
}

fn head(cert: Hash32, rtype: Kind, field: u32, preds: Vec<Hash32>) -> Head {
    Head {
        rtype: rtype.id(),
        seq: 1,
        wall_ms: 0,
        generation: 0,
        kind: 0,
        rec: RecordId([1; 16]),
        cert,
        form_ver: 1,
        fields: vec![FieldHead { field, preds }],
        crit: None,
        ext: None,
    }
}

#[test]
fn a_change_counts_by_certificate_role_and_named_decision_only() {
    let (body, log) = cert(Role::Scout);
    let h = Hash32([7; 32]);
    let rec = RecordId([1; 16]);
    let (authority, hashes) = said(std::slice::from_ref(&body));
    let good = head(hashes[0], Kind::Inquiry, 102, vec![]);
    assert_eq!(authority.verdict(&log, &good, &h, None), None);
    let of = |h2: Head| authority.verdict(&log, &h2, &h, None);
    assert_eq!(of(head(Hash32([9; 32]), Kind::Inquiry, 102, vec![])), Some(Code::UnknownDevice));
    assert_eq!(of(head(hashes[0], Kind::Inquiry, 110, vec![])), Some(Code::ForbiddenField), "status is the office's");
    assert_eq!(of(head(hashes[0], Kind::Contact, 102, vec![])), Some(Code::ForbiddenField), "a field of another kind");
    assert_eq!(
        of(head(hashes[0], Kind::Custody, 1005, vec![h])),
        Some(Code::ForbiddenField),
        "custody is written once"
    );
    assert_eq!(of(Head { generation: 1, ..good.clone() }), Some(Code::Gap));
    assert_eq!(of(Head { crit: Some(vec![0x81, 1]), ..good.clone() }), Some(Code::TooNew));
    assert_eq!(of(Head { kind: 1, ..good.clone() }), Some(Code::ForbiddenField));
    let stranger = LogId { device: DeviceId([9; 16]), incarnation: 1 };
    assert_eq!(authority.verdict(&stranger, &good, &h, None), Some(Code::UnknownDevice));
    assert_eq!(authority.verdict(&log, &good, &h, Some(&HashSet::new())), Some(Code::Revoked));

    let (authority, hashes) = said(&[body, Body::Refuse { rec, change: h }, Body::Admit { rec, change: h }]);
    let forbidden = head(hashes[0], Kind::Inquiry, 110, vec![]);
    assert_eq!(authority.verdict(&log, &forbidden, &h, None), None, "the later word wins");
}

#[test]
fn a_change_without_a_certificate_counts_by_the_first_one_that_its_device_was_given() {
    let ((scout, log), (lead, _)) = (cert(Role::Scout), cert(Role::Lead));
    let h = Hash32([7; 32]);
    let change = head(Hash32::ZERO, Kind::Inquiry, 102, vec![]);
    let (none, _) = said(&[]);
    assert_eq!(none.verdict(&log, &change, &h, None), Some(Code::UnknownDevice), "nothing counts before");
    let (authority, _) = said(&[scout, lead]);
    assert_eq!(authority.verdict(&log, &change, &h, None), None);
    assert_eq!(authority.cert_named(&log.device, &Hash32::ZERO).unwrap().role, Role::Scout);
    let mut phone = none;
    let Body::Cert(expected) = cert(Role::Lead).0 else { unreachable!() };
    phone.expect(expected);
    assert_eq!(phone.verdict(&log, &change, &h, None), None, "the phone itself shows what it wrote");
    let stranger = LogId { device: DeviceId([9; 16]), incarnation: 1 };
    assert_eq!(phone.verdict(&stranger, &change, &h, None), Some(Code::UnknownDevice));
}

#[test]
fn a_former_key_is_heard_up_to_its_last_place_and_not_a_place_further() {
    let (old, new) = (Signing::from_seed(&[1; 32]), Signing::from_seed(&[3; 32]));
    let office = OfficeId([1; 16]);
    let rec = RecordId([1; 16]);
    let say = |key: &Signing, seq| {
        let body = Body::Refuse { rec, change: Hash32([7; 32]) };
        Statement { seq, prev: Hash32::ZERO, body }.sign(key, &office).0
    };
    let mut authority = Authority::new(office, old.public());
    authority.take(&say(&old, 5)).unwrap();
    assert!(authority.take(&say(&new, 6)).is_err());
    authority.follow(new.public(), &[FormerKey { key: old.public(), last: 5 }]);
    authority.take(&say(&old, 5)).unwrap();
    authority.take(&say(&new, 6)).unwrap();
    assert!(authority.take(&say(&old, 6)).is_err(), "a key that leaked later says nothing new");
    assert!(authority.take(&say(&new, 5)).is_err(), "nor does the new key say anything in the past");
}

#[test]
fn erasure_covers_what_was_written_without_knowing_it_and_clocks_are_corrected_by_the_latest_verdict() {
    let rec = RecordId([1; 16]);
    let log = LogId { device: DeviceId([2; 16]), incarnation: 1 };
    let (authority, _) = said(&[
        Body::Erase { rec, fields: vec![], generation: 1, blobs: vec![] },
        Body::Erase { rec, fields: vec![204], generation: 2, blobs: vec![] },
        Body::Clock { log, from: 1, to: 9, skew_ms: 100 },
        Body::Clock { log, from: 5, to: 9, skew_ms: -50 },
    ]);
    assert!(authority.is_erased(&rec, 201, 0) && !authority.is_erased(&rec, 201, 1));
    assert!(authority.is_erased(&rec, 204, 1) && !authority.is_erased(&rec, 204, 2));
    assert!(!authority.is_erased(&rec, EXISTENCE, 0) && !authority.is_erased(&RecordId([3; 16]), 201, 0));
    assert_eq!([1, 5, 10].map(|seq| authority.corrected(&log, seq, 1_000)), [900, 1_050, 1_000]);
}
