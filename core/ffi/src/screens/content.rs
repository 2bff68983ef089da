//! The content that screens speak from: the pack that came with the app, or a newer one that the office sent.

use std::path::Path;

use dooryard_core::{
    Code, Error, Result,
    key::{Pack, file::PackFile, shelf::Shelf},
    tell::Names,
    words::Language,
};

/// A pack with its names in both languages.
pub(super) struct Content {
    pub(super) pack: Pack,
    /// The office sent it, later than the app came.
    pub(super) sent: bool,
    english: Names,
    spanish: Names,
}

/// Where a notebook keeps the packs that the office sent.
const SHELF: &str = "packs";

impl Content {
    fn of(pack: Pack, sent: bool) -> Self {
        let (english, spanish) = (Names::told_in(&pack, Language::En), Names::told_in(&pack, Language::Es));
        Self { pack, sent, english, spanish }
    }

    pub(super) fn names(&self, language: Language) -> &Names {
        match language {
            Language::En => &self.english,
            Language::Es => &self.spanish,
        }
    }

    /// The pack that came with the app, or the one on the notebook's shelf where that is newer.
    pub(super) fn open(notebook: &Path, with_app: &Path) -> Result<Self> {
        let starter = read(with_app)?;
        let folder = notebook.join(SHELF);
        if Shelf::is_there(&folder) {
            let kept = Shelf::open(&folder, &[])?.pack()?;
            if kept.id == starter.id && kept.version > starter.version {
                return Ok(Self::of(kept, true));
            }
        }
        Ok(Self::of(starter, false))
    }

    /// Takes a newer pack, signed by a key that signed the one that came with the app or that a later one named.
    pub(super) fn take(notebook: &Path, with_app: &Path, file: &Path) -> Result<()> {
        let keys = PackFile::read(with_app)?.manifest.signers;
        let mut shelf = Shelf::open(&notebook.join(SHELF), &keys)?;
        shelf.take(&PackFile::read(file)?).map(drop)
    }
}

/// A signed file, or a folder as a pack is written.
fn read(path: &Path) -> Result<Pack> {
    if path.is_dir() {
        return Pack::from_folder(path).map_err(|e| Error::pack(Code::Schema, e.to_string()));
    }
    PackFile::read(path)?.pack()
}

#[cfg(test)]
mod tests {
    use std::{fs, path::PathBuf, sync::Arc};

    use dooryard_core::{
        key::{Source, file::PackFile},
        sign::Signing,
    };

    use crate::{notebook::FieldNotebook, screens::Screens, secrets::tests::Turned};

    fn landscape() -> PathBuf {
        PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../fixtures/packs/landscape")
    }

    #[test]
    fn screens_open_with_the_signed_file_that_an_app_ships_and_with_no_other() {
        let dir = tempfile::tempdir().unwrap();
        let source = Source::from_folder(&landscape()).unwrap();
        let date = source.pack.date.parse().unwrap();
        let file = PackFile::make(&source, date, &[&Signing::from_seed(&[8; 32])], &[]).unwrap();
        let shipped = dir.path().join("starter.pack");
        fs::write(&shipped, file.bytes()).unwrap();
        let path = |name: &str| dir.path().join(name).display().to_string();
        let book = FieldNotebook::create(path("phone"), Arc::new(Turned::default())).unwrap();
        let reader = || super::super::Reader {
            language: super::super::Language::Es,
            units: super::super::Units::Metric,
            zone: "America/Chicago".into(),
        };
        let screens = Screens::open(book.clone(), path("starter.pack"), reader()).unwrap();
        let inquiry = screens.begin(String::new()).unwrap();
        assert!(!screens.ask(inquiry).unwrap().questions.is_empty());
        assert!(screens.content().unwrap().facts.iter().any(|fact| fact.text == "con la aplicación"));
        let mut newer = source.clone();
        newer.pack.version += 1;
        let newer = PackFile::make(&newer, date, &[&Signing::from_seed(&[8; 32])], &[]).unwrap();
        fs::write(dir.path().join("newer.pack"), newer.bytes()).unwrap();
        let opened = screens.file_kind(path("newer.pack")).unwrap();
        assert_eq!((opened.kind, opened.held.as_str()), (super::super::FileKind::Pack, ""));
        screens.take_pack(path("newer.pack")).unwrap();
        assert!(screens.content().unwrap().facts.iter().any(|fact| fact.text.starts_with("de la oficina")));
        let mut broken = file.bytes().to_vec();
        *broken.last_mut().unwrap() ^= 1;
        fs::write(dir.path().join("broken.pack"), broken).unwrap();
        assert!(Screens::open(book, path("broken.pack"), reader()).is_err());
    }
}
