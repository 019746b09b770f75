-- What is kept for all days (kitchen, base doughs, breads) and the days with
-- their orders. Instants are Unix milliseconds, local times are text, and what
-- is always loaded whole is a JSON document.

PRAGMA application_id = 0x6f76656e; -- "oven"

CREATE TABLE kitchen (
  id      INTEGER PRIMARY KEY CHECK (id = 1),
  body    TEXT    NOT NULL CHECK (json_valid(body)),
  example INTEGER NOT NULL CHECK (example IN (0, 1)),
  updated INTEGER NOT NULL
) STRICT;

CREATE TABLE base (
  id      TEXT    PRIMARY KEY CHECK (id <> ''),
  name    TEXT    NOT NULL,
  body    TEXT    NOT NULL CHECK (json_valid(body)),
  example INTEGER NOT NULL CHECK (example IN (0, 1)),
  retired INTEGER NOT NULL DEFAULT 0 CHECK (retired IN (0, 1)), -- deleted, kept for past days
  updated INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE bread (
  id      TEXT    PRIMARY KEY CHECK (id <> ''),
  name    TEXT    NOT NULL,
  base    TEXT    REFERENCES base, -- NULL: a dough of its own
  body    TEXT    NOT NULL CHECK (json_valid(body)),
  example INTEGER NOT NULL CHECK (example IN (0, 1)),
  retired INTEGER NOT NULL DEFAULT 0 CHECK (retired IN (0, 1)),
  updated INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
CREATE INDEX bread_base ON bread (base);

CREATE TABLE day (
  id       INTEGER PRIMARY KEY AUTOINCREMENT, -- never used twice: it is in addresses people keep
  date     TEXT    NOT NULL CHECK (date GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
  name     TEXT    NOT NULL,
  zone     TEXT    NOT NULL,
  now      TEXT    NOT NULL DEFAULT '', -- a fixed now, for rehearsal
  settings TEXT    NOT NULL CHECK (json_valid(settings)),
  room     TEXT    CHECK (json_valid(room)),
  example  INTEGER NOT NULL CHECK (example IN (0, 1)),
  version  INTEGER NOT NULL DEFAULT 0, -- of the newest plan
  updated  INTEGER NOT NULL
) STRICT;
CREATE INDEX day_date ON day (date);

CREATE TABLE ordered (
  day      INTEGER NOT NULL REFERENCES day ON DELETE CASCADE,
  line     INTEGER NOT NULL,
  bread    TEXT    NOT NULL REFERENCES bread,
  pieces   INTEGER NOT NULL,
  out_by   TEXT    NOT NULL,
  cool_by  TEXT    NOT NULL,
  promised INTEGER, -- the promise as an instant when it was saved; the text is the wish
  customer TEXT    NOT NULL,
  weight   INTEGER NOT NULL,
  PRIMARY KEY (day, line)
) STRICT, WITHOUT ROWID;
CREATE INDEX ordered_bread ON ordered (bread);

CREATE TABLE setting (
  key   TEXT PRIMARY KEY CHECK (key <> ''),
  value TEXT NOT NULL
) STRICT, WITHOUT ROWID;
