-- Each person's own names for filters of the list of inquiries.
CREATE TABLE saved_view (
  id      INTEGER PRIMARY KEY,
  account INTEGER NOT NULL REFERENCES account (id),
  name    TEXT NOT NULL,
  filter  TEXT NOT NULL            -- as it stands in an address
) STRICT;
CREATE UNIQUE INDEX saved_view_name ON saved_view (account, name COLLATE NOCASE);
