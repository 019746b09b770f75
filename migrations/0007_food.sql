-- Foods of the baker's own, and corrections of those the program knows.

CREATE TABLE food (
  id      TEXT    PRIMARY KEY CHECK (id <> ''),
  body    TEXT    NOT NULL CHECK (json_valid(body)),
  updated INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
