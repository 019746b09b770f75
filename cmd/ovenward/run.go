package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"strings"
	"text/tabwriter"
	"time"

	"ovenward/schedule/dayfile"
)

// program is what a command has at hand.
type program struct {
	in       io.Reader
	out, err io.Writer
	now      func() time.Time // the wall clock
	getenv   func(string) string
}

// Exit codes, as the package comment promises.
const (
	fine     = 0
	judged   = 1
	badInput = 2
	internal = 3
)

// errJudged ends a command that worked and whose answer is no. What is wrong has
// been printed.
var errJudged = errors.New("judged not to hold")

// usageError is a wrong command line or a file that is not right.
type usageError struct{ err error }

func (e usageError) Error() string { return e.err.Error() }
func (e usageError) Unwrap() error { return e.err }

func usage(format string, args ...any) error { return usageError{fmt.Errorf(format, args...)} }

// run runs the command that args name and gives its exit code.
func (p *program) run(ctx context.Context, args []string) int {
	err := p.dispatch(ctx, args)
	switch _, use := errors.AsType[usageError](err); {
	case err == nil, errors.Is(err, flag.ErrHelp):
		return fine
	case errors.Is(err, errJudged):
		return judged
	case use:
		fmt.Fprintln(p.err, said(err))
		return badInput
	}
	fmt.Fprintln(p.err, "ovenward:", said(err))
	return internal
}

// said is an error without the name of the package it comes from.
func said(err error) string { return strings.TrimPrefix(err.Error(), "store: ") }

// errand is one thing the program does.
type errand struct {
	name, does string
	run        func(p *program, ctx context.Context, args []string) error
}

// errands are all commands, in the order of the manual; the first is done where none is named.
func errands() []errand {
	return []errand{
		{"serve", "show the day in the browser and ring when something is due; done where no command is given", (*program).serve},
		{"plan", "print the timetable of a day file", (*program).plan},
		{"check", "judge a plan file for a day file", (*program).check},
		{"rise", "follow one dough through its places and handlings", (*program).rise},
		{"export", "write everything that is remembered into one file", (*program).export},
		{"import", "take such a file in", (*program).importAll},
		{"backup", "copy the database, also while it is in use", (*program).backup},
		{"restore", "put a copy in its place", (*program).restore},
		{"doctor", "say whether all is well, and what to do where it is not", (*program).doctor},
		{"passphrase", "set what other machines log in with", (*program).passphrase},
		{"certificate", "make and show the certificate for https", (*program).certificate},
		{"version", "say which version this is", (*program).version},
	}
}

func (p *program) dispatch(ctx context.Context, args []string) error {
	all := errands()
	name := all[0].name
	switch {
	case len(args) > 0 && (args[0] == "help" || args[0] == "-h" || args[0] == "-help" || args[0] == "--help"):
		return p.help(all)
	case len(args) > 0 && !strings.HasPrefix(args[0], "-"):
		name, args = args[0], args[1:]
	}
	var names []string
	for _, c := range all {
		if c.name == name {
			return c.run(p, ctx, args)
		}
		names = append(names, c.name)
	}
	last := len(names) - 1
	return usage("ovenward: there is no command %q; use %s or %s", name, strings.Join(names[:last], ", "), names[last])
}

// help says what there is.
func (p *program) help(all []errand) error {
	fmt.Fprint(p.out, "Ovenward works a baker's day backward from the oven.\n\nusage: ovenward [command] [flags] [files]\n\n")
	t := tabwriter.NewWriter(p.out, 0, 0, 2, ' ', 0)
	for _, c := range all {
		fmt.Fprintf(t, "  %s\t%s\n", c.name, c.does)
	}
	if err := t.Flush(); err != nil {
		return err
	}
	_, err := fmt.Fprintln(p.out, "\novenward COMMAND -h explains its flags; serve -h says where your days are kept.")
	return err
}

// flags is a flag set that leaves printing to parse and run.
func flags(command string) *flag.FlagSet {
	fs := flag.NewFlagSet(command, flag.ContinueOnError)
	fs.SetOutput(io.Discard)
	return fs
}

// parse reads flags before, between and after operands, and insists on as many
// operands as are named. Asked for help it prints it and gives flag.ErrHelp.
func (p *program) parse(fs *flag.FlagSet, args []string, operands ...string) ([]string, error) {
	got, err := p.operands(fs, args, operands...)
	switch {
	case err != nil:
		return nil, err
	case len(got) == len(operands):
		return got, nil
	case len(operands) == 0:
		return nil, usage("ovenward %s: %q is too much; it takes no file", fs.Name(), got[0])
	}
	return nil, usage("ovenward %s: %d files given; it takes %s", fs.Name(), len(got), strings.Join(operands, " and "))
}

// operands is parse without counting.
func (p *program) operands(fs *flag.FlagSet, args []string, operands ...string) (got []string, err error) {
	for {
		if err := fs.Parse(args); errors.Is(err, flag.ErrHelp) {
			fmt.Fprintln(p.out, "usage: ovenward", fs.Name(), strings.Join(append([]string{"[flags]"}, operands...), " "))
			fs.SetOutput(p.out)
			fs.PrintDefaults()
			return nil, err
		} else if err != nil {
			return nil, usage("ovenward %s: %w", fs.Name(), err)
		}
		switch {
		case fs.NArg() == 0:
			return got, nil
		case fs.Arg(0) == "":
			return nil, usage("ovenward %s: the name of a file is empty; write it out", fs.Name())
		}
		got, args = append(got, fs.Arg(0)), fs.Args()[1:]
	}
}

// mostInput is more than any file this program reads, but for bundles.
const mostInput = 5 << 20

// read reads a file, or standard input for "-", and gives the name to use in
// errors.
func (p *program) read(path string) (name string, data []byte, err error) {
	if path == "-" {
		data, err = io.ReadAll(io.LimitReader(p.in, mostInput))
		return "standard input", data, err
	}
	f, err := os.Open(path)
	if err != nil {
		return path, nil, unreadable(err)
	}
	defer f.Close()
	if data, err = io.ReadAll(io.LimitReader(f, mostInput)); err != nil {
		err = unreadable(err)
	}
	return path, data, err
}

func unreadable(err error) error {
	return usage("%w; give the name of a file that you may read", err)
}

// decode reads a day or plan file; its faults are the user's to mend.
func decode[T any](p *program, path string, from func(string, []byte) (T, error)) (T, error) {
	name, data, err := p.read(path)
	if err != nil {
		var zero T
		return zero, err
	}
	v, err := from(name, data)
	return v, theirs(err)
}

// theirs marks the faults of a file as the user's to mend.
func theirs(err error) error {
	if _, faults := errors.AsType[dayfile.Errors](err); faults {
		return usageError{err}
	}
	return err
}
