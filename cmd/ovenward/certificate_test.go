package main

import (
	"bufio"
	"context"
	"crypto/tls"
	"crypto/x509"
	"fmt"
	"net"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"ovenward/web/cert"
)

// startHTTPS serves other machines encrypted, and gives what devices install.
func startHTTPS(t *testing.T) (*running, *x509.CertPool) {
	t.Helper()
	dir := t.TempDir()
	if got := command(t, "four loaves on a peel\n", "passphrase", "-data", dir); got.Code != fine {
		t.Fatalf("%+v", got)
	}
	file := filepath.Join(dir, "install.crt")
	if got := command(t, "", "certificate", "-data", dir, file); got.Code != fine || !strings.Contains(got.Out, "SHA-256 ") {
		t.Fatalf("%+v", got)
	}
	pem, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	pool := x509.NewCertPool()
	pool.AppendCertsFromPEM(pem)
	return start(t, dir, "-addr", "0.0.0.0:0", "-https"), pool
}

// From the certificate over plain http to the page over https: at one port, by
// this machine's own name, with a cookie that goes over nothing else.
func TestHTTPS(t *testing.T) {
	t.Parallel()
	r, pool := startHTTPS(t)
	if status, text := get(t, r.base+"/"); status != http.StatusOK || !strings.Contains(text, "Slipway") {
		t.Errorf("here: %d", status)
	}
	if _, text := get(t, r.base+"/settings"); !strings.Contains(text, "/certificate</strong>") || strings.Contains(text, "is not encrypted") {
		t.Error("the settings do not say where the certificate is")
	}
	m := r.other(t)
	m.Transport.(*http.Transport).TLSClientConfig = &tls.Config{Time: clock, RootCAs: pool}
	m.Transport.(*http.Transport).ForceAttemptHTTP2 = true
	plain, encrypted := m.base, "https"+strings.TrimPrefix(m.base, "http")

	res, err := m.Get(plain + "/certificate")
	if status, at, text := body(t, res, err); status != http.StatusOK || at != "/certificate" || !strings.Contains(text, "Get the certificate") {
		t.Errorf("plain: %d at %s", status, at)
	}
	res, err = m.Get(plain + "/certificate/ovenward.crt")
	status, _, der := body(t, res, err)
	root, err := x509.ParseCertificate([]byte(der))
	if err != nil {
		t.Fatalf("%d, %v", status, err)
	}
	if _, err := root.Verify(x509.VerifyOptions{Roots: pool, CurrentTime: clock()}); err != nil {
		t.Errorf("another certificate than the command wrote: %v", err)
	}
	res, err = m.PostForm(plain+"/login", url.Values{"by": {"passphrase"}, "passphrase": {"four loaves on a peel"}})
	if status, _, _ := body(t, res, err); status != http.StatusForbidden {
		t.Errorf("log-in over plain http: %d", status)
	}
	res, err = m.Get(plain + "/days")
	if status, at, _ := body(t, res, err); status != http.StatusOK || at != "/login" || res.Request.URL.Scheme != "https" || res.ProtoMajor != 2 {
		t.Errorf("plain leads to %s, %d, %s", res.Request.URL, status, res.Proto)
	}
	res, err = m.Get(plain + "/feed/WRONG.ics")
	if status, _, _ := body(t, res, err); status != http.StatusNotFound || res.Request.URL.Scheme != "https" {
		t.Errorf("a calendar is asked for over plain http: %s, %d", res.Request.URL, status)
	}
	res, err = m.PostForm(encrypted+"/login", url.Values{"by": {"passphrase"}, "passphrase": {"four loaves on a peel"}, "to": {"/days"}})
	if status, at, text := body(t, res, err); status != http.StatusOK || at != "/days" || !strings.Contains(text, "Slipway") {
		t.Errorf("log-in: %d at %s", status, at)
	}
	u, _ := url.Parse(encrypted)
	if cs := m.Jar.(*cookiejar.Jar).Cookies(u); len(cs) != 1 || cs[0].Name != "__Host-entry" {
		t.Errorf("cookies %v", cs)
	}
	u.Scheme = "http"
	if cs := m.Jar.(*cookiejar.Jar).Cookies(u); len(cs) != 0 {
		t.Errorf("over plain http goes %v", cs)
	}
	// a foreign name, encrypted or not, gets nothing
	c, err := tls.Dial("tcp", strings.TrimPrefix(r.base, "http://"), &tls.Config{Time: clock, RootCAs: pool, ServerName: "localhost"})
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	fmt.Fprint(c, "GET /certificate HTTP/1.1\r\nHost: bank.example\r\n\r\n")
	if line, err := bufio.NewReader(c).ReadString('\n'); !strings.HasPrefix(line, "HTTP/1.1 421") {
		t.Errorf("a foreign name is told %q, %v", line, err)
	}
	if code := r.wait(t); code != fine {
		t.Errorf("exit %d: %s", code, r.errs)
	}
}

