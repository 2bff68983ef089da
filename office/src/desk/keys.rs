//! An office's secret keys in one file of mode 0600: signing and sealing keys, and root and recovery keys until they are put
//! away in a drawer.

use std::{fs, path::Path, str::FromStr};

use age::{secrecy::ExposeSecret, x25519::Identity};
use dooryard_core::{
    Code, Error, Result,
    bundle::{Epoch, Opener},
    clock::Env,
    durable,
    notebook::{Card, Notebook, seal_identity, write_secret},
    sign::Signing,
};
use serde::{Deserialize, Serialize};

pub(super) const KEYS: &str = "office.key";
const NEXT: &str = "office.key.next";
pub(super) const CARD: &str = "office.card";

pub(super) struct OfficeKeys {
    pub(super) signing: Signing,
    seal: Identity,
    former_seals: Vec<(Identity, u64)>,
    /// Absent once it is in the drawer.
    pub(super) recovery: Option<Identity>,
    pub(super) card: Card,
    pub(super) signed_card: Vec<u8>,
}

/// A sealing key that was replaced, and until when it is kept, milliseconds since 1970.
#[derive(Clone, Serialize, Deserialize)]
pub(super) struct FormerSeal {
    pub(super) seal: String,
    pub(super) until_ms: u64,
}

/// The key file as it is written.
#[derive(Clone, Serialize, Deserialize)]
pub(super) struct KeyFile {
    /// Absent once it is in the drawer.
    pub(super) root: Option<String>,
    pub(super) signing: String,
    pub(super) seal: String,
    /// Absent once it is in the drawer.
    pub(super) recovery: Option<String>,
    pub(super) epoch: u64,
    pub(super) epoch_random: String,
    #[serde(default)]
    pub(super) former_seals: Vec<FormerSeal>,
    /// The signed card that these keys belong to; absent in files of before keys could be changed.
    #[serde(default)]
    pub(super) card: Option<String>,
}

impl KeyFile {
    /// The file in an office's folder; `None` when it is not there.
    pub(super) fn find(dir: &Path) -> Result<Option<Self>> {
        Self::at(&dir.join(KEYS))
    }

    /// The file in an office's folder.
    ///
    /// # Errors
    /// `KEY_LOST` when it is not there; of the file system.
    fn read(dir: &Path) -> Result<Self> {
        Self::find(dir)?.ok_or_else(|| Error::refused(Code::KeyLost, "office.key is not there"))
    }

    fn at(path: &Path) -> Result<Option<Self>> {
        match fs::read_to_string(path) {
            Err(e) if e.kind() == std::io::ErrorKind::NotFound => Ok(None),
            other => Self::from_text(&other.map_err(Error::io("reading the office's keys"))?).map(Some),
        }
    }

    /// A key file's text.
    pub(super) fn from_text(text: &str) -> Result<Self> {
        serde_json::from_str(text).map_err(|_| wrong())
    }

    /// Writes it in the place of the one that is there: whole or not at all.
    pub(super) fn replace(&self, dir: &Path) -> Result<()> {
        put(dir, &self.text()?)
    }

    /// Writes it as the one that comes next, whole or not at all: it counts from when its card is in force.
    pub(super) fn write_next(&self, dir: &Path) -> Result<()> {
        put_whole(&dir.join(NEXT), &self.text()?)
    }

    fn text(&self) -> Result<String> {
        serde_json::to_string_pretty(self).map_err(|_| wrong())
    }
}

impl OfficeKeys {
    pub(super) fn create(dir: &Path, name: &str, env: &Env) -> Result<Self> {
        if dir.join(KEYS).exists() || dir.join(CARD).exists() {
            return Err(Error::refused(Code::Schema, "there is an office in this folder already"));
        }
        let (root, signing) = (Signing::from_seed(&env.random()), Signing::from_seed(&env.random()));
        let (seal, recovery) = (seal_identity(&env.random())?, seal_identity(&env.random())?);
        let card = Card {
            root: root.public(),
            key: signing.public(),
            seal: seal.to_public().to_string(),
            recovery: recovery.to_public().to_string(),
            name: name.to_owned(),
            serial: 1,
            former: Vec::new(),
        };
        let signed_card = card.sign(&root);
        let file = KeyFile {
            root: Some(hex::encode(root.seed())),
            signing: hex::encode(signing.seed()),
            seal: secret(&seal),
            recovery: Some(secret(&recovery)),
            epoch: 1,
            epoch_random: hex::encode(env.random::<16>()),
            former_seals: Vec::new(),
            card: Some(hex::encode(&signed_card)),
        };
        file.replace(dir)?;
        fs::write(dir.join(CARD), &signed_card).map_err(Error::io("writing the office's card"))?;
        Ok(Self { signing, seal, former_seals: Vec::new(), recovery: Some(recovery), card, signed_card })
    }

