package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"log/slog"
	"path/filepath"
	"time"

	"ovenward/store"
	"ovenward/store/record"
)

// The files within the data folder.
const (
	databaseName = "ovenward.db"
	copiesName   = "backup"
)

// dataFlag gives a command the flag -data.
func (p *program) dataFlag(fs *flag.FlagSet) *string {
	dir := p.getenv("OVENWARD_DATA")
	if dir == "" {
		dir = p.dataDir()
	}
	return fs.String("data", dir, "the database is in `folder`")
}

// backup writes a copy of the database.
func (p *program) backup(ctx context.Context, args []string) (err error) {
	fs := flags("backup")
	data := p.dataFlag(fs)
	files, err := p.parse(fs, args, "FILE")
	if err != nil {
		return err
	}
	if files[0] == "-" {
		return usage("ovenward backup: a copy cannot go to standard output; give the name of a file")
	}
	defer func() { err = adviseCopy(err, *data) }()
	if err := store.BackupOf(ctx, filepath.Join(*data, databaseName), files[0]); err != nil {
		return blame(err)
	}
	fmt.Fprintf(p.out, "the days of %s are copied to %s\n", *data, files[0])
	return nil
}

// restore puts a copy in the place of the database.
func (p *program) restore(ctx context.Context, args []string) error {
	fs := flags("restore")
	data := p.dataFlag(fs)
	files, err := p.parse(fs, args, "FILE")
	if err != nil {
		return err
	}
	kept, err := store.Restore(ctx, files[0], filepath.Join(*data, databaseName), p.now())
	if kept != "" {
		fmt.Fprintf(p.out, "the database before is kept as %s\n", kept)
	}
	if err != nil {
		return blame(err)
	}
	fmt.Fprintf(p.out, "%s is restored to %s\n", files[0], *data)
	return nil
}

// blame makes an error about a file that was named one of the command line's.
func blame(err error) error {
	for _, kind := range []error{record.ErrForeign, record.ErrNewer, record.ErrInvalid, record.ErrNotFound, record.ErrInUse} {
		if errors.Is(err, kind) {
			return usageError{err}
		}
	}
	return err
}

// adviseCopy adds to the word that the database is damaged which copy to restore.
func adviseCopy(err error, data string) error {
	if !errors.Is(err, record.ErrDamaged) {
		return err
	}
	if copied := newestCopy(data); copied != "" {
		return fmt.Errorf("%w\n%s", err, copied)
	}
	return err
}

// newestCopy tells how the newest daily copy is restored, "" if there is none to
// be had.
func newestCopy(data string) string {
	days, err := store.Dailies(filepath.Join(data, copiesName))
	if err != nil || len(days) == 0 {
		return ""
	}
	return fmt.Sprintf("the newest copy is of %s: ovenward restore -data %q %q", days[0].Format(time.DateOnly),
		data, filepath.Join(data, copiesName, store.DailyName(days[0])))
}

// copier makes the daily copies, and after each makes the database leaner.
type copier struct {
	store  *store.Store
	folder string
	now    func() time.Time
	log    *slog.Logger
}

// keeping makes today's copy, and looks every hour whether it has become another
// day, until ctx ends.
func (c copier) keeping(ctx context.Context) {
	repeat(ctx, time.Hour, c.log, func() { c.copy(ctx) })
}

func (c copier) copy(ctx context.Context) {
	made, err := c.store.BackupDaily(ctx, c.folder, c.now())
	switch {
	case ctx.Err() != nil:
	case err != nil:
		c.log.Error("today's copy of the database was not made", "err", err)
	case made != "":
		c.log.Debug("daily copy made", "file", made)
		c.thin(ctx)
	}
}

// thin removes what nobody will look at again; it follows a copy in which all is
// still there.
func (c copier) thin(ctx context.Context) {
	switch n, err := c.store.ThinPlans(ctx, c.now()); {
	case ctx.Err() != nil:
	case err != nil:
		c.log.Error("former plans were not thinned", "err", err)
	case n > 0:
		c.log.Debug("former plans thinned", "plans", n)
	}
	switch n, err := c.store.ForgetSent(ctx, c.now()); {
	case ctx.Err() != nil:
	case err != nil:
		c.log.Error("the keys of what was sent long ago were not forgotten", "err", err)
	case n > 0:
		c.log.Debug("keys of what was sent long ago forgotten", "keys", n)
	}
}
