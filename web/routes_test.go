package web_test

import (
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"net/url"
	"slices"
	"strings"
	"testing"

	"github.com/go-chi/chi/v5"

	"ovenward/schedule"
	"ovenward/schedule/dough"
	"ovenward/store/bundle"
	"ovenward/store/record"
	"ovenward/web"
	"ovenward/web/webtest"
)

// route is one line of the map of the site.
type route struct{ method, pattern string }

// routes are read off the router itself, so that no test forgets one.
func (s *site) routes(method string) (all []route) {
	s.t.Helper()
	err := chi.Walk(s.h.(*web.Site).Handler.(chi.Routes), func(m, pattern string, _ http.Handler, _ ...func(http.Handler) http.Handler) error {
		if m == method {
			all = append(all, route{m, pattern})
		}
		return nil
	})
	if err != nil {
		s.t.Fatal(err)
	}
	return all
}

// with puts a value in the place of every parameter. The example day is 1, and so
// is whatever else is counted; a bread of that name there is not.
func (r route) with(value string) string {
	parts := strings.Split(r.pattern, "/")
	for i, p := range parts {
		if strings.HasPrefix(p, "{") || p == "*" {
			parts[i] = value
		}
	}
	return strings.Join(parts, "/")
}

// kept is everything that is remembered but who is logged in.
func (s *site) kept() string {
	s.t.Helper()
	b := s.all()
	b.Made = s.now
	out, err := json.Marshal(b)
	if err != nil {
		s.t.Fatal(err)
	}
	return string(out)
}

// No route does anything for whom it is not meant: each is asked by a stranger, by
// a helper, by a page of another site with a baker's cookie, under a foreign name,
// and by a program with a key for the calendar alone.
func TestEveryRouteIsGuarded(t *testing.T) {
	t.Parallel()
	s, _ := lan(t)
	key := s.letIn("phone", string(record.CalendarPass))
	stranger, helper, baker := &phone{site: s, from: "192.168.1.6"}, &phone{site: s, from: "192.168.1.7"}, &phone{site: s, from: "192.168.1.8"}
	helper.say("by", "code", "code", code(t, s, "helper"))
	baker.say("by", "passphrase", "passphrase", passphrase)
	before := s.kept()
	for _, r := range s.routes(http.MethodPost) {
		at := r.with("1")
		want := http.StatusForbidden
		switch at {
		case "/login", "/logout": // lead in and out
			continue
		case "/screens":
			want = http.StatusUnprocessableEntity // lets it in, and finds it does not say its name
		}
		if w := helper.send(r.method, at, url.Values{"kind": {"done"}}); w.Code != want {
			t.Errorf("a helper posts to %s: %d, want %d", r.pattern, w.Code, want)
		}
		if w := stranger.send(r.method, at, url.Values{"kind": {"ack"}}); w.Code != http.StatusUnauthorized {
			t.Errorf("a stranger posts to %s: %d", r.pattern, w.Code)
		}
	}
	for _, r := range s.routes(http.MethodPost) {
		for name, change := range map[string]func(*http.Request){
			"by another site":     func(r *http.Request) { r.Header.Set("Origin", "http://evil.example") },
			"under a false name":  func(r *http.Request) { r.Host = "evil.example:4280" },
			"by a page of no one": func(r *http.Request) { r.Header.Set("Origin", "null") },
		} {
			q := httptest.NewRequest(r.method, r.with("1"), nil)
			q.Host, q.RemoteAddr = "bakery.lan:4280", "192.168.1.8:50000"
			q.AddCookie(baker.cookie)
			change(q)
			if w := s.do(q); w.Code != http.StatusForbidden && w.Code != http.StatusMisdirectedRequest {
				t.Errorf("posted to %s %s: %d", r.pattern, name, w.Code)
			}
		}
		q := httptest.NewRequest(r.method, r.with("1"), nil)
		q.Host, q.RemoteAddr = "bakery.lan:4280", "192.168.1.9:50000"
		q.Header.Set("Authorization", "Bearer "+strings.TrimSuffix(key[strings.LastIndex(key, "/")+1:], ".ics"))
		if w := s.do(q); w.Code != http.StatusUnauthorized && w.Code != http.StatusTooManyRequests && r.pattern != "/logout" {
			t.Errorf("posted to %s with the calendar's secret: %d", r.pattern, w.Code)
		}
	}
	for _, r := range s.routes(http.MethodGet) {
		w := stranger.visit(r.with("1"))
		switch {
		case r.pattern == "/login", strings.HasPrefix(r.pattern, "/static/"), strings.HasPrefix(r.pattern, "/feed/"):
		case w.Code == http.StatusSeeOther && strings.HasPrefix(w.Header().Get("Location"), "/login"), w.Code == http.StatusUnauthorized:
		default:
			t.Errorf("a stranger gets %s: %d", r.pattern, w.Code)
		}
	}
	if after := s.kept(); after != before {
		t.Error("something was changed")
	}
}

