-- Changes whose authors can no longer read them, known by hash alone. A row is spent as soon as the change itself is here.
CREATE TABLE lost(
  log INTEGER NOT NULL REFERENCES log(id),
  seq INTEGER NOT NULL,
  hash BLOB NOT NULL,
  prev BLOB NOT NULL,                       -- hash of the change before it; zeros when that is not known
  PRIMARY KEY(log, seq, hash)
) WITHOUT ROWID;
