//! The device's key file, and what a platform puts around it.
//!
//! ```text
//! plain     "seed in hex\nage identity\n"                 mode 0600: as safe as the folder it stands in
//! wrapped   "dooryard wrapped key 1\n" bytes              only the platform's own secret opens it
//! ```

use std::{fs, io, path::Path, str::FromStr};

use super::identity::{DeviceKeys, write_secret};
use crate::{
    durable,
    error::{Code, Error, Result},
    sign::Signing,
};

/// What a wrapped key file begins with.
const WRAPPED: &[u8] = b"dooryard wrapped key 1\n";

/// A platform's own way to protect the device's key, such as a key that its hardware holds.
///
/// Errors are those of the file system, so that a phone can tell them apart: `PermissionDenied` while the platform's secret is
/// locked (try again when the phone is unlocked), `NotFound` when it is gone for good, `InvalidData` when the bytes are not what
/// it wrapped.
pub trait Secrets: Send + Sync {
    /// Wraps the key. `None` when the platform offers nothing: then the file of mode 0600 is all there is.
    ///
    /// # Errors
    /// Of the platform; nothing is written then.
    fn wrap(&self, key: &[u8]) -> io::Result<Option<Vec<u8>>>;

    /// Gives back what [`Secrets::wrap`] was given.
    ///
    /// # Errors
    /// Of the platform; the file is left as it is.
    fn unwrap(&self, wrapped: &[u8]) -> io::Result<Vec<u8>>;
}

/// No platform secret: the key stands in a file that only its owner can read, and whoever reads the owner's files has it.
#[derive(Clone, Copy, Debug)]
pub struct OwnerOnlyFile;

impl Secrets for OwnerOnlyFile {
    fn wrap(&self, _key: &[u8]) -> io::Result<Option<Vec<u8>>> {
        Ok(None)
    }

    fn unwrap(&self, _wrapped: &[u8]) -> io::Result<Vec<u8>> {
        Err(io::Error::new(io::ErrorKind::NotFound, "the key was wrapped by a platform's secret, and none is here"))
    }
}

impl DeviceKeys {
    /// Writes the keys to a file that only its owner can read, wrapped where the platform offers it. Whole or not at all.
    ///
    /// # Errors
    /// Of the platform, of the file system.
    pub fn write(&self, path: &Path, secrets: &dyn Secrets) -> Result<()> {
        use age::secrecy::ExposeSecret;
        let plain = format!("{}\n{}\n", hex::encode(self.signing.seed()), self.seal.to_string().expose_secret());
        let wrapped = secrets.wrap(plain.as_bytes()).map_err(Error::io("wrapping the device's key"))?;
        let bytes = wrapped.map_or_else(|| plain.into_bytes(), |wrapped| [WRAPPED, &wrapped].concat());
        let temp = path.with_extension("key.new");
        write_secret(&temp, &bytes)?;
        durable::rename(&temp, path).map_err(Error::io("writing a key"))
    }

    /// Reads what [`DeviceKeys::write`] wrote. A plain file is wrapped as soon as the platform offers it.
    ///
    /// # Errors
    /// Of the platform, of the file system; `SCHEMA` when the file is no key.
    pub fn read(path: &Path, secrets: &dyn Secrets) -> Result<Self> {
        let bytes = fs::read(path).map_err(Error::io("reading the device's key"))?;
        if let Some(wrapped) = bytes.strip_prefix(WRAPPED) {
            let plain = secrets.unwrap(wrapped).map_err(Error::io("unwrapping the device's key"))?;
            return Self::from_plain(&plain);
        }
        let keys = Self::from_plain(&bytes)?;
        if secrets.wrap(&bytes).map_err(Error::io("wrapping the device's key"))?.is_some() {
            keys.write(path, secrets)?;
        }
        Ok(keys)
    }

    fn from_plain(plain: &[u8]) -> Result<Self> {
        let wrong = || Error::refused(Code::Schema, "the device's key file");
        let text = std::str::from_utf8(plain).map_err(|_| wrong())?;
        let (seed, seal) = text.trim().split_once('\n').ok_or_else(wrong)?;
        let mut bytes = [0; 32];
        hex::decode_to_slice(seed, &mut bytes).map_err(|_| wrong())?;
        Ok(Self {
            signing: Signing::from_seed(&bytes),
            seal: age::x25519::Identity::from_str(seal).map_err(|_| wrong())?,
        })
    }
}

