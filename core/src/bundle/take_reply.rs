//! Taking a reply on a phone: statements always, then receipt and snapshot in one transaction.

use std::path::Path;

use super::{
    control::{FrameReader, RECEIPT, SNAPSHOT, STATEMENT, read_envelope, read_packed},
    envelope::{Envelope, Sort},
    parts::PartsReader,
    receipt::{Level, Receipt},
    seal::Opener,
};
use crate::{
    error::{Code, Error, Result},
    job::Job,
    notebook::{Notebook, SnapshotRow},
};

/// What a reply brought.
#[derive(Clone, Default, PartialEq, Eq, Debug, serde::Serialize)]
pub struct ReplyTaken {
    /// Its number.
    pub number: u64,
    /// Records that the office shows this device.
    pub records: u64,
    /// Own changes that the office holds for certain.
    pub received: u64,
    /// Own photos and thumbnails that the office holds.
    pub photos_received: u64,
    /// Own changes that wait at the office, by code.
    pub waiting: Vec<(String, String)>,
    /// The office knows changes of this device that are not here: the notebook was restored. Nothing is lost; it goes on
    /// under a new incarnation and offers everything unproven again.
    pub restored: bool,
}

impl Notebook {
    /// Takes a reply of the office.
    ///
    /// # Errors
    /// `NOT_FOR_US`, `BAD_SIGNATURE`, `CUT`, `PART_HASH`, `BOMB`, `SCHEMA`: nothing is changed. `STALE_REPLY`: older than
    /// the one already taken; only its erasures were applied.
    pub fn take_reply(&self, file: &Path, job: &Job) -> Result<ReplyTaken> {
        let mut parts = PartsReader::open(file)?;
        let header = parts.header;
        let (_, sealed) = parts.control("the reply")?;
        let mut plain = self.opener().open(sealed)?;
        let signed = read_envelope(&mut plain)?;
        let claimed = Envelope::unchecked(&signed)?;
        let card = if claimed.ahead.is_empty() { self.card()? } else { self.newer_card(&claimed.ahead)? };
        let envelope = Envelope::verify(&signed, &card.office(), &card.key)?;
        if envelope.sort != Sort::Reply || envelope.to != self.device() {
            return Err(Error::refused(Code::NotForUs, "a reply for another device"));
        }
        if envelope.header != header {
            return Err(Error::refused(Code::BadSignature, "another file header than was signed"));
        }
        let packed = read_packed(&mut plain, &envelope)?;
        job.step(1, 3)?;

        let (mut statements, mut receipt, mut safe, mut snapshot) = (Vec::new(), None, None, Vec::new());
        let mut frames = FrameReader::new(&packed, envelope.raw_len)?;
        while let Some((kind, bytes)) = frames.next()? {
            match kind {
                STATEMENT => statements.push(bytes),
                RECEIPT => {
                    let read = Receipt::verify(&bytes, &card.office(), &card.key)?;
                    let place = if read.level == Level::Safe { &mut safe } else { &mut receipt };
                    *place = Some((read, bytes));
                }
                SNAPSHOT => snapshot.push(SnapshotRow::from_cbor(&bytes)?),
                _ => {}
            }
        }
        let (receipt, signed_receipt) = receipt.ok_or_else(|| Error::refused(Code::Schema, "no receipt"))?;
        let safe = safe.filter(|(safe, _)| safe.epoch == receipt.epoch).map(|(_, signed)| signed);
        if !envelope.ahead.is_empty() {
            self.follow_card(&envelope.ahead)?;
        }
        // Erasures hold whatever the age of the reply that brings them.
        self.take_statements(&statements)?;
        job.step(2, 3)?;
        let receipts = (&receipt, &signed_receipt[..]);
        let taken = self.take_snapshot(envelope.number, receipts, safe.as_deref(), &statements, &snapshot)?;
        job.step(3, 3)?;
        Ok(taken)
    }

    /// Whether a file in the form of bundles is a reply for this device. Its signature is looked at where it is taken.
    ///
    /// # Errors
    /// `NOT_FOR_US` when it is sealed to another; `BAD_MAGIC`, `TOO_NEW`, `TOO_BIG`, `CUT`, `PART_HASH`, `SCHEMA`; of the file
    /// system.
    pub fn is_reply(&self, file: &Path) -> Result<bool> {
        let (_, sealed) = PartsReader::open(file)?.control("its first part")?;
        let mut plain = self.opener().open(sealed)?;
        let claimed = Envelope::unchecked(&read_envelope(&mut plain)?)?;
        Ok(claimed.sort == Sort::Reply && claimed.to == self.device())
    }

    pub(crate) fn opener(&self) -> Opener {
        Opener::of(&self.seal_key())
    }
}
