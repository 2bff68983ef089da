//! What a notebook holds, read from its file past everything that it tells of itself.

use std::{
    cell::RefCell,
    collections::{BTreeMap, BTreeSet, HashMap},
    path::Path,
    rc::Rc,
};

use dooryard_core::{
    Result,
    ids::{BlobId, Hash32, LogId, OfficeId, RecordId},
    log::{Fact, Head, Pick, Statement, Store},
    notebook::{Notebook, Rows},
};
use rusqlite::{Connection, OpenFlags};

use super::parcel::Sent;

/// A change as it is kept.
pub struct HeldChange {
    /// Its log.
    pub log: LogId,
    /// Hash of the one before it.
    pub prev: Hash32,
    /// Its head, as bytes and read.
    pub head_raw: Vec<u8>,
    /// The same, read.
    pub head: Head,
}

/// All that a notebook holds.
pub struct Held {
    /// Changes by hash.
    pub changes: BTreeMap<Hash32, HeldChange>,
    /// Facts in order of (record, field, hash).
    pub facts: Vec<Fact>,
    /// Statements in order of their places, each with its hash.
    pub statements: Vec<(Hash32, Statement)>,
    /// The same as they were signed.
    pub signed: Vec<Vec<u8>>,
    /// The office.
    pub office: OfficeId,
}

/// Statements whose signature was checked once.
pub type Read = Rc<RefCell<HashMap<Hash32, Statement>>>;

/// A life of the office: its number, and what tells two of one number apart.
pub type Life = (u64, [u8; 16]);

/// What a phone was told of records: record, field, change.
pub type Told = BTreeSet<(RecordId, u32, Hash32)>;

/// What a phone has heard of the office.
#[derive(Debug)]
pub struct Heard {
    /// The life that it knows.
    pub life: Option<Life>,
    /// Every life that it ever knew.
    lives: BTreeSet<Life>,
    /// The number of the newest reply that it took in the life that it knows.
    number: u64,
}

impl Heard {
    /// Whether a reply is news: a higher number of the known life, or a life that was not known before, numbered no lower.
    pub fn is_newer(&self, sent: &Sent) -> bool {
        match self.life {
            Some(known) if known == sent.life => sent.number > self.number,
            Some((n, _)) => sent.life.0 >= n && !self.lives.contains(&sent.life),
            None => true,
        }
    }
}

/// A second connection to a notebook's file.
pub struct Eyes {
    conn: Connection,
    office: OfficeId,
    key: [u8; 32],
    read: Read,
}

impl Eyes {
    /// Opens the file of a notebook that is open.
    ///
    /// # Errors
    /// Of SQLite; when the notebook belongs to no office.
    pub fn on(notebook: &Notebook, read: &Read) -> Result<Self> {
        let card = notebook.card()?;
        let conn = open(notebook.folder())?;
        Ok(Self { conn, office: card.office(), key: card.key, read: Rc::clone(read) })
    }

    /// Reads everything.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn look(&mut self) -> Result<Held> {
        let mut rows = Rows::new(&self.conn);
        let mut changes = BTreeMap::new();
        let mut records: BTreeMap<RecordId, ()> = BTreeMap::new();
        for log in rows.logs()? {
            for (log, row) in rows.changes(Pick::Log(log))? {
                records.insert(row.rec, ());
                let head = Head::from_cbor(&row.head)?;
                changes.insert(row.hash, HeldChange { log, prev: row.prev, head_raw: row.head, head });
            }
        }
        let mut facts = Vec::new();
        for rec in records.keys() {
            facts.extend(rows.facts(rec, None)?);
        }
        let signed = rows.statements()?;
        let mut statements = Vec::new();
        for bytes in &signed {
            let hash = Hash32::of(bytes);
            let known = self.read.borrow().get(&hash).cloned();
            let said = match known {
                Some(said) => said,
                None => Statement::verify(bytes, &self.office, &self.key)?,
            };
            self.read.borrow_mut().insert(hash, said.clone());
            statements.push((hash, said));
        }
        Ok(Held { changes, facts, statements, signed, office: self.office })
    }

    /// Reads what a phone has heard.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn heard(&self) -> Result<Heard> {
        let mut query = self.conn.prepare("SELECT key, value FROM meta")?;
        let rows = query.query_map([], |row| Ok((row.get::<_, String>(0)?, row.get::<_, Vec<u8>>(1)?)))?;
        let mut heard = Heard { life: None, lives: BTreeSet::new(), number: 0 };
        for row in rows {
            let (key, value) = row?;
            match key.as_str() {
                "epoch" => heard.life = life(&value),
                "snapshot" => heard.number = number(&value),
                key => {
                    let known = key.strip_prefix("epoch ").and_then(|text| hex::decode(text).ok());
                    heard.lives.extend(known.and_then(|raw| life(&raw)));
                }
            }
        }
        Ok(heard)
    }

    /// Reads what a phone was told of records.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn told(&self) -> Result<Told> {
        let mut query = self.conn.prepare("SELECT rec, field, hash FROM snapshot")?;
        let rows = query.query_map([], |row| Ok((RecordId(row.get(0)?), row.get(1)?, Hash32(row.get(2)?))))?;
        Ok(rows.collect::<rusqlite::Result<_>>()?)
    }

    /// The photos that a phone let go of.
    ///
    /// # Errors
    /// Of SQLite.
    pub fn let_go(&self) -> Result<Vec<BlobId>> {
        let mut query = self.conn.prepare("SELECT id FROM blob WHERE let_go = 1")?;
        Ok(query.query_map([], |row| row.get(0).map(BlobId))?.collect::<rusqlite::Result<_>>()?)
    }
}

fn number(raw: &[u8]) -> u64 {
    raw.try_into().map_or(0, u64::from_be_bytes)
}

fn life(raw: &[u8]) -> Option<Life> {
    let (n, random) = raw.split_at_checked(8)?;
    Some((number(n), random.try_into().ok()?))
}

fn open(folder: &Path) -> Result<Connection> {
    Ok(Connection::open_with_flags(folder.join("notebook.db"), OpenFlags::SQLITE_OPEN_READ_ONLY)?)
}
