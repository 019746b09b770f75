package web_test

import (
	"bytes"
	"context"
	"encoding/base64"
	"fmt"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"golang.org/x/crypto/argon2"

	"ovenward/static"
	"ovenward/store/record"
	"ovenward/web"
	"ovenward/web/entry"
	"ovenward/web/live"
	"ovenward/web/webtest"
)

const passphrase = "four loaves on a peel"

// lan is the example answering other machines, and its log.
func lan(t *testing.T) (*site, *bytes.Buffer) {
	t.Helper()
	s, log := example(t), &bytes.Buffer{}
	// As entry.Hash makes it, but a thousand times cheaper.
	salt := []byte("for tests only")
	b64 := base64.RawStdEncoding.EncodeToString
	hash := fmt.Sprintf("$argon2id$v=19$m=64,t=1,p=1$%s$%s", b64(salt), b64(argon2.IDKey([]byte(passphrase), salt, 1, 64, 1, 32)))
	if err := s.store.SetPassphrase(t.Context(), hash, s.now); err != nil {
		t.Fatal(err)
	}
	h, err := web.New(web.Config{
		Store: s.store, Hub: s.hub, Static: static.FS, Now: func() time.Time { return s.now },
		Log: slog.New(slog.NewTextHandler(log, nil)), Hosts: []string{"bakery.lan"},
		Addresses: func() []string { return []string{"http://bakery.lan:4280"} },
	})
	if err != nil {
		t.Fatal(err)
	}
	s.h = h
	return s, log
}

// phone is a browser on another machine.
type phone struct {
	*site
	from   string // address
	agent  string
	cookie *http.Cookie
}

func (p *phone) send(method, path string, v url.Values) *httptest.ResponseRecorder {
	r := httptest.NewRequest(method, path, strings.NewReader(v.Encode()))
	r.Host, r.RemoteAddr = "bakery.lan:4280", p.from+":50000"
	r.Header.Set("User-Agent", p.agent)
	if method == http.MethodPost {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		r.Header.Set("Origin", "http://bakery.lan:4280")
	}
	if p.cookie != nil {
		r.AddCookie(p.cookie)
	}
	w := p.do(r)
	for _, c := range w.Result().Cookies() {
		p.cookie = c
	}
	return w
}

func (p *phone) visit(path string) *httptest.ResponseRecorder {
	return p.send(http.MethodGet, path, nil)
}

func (p *phone) say(v ...string) *httptest.ResponseRecorder {
	f := url.Values{}
	for i := 0; i < len(v); i += 2 {
		f.Set(v[i], v[i+1])
	}
	return p.send(http.MethodPost, "/login", f)
}

// here is this machine's own browser.
func here(s *site, method, path string, v url.Values) *httptest.ResponseRecorder {
	r := httptest.NewRequest(method, path, strings.NewReader(v.Encode()))
	r.Host, r.RemoteAddr = "localhost:4280", "127.0.0.1:50000"
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	return s.do(r)
}

// code asks this machine for a code and reads it off its settings.
func code(t *testing.T, s *site, role string) string {
	t.Helper()
	if w := here(s, http.MethodPost, "/devices/code", url.Values{"role": {role}}); w.Code != http.StatusSeeOther {
		t.Fatalf("no code: %d", w.Code)
	}
	m := regexp.MustCompile(`\d{4} \d{4}`).FindString(webtest.Parse(t, here(s, http.MethodGet, "/settings", nil).Body).Text(nil))
	if m == "" {
		t.Fatal("no code on the settings page")
	}
	return m
}

