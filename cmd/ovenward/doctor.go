package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"ovenward/schedule"
	"ovenward/store"
	"ovenward/store/record"
	"ovenward/web/view"
)

// doctor looks the database and its surroundings through, changing nothing.
func (p *program) doctor(ctx context.Context, args []string) error {
	fs := flags("doctor")
	data := p.dataFlag(fs)
	if _, err := p.parse(fs, args); err != nil {
		return err
	}
	d := &examination{program: p, ctx: ctx, folder: *data, database: filepath.Join(*data, databaseName)}
	if info, err := os.Stat(*data); err == nil && !info.IsDir() {
		d.bad("folder", "%s is a file; give the folder the database is in: -data FOLDER", *data)
		return errJudged
	}
	if _, err := os.Stat(d.database); errors.Is(err, os.ErrNotExist) {
		d.good("database", "there is none yet in %s; ovenward makes it when it starts", *data)
	} else {
		d.log()
		if d.integrity() {
			d.contents()
		}
	}
	d.copies()
	d.rights()
	d.space()
	if d.ill {
		return errJudged
	}
	return nil
}

// examination prints a line for each thing it looks at.
type examination struct {
	*program
	ctx              context.Context
	folder, database string
	ill              bool
}

func (d *examination) good(what, how string, with ...any) { d.line("ok ", what, how, with...) }

// bad says what is wrong and, after a semicolon, what helps.
func (d *examination) bad(what, how string, with ...any) {
	d.ill = true
	d.line("BAD", what, how, with...)
}

// wayBack is how a sound database is had again.
func (d *examination) wayBack() string {
	if copied := newestCopy(d.folder); copied != "" {
		return "restore a backup; " + copied
	}
	return "restore a backup: ovenward restore FILE"
}

func (d *examination) line(mark, what, how string, with ...any) {
	text := strings.Join(strings.Fields(fmt.Sprintf(how, with...)), " ")
	fmt.Fprintf(d.out, "%s  %-10s %s\n", mark, what, text)
}

// integrity reports whether the contents can be read.
func (d *examination) integrity() bool {
	format, faults, err := store.Examine(d.ctx, d.database)
	switch e, ok := errors.AsType[*record.Error](err); {
	case ok:
		d.bad("database", "%s", strings.ReplaceAll(adviseCopy(e, d.folder).Error(), "\n", "; "))
		return false
	case err != nil:
		d.bad("database", "%v; check the rights of its folder, or restore a backup: ovenward restore FILE", err)
		return false
	}
	for _, f := range faults {
		d.bad("database", "%s; %s", f, d.wayBack())
	}
	if len(faults) == 0 {
		d.good("database", "format %d, every page and every reference is sound", format)
	}
	return len(faults) == 0
}

// log says what lies beside the database and why; it is read along with it.
func (d *examination) log() {
	size, user := store.LogSize(d.database), store.User(d.database)
	switch {
	case user != "":
		d.good("in use", "process %s serves it; %d kB are in its log", user, size>>10)
	case size > 0:
		d.good("log", "a program that was killed has left %d kB beside the database; nothing of it is lost: keep the file %q, the next start takes it in", size>>10, d.database+"-wal")
	}
}

// much is how large a database is in which free room is worth a word.
const much = 32 << 20

func (d *examination) size(st *store.Store) {
	size, free, err := st.Extent(d.ctx)
	switch {
	case err != nil:
		d.bad("size", "%v; %s", err, d.wayBack())
	case size > much && free > size/2:
		d.good("size", "%s, of which %s are empty; to give them back: ovenward backup FILE, ovenward restore FILE", amount(size), amount(free))
	default:
		d.good("size", "%s, of which %s are free for days to come", amount(size), amount(free))
	}
}

func amount(n int64) string {
	if n < 10<<20 {
		return fmt.Sprintf("%d kB", n>>10)
	}
	return fmt.Sprintf("%d MB", n>>20)
}

// stale is how old the newest daily copy of a program that runs may be.
const stale = 3 * 24 * time.Hour

func (d *examination) copies() {
	days, err := store.Dailies(filepath.Join(d.folder, copiesName))
	switch {
	case err != nil:
		d.bad("copies", "%v; check the rights of the folder", err)
	case len(days) == 0:
		d.good("copies", "no daily copy yet; ovenward makes one when it starts")
	case store.User(d.database) != "" && d.now().Sub(days[0]) > stale:
		d.bad("copies", "the newest daily copy is of %s although the program runs; its log says why: make room, or check the rights of %q", days[0].Format(time.DateOnly), filepath.Join(d.folder, copiesName))
	default:
		d.good("copies", "%d daily, the newest of %s", len(days), days[0].Format(time.DateOnly))
	}
}

// contents looks at the clock and at every day to come.
func (d *examination) contents() {
	st, err := store.Look(d.ctx, d.database)
	if e, ok := errors.AsType[*record.Error](err); ok && errors.Is(e, record.ErrInvalid) {
		d.good("format", "%s", e.Message)
		return
	} else if err != nil {
		d.bad("database", "%v; %s", err, d.wayBack())
		return
	}
	defer st.Close()
	d.size(st)
	d.clock(st)
	d.days(st)
}

