package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"strings"
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

func (p *program) dispatch(ctx context.Context, args []string) error {
	name := "serve"
	if len(args) > 0 && !strings.HasPrefix(args[0], "-") {
		name, args = args[0], args[1:]
	}
	switch name {
	case "serve":
		return p.serve(ctx, args)
	case "plan":
		return p.plan(ctx, args)
	case "check":
		return p.check(args)
	case "rise":
		return p.rise(args)
	case "export":
		return p.export(ctx, args)
	case "import":
		return p.importAll(ctx, args)
	case "backup":
		return p.backup(ctx, args)
	case "restore":
		return p.restore(ctx, args)
	case "doctor":
		return p.doctor(ctx, args)
	case "passphrase":
		return p.passphrase(ctx, args)
	case "certificate":
		return p.certificate(args)
	case "version":
		return p.version(args)
	}
	return usage("ovenward: there is no command %q; use serve, plan, check, rise, export, import, backup, restore, doctor, passphrase, certificate or version", name)
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
