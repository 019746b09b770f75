package web_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"log/slog"
	"maps"
	"mime/multipart"
	"net"
	"net/http"
	"net/http/httptest"
	"net/url"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"ovenward/schedule"
	"ovenward/static"
	"ovenward/store/record"
	"ovenward/web"
	"ovenward/web/webtest"
)

// sendable is a form of a page, as it stands there.
type sendable struct {
	at, to string // page it is on, and where it is sent
	values url.Values
	typed  []string // fields anything can be typed into
}

// forms are all that the pages of a site have, each once.
func (s *site) forms() []sendable {
	s.t.Helper()
	seen := map[string]sendable{}
	crawl(s.t.(*testing.T), s.read, func(path, body string) {
		for _, n := range webtest.Parse(s.t, strings.NewReader(body)).All("form") {
			f := sendable{at: path, to: webtest.Attr(n, "action"), values: url.Values{}}
			if !strings.EqualFold(webtest.Attr(n, "method"), http.MethodPost) {
				continue
			}
			for c := range n.Descendants() {
				f.add(c)
			}
			key := fmt.Sprint(f.to, slices.Sorted(maps.Keys(f.values)))
			if _, ok := seen[key]; !ok {
				seen[key] = f
			}
		}
	})
	return slices.SortedFunc(maps.Values(seen), func(a, b sendable) int { return strings.Compare(a.at+a.to, b.at+b.to) })
}

// read gives a page; of a file nothing, since no browser takes it for one.
func (s *site) read(path string) (status int, body string) {
	w := s.get(path)
	if h := w.Header(); !strings.HasPrefix(h.Get("Content-Type"), "text/html") {
		if h.Get("X-Content-Type-Options") != "nosniff" || !strings.HasPrefix(h.Get("Content-Disposition"), "attachment") {
			s.t.Errorf("%s could be taken for a page: %v", path, h)
		}
		return w.Code, ""
	}
	return w.Code, w.Body.String()
}

func (f *sendable) add(c *html.Node) {
	name, value := webtest.Attr(c, "name"), webtest.Attr(c, "value")
	switch kind := webtest.Attr(c, "type"); {
	case name == "" || kind == "file" || c.Type != html.ElementNode:
	case c.Data == "textarea", c.Data == "input" && kind != "radio" && kind != "checkbox":
		f.values.Add(name, value)
		f.typed = append(f.typed, name)
	case c.Data == "select":
		for o := range c.Descendants() {
			if o.Data == "option" && (f.values.Get(name) == "" || slices.ContainsFunc(o.Attr, func(a html.Attribute) bool { return a.Key == "selected" })) {
				f.values.Set(name, webtest.Attr(o, "value"))
			}
		}
		f.typed = append(f.typed, name)
	case c.Data == "button" && name == "do" || c.Data == "input":
		if f.values.Get(name) == "" && value != "all" && value != "clear" {
			f.values.Set(name, value)
		}
	}
}

// payload is markup in every place it might come to stand: an element, an
// attribute of either quote, an address.
func payload(n int) string {
	return fmt.Sprintf(`javascript:alert(%d)//'"></title></textarea><script>alert(%d)</script><img src=x onerror=alert(%d)><b style="x">`, n, n, n)
}

// inert reports what on a page a browser would run, or load, or take as style,
// without it being a file of the program.
func inert(body string) (faults []string) {
	root, err := html.Parse(strings.NewReader(body))
	if err != nil {
		return []string{err.Error()}
	}
	for n := range root.Descendants() {
		if n.Type != html.ElementNode {
			continue
		}
		src := webtest.Attr(n, "src")
		if n.Data == "style" || n.Data == "img" || n.Data == "iframe" || n.Data == "script" && webtest.Attr(n, "type") != "application/json" && !strings.HasPrefix(src, "/static/") {
			faults = append(faults, "<"+n.Data+">")
		}
		for _, a := range n.Attr {
			value := strings.ToLower(strings.TrimSpace(a.Val))
			if strings.HasPrefix(a.Key, "on") || a.Key == "style" ||
				slices.Contains([]string{"href", "src", "action", "formaction"}, a.Key) && (strings.HasPrefix(value, "javascript:") || strings.HasPrefix(value, "data:")) {
				faults = append(faults, n.Data+" "+a.Key+"="+a.Val)
			}
		}
	}
	return faults
}