// firstYear is when this program was made: no clock that is right shows less.
const firstYear = 2026

// astray is how far a clock may have been set back.
const astray = 5 * time.Minute

func (d *examination) clock(st *store.Store) {
	now := d.now()
	newest, err := st.Newest(d.ctx)
	switch {
	case err != nil:
		d.bad("clock", "%v; %s", err, d.wayBack())
	case now.Year() < firstYear:
		d.bad("clock", "it says %s, which is before this program was made; set the computer's date and time", now.Format(time.RFC1123))
	case newest.Sub(now) > astray:
		d.bad("clock", "it says %s, but something was saved at %s; set the computer's date and time", now.UTC().Format(time.DateTime), newest.UTC().Format(time.DateTime+" MST"))
	case d.zone() == "":
		d.good("clock", "%s; the computer's time zone cannot be told, days have their own", now.UTC().Format(time.DateTime+" MST"))
	default:
		d.good("clock", "%s, %s", now.UTC().Format(time.DateTime+" MST"), d.zone())
	}
}

func (d *examination) days(st *store.Store) {
	days, err := st.Days(d.ctx)
	if err != nil {
		d.bad("days", "%v; %s", err, d.wayBack())
		return
	}
	for _, day := range days {
		if day.Date < d.now().AddDate(0, 0, -1).Format(time.DateOnly) {
			continue
		}
		name := fmt.Sprintf("%s of %s", day.Name, day.Date)
		running, err := st.Running(d.ctx, day.ID)
		if errors.Is(err, record.ErrNotFound) {
			d.good("day", "%s: not planned yet", name)
			continue
		} else if err != nil {
			d.bad("day", "%s: %v; plan it again", name, err)
			continue
		}
		d.plan(name, running)
	}
}

// plan judges a plan as it was when it was made. What it says of itself is
// broken or late is known to the baker.
func (d *examination) plan(name string, r record.Running) {
	found, err := schedule.CheckFrom(&r.Base, &r.Plan.Plan, r.Log, r.Plan.Plan.Made)
	if err != nil {
		d.bad("day", "%s: %v; plan it again", name, err)
		return
	}
	o := r.Plan.Plan.Outcome
	found = slices.DeleteFunc(found, func(v schedule.Violation) bool {
		return v.Code == schedule.LatePromise && o.LateTotal > 0 || slices.ContainsFunc(o.Broken, func(b schedule.Violation) bool {
			return b.Code == v.Code && b.Task == v.Task && b.Of == v.Of
		})
	})
	if len(found) > 0 {
		d.bad("day", "%s: %s (%d such things); plan it again", name, strings.TrimSuffix(view.Words{}.Broken(found[0], r.Plan.Plan.Made), "."), len(found))
		return
	}
	d.good("day", "%s: its plan holds, %d tasks. %s", name, len(r.Plan.Plan.Tasks), view.Words{}.Outcome(o))
}

// rights looks for what others of this computer may read, and for what ovenward
// may not write.
func (d *examination) rights() {
	open := 0
	check := func(path string, info fs.FileInfo) {
		if info.Mode()&fs.ModeSymlink == 0 && info.Mode().Perm()&0o077 != 0 {
			open++
			d.bad("rights", "others of this computer may read %s (mode %04o); chmod go= %q", path, info.Mode().Perm(), path)
		}
	}
	info, err := os.Stat(d.folder)
	if err != nil {
		return // nothing there, nothing open
	}
	check(d.folder, info)
	for _, path := range []string{d.folder, d.database} {
		if err := writable(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
			d.bad("rights", "ovenward may not write to %s (%v) and will not start; look whose it is, and whether its disk only reads", path, err)
		}
	}
	for _, pattern := range []string{databaseName + "*", "*.db", "passphrase", copiesName, filepath.Join(copiesName, "*.db")} {
		paths, _ := filepath.Glob(filepath.Join(d.folder, pattern))
		for _, path := range paths {
			if info, err := os.Lstat(path); err == nil && !(pattern == "*.db" && filepath.Base(path) == databaseName) {
				check(path, info)
			}
		}
	}
	if open == 0 {
		d.good("rights", "only its owner can read %s", d.folder)
	}
}

// room is what a disk should have left: for the database thrice, and for other
// programs.
const room = 100 << 20

func (d *examination) space() {
	folder := d.folder
	for {
		if _, err := os.Stat(folder); err == nil || folder == filepath.Dir(folder) {
			break
		}
		folder = filepath.Dir(folder)
	}
	left, err := free(folder)
	if err != nil {
		d.good("disk", "its free space cannot be told (%v)", err)
		return
	}
	need := int64(room)
	if info, err := os.Stat(d.database); err == nil {
		need += 3 * info.Size()
	}
	if left < need {
		d.bad("disk", "%d MB are free where %d MB should be; make room on the disk of %s", left>>20, need>>20, d.folder)
		return
	}
	d.good("disk", "%d MB are free", left>>20)
}
