-- Accounts of the office page. No password, token or code stands here as it is: only its hash.
CREATE TABLE account (
  id        INTEGER PRIMARY KEY,
  key       TEXT NOT NULL UNIQUE,  -- the name folded, to sign in with
  name      TEXT NOT NULL,
  role      TEXT NOT NULL,
  password  TEXT,                  -- Argon2id, PHC string; NULL until the person has chosen one
  made_ms   INTEGER NOT NULL,
  closed_ms INTEGER
) STRICT;

CREATE TABLE session (
  hash     BLOB PRIMARY KEY,
  account  INTEGER NOT NULL REFERENCES account (id),
  begun_ms INTEGER NOT NULL,
  seen_ms  INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
CREATE INDEX session_of ON session (account);

-- One-time links: to choose the password of an account, or, with no account, to make the first one.
CREATE TABLE link (
  hash     BLOB PRIMARY KEY,
  account  INTEGER REFERENCES account (id),
  until_ms INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE recovery (
  hash    BLOB PRIMARY KEY,
  account INTEGER NOT NULL REFERENCES account (id),
  used_ms INTEGER
) STRICT, WITHOUT ROWID;

-- Tries to sign in since the last that went well, by account or by address.
CREATE TABLE tries (
  who     BLOB PRIMARY KEY,
  count   INTEGER NOT NULL,
  last_ms INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

-- Who did what kind of thing to which record. Never anyone's words.
CREATE TABLE audit (
  n       INTEGER PRIMARY KEY AUTOINCREMENT,
  at_ms   INTEGER NOT NULL,
  account INTEGER REFERENCES account (id),
  act     TEXT NOT NULL,
  about   TEXT
) STRICT;
CREATE TRIGGER audit_stays BEFORE UPDATE ON audit BEGIN SELECT RAISE(ABORT, 'the audit is only added to'); END;
CREATE TRIGGER audit_is_kept BEFORE DELETE ON audit BEGIN SELECT RAISE(ABORT, 'the audit is only added to'); END;

-- The rule of keeping: after how many months the private fields of a closed inquiry go.
CREATE TABLE rule (
  one    INTEGER PRIMARY KEY CHECK (one = 1),
  months INTEGER NOT NULL
) STRICT;
