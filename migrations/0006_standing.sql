-- Orders that stand for every week, and the days that were made from them.

CREATE TABLE standing (
  id      TEXT    PRIMARY KEY CHECK (id <> ''),
  bread   TEXT    NOT NULL REFERENCES bread,
  body    TEXT    NOT NULL CHECK (json_valid(body)),
  updated INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
CREATE INDEX standing_bread ON standing (bread);

-- A date is here once its day was made, so that it is made once only.
CREATE TABLE coming (
  date   TEXT    PRIMARY KEY CHECK (date GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
  day    INTEGER UNIQUE REFERENCES day ON DELETE SET NULL, -- NULL: the baker deleted it
  name   TEXT    NOT NULL, -- it, its zone and its orders as they were made
  zone   TEXT    NOT NULL,
  orders TEXT    NOT NULL CHECK (json_valid(orders))
) STRICT, WITHOUT ROWID;
