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

const KEYS: &str = "office.key";
const CARD: &str = "office.card";

pub(super) struct OfficeKeys {
    pub(super) signing: Signing,
    pub(super) seal: Identity,
    pub(super) recovery: Identity,
    pub(super) epoch: Epoch,
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
            serial: 1,
            former: Vec::new(),
        };
        let signed_card = card.sign(&root);
        let text = serde_json::to_string_pretty(&file).map_err(|_| wrong())?;
        write_secret(&dir.join(KEYS), text.as_bytes())?;
        fs::write(dir.join(CARD), &signed_card).map_err(Error::io("writing the office's card"))?;
        Ok(Self { signing, seal, recovery, epoch, card, signed_card })
    }

    pub(super) fn read(dir: &Path) -> Result<Self> {
        let text = match fs::read_to_string(dir.join(KEYS)) {
            Err(e) if e.kind() == std::io::ErrorKind::NotFound => {
                return Err(Error::NotFound("an office in this folder".into()));
            }
            other => other.map_err(Error::io("reading the office's keys"))?,
        };
        let file: KeyFile = serde_json::from_str(&text).map_err(|_| wrong())?;
        let signed_card = fs::read(dir.join(CARD)).map_err(Error::io("reading the office's card"))?;
        Ok(Self {
            signing: Signing::from_seed(&unhex(&file.signing)?),
            seal: Identity::from_str(&file.seal).map_err(|_| wrong())?,
            recovery: Identity::from_str(&file.recovery).map_err(|_| wrong())?,
            epoch: Epoch { n: file.epoch, random: unhex(&file.epoch_random)? },
            card: Card::read(&signed_card)?,
            signed_card,
        })
    }
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
