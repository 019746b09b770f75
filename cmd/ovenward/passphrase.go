package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"golang.org/x/term"

	"ovenward/store"
	"ovenward/web/entry"
)

// passphrase sets what other machines log in with.
func (p *program) passphrase(ctx context.Context, args []string) (err error) {
	fs := flags("passphrase")
	data := p.dataFlag(fs)
	remove := fs.Bool("remove", false, "have none any more: other machines are not answered")
	if _, err := p.parse(fs, args); err != nil {
		return err
	}
	st, err := store.Open(ctx, filepath.Join(*data, databaseName), p.now)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, st.Close()) }()
	hash, said := "", "there is no passphrase any more; other machines are not answered"
	if !*remove {
		typed, err := p.ask()
		if err != nil {
			return err
		}
		if hash, err = entry.Hash(typed); err != nil {
			return usageError{err}
		}
		said = "the passphrase is set; ovenward serve -lan answers other machines, which log in with it"
	}
	if err := st.SetPassphrase(ctx, hash, p.now()); err != nil {
		return err
	}
	fmt.Fprintf(p.out, "%s; devices that were logged in are out\n", said)
	return nil
}

// ask reads a passphrase: twice and unseen from a terminal, else the first line.
func (p *program) ask() (string, error) {
	f, ok := p.in.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) {
		line, err := bufio.NewReader(io.LimitReader(p.in, 4*entry.Longest+2)).ReadString('\n')
		if err != nil && err != io.EOF {
			return "", err
		}
		return strings.TrimRight(line, "\r\n"), nil
	}
	var typed [2]string
	for i, prompt := range []string{"passphrase: ", "once more:  "} {
		fmt.Fprint(p.err, prompt)
		b, err := term.ReadPassword(int(f.Fd()))
		fmt.Fprintln(p.err)
		if err != nil {
			return "", err
		}
		typed[i] = string(b)
	}
	if typed[0] != typed[1] {
		return "", usage("ovenward passphrase: the two are not equal; nothing was changed")
	}
	return typed[0], nil
}
