package web_test

import (
	"bytes"
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"ovenward/schedule"
	"ovenward/store/record"
	"ovenward/web/webtest"
)

// coming is the example as a day of the baker's own that is to come.
func coming(t *testing.T) *site {
	t.Helper()
	s := example(t)
	d, err := s.store.DayRecord(t.Context(), s.id)
	if err != nil {
		t.Fatal(err)
	}
	d.Now = ""
	if err := s.store.SaveDay(t.Context(), d); err != nil {
		t.Fatal(err)
	}
	return s
}

// letIn makes a pass on the page and gives its secret, as shown.
func (s *site) letIn(name, kind string) string {
	s.t.Helper()
	w := here(s, http.MethodPost, "/programs", url.Values{"name": {name}, "kind": {kind}})
	p := webtest.Parse(s.t, here(s, http.MethodGet, w.Header().Get("Location"), nil).Body)
	for _, n := range p.All("input") {
		if webtest.Attr(n, "id") == "new0" {
			return webtest.Attr(n, "value")
		}
	}
	s.t.Fatal("no secret is shown")
	return ""
}

// path is the path of an address.
func path(t *testing.T, address string) string {
	t.Helper()
	u, err := url.Parse(address)
	if err != nil || u.Host == "" {
		t.Fatalf("%q: %v", address, err)
	}
	return u.Path
}

func TestFeed(t *testing.T) {
	t.Parallel()
	s := coming(t)
	address := s.letIn("my phone", "calendar")
	at := path(t, address)
	if ok := regexp.MustCompile(`^/feed/[A-Z2-7]{26}\.ics$`).MatchString(at); !ok {
		t.Fatalf("address %q", address)
	}
	if p := s.page("/programs"); strings.Contains(p.Text(nil), "shown again") || !strings.Contains(p.Text(nil), "my phone calendar · since 27 November 2026 · never used") {
		t.Errorf("afterwards: %s", p.Text(nil))
	}
	w := s.get(at)
	if w.Code != http.StatusOK || w.Header().Get("Content-Type") != "text/calendar; charset=utf-8" {
		t.Fatalf("%d %s", w.Code, w.Header().Get("Content-Type"))
	}
	octets(t, w.Body.Bytes())
	plan, err := s.store.Plan(t.Context(), s.id)
	if err != nil {
		t.Fatal(err)
	}
	before := events(t, w.Body.String())
	hands := 0
	for _, x := range plan.Plan.Tasks {
		hands += len(x.Hands)
		if x.Kind == schedule.Preheat {
			hands++
		}
	}
	if len(before) != hands {
		t.Errorf("%d entries for %d", len(before), hands)
	}
	r := httptest.NewRequest(http.MethodGet, at, nil)
	r.Header.Set("If-None-Match", w.Header().Get("ETag"))
	if again := s.do(r); again.Code != http.StatusNotModified || again.Body.Len() != 0 {
		t.Errorf("asked again: %d", again.Code)
	}
	// Another plan: the same UIDs, a higher SEQUENCE (RFC 5545, 3.8.7.4).
	if _, err := s.store.SavePlan(t.Context(), s.id, plan.From, plan.Plan, nil, s.now.Add(time.Hour)); err != nil {
		t.Fatal(err)
	}
	after := events(t, s.get(at).Body.String())
	for uid, sequence := range before {
		if sequence != "1" || after[uid] != "2" {
			t.Errorf("%s: SEQUENCE %s, then %s", uid, sequence, after[uid])
		}
	}
	if p := s.page("/programs"); !strings.Contains(p.Text(nil), "last used 27 November 2026") {
		t.Error("not said when it was used")
	}
	s.sent("/programs/1/end", nil)
	if w := s.get(at); w.Code != http.StatusNotFound || strings.Contains(w.Body.String(), "VCALENDAR") {
		t.Errorf("ended: %d", w.Code)
	}
}

// Without a day to come it is an empty calendar; a rehearsal is none to come.
func TestFeedOfNothing(t *testing.T) {
	t.Parallel()
	for _, s := range []*site{empty(t), example(t)} {
		w := s.get(path(t, s.letIn("wall", "calendar")))
		if w.Code != http.StatusOK || strings.Contains(w.Body.String(), "VEVENT") || !strings.Contains(w.Body.String(), "BEGIN:VTIMEZONE") {
			t.Errorf("%d %s", w.Code, w.Body)
		}
		octets(t, w.Body.Bytes())
	}
}

// octets checks what RFC 5545, 3.1 and 3.3.5 ask of every line.
func octets(t *testing.T, b []byte) {
	t.Helper()
	if !bytes.HasPrefix(b, []byte("BEGIN:VCALENDAR\r\n")) || !bytes.HasSuffix(b, []byte("END:VCALENDAR\r\n")) {
		t.Error("not one calendar")
	}
	for line := range bytes.SplitSeq(bytes.TrimSuffix(b, []byte("\r\n")), []byte("\r\n")) {
		if len(line) > 75 || len(line) == 0 || bytes.ContainsAny(line, "\r\n") {
			t.Errorf("a line of %d octets: %q", len(line), line)
		}
		if bytes.HasPrefix(line, []byte("DTSTART:")) && !bytes.HasSuffix(line, []byte("Z")) && !bytes.Contains(line, []byte("19700101T000000")) {
			t.Errorf("%s is no instant", line)
		}
	}
}