// Markup typed into any field of any form is text in the answer (OWASP ASVS 5.0:
// 1.2.1, 3.2.2); TestMarkupOnEveryPage looks at the pages that show what is kept.
func TestMarkupEverywhere(t *testing.T) {
	t.Parallel()
	s := example(t)
	sent, shown := 0, 0
	for _, f := range s.forms() {
		if strings.HasSuffix(f.to, "/delete") {
			continue
		}
		for i, name := range f.typed {
			v := maps.Clone(f.values)
			v[name] = []string{payload(sent)}
			if strings.HasSuffix(f.to, "/plan") && i > 2 { // each would plan the day
				v.Set("do", "add orders")
			}
			w := s.post(f.to, v)
			sent++
			for _, fault := range inert(w.Body.String()) {
				t.Errorf("%s of %s: %s", name, f.to, fault)
			}
			if to := w.Header().Get("Location"); w.Code == http.StatusSeeOther && !strings.HasPrefix(to, "/") {
				t.Errorf("%s of %s leads to %s", name, f.to, to)
			}
			shown += strings.Count(w.Body.String(), "&lt;script&gt;")
		}
	}
	t.Logf("%d fields, shown as text %d times", sent, shown)
	if sent < 200 || shown < 100 {
		t.Errorf("only %d fields were tried, and what was typed shown %d times", sent, shown)
	}
}

