//! Who plays in the golden files: an office, its phones and the county next door, all from fixed seeds; and bundles put together by
//! hand where no honest phone would make them.

use std::{
    fs,
    path::{Path, PathBuf},
};

use age::x25519::Identity;
use ciborium::Value;
use dooryard_core::{
    bundle::seal_key_id,
    clock::{Env, SetClock},
    ids::{DeviceId, Hash32, LogId, OfficeId},
    log::{Change, FieldHead, Head, Segment, Slot},
    notebook::{Card, DeviceKeys, Notebook},
    record::Role,
    sign::{Purpose, Signing},
};
use dooryard_office::desk::Office;
use dooryard_tests::{
    MAY_1,
    wire::{self, Outer, TEXT, Text},
};

/// A seeded clock and entropy that stand on 1 May 2026.
pub fn env(seed: u64) -> Env {
    Env::seeded(seed, &SetClock::at(MAY_1))
}

/// A new notebook of a scout in `folder`, certified by `office`.
pub fn phone(folder: &Path, seed: u64, office: &Office, label: &str) -> Notebook {
    let phone = Notebook::create(folder, env(seed)).unwrap();
    phone.enrol(&office.add_device(&phone.enrolment_request(), Role::Scout, label).unwrap()).unwrap();
    phone
}

/// A copy of a notebook's or an office's folder as it is now, without what SQLite keeps beside an open file.
pub fn copy_of(notebook: &Notebook, from: &Path, to: &Path) -> PathBuf {
    notebook.pause().unwrap();
    dooryard_tests::copy_folder(from, to).unwrap();
    for folder in [to.to_owned(), to.join("notebook")] {
        for ending in ["-wal", "-shm"] {
            let _ = fs::remove_file(folder.join(format!("notebook.db{ending}")));
        }
    }
    to.to_owned()
}

/// The key that opens what is sealed to a phone.
pub fn phone_key(folder: &Path) -> Identity {
    DeviceKeys::read(&folder.join("local/device.key")).unwrap().seal
}

/// The key that opens what is sealed to an office.
pub fn office_key(folder: &Path) -> Identity {
    let text = fs::read_to_string(folder.join("office.key")).unwrap();
    let keys: serde_json::Value = serde_json::from_str(&text).unwrap();
    keys["seal"].as_str().unwrap().parse().unwrap()
}

/// One who signs by hand: a device with its certificate, or the office itself for replies.
pub struct Hand {
    pub key: Signing,
    pub office: OfficeId,
    pub cert: Hash32,
    pub log: LogId,
    /// Whom its files are sealed to, and for a reply the device.
    pub recipient: String,
    pub reply_to: Option<DeviceId>,
}

/// A frame: its type and its bytes.
pub type Frame = (u8, Vec<u8>);

impl Hand {
    /// The hand of a phone.
    pub fn of(phone: &Notebook, card: &Card) -> Self {
        let key = DeviceKeys::read(&phone.folder().join("local/device.key")).unwrap().signing;
        let (cert, _) = phone.authority().unwrap().cert_of(&phone.device()).map(|(h, c)| (h, c.clone())).unwrap();
        let (office, recipient) = (card.office(), card.seal.clone());
        Self { key, office, cert, log: phone.own_log(), recipient, reply_to: None }
    }

    /// The office's hand, for replies to a phone.
    pub fn of_office(folder: &Path, card: &Card, to: &Notebook) -> Self {
        let text = fs::read_to_string(folder.join("office.key")).unwrap();
        let keys: serde_json::Value = serde_json::from_str(&text).unwrap();
        let seed: Vec<u8> = (0..32)
            .map(|n| keys["signing"].as_str().unwrap()[2 * n..2 * n + 2].to_owned())
            .map(|h| u8::from_str_radix(&h, 16).unwrap())
            .collect();
        let key = Signing::from_seed(&seed.try_into().unwrap());
        assert_eq!(key.public(), card.key);
        let recipient = phone_key(to.folder()).to_public().to_string();
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

/// The same file, its text opened with one key, changed, and sealed to another.
pub fn resealed(file: &[u8], key: &Identity, recipient: &str, edit: impl FnOnce(&mut Text)) -> Vec<u8> {
    let outer = Outer::read(file).unwrap();
    let mut text = outer.text(key).unwrap();
    edit(&mut text);
    sealed(outer.header, &text, recipient)
}