// The authority stays over starts; replaced it is another; a file is not written
// over; -https alone says what is missing.
func TestCertificate(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	print := func(args ...string) string {
		got := command(t, "", append([]string{"certificate", "-data", dir}, args...)...)
		_, after, ok := strings.Cut(got.Out, "SHA-256 ")
		if got.Code != fine || !ok {
			t.Fatalf("%+v", got)
		}
		return after[:32*3-1]
	}
	first := print()
	if print() != first {
		t.Error("it is another each time")
	}
	if info, err := os.Stat(filepath.Join(dir, certificatesName, cert.FileName)); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("%v, %v", info.Mode(), err)
	}
	if print("-replace") == first {
		t.Error("it was not replaced")
	}
	taken := filepath.Join(dir, "taken")
	if err := os.WriteFile(taken, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		args []string
		says string
	}{
		{[]string{"certificate", "-data", dir, taken}, "file exists"},
		{[]string{"certificate", "-data", dir, "a", "b"}, "it writes one"},
		{[]string{"serve", "-data", dir, "-https"}, "add -lan"},
	} {
		if got := command(t, "", tt.args...); got.Code != badInput || !strings.Contains(got.Err, tt.says) {
			t.Errorf("%v: %+v", tt.args, got)
		}
	}
	if err := os.WriteFile(filepath.Join(dir, certificatesName, cert.FileName), []byte("x"), 0o600); err != nil {
		t.Fatal(err)
	}
	if got := command(t, "", "certificate", "-data", dir); got.Code != internal || !strings.Contains(got.Err, "-replace") {
		t.Errorf("damaged: %+v", got)
	}
}

// Who connects and says nothing, or begins to encrypt and stops, is dropped, and
// keeps nobody out.
func TestSilentClients(t *testing.T) {
	t.Parallel()
	r, pool := startHTTPS(t)
	at := strings.TrimPrefix(r.base, "http://")
	var silent []net.Conn
	for i := range 40 {
		c, err := net.Dial("tcp", at)
		if err != nil {
			t.Fatal(err)
		}
		defer c.Close()
		if i%2 == 0 {
			c.Write([]byte{handshake, 3, 1})
		}
		silent = append(silent, c)
	}
	c, err := tls.Dial("tcp", at, &tls.Config{Time: clock, RootCAs: pool, ServerName: "localhost"})
	if err != nil {
		t.Fatal(err)
	}
	c.Close()
	if status, _ := get(t, r.base+"/days"); status != http.StatusOK {
		t.Errorf("others: %d", status)
	}
	for _, c := range silent {
		dropped(t, c)
	}
	r.wait(t)
}

// Who sends the body of a form one letter a second is dropped, too.
func TestSlowBody(t *testing.T) {
	if testing.Short() {
		t.Skip("takes the half minute a body may")
	}
	t.Parallel()
	r := start(t, t.TempDir())
	c, err := net.Dial("tcp", strings.TrimPrefix(r.base, "http://"))
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	fmt.Fprintf(c, "POST /kitchen HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: %d\r\n\r\n", tooLong)
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	go func() {
		for ctx.Err() == nil {
			if _, err := fmt.Fprint(c, "x"); err != nil {
				return
			}
			time.Sleep(time.Second)
		}
	}()
	dropped(t, c)
	r.wait(t)
}
