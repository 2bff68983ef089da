//! An office's secret keys: root, signing, sealing, recovery. One file of mode 0600; the root and recovery keys belong in a
//! drawer once enrolment beyond files is in use.

use std::{fs, path::Path, str::FromStr};

use age::{secrecy::ExposeSecret, x25519::Identity};
use dooryard_core::{
    Code, Error, Result,
    bundle::Epoch,
    clock::Env,
    notebook::{Card, seal_identity, write_secret},
    sign::Signing,
};
use serde::{Deserialize, Serialize};

pub(super) const KEYS: &str = "office.key";
pub(super) const CARD: &str = "office.card";

pub(super) struct OfficeKeys {
    pub(super) signing: Signing,
    pub(super) seal: Identity,
    pub(super) recovery: Identity,
    pub(super) card: Card,
    pub(super) signed_card: Vec<u8>,
}

#[derive(Serialize, Deserialize)]
struct KeyFile {
    root: String,
    signing: String,
    seal: String,
    recovery: String,
    epoch: u64,
    epoch_random: String,
}

impl OfficeKeys {
    pub(super) fn create(dir: &Path, name: &str, env: &Env) -> Result<Self> {
        if dir.join(KEYS).exists() {
            return Err(Error::refused(Code::Schema, "there is an office in this folder already"));
        }
        let (root, signing) = (Signing::from_seed(&env.random()), Signing::from_seed(&env.random()));
        let (seal, recovery) = (seal_identity(&env.random())?, seal_identity(&env.random())?);
        let epoch = Epoch { n: 1, random: env.random() };
        let file = KeyFile {
            root: hex(&root.seed()),
            signing: hex(&signing.seed()),
            seal: seal.to_string().expose_secret().to_owned(),
            recovery: recovery.to_string().expose_secret().to_owned(),
            epoch: epoch.n,
            epoch_random: hex(&epoch.random),
        };
        let card = Card {
            root: root.public(),
            key: signing.public(),
            seal: seal.to_public().to_string(),
            recovery: recovery.to_public().to_string(),
            name: name.to_owned(),
        };
        let signed_card = card.sign(&root);
        let text = serde_json::to_string_pretty(&file).map_err(|_| wrong())?;
        fs::write(dir.join(CARD), &signed_card).map_err(Error::io("writing the office's card"))?;
        put(dir, &text)?;
        Ok(Self { signing, seal, recovery, card, signed_card })
    }

    pub(super) fn read(dir: &Path) -> Result<Self> {
        let signed_card = fs::read(dir.join(CARD)).map_err(Error::io("reading the office's card"));
        Self::of(&KeyFile::read(dir)?, signed_card?)
    }

    /// The keys in the text of a key file, with the card that belongs to them.
    pub(super) fn from_text(text: &str, signed_card: Vec<u8>) -> Result<Self> {
        Self::of(&serde_json::from_str(text).map_err(|_| wrong())?, signed_card)
    }

    fn of(file: &KeyFile, signed_card: Vec<u8>) -> Result<Self> {
        Ok(Self {
            signing: Signing::from_seed(&unhex(&file.signing)?),
            seal: Identity::from_str(&file.seal).map_err(|_| wrong())?,
            recovery: Identity::from_str(&file.recovery).map_err(|_| wrong())?,
            card: Card::read(&signed_card)?,
            signed_card,
        })
    }

    /// Whether these are the keys that the card names.
    pub(super) fn fit_card(&self) -> bool {
        self.signing.public() == self.card.key
            && self.seal.to_public().to_string() == self.card.seal
            && self.recovery.to_public().to_string() == self.card.recovery
    }
}

impl KeyFile {
    fn read(dir: &Path) -> Result<Self> {
        let text = match fs::read_to_string(dir.join(KEYS)) {
            Err(e) if e.kind() == std::io::ErrorKind::NotFound => {
                return Err(Error::NotFound("an office in this folder".into()));
            }
            other => other.map_err(Error::io("reading the office's keys"))?,
        };
        serde_json::from_str(&text).map_err(|_| wrong())
    }
}

/// The life that the office is in, as it stands on disk: another process may have begun a new one.
pub(super) fn epoch(dir: &Path) -> Result<Epoch> {
    let file = KeyFile::read(dir)?;
    Ok(Epoch { n: file.epoch, random: unhex(&file.epoch_random)? })
}

/// Begins a new life, numbered above this one and above `seen`.
pub(super) fn begin_epoch(dir: &Path, seen: u64, env: &Env) -> Result<Epoch> {
    let mut file = KeyFile::read(dir)?;
    let epoch = Epoch { n: file.epoch.max(seen) + 1, random: env.random() };
    (file.epoch, file.epoch_random) = (epoch.n, hex(&epoch.random));
    put(dir, &serde_json::to_string_pretty(&file).map_err(|_| wrong())?)?;
    Ok(epoch)
}

/// Writes the key file; it is there whole or as it was.
pub(super) fn put(dir: &Path, text: &str) -> Result<()> {
    let new = dir.join(format!("{KEYS}.new"));
    write_secret(&new, text.as_bytes())?;
    let what = || Error::io("writing the office's keys");
    fs::rename(&new, dir.join(KEYS)).map_err(what())?;
    fs::File::open(dir).and_then(|folder| folder.sync_all()).map_err(what())
}

fn wrong() -> Error {
    Error::refused(Code::Schema, "the office's key file")
}

fn hex(bytes: &[u8]) -> String {
    hex::encode(bytes)
}

fn unhex<const N: usize>(text: &str) -> Result<[u8; N]> {
    let mut bytes = [0; N];
    hex::decode_to_slice(text, &mut bytes).map_err(|_| wrong())?;
    Ok(bytes)
}