// The same in files that are taken in.
func TestMarkupInFiles(t *testing.T) {
	t.Parallel()
	s := example(t)
	bundle := s.get("/inout/ovenward.json").Body.String()
	quoted := strings.NewReplacer(`\`, `\\`, `"`, `\"`).Replace(payload(1))
	evil := strings.ReplaceAll(strings.ReplaceAll(bundle, "Slipway", quoted), "Currant bun", quoted)
	if evil == bundle {
		t.Fatal("nothing was planted")
	}
	shown := 0
	for name, file := range map[string]string{"../../" + payload(2): evil, "x": payload(3), "y": `{"` + quoted + `":1}`} {
		var b bytes.Buffer
		m := multipart.NewWriter(&b)
		part, err := m.CreateFormFile("file", name)
		if err != nil {
			t.Fatal(err)
		}
		part.Write([]byte(file))
		m.Close()
		r := httptest.NewRequest(http.MethodPost, "/inout", &b)
		r.Header.Set("Content-Type", m.FormDataContentType())
		w := s.do(r)
		for _, fault := range inert(w.Body.String()) {
			t.Errorf("%.20s: %s", name, fault)
		}
		shown += strings.Count(w.Body.String(), "&lt;script&gt;")
	}
	if shown == 0 {
		t.Error("nothing of what was planted is shown")
	}
}

// No form of any page can be sent by a page of another site, or with more than a
// form holds.
func TestForgeryEverywhere(t *testing.T) {
	t.Parallel()
	s := example(t)
	before := s.get("/inout/ovenward.json").Body.String()
	forms := s.forms()
	if after := s.get("/inout/ovenward.json").Body.String(); after != before {
		t.Error("looking at every page has changed something")
	}
	for _, f := range forms {
		for name, value := range map[string]string{"Origin": "http://evil.example", "Sec-Fetch-Site": "cross-site"} {
			r := httptest.NewRequest(http.MethodPost, f.to, strings.NewReader(f.values.Encode()))
			r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
			r.Header.Set(name, value)
			if w := s.do(r); w.Code != http.StatusForbidden {
				t.Errorf("%s with %s %s: %d", f.to, name, value, w.Code)
			}
		}
		if strings.HasPrefix(f.to, "/inout") || strings.HasSuffix(f.to, "/delete") {
			continue // takes files; reads nothing
		}
		if w := s.post(f.to, url.Values{"name": {strings.Repeat("x", 1<<20)}}); w.Code != http.StatusRequestEntityTooLarge && w.Code != http.StatusUnprocessableEntity {
			t.Errorf("%s with a mebibyte: %d", f.to, w.Code)
		}
	}
	if len(forms) < 25 {
		t.Errorf("only %d forms were tried", len(forms))
	}
	if after := s.get("/inout/ovenward.json").Body.String(); after != before {
		t.Error("something was changed")
	}
}

// raw sends bytes as they are, which Go's own client would not.
func raw(t *testing.T, at, request string) (answer string) {
	t.Helper()
	c, err := net.Dial("tcp", at)
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	if _, err := c.Write([]byte(request)); err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	b.ReadFrom(c)
	return b.String()
}

// No path leads out of the static files, and none lists them.
func TestTraversal(t *testing.T) {
	t.Parallel()
	s := example(t)
	srv := httptest.NewServer(s.h)
	t.Cleanup(srv.Close)
	at := srv.Listener.Addr().String()
	css := webtest.Attr(s.page("/days").All("link")[0], "href")
	dir := css[:strings.LastIndex(css, "/")+1]
	for _, path := range []string{
		"/static", "/static/", dir, strings.TrimSuffix(dir, "/"), dir + ".", dir + "..", dir + "../", dir + "../../go.mod", dir + "..%2f..%2fgo.mod", dir + "%2e%2e/%2e%2e/go.mod",
		dir + "..\\..\\go.mod", "/static/../go.mod", "//static//../../etc/passwd", dir + "static.go", dir + "/etc/passwd", dir + "ovenward.css%00.txt",
		"/breads/..%2f..%2fgo.mod", "/breads/../../go.mod/recipe.json", "/days/..%2f1", "/inout/../ovenward.db", "/inout/ovenward.json/..%2f..%2fovenward.db", "/ovenward.db", "/backup/", "/.git/config",
	} {
		got := raw(t, at, "GET "+path+" HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n")
		if status := strings.SplitN(got, " ", 3)[1]; status != "404" && status != "400" {
			t.Errorf("%s: %.80s", path, got)
		}
		for _, leak := range []string{"module ovenward", "root:", "SQLite format", "<pre>", "package static"} {
			if strings.Contains(got, leak) {
				t.Errorf("%s gives %q", path, leak)
			}
		}
	}
	if got := raw(t, at, "GET "+css+" HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n"); !strings.HasPrefix(got, "HTTP/1.1 200") {
		t.Errorf("the sheet itself: %.80s", got)
	}
}

// What two readers of a request could take for different things is refused, or read
// as the stricter would: RFC 9112, 3.2 (one Host; an absolute target goes before it)
// and 6.3 (one length), RFC 9110, 9.1 (the method is the method).
func TestAmbiguousRequests(t *testing.T) {
	t.Parallel()
	s := example(t)
	srv := httptest.NewServer(s.h)
	t.Cleanup(srv.Close)
	const host, end = "Host: localhost\r\n", "Connection: close\r\n\r\n"
	for request, want := range map[string]string{
		"GET /days HTTP/1.1\r\n" + host + end:                                                                                 "200",
		"GET /days HTTP/1.1\r\n" + host + "Host: evil.example\r\n" + end:                                                      "400",
		"GET /days HTTP/1.1\r\n" + end:                                                                                        "400",
		"GET /days HTTP/1.1\r\nHost : localhost\r\n" + end:                                                                    "400",
		"GET /days HTTP/1.0\r\n" + end:                                                                                        "421",
		"GET http://evil.example/days HTTP/1.1\r\n" + host + end:                                                              "421",
		"CONNECT evil.example:80 HTTP/1.1\r\nHost: evil.example:80\r\n" + end:                                                 "421",
		"POST /screens HTTP/1.1\r\n" + host + "Content-Length: 0\r\nContent-Length: 6\r\n" + end:                              "400",
		"POST /days/1/delete HTTP/1.1\r\n" + host + "Origin: http://evil.example\r\nX-HTTP-Method-Override: GET\r\n" + end:    "403",
		"GET /days/1/delete HTTP/1.1\r\n" + host + "X-HTTP-Method-Override: POST\r\nX-Original-URL: /days/1/delete\r\n" + end: "404",
		"GET //days HTTP/1.1\r\n" + host + end:                                                                                "404",
		"GET /days HTTP/1.1\r\n" + host + "X: " + strings.Repeat("x", 2<<20) + "\r\n" + end:                                   "431",
	} {
		if got := raw(t, srv.Listener.Addr().String(), request); strings.SplitN(got+"  ", " ", 3)[1] != want {
			t.Errorf("%.120q: %.80q, want %s", request, got, want)
		}
	}
	if _, err := s.store.DayRecord(t.Context(), s.id); err != nil {
		t.Error(err)
	}
}

// Whatever a request holds, it is one line of the log, also of the log of every
// request and of a fault.
func TestOneLineEach(t *testing.T) {
	t.Parallel()
	s := example(t)
	log := &bytes.Buffer{}
	h, err := web.New(web.Config{Store: failing{s.store}, Static: static.FS, Log: slog.New(slog.NewTextHandler(log, &slog.HandlerOptions{Level: slog.LevelDebug}))})
	if err != nil {
		t.Fatal(err)
	}
	srv := httptest.NewServer(h)
	t.Cleanup(srv.Close)
	at := srv.Listener.Addr().String()
	for _, request := range []string{
		"GET /x%0atime=2026-11-27T16:00:00Z%20level=INFO%20msg=forged HTTP/1.1\r\nHost: localhost\r\n",
		"GET /breads/x%0d%0amsg=forged%1b%5b2J HTTP/1.1\r\nHost: localhost\r\n",
		"GET /breads HTTP/1.1\r\nHost: localhost\r\nUser-Agent: a\tb\r\nX-Forwarded-For: 1\tmsg=forged\r\n",
		"GET /%e2%80%a8msg=forged%c2%85 HTTP/1.1\r\nHost: localhost\r\n",
	} {
		log.Reset()
		raw(t, at, request+"Connection: close\r\n\r\n")
		lines := strings.Split(strings.TrimSpace(log.String()), "\n")
		for _, line := range lines {
			if !strings.HasPrefix(line, "time=") || strings.ContainsAny(line, "\r\x1b\u2028\u0085\t\x7f") || strings.Contains(line, " msg=forged") && !strings.Contains(line, `"`) {
				t.Errorf("%q", line)
			}
		}
		if n := strings.Count(log.String(), "msg=request"); n != 1 {
			t.Errorf("%d lines for one request:\n%s", n, log)
		}
	}
}

// A token somebody else has set beforehand is never taken over (session
// fixation; OWASP ASVS 5.0: 7.2.4), nor does one of the plain name count where
// the connection is encrypted.
func TestFixation(t *testing.T) {
	t.Parallel()
	s, _ := lan(t)
	const planted = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
	p := &phone{site: s, from: "192.168.1.7", cookie: &http.Cookie{Name: "entry", Value: planted}}
	if w := p.say("by", "passphrase", "passphrase", passphrase); w.Code != http.StatusSeeOther || p.cookie.Value == planted {
		t.Errorf("%d, the token is %s", w.Code, p.cookie.Value)
	}
	if _, err := s.store.Session(t.Context(), planted, s.now); !errors.Is(err, record.ErrNotFound) {
		t.Errorf("the planted token is let in: %v", err)
	}
	r := httptest.NewRequest(http.MethodGet, "https://bakery.lan/days", nil)
	r.AddCookie(&http.Cookie{Name: "entry", Value: p.cookie.Value})
	if w := s.do(r); w.Code != http.StatusSeeOther {
		t.Errorf("a plain cookie over https: %d", w.Code)
	}
}

// failing is a store that breaks in words of an attacker's choice.
type failing struct{ web.Store }

func (failing) Bread(context.Context, string) (schedule.Bread, error) {
	panic("x\ntime=2026-11-27T16:00:00Z level=INFO msg=forged")
}