// Nothing is shown or done without a log-in, whatever is asked for; this machine
// needs none.
func TestNoCookie(t *testing.T) {
	t.Parallel()
	s, _ := lan(t)
	p := &phone{site: s, from: "192.168.1.7"}
	for _, path := range append(paths(), "/nowhere", "/inout/ovenward.json", "/days/1/calendar.ics", "/days/1/calls", "/sw.js") {
		w := p.visit(path)
		if w.Code != http.StatusSeeOther || !strings.HasPrefix(w.Header().Get("Location"), "/login") || strings.Contains(w.Body.String(), "Slipway") {
			t.Errorf("GET %s: %d to %q", path, w.Code, w.Header().Get("Location"))
		}
		if w := here(s, http.MethodGet, path, nil); w.Code == http.StatusSeeOther && strings.HasPrefix(w.Header().Get("Location"), "/login") {
			t.Errorf("GET %s here: asked to log in", path)
		}
	}
	if w := p.visit("/events"); w.Code != http.StatusUnauthorized {
		t.Errorf("stream: %d", w.Code)
	}
	for _, path := range []string{"/kitchen", "/days/1/delete", "/days/1/tap", "/devices/code", "/devices/1/end", "/screens", "/logout"} {
		if w := p.send(http.MethodPost, path, url.Values{"kind": {"ack"}}); w.Code != http.StatusUnauthorized {
			t.Errorf("POST %s: %d, want 401", path, w.Code)
		}
	}
	if _, err := s.store.DayRecord(t.Context(), s.id); err != nil {
		t.Error(err)
	}
	w := p.visit("/login")
	if text := webtest.Parse(t, w.Body).Text(nil); w.Code != http.StatusOK || !strings.Contains(text, "others on this Wi-Fi could read") {
		t.Errorf("log-in page: %d %s", w.Code, text)
	}
}

func TestLogIn(t *testing.T) {
	t.Parallel()
	s, _ := lan(t)
	p := &phone{site: s, from: "192.168.1.7", agent: "Mozilla/5.0 (Android 16; Mobile; rv:140.0) Gecko/140.0 Firefox/140.0"}
	if w := p.say("by", "passphrase", "passphrase", "five loaves on a peel"); w.Code != http.StatusUnauthorized || p.cookie != nil {
		t.Errorf("wrong: %d, %v", w.Code, p.cookie)
	}
	w := p.say("by", "passphrase", "passphrase", passphrase, "to", "/days/1/now")
	if w.Code != http.StatusSeeOther || w.Header().Get("Location") != "/days/1/now" {
		t.Fatalf("%d to %s", w.Code, w.Header().Get("Location"))
	}
	// OWASP ASVS 5.0: 3.3.2 SameSite, 3.3.4 HttpOnly, 7.2.3 at least 128 bits.
	c := p.cookie
	if !c.HttpOnly || c.SameSite != http.SameSiteStrictMode || c.Secure || c.Path != "/" || len(c.Value)*5 < 128 {
		t.Errorf("cookie %v", c)
	}
	if w := p.visit("/days/1/now"); w.Code != http.StatusOK {
		t.Errorf("inside: %d", w.Code)
	}
	all, err := s.store.Sessions(t.Context(), s.now)
	if err != nil || len(all) != 1 || all[0].Role != record.Baker || all[0].Name != "Firefox on Android" {
		t.Errorf("sessions %+v, %v", all, err)
	}
	old := *c
	p.say("by", "passphrase", "passphrase", passphrase) // anew: another token, and the former is void
	if p.cookie.Value == old.Value {
		t.Error("the token is the same")
	}
	if w := (&phone{site: s, from: p.from, cookie: &old}).visit("/days"); w.Code != http.StatusSeeOther {
		t.Errorf("former token: %d", w.Code)
	}
	s.now = s.now.Add(30*24*time.Hour + time.Second)
	if w := p.visit("/days"); w.Code != http.StatusSeeOther {
		t.Errorf("after thirty days: %d", w.Code)
	}
}

