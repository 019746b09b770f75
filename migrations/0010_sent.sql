-- Keys under which something was sent that must not be done twice.

CREATE TABLE sent (
  key TEXT    PRIMARY KEY CHECK (key <> ''),
  day INTEGER NOT NULL, -- the day it began or was for; no reference, for it may be gone by now
  at  INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