// events gives SEQUENCE by UID.
func events(t *testing.T, text string) map[string]string {
	t.Helper()
	out := map[string]string{}
	for _, e := range strings.Split(strings.ReplaceAll(text, "\r\n ", ""), "BEGIN:VEVENT\r\n")[1:] {
		uid, sequence := regexp.MustCompile(`(?m)^UID:(.*)\r$`).FindStringSubmatch(e), regexp.MustCompile(`(?m)^SEQUENCE:(\d+)\r$`).FindStringSubmatch(e)
		if uid == nil || sequence == nil || !strings.Contains(e, "BEGIN:VALARM\r\n") {
			t.Fatalf("an entry without UID, SEQUENCE or alarm:\n%s", e)
		}
		if _, twice := out[uid[1]]; twice {
			t.Errorf("%s twice", uid[1])
		}
		out[uid[1]] = sequence[1]
	}
	return out
}

// From another machine the address needs no log-in and opens nothing else; wrong
// ones are not there, and cannot be tried for long.
func TestFeedFromElsewhere(t *testing.T) {
	t.Parallel()
	s, _ := lan(t)
	secret := strings.TrimSuffix(strings.TrimPrefix(path(t, s.letIn("phone", "calendar")), "/feed/"), ".ics")
	data := s.letIn("till", "data")
	p := &phone{site: s, from: "192.168.1.7"}
	if w := p.visit("/feed/" + secret + ".ics"); w.Code != http.StatusOK {
		t.Errorf("with the secret: %d", w.Code)
	}
	for _, at := range []string{"/days?token=" + secret, "/days/1/calendar.ics", "/feed", "/programs"} {
		if w := p.visit(at); w.Code == http.StatusOK || strings.Contains(w.Body.String(), "Slipway") {
			t.Errorf("%s: %d", at, w.Code)
		}
	}
	for _, at := range []string{"/feed/" + secret, "/feed/" + strings.ToLower(secret) + ".ics", "/feed/.ics", "/feed/%00.ics", "/feed/" + data + ".ics"} {
		if w := p.visit(at); w.Code != http.StatusNotFound {
			t.Errorf("%s: %d", at, w.Code)
		}
	}
	var last *httptest.ResponseRecorder
	for range 10 {
		last = p.visit("/feed/WRONG.ics")
	}
	if last.Code != http.StatusTooManyRequests || last.Header().Get("Retry-After") == "" {
		t.Errorf("after ten tries: %d", last.Code)
	}
	if w := p.visit("/feed/" + secret + ".ics"); w.Code != http.StatusOK {
		t.Errorf("who has the secret is kept out: %d", w.Code)
	}
}

func TestProgramsRefuses(t *testing.T) {
	t.Parallel()
	s := example(t)
	for _, v := range []url.Values{
		{}, {"name": {" "}, "kind": {"calendar"}}, {"name": {strings.Repeat("x", 61)}, "kind": {"calendar"}}, {"name": {"<b>till</b>"}, "kind": {"root"}},
	} {
		p := s.refused("/programs", v)
		if !strings.Contains(p.Text(nil), "There is a problem") || v.Get("name") != "" && p.Form("/programs").Get("name") != v.Get("name") {
			t.Errorf("%v: %s", v, p.Text(nil))
		}
	}
	if all, _ := s.store.Passes(t.Context()); len(all) != 0 {
		t.Errorf("%d passes", len(all))
	}
	for _, at := range []string{"/programs/x/end", "/programs/99999999999999999999/end"} {
		if w := s.post(at, nil); w.Code != http.StatusNotFound {
			t.Errorf("%s: %d", at, w.Code)
		}
	}
	if p := s.page("/programs?new=guess"); strings.Contains(p.Text(nil), "shown again") {
		t.Error("a guess shows a secret")
	}
	id, err := s.store.GivePass(t.Context(), "s", record.Pass{Kind: record.CalendarPass, Name: "<script>alert(1)</script>", Made: s.now})
	if err != nil || id == 0 {
		t.Fatal(err)
	}
	if html := s.get("/programs").Body.String(); strings.Contains(html, "<script>alert") || !strings.Contains(html, "&lt;script&gt;alert") {
		t.Error("a name is not escaped")
	}
}

// A reader we did not write, ical.js (npm, MPL-2.0), takes the feed.
func TestFeedRead(t *testing.T) {
	t.Parallel()
	lib, err := filepath.Abs(os.Getenv("ICAL_JS"))
	if os.Getenv("ICAL_JS") == "" || err != nil {
		t.Skip("ICAL_JS is not set: npm pack ical.js@2.2.1, unpack it, and set ICAL_JS to package/dist/ical.js")
	}
	s := coming(t)
	w := s.get(path(t, s.letIn("phone", "calendar")))
	script := filepath.Join(t.TempDir(), "read.mjs")
	if err := os.WriteFile(script, []byte(`import fs from 'node:fs';
const {default: ICAL} = await import('file://' + process.argv[2]);
ICAL.design.strict = true;
const cal = new ICAL.Component(ICAL.parse(fs.readFileSync(0, 'utf8')));
console.log(JSON.stringify(cal.getAllSubcomponents('vevent').map(v => new ICAL.Event(v)).map(e => [e.uid, e.summary, e.startDate.toJSDate().toISOString()])));`), 0o600); err != nil {
		t.Fatal(err)
	}
	cmd := exec.CommandContext(t.Context(), "node", script, lib)
	cmd.Stdin = bytes.NewReader(w.Body.Bytes())
	cmd.Stderr = t.Output()
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	var read [][3]string
	if err := json.Unmarshal(out, &read); err != nil {
		t.Fatal(err)
	}
	mine := events(t, w.Body.String())
	for _, e := range read {
		if _, ok := mine[e[0]]; !ok || e[1] == "" || !strings.HasPrefix(e[2], "2026-11-2") {
			t.Errorf("read %q", e)
		}
	}
	if len(read) != len(mine) {
		t.Errorf("%d read of %d", len(read), len(mine))
	}
}
