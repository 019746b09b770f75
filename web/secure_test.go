package web_test

import (
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
)

// A page of another site whose name was pointed at this machine must get
// nothing: it names itself as host.
func TestHosts(t *testing.T) {
	t.Parallel()
	s := empty(t)
	for host, want := range map[string]int{
		"localhost": 200, "localhost:8080": 200, "LOCALHOST:1": 200, "127.0.0.1:8080": 200, "[::1]:8080": 200, "a.localhost:8080": 200, "bakery.lan:8080": 200,
		"evil.example": 421, "evil.example:8080": 421, "localhost.evil.example": 421, "xlocalhost": 421, "127.0.0.1.evil.example": 421, "10.0.0.7:8080": 421, "": 421,
		"[::1]": 200, "LocalHost:80": 200, "localhost.": 421, "127.0.0.1.:80": 421, "evil.example.:80": 421, "0.0.0.0:8080": 421, "[::]:8080": 421, "127.1": 421, "2130706433": 421,
		"0x7f000001": 421, "[::ffff:10.0.0.7]:80": 421, "[fe80::1%25eth0]:80": 421, "localhost:80:80": 421, "localhost@evil.example": 421, "localhost,evil.example": 421, "localhost evil.example": 421,
	} {
		r := httptest.NewRequest(http.MethodGet, "/days", nil)
		r.Host = host
		w := httptest.NewRecorder()
		s.h.ServeHTTP(w, r)
		if w.Code != want {
			t.Errorf("host %q: %d, want %d", host, w.Code, want)
		}
	}
}

func TestCrossSitePost(t *testing.T) {
	t.Parallel()
	s := example(t)
	for _, h := range []http.Header{
		{"Sec-Fetch-Site": {"cross-site"}}, {"Sec-Fetch-Site": {"same-site"}}, {"Origin": {"http://evil.example"}}, {"Origin": {"null"}},
	} {
		r := httptest.NewRequest(http.MethodPost, "/days/1/delete", nil)
		r.Header = h
		if w := s.do(r); w.Code != http.StatusForbidden {
			t.Errorf("%v: %d", h, w.Code)
		}
	}
	if _, err := s.store.DayRecord(t.Context(), s.id); err != nil {
		t.Error(err)
	}
}

// OWASP ASVS 5.0: 3.4.3 content policy, 3.4.4 nosniff, 3.4.5 referrer, 3.4.6
// frame-ancestors, 3.4.8 opener, 3.5.8 resource policy (its number from memory).
func TestHeaders(t *testing.T) {
	t.Parallel()
	s := example(t)
	for _, path := range append(paths(), "/nowhere", "/days/1/calls") {
		h := s.get(path).Header()
		for name, want := range map[string]string{
			"Content-Security-Policy":      "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; media-src 'self'; connect-src 'self'; manifest-src 'self'; worker-src 'self'; form-action 'self'; base-uri 'none'; object-src 'none'; frame-ancestors 'none'",
			"X-Content-Type-Options":       "nosniff",
			"Referrer-Policy":              "same-origin",
			"Cross-Origin-Opener-Policy":   "same-origin",
			"Cross-Origin-Resource-Policy": "same-origin",
			"Permissions-Policy":           "screen-wake-lock=(self), camera=(), microphone=(), geolocation=()",
			"Cache-Control":                "no-store",
			"Content-Type":                 "text/html; charset=utf-8",
		} {
			if got := h.Get(name); got != want {
				t.Errorf("%s: %s is %q", path, name, got)
			}
		}
	}
}

func TestStatic(t *testing.T) {
	t.Parallel()
	s := example(t)
	css := ""
	for _, n := range s.page("/days").All("link") {
		for _, a := range n.Attr {
			if strings.HasSuffix(a.Val, ".css") {
				css = a.Val
			}
		}
	}
	w := s.get(css)
	if w.Code != 200 || w.Header().Get("Cache-Control") != "public, max-age=31536000, immutable" || w.Header().Get("Content-Type") != "text/css; charset=utf-8" {
		t.Errorf("%s: %d %v", css, w.Code, w.Header())
	}
	r := httptest.NewRequest(http.MethodGet, css, nil)
	r.Header.Set("If-None-Match", w.Header().Get("ETag"))
	if w := s.do(r); w.Code != http.StatusNotModified {
		t.Errorf("unchanged: %d", w.Code)
	}
	for _, path := range []string{"/static/0/ovenward.css", css + "x", "/static/", "/static/../go.mod"} {
		if w := s.get(path); w.Code != http.StatusNotFound {
			t.Errorf("%s: %d", path, w.Code)
		}
	}
}

func TestTooLarge(t *testing.T) {
	t.Parallel()
	s := example(t)
	if w := s.post("/kitchen", url.Values{"name": {strings.Repeat("x", 1<<20)}}); w.Code != http.StatusRequestEntityTooLarge {
		t.Errorf("%d", w.Code)
	}
}
