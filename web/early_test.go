package web_test

import (
	"encoding/json"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"ovenward/schedule"
	"ovenward/web/webtest"
)

// mixes are the first mix of the day and one of the next day.
func (s *site) mixes() (soon, far schedule.Task) {
	s.t.Helper()
	for _, t := range s.running().Plan.Plan.Tasks {
		if t.Kind != schedule.Mix {
			continue
		}
		if soon.ID == "" {
			soon = t
		} else if t.Part == "" && far.ID == "" {
			far = t
		}
	}
	if far.ID == "" || far.Start.Sub(s.now) < 10*time.Hour {
		s.t.Fatal("no mix is far")
	}
	return soon, far
}

// Done, or begun, tapped a day early is asked about on a page that works without a
// script; nothing is kept until it is answered, and then what was said, once. What is
// near its time is not asked about, nor what is refused anyway.
func TestAskedWhetherDone(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		name, path string
		form       url.Values
		ask        string
		kind       schedule.SlipKind
		ago        time.Duration
	}{
		{"tap done", "/tap", url.Values{"kind": {"done"}, "back": {"day"}}, "Is it done already?", schedule.Done, 0},
		{"tap begun", "/tap", url.Values{"kind": {"start"}}, "Is it begun already?", schedule.Started, 0},
		{"said to be done", "/slip", url.Values{"do": {"done 20"}}, "Is it done already?", schedule.Done, 20 * time.Minute},
		{"typed", "/slip", url.Values{"do": {"done"}, "task.ago": {"10"}}, "Is it done already?", schedule.Done, 10 * time.Minute},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			s := example(t)
			s.live()
			soon, far := s.mixes()
			tt.form["key"], tt.form["version"], tt.form["task"] = []string{"k"}, []string{"1"}, []string{far.ID}
			if tt.path == "/tap" {
				tt.form.Add("task", soon.ID) // a card of two calls
			}
			w := s.post(s.at+tt.path, tt.form)
			p := webtest.Parse(t, w.Body)
			text := plainly(p)
			if w.Code != http.StatusConflict || !strings.Contains(text, "This was planned for tomorrow "+clockOf(far.Start)+".") || !strings.Contains(text, tt.ask) || !strings.Contains(text, "Nothing is noted yet.") {
				t.Fatalf("%d: %s", w.Code, text)
			}
			if log := s.running().Log; len(log) > 0 {
				t.Fatalf("kept before it is answered: %+v", log)
			}
			back := s.at + "/now"
			if tt.form.Get("back") == "day" {
				back = s.at
			}
			if !slices.ContainsFunc(p.Class("button"), func(n *html.Node) bool { return webtest.Attr(n, "href") == back && p.Text(n) == "No, go back" }) {
				t.Errorf("no way back to %s", back)
			}
			v := p.Form(s.at + tt.path)
			for name, sent := range tt.form {
				if !slices.Equal(v[name], sent) {
					t.Errorf("%s: %q became %q", name, sent, v[name])
				}
			}
			v.Set("sure", "yes")
			for range 2 { // an impatient finger
				s.sent(s.at+tt.path, v)
			}
			log := s.running().Log
			i := slices.IndexFunc(log, func(x schedule.Slip) bool { return x.Task == far.ID })
			if len(log) != len(v["task"]) || i < 0 || log[i].Kind != tt.kind || !log[i].At.Equal(s.now.Add(-tt.ago)) {
				t.Errorf("log %+v", log)
			}
		})
	}
}

func TestNotAskedWhetherDone(t *testing.T) {
	t.Parallel()
	s := example(t)
	s.live()
	soon, far := s.mixes()
	_, next := s.bulk()
	w := s.post(s.at+"/tap", url.Values{"kind": {"done"}, "key": {"a"}, "version": {"1"}, "task": {s.bake(next.Portion)}})
	if got := webtest.Parse(t, w.Body).Text(nil); w.Code != http.StatusUnprocessableEntity || !strings.Contains(got, "say first when that was done") {
		t.Errorf("what cannot be is asked about: %d %s", w.Code, got)
	}
	if w := s.post(s.at+"/tap", url.Values{"kind": {"done"}, "key": {"b"}, "version": {"7"}, "task": {soon.ID}}); w.Code != http.StatusConflict || strings.Contains(w.Body.String(), "already?") {
		t.Errorf("of a former plan: %d %s", w.Code, w.Body)
	}
	rehearsal := example(t)
	rehearsal.sent(s.at+"/tap", url.Values{"kind": {"done"}, "key": {"r"}, "version": {"1"}, "task": {far.ID}})
	s.now = soon.Start.Add(-59 * time.Minute)
	s.sent(s.at+"/tap", url.Values{"kind": {"done"}, "key": {"c"}, "version": {"1"}, "task": {soon.ID}})
	if log := s.running().Log; len(log) != 1 {
		t.Errorf("log %+v", log)
	}
}

