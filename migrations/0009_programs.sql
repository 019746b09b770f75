-- What lets other programs in, and the temperatures that were read in the kitchen.

CREATE TABLE pass (
  id   INTEGER PRIMARY KEY AUTOINCREMENT, -- never used twice: a form that ends one may be old
  hash BLOB    NOT NULL UNIQUE, -- SHA-256 of what the program holds
  kind TEXT    NOT NULL CHECK (kind IN ('calendar', 'data')),
  name TEXT    NOT NULL,
  made INTEGER NOT NULL,
  used INTEGER -- last, to the hour
) STRICT;

CREATE TABLE reading (
  id      TEXT    PRIMARY KEY CHECK (id <> ''), -- made by the client: sent twice, kept once
  place   TEXT    NOT NULL, -- '' = the bench
  at      INTEGER NOT NULL,
  minute  INTEGER NOT NULL CHECK (minute BETWEEN 0 AND 1439), -- of the local day
  celsius REAL    NOT NULL
) STRICT, WITHOUT ROWID;
CREATE INDEX reading_place ON reading (place, at);
