//! What somebody hands in, looked at before anything slow begins.

use std::{
    env, fs,
    path::{Path, PathBuf},
};

use anyhow::{Context, Result, bail, ensure};

use super::{
    apk::{LIBRARY, PROCESSORS},
    ndk,
};
use crate::shell::{command, run_heard};

/// What a library says of its processor: bytes of its head, and the ELF numbers in the order of [`PROCESSORS`].
const HEAD: usize = 20;
const MACHINES: [u16; 3] = [183, 40, 62];

/// What somebody may hand in.
#[derive(clap::Args)]
pub struct Given {
    /// A folder with the core's libraries, one folder for each kind of processor (arm64-v8a, armeabi-v7a, x86_64)
    #[arg(long)]
    pub jni: Option<PathBuf>,
    /// A keystore with one key to sign with; its password stands in SIGN_PASS. Without one a throw-away key signs
    #[arg(long)]
    pub keystore: Option<PathBuf>,
    /// A key of `dooryard pack key` for the pack that comes with the app. Without one a throw-away key signs
    #[arg(long)]
    pub pack_key: Option<PathBuf>,
}

impl Given {
    /// Nothing: no libraries, throw-away keys.
    pub(super) const NOTHING: Self = Self { jni: None, keystore: None, pack_key: None };

    /// The same with whole paths, once each was found to be what it has to be.
    ///
    /// # Errors
    /// Says which one is not, and what it has to be.
    pub(super) fn looked_at(&self) -> Result<Self> {
        let whole = |what: &str, path: &Option<PathBuf>| {
            path.as_ref()
                .map(|p| p.canonicalize().with_context(|| format!("{what}: there is nothing at {}", p.display())))
                .transpose()
        };
        let given = Self {
            jni: whole("--jni", &self.jni)?,
            keystore: whole("--keystore", &self.keystore)?,
            pack_key: whole("--pack-key", &self.pack_key)?,
        };
        match &given.jni {
            Some(jni) => libraries(jni)?,
            None => ndk::looked_at()?,
        }
        if let Some(key) = &given.pack_key {
            ensure!(key.is_file(), "--pack-key: {} is no file; make one with `dooryard pack key`", key.display());
        }
        if let Some(keystore) = &given.keystore {
            ensure!(
                env::var_os("SIGN_PASS").is_some(),
                "--keystore: its password has to stand in the variable SIGN_PASS"
            );
            let (opens, said) = run_heard(
                command("keytool")
                    .args(["-J-Duser.language=en", "-list", "-storepass:env", "SIGN_PASS", "-keystore"])
                    .arg(keystore),
            )?;
            one_key(keystore, opens, &said)?;
        }
        Ok(given)
    }
}

/// Each library is one for the processor that its folder names; says which kinds of phone are left out.
fn libraries(jni: &Path) -> Result<()> {
    let mut without = Vec::new();
    for (processor, machine) in PROCESSORS.into_iter().zip(MACHINES) {
        let library = jni.join(processor).join(LIBRARY);
        if library.is_file() {
            let head = fs::read(&library).with_context(|| library.display().to_string())?;
            for_processor(&head, machine)
                .with_context(|| format!("--jni: {} is no library for {processor}", library.display()))?;
        } else {
            without.push(processor);
        }
    }
    if without.len() == PROCESSORS.len() {
        bail!("--jni: no {LIBRARY} in a folder of {} named {}", jni.display(), PROCESSORS.join(", "));
    }
    if !without.is_empty() {
        println!("no {LIBRARY} for {}: a phone with such a processor cannot start the app", without.join(", "));
    }
    Ok(())
}

fn for_processor(library: &[u8], machine: u16) -> Result<()> {
    let head = library
        .get(..HEAD)
        .filter(|head| head.starts_with(b"\x7fELF"))
        .context("it is not in the form of a library")?;
    let told = u16::from_le_bytes([head[HEAD - 2], head[HEAD - 1]]);
    ensure!(told == machine, "it is for another processor (ELF machine {told}, not {machine})");
    Ok(())
}

/// What keytool says of a keystore that can sign.
fn one_key(keystore: &Path, opens: bool, said: &str) -> Result<()> {
    ensure!(opens, "--keystore: {} does not open with the password in SIGN_PASS", keystore.display());
    let keys = said.matches("PrivateKeyEntry").count();
    ensure!(keys == 1, "--keystore: {} has to hold one key, and holds {keys}", keystore.display());
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn library(machine: u16) -> Vec<u8> {
        let mut head = b"\x7fELF".to_vec();
        head.resize(HEAD - 2, 0);
        head.extend(machine.to_le_bytes());
        head
    }

    /// A folder that goes when it is dropped.
    struct Folder(PathBuf);

    impl Folder {
        fn new(name: &str) -> Self {
            let path = env::temp_dir().join(format!("dooryard-xtask-{name}-{}", std::process::id()));
            fs::create_dir_all(&path).unwrap();
            Self(path)
        }

        fn holds(&self, name: &str, bytes: &[u8]) -> &Self {
            let file = self.0.join(name);
            fs::create_dir_all(file.parent().unwrap()).unwrap();
            fs::write(file, bytes).unwrap();
            self
        }

        fn said(&self) -> String {
            libraries(&self.0).map_or_else(|e| format!("{e:#}"), |()| "well".to_owned())
        }
    }

    impl Drop for Folder {
        fn drop(&mut self) {
            fs::remove_dir_all(&self.0).unwrap();
        }
    }

    #[test]
    fn a_library_is_for_the_processor_that_its_folder_names() {
        let jni = Folder::new("jni");
        assert!(jni.said().contains("no libdooryard_ffi.so in a folder of"), "{}", jni.said());
        jni.holds("arm64-v8a/libdooryard_ffi.so", &library(183));
        assert_eq!(jni.said(), "well");
        jni.holds("armeabi-v7a/libdooryard_ffi.so", &library(40)).holds("x86_64/libdooryard_ffi.so", &library(62));
        assert_eq!(jni.said(), "well");
        jni.holds("x86_64/libdooryard_ffi.so", &library(183));
        assert!(jni.said().contains("no library for x86_64: it is for another processor"), "{}", jni.said());
        jni.holds("x86_64/libdooryard_ffi.so", b"not a library");
        assert!(jni.said().contains("not in the form of a library"), "{}", jni.said());
    }

    #[test]
    fn what_is_not_there_is_named_before_anything_else() {
        let missing = Some(PathBuf::from("/nowhere/at/all"));
        for (given, name) in [
            (Given { jni: missing.clone(), ..Given::NOTHING }, "--jni"),
            (Given { keystore: missing.clone(), ..Given::NOTHING }, "--keystore"),
            (Given { pack_key: missing.clone(), ..Given::NOTHING }, "--pack-key"),
        ] {
            let said = format!("{:#}", given.looked_at().err().unwrap());
            assert!(said.starts_with(&format!("{name}: there is nothing at /nowhere/at/all")), "{said}");
        }
    }

    #[test]
    fn a_keystore_opens_and_holds_one_key() {
        let said =
            |opens, said| format!("{:?}", one_key(Path::new("own.p12"), opens, said).err().map(|e| e.to_string()));
        assert_eq!(said(true, "key, Nov 1, 2026, PrivateKeyEntry,"), "None");
        assert!(said(false, "").contains("does not open with the password"));
        assert!(said(true, "a, PrivateKeyEntry,\nb, PrivateKeyEntry,").contains("holds 2"));
        assert!(said(true, "a, trustedCertEntry,").contains("holds 0"));
    }
}
