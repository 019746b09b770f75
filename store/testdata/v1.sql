-- A database of user_version 1, from sqlite3's .dump. What is in it is invented.
PRAGMA foreign_keys=OFF;
BEGIN TRANSACTION;
CREATE TABLE kitchen (
  id      INTEGER PRIMARY KEY CHECK (id = 1),
  body    TEXT    NOT NULL CHECK (json_valid(body)),
  example INTEGER NOT NULL CHECK (example IN (0, 1)),
  updated INTEGER NOT NULL
) STRICT;
INSERT INTO kitchen VALUES(1,'{"places":[{"name":"bench","kind":"room","curve":[{"at":"00:00","celsius":18.5},{"at":"12:00","celsius":22}],"spaces":0},{"name":"fridge","kind":"cold","air":"fan","curve":[{"at":"00:00","celsius":4}],"spaces":6}],"ovens":[{"name":"deck","decks":2,"trays_per_deck":2,"max_celsius":280,"heats_per_minute":6,"cools_per_minute":1.5}],"bakers":[{"name":"Orla","hours":[{"from":"04:00","to":"13:00"}],"cannot":["fold"]}],"tub_grams":8000,"flour_celsius":19,"tap_celsius":11.5}',0,1795592753912);
CREATE TABLE base (
  id      TEXT    PRIMARY KEY CHECK (id <> ''),
  name    TEXT    NOT NULL,
  body    TEXT    NOT NULL CHECK (json_valid(body)),
  example INTEGER NOT NULL CHECK (example IN (0, 1)),
  retired INTEGER NOT NULL DEFAULT 0 CHECK (retired IN (0, 1)), -- deleted, kept for past days
  updated INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
INSERT INTO base VALUES('sweet','Sweet dough','{"id":"sweet","name":"Sweet dough","formula":{"ingredients":[{"food":"bread-flour","percent":100},{"food":"water","percent":62.5}]},"method":[{"kind":"mix","minutes":12,"machine":true}]}',0,0,1795592753914);
CREATE TABLE bread (
  id      TEXT    PRIMARY KEY CHECK (id <> ''),
  name    TEXT    NOT NULL,
  base    TEXT    REFERENCES base, -- NULL: a dough of its own
  body    TEXT    NOT NULL CHECK (json_valid(body)),
  example INTEGER NOT NULL CHECK (example IN (0, 1)),
  retired INTEGER NOT NULL DEFAULT 0 CHECK (retired IN (0, 1)),
  updated INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
INSERT INTO bread VALUES('bun','Bread bun','sweet','{"id":"bun","name":"Bread bun","base":"sweet","formula":{"ingredients":[{"food":"bread-flour","percent":100},{"food":"water","percent":62.5}]},"method":[{"kind":"proof","until":{"word":"three-quarters"},"chill":{"place":"fridge","least_minutes":480,"most_minutes":900}},{"kind":"bake","steps":[{"celsius":210,"minutes":14,"steam":true}]}],"piece_grams":85,"per_tray":12,"bake_loss":11.5}',0,0,1795592753914);
INSERT INTO bread VALUES('loaf','Bread loaf',NULL,'{"id":"loaf","name":"Bread loaf","formula":{"ingredients":[{"food":"bread-flour","percent":100},{"food":"water","percent":62.5}]},"method":[{"kind":"proof","until":{"word":"three-quarters"},"chill":{"place":"fridge","least_minutes":480,"most_minutes":900}},{"kind":"bake","steps":[{"celsius":210,"minutes":14,"steam":true}]}],"piece_grams":85,"per_tray":12,"bake_loss":11.5}',0,0,1795592753915);
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
INSERT INTO day VALUES(1,'2026-11-28','Market','Europe/Dublin','','{"seed":9223372036854775808,"slack":10}',NULL,0,0,1795842000000);
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
INSERT INTO ordered VALUES(1,0,'bun',24,'','2026-11-28T09:30',1795858200000,'stall',2);
INSERT INTO ordered VALUES(1,1,'loaf',6,'2026-11-28T08:00','',1795852800000,'',0);
CREATE TABLE setting (
  key   TEXT PRIMARY KEY CHECK (key <> ''),
  value TEXT NOT NULL
) STRICT, WITHOUT ROWID;
INSERT INTO setting VALUES('theme','dark');
ANALYZE sqlite_schema;
INSERT INTO sqlite_stat1 VALUES('setting','setting','1 1');
INSERT INTO sqlite_stat1 VALUES('ordered','ordered_bread','2 1');
INSERT INTO sqlite_stat1 VALUES('ordered','ordered','2 2 1');
INSERT INTO sqlite_stat1 VALUES('day','day_date','1 1');
INSERT INTO sqlite_stat1 VALUES('base','base','1 1');
INSERT INTO sqlite_stat1 VALUES('bread','bread_base','2 1');
INSERT INTO sqlite_stat1 VALUES('bread','bread','2 1');
DELETE FROM sqlite_sequence;
INSERT INTO sqlite_sequence VALUES('day',1);
CREATE INDEX bread_base ON bread (base);
CREATE INDEX day_date ON day (date);
CREATE INDEX ordered_bread ON ordered (bread);
COMMIT;
PRAGMA application_id = 1870030190;
PRAGMA user_version = 1;
