package main

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"
)

// patience is how long what has to come may take, on a machine that is slow or
// busy with other work.
const patience = 5 * time.Minute

// running is a program that serves in this process.
type running struct {
	base  string // http://127.0.0.1:port
	stop  context.CancelFunc
	ended chan struct{} // closed at the end; code and errs are to be read after it
	code  int
	errs  *bytes.Buffer
}

// wait is for the program to end.
func (r *running) wait(t testing.TB) int {
	t.Helper()
	r.stop()
	select {
	case <-r.ended:
	case <-time.After(patience):
		t.Fatal("does not end")
	}
	return r.code
}

func start(t testing.TB, dir string, more ...string) *running {
	t.Helper()
	r := tryStart(dir, more...)
	if r.base == "" {
		r.wait(t)
		t.Fatalf("it does not start: %s", r.errs)
	}
	t.Cleanup(func() { r.wait(t) }) // before its folder is removed
	return r
}

// tryStart starts a program; without base it has ended at once, or is about to.
func tryStart(dir string, more ...string) *running {
	ctx, stop := context.WithCancel(context.Background())
	out, w := io.Pipe()
	r := &running{stop: stop, ended: make(chan struct{}), errs: &bytes.Buffer{}}
	p := &program{
		in: strings.NewReader(""), out: w, err: r.errs, now: clock,
		getenv: func(key string) string { return map[string]string{"TZ": "Europe/Dublin"}[key] },
	}
	go func() {
		defer close(r.ended)
		defer w.Close()
		r.code = p.run(ctx, append([]string{"serve", "-addr", "127.0.0.1:0", "-data", dir}, more...))
	}()
	said := bufio.NewReader(out)
	line, _ := said.ReadString('\n')
	go io.Copy(io.Discard, said)
	r.base = regexp.MustCompile(`http://[^ ]+`).FindString(line)
	return r
}

func get(t *testing.T, address string) (status int, body string) {
	t.Helper()
	res, err := http.Get(address)
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	b, err := io.ReadAll(res.Body)
	if err != nil {
		t.Fatal(err)
	}
	return res.StatusCode, string(b)
}

// A first start shows the example, in private files; it ends though a page
// listens, which would else be cut off after [goodbye], with an error; and what
// was cleared does not come back.
func TestServe(t *testing.T) {
	t.Parallel()
	dir := filepath.Join(t.TempDir(), "new", "data")
	r := start(t, dir)
	if status, body := get(t, r.base+"/"); status != http.StatusOK || !strings.Contains(body, "A morning at the Slipway tearoom") {
		t.Errorf("status %d: %.300s", status, body)
	}
	for path, mode := range map[string]os.FileMode{dir: 0o700, filepath.Join(dir, "ovenward.db"): 0o600} {
		if info, err := os.Stat(path); err != nil || info.Mode().Perm() != mode {
			t.Errorf("%s: %v, %v; want %v", path, info.Mode(), err, mode)
		}
	}
	stream, err := http.Get(r.base + "/events")
	if err != nil {
		t.Fatal(err)
	}
	defer stream.Body.Close()
	if code := r.wait(t); code != fine {
		t.Errorf("exit %d: %s", code, r.errs)
	}

	r = start(t, dir)
	res, err := http.PostForm(r.base+"/example", url.Values{"do": {"clear"}})
	if err != nil {
		t.Fatal(err)
	}
	res.Body.Close()
	r.wait(t)
	r = start(t, dir)
	if _, body := get(t, r.base+"/days"); strings.Contains(body, "Slipway") {
		t.Error("the example came back")
	}
	r.wait(t)
}

// Two programs on one database: the second says so and leaves the first alone.
func TestServeTwice(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	r := start(t, dir)
	got := command(t, "", "serve", "-addr", "127.0.0.1:0", "-data", dir)
	if got.Code != internal || !strings.Contains(got.Err, "another ovenward") {
		t.Errorf("got %+v", got)
	}
	if status, _ := get(t, r.base+"/days"); status != http.StatusOK {
		t.Errorf("the first answers %d", status)
	}
	r.wait(t)
}

// Without -addr a port in use is passed over; with it, it is a fault.
func TestListen(t *testing.T) {
	t.Parallel()
	first, err := Config{}.listen()
	if err != nil {
		t.Fatal(err)
	}
	defer first.Close()
	second, err := Config{}.listen()
	if err != nil {
		t.Fatal(err)
	}
	defer second.Close()
	if a, b := port(first), port(second); a < firstPort || b < firstPort || a == b {
		t.Errorf("ports %d and %d", a, b)
	}
	if ln, err := (Config{Addr: fmt.Sprintf("127.0.0.1:%d", port(first))}).listen(); err == nil {
		ln.Close()
		t.Error("a port in use was taken")
	}
}

func port(ln net.Listener) int { return ln.Addr().(*net.TCPAddr).Port }

func TestDataDir(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct{ xdg, want string }{
		{"/srv/data", "/srv/data/ovenward"},
		{"not/absolute", ""}, // passed over, as the XDG Base Directory Specification asks
	} {
		p := program{getenv: func(key string) string { return map[string]string{"XDG_DATA_HOME": tt.xdg}[key] }}
		got := p.dataDir()
		if tt.want != "" && got != tt.want || tt.want == "" && strings.Contains(got, tt.xdg) {
			t.Errorf("XDG_DATA_HOME=%s: %s", tt.xdg, got)
		}
	}
}
