-- What has happened on a day, in more words than a tap has; plans that repair the
-- one before; and what doughs have taught.

CREATE TABLE slip (
  tap  TEXT PRIMARY KEY REFERENCES tap (id) ON DELETE CASCADE,
  body TEXT NOT NULL CHECK (json_valid(body))
) STRICT, WITHOUT ROWID;

CREATE TABLE repair (
  day     INTEGER NOT NULL,
  version INTEGER NOT NULL,
  base    INTEGER NOT NULL, -- the plan whose day the log speaks of: the last one made anew
  accept  TEXT    NOT NULL UNIQUE CHECK (accept <> ''), -- made by the client: sent twice, accepted once
  PRIMARY KEY (day, version),
  FOREIGN KEY (day, version) REFERENCES plan ON DELETE CASCADE
) STRICT, WITHOUT ROWID;

CREATE TABLE observation (
  tap       TEXT    PRIMARY KEY, -- the sighting
  day       INTEGER NOT NULL, -- it may be gone: what it taught stays
  task      TEXT    NOT NULL,
  at        INTEGER NOT NULL,
  bread     TEXT    NOT NULL, -- what is alike from day to day
  dough     TEXT    NOT NULL, -- base or bread it is a rise of
  name      TEXT    NOT NULL,
  number    INTEGER NOT NULL, -- of the day, for the likeness of days
  regime    INTEGER NOT NULL,
  kind      INTEGER NOT NULL,
  predicted REAL    NOT NULL,
  observed  REAL    NOT NULL,
  sd        REAL    NOT NULL,
  forgotten INTEGER NOT NULL DEFAULT 0 CHECK (forgotten IN (0, 1))
) STRICT, WITHOUT ROWID;
CREATE INDEX observation_dough ON observation (dough);