#[cfg(test)]
mod tests {
    use std::sync::atomic::{AtomicBool, Ordering};

    use super::*;
    use crate::{
        clock::{Env, SetClock},
        notebook::Notebook,
    };

    /// A platform whose secret is one byte, and which can be locked.
    #[derive(Default)]
    struct Platform {
        locked: AtomicBool,
    }

    impl Platform {
        fn turn(&self, bytes: &[u8]) -> io::Result<Vec<u8>> {
            if self.locked.load(Ordering::SeqCst) {
                return Err(io::Error::from(io::ErrorKind::PermissionDenied));
            }
            Ok(bytes.iter().map(|byte| byte ^ 0x5a).collect())
        }
    }

    impl Secrets for Platform {
        fn wrap(&self, key: &[u8]) -> io::Result<Option<Vec<u8>>> {
            self.turn(key).map(Some)
        }

        fn unwrap(&self, wrapped: &[u8]) -> io::Result<Vec<u8>> {
            self.turn(wrapped)
        }
    }

    fn env() -> Env {
        Env::seeded(7, &SetClock::at(0))
    }

    fn kind(e: &Error) -> Option<io::ErrorKind> {
        if let Error::Io { source, .. } = e { Some(source.kind()) } else { None }
    }

    #[test]
    fn a_wrapped_key_is_nowhere_in_its_file_and_opens_with_the_platform_alone() {
        let dir = tempfile::tempdir().unwrap();
        let (folder, platform) = (dir.path().join("phone"), Platform::default());
        let made = Notebook::create_with(&folder, env(), &platform).unwrap();
        let (request, path) = (made.enrolment_request(), folder.join("local/device.key"));
        drop(made);
        let file = fs::read(&path).unwrap();
        let keys = DeviceKeys::read(&path, &platform).unwrap();
        let seed = hex::encode(keys.signing.seed());
        assert!(!file.windows(seed.len()).any(|w| w == seed.as_bytes()), "the seed stands in the file");
        assert_eq!(Notebook::open_with(&folder, env(), &platform).unwrap().enrolment_request(), request);

        assert_eq!(Notebook::open(&folder, env()).err().as_ref().and_then(kind), Some(io::ErrorKind::NotFound));
        platform.locked.store(true, Ordering::SeqCst);
        let locked = Notebook::open_with(&folder, env(), &platform).err();
        assert_eq!(locked.as_ref().and_then(kind), Some(io::ErrorKind::PermissionDenied));
        assert!(Notebook::create_with(&dir.path().join("other"), env(), &platform).is_err());
        assert!(!dir.path().join("other/local/device.key").exists(), "no key is left unwrapped");
        assert_eq!(fs::read(&path).unwrap(), file, "a failure leaves the file as it is");
        platform.locked.store(false, Ordering::SeqCst);
        let mut damaged = file.clone();
        damaged.truncate(file.len() - 9);
        fs::write(&path, &damaged).unwrap();
        let refused = Notebook::open_with(&folder, env(), &platform).err().unwrap();
        assert_eq!(refused.code(), Some(Code::Schema));
    }

    #[test]
    fn a_plain_key_is_the_same_from_the_same_seed_stands_in_a_file_of_its_owner_and_is_wrapped_later() {
        let dir = tempfile::tempdir().unwrap();
        let (a, b) = (DeviceKeys::new(&env()).unwrap(), DeviceKeys::new(&env()).unwrap());
        assert_eq!(a.request(), b.request());
        let path = dir.path().join("device.key");
        let mode = || std::os::unix::fs::PermissionsExt::mode(&fs::metadata(&path).unwrap().permissions()) & 0o777;
        a.write(&path, &OwnerOnlyFile).unwrap();
        assert_eq!(DeviceKeys::read(&path, &OwnerOnlyFile).unwrap().request(), a.request());
        assert_eq!(mode(), 0o600);
        assert!(fs::read(&path).unwrap().starts_with(hex::encode(a.signing.seed()).as_bytes()), "as it always was");
        let platform = Platform::default();
        assert_eq!(DeviceKeys::read(&path, &platform).unwrap().request(), a.request());
        assert!(fs::read(&path).unwrap().starts_with(WRAPPED));
        assert_eq!(mode(), 0o600);
        assert_eq!(DeviceKeys::read(&path, &platform).unwrap().request(), a.request());
    }
}
