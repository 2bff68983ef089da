-- What the first screen of a phone asks, found without going over all that is shown.
CREATE INDEX shown_conflict ON shown(rec) WHERE conflicts > 0 AND hidden = 0;
-- Follow-ups (kind 13): whether nothing is left to ask, and the day; as notebook/due.rs has them.
CREATE INDEX shown_due ON shown(
  coalesce(json_extract(fields, '$.done'), json_extract(fields, '$.answered') IS NOT NULL
    OR coalesce(json_extract(fields, '$.answer'), '') <> ''),
  coalesce(json_extract(fields, '$.due'), '9999-12-31'),
  id
) WHERE kind = 13 AND hidden = 0;
