//! The devices of an office.

use dooryard_core::{
    Result,
    ids::DeviceId,
    log::{Body, Cert},
    notebook::{Request, write_answer},
    record::Role,
};
use serde::Serialize;

use super::Office;

/// One device.
#[derive(Clone, PartialEq, Eq, Debug, Serialize)]
pub struct DeviceRow {
    /// Its id, in hex.
    pub device: String,
    /// What people call it.
    pub label: String,
    /// Its role.
    pub role: String,
    /// Whether it was cut off.
    pub revoked: bool,
}

/// What is held of a device.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize)]
pub struct DeviceHeld {
    /// Logs of it: more than one after a restore.
    pub logs: u64,
    /// Changes held.
    pub changes: u64,
    /// Changes held that do not count yet.
    pub waiting: u64,
}

impl Office {
    /// Certifies a device by the request that it made; returns the answer file for it. Asking again renews.
    ///
    /// # Errors
    /// `SCHEMA` or `BAD_SIGNATURE` when it is no request; of the stores.
    pub fn add_device(&self, request: &[u8], role: Role, label: &str) -> Result<Vec<u8>> {
        let request = Request::read(request)?;
        let Request { key, seal } = request;
        let signed = self.say(|seq| Body::Cert(Cert { key, seal, role, label: label.to_owned(), seq }))?;
        Ok(write_answer(&self.keys.signed_card, &[signed]))
    }

    /// Every device, in order of labels.
    ///
    /// # Errors
    /// Of the stores.
    pub fn devices(&self) -> Result<Vec<DeviceRow>> {
        let authority = self.notebook.authority()?;
        let mut rows = Vec::new();
        for (device, cert) in authority.devices() {
            rows.push(DeviceRow {
                device: device.to_string(),
                label: cert.label.clone(),
                role: cert.role.name().to_owned(),
                revoked: authority.cut_off(&device).is_some(),
            });
        }
        rows.sort_by(|a, b| (&a.label, &a.device).cmp(&(&b.label, &b.device)));
        Ok(rows)
    }

    /// What is held of a device: goes over every change of it.
    ///
    /// # Errors
    /// Of the stores.
    pub fn held_of(&self, device: &DeviceId) -> Result<DeviceHeld> {
        let mut logs: Vec<_> = self.notebook.runs_of(device)?.into_iter().map(|(log, _)| log).collect();
        logs.dedup();
        let (changes, waiting) = self.notebook.count_of(device)?;
        Ok(DeviceHeld { logs: logs.len() as u64, changes, waiting })
    }

    /// The device with this id or label; of two with one label the one that was not cut off.
    ///
    /// # Errors
    /// [`dooryard_core::Error::NotFound`].
    pub fn device(&self, label_or_id: &str) -> Result<DeviceId> {
        let fits = |row: &DeviceRow| row.label == label_or_id || row.device == label_or_id;
        let row = self.devices()?.into_iter().filter(fits).min_by_key(|row| row.revoked);
        row.ok_or_else(|| dooryard_core::Error::NotFound(format!("a device called {label_or_id}")))?.device.parse()
    }
}
