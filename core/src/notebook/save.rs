//! Saving: one save of one record is one change, on disk when the call returns.

use std::{collections::BTreeMap, fs, path::Path};

use rusqlite::{OptionalExtension, Transaction, params};
use serde_json::{Map, Value as Json, json};

use super::{
    blobs,
    enrolled::Enrolled,
    open::{Inner, Notebook},
    read::{self, Live},
    shown,
    store::{Rows, meta},
};
use crate::{
    clock::Env,
    error::{Error, Result},
    ids::{BlobId, Hash32, RecordId},
    log::{Change, FieldHead, Head, Segment, Slot, Tip, apply_segment},
    photo::{self, PhotoFacts, PhotoProblem},
    record::{self, EXISTENCE, Kind, LIMITS, Value},
};

/// Version of the forms whose fields are saved.
const FORM_VERSION: u32 = 1;

impl Notebook {
    /// Saves fields of a record; makes the record when `id` is `None`. Fields whose value stays the same are not written
    /// again; when none differs, nothing is written.
    ///
    /// # Errors
    /// [`Error::Invalid`] with one problem a field; `NO_SPACE`; of SQLite.
    pub fn save(&self, kind: Kind, id: Option<RecordId>, fields: &Map<String, Json>) -> Result<RecordId> {
        let id = id.unwrap_or_else(|| self.env.record_id());
        let mut inner = self.lock();
        let (_, role, _) = inner.office.cert(&inner.log.device)?;
        let values = record::parse_fields(kind, role, fields)?;
        let mut values: BTreeMap<u32, Value> = values.into_iter().map(|(field, value)| (field.id, value)).collect();
        if values.is_empty() {
            values.insert(EXISTENCE, Value::Int(1));
        }
        self.write_change(&mut inner, kind, id, values, None)?;
        Ok(id)
    }

    /// As [`Notebook::save`] of a record that is here, only while no other value is live of these fields than those that
    /// were seen: `seen` are the changes, by field name, that a person was shown. Gives whether it is so; when it is not,
    /// nothing is written.
    ///
    /// # Errors
    /// As [`Notebook::save`]; [`Error::NotFound`].
    pub fn save_if_seen(
        &self,
        id: RecordId,
        fields: &Map<String, Json>,
        seen: &BTreeMap<String, Vec<Hash32>>,
    ) -> Result<bool> {
        let mut inner = self.lock();
        let (kind, _) = self.known(&inner, id)?;
        let (_, role, _) = inner.office.cert(&inner.log.device)?;
        let values = record::parse_fields(kind, role, fields)?;
        let seen_of = |name: &str| seen.get(name).cloned().unwrap_or_default();
        let seen = values.iter().map(|(field, _)| (field.id, seen_of(field.name))).collect();
        let values: BTreeMap<u32, Value> = values.into_iter().map(|(field, value)| (field.id, value)).collect();
        self.write_change(&mut inner, kind, id, values, Some(&seen))
    }

    /// Takes in a photo file: reads its metadata, stores the original and a thumbnail, saves a `photo` record. Values
    /// given in `fields` win over those read from the file.
    ///
    /// # Errors
    /// As [`Notebook::save`]; `TOO_BIG` or `SCHEMA` when it is no photo that can be kept.
    pub fn add_photo(&self, file: &Path, fields: &Map<String, Json>) -> Result<RecordId> {
        self.add_photo_as(self.env.record_id(), file, fields)
    }

    /// As [`Notebook::add_photo`], as this record: the same file a second time changes nothing.
    ///
    /// # Errors
    /// As [`Notebook::add_photo`].
    pub fn add_photo_as(&self, id: RecordId, file: &Path, fields: &Map<String, Json>) -> Result<RecordId> {
        self.take_photo(id, file, fields, true)
    }

    /// As [`Notebook::add_photo_as`], without the metadata in the file: what is stored does not say where it was taken. When it was
    /// taken is told by the record.
    ///
    /// # Errors
    /// As [`Notebook::add_photo`].
    pub fn add_photo_without_place(&self, id: RecordId, file: &Path, fields: &Map<String, Json>) -> Result<RecordId> {
        self.take_photo(id, file, fields, false)
    }

