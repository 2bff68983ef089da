-- Derived from the notebook: deleting the file is always right. Of what is under seal it holds ids alone.
CREATE TABLE mark(key TEXT PRIMARY KEY, value) WITHOUT ROWID;

CREATE TABLE inquiry(
  no INTEGER PRIMARY KEY,
  id BLOB NOT NULL UNIQUE,
  sealed INTEGER NOT NULL,
  listed INTEGER NOT NULL,                  -- may stand in a list: there, not hidden, not sealed
  opened_ms INTEGER,
  week TEXT,                                -- of ISO 8601, in the county's time, 2026-W30
  channel TEXT,
  township TEXT,
  cell TEXT,
  status TEXT,
  outcome TEXT,
  due TEXT,                                 -- the first follow-up that nobody answered
  stop INTEGER NOT NULL DEFAULT 0,
  conflicts INTEGER NOT NULL DEFAULT 0,
  diagnosis TEXT,                           -- how far the newest one is confirmed
  scout TEXT,
  changed_ms INTEGER,
  counted INTEGER NOT NULL DEFAULT 0,       -- may be counted
  halt INTEGER NOT NULL DEFAULT 0,          -- a stop was raised that halts
  private INTEGER NOT NULL DEFAULT 0        -- private words stand in its records
);
CREATE INDEX inquiry_newest ON inquiry(opened_ms, id) WHERE listed = 1;
CREATE INDEX inquiry_status ON inquiry(status, opened_ms, id) WHERE listed = 1;
CREATE INDEX inquiry_township ON inquiry(township, opened_ms, id, status) WHERE listed = 1;
CREATE INDEX inquiry_place ON inquiry(township, cell, counted, opened_ms) WHERE listed = 1;
CREATE INDEX inquiry_scout ON inquiry(scout, opened_ms, id, status) WHERE listed = 1;
CREATE INDEX inquiry_week ON inquiry(week, counted, opened_ms) WHERE listed = 1;
CREATE INDEX inquiry_stop ON inquiry(opened_ms, id, status) WHERE listed = 1 AND stop = 1;
CREATE INDEX inquiry_conflict ON inquiry(opened_ms, id, status) WHERE listed = 1 AND conflicts > 0;
CREATE INDEX inquiry_halt ON inquiry(status, opened_ms, id) WHERE listed = 1 AND halt = 1;
CREATE INDEX inquiry_kept ON inquiry(changed_ms, id) WHERE listed = 1 AND status = 'closed' AND private = 1;
CREATE INDEX inquiry_end ON inquiry(substr(hex(id), -6)) WHERE listed = 1;
CREATE INDEX inquiry_sealed ON inquiry(sealed) WHERE sealed = 1;

-- How many inquiries stand in lists, by where they stand.
CREATE TABLE tally(status TEXT PRIMARY KEY, n INTEGER NOT NULL) WITHOUT ROWID;
CREATE TRIGGER tally_new AFTER INSERT ON inquiry WHEN new.listed = 1 BEGIN
  INSERT INTO tally(status, n) VALUES(new.status, 1) ON CONFLICT(status) DO UPDATE SET n = n + 1;
END;
CREATE TRIGGER tally_gone AFTER DELETE ON inquiry WHEN old.listed = 1 BEGIN
  UPDATE tally SET n = n - 1 WHERE status = old.status;
END;
CREATE TRIGGER tally_from AFTER UPDATE ON inquiry WHEN old.listed = 1 BEGIN
  UPDATE tally SET n = n - 1 WHERE status = old.status;
END;
CREATE TRIGGER tally_to AFTER UPDATE ON inquiry WHEN new.listed = 1 BEGIN
  INSERT INTO tally(status, n) VALUES(new.status, 1) ON CONFLICT(status) DO UPDATE SET n = n + 1;
END;

CREATE TABLE host(
  host TEXT NOT NULL,
  inquiry INTEGER NOT NULL,
  affected INTEGER NOT NULL,
  present INTEGER NOT NULL,
  answered INTEGER NOT NULL,
  PRIMARY KEY(host, inquiry)
) WITHOUT ROWID;
CREATE INDEX host_inquiry ON host(inquiry, host, affected, present, answered);

-- Causes that the newest diagnosis names.
CREATE TABLE cause(
  cause TEXT NOT NULL,
  inquiry INTEGER NOT NULL,
  percent INTEGER,
  PRIMARY KEY(cause, inquiry)
) WITHOUT ROWID;
CREATE INDEX cause_inquiry ON cause(inquiry);

-- Causes that count for a host: held about even, or likelier.
CREATE TABLE held(
  host TEXT NOT NULL,
  cause TEXT NOT NULL,
  inquiry INTEGER NOT NULL,
  n INTEGER NOT NULL,
  PRIMARY KEY(host, cause, inquiry)
) WITHOUT ROWID;
CREATE INDEX held_inquiry ON held(inquiry, host, cause, n);

CREATE TABLE review(
  reason TEXT NOT NULL,
  inquiry INTEGER NOT NULL,
  PRIMARY KEY(reason, inquiry)
) WITHOUT ROWID;
CREATE INDEX review_inquiry ON review(inquiry);

-- What is to be asked later.
CREATE TABLE later(
  rec BLOB PRIMARY KEY,
  inquiry INTEGER NOT NULL,
  done INTEGER NOT NULL,
  day TEXT NOT NULL,                        -- due on it, or once done, answered on it; ~ where nobody wrote one
  by TEXT NOT NULL                          -- whose it is; empty where nobody's
) WITHOUT ROWID;
CREATE INDEX later_day ON later(done, day, rec);
CREATE INDEX later_by ON later(by, done, day, rec);
CREATE INDEX later_inquiry ON later(inquiry);

-- What the review works out of an inquiry, in its own form.
CREATE TABLE answer(inquiry BLOB PRIMARY KEY, answers TEXT NOT NULL) WITHOUT ROWID;

-- Records of an inquiry.
CREATE TABLE member(rec BLOB NOT NULL, inquiry INTEGER NOT NULL, PRIMARY KEY(rec, inquiry)) WITHOUT ROWID;
CREATE INDEX member_inquiry ON member(inquiry);

-- Alerts under seal that belong to no inquiry.
CREATE TABLE lone(rec BLOB PRIMARY KEY) WITHOUT ROWID;

-- One row an inquiry, of its number: the words of its records, and the names of the pack by which it is found.
CREATE VIRTUAL TABLE found USING fts5(text, names, tokenize = 'unicode61 remove_diacritics 2', prefix = '2 3');
INSERT INTO found(found, rank) VALUES('secure-delete', 1);
