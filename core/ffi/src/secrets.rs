//! The platform's secret store, which an app supplies: it wraps the device's key, so that no file holds it in the clear.

use std::{io, sync::Arc};

use dooryard_core::notebook;

/// What an app's [`Secrets`] throws.
#[derive(Clone, Copy, PartialEq, Eq, Debug, thiserror::Error, uniffi::Error)]
pub enum SecretsError {
    /// The secret is there and cannot be used now, such as before the phone is unlocked.
    #[error("locked")]
    Locked,
    /// The secret is gone for good.
    #[error("gone")]
    Gone,
    /// These bytes were not wrapped by this secret: they were changed, or came from another phone.
    #[error("not wrapped here")]
    Foreign,
    /// Anything else.
    #[error("the secret store failed")]
    Failed,
}

impl SecretsError {
    fn kind(self) -> io::ErrorKind {
        match self {
            Self::Locked => io::ErrorKind::PermissionDenied,
            Self::Gone => io::ErrorKind::NotFound,
            Self::Foreign => io::ErrorKind::InvalidData,
            Self::Failed => io::ErrorKind::Other,
        }
    }

    /// What an app threw, when that is what the core met.
    pub(crate) fn behind(source: &io::Error) -> Option<Self> {
        source.get_ref()?.downcast_ref().copied()
    }
}

impl From<SecretsError> for io::Error {
    fn from(e: SecretsError) -> Self {
        Self::new(e.kind(), e)
    }
}

impl From<uniffi::UnexpectedUniFFICallbackError> for SecretsError {
    fn from(_: uniffi::UnexpectedUniFFICallbackError) -> Self {
        Self::Failed
    }
}

/// A way to protect the device's key that the app supplies, such as a key that the phone's hardware holds. Called on the
/// thread that makes, opens or restores a notebook, and at no other time.
#[uniffi::export(foreign)]
pub trait Secrets: Send + Sync {
    /// Wraps the device's key. Only what is returned is written; it must not hold the key in the clear.
    ///
    /// # Errors
    /// What the store says: nothing is written then.
    fn wrap(&self, key: Vec<u8>) -> Result<Vec<u8>, SecretsError>;

    /// Gives back what `wrap` was given.
    ///
    /// # Errors
    /// What the store says: the file is left as it is.
    fn unwrap(&self, wrapped: Vec<u8>) -> Result<Vec<u8>, SecretsError>;
}

/// An app's secrets as the core asks for them.
pub(crate) struct Supplied(pub(crate) Arc<dyn Secrets>);

impl notebook::Secrets for Supplied {
    fn wrap(&self, key: &[u8]) -> io::Result<Option<Vec<u8>>> {
        let wrapped = self.0.wrap(key.to_vec())?;
        // A store that only passes bytes on would have them written in the clear.
        if key.is_empty() || wrapped.windows(key.len()).any(|part| part == key) {
            return Err(SecretsError::Failed.into());
        }
        Ok(Some(wrapped))
    }

    fn unwrap(&self, wrapped: &[u8]) -> io::Result<Vec<u8>> {
        Ok(self.0.unwrap(wrapped.to_vec())?)
    }
}

#[cfg(test)]
pub(crate) mod tests {
    use std::{fs, path::Path, sync::Mutex};

    use dooryard_core::clock::Env;

    use super::*;
    use crate::{FieldNotebook, NotebookError};

    /// Secrets that turn every bit, or throw.
    #[derive(Default)]
    pub(crate) struct Turned {
        throws: Mutex<Option<SecretsError>>,
    }

    impl Turned {
        fn turn(&self, bytes: Vec<u8>) -> Result<Vec<u8>, SecretsError> {
            self.throws.lock().unwrap().map_or_else(|| Ok(bytes.into_iter().map(|byte| !byte).collect()), Err)
        }

        fn throw(&self, e: Option<SecretsError>) {
            *self.throws.lock().unwrap() = e;
        }
    }

    impl Secrets for Turned {
        fn wrap(&self, key: Vec<u8>) -> Result<Vec<u8>, SecretsError> {
            self.turn(key)
        }

        fn unwrap(&self, wrapped: Vec<u8>) -> Result<Vec<u8>, SecretsError> {
            self.turn(wrapped)
        }
    }

    /// Secrets that pass the key on as it is.
    struct Idle;

    impl Secrets for Idle {
        fn wrap(&self, key: Vec<u8>) -> Result<Vec<u8>, SecretsError> {
            Ok([b"wrapped ".to_vec(), key].concat())
        }

        fn unwrap(&self, wrapped: Vec<u8>) -> Result<Vec<u8>, SecretsError> {
            Ok(wrapped)
        }
    }

    fn key_file(folder: &Path) -> std::path::PathBuf {
        folder.join("local/device.key")
    }

    #[test]
    fn what_the_store_throws_comes_back_as_an_error_of_its_own_and_the_key_file_stays() {
        let dir = tempfile::tempdir().unwrap();
        let (folder, secrets) = (dir.path().join("phone"), Arc::new(Turned::default()));
        let path = folder.display().to_string();
        FieldNotebook::create(path.clone(), secrets.clone()).unwrap().shutdown();
        let kept = fs::read(key_file(&folder)).unwrap();
        for (thrown, error) in [
            (SecretsError::Locked, NotebookError::KeyLocked),
            (SecretsError::Gone, NotebookError::KeyGone),
            (SecretsError::Foreign, NotebookError::KeyForeign),
            (SecretsError::Failed, NotebookError::SecretsFailed),
        ] {
            secrets.throw(Some(thrown));
            assert_eq!(FieldNotebook::open(path.clone(), secrets.clone()).err(), Some(error.clone()));
            let other = dir.path().join("other");
            let made = FieldNotebook::create(other.display().to_string(), secrets.clone());
            assert_eq!(made.err(), Some(error));
            assert!(!key_file(&other).exists());
        }
        assert_eq!(fs::read(key_file(&folder)).unwrap(), kept);
        secrets.throw(None);
        assert!(FieldNotebook::open(path, secrets).is_ok());
    }

    #[test]
    fn a_key_that_would_stand_in_the_clear_is_not_written_and_an_old_plain_one_is_wrapped() {
        let dir = tempfile::tempdir().unwrap();
        let folder = dir.path().join("phone");
        let path = folder.display().to_string();
        let idle = FieldNotebook::create(path.clone(), Arc::new(Idle));
        assert_eq!(idle.err(), Some(NotebookError::SecretsFailed));
        assert!(!key_file(&folder).exists());
        drop(notebook::Notebook::create(&folder, Env::system()).unwrap());
        let plain = fs::read(key_file(&folder)).unwrap();
        assert_eq!(FieldNotebook::open(path.clone(), Arc::new(Idle)).err(), Some(NotebookError::SecretsFailed));
        assert_eq!(fs::read(key_file(&folder)).unwrap(), plain, "left as it was");
        FieldNotebook::open(path, Arc::new(Turned::default())).unwrap();
        let wrapped = fs::read(key_file(&folder)).unwrap();
        assert!(!wrapped.windows(64).any(|part| part == &plain[..64]));
    }
}
