package main

import (
	"fmt"
	"net"
	"os"
	"path/filepath"
	"runtime"
)

// Config is what serve can be told.
type Config struct {
	Addr    string // "" = 127.0.0.1:4280, or the next free port; with LAN on every address
	LAN     bool   // answer other machines, too, which have to log in
	HTTPS   bool   // with LAN: encrypt, by a certificate authority of its own
	Data    string // folder of the database
	Verbose bool   // log every request
}

// config reads the command line, then the environment, then the defaults.
func (p *program) config(args []string) (Config, error) {
	var c Config
	fs := flags("serve")
	fs.StringVar(&c.Addr, "addr", p.getenv("OVENWARD_ADDR"), "listen on `host:port` (default 127.0.0.1:4280, or the next free port)")
	fs.StringVar(&c.Data, "data", p.getenv("OVENWARD_DATA"), "keep the database in `folder` (default "+p.dataDir()+")")
	fs.BoolVar(&c.LAN, "lan", false, "answer other machines of the network, too, which log in with the passphrase")
	fs.BoolVar(&c.HTTPS, "https", false, "with -lan: encrypt, with a certificate that devices install once (see ovenward certificate)")
	fs.BoolVar(&c.Verbose, "v", false, "log every request")
	if _, err := p.parse(fs, args); err != nil {
		return c, err
	}
	if c.Data == "" {
		c.Data = p.dataDir()
	}
	if host, _, err := net.SplitHostPort(c.Addr); err == nil && !local(host) {
		c.LAN = true
	}
	return c, c.Validate()
}

// Validate says what cannot be.
func (c Config) Validate() error {
	if c.Data == "" {
		return usage("ovenward serve: there is no home folder to keep the database in; say where with -data FOLDER")
	}
	if c.HTTPS && !c.LAN {
		return usage("ovenward serve: -https is for other machines; add -lan, or leave it out: on this machine nothing is sent over the network")
	}
	if c.Addr == "" {
		return nil
	}
	host, port, err := net.SplitHostPort(c.Addr)
	if err != nil {
		return usage("ovenward serve: %q is not an address; write -addr 127.0.0.1:4280", c.Addr)
	}
	if _, err := net.LookupPort("tcp", port); err != nil {
		return usage("ovenward serve: %q is not a port; give 1 to 65535, or 0 for any free one", port)
	}
	if host != "" && host != "localhost" && net.ParseIP(host) == nil {
		return usage("ovenward serve: %q is not an address of this machine; give its number, or -lan for all of them", host)
	}
	if c.LAN && host != "" && local(host) {
		return usage("ovenward serve: %q is this machine alone; with -lan leave out -addr, or give an address others reach", host)
	}
	return nil
}

// dataDir is where programs of this system keep a user's data, "" without a
// home.
func (p *program) dataDir() string {
	if dir := p.getenv("XDG_DATA_HOME"); filepath.IsAbs(dir) {
		return filepath.Join(dir, "ovenward")
	}
	home, err := os.UserHomeDir()
	if err != nil {
		return ""
	}
	switch runtime.GOOS {
	case "windows":
		if dir := p.getenv("LocalAppData"); dir != "" {
			return filepath.Join(dir, "ovenward")
		}
	case "darwin":
		return filepath.Join(home, "Library", "Application Support", "ovenward")
	}
	return filepath.Join(home, ".local", "share", "ovenward")
}

// The first port tried without -addr, and how many after it.
const (
	firstPort = 4280
	morePorts = 20
)

// listen opens the port, or the first free one.
func (c Config) listen() (net.Listener, error) {
	if c.Addr != "" {
		ln, err := net.Listen("tcp", c.Addr)
		if err != nil {
			return nil, fmt.Errorf("%w; stop what listens there, or choose another -addr", err)
		}
		return ln, nil
	}
	var last error
	host := "127.0.0.1"
	if c.LAN {
		host = ""
	}
	for port := firstPort; port <= firstPort+morePorts; port++ {
		ln, err := net.Listen("tcp", fmt.Sprintf("%s:%d", host, port))
		if err == nil {
			return ln, nil
		}
		last = err
	}
	return nil, fmt.Errorf("no free port from %d to %d: %w; choose one with -addr", firstPort, firstPort+morePorts, last)
}
