-- The order in which what is shown changed, so that what is derived elsewhere can follow it. A row is a record's newest turn;
-- one that vanished leaves its id. Turns are never used twice.
CREATE TABLE turned(
  turn INTEGER PRIMARY KEY AUTOINCREMENT,
  rec BLOB NOT NULL UNIQUE,
  kind INTEGER NOT NULL,
  gone INTEGER NOT NULL
);
INSERT INTO turned(rec, kind, gone) SELECT rec, kind, 0 FROM shown ORDER BY id;
