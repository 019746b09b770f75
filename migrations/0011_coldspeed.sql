-- How fast a dough in the cold was, against the model, that was seen as it was; its
-- minutes do not tell. 0 where they do.

ALTER TABLE observation ADD COLUMN speed REAL NOT NULL DEFAULT 0;
