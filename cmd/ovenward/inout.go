package main

import (
	"bufio"
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"ovenward/store"
	"ovenward/store/bundle"
	"ovenward/store/record"
)

// database is the file in the folder named by -data, the environment or the
// system.
func (p *program) database(command, data string) (string, error) {
	if data == "" {
		data = p.dataDir()
	}
	if data == "" {
		return "", usage("ovenward %s: there is no home folder to look for the database in; say where with -data FOLDER", command)
	}
	return filepath.Join(data, databaseName), nil
}

// open opens the database unless a server has it.
func (p *program) open(ctx context.Context, path string) (*store.Store, error) {
	st, err := store.Open(ctx, path, p.now)
	if errors.Is(err, record.ErrTaken) {
		err = fmt.Errorf("%w; or use the page /inout of the one that runs", err)
	}
	return st, err
}

// export writes everything that is remembered into one file, or to standard
// output; also while a server runs.
func (p *program) export(ctx context.Context, args []string) (err error) {
	fs := flags("export")
	data := fs.String("data", p.getenv("OVENWARD_DATA"), "the database is in `folder`")
	files, err := p.operands(fs, args, "[FILE]")
	if err != nil {
		return err
	}
	if len(files) > 1 {
		return usage("ovenward export: %d files given; it takes one, or none for standard output", len(files))
	}
	path, err := p.database("export", *data)
	if err != nil {
		return err
	}
	defer func() { err = adviseCopy(err, filepath.Dir(path)) }()
	st, err := store.Look(ctx, path)       // beside a server, and on a disk that only reads
	if errors.Is(err, record.ErrInvalid) { // of an older format
		st, err = p.open(ctx, path)
	}
	if err != nil {
		return blame(err)
	}
	defer func() { err = errors.Join(err, st.Close()) }()
	write := func(w io.Writer) error {
		b := bufio.NewWriter(w)
		return cmp.Or(st.Export(ctx, b, p.now()), b.Flush())
	}
	if len(files) == 0 || files[0] == "-" {
		return write(p.out)
	}
	return writeNew(files[0], write)
}

// writeNew writes a file that is not there yet, for its owner's eyes.
func writeNew(path string, write func(io.Writer) error) (err error) {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if errors.Is(err, fs.ErrExist) {
		return usage("ovenward export: there already is a file %s; give another name", path)
	} else if err != nil {
		return usage("%w; check the folder and its rights, or give another name", err)
	}
	if err = cmp.Or(write(f), f.Sync()); err != nil {
		os.Remove(path)
	}
	return errors.Join(err, f.Close())
}

// importAll takes in a file that export wrote, after a backup.
func (p *program) importAll(ctx context.Context, args []string) (err error) {
	fs := flags("import")
	data := fs.String("data", p.getenv("OVENWARD_DATA"), "the database is in `folder`")
	replace := fs.Bool("replace", false, "what is only in the database goes; without it, it stays")
	files, err := p.parse(fs, args, "FILE")
	if err != nil {
		return err
	}
	name, file, err := p.again(files[0])
	if err != nil {
		return err
	}
	in, err := bundle.Read(name, file)
	if err != nil {
		return theirs(err)
	}
	path, err := p.database("import", *data)
	if err != nil {
		return err
	}
	st, err := p.open(ctx, path)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, st.Close()) }()
	here, err := st.Digest(ctx)
	if err != nil {
		return err
	}
	change := bundle.Compare(here, in.Digest)
	backup, err := st.Import(ctx, in, *replace, p.now())
	if err != nil {
		return err
	}
	for _, k := range []struct {
		kind string
		bundle.Change
	}{{"kitchen", change.Kitchen}, {"base doughs", change.Bases}, {"breads", change.Breads}, {"days", change.Days}, {"settings", change.Settings}, {"learned", change.Learned},
		{"standing orders", change.Standing}, {"ingredients", change.Foods}, {"temperatures", change.Readings}} {
		fmt.Fprintf(p.out, "%-15s %d new, %d replaced, %d the same, %d only here%s\n",
			k.kind, len(k.Added), len(k.Replaced), len(k.Same), len(k.Here), fate(*replace && len(k.Here) > 0))
	}
	fmt.Fprintln(p.out, "everything as it was before is in", backup)
	return nil
}

// again is a file, or standard input for "-", that can be read more than once, and
// the name to use in errors. What comes through a pipe is kept in memory.
func (p *program) again(path string) (name string, file bundle.Source, err error) {
	in, name := io.NopCloser(p.in), "standard input"
	if path != "-" {
		f, err := os.Open(path)
		if err != nil {
			return path, nil, unreadable(err)
		}
		if info, err := f.Stat(); err == nil && info.Mode().IsRegular() {
			return path, func() (io.ReadCloser, error) { return os.Open(path) }, f.Close()
		}
		in, name = f, path
	}
	defer in.Close()
	packed, err := bundle.Pack(func(z io.Writer) error {
		_, err := io.Copy(z, io.LimitReader(in, bundle.Largest+1))
		return err
	})
	if err != nil {
		err = unreadable(err)
	}
	return name, packed.Open, err
}

func fate(gone bool) string {
	if gone {
		return ", gone now"
	}
	return ""
}