// No other method reaches a route, whoever sends it: a proxy or a page that turns
// one into another changes nothing.
func TestNoOtherMethod(t *testing.T) {
	t.Parallel()
	s := example(t)
	before := s.kept()
	for _, r := range append(s.routes(http.MethodPost), s.routes(http.MethodGet)...) {
		for _, method := range []string{http.MethodPut, http.MethodPatch, http.MethodDelete, http.MethodOptions, http.MethodTrace, "PROPFIND"} {
			if w := s.do(httptest.NewRequest(method, r.with("1"), nil)); w.Code < 400 || w.Code >= 500 {
				t.Errorf("%s %s: %d", method, r.pattern, w.Code)
			}
		}
	}
	if after := s.kept(); after != before {
		t.Error("something was changed")
	}
}

// Looking changes nothing: every page and file is asked for.
func TestGetChangesNothing(t *testing.T) {
	t.Parallel()
	s := example(t)
	before := s.kept()
	for _, r := range s.routes(http.MethodGet) {
		for _, id := range []string{"1", "slipway", "milk-dough", "bread-flour"} {
			if w := s.get(r.with(id)); w.Code >= 500 {
				t.Errorf("%s with %s: %d", r.pattern, id, w.Code)
			}
		}
	}
	if after := s.kept(); after != before {
		t.Error("something was changed")
	}
}

// strange are parameters nobody means well with, as they stand in an address.
var strange = []string{
	"..", "..%2f..%2fetc%2fpasswd", "%00", "-1", "0", "9223372036854775807", "9223372036854775808", "1e3", "0x1", "%ff%fe", "%e2%80%ae", "%0d%0aSet-Cookie:%20a=b",
	"%3Cscript%3Ealert(1)%3C%2Fscript%3E", "'%20OR%201=1--", "%22%3E%3Cimg%20src=x%20onerror=alert(1)%3E", "%25s%25n", "*", "{day}", strings.Repeat("9", 5000), strings.Repeat("a", 5000),
}

// Whatever stands where an address names something, and whatever is asked for or
// sent there, the answer is one of ours: no fault of the program, nothing that
// runs, no header more.
func TestStrangeAddresses(t *testing.T) {
	t.Parallel()
	s := example(t)
	before := s.kept()
	tried := 0
	check := func(what string, w *httptest.ResponseRecorder) {
		t.Helper()
		tried++
		if w.Code >= 500 {
			t.Errorf("%.90s: %d", what, w.Code)
		}
		if c := w.Header().Get("Set-Cookie"); c != "" {
			t.Errorf("%.90s sets %s", what, c)
		}
		for _, fault := range inert(w.Body.String()) {
			if strings.HasPrefix(w.Header().Get("Content-Type"), "text/html") {
				t.Errorf("%.90s: %s", what, fault)
			}
		}
		if to := w.Header().Get("Location"); to != "" && (!strings.HasPrefix(to, "/") || strings.HasPrefix(to, "//")) {
			t.Errorf("%.90s leads to %s", what, to)
		}
	}
	for _, r := range append(s.routes(http.MethodGet), s.routes(http.MethodPost)...) {
		if !strings.ContainsAny(r.pattern, "{*") {
			continue
		}
		for _, x := range strange {
			check(r.method+" "+r.with(x), s.do(httptest.NewRequest(r.method, r.with(x), nil)))
		}
	}
	for _, r := range s.routes(http.MethodGet) {
		for _, x := range []string{"-1", "9223372036854775808", "%00", "%3Cscript%3Ealert(1)%3C%2Fscript%3E", strings.Repeat("9", 5000)} {
			q := url.Values{}
			raw, _ := url.QueryUnescape(x)
			for _, name := range []string{"from", "to", "task", "said", "new", "by", "q", "food", "base", "copy", "date", "days", "page", "skip", "tins", "long", "wide", "high", "kind", "of", "why", "way", "pick", "call", "dough", "for", "paper", "name"} {
				q.Set(name, raw)
			}
			check(r.pattern+"?…="+x, s.get(r.with("1")+"?"+q.Encode()))
		}
	}
	if after := s.kept(); after != before {
		t.Error("something was changed")
	}
	t.Logf("%d requests", tried)
}

