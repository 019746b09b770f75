-- Who may come in from other machines.

CREATE TABLE passphrase (
  id   INTEGER PRIMARY KEY CHECK (id = 1),
  hash TEXT    NOT NULL, -- argon2id
  made INTEGER NOT NULL
) STRICT;

CREATE TABLE session (
  id    INTEGER PRIMARY KEY AUTOINCREMENT, -- never used twice: a form that ends one may be old
  token BLOB    NOT NULL UNIQUE, -- SHA-256 of what the browser holds
  role  TEXT    NOT NULL CHECK (role IN ('baker', 'helper')),
  name  TEXT    NOT NULL, -- what kind of device it is
  began INTEGER NOT NULL,
  seen  INTEGER NOT NULL,
  ends  INTEGER NOT NULL
) STRICT;
