package web_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"ovenward/store/record"
	"ovenward/web/webtest"
)

// crawl visits every page links lead to, from the start and from what no link
// leads to, and hands each to look. It gives how the links were answered. Of
// addresses that differ only in what is asked for, as weeks do, which go on for
// ever, it visits a few.
func crawl(t *testing.T, get func(path string) (status int, body string), look func(path, body string)) (seen map[string]int) {
	t.Helper()
	seen = map[string]int{}
	alike := map[string]int{}
	for next := []string{"/days", "/days/1/calls", "/days/1/choices", "/days/1/now", "/breads/potato-loaf"}; len(next) > 0; next = next[1:] {
		path, _, _ := strings.Cut(next[0], "#")
		if _, done := seen[path]; done || !strings.HasPrefix(path, "/") || strings.HasPrefix(path, "/static/") {
			continue
		}
		where, _, asks := strings.Cut(path, "?")
		if alike[where]++; asks && alike[where] > 3 {
			continue
		}
		status, body := get(path)
		seen[path] = status
		look(path, body)
		for _, a := range webtest.Parse(t, strings.NewReader(body)).All("a") {
			next = append(next, webtest.Attr(a, "href"))
		}
	}
	return seen
}

// A helper's pages hold no button that would be refused, and no link: every form
// of every page a helper can come to is sent. A baker's pages have many such.
func TestHelperSeesWhatItMay(t *testing.T) {
	t.Parallel()
	s, _ := lan(t)
	helper, baker := &phone{site: s, from: "192.168.1.7"}, &phone{site: s, from: "192.168.1.8"}
	helper.say("by", "code", "code", code(t, s, "helper"))
	baker.say("by", "passphrase", "passphrase", passphrase)
	// something under way and something that can be undone, so that every kind of button is there
	plan, err := s.store.Plan(t.Context(), s.id)
	if err != nil {
		t.Fatal(err)
	}
	first := plan.Plan.Tasks[0]
	s.now = first.End
	if _, err := s.store.ClaimDue(t.Context(), s.now); err != nil {
		t.Fatal(err)
	}
	baker.send(http.MethodPost, "/days/1/tap", url.Values{"key": {"x"}, "kind": {"done"}, "task": {first.ID}, "version": {"1"}})

	for _, p := range []*phone{helper, baker} {
		var forms, mayNot int
		seen := crawl(t, func(path string) (int, string) {
			w := p.visit(path)
			return w.Code, w.Body.String()
		}, func(path, body string) {
			page := webtest.Parse(t, strings.NewReader(body))
			for _, f := range page.All("form") {
				if !strings.EqualFold(webtest.Attr(f, "method"), http.MethodPost) {
					continue
				}
				forms++
				to := webtest.Attr(f, "action")
				if p == helper && to != "/logout" && helper.send(http.MethodPost, to, sends(f)).Code == http.StatusForbidden {
					t.Errorf("%s: the form to %s is refused", path, to)
				}
				if to != "/logout" && to != "/days/1/tap" {
					mayNot++
				}
			}
			if p == helper {
				for _, n := range page.All("button") {
					if webtest.Attr(n, "type") != "button" && !under(n, "form") {
						t.Errorf("%s: a button without a form: %s", path, page.Text(n))
					}
				}
			}
		})
		for path, status := range seen {
			if status == http.StatusForbidden {
				t.Errorf("%v: a link leads to %s, which is refused", p.from, path)
			}
		}
		if len(seen) < 20 || forms == 0 || (mayNot > 20) != (p == baker) {
			t.Errorf("%s: %d pages with %d forms, of which a helper may not send %d", p.from, len(seen), forms, mayNot)
		}
	}
	if taps, err := s.store.Taps(t.Context(), s.id); err != nil || len(taps) < 2 || taps[len(taps)-1].Kind != record.Ack {
		t.Errorf("nothing a helper sent has arrived: %+v, %v", taps, err)
	}
	// what stands in fields can be read
	kitchen := webtest.Parse(t, helper.visit("/kitchen").Body)
	if text := kitchen.Text(nil); !strings.Contains(text, "A baker’s device changes") || strings.Contains(text, "Save") {
		t.Errorf("the kitchen says\n%s", text)
	}
	if n := kitchen.ID("ovens[0].name"); n == nil || webtest.Attr(n, "value") == "" {
		t.Error("the kitchen's ovens are not shown")
	}
}

func under(n *html.Node, tag string) bool {
	for p := range n.Ancestors() {
		if p.Data == tag {
			return true
		}
	}
	return false
}

// sends is what a form sends without being touched.
func sends(f *html.Node) url.Values {
	v := url.Values{}
	for n := range f.Descendants() {
		if n.Data == "input" && webtest.Attr(n, "type") != "checkbox" && webtest.Attr(n, "type") != "radio" {
			v.Add(webtest.Attr(n, "name"), webtest.Attr(n, "value"))
		}
	}
	return v
}
