package main

import (
	"context"
	"fmt"
	"net"
	"os"
	"strings"

	"ovenward/store"
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
	first, _, _ := strings.Cut(name, ".")
	return []string{name, first, first + ".local"} // the last by RFC 6762
}

// here is how this machine itself reaches a listener, and there how others may:
// at all its addresses where it listens on all.
func here(ln net.Listener) string {
	a := ln.Addr().(*net.TCPAddr)
	if a.IP.IsUnspecified() {
		return fmt.Sprintf("http://127.0.0.1:%d", a.Port)
	}
	return "http://" + a.String()
}

func there(ln net.Listener) (at []string) {
	a := ln.Addr().(*net.TCPAddr)
	if !a.IP.IsUnspecified() {
		return []string{"http://" + a.String()}
	}
	all, err := net.InterfaceAddrs()
	if err != nil {
		return nil
	}
	for _, x := range all {
		if n, ok := x.(*net.IPNet); ok && n.IP.IsGlobalUnicast() {
			at = append(at, fmt.Sprintf("http://%s", net.JoinHostPort(n.IP.String(), fmt.Sprint(a.Port))))
		}
	}
	return at
}
