//! Room on the disk.

use std::path::Path;

use super::Office;

impl Office {
    /// Bytes free on the disk of the office's folder, and its bytes in all; `None` where the system does not say.
    pub fn disk(&self) -> Option<(u64, u64)> {
        disk_of(&self.dir)
    }
}

#[cfg(unix)]
fn disk_of(folder: &Path) -> Option<(u64, u64)> {
    let about = rustix::fs::statvfs(folder).ok()?;
    Some((about.f_bavail.saturating_mul(about.f_frsize), about.f_blocks.saturating_mul(about.f_frsize)))
}

#[cfg(not(unix))]
fn disk_of(_: &Path) -> Option<(u64, u64)> {
    None
}
