//! New keys for the office: once a year, or when they are lost. The root key signs them; it and the recovery key belong in a
//! drawer, not in the office's folder.

use std::{fs, path::Path};

use dooryard_core::{
    Code, Error, Result,
    clock::Env,
    durable,
    log::FormerKey,
    notebook::{Card, seal_identity, write_secret},
    sign::Signing,
};

use super::{
    Office, erasures,
    keys::{FormerSeal, KeyFile, OfficeKeys, secret, settle, unhex},
    open_notebook,
};

const ROOT: &str = "root.key";
const RECOVERY: &str = "recovery.key";

/// How long a replaced sealing key is kept, in milliseconds: 24 months.
const KEPT_MS: u64 = 731 * 86_400_000;

impl Office {
    /// Moves the root and recovery keys out of the office's folder into another one, such as a stick for the drawer. They are
    /// removed here only when they were read back from there.
    ///
    /// # Errors
    /// [`Error::NotFound`] when they are not here any more; `SCHEMA` when other keys stand there; of the file system.
    pub fn put_away(&self, drawer: &Path) -> Result<()> {
        let mut file =
            KeyFile::find(&self.dir)?.ok_or_else(|| Error::refused(Code::KeyLost, "office.key is not there"))?;
        let (Some(root), Some(recovery)) = (file.root.take(), file.recovery.take()) else {
            return Err(Error::NotFound(
                "the root and recovery keys in the office's folder: they were put away before".into(),
            ));
        };
        let what = || Error::io("putting keys away");
        durable::make_folders(drawer).map_err(what())?;
        for (name, key) in [(ROOT, root), (RECOVERY, recovery)] {
            let (path, text) = (drawer.join(name), format!("{key}\n"));
            match fs::read_to_string(&path) {
                Ok(other) if other != text => {
                    return Err(Error::refused(Code::Schema, "other keys stand in that folder; they were not touched"));
                }
                _ => write_secret(&path, text.as_bytes())?,
            }
            if fs::read_to_string(&path).map_err(what())? != text {
                return Err(Error::refused(Code::Schema, "the keys could not be read back"));
            }
        }
        file.replace(&self.dir)
    }

    /// Gives the office in `dir` a new signing and a new sealing key, with a card of the next number that its root signs. Also for
    /// an office whose key file is lost. The root key is taken from `drawer`, or from the office's folder while it is there.
    ///
    /// What was said with the old signing key stays valid; the old sealing key is kept for 24 months.
    ///
    /// # Errors
    /// `KEY_LOST` when the root key is nowhere; `NOT_FOR_US` when it is another office's; as [`Office::open`].
    pub fn change_keys(dir: &Path, drawer: Option<&Path>, env: Env) -> Result<Self> {
        let notebook = open_notebook(dir, env)?;
        settle(dir, &notebook)?;
        let old = KeyFile::find(dir)?;
        let root = root_key(old.as_ref(), drawer)?;
        if root.public() != notebook.card()?.root {
            return Err(Error::refused(Code::NotForUs, "the root key of another office"));
        }
        // What a ledger knows was said before the change: afterwards its signature would come too late.
        let went_back = erasures::heed_ledgers(dir, &notebook)?;
        let seen = notebook.epoch_seen()?;
        notebook.change_card(|card, last| {
            let env = notebook.env();
            let (signing, seal) = (Signing::from_seed(&env.random()), seal_identity(&env.random())?);
            let former = FormerKey { key: card.key, last };
            let next = Card {
                key: signing.public(),
                seal: seal.to_public().to_string(),
                serial: card.serial + 1,
                former: card.former.iter().cloned().chain([former]).collect(),
                ..card.clone()
            };
            let signed = next.sign(&root);
            let now_ms = env.now_ms();
            let kept = |old: &KeyFile| {
                let replaced = FormerSeal { seal: old.seal.clone(), until_ms: now_ms.saturating_add(KEPT_MS) };
                old.former_seals.iter().filter(|f| now_ms <= f.until_ms).cloned().chain([replaced]).collect()
            };
            let file = KeyFile {
                root: old.as_ref().and_then(|old| old.root.clone()),
                signing: hex::encode(signing.seed()),
                seal: secret(&seal),
                recovery: old.as_ref().and_then(|old| old.recovery.clone()),
                // An office that lost its keys begins a new life: phones offer again what nobody can vouch for.
                epoch: old.as_ref().map_or(seen + 1, |old| old.epoch),
                epoch_random: old
                    .as_ref()
                    .map_or_else(|| hex::encode(env.random::<16>()), |old| old.epoch_random.clone()),
                former_seals: old.as_ref().map_or_else(Vec::new, kept),
                card: Some(hex::encode(&signed)),
            };
            file.write_next(dir)?;
            Ok(signed)
        })?;
        let keys = OfficeKeys::read(dir, &notebook)?;
        let office = Self::ready(dir, keys, notebook)?;
        if went_back {
            office.begin_again()?;
        }
        office.renew_ledgers()?;
        Ok(office)
    }
}

/// The root key out of the drawer, or out of a key file that still holds it.
pub(super) fn root_key(old: Option<&KeyFile>, drawer: Option<&Path>) -> Result<Signing> {
    let seed = match (drawer, old.and_then(|old| old.root.clone())) {
        (Some(drawer), _) => fs::read_to_string(drawer.join(ROOT)).map_err(Error::io("reading the root key"))?,
        (None, Some(seed)) => seed,
        (None, None) => return Err(Error::refused(Code::KeyLost, "the root key is not in the office's folder")),
    };
    Ok(Signing::from_seed(&unhex(seed.trim())?))
}