    fn take_photo(&self, id: RecordId, file: &Path, fields: &Map<String, Json>, place: bool) -> Result<RecordId> {
        let what = || Error::io("reading the photo");
        if fs::metadata(file).map_err(what())?.len() > photo::MAX_BYTES as u64 {
            return Err(Error::Photo(PhotoProblem::TooManyBytes));
        }
        let mut bytes = fs::read(file).map_err(what())?;
        let mut facts = photo::read(&bytes)?;
        if !place {
            bytes = photo::strip(&bytes)?;
            (facts.latitude, facts.longitude) = (None, None);
        }
        let thumbnail = photo::thumbnail(&bytes)?;
        let root = self.photos();
        // In one step with its row: an erasure meanwhile takes away photos that nothing names.
        let [image, small] = self.lock().write(|tx, _| {
            let keep = |bytes: &[u8]| -> Result<BlobId> {
                let (id, size) = blobs::put_bytes(&root, bytes)?;
                blobs::note_held(tx, &id, size)?;
                Ok(id)
            };
            Ok([keep(&bytes)?, keep(&thumbnail)?])
        })?;
        let mut all = fields_of(&facts);
        all.insert("image".into(), json!(image.to_hex()));
        all.insert("thumbnail".into(), json!(small.to_hex()));
        all.extend(fields.clone());
        self.save(Kind::Photo, Some(id), &all)
    }

    /// Deletes a record: it is hidden, nothing is lost, and an edit made elsewhere meanwhile brings it back.
    ///
    /// # Errors
    /// [`Error::NotFound`]; as [`Notebook::save`].
    pub fn delete(&self, id: RecordId) -> Result<()> {
        let mut inner = self.lock();
        let (kind, live) = self.known(&inner, id)?;
        let mut seen: Vec<Hash32> = live.iter().filter(|l| l.field != EXISTENCE).map(|l| l.candidate.hash).collect();
        seen.sort_unstable();
        seen.dedup();
        let list = seen.into_iter().map(|hash| Value::Bytes(hash.0.to_vec())).collect();
        let deleted = Value::List(vec![Value::Int(0), Value::List(list)]);
        self.write_change(&mut inner, kind, id, BTreeMap::from([(EXISTENCE, deleted)]), None).map(drop)
    }

    /// Brings a deleted record back.
    ///
    /// # Errors
    /// As [`Notebook::delete`].
    pub fn restore(&self, id: RecordId) -> Result<()> {
        let mut inner = self.lock();
        let (kind, _) = self.known(&inner, id)?;
        self.write_change(&mut inner, kind, id, BTreeMap::from([(EXISTENCE, Value::Int(1))]), None).map(drop)
    }

    fn known(&self, inner: &Inner, id: RecordId) -> Result<(Kind, Vec<Live>)> {
        let kind = read::kind_of(&inner.conn, &id)?.ok_or_else(|| Error::NotFound(format!("record {id}")))?;
        Ok((kind, read::live(&inner.conn, &inner.office, &id)?))
    }

    /// Writes a change; not, and gives `false`, where other changes are live of a field than those `seen` of it.
    fn write_change(
        &self,
        inner: &mut Inner,
        kind: Kind,
        id: RecordId,
        values: BTreeMap<u32, Value>,
        seen: Option<&BTreeMap<u32, Vec<Hash32>>>,
    ) -> Result<bool> {
        let (log, signing) = (inner.log, inner.keys.signing.clone());
        let env = self.env.clone();
        inner.write(|tx, office| {
            if let Some(seen) = seen {
                let live = read::live(tx, office, &id)?;
                if seen.iter().any(|(field, seen)| is_new(&live, *field, seen)) {
                    return Ok(false);
                }
            }
            if let Some(change) = compose(tx, office, &env, log, kind, id, values)? {
                append(tx, office, log, change, |segment| {
                    // The newest signature is good for the whole log: the chain leads to it.
                    let snapshot = read::snapshot_number(tx)?;
                    let tip = Tip { log, from: 1, to: segment.to(), hash: segment.tip(), snapshot };
                    Ok(tip.sign(&signing, &office.card.office()))
                })?;
                shown::refresh(tx, office)?;
            }
            Ok(true)
        })
    }
}

/// Whether a value is live of a field that was not seen. The same value written twice is one to whoever looks.
fn is_new(live: &[Live], field: u32, seen: &[Hash32]) -> bool {
    let (known, others): (Vec<&Live>, Vec<&Live>) =
        live.iter().filter(|l| l.field == field).partition(|l| seen.contains(&l.candidate.hash));
    others.iter().any(|other| known.iter().all(|l| l.candidate.value != other.candidate.value))
}

