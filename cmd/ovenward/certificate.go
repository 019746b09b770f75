package main

import (
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"io/fs"
	"net"
	"os"
	"path/filepath"
	"strings"
	"time"

	"ovenward/web/cert"
)

// certificatesName is the folder of the certificate authority within the data.
const certificatesName = "certificate"

// authority opens the certificate authority, or makes it the first time.
func (p *program) authority(data string) (*cert.Authority, error) {
	folder := filepath.Join(data, certificatesName)
	a, err := cert.Open(folder)
	if !errors.Is(err, fs.ErrNotExist) {
		return a, err
	}
	return p.newAuthority(folder)
}

func (p *program) newAuthority(folder string) (*cert.Authority, error) {
	name, err := os.Hostname()
	if err != nil {
		return nil, err
	}
	a, err := cert.New(name, p.now())
	if err != nil {
		return nil, err
	}
	return a, a.Save(folder)
}

// encryption shows a certificate for whatever names and addresses the machine
// has at the moment.
func (p *program) encryption(a *cert.Authority, ln net.Listener) *tls.Config {
	leaf := &cert.Leaf{Authority: a, Now: p.now, Hosts: func() []string {
		return append(append(machineNames(), "127.0.0.1", "::1"), reachedAt(ln)...)
	}}
	// h2 is named because the one server begins with the plain half, which would do without
	return &tls.Config{MinVersion: tls.VersionTLS12, NextProtos: []string{"h2", "http/1.1"}, GetCertificate: leaf.Get}
}

// sayWhere says how other machines come in.
func (p *program) sayWhere(ln net.Listener, a *cert.Authority) {
	at := there(ln, a)
	fmt.Fprintf(p.out, "other machines log in at %s\n", strings.Join(at, ", "))
	if a == nil {
		fmt.Fprintln(p.out, "it is not encrypted: others on this Wi-Fi could read what is sent over it, the passphrase too; add -https to encrypt it")
		return
	}
	for i := range at {
		at[i] = "http" + strings.TrimPrefix(at[i], "https") + "/certificate"
	}
	fmt.Fprintf(p.out, "once on each device, before: %s\n", strings.Join(at, ", "))
	p.describe(a)
}

// aboutToEnd is how long before its end an authority is spoken of.
const aboutToEnd = 60 * 24 * time.Hour

func (p *program) describe(a *cert.Authority) {
	fmt.Fprintf(p.out, "the certificate is called %q, lasts until %s and vouches for %s and private addresses alone\nSHA-256 %s\n",
		a.Called(), a.Ends().Format("2006-01-02"), strings.Join(a.Names(), ", "), a.Fingerprint())
	if p.now().Add(aboutToEnd).After(a.Ends()) {
		fmt.Fprintln(p.out, "it ends soon: make another with ovenward certificate -replace, and install that on every device")
	}
}

// certificate tells of the certificate that devices install, writes it, or
// replaces it by another.
func (p *program) certificate(_ context.Context, args []string) error {
	fs := flags("certificate")
	data := p.dataFlag(fs)
	replace := fs.Bool("replace", false, "make another; devices have to install it anew, and trust the former no more")
	paths, err := p.operands(fs, args, "[FILE]")
	if err != nil {
		return err
	}
	if len(paths) > 1 {
		return usage("ovenward certificate: %d files given; it writes one", len(paths))
	}
	var a *cert.Authority
	if *replace {
		a, err = p.newAuthority(filepath.Join(*data, certificatesName))
	} else {
		a, err = p.authority(*data)
	}
	if err != nil {
		return err
	}
	for _, path := range paths {
		if err := give(path, a.PEM()); err != nil {
			return err
		}
	}
	p.describe(a)
	if *replace {
		fmt.Fprintln(p.out, "ovenward shows the new one when it is started the next time")
	}
	return nil
}

// give writes a file for others, and none over another.
func give(path string, data []byte) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return usageError{err}
	}
	_, err = f.Write(data)
	return errors.Join(err, f.Close())
}
