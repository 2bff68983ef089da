//! Sealed bundles of phones that nobody has admitted yet, in `waiting/`: nothing of them is opened further than their envelope,
//! nothing counts, and all together they may not take more than 64 MiB.
//!
//! Their words are held nowhere else, so that no erasure removes them: one that names what was erased is listed for a decision, as
//! in quarantine. Taken in, what was erased stays out.

use std::{
    fs,
    path::{Path, PathBuf},
};

use dooryard_core::{
    Code, Error, Result,
    bundle::{Sender, names_any},
    durable,
    ids::DeviceId,
    job::Job,
    notebook::write_secret,
};
use serde::{Deserialize, Serialize};

use super::{
    Office, Outcome, Standing, Taken,
    kept_files::{hash_of, keep},
};

/// Bytes that may wait in all.
pub const WAITING_LIMIT: u64 = 64 << 20;

/// A sealed bundle that waits for its phone to be admitted.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub struct WaitingFile {
    /// BLAKE3 of the file, in hex: its name here.
    pub id: String,
    /// The phone, in hex.
    pub device: String,
    /// Label of the invitation; empty for a phone that is known already.
    pub label: String,
    /// Why it waits: `UNKNOWN_DEVICE`, or `CODE_USED` when two phones came with one code.
    pub code: String,
    /// Bytes.
    pub bytes: u64,
    /// When it was put here, milliseconds since 1970.
    pub at_ms: u64,
    /// A record stands in it of which something was erased, or it can no longer be read: a person decides whether it is kept.
    #[serde(default)]
    pub holds_erased: bool,
}

impl Office {
    fn waiting_folder(&self) -> PathBuf {
        self.dir.join("waiting")
    }

    /// Keeps a bundle of this sender here when its phone waits for a person or is frozen. `None` when it may be taken in, or
    /// refused, as any other.
    ///
    /// # Errors
    /// `WRONG_CODE`, `EXPIRED`, `WAITING_FULL`; `REFUSED` when it was turned away; of the file system.
    pub(super) fn keep_waiting(&self, sender: &Sender, file: &Path) -> Result<Option<WaitingFile>> {
        let device = sender.device;
        let known = self.notebook.authority()?.cert_of(&device).is_some();
        let label = match &sender.ask {
            Some(ask) if !known => {
                let asked = self.hear(ask)?;
                if asked.standing == Standing::TurnedAway {
                    return Err(Error::refused(Code::RefusedByOffice, "a bundle of a phone that was turned away"));
                }
                asked.label
            }
            _ if self.is_any_frozen()? && self.is_frozen(device)? => String::new(),
            _ => return Ok(None),
        };
        let code = if self.is_frozen(device)? { Code::CodeUsed } else { Code::UnknownDevice };
        self.with_invitations(|| self.put_waiting(file, device, label, code)).map(Some)
    }

    fn put_waiting(&self, file: &Path, device: DeviceId, label: String, code: Code) -> Result<WaitingFile> {
        let what = || Error::io("keeping a bundle that waits");
        let (id, bytes) = hash_of(file).map_err(what())?;
        let folder = self.waiting_folder();
        durable::make_folders(&folder).map_err(what())?;
        let kept = folder.join(format!("{id}.yard"));
        if !kept.exists() {
            let held: u64 = self.all_waiting()?.iter().map(|waiting| waiting.bytes).sum();
            if held + bytes > WAITING_LIMIT {
                let detail = format!("{bytes} bytes; {held} of {WAITING_LIMIT} wait already");
                return Err(Error::refused(Code::WaitingFull, detail));
            }
            keep(file, &folder, &id).map_err(what())?;
        }
        let at_ms = self.notebook.env().now_ms();
        let note = WaitingFile {
            id,
            device: device.to_string(),
            label,
            code: code.name().to_owned(),
            bytes,
            at_ms,
            holds_erased: false,
        };
        let text = serde_json::to_string_pretty(&note).unwrap_or_default();
        write_secret(&folder.join(format!("{}.json", note.id)), text.as_bytes())?;
        Ok(note)
    }

    /// The sealed bundles that wait, in order of time.
    ///
    /// # Errors
    /// Of the file system.
    pub fn waiting(&self) -> Result<Vec<WaitingFile>> {
        let mut found = self.all_waiting()?;
        let erased: Vec<_> = self.notebook.authority()?.erased_records().copied().collect();
        if !erased.is_empty() {
            for waiting in &mut found {
                let file = self.waiting_folder().join(format!("{}.yard", waiting.id));
                waiting.holds_erased = file.is_file() && names_any(&file, &self.opener(), &erased, &[])? != Some(false);
            }
        }
        Ok(found)
    }

    /// The same, not looked through.
    fn all_waiting(&self) -> Result<Vec<WaitingFile>> {
        let what = || Error::io("looking at what waits");
        let mut found: Vec<WaitingFile> = Vec::new();
        let entries = match fs::read_dir(self.waiting_folder()) {
            Err(e) if e.kind() == std::io::ErrorKind::NotFound => return Ok(found),
            other => other.map_err(what())?,
        };
        for entry in entries.flatten().filter(|entry| entry.path().extension().is_some_and(|e| e == "json")) {
            found.extend(serde_json::from_str::<WaitingFile>(&fs::read_to_string(entry.path()).map_err(what())?));
        }
        found.sort_by(|a, b| (a.at_ms, &a.id).cmp(&(b.at_ms, &b.id)));
        Ok(found)
    }

    /// Takes in what waited for a phone that was admitted; what goes through leaves the folder.
    pub(super) fn take_waiting(&self, device: DeviceId, job: &Job) -> Result<Vec<Taken>> {
        let mut taken = Vec::new();
        for waiting in self.all_waiting()?.into_iter().filter(|waiting| waiting.device == device.to_string()) {
            let again = self.take_in(&self.waiting_folder().join(format!("{}.yard", waiting.id)), job)?;
            if again.outcome == Outcome::TakenIn {
                self.remove_waiting(&waiting)?;
            }
            taken.push(again);
        }
        Ok(taken)
    }

    /// Removes what waited for a phone that was turned away.
    pub(super) fn forget_waiting(&self, device: DeviceId) -> Result<()> {
        let of_it = self.all_waiting()?.into_iter().filter(|waiting| waiting.device == device.to_string());
        of_it.into_iter().try_for_each(|waiting| self.remove_waiting(&waiting))
    }

    /// Throws one away that names what was erased: a person decided that it is not wanted. On its phone everything stays.
    ///
    /// # Errors
    /// [`Error::NotFound`], also when nothing that was erased is named in it; of the file system.
    pub fn drop_waiting(&self, id: &str) -> Result<()> {
        let found = self.waiting()?.into_iter().find(|waiting| waiting.id == id && waiting.holds_erased);
        self.remove_waiting(
            &found.ok_or_else(|| Error::NotFound("a bundle of that number with what was erased".into()))?,
        )
    }

    fn remove_waiting(&self, waiting: &WaitingFile) -> Result<()> {
        ["yard", "json"].into_iter().try_for_each(|ending| {
            fs::remove_file(self.waiting_folder().join(format!("{}.{ending}", waiting.id)))
                .map_err(Error::io("emptying what waits"))
        })
    }
}
