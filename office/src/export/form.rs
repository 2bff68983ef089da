//! The forms of export as one chooses among them, on the command's line and on the page.

use std::path::Path;

use dooryard_core::{Result, key::Pack};

use super::{
    Audience, By, Licence, MAP_DELAY_DAYS, Scope, Table, Written, write_csv, write_darwin, write_dump, write_map,
    write_state_report, write_xlsx,
};

/// One form with what it needs to know.
#[derive(Clone, PartialEq, Debug)]
pub enum Form {
    /// Tables as CSV: one, with a file beside it, or all in a zip.
    Csv {
        /// Only this one.
        table: Option<Table>,
        /// Begun with a byte order mark.
        bom: bool,
    },
    /// All tables as a spreadsheet.
    Xlsx,
    /// Counts by coarse area.
    Geojson(By),
    /// A Darwin Core Archive.
    DarwinCore {
        /// Under which terms.
        licence: Licence,
        /// With the photos themselves.
        photos: bool,
    },
    /// Everything of class P0 and P1 as JSON.
    Dump,
    /// Counts by month.
    StateReport,
}

impl Form {
    /// Who reads it, of those who were meant: an archive is for the public, a dump for the office alone.
    pub fn audience(&self, meant: Audience) -> Audience {
        match self {
            Self::DarwinCore { .. } => Audience::Public,
            Self::Dump => Audience::Office,
            _ => meant,
        }
    }

    /// How many days an inquiry has to be old: what has a shape on a map waits where the public reads it.
    pub fn delay_days(&self, audience: Audience) -> i64 {
        let on_a_map = matches!(self, Self::Geojson(_) | Self::DarwinCore { .. });
        if on_a_map && audience == Audience::Public { MAP_DELAY_DAYS } else { 0 }
    }

    /// Writes it.
    ///
    /// # Errors
    /// `NO_SPACE`; of the stores. No half file is left.
    pub fn write(&self, scope: &Scope<'_>, pack: &Pack, out: &Path) -> Result<Written> {
        match self {
            Self::Csv { table, bom } => write_csv(scope, out, *table, *bom),
            Self::Xlsx => write_xlsx(scope, out),
            Self::Geojson(by) => write_map(scope, out, by),
            Self::DarwinCore { licence, photos } => write_darwin(scope, pack, out, *licence, *photos),
            Self::Dump => write_dump(scope, out),
            Self::StateReport => write_state_report(scope, out),
        }
    }
}