// Over TLS the cookie goes over nothing else.
func TestCookieOverTLS(t *testing.T) {
	t.Parallel()
	s, _ := lan(t)
	r := httptest.NewRequest(http.MethodPost, "https://bakery.lan/login", strings.NewReader(url.Values{"passphrase": {passphrase}}.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	cs := s.do(r).Result().Cookies()
	if len(cs) != 1 || !cs[0].Secure || !strings.HasPrefix(cs[0].Name, "__Host-") {
		t.Errorf("%v", cs)
	}
}

// A log-in leads nowhere outside.
func TestLogInLeadsInside(t *testing.T) {
	t.Parallel()
	s, _ := lan(t)
	for _, to := range []string{"//evil.example", "https://evil.example/", `/\evil.example`, "/%2f/evil.example", "/login", "javascript:alert(1)", "/days\r\nX: y"} {
		p := &phone{site: s, from: "192.168.1.7"}
		if w := p.say("by", "passphrase", "passphrase", passphrase, "to", to); w.Header().Get("Location") != "/" {
			t.Errorf("%q leads to %q", to, w.Header().Get("Location"))
		}
	}
}

// A foreign name gets nothing, logged in or not; a foreign page can send
// nothing. Only the name it is known by counts, so neither can be this machine.
func TestRebindingAndForgery(t *testing.T) {
	t.Parallel()
	s, _ := lan(t)
	p := &phone{site: s, from: "192.168.1.7"}
	p.say("by", "passphrase", "passphrase", passphrase)
	for _, tt := range []struct {
		host, from, origin string
		want               int
	}{
		{"evil.example:4280", "192.168.1.7", "", http.StatusMisdirectedRequest},
		{"evil.example:4280", "127.0.0.1", "", http.StatusMisdirectedRequest},
		{"evil.example:4280", "127.0.0.1", "http://evil.example:4280", http.StatusMisdirectedRequest},
		{"bakery.lan:4280", "192.168.1.7", "http://evil.example", http.StatusForbidden},
		{"bakery.lan:4280", "192.168.1.7", "http://bakery.lan:8080", http.StatusForbidden},
		{"bakery.lan:4280", "192.168.1.7", "null", http.StatusForbidden},
		{"localhost:4280", "127.0.0.1", "http://evil.example", http.StatusForbidden},
	} {
		r := httptest.NewRequest(http.MethodPost, "/days/1/delete", nil)
		r.Host, r.RemoteAddr = tt.host, tt.from+":50000"
		r.AddCookie(p.cookie)
		if tt.origin != "" {
			r.Header.Set("Origin", tt.origin)
		}
		if w := s.do(r); w.Code != tt.want {
			t.Errorf("%+v: %d", tt, w.Code)
		}
	}
	if _, err := s.store.DayRecord(t.Context(), s.id); err != nil {
		t.Error(err)
	}
}

// Who speaks for others, or says it goes to another name, is not this machine.
func TestNotFromHere(t *testing.T) {
	t.Parallel()
	s, _ := lan(t)
	for name, change := range map[string]func(r *http.Request){
		"through a proxy": func(r *http.Request) { r.Header.Set("X-Forwarded-For", "192.168.1.7") },
		"over https":      func(r *http.Request) { r.Header.Set("X-Forwarded-Proto", "https") },
		"for a client":    func(r *http.Request) { r.Header.Set("X-Client-Ip", "192.168.1.7") },
		"for nobody":      func(r *http.Request) { r.Header.Set("Via", "") },
		"forwarded":       func(r *http.Request) { r.Header.Set("Forwarded", "for=192.168.1.7") },
		"by another name": func(r *http.Request) { r.Host = "bakery.lan" },
		"from outside":    func(r *http.Request) { r.RemoteAddr = "192.168.1.7:50000" },
		"no address":      func(r *http.Request) { r.RemoteAddr = "" },
	} {
		r := httptest.NewRequest(http.MethodGet, "/days", nil)
		r.Host, r.RemoteAddr = "localhost:4280", "127.0.0.1:50000"
		change(r)
		if w := s.do(r); w.Code != http.StatusSeeOther || w.Header().Get("Location") != "/login?to=%2Fdays" {
			t.Errorf("%s: %d", name, w.Code)
		}
	}
}

// Guessing is slow, for one and for many together; the right one has to wait,
// too, and then comes in.
func TestGuessing(t *testing.T) {
	t.Parallel()
	s, _ := lan(t)
	p := &phone{site: s, from: "192.168.1.7"}
	for range 5 {
		if w := p.say("by", "code", "code", "0000 0000"); w.Code != http.StatusUnauthorized {
			t.Fatalf("%d, want 401", w.Code)
		}
	}
	w := p.say("by", "passphrase", "passphrase", passphrase)
	if w.Code != http.StatusTooManyRequests || w.Header().Get("Retry-After") != "61" || p.cookie != nil {
		t.Errorf("the sixth: %d, retry after %s", w.Code, w.Header().Get("Retry-After"))
	}
	if w := (&phone{site: s, from: "192.168.1.8"}).say("by", "passphrase", "passphrase", passphrase); w.Code != http.StatusSeeOther {
		t.Errorf("another machine: %d", w.Code)
	}
	s.now = s.now.Add(61 * time.Second)
	if w := p.say("by", "passphrase", "passphrase", passphrase); w.Code != http.StatusSeeOther {
		t.Errorf("a minute later: %d", w.Code)
	}
}

// A code lets one device in, once; nothing but this machine shows it.
func TestCodeLetsIn(t *testing.T) {
	t.Parallel()
	s, _ := lan(t)
	c := code(t, s, "helper")
	p, q := &phone{site: s, from: "192.168.1.7"}, &phone{site: s, from: "192.168.1.8"}
	if w := p.say("by", "code", "code", c); w.Code != http.StatusSeeOther {
		t.Fatalf("%d", w.Code)
	}
	if w := q.say("by", "code", "code", c); w.Code != http.StatusUnauthorized {
		t.Errorf("twice: %d", w.Code)
	}
	c = code(t, s, "baker")
	if text := webtest.Parse(t, p.visit("/settings").Body).Text(nil); strings.Contains(text, c) {
		t.Error("a helper is shown a code")
	}
	q.say("by", "passphrase", "passphrase", passphrase)
	if text := webtest.Parse(t, q.visit("/settings").Body).Text(nil); strings.Contains(text, c) || !strings.Contains(text, "This one.") {
		t.Errorf("a baker elsewhere is shown\n%s", text)
	}
	if w := q.send(http.MethodPost, "/devices/code", nil); w.Code != http.StatusForbidden {
		t.Errorf("a baker elsewhere makes a code: %d", w.Code)
	}
	s.now = s.now.Add(entry.CodeLasts)
	if w := p.say("by", "code", "code", c); w.Code != http.StatusUnauthorized {
		t.Errorf("too late: %d", w.Code)
	}
}

// A helper sees everything and says "on it"; all else is refused and changes
// nothing.
func TestHelper(t *testing.T) {
	t.Parallel()
	s, _ := lan(t)
	p := &phone{site: s, from: "192.168.1.7"}
	p.say("by", "code", "code", code(t, s, "helper"))
	for _, path := range []string{"/days/1/now", "/days/1/sheet", "/breads", "/kitchen", "/settings"} {
		if w := p.visit(path); w.Code != http.StatusOK {
			t.Errorf("GET %s: %d", path, w.Code)
		}
	}
	plan, err := s.store.Plan(t.Context(), s.id)
	if err != nil {
		t.Fatal(err)
	}
	tap := func(key, kind string) int {
		return p.send(http.MethodPost, "/days/1/tap", url.Values{"key": {key}, "kind": {kind}, "task": {plan.Plan.Tasks[0].ID}, "version": {"1"}}).Code
	}
	if got := tap("a", "ack"); got != http.StatusSeeOther {
		t.Errorf("on it: %d", got)
	}
	for _, kind := range []string{"done", "skip", "undo", "start", ""} {
		if got := tap("b"+kind, kind); got != http.StatusForbidden {
			t.Errorf("tap %q: %d, want 403", kind, got)
		}
	}
	for _, path := range []string{"/kitchen", "/days", "/days/1/plan", "/days/1/slip", "/days/1/choices", "/days/1/delete", "/breads/new", "/settings", "/example", "/inout", "/inout/take", "/devices/code", "/devices/1/end"} {
		if w := p.send(http.MethodPost, path, url.Values{"kind": {"ack"}}); w.Code != http.StatusForbidden {
			t.Errorf("POST %s: %d, want 403", path, w.Code)
		}
	}
	taps, err := s.store.Taps(t.Context(), s.id)
	if err != nil || len(taps) != 1 || taps[0].Kind != record.Ack {
		t.Errorf("taps %+v, %v", taps, err)
	}
}

// Who is logged out, by itself, by another or by another passphrase, is out.
func TestLogOut(t *testing.T) {
	t.Parallel()
	s, _ := lan(t)
	in := func() (*phone, http.Cookie) {
		p := &phone{site: s, from: "192.168.1.7"}
		p.say("by", "passphrase", "passphrase", passphrase)
		return p, *p.cookie
	}
	out := func(how string, c http.Cookie) {
		t.Helper()
		if w := (&phone{site: s, from: "192.168.1.7", cookie: &c}).visit("/days"); w.Code != http.StatusSeeOther {
			t.Errorf("%s: %d", how, w.Code)
		}
	}
	p, c := in()
	if w := p.send(http.MethodPost, "/logout", nil); w.Code != http.StatusSeeOther || p.cookie.MaxAge >= 0 {
		t.Errorf("%d, cookie %v", w.Code, p.cookie)
	}
	out("logged out", c)

	_, c = in()
	if w := here(s, http.MethodPost, "/devices/2/end", nil); w.Code != http.StatusSeeOther {
		t.Errorf("ended: %d", w.Code)
	}
	out("ended from here", c)

	_, c = in()
	if err := s.store.SetPassphrase(t.Context(), "", s.now); err != nil {
		t.Fatal(err)
	}
	out("another passphrase", c)
}

// blocking is a hub whose stream goes on until its request ends.
type blocking struct{ begun, ended chan struct{} }

// holding is a hub whose streams end with their requests.
type holding struct{ begun chan struct{} }

func (holding) Publish(live.Event) {}

func (h holding) ServeHTTP(_ http.ResponseWriter, r *http.Request) {
	h.begun <- struct{}{}
	<-r.Context().Done()
}

// One device cannot take all there is: of its streams so many are open at a time,
// another device has its own, and those that end make room.
func TestStreamsOfOneSession(t *testing.T) {
	t.Parallel()
	const most = 64
	s, _ := lan(t)
	hub := holding{make(chan struct{})}
	h, err := web.New(web.Config{Store: s.store, Hub: hub, Static: static.FS, Now: func() time.Time { return s.now }, Hosts: []string{"bakery.lan"}, Addresses: func() []string { return nil }})
	if err != nil {
		t.Fatal(err)
	}
	s.h = h
	greedy, other := &phone{site: s, from: "192.168.1.7"}, &phone{site: s, from: "192.168.1.8"}
	for _, p := range []*phone{greedy, other} {
		if w := p.say("by", "passphrase", "passphrase", passphrase); w.Code != http.StatusSeeOther {
			t.Fatalf("log-in: %d", w.Code)
		}
	}
	var open sync.WaitGroup
	for range most {
		open.Go(func() { greedy.visit("/events") })
		<-hub.begun
	}
	if w := greedy.visit("/events"); w.Code != http.StatusTooManyRequests || w.Header().Get("Retry-After") == "" {
		t.Errorf("one more: %d", w.Code)
	}
	open.Go(func() { other.visit("/events") })
	<-hub.begun
	here(s, http.MethodPost, "/devices/1/end", nil)
	here(s, http.MethodPost, "/devices/2/end", nil)
	open.Wait()
	if w := greedy.visit("/days"); w.Code != http.StatusSeeOther {
		t.Errorf("after its end: %d", w.Code)
	}
}

func (blocking) Publish(live.Event) {}

func (b blocking) ServeHTTP(_ http.ResponseWriter, r *http.Request) {
	close(b.begun)
	<-r.Context().Done()
	close(b.ended)
}

// A stream under way ends with its session: ended from here, by who left in another
// page of it or came in anew, and by time.
func TestStreamEndsWithSession(t *testing.T) {
	t.Parallel()
	for how, end := range map[string]func(s *site, p phone){
		"ended from here": func(s *site, _ phone) { here(s, http.MethodPost, "/devices/1/end", nil) },
		"logged out":      func(_ *site, p phone) { p.send(http.MethodPost, "/logout", nil) },
		"logged in anew":  func(_ *site, p phone) { p.say("by", "passphrase", "passphrase", passphrase) },
		"by time":         func(*site, phone) {},
	} {
		t.Run(how, func(t *testing.T) {
			t.Parallel()
			s, _ := lan(t)
			hub := blocking{make(chan struct{}), make(chan struct{})}
			h, err := web.New(web.Config{Store: s.store, Hub: hub, Static: static.FS, Now: func() time.Time { return s.now }, Hosts: []string{"bakery.lan"}, Addresses: func() []string { return nil }})
			if err != nil {
				t.Fatal(err)
			}
			s.h = h
			p := &phone{site: s, from: "192.168.1.7"}
			p.say("by", "passphrase", "passphrase", passphrase)
			if how == "by time" {
				s.now = s.now.Add(30*24*time.Hour - 50*time.Millisecond)
			}
			other := *p // another page of the same device
			go p.visit("/events")
			<-hub.begun
			end(s, other)
			select {
			case <-hub.ended:
			case <-time.After(5 * time.Minute):
				t.Error("the stream goes on")
			}
		})
	}
}

// What others send cannot forge lines of the log, and no secret is in it.
func TestLogInjection(t *testing.T) {
	t.Parallel()
	s, log := lan(t)
	forged := "x\ntime=2026-11-27T16:00:00Z level=INFO msg=\"logged in\" client=10.0.0.1"
	p := &phone{site: s, from: "192.168.1.7", agent: "Firefox/1 " + forged}
	p.say("by", "passphrase", "passphrase", "secret "+forged, "to", forged)
	p.say("by", "code", "code", forged)
	p.say("by", "passphrase", "passphrase", passphrase)
	p.visit("/" + url.PathEscape(forged))
	lines := strings.Split(strings.TrimSpace(log.String()), "\n")
	if len(lines) != 3 {
		t.Errorf("%d lines, want 3:\n%s", len(lines), log)
	}
	for _, secret := range []string{"10.0.0.1", "secret", passphrase, p.cookie.Value} {
		if strings.Contains(log.String(), secret) {
			t.Errorf("%q is in the log:\n%s", secret, log)
		}
	}
	if got := strings.Count(log.String(), `msg="log-in refused" client=192.168.1.7`); got != 2 {
		t.Errorf("%d refusals in the log, want 2:\n%s", got, log)
	}
}

// The token is not in the database, nor is the passphrase.
func TestSecretsAreHashed(t *testing.T) {
	t.Parallel()
	s, _ := lan(t)
	p := &phone{site: s, from: "192.168.1.7"}
	if w := p.say("by", "passphrase", "passphrase", passphrase); w.Code != http.StatusSeeOther {
		t.Fatalf("%d", w.Code)
	}
	if _, err := s.store.Session(context.Background(), p.cookie.Value, s.now); err != nil {
		t.Fatal(err)
	}
	raw := database(t, s)
	for _, secret := range []string{p.cookie.Value, passphrase} {
		if bytes.Contains(raw, []byte(secret)) {
			t.Errorf("%q is in the database", secret)
		}
	}
	if !bytes.Contains(raw, []byte("$argon2id$")) {
		t.Error("the hash of the passphrase is not where it was looked for")
	}
}

func TestLanTooLarge(t *testing.T) {
	t.Parallel()
	s, _ := lan(t)
	p := &phone{site: s, from: "192.168.1.7"}
	if w := p.say("by", "passphrase", "passphrase", strings.Repeat("x", 1<<20)); w.Code != http.StatusRequestEntityTooLarge {
		t.Errorf("log-in: %d", w.Code)
	}
}

// database is every byte of the store.
func database(t *testing.T, s *site) []byte {
	t.Helper()
	path := filepath.Join(t.TempDir(), "copy.db")
	if err := s.store.Backup(t.Context(), path); err != nil {
		t.Fatal(err)
	}
	raw, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return raw
}
