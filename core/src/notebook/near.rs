//! Sites around a place.

use rusqlite::params;

use super::{
    list::{COLUMNS, read_row},
    open::Notebook,
    view::Summary,
};
use crate::{error::Result, record::Kind};

/// Meters of a degree of latitude.
const DEGREE: f64 = 111_120.0;

impl Notebook {
    /// Sites that are not deleted in a square of so many meters each way around a place (degrees, WGS 84), with latitude and
    /// longitude of each: the nearest `most`, the nearest first.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn sites_near(
        &self,
        latitude: f64,
        longitude: f64,
        meters: f64,
        most: usize,
    ) -> Result<Vec<(Summary, f64, f64)>> {
        self.refresh()?;
        // A degree of longitude is shorter by this.
        let shorter = latitude.to_radians().cos().max(0.01);
        let (high, wide) = (meters / DEGREE, meters / (DEGREE * shorter));
        let inner = self.lock();
        let sql = format!(
            "SELECT {COLUMNS}, json_extract(fields, '$.point.latitude') AS lat, json_extract(fields, '$.point.longitude') AS lon
             FROM shown WHERE kind = {} AND hidden = 0 AND lat BETWEEN ?1 AND ?2 AND lon BETWEEN ?3 AND ?4
             ORDER BY (lat - ?5) * (lat - ?5) + (lon - ?6) * (lon - ?6) * ?7, rec LIMIT {most}",
            Kind::Site.id()
        );
        let mut query = inner.conn.prepare_cached(&sql)?;
        let square = (latitude - high, latitude + high, longitude - wide, longitude + wide);
        let given = params![square.0, square.1, square.2, square.3, latitude, longitude, shorter * shorter];
        let rows = query
            .query_map(given, |row| Ok((read_row(row)?, row.get(6)?, row.get(7)?)))?
            .collect::<rusqlite::Result<Vec<_>>>()?;
        Ok(rows.into_iter().filter_map(|(row, lat, lon)| Some((row?, lat, lon))).collect())
    }
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;
    use crate::clock::{Env, SetClock};

    #[test]
    fn of_many_sites_the_nearest_come_in_their_order_and_none_from_beyond_the_square() {
        let dir = tempfile::tempdir().unwrap();
        let book = Notebook::create(dir.path(), Env::seeded(1, &SetClock::at(0))).unwrap();
        let at = |north: f64, east: f64| {
            let point =
                json!({"latitude": 43.5 + north, "longitude": -87.0 + east, "datum": "EPSG:4326", "method": "pin"});
            book.save(Kind::Site, None, json!({ "point": point }).as_object().unwrap()).unwrap()
        };
        let far: Vec<_> = (10..40).rev().map(|n| at(f64::from(n) * 1e-4, 0.0)).collect();
        // At this latitude a degree to the east is shorter than one to the north.
        let (north, east) = (at(9e-4, 0.0), at(0.0, 10e-4));
        at(0.5, 0.0);
        let near = |most| {
            let rows = book.sites_near(43.5, -87.0, 3_200.0, most).unwrap();
            rows.into_iter().map(|(row, ..)| row.id).collect::<Vec<_>>()
        };
        assert_eq!(near(3), [east, north, far[29]]);
        assert_eq!(near(1_000).len(), 32);
    }
}
