-- What a verified backup off this machine holds, as an office knows it; what a phone let go of.
ALTER TABLE change ADD COLUMN safe INTEGER NOT NULL DEFAULT 0;   -- 1 in that backup, 2 with all its bodies
ALTER TABLE blob ADD COLUMN safe INTEGER NOT NULL DEFAULT 0;     -- in that backup
ALTER TABLE blob ADD COLUMN let_go INTEGER NOT NULL DEFAULT 0;   -- the bytes left this device by its person's rule

-- Keyed hashes of photos that an erased value named which was erased as it came, so that no statement names them.
CREATE TABLE erased_blob(key BLOB PRIMARY KEY) WITHOUT ROWID;
