-- The running of a day: its plans, the calls they make, the taps at the bench.

CREATE TABLE plan (
  day       INTEGER NOT NULL REFERENCES day ON DELETE CASCADE,
  version   INTEGER NOT NULL CHECK (version > 0),
  saved     INTEGER NOT NULL,
  made_from TEXT    NOT NULL CHECK (json_valid(made_from)), -- the day as it was then
  body      TEXT    NOT NULL CHECK (json_valid(body)),
  PRIMARY KEY (day, version)
) STRICT;

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
CREATE INDEX tap_day ON tap (day, version);

CREATE TABLE alert (
  id      INTEGER PRIMARY KEY AUTOINCREMENT,
  day     INTEGER NOT NULL,
  version INTEGER NOT NULL,
  task    TEXT    NOT NULL,
  kind    TEXT    NOT NULL,
  name    TEXT    NOT NULL,
  stage   TEXT    NOT NULL,
  class   TEXT    NOT NULL CHECK (class IN ('A', 'B', 'C')),
  baker   TEXT    NOT NULL,
  due     INTEGER NOT NULL,
  too_far INTEGER,
  was     INTEGER, -- due in the plan before, if it moved
  rung    INTEGER,
  state   TEXT    NOT NULL CHECK (state IN ('scheduled', 'due', 'acked', 'done', 'suppressed', 'missed')),
  reason  TEXT    NOT NULL DEFAULT '',
  tap     TEXT    NOT NULL DEFAULT '', -- the tap that brought it into its state
  changed INTEGER NOT NULL,
  UNIQUE (day, version, task, kind),
  FOREIGN KEY (day, version) REFERENCES plan ON DELETE CASCADE
) STRICT;
CREATE INDEX alert_due ON alert (due) WHERE state = 'scheduled';

CREATE TABLE alert_log (
  seq     INTEGER PRIMARY KEY,
  alert   INTEGER NOT NULL REFERENCES alert ON DELETE CASCADE,
  at      INTEGER NOT NULL,
  old     TEXT    NOT NULL,
  new     TEXT    NOT NULL,
  reason  TEXT    NOT NULL,
  tap     TEXT    NOT NULL
) STRICT;
CREATE INDEX alert_log_alert ON alert_log (alert);
CREATE INDEX alert_log_tap ON alert_log (tap) WHERE tap <> '';

-- Triggers, so that no code path can change a call without leaving a trace.
CREATE TRIGGER alert_made AFTER INSERT ON alert BEGIN
  INSERT INTO alert_log (alert, at, old, new, reason, tap)
  VALUES (NEW.id, NEW.changed, '', NEW.state, NEW.reason, NEW.tap);
END;

CREATE TRIGGER alert_changed AFTER UPDATE OF state ON alert WHEN NEW.state <> OLD.state BEGIN
  INSERT INTO alert_log (alert, at, old, new, reason, tap)
  VALUES (NEW.id, NEW.changed, OLD.state, NEW.state, NEW.reason, NEW.tap);
END;
