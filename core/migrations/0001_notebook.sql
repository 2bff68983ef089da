-- Truth: logs, changes, facts, statements. Everything below the line is derived and can be rebuilt.
CREATE TABLE meta(key TEXT PRIMARY KEY, value BLOB NOT NULL) WITHOUT ROWID;

CREATE TABLE log(
  id INTEGER PRIMARY KEY,
  device BLOB NOT NULL,
  incarnation BLOB NOT NULL,
  tip_signature BLOB,                       -- the author's newest signature that is held
  claimed_to INTEGER NOT NULL DEFAULT 0,    -- the highest place any manifest spoke of
  handed_to INTEGER NOT NULL DEFAULT 0,     -- own logs: last place put into a bundle
  received_to INTEGER NOT NULL DEFAULT 0,   -- own logs: last place that a receipt proves
  UNIQUE(device, incarnation)
);

CREATE TABLE change(
  log INTEGER NOT NULL REFERENCES log(id),
  seq INTEGER NOT NULL,
  hash BLOB NOT NULL,
  prev BLOB NOT NULL,
  rec BLOB NOT NULL,
  head BLOB NOT NULL,                       -- byte for byte as the author wrote it
  waiting TEXT,                             -- why it does not count
  partial INTEGER NOT NULL,                 -- a body may still come
  PRIMARY KEY(log, seq, hash)
) WITHOUT ROWID;

CREATE TABLE fact(
  rec BLOB NOT NULL,
  field INTEGER NOT NULL,
  hash BLOB NOT NULL,
  log INTEGER NOT NULL,
  seq INTEGER NOT NULL,
  flags INTEGER NOT NULL,                   -- 1 counts, 2 live, 4 body absent, 8 body erased
  salt BLOB,
  value BLOB NOT NULL,                      -- the value's CBOR; the commitment when there is no body
  preds BLOB NOT NULL,                      -- 32 bytes each
  PRIMARY KEY(rec, field, hash)
) WITHOUT ROWID;

CREATE TABLE statement(
  seq INTEGER NOT NULL,
  hash BLOB NOT NULL,
  signed BLOB NOT NULL,
  PRIMARY KEY(seq, hash)
) WITHOUT ROWID;

-- The newest reply of the office: what this device may hold.
CREATE TABLE snapshot(
  rec BLOB NOT NULL,
  field INTEGER NOT NULL,
  hash BLOB NOT NULL,
  kind INTEGER NOT NULL,
  device BLOB NOT NULL,
  label TEXT NOT NULL,
  rank INTEGER NOT NULL,
  at_ms INTEGER NOT NULL,
  value BLOB NOT NULL,
  PRIMARY KEY(rec, field, hash)
) WITHOUT ROWID;

-- Photos named by manifests or kept here. The bytes are files beside the database.
CREATE TABLE blob(
  id BLOB PRIMARY KEY,
  size INTEGER NOT NULL,
  held INTEGER NOT NULL,
  handed INTEGER NOT NULL DEFAULT 0,
  received INTEGER NOT NULL DEFAULT 0
) WITHOUT ROWID;

-- What was taken in or handed over, and what became of it. No words of anyone.
CREATE TABLE journal(
  id INTEGER PRIMARY KEY,
  at_ms INTEGER NOT NULL,
  topic TEXT NOT NULL,
  entry TEXT NOT NULL
);

-- What a person is typing, kept at every touch until it becomes a change.
CREATE TABLE draft(key TEXT PRIMARY KEY, at_ms INTEGER NOT NULL, text TEXT NOT NULL) WITHOUT ROWID;

---------------------------------------------------------------- derived
CREATE TABLE record(
  rec BLOB PRIMARY KEY,
  kind INTEGER NOT NULL,
  stale INTEGER NOT NULL
) WITHOUT ROWID;
CREATE INDEX record_stale ON record(stale) WHERE stale = 1;

CREATE TABLE shown(
  id INTEGER PRIMARY KEY,
  rec BLOB NOT NULL UNIQUE,
  kind INTEGER NOT NULL,
  hidden INTEGER NOT NULL,
  changed_ms INTEGER NOT NULL,
  conflicts INTEGER NOT NULL,
  fields TEXT NOT NULL
);
CREATE INDEX shown_kind ON shown(kind, hidden, changed_ms);

CREATE TABLE link(
  target BLOB NOT NULL,
  source BLOB NOT NULL,
  field INTEGER NOT NULL,
  PRIMARY KEY(target, source, field)
) WITHOUT ROWID;
CREATE INDEX link_source ON link(source);

CREATE VIRTUAL TABLE words USING fts5(text, tokenize = 'unicode61 remove_diacritics 2', prefix = '2 3');
INSERT INTO words(words, rank) VALUES('secure-delete', 1);
