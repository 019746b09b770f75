// Package migrations holds the schema of the database as numbered steps. Step n
// brings a database from user_version n-1 to n, in one transaction with foreign
// keys off and checked before it commits; package store runs them.
//
// A landed file never changes; its SHA-256 is in the file checksums. To change a
// table in ways ALTER TABLE cannot, rebuild it
// (https://www.sqlite.org/lang_altertable.html#otheralter):
//
//	CREATE TABLE new_x (...) STRICT;
//	INSERT INTO new_x (...) SELECT ... FROM x;
//	DROP TABLE x;
//	ALTER TABLE new_x RENAME TO x;
//	-- and its indexes and triggers again
package migrations

import "embed"

// FS holds the files 0001_*.sql, 0002_*.sql, ... without gaps.
//
//go:embed *.sql
var FS embed.FS
