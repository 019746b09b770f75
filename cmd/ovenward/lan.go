package main

import (
	"context"
	"fmt"
	"net"
	"os"
	"slices"
	"strconv"
	"strings"

	"ovenward/store"
	"ovenward/web/cert"
)

// local reports whether an address is of this machine alone.
func local(host string) bool { return host == "localhost" || net.ParseIP(host).IsLoopback() }

// admitOthers insists on a passphrase before other machines are answered.
func admitOthers(ctx context.Context, st *store.Store) error {
	hash, err := st.Passphrase(ctx)
	if err == nil && hash == "" {
		err = usage("ovenward serve: other machines are answered only with a passphrase, and none is set; set one with ovenward passphrase, or leave out -lan and -addr")
	}
	return err
}

// machineNames are those by which others of the network may know this machine;
// its addresses need not be told.
func machineNames() []string {
	name, err := os.Hostname()
	if err != nil || name == "" {
		return nil
	}
	name = strings.ToLower(name)
	names := cert.Names(name)
	if !slices.Contains(names, name) {
		names = append(names, name)
	}
	return names
}

// here is how this machine itself reaches a listener, and there how others may:
// at all its addresses where it listens on all, and encrypted at those, and by
// the names, that its certificates vouch for.
func here(ln net.Listener) string {
	a := ln.Addr().(*net.TCPAddr)
	if a.IP.IsUnspecified() {
		return fmt.Sprintf("http://127.0.0.1:%d", a.Port)
	}
	return "http://" + a.String()
}

func there(ln net.Listener, a *cert.Authority) []string {
	if a == nil {
		return addresses("http", ln, reachedAt(ln))
	}
	hosts := append(reachedAt(ln), machineNames()...)
	return addresses("https", ln, slices.DeleteFunc(hosts, func(h string) bool { return h == "localhost" || !a.SpeaksFor(h) }))
}

func addresses(scheme string, ln net.Listener, hosts []string) (at []string) {
	port := strconv.Itoa(ln.Addr().(*net.TCPAddr).Port)
	for _, h := range hosts {
		at = append(at, scheme+"://"+net.JoinHostPort(h, port))
	}
	return at
}

// reachedAt are the addresses others reach a listener at.
func reachedAt(ln net.Listener) (at []string) {
	a := ln.Addr().(*net.TCPAddr)
	if !a.IP.IsUnspecified() {
		return []string{a.IP.String()}
	}
	all, err := net.InterfaceAddrs()
	if err != nil {
		return nil
	}
	for _, x := range all {
		if n, ok := x.(*net.IPNet); ok && n.IP.IsGlobalUnicast() {
			at = append(at, n.IP.String())
		}
	}
	return at
}