    /// The keys that belong to the card in force, which stands in the office's notebook.
    ///
    /// # Errors
    /// `KEY_LOST` when they are not there; of the file system.
    pub(super) fn read(dir: &Path, notebook: &Notebook) -> Result<Self> {
        settle(dir, notebook)?;
        let keys = Self::of(&KeyFile::read(dir)?, notebook.signed_card()?)?;
        if keys.signing.public() != keys.card.key {
            return Err(Error::refused(Code::KeyLost, "office.key is not the one of the office's card"));
        }
        Ok(keys)
    }

    /// The keys in a key file, with the card that belongs to them.
    pub(super) fn of(file: &KeyFile, signed_card: Vec<u8>) -> Result<Self> {
        let former = |former: &FormerSeal| Ok((identity(&former.seal)?, former.until_ms));
        Ok(Self {
            signing: Signing::from_seed(&unhex(&file.signing)?),
            seal: identity(&file.seal)?,
            former_seals: file.former_seals.iter().map(former).collect::<Result<_>>()?,
            recovery: file.recovery.as_deref().map(identity).transpose()?,
            card: Card::read(&signed_card)?,
            signed_card,
        })
    }

    /// Whether these are the keys that the card names; a recovery key that was put away stands in no key file.
    pub(super) fn fit_card(&self) -> bool {
        self.signing.public() == self.card.key
            && self.seal.to_public().to_string() == self.card.seal
            && self.recovery.as_ref().is_none_or(|key| key.to_public().to_string() == self.card.recovery)
    }

    /// What opens bundles at this time: the sealing key, former ones as long as they are kept, the recovery key while it is here.
    pub(super) fn opener(&self, now_ms: u64) -> Opener {
        let former = self.former_seals.iter().filter(|(_, until)| now_ms <= *until).map(|(key, _)| key);
        Opener::new([&self.seal].into_iter().chain(former).chain(&self.recovery).cloned().collect())
    }
}

/// Finishes, or forgets, a change of keys that was stopped half way: new keys count when their card is in force.
pub(super) fn settle(dir: &Path, notebook: &Notebook) -> Result<()> {
    let in_force = notebook.signed_card()?;
    if let Some(next) = KeyFile::at(&dir.join(NEXT))? {
        if next.card == Some(hex::encode(&in_force)) {
            put_in_place(&dir.join(NEXT), &dir.join(KEYS))?;
        } else {
            fs::remove_file(dir.join(NEXT)).map_err(Error::io("forgetting keys that never counted"))?;
        }
    }
    if fs::read(dir.join(CARD)).ok().as_ref() != Some(&in_force) {
        durable::write_whole(&dir.join(CARD), &in_force).map_err(Error::io("writing the office's card"))?;
    }
    Ok(())
}

fn put_in_place(from: &Path, to: &Path) -> Result<()> {
    durable::rename(from, to).map_err(Error::io("writing the office's keys"))
}

pub(super) fn secret(key: &Identity) -> String {
    key.to_string().expose_secret().to_owned()
}

fn identity(text: &str) -> Result<Identity> {
    Identity::from_str(text).map_err(|_| wrong())
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
    (file.epoch, file.epoch_random) = (epoch.n, hex::encode(epoch.random));
    file.replace(dir)?;
    Ok(epoch)
}

/// Writes the text of a key file in its place: whole or not at all.
pub(super) fn put(dir: &Path, text: &str) -> Result<()> {
    put_whole(&dir.join(KEYS), text)
}

fn put_whole(to: &Path, text: &str) -> Result<()> {
    let temp = to.with_file_name("office.key.new");
    write_secret(&temp, text.as_bytes())?;
    put_in_place(&temp, to)
}

fn wrong() -> Error {
    Error::refused(Code::Schema, "the office's key file")
}

pub(super) fn unhex<const N: usize>(text: &str) -> Result<[u8; N]> {
    let mut bytes = [0; N];
    hex::decode_to_slice(text, &mut bytes).map_err(|_| wrong())?;
    Ok(bytes)
}
