-- A database of user_version 11, from sqlite3's .dump. What is in it is invented.
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
INSERT INTO day VALUES(1,'2026-11-28','Market','Europe/Dublin','','{"seed":9223372036854775808,"slack":10}',NULL,0,1,1795842000000);
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
CREATE TABLE plan (
  day       INTEGER NOT NULL REFERENCES day ON DELETE CASCADE,
  version   INTEGER NOT NULL CHECK (version > 0),
  saved     INTEGER NOT NULL,
  made_from TEXT    NOT NULL CHECK (json_valid(made_from)), -- the day as it was then
  body      TEXT    NOT NULL CHECK (json_valid(body)),
  PRIMARY KEY (day, version)
) STRICT;
INSERT INTO "plan" VALUES(1,1,1795842000000,'{"format":"ovenward-day/1","name":"Market","zone":"Europe/Dublin","now":"2026-11-27T18:00","settings":{"seed":9223372036854775808,"slack":10},"kitchen":{"places":[{"name":"bench","kind":"room","curve":[{"at":"00:00","celsius":18.5},{"at":"12:00","celsius":22}],"spaces":0},{"name":"fridge","kind":"cold","air":"fan","curve":[{"at":"00:00","celsius":4}],"spaces":6}],"ovens":[{"name":"deck","decks":2,"trays_per_deck":2,"max_celsius":280,"heats_per_minute":6,"cools_per_minute":1.5}],"bakers":[{"name":"Orla","hours":[{"from":"04:00","to":"13:00"}],"cannot":["fold"]}],"tub_grams":8000,"flour_celsius":19,"tap_celsius":11.5},"bases":[{"id":"sweet","name":"Sweet dough","formula":{"ingredients":[{"food":"bread-flour","percent":100},{"food":"water","percent":62.5}]},"method":[{"kind":"mix","minutes":12,"machine":true}]}],"breads":[{"id":"bun","name":"Bread bun","base":"sweet","formula":{"ingredients":[{"food":"bread-flour","percent":100},{"food":"water","percent":62.5}]},"method":[{"kind":"proof","until":{"word":"three-quarters"},"chill":{"place":"fridge","least_minutes":480,"most_minutes":900}},{"kind":"bake","steps":[{"celsius":210,"minutes":14,"steam":true}]}],"piece_grams":85,"per_tray":12,"bake_loss":11.5},{"id":"loaf","name":"Bread loaf","formula":{"ingredients":[{"food":"bread-flour","percent":100},{"food":"water","percent":62.5}]},"method":[{"kind":"proof","until":{"word":"three-quarters"},"chill":{"place":"fridge","least_minutes":480,"most_minutes":900}},{"kind":"bake","steps":[{"celsius":210,"minutes":14,"steam":true}]}],"piece_grams":85,"per_tray":12,"bake_loss":11.5}],"orders":[{"bread":"bun","pieces":24,"cool_by":"2026-11-28T09:30","for":"stall","weight":2},{"bread":"loaf","pieces":6,"out_by":"2026-11-28T08:00"}]}','{"format":"ovenward-plan/1","day":"Market","zone":"Europe/Dublin","made":"2026-11-28T05:00:00Z","batches":null,"loads":null,"tasks":[{"id":"A.1","stage":0,"kind":"shape","name":"Bun","start":"2026-11-28T06:00:00Z","end":"2026-11-28T06:20:00Z","hands":[{"baker":"Orla","from":"2026-11-28T06:00:00Z","to":"2026-11-28T06:20:00Z"}]},{"id":"A.2","stage":0,"kind":"bake","name":"Bun","start":"2026-11-28T07:10:00Z","end":"2026-11-28T07:24:00Z","window":{"ready":"2026-11-28T07:05:00Z","best":"0001-01-01T00:00:00Z","late":"0001-01-01T00:00:00Z","too_far":"2026-11-28T07:40:00Z","early":"0001-01-01T00:00:00Z","tardy":"0001-01-01T00:00:00Z"},"too_far":"2026-11-28T07:40:00Z","why":{"code":"ready","at":"2026-11-28T07:05:00Z"}}],"outcome":{"kept":true,"late_minutes":0,"least_late":false,"broken":[],"binding":null,"ways_out":null,"work_start":"2026-11-28T06:00:00Z","work_end":"2026-11-28T07:24:00Z","hands_minutes":0,"longest_pause_minutes":0,"steps":0}}');
CREATE TABLE tap (
  seq      INTEGER PRIMARY KEY, -- order of arrival
  id       TEXT    NOT NULL UNIQUE CHECK (id <> ''), -- made by the client: sent twice, kept once
  day      INTEGER NOT NULL,
  version  INTEGER NOT NULL,
  task     TEXT    NOT NULL,
  kind     TEXT    NOT NULL,
  undoes   TEXT    UNIQUE REFERENCES tap (id),
  at       INTEGER NOT NULL,
  recorded INTEGER NOT NULL,
  minutes  INTEGER NOT NULL,
  value    REAL    NOT NULL,
  FOREIGN KEY (day, version) REFERENCES plan ON DELETE CASCADE
) STRICT;
CREATE TABLE alert_log (
  seq     INTEGER PRIMARY KEY,
  alert   INTEGER NOT NULL REFERENCES alert ON DELETE CASCADE,
  at      INTEGER NOT NULL,
  old     TEXT    NOT NULL,
  new     TEXT    NOT NULL,
  reason  TEXT    NOT NULL,
  tap     TEXT    NOT NULL
) STRICT;
INSERT INTO alert_log VALUES(1,1,1795842000000,'','scheduled','','');
INSERT INTO alert_log VALUES(2,2,1795842000000,'','scheduled','','');
INSERT INTO alert_log VALUES(3,3,1795842000000,'','scheduled','','');
INSERT INTO alert_log VALUES(4,1,1795845600000,'scheduled','due','','');
INSERT INTO alert_log VALUES(5,2,1795851600000,'scheduled','past','','');
INSERT INTO alert_log VALUES(6,1,1795845600000,'due','shelved','','');
ANALYZE sqlite_schema;
INSERT INTO sqlite_stat1 VALUES('plan','sqlite_autoindex_plan_1','1 1 1');
INSERT INTO sqlite_stat1 VALUES('setting','setting','1 1');
INSERT INTO sqlite_stat1 VALUES('ordered','ordered_bread','2 1');
INSERT INTO sqlite_stat1 VALUES('ordered','ordered','2 2 1');
INSERT INTO sqlite_stat1 VALUES('day','day_date','1 1');
INSERT INTO sqlite_stat1 VALUES('alert_log','alert_log_tap','0 0');
INSERT INTO sqlite_stat1 VALUES('alert_log','alert_log_alert','4 2');
INSERT INTO sqlite_stat1 VALUES('base','base','1 1');
INSERT INTO sqlite_stat1 VALUES('bread','bread_base','2 1');
INSERT INTO sqlite_stat1 VALUES('bread','bread','2 1');
CREATE TABLE IF NOT EXISTS "alert" (
  id       INTEGER PRIMARY KEY AUTOINCREMENT,
  day      INTEGER NOT NULL,
  version  INTEGER NOT NULL,
  task     TEXT    NOT NULL,
  kind     TEXT    NOT NULL,
  name     TEXT    NOT NULL,
  stage    TEXT    NOT NULL,
  class    TEXT    NOT NULL CHECK (class IN ('A', 'B', 'C')),
  baker    TEXT    NOT NULL,
  place    TEXT    NOT NULL,
  takes    REAL    NOT NULL, -- minutes of hands
  due      INTEGER NOT NULL,
  too_far  INTEGER,
  was      INTEGER, -- due in the plan before, if it moved
  rung     INTEGER, -- first
  last     INTEGER, -- ring; never goes back
  rings    INTEGER NOT NULL DEFAULT 0,
  next     INTEGER, -- ring; NULL = silent
  acked    INTEGER,
  shelved  INTEGER, -- until
  snoozes  INTEGER NOT NULL DEFAULT 0, -- in a row
  decision TEXT    NOT NULL DEFAULT '', -- kind of the tap that decided after too far
  state    TEXT    NOT NULL CHECK (state IN ('scheduled', 'due', 'acked', 'shelved', 'done', 'suppressed', 'missed', 'past')),
  reason   TEXT    NOT NULL DEFAULT '',
  tap      TEXT    NOT NULL DEFAULT '', -- the tap that brought it into its state
  changed  INTEGER NOT NULL,
  UNIQUE (day, version, task, kind),
  FOREIGN KEY (day, version) REFERENCES plan ON DELETE CASCADE
) STRICT;
INSERT INTO alert VALUES(1,1,1,'A.1','start','Bun','shape','B','Orla','',20.0,1795845600000,NULL,NULL,1795845600000,1795845600000,1,1795846200000,NULL,1795846200000,1,'','shelved','','',1795845600000);
INSERT INTO alert VALUES(2,1,1,'A.2','start','Bun','bake','B','Orla','',0.0,1795849800000,1795851600000,NULL,1795849800000,1795851600000,2,1795851660000,NULL,NULL,0,'','past','','',1795851600000);
INSERT INTO alert VALUES(3,1,1,'A.2','unload','Bun','bake','A','Orla','',0.0,1795850640000,1795850940000,NULL,NULL,NULL,0,1795850640000,NULL,NULL,0,'','scheduled','','',1795842000000);
CREATE TABLE passphrase (
  id   INTEGER PRIMARY KEY CHECK (id = 1),
  hash TEXT    NOT NULL, -- argon2id
  made INTEGER NOT NULL
) STRICT;
INSERT INTO passphrase VALUES(1,'$argon2id$v=19$m=65536,t=2,p=1$c29tZXNhbHQ$CTFhFdXPJO1aFaMaO6Mm5c8y7cJHAph8ArZWb2GRPPc',1795845600000);
CREATE TABLE session (
  id    INTEGER PRIMARY KEY AUTOINCREMENT, -- never used twice: a form that ends one may be old
  token BLOB    NOT NULL UNIQUE, -- SHA-256 of what the browser holds
  role  TEXT    NOT NULL CHECK (role IN ('baker', 'helper')),
  name  TEXT    NOT NULL, -- what kind of device it is
  began INTEGER NOT NULL,
  seen  INTEGER NOT NULL,
  ends  INTEGER NOT NULL
) STRICT;
INSERT INTO session VALUES(1,X'00','helper','Firefox on Android',1795845600000,1795845600000,1798437600000);
CREATE TABLE slip (
  tap  TEXT PRIMARY KEY REFERENCES tap (id) ON DELETE CASCADE,
  body TEXT NOT NULL CHECK (json_valid(body))
) STRICT, WITHOUT ROWID;
INSERT INTO tap VALUES(1,'t1',1,1,'','place',NULL,1795845600000,1795845600000,0,0.0);
INSERT INTO slip VALUES('t1','{"id":"t1","kind":"place","at":"2026-11-28T06:00:00Z","of":"bench","celsius":24}');
CREATE TABLE repair (
  day     INTEGER NOT NULL,
  version INTEGER NOT NULL,
  base    INTEGER NOT NULL, -- the plan whose day the log speaks of: the last one made anew
  accept  TEXT    NOT NULL UNIQUE CHECK (accept <> ''), -- made by the client: sent twice, accepted once
  PRIMARY KEY (day, version),
  FOREIGN KEY (day, version) REFERENCES plan ON DELETE CASCADE
) STRICT, WITHOUT ROWID;
INSERT INTO repair VALUES(1,1,1,'k');
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
, allowed REAL NOT NULL DEFAULT 0, speed REAL NOT NULL DEFAULT 0) STRICT, WITHOUT ROWID;
INSERT INTO observation VALUES('o1',1,'A.1',1795845600000,'sweet/rise','sweet','Sweet dough',20785,0,0,100.0,120.0,0.15,0,0.0,0.0);
INSERT INTO observation VALUES('o2',1,'A.1',1795845000000,'sweet/mix','sweet','Sweet dough',20785,0,3,26.0,27.5,0.0,0,0.6,0.0);
CREATE TABLE standing (
  id      TEXT    PRIMARY KEY CHECK (id <> ''),
  bread   TEXT    NOT NULL REFERENCES bread,
  body    TEXT    NOT NULL CHECK (json_valid(body)),
  updated INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
INSERT INTO standing VALUES('st','bun','{"id":"st","bread":"bun","pieces":24,"days":"sat","at":"07:30","from":"2026-11-28","for":"Café X","except":[{"date":"2026-12-26","pieces":0}]}',1795592753916);
CREATE TABLE coming (
  date   TEXT    PRIMARY KEY CHECK (date GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
  day    INTEGER UNIQUE REFERENCES day ON DELETE SET NULL, -- NULL: the baker deleted it
  name   TEXT    NOT NULL, -- it, its zone and its orders as they were made
  zone   TEXT    NOT NULL,
  orders TEXT    NOT NULL CHECK (json_valid(orders))
) STRICT, WITHOUT ROWID;
INSERT INTO coming VALUES('2026-11-28',1,'Saturday 28 November','Europe/Dublin','[{"bread":"bun","pieces":24,"out_by":"2026-11-28T07:30","for":"Café X"}]');
INSERT INTO coming VALUES('2026-12-05',NULL,'Saturday 5 December','Europe/Dublin','[{"bread":"bun","pieces":24,"out_by":"2026-12-05T07:30","for":"Café X"}]');
CREATE TABLE food (
  id      TEXT    PRIMARY KEY CHECK (id <> ''),
  body    TEXT    NOT NULL CHECK (json_valid(body)),
  updated INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
INSERT INTO food VALUES('bread-flour','{"id":"bread-flour","name":"Mill flour","role":"flour","water":14,"fat":1.5,"sugar":0.3,"salt":0,"protein":13,"measures":[{"name":"cup","grams":130}],"allergens":["wheat"]}',1795592753916);
CREATE TABLE pass (
  id   INTEGER PRIMARY KEY AUTOINCREMENT, -- never used twice: a form that ends one may be old
  hash BLOB    NOT NULL UNIQUE, -- SHA-256 of what the program holds
  kind TEXT    NOT NULL CHECK (kind IN ('calendar', 'data')),
  name TEXT    NOT NULL,
  made INTEGER NOT NULL,
  used INTEGER -- last, to the hour
) STRICT;
INSERT INTO pass VALUES(1,x'00ff','calendar','phone',1795592753916,NULL);
CREATE TABLE reading (
  id      TEXT    PRIMARY KEY CHECK (id <> ''), -- made by the client: sent twice, kept once
  place   TEXT    NOT NULL, -- '' = the bench
  at      INTEGER NOT NULL,
  minute  INTEGER NOT NULL CHECK (minute BETWEEN 0 AND 1439), -- of the local day
  celsius REAL    NOT NULL
) STRICT, WITHOUT ROWID;
INSERT INTO reading VALUES('t-4','',1795592753916,435,23.5);
CREATE TABLE sent (
  key TEXT    PRIMARY KEY CHECK (key <> ''),
  day INTEGER NOT NULL, -- the day it began or was for; no reference, for it may be gone by now
  at  INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
INSERT INTO sent VALUES('1 order-1',1,1795592753916);
DELETE FROM sqlite_sequence;
INSERT INTO sqlite_sequence VALUES('day',1);
INSERT INTO sqlite_sequence VALUES('alert',3);
INSERT INTO sqlite_sequence VALUES('pass',1);
CREATE INDEX bread_base ON bread (base);
CREATE INDEX day_date ON day (date);
CREATE INDEX ordered_bread ON ordered (bread);
CREATE INDEX tap_day ON tap (day, version);
CREATE INDEX alert_log_alert ON alert_log (alert);
CREATE INDEX alert_log_tap ON alert_log (tap) WHERE tap <> '';
CREATE INDEX alert_next ON alert (next) WHERE next IS NOT NULL;
CREATE INDEX observation_dough ON observation (dough);
CREATE INDEX standing_bread ON standing (bread);
CREATE INDEX reading_place ON reading (place, at);
CREATE TRIGGER alert_made AFTER INSERT ON alert BEGIN
  INSERT INTO alert_log (alert, at, old, new, reason, tap)
  VALUES (NEW.id, NEW.changed, '', NEW.state, NEW.reason, NEW.tap);
END;
CREATE TRIGGER alert_changed AFTER UPDATE OF state ON alert WHEN NEW.state <> OLD.state BEGIN
  INSERT INTO alert_log (alert, at, old, new, reason, tap)
  VALUES (NEW.id, NEW.changed, OLD.state, NEW.state, NEW.reason, NEW.tap);
END;
CREATE TRIGGER alert_again AFTER UPDATE OF rings ON alert WHEN NEW.rings > OLD.rings AND NEW.state = OLD.state BEGIN
  INSERT INTO alert_log (alert, at, old, new, reason, tap)
  VALUES (NEW.id, NEW.last, OLD.state, NEW.state, 'again', '');
END;
COMMIT;
PRAGMA application_id = 1870030190;
PRAGMA user_version = 11;