// A body that is not what a form sends is refused by every route, or kept nowhere.
func TestStrangeBodies(t *testing.T) {
	t.Parallel()
	s := example(t)
	posts := s.routes(http.MethodPost)
	slices.SortStableFunc(posts, func(a, b route) int { // what deletes comes last
		return strings.Count(a.pattern, "delete") - strings.Count(b.pattern, "delete")
	})
	for _, r := range posts {
		for name, body := range map[string][2]string{
			"nothing":        {"application/x-www-form-urlencoded", ""},
			"no type":        {"", "a=b"},
			"bad escapes":    {"application/x-www-form-urlencoded", "name=%zz&%&;;=&orders[0].pieces=%"},
			"JSON":           {"application/json", `{"a": [[[[1e999]]]], "name": "\ud800"}`},
			"deep JSON":      {"application/json", strings.Repeat("[", 200_000)},
			"parts cut off":  {"multipart/form-data; boundary=x", "--x\r\nContent-Disposition: form-data; name=\"file\"; filename=\"../../a\"\r\n\r\nhalf"},
			"no boundary":    {"multipart/form-data", "--x--"},
			"not UTF-8":      {"application/x-www-form-urlencoded", "name=%ff%fe&key=%00&kind=%ff&do=%00&version=%ff"},
			"far too many":   {"application/x-www-form-urlencoded", strings.Repeat("a=1&", 200_000)},
			"far rows":       {"application/x-www-form-urlencoded", "orders[999999999].pieces=1&method[2147483648].kind=mix&ovens[-1].name=x&formula.ingredients[99999].food=x&places[0].curve[88888].at=1&name=x"},
			"actions of old": {"application/x-www-form-urlencoded", "do=del+orders+99&key=k"},
			"odd actions":    {"application/x-www-form-urlencoded", "do=add+ovens.x.y&name=x"},
			"odd numbers":    {"application/x-www-form-urlencoded", "do=not-yet+99999999999999999999&minutes=-5&value=NaN&version=-1&key=k&task=A.1&kind=snooze"},
			"packed":         {"application/x-www-form-urlencoded", "\x1f\x8b\x08\x00"},
		} {
			q := httptest.NewRequest(http.MethodPost, r.with("1"), strings.NewReader(body[1]))
			if body[0] != "" {
				q.Header.Set("Content-Type", body[0])
			}
			if w := s.do(q); w.Code >= 500 {
				t.Errorf("%s with %s: %d: %s", r.pattern, name, w.Code, webtest.Parse(t, w.Body).Text(nil))
			}
		}
	}
}

