-- A call rings more than once: what its next ring follows from, until when it is
-- put off, and what was said of it after too far.

CREATE TABLE new_alert (
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
INSERT INTO new_alert (id, day, version, task, kind, name, stage, class, baker, place, takes, due, too_far, was, rung, last, rings, next, acked, state, reason, tap, changed)
  SELECT id, day, version, task, kind, name, stage, class, baker, '', 0, due, too_far, was, rung, rung, rung IS NOT NULL,
    iif(state = 'scheduled', due, NULL), iif(state = 'acked', changed, NULL), state, reason, tap, changed
  FROM alert;
DROP TABLE alert;
ALTER TABLE new_alert RENAME TO alert;
CREATE INDEX alert_next ON alert (next) WHERE next IS NOT NULL;

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
