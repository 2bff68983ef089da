//! Bundles and replies put together by hand, where no honest phone or office would make them: properly signed and sealed, of any
//! frames.
#![allow(clippy::unwrap_used, reason = "for tests")]

use std::{fs, path::Path};

use ciborium::Value;
use dooryard_core::{
    bundle::seal_key_id,
    ids::{DeviceId, Hash32, LogId, OfficeId},
    log::{Change, FieldHead, Head, Segment, Slot},
    notebook::{Card, DeviceKeys, Notebook, OwnerOnlyFile},
    sign::{Purpose, Signing},
};

use crate::{
    MAY_1,
    wire::{self, Outer, TEXT, Text},
};

/// One who signs by hand: a device with its certificate, or the office itself for replies.
pub struct Hand {
    /// Its signing key.
    pub key: Signing,
    /// The office.
    pub office: OfficeId,
    /// Its certificate.
    pub cert: Hash32,
    /// Its log.
    pub log: LogId,
    /// Whom its files are sealed to, and for a reply the device.
    pub recipient: String,
    /// The device that its replies are for; none for a device.
    pub reply_to: Option<DeviceId>,
}

/// A frame: its type and its bytes.
pub type Frame = (u8, Vec<u8>);

impl Hand {
    /// The hand of a phone.
    pub fn of(phone: &Notebook, card: &Card) -> Self {
        let key = DeviceKeys::read(&phone.folder().join("local/device.key"), &OwnerOnlyFile).unwrap().signing;
        let (cert, _) = phone.authority().unwrap().cert_of(&phone.device()).map(|(h, c)| (h, c.clone())).unwrap();
        let (office, recipient) = (card.office(), card.seal.clone());
        Self { key, office, cert, log: phone.own_log(), recipient, reply_to: None }
    }

    /// The office's hand, for replies to a phone.
    pub fn of_office(folder: &Path, card: &Card, to: &Notebook) -> Self {
        let text = fs::read_to_string(folder.join("office.key")).unwrap();
        let keys: serde_json::Value = serde_json::from_str(&text).unwrap();
        let seed: [u8; 32] = hex::decode(keys["signing"].as_str().unwrap()).unwrap().try_into().unwrap();
        let key = Signing::from_seed(&seed);
        assert_eq!(key.public(), card.key);
        let keys = DeviceKeys::read(&to.folder().join("local/device.key"), &OwnerOnlyFile).unwrap();
        let recipient = keys.seal.to_public().to_string();
        Self {
            key,
            office: card.office(),
            cert: Hash32::ZERO,
            log: to.own_log(),
            recipient,
            reply_to: Some(to.device()),
        }
    }

    /// A file of these frames, packed, signed and sealed as they should be.
    pub fn file(&self, frames: &[Frame]) -> Vec<u8> {
        let raw = wire::raw_frames(frames);
        self.file_of(&zstd::encode_all(&raw[..], 3).unwrap(), raw.len() as u64)
    }

    /// A file of these packed bytes, which declares that they unpack to so many.
    pub fn file_of(&self, packed: &[u8], raw_len: u64) -> Vec<u8> {
        let header = [b"\x89YRD\r\n\x1a\n", &[1, 0, 0, 0][..]].concat();
        let bytes = |bytes: &[u8]| Value::Bytes(bytes.to_vec());
        let (from, reply) = (self.key.device(), self.reply_to.is_some());
        let envelope = Value::Array(vec![
            u8::from(reply).into(),
            bytes(&header),
            bytes(&self.office.0),
            Value::Text(seal_key_id(&self.recipient)),
            bytes(&from.0),
            bytes(&self.reply_to.unwrap_or(from).0),
            bytes(&self.cert.0),
            bytes(&[7; 16]),
            // Far above every number that the office gives: nothing made by hand is stale.
            if reply { 99 } else { 0 }.into(),
            raw_len.into(),
            (packed.len() as u64).into(),
            bytes(blake3::hash(packed).as_bytes()),
        ]);
        let envelope = self.key.sign(Purpose::Envelope, &self.office, &wire::cbor(&envelope).unwrap());
        sealed(header, &Text { envelope, packed: packed.to_vec() }, &self.recipient)
    }

    /// The manifest of a bundle with these places of its log, as a frame.
    pub fn manifest(&self, from: u64, to: u64) -> Frame {
        let log = vec![Value::Bytes(self.log.to_bytes().to_vec()), from.into(), to.into(), to.into()];
        let manifest = Value::Array(vec![
            MAY_1.into(),
            Value::Text("dooryard, by hand".into()),
            Value::Bytes(vec![]),
            Value::Array(vec![Value::Array(log)]),
            Value::Array(vec![]),
        ]);
        (1, wire::cbor(&manifest).unwrap())
    }

    /// A bundle of one change of its own, the first of its log, which sets one field of a new inquiry.
    pub fn one_change(&self, field: u32, edit: impl FnOnce(&mut Head)) -> Vec<u8> {
        let mut head = Head {
            rtype: 1,
            seq: 1,
            wall_ms: MAY_1,
            generation: 0,
            kind: 0,
            rec: dooryard_core::ids::RecordId::new(MAY_1, [field as u8; 10]),
            cert: self.cert,
            form_ver: 1,
            fields: vec![FieldHead { field, preds: vec![] }],
            crit: None,
            ext: None,
        };
        edit(&mut head);
        let change = Change::new(head, vec![Slot::Body { salt: [7; 16], value: vec![0x01] }]);
        let mut segment = Segment::new(&self.office, self.log, Hash32::ZERO, vec![change]);
        segment.close(&self.key, &self.office, 0);
        self.file(&[self.manifest(1, 1), (2, segment.to_cbor())])
    }
}

/// A file with this text alone.
pub fn sealed(header: Vec<u8>, text: &Text, recipient: &str) -> Vec<u8> {
    let part = wire::seal(&text.write(), &[recipient]).unwrap();
    Outer { header, parts: vec![(TEXT, part)] }.write()
}
