package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"ovenward/web/cert"
)

// startLAN serves other machines; the passphrase is set first.
func startLAN(t *testing.T) *running {
	t.Helper()
	dir := t.TempDir()
	if got := command(t, "four loaves on a peel\n", "passphrase", "-data", dir); got.Code != fine {
		t.Fatalf("%+v", got)
	}
	return start(t, dir, "-addr", "0.0.0.0:0")
}

// machine is a browser that calls this machine by its name, as others do.
type machine struct {
	http.Client
	base string
}

func (r *running) other(t *testing.T) machine {
	t.Helper()
	name, err := os.Hostname()
	if err != nil {
		t.Skipf("this machine has no name (%v)", err)
	}
	names := cert.Names(name)
	local := slices.IndexFunc(names, func(n string) bool { return strings.HasSuffix(n, ".local") })
	if local < 0 {
		t.Skipf("this machine has no name but %q", name)
	}
	u, err := url.Parse(r.base)
	if err != nil {
		t.Fatal(err)
	}
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	dial := &http.Transport{DialContext: func(ctx context.Context, network, _ string) (net.Conn, error) {
		return new(net.Dialer).DialContext(ctx, network, u.Host)
	}}
	return machine{http.Client{Jar: jar, Transport: dial}, "http://" + names[local] + ":" + u.Port()}
}

func body(t *testing.T, res *http.Response, err error) (status int, at, text string) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	b, err := io.ReadAll(res.Body)
	if err != nil {
		t.Fatal(err)
	}
	return res.StatusCode, res.Request.URL.Path, string(b)
}

// From the passphrase to the page: this machine as before, another by log-in.
func TestLAN(t *testing.T) {
	t.Parallel()
	r := startLAN(t)
	if status, text := get(t, r.base+"/"); status != http.StatusOK || !strings.Contains(text, "Slipway") {
		t.Errorf("here: %d", status)
	}
	m := r.other(t)
	res, err := m.Get(m.base + "/days")
	if status, at, text := body(t, res, err); status != http.StatusOK || at != "/login" || strings.Contains(text, "Slipway") {
		t.Errorf("elsewhere: %d at %s", status, at)
	}
	res, err = m.PostForm(m.base+"/login", url.Values{"by": {"passphrase"}, "passphrase": {"four loaves on a pail"}})
	if status, _, _ := body(t, res, err); status != http.StatusUnauthorized {
		t.Errorf("wrong: %d", status)
	}
	res, err = m.PostForm(m.base+"/login", url.Values{"by": {"passphrase"}, "passphrase": {"four loaves on a peel"}, "to": {"/days"}})
	if status, at, text := body(t, res, err); status != http.StatusOK || at != "/days" || !strings.Contains(text, "Slipway") {
		t.Errorf("right: %d at %s", status, at)
	}
	if code := r.wait(t); code != fine {
		t.Errorf("exit %d: %s", code, r.errs)
	}
	if log := r.errs.String(); strings.Contains(log, "four loaves") || !strings.Contains(log, `msg="log-in refused" client=127.0.0.1`) || !strings.Contains(log, `msg="logged in" client=127.0.0.1`) {
		t.Errorf("log:\n%s", log)
	}
}

// Other machines are not answered before there is a passphrase.
func TestLANWithoutPassphrase(t *testing.T) {
	t.Parallel()
	for _, how := range [][]string{{"-lan"}, {"-addr", "0.0.0.0:0"}, {"-addr", ":0"}, {"-addr", "192.0.2.7:0"}} {
		got := command(t, "", append([]string{"serve", "-data", t.TempDir()}, how...)...)
		if got.Code != badInput || !strings.Contains(got.Err, "set one with ovenward passphrase") {
			t.Errorf("%v: %+v", how, got)
		}
	}
}

func TestPassphrase(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	for _, tt := range []struct {
		in   string
		args []string
		code int
		says string
	}{
		{"short\n", nil, badInput, "15 to 256 characters"},
		{strings.Repeat("x", 5000) + "\n", nil, badInput, "15 to 256 characters"},
		{"", nil, badInput, "15 to 256 characters"},
		{"four loaves on a peel\r\n", nil, fine, "is set"},
		{"", []string{"-remove"}, fine, "no passphrase any more"},
	} {
		got := command(t, tt.in, append([]string{"passphrase", "-data", dir}, tt.args...)...)
		if got.Code != tt.code || !strings.Contains(got.Out+got.Err, tt.says) {
			t.Errorf("%.20q %v: %+v", tt.in, tt.args, got)
		}
	}
	r := start(t, dir)
	if got := command(t, "four loaves on a peel\n", "passphrase", "-data", dir); got.Code != internal || !strings.Contains(got.Err, "stop it first") {
		t.Errorf("while it serves: %+v", got)
	}
	r.wait(t)
}

// Who sends its request one letter a second is dropped, and others are answered
// meanwhile.
func TestSlowClient(t *testing.T) {
	t.Parallel()
	r := startLAN(t)
	c, err := net.Dial("tcp", strings.TrimPrefix(r.base, "http://"))
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	go func() {
		for _, letter := range "GET / HTTP/1.1\r\nHost: localhost\r\nX-Slow: " + strings.Repeat("x", tooLong) {
			if _, err := fmt.Fprint(c, string(letter)); err != nil {
				return
			}
			time.Sleep(time.Second)
		}
	}()
	if status, _ := get(t, r.base+"/days"); status != http.StatusOK {
		t.Errorf("others: %d", status)
	}
	dropped(t, c)
	r.wait(t)
}

// tooLong is more letters than are sent in [patience], one a second.
const tooLong = int(2 * patience / time.Second)

// dropped wants that a connection is refused or ended. One that is ended amid what
// is sent breaks off, or ends, as it happens.
func dropped(t *testing.T, c net.Conn) {
	t.Helper()
	c.SetReadDeadline(time.Now().Add(patience))
	line, err := bufio.NewReader(c).ReadString('\n')
	if errors.Is(err, os.ErrDeadlineExceeded) || line != "" && !strings.HasPrefix(line, "HTTP/1.1 4") && !strings.HasPrefix(line, "HTTP/1.1 5") {
		t.Errorf("it was told %q, %v; want that it is refused, or the end", line, err)
	}
}
