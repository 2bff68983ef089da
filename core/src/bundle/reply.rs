//! Making a reply at the office: receipt, statements, and a full snapshot of what one device may hold.

use std::path::Path;

use super::{
    control::{Frames, MANIFEST, RECEIPT, SNAPSHOT, STATEMENT},
    envelope::{Envelope, Sort},
    manifest::Manifest,
    parts::{CONTROL, PartsWriter, header},
    receipt::{Epoch, Level, Receipt},
    seal::seal_key_id,
};
use crate::{
    error::{Code, Error, Result},
    ids::{DeviceId, Hash32},
    notebook::Notebook,
    sign::Signing,
};

/// What a reply holds.
#[derive(Clone, Default, PartialEq, Eq, Debug, serde::Serialize)]
pub struct ReplyMade {
    /// Label of the device it is for.
    pub to: String,
    /// Its number.
    pub number: u64,
    /// Records in its snapshot.
    pub records: u64,
    /// Changes of the device that it says are held.
    pub changes: u64,
    /// Photos and thumbnails of the device that it says are held.
    pub photos: u64,
    /// It also says what of them is safe in a backup off the office's machine.
    pub safe: bool,
    /// Its size in bytes.
    pub bytes: u64,
}

/// Writes the reply for one device. The file appears whole or not at all.
///
/// # Errors
/// `UNKNOWN_DEVICE`; `TOO_BIG` when the snapshot does not fit; of the stores.
pub fn make_reply(notebook: &Notebook, key: &Signing, epoch: Epoch, device: DeviceId, out: &Path) -> Result<ReplyMade> {
    let authority = notebook.authority()?;
    let (_, cert) =
        authority.cert_of(&device).ok_or_else(|| Error::refused(Code::UnknownDevice, format!("device {device}")))?;
    let office = authority.office();
    let number = notebook.next_reply_number(&device)?;
    let mut made = ReplyMade { to: cert.label.clone(), number, ..ReplyMade::default() };

    let mut frames = Frames::new()?;
    let manifest = Manifest {
        made_ms: notebook.env().now_ms(),
        app: concat!("dooryard ", env!("CARGO_PKG_VERSION")).into(),
        ..Manifest::default()
    };
    frames.push(MANIFEST, &manifest.to_cbor())?;
    for signed in notebook.statements_for(&device)? {
        frames.push(STATEMENT, &signed)?;
    }
    // First what is safe: a reader that knows one receipt only goes by the last one.
    made.safe = notebook.has_safe_backup()?;
    if made.safe {
        frames.push(RECEIPT, &receipt(notebook, epoch, &device, Level::Safe)?.sign(key, &office))?;
    }
    let stored = receipt(notebook, epoch, &device, Level::Stored)?;
    made.changes = stored.runs.iter().map(|(_, run)| run.to + 1 - run.from).sum();
    made.photos = stored.blobs.len() as u64;
    frames.push(RECEIPT, &stored.sign(key, &office))?;
    for record in notebook.snapshot_for(&device, cert.role)? {
        let bytes = record.to_cbor();
        if !frames.has_room(bytes.len())? {
            return Err(Error::refused(Code::TooBig, "more records than one reply holds"));
        }
        frames.push(SNAPSHOT, &bytes)?;
        made.records += 1;
    }
    let recipient = cert.seal.as_str();
    let envelope = Envelope {
        sort: Sort::Reply,
        header: header().to_vec(),
        office,
        to_key: seal_key_id(recipient),
        from: key.device(),
        to: device,
        cert: Hash32::ZERO,
        bundle: notebook.env().random(),
        number,
        raw_len: 0,
        packed_len: 0,
        packed_hash: Hash32::ZERO,
        // A first card every phone has from its enrolment.
        ahead: if notebook.card()?.serial > 1 { notebook.signed_card()? } else { Vec::new() },
    };
    let mut writer = PartsWriter::create(out)?;
    writer.part(CONTROL, &frames.seal(envelope, key, &[recipient])?)?;
    made.bytes = writer.finish()?;
    Ok(made)
}

/// What is held of a device at this level.
fn receipt(notebook: &Notebook, epoch: Epoch, device: &DeviceId, level: Level) -> Result<Receipt> {
    Ok(Receipt {
        epoch,
        level,
        runs: notebook.runs_to_receipt(device, level)?,
        blobs: notebook.blobs_held_of(device, level)?,
        without_bodies: notebook.without_bodies(device, level)?,
        waiting: notebook
            .waiting_to_receipt(device)?
            .into_iter()
            .map(|(hash, code)| (hash, Code::from_name(&code).unwrap_or(Code::TooNew)))
            .collect(),
    })
}
