//! A Darwin Core Archive: visits as events; living causes as occurrences, present or looked for and absent; effort and
//! absence in Humboldt terms; photos in Audiovisual Core terms.
//!
//! Drought, planting depth and what else is no living thing is in the tables of the other exports and never here. What was
//! not looked at gives no row.

mod photos;
mod rows;
mod taxa;
mod terms;
mod xml;

use std::{io::Write, path::Path};

use dooryard_core::{Result, key::Pack};
use zip::ZipWriter;

use self::rows::Archive;
use super::{
    Written,
    scope::Scope,
    whole::{entry, whole, writing},
};

/// What every visit is, in a sentence.
const PROTOCOL: &str = "Dooryard visit: a scout looks at the site, the whole plant, root flare, trunk, branches, twigs and \
                        leaves, guided by a symptom key, and notes each character as seen, looked and absent, or could not tell.";

/// What is not told.
const WITHHELD: &str = "Withheld: address, point, who asked, who looked, all words of residents and scouts, and what a regulator keeps sealed.";

/// How places are told.
const COARSE: &str =
    "The place is given as county, township and a cell about 5 miles across; the day without its time.";

/// Under which terms the archive may be used.
#[derive(Clone, Copy, Default, PartialEq, Eq, Debug, clap::ValueEnum)]
pub enum Licence {
    /// No rights kept.
    Cc0,
    /// Name the office.
    #[default]
    CcBy,
    /// Name the office; no trade.
    CcByNc,
}

impl Licence {
    /// Its IRI.
    pub fn iri(self) -> &'static str {
        match self {
            Self::Cc0 => "http://creativecommons.org/publicdomain/zero/1.0/legalcode",
            Self::CcBy => "http://creativecommons.org/licenses/by/4.0/legalcode",
            Self::CcByNc => "http://creativecommons.org/licenses/by-nc/4.0/legalcode",
        }
    }
}

/// Writes the archive. `photos`: with the photos themselves, without metadata, of who agreed.
///
/// # Errors
/// `NO_SPACE`; of the stores. No half file is left.
pub fn write(scope: &Scope<'_>, pack: &Pack, out: &Path, licence: Licence, photos: bool) -> Result<Written> {
    let mut archive = Archive::new(scope, pack, licence)?;
    let (about, bytes) = whole(out, |file| {
        let mut zip = ZipWriter::new(file);
        scope.each(|case| {
            for (image, name) in archive.add(case, photos)? {
                entry(&mut zip, &name, |zip| zip.write_all(&image).map_err(writing))?;
            }
            Ok(())
        })?;
        let about = scope.about("darwin-core", &archive.counts());
        entry(&mut zip, "meta.xml", |zip| zip.write_all(&xml::meta()?).map_err(writing))?;
        let eml = xml::eml(scope, &about, archive.days, licence)?;
        entry(&mut zip, "eml.xml", |zip| zip.write_all(&eml).map_err(writing))?;
        for (sheet, rows) in archive.sheets() {
            entry(&mut zip, sheet.file, |zip| rows.copy(zip))?;
        }
        zip.finish().map_err(writing)?;
        Ok(about)
    })?;
    Ok(Written { bytes, about })
}
