package web_test

import (
	"encoding/csv"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"golang.org/x/net/html"

	"ovenward/schedule"
	"ovenward/store/record"
	"ovenward/web/webtest"
)

// morning plays the example day by its calls: every quarter of a minute what is due
// rings, and answer says what is said then, "" for nothing.
func (s *site) morning(until time.Time, answer func(a record.Alert, waited time.Duration) record.TapKind) {
	s.t.Helper()
	s.live()
	for ; s.now.Before(until); s.now = s.now.Add(15 * time.Second) {
		if _, err := s.store.ClaimDue(s.t.Context(), s.now); err != nil {
			s.t.Fatal(err)
		}
		all, err := s.store.Alerts(s.t.Context(), s.id)
		if err != nil {
			s.t.Fatal(err)
		}
		for _, a := range all {
			if a.State == record.Scheduled || a.State == record.Done || a.State == record.Suppressed {
				continue
			}
			if kind := answer(a, s.now.Sub(a.Rung)); kind != "" {
				s.told(a.Task, kind)
			}
		}
	}
}

// told says something of a task at the site's now, as a button does.
func (s *site) told(task string, kind record.TapKind) (key string) {
	s.t.Helper()
	d, err := s.store.DayRecord(s.t.Context(), s.id)
	if err != nil {
		s.t.Fatal(err)
	}
	key = strings.ReplaceAll(task, "/", "-") + "-" + string(kind) + s.now.Format("-150405")
	s.sent(s.at+"/tap", url.Values{"key": {key}, "version": {strconv.Itoa(d.Version)}, "task": {task}, "kind": {string(kind)}, "minutes": {"5"}})
	return key
}

// A baker who says "on it" after one minute to every call and "done" two minutes
// later, but to one after nine minutes and to one never: the page counts so.
func TestWent(t *testing.T) {
	t.Parallel()
	s := example(t)
	if text := s.page("/days/1/went").Text(nil); !strings.Contains(text, "Nothing has rung and nothing was said yet. The first call is due ") {
		t.Errorf("before the day: %s", text)
	}
	plan, _ := s.store.Plan(t.Context(), s.id)
	calls := schedule.Alerts(&plan.Plan)
	starts := slices.DeleteFunc(slices.Clone(calls), func(a schedule.Alert) bool { return a.Kind != schedule.CallStart || a.Place != "" })
	slow, never := starts[2].Task, starts[4].Task
	s.now = plan.Plan.Tasks[0].Start.Add(-time.Hour)
	s.morning(starts[6].Due, func(a record.Alert, waited time.Duration) record.TapKind {
		wait := time.Minute
		switch {
		case a.Kind == schedule.CallHeadsUp || a.Task == never:
			return ""
		case a.Task == slow:
			wait = 9 * time.Minute
		}
		switch {
		case a.State != record.Acked && waited >= wait:
			return record.Ack
		case a.State == record.Acked && waited >= wait+2*time.Minute:
			return record.Finished
		}
		return ""
	})
	ring := func(task string) string { // how a call is named
		a := calls[slices.IndexFunc(calls, func(a schedule.Alert) bool { return a.Task == task && a.Kind == schedule.CallStart })]
		return a.Due.Format("15:04")
	}
	p := s.page("/days/1/went")
	var got []string
	for n := range p.Class("went")[0].Descendants() {
		if n.Data == "li" {
			got = append(got, strings.ReplaceAll(p.Text(n), "\u00a0", " "))
		}
	}
	want := []string{
		"5 calls answered, each counted from its first ring: half of them within 60 s (the median), the slowest after 9 min (mix Milk dough, " + ring(slow) + ").",
		"! 1 call had no answer: fold Slipway hearth loaf, " + ring(never) + ".",
		"At the worst 3 calls within an hour, from 04:02, and 1 within ten minutes; people answer about six and two well.",
		"Doughs: of 1 that had risen, hands came to 1 between ready and too far, as forecast.",
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}

	table := s.table("/days/1/calls.csv")
	for _, row := range table {
		switch {
		case strings.HasSuffix(row["planned"], ring(slow)) && row["answer_minutes"] != "9", strings.HasSuffix(row["planned"], ring(never)) && row["outcome"] != "no answer":
			t.Errorf("the table says %v", row)
		}
	}
	works := s.table("/days/1/works.csv")
	first, due := works[0], 0
	for _, k := range plan.Plan.Tasks {
		if !k.Start.After(s.now) {
			due++
		}
	}
	begin, end := plan.Plan.Tasks[0].Start, plan.Plan.Tasks[0].Start.Add(3*time.Minute) // on it after one, done two later
	if first["first_start"] != begin.Format("2006-01-02 15:04") || first["ended"] != end.Format("2006-01-02 15:04") || len(works) != due {
		t.Errorf("%d works, the first is %v", len(works), first)
	}
	for _, path := range []string{"/days/1/now", "/days/1", "/days/1/sheet"} {
		if !slices.ContainsFunc(s.page(path).All("a"), func(a *html.Node) bool { return webtest.Attr(a, "href") == "/days/1/went" }) {
			t.Errorf("%s does not lead there", path)
		}
	}
	s.now = s.now.AddDate(0, 0, 2)
	if !slices.ContainsFunc(s.page("/days").All("a"), func(a *html.Node) bool { return webtest.Attr(a, "href") == "/days/1/went" }) {
		t.Error("the list of days does not lead there")
	}
}

// table reads a table file by its columns.
func (s *site) table(path string) (out []map[string]string) {
	s.t.Helper()
	w := s.get(path)
	if w.Code != http.StatusOK {
		s.t.Fatalf("%s: %d", path, w.Code)
	}
	rows, err := csv.NewReader(strings.NewReader(strings.TrimPrefix(w.Body.String(), "\ufeff"))).ReadAll()
	if err != nil {
		s.t.Fatal(err)
	}
	for _, row := range rows[1:] {
		line := map[string]string{}
		for i, name := range rows[0] {
			line[name] = row[i]
		}
		out = append(out, line)
	}
	return out
}
