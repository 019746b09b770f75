-- What the water of the bench sheet had allowed for when a dough came off the
-- mixer as warm as it was seen.

ALTER TABLE observation ADD COLUMN allowed REAL NOT NULL DEFAULT 0;
