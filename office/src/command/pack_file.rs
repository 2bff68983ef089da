//! `dooryard pack key`, `build` and `show`: signed pack files.

use std::{
    fs,
    path::{Path, PathBuf},
};

use anyhow::{Context, Result, anyhow, bail};
use clap::Args;
use dooryard_core::{
    clock::Env,
    durable,
    key::{
        Source,
        file::{Key, Manifest, PackFile},
    },
    notebook::write_secret,
    sign::Signing,
};
use jiff::civil::Date;
use serde_json::{Value, json};

use super::tell::Tell;

/// Where a new key goes.
#[derive(Args)]
pub struct NewKey {
    /// File to write; only its owner can read it. Whoever has it can sign packs.
    #[arg(long)]
    out: PathBuf,
}

/// What to seal, by whom.
#[derive(Args)]
pub struct Build {
    /// The pack's folder.
    folder: PathBuf,
    /// File of a key that signs it. Give the old and the new one to replace a key.
    #[arg(long, required = true)]
    key: Vec<PathBuf>,
    /// The keys that count from this version on, 64 hexadecimal digits each; all others are trusted no more. New ones
    /// must sign it, too.
    #[arg(long, value_delimiter = ',', value_parser = crate::pack::key, value_name = "KEYS")]
    from_now_on: Vec<Key>,
    /// File to write, ending in .pack.
    #[arg(long)]
    out: PathBuf,
    /// Day on which it is made; without it the pack's own day.
    #[arg(long)]
    date: Option<Date>,
}

/// What to show.
#[derive(Args)]
pub struct Show {
    /// The pack file.
    file: PathBuf,
}

/// Makes a key.
pub fn new_key(new: &NewKey, tell: &Tell) -> Result<()> {
    if new.out.exists() {
        bail!("{} is there already, and a key is never overwritten", new.out.display());
    }
    let key = Signing::from_seed(&Env::system().random());
    write_secret(&new.out, format!("{}\n", hex::encode(key.seed())).as_bytes())?;
    let public = hex::encode(key.public());
    tell.say(
        || {
            format!(
                "{} signs packs: keep it in a safe place. Devices trust the packs of key\n{public}",
                new.out.display()
            )
        },
        || json!({ "key": public, "file": new.out }),
    );
    Ok(())
}

fn read_key(path: &Path) -> Result<Signing> {
    let text = fs::read_to_string(path).with_context(|| format!("reading {}", path.display()))?;
    let seed = crate::pack::key(text.trim()).map_err(|_| anyhow!("{} is no key", path.display()))?;
    Ok(Signing::from_seed(&seed))
}

/// Seals a pack.
pub fn build(build: &Build, tell: &Tell) -> Result<()> {
    let name = || build.folder.display().to_string();
    let source = Source::from_folder(&build.folder).map_err(|e| anyhow!("{}: {e}", name()))?;
    let keys = build.key.iter().map(|path| read_key(path)).collect::<Result<Vec<_>>>()?;
    let date = match build.date {
        Some(date) => date,
        None => source.pack.date.parse().with_context(|| format!("{}: the pack's date", name()))?,
    };
    let signers: Vec<&Signing> = keys.iter().collect();
    let file = PackFile::make(&source, date, &signers, &build.from_now_on).with_context(name)?;
    let writing = || format!("writing {}", build.out.display());
    durable::write_whole(&build.out, file.bytes()).with_context(writing)?;
    say(&build.out, &file, tell);
    Ok(())
}

/// Shows a pack file.
pub fn show(show: &Show, tell: &Tell) -> Result<()> {
    let file = PackFile::read(&show.file).with_context(|| show.file.display().to_string())?;
    say(&show.file, &file, tell);
    Ok(())
}

fn say(place: &Path, file: &PackFile, tell: &Tell) {
    let of = &file.manifest;
    tell.say(
        || {
            let keys = |keys: &[Key]| keys.iter().map(|k| format!("\n  {}", hex::encode(k))).collect::<String>();
            let languages: Vec<&str> = of.languages.iter().map(|l| l.tag()).collect();
            let mut lines = vec![
                format!(
                    "{}: {} {}, made on {}, to be renewed by {}",
                    place.display(),
                    of.id,
                    of.version,
                    of.created,
                    of.not_after
                ),
                format!(
                    "{}; {}; content of form {} to {}; {} bytes, {} unpacked",
                    if of.status == dooryard_core::key::ReviewStatus::Reviewed { "reviewed" } else { "not reviewed" },
                    languages.join(" and "),
                    of.core.0,
                    of.core.1,
                    file.bytes().len(),
                    of.content_len
                ),
                format!("Content {}", of.content_hash.to_hex()),
                format!("Its signatures hold, by key{}", keys(&of.signers)),
            ];
            if !of.next.is_empty() {
                lines.push(format!("From this version on these keys count and no others:{}", keys(&of.next)));
            }
            lines.extend(crate::pack::notices(of));
            lines.join("\n")
        },
        || object(place, file, of),
    );
}

fn object(place: &Path, file: &PackFile, of: &Manifest) -> Value {
    let keys = |keys: &[Key]| keys.iter().map(hex::encode).collect::<Vec<_>>();
    json!({
        "file": place, "hash": file.hash().to_hex(), "bytes": file.bytes().len(),
        "id": of.id, "version": of.version, "created": of.created, "not_after": of.not_after,
        "languages": of.languages, "core": of.core, "status": of.status,
        "content_bytes": of.content_len, "content_hash": of.content_hash.to_hex(),
        "signers": keys(&of.signers), "from_now_on": keys(&of.next), "notices": crate::pack::notices(of),
    })
}