/// Builds the change, or `None` when no value differs from what is live.
fn compose(
    tx: &Transaction<'_>,
    office: &Enrolled,
    env: &Env,
    log: crate::ids::LogId,
    kind: Kind,
    id: RecordId,
    values: BTreeMap<u32, Value>,
) -> Result<Option<Change>> {
    let live = read::live(tx, office, &id)?;
    let (mut fields, mut slots) = (Vec::new(), Vec::new());
    for (field, value) in values {
        let value = value.to_cbor();
        let of_field: Vec<&Live> = live.iter().filter(|l| l.field == field).collect();
        let same = of_field.len() == 1 && of_field[0].candidate.value.as_deref() == Some(&value);
        let known_alive = field == EXISTENCE && of_field.is_empty() && !live.is_empty() && value == [0x01];
        if same || known_alive {
            continue;
        }
        let mut preds: Vec<Hash32> = of_field.iter().map(|l| l.candidate.hash).collect();
        preds.truncate(LIMITS.preds);
        preds.sort_unstable();
        fields.push(FieldHead { field, preds });
        slots.push(Slot::Body { salt: env.random(), value });
    }
    if fields.is_empty() {
        return Ok(None);
    }
    let (seq, _) = tip(tx, log)?;
    let head = Head {
        rtype: kind.id(),
        seq: seq + 1,
        wall_ms: env.now_ms(),
        generation: office.authority.generation(&id),
        kind: 0,
        rec: id,
        cert: office.cert(&log.device)?.0,
        form_ver: FORM_VERSION,
        fields,
        crit: None,
        ext: None,
    };
    Ok(Some(Change::new(head, slots)))
}

/// Place and hash of the newest change of a log. A new log begins at the hash of the tip of the device's log before it.
fn tip(tx: &Transaction<'_>, log: crate::ids::LogId) -> Result<(u64, Hash32)> {
    let id = Rows::new(tx).log_id(&log)?;
    let newest = tx
        .prepare_cached("SELECT seq, hash FROM change WHERE log = ?1 ORDER BY seq DESC LIMIT 1")?
        .query_row([id], |row| Ok((row.get::<_, i64>(0)?.unsigned_abs(), Hash32(row.get(1)?))))
        .optional()?;
    match newest {
        Some(newest) => Ok(newest),
        None => Ok((0, meta(tx, "last_tip")?.map_or(Ok(Hash32::ZERO), |raw| Hash32::from_slice(&raw))?)),
    }
}

fn append(
    tx: &Transaction<'_>,
    office: &Enrolled,
    log: crate::ids::LogId,
    change: Change,
    sign: impl FnOnce(&Segment) -> Result<Vec<u8>>,
) -> Result<()> {
    let (_, prev) = tip(tx, log)?;
    let segment = Segment::new(&office.card.office(), log, prev, vec![change]);
    let signature = sign(&segment)?;
    let hash = segment.tip();
    let mut rows = Rows::new(tx);
    apply_segment(&mut rows, &office.authority, segment)?;
    let id = rows.log_id(&log)?;
    tx.prepare_cached("UPDATE log SET tip_signature = ?2 WHERE id = ?1")?.execute(params![id, signature])?;
    super::store::set_meta(tx, "last_tip", &hash.0)
}

/// What a photo's own metadata says, as fields of a `photo` record.
fn fields_of(facts: &PhotoFacts) -> Map<String, Json> {
    let decimal = |number: f64, digits: usize| json!(format!("{number:.digits$}"));
    let mut fields = Map::new();
    fields.insert("mime".into(), json!(facts.mime));
    fields.insert("size".into(), json!({"width_px": facts.width_px, "height_px": facts.height_px}));
    if let Some(orientation) = facts.orientation.filter(|o| (1..=8).contains(o)) {
        fields.insert("orientation".into(), json!(orientation));
    }
    if let Some(taken) = facts.taken() {
        fields.insert("taken".into(), json!(taken));
    }
    if let (Some(latitude), Some(longitude)) = (facts.latitude, facts.longitude) {
        let mut place = json!({"latitude": latitude, "longitude": longitude});
        if let Some(accuracy) = facts.accuracy_m {
            place["accuracy_m"] = decimal(accuracy, 1);
        }
        if let Some(altitude) = facts.altitude_m {
            place["altitude_m"] = decimal(altitude, 1);
        }
        fields.insert("place".into(), place);
    }
    if let (Some(degrees), Some(north)) = (facts.direction_deg, facts.direction_ref) {
        fields.insert("bearing".into(), json!({"degrees": decimal(degrees, 1), "north": north.word()}));
    }
    fields
}