// A program is asked as well, and says that it is sure.
func TestProgramAskedWhetherDone(t *testing.T) {
	t.Parallel()
	s := example(t)
	s.live()
	_, far := s.mixes()
	send := func(sure string) (int, string) {
		w := s.api(ask{"POST", "/api" + s.at + "/taps", `{"version": 1, "task": "` + far.ID + `", "kind": "done"` + sure + `}`, map[string]string{"Idempotency-Key": "k"}})
		var p struct{ Title, Detail string }
		if err := json.Unmarshal(w.Body.Bytes(), &p); err != nil {
			t.Fatal(err)
		}
		return w.Code, strings.ReplaceAll(p.Title+" "+p.Detail, "\u00a0", " ")
	}
	if code, said := send(""); code != http.StatusConflict || !strings.Contains(said, "planned for tomorrow "+clockOf(far.Start)) || !strings.Contains(said, `send it again with "sure": true`) {
		t.Errorf("%d %s", code, said)
	}
	if code, said := send(`, "sure": true`); code != http.StatusOK {
		t.Errorf("%d %s", code, said)
	}
	if log := s.running().Log; len(log) != 1 || log[0].Task != far.ID {
		t.Errorf("log %+v", log)
	}
}

// A number that no page offers is refused in a sentence, and nothing is kept: it
// counted as 0, which says something else.
func TestNumbersRefused(t *testing.T) {
	t.Parallel()
	s := example(t)
	s.live()
	rise, _ := s.bulk()
	s.now = rise.Start.Add(20 * time.Minute)
	for _, tt := range []struct {
		path string
		form url.Values
		want string
	}{
		{"/tap", url.Values{"kind": {"not-yet"}, "minutes": {"0"}}, "“Not yet” by 0 min says nothing: give 1 min or more, or say that it is ready, or done."},
		{"/tap", url.Values{"kind": {"not-yet"}, "minutes": {"-20"}}, "“Not yet” by -20 min says nothing"},
		{"/tap", url.Values{"kind": {"not-yet"}}, "“Not yet” by 0 min says nothing"},
		{"/tap", url.Values{"kind": {"not-yet"}, "minutes": {"ten"}}, "“ten” is not a number of minutes; give one from 1 to 1440."},
		{"/tap", url.Values{"kind": {"snooze"}, "minutes": {"-5"}}, "“-5” is not a number of minutes"},
		{"/tap", url.Values{"kind": {"temperature"}}, "“” is not a number"},
		{"/tap", url.Values{"kind": {"temperature"}, "value": {"warm"}}, "“warm” is not a number; write it like 24 or 62.5."},
		{"/tap", url.Values{"kind": {"temperature"}, "value": {"NaN"}}, "read the thermometer again"},
		{"/tap", url.Values{"kind": {"volume"}, "value": {"double"}}, "“double” is not a number"},
		{"/slip", url.Values{"do": {"not-yet 0"}}, "“Not yet” by 0 min says nothing"},
		{"/slip", url.Values{"do": {"not-yet -5"}}, "“Not yet” by -5 min says nothing"},
		{"/slip", url.Values{"do": {"not-yet soon"}}, "“soon” is not a number"},
		{"/slip", url.Values{"do": {"not-yet"}}, "This is empty; give a number."},
		{"/slip", url.Values{"do": {"done yesterday"}}, "“yesterday” is not a number"},
		{"/slip", url.Values{"do": {"temperature NaN"}}, "“NaN” is not a number"},
		{"/slip", url.Values{"do": {"volume Inf"}}, "“Inf” is not a number"},
		{"/slip", url.Values{"do": {"away soon"}, "away.of": {"Nora"}}, "“soon” is not a number"},
		{"/slip", url.Values{"do": {"away -15"}, "away.of": {"Nora"}}, "before it begins"},
		{"/slip", url.Values{"do": {"place warm"}, "room.of": {"Bench"}}, "“warm” is not a number"},
		{"/slip", url.Values{"do": {"oven-slow -50"}, "slow.of": {"Deck oven"}}, "-50 % of its pace cannot be"},
		{"/slip", url.Values{"do": {"order-raise"}, "raise.order": {"0"}, "raise.pieces": {"24.5"}}, "“24.5” is not a number of pieces; write it like 24."},
		{"/slip", url.Values{"do": {"order-lower"}, "lower.order": {"0"}, "lower.pieces": {"2.5"}}, "“2.5” is not a number of pieces"},
		{"/slip", url.Values{"do": {"order-lower"}, "lower.order": {"0"}, "lower.pieces": {"-1"}}, "do not lower an order"},
		{"/slip", url.Values{"do": {"order-add"}, "new.bread": {"plain-bun"}, "new.pieces": {"1e300"}, "new.at.day": {"2026-11-28"}, "new.at": {"14:00"}}, "“1e300” is not a number of pieces"},
	} {
		tt.form["key"], tt.form["version"] = []string{tt.form.Encode()}, []string{"1"}
		if !strings.Contains(tt.form.Get("do"), "order") {
			tt.form.Set("task", rise.ID)
		}
		w := s.post(s.at+tt.path, tt.form)
		if got := plainly(webtest.Parse(t, w.Body)); w.Code != http.StatusUnprocessableEntity || !strings.Contains(got, tt.want) {
			t.Errorf("%v: %d %.700s\nwant %s", tt.form, w.Code, got, tt.want)
		}
	}
	for _, minutes := range []string{"0", "-1", "1441"} {
		w := s.api(ask{"POST", "/api" + s.at + "/taps", `{"version": 1, "task": "` + rise.ID + `", "kind": "not-yet", "minutes": ` + minutes + `}`, map[string]string{"Idempotency-Key": minutes}})
		if got := w.Body.String(); w.Code != http.StatusUnprocessableEntity || !strings.Contains(got, minutes+" minutes cannot be") || !strings.Contains(got, "give 1 to 1440") {
			t.Errorf("%s minutes: %d %s", minutes, w.Code, got)
		}
	}
	if log := s.running().Log; len(log) > 0 {
		t.Errorf("kept all the same: %+v", log)
	}
}