// planted replaces every text of everything that is remembered, wherever the
// file's own rules let any text stand, by markup, the same by the same: names of
// ovens, decks' tins, trays, people, places, breads, portions, ingredients, own
// foods and what was noted, of today and of whatever will be added. It gives how
// many there were.
func planted(t *testing.T, b *bundle.Bundle) (out *bundle.Bundle, n int) {
	t.Helper()
	var file strings.Builder
	if err := bundle.Encode(&file, b); err != nil {
		t.Fatal(err)
	}
	var all any
	if err := json.Unmarshal([]byte(file.String()), &all); err != nil {
		t.Fatal(err)
	}
	texts := map[string]bool{}
	each(all, func(s string) string { texts[s] = true; return s })
	for s := range texts {
		if s == "" {
			continue
		}
		evil := payload(n + 1)
		changed := each(all, func(x string) string {
			if x == s {
				return evil
			}
			return x
		})
		data, err := json.Marshal(changed)
		if err != nil {
			t.Fatal(err)
		}
		if b, err := bundle.Decode("", data); err == nil {
			all, out = changed, b
			n++
		}
	}
	return out, n
}

// each gives v with every text in it put through f; keys stay.
func each(v any, f func(string) string) any {
	switch v := v.(type) {
	case string:
		return f(v)
	case []any:
		out := make([]any, len(v))
		for i := range v {
			out[i] = each(v[i], f)
		}
		return out
	case map[string]any:
		out := map[string]any{}
		for k := range v {
			out[k] = each(v[k], f)
		}
		return out
	}
	return v
}

// Markup that stands wherever a text can stand is text on every page there is.
func TestMarkupOnEveryPage(t *testing.T) {
	t.Parallel()
	s := example(t)
	s.live()
	k, err := s.store.Kitchen(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	k.Trays = []schedule.Tray{{Name: "Half tray"}}
	k.Ovens[0].Holds = []schedule.Held{{Of: "Large tin", Deck: 1, Count: 4}, {Of: "Half tray", Count: 6}, {Count: 2}}
	food := dough.Food{ID: "pier-meal", Name: "Pier meal", Role: dough.Flour, Protein: 0.1, Note: "as milled", Allergens: []dough.Allergen{dough.AllergenNone}}
	for _, err := range []error{s.store.SaveKitchen(t.Context(), k), s.store.SaveFood(t.Context(), food)} {
		if err != nil {
			t.Fatal(err)
		}
	}
	s.now = s.running().Plan.Plan.Tasks[0].Start
	s.claim()
	for do, more := range map[string]url.Values{"oven-out 90": {"oven.of": {k.Ovens[0].Name}}, "place": {"room.of": {k.Places[0].Name}, "room.celsius": {"24"}}} {
		if code, _, p := s.say(do, do, more); code != http.StatusSeeOther {
			t.Fatalf("%s: %s", do, p.Text(nil))
		}
	}
	evil, n := planted(t, s.all())
	e, f := &evil.Kitchen.Kitchen, evil.Foods[0]
	for _, name := range []string{e.Ovens[0].Name, e.Ovens[0].Holds[0].Of, e.Tins[0].Name, e.Trays[0].Name, e.Bakers[0].Name, e.Places[0].Name, e.Mixers[0].Name, f.Name, f.Note} {
		if !strings.Contains(name, "<script>") {
			t.Errorf("nothing was planted in %q", name)
		}
	}
	in, err := evil.Arrive()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.store.Import(t.Context(), in, true, s.now); err != nil {
		t.Fatal(err)
	}
	shown := 0
	look := func(path, body string) {
		for _, fault := range inert(body) {
			t.Errorf("%s: %s", path, fault)
		}
		shown += strings.Count(body, "&lt;script&gt;")
	}
	seen := crawl(t, func(path string) (int, string) {
		if strings.ContainsAny(path, " <") {
			t.Errorf("a link is not an address: %s", path)
			return 0, ""
		}
		return s.read(path)
	}, look)
	for _, r := range s.routes(http.MethodGet) {
		if at := r.with("1"); seen[at] == 0 && !strings.HasPrefix(at, "/static/") && r.pattern != "/events" {
			if w := s.get(at); strings.HasPrefix(w.Header().Get("Content-Type"), "text/html") {
				look(at, w.Body.String())
			}
		}
	}
	t.Logf("%d texts replaced, shown %d times on %d pages", n, shown, len(seen))
	if n < 30 || shown < 300 {
		t.Errorf("only %d texts were replaced, and shown %d times", n, shown)
	}
}
