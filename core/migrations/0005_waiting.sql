-- Changes that do not count yet, which are few, found without going over all of them.
CREATE INDEX change_waiting ON change(log, seq) WHERE waiting IS NOT NULL;
