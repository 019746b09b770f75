package web_test

import (
	"encoding/json"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"ovenward/web/live"
)

func TestScreenReports(t *testing.T) {
	s := empty(t)
	report := func(v url.Values) (a live.Armed) {
		t.Helper()
		w := s.post("/screens", v)
		if w.Code != http.StatusOK || w.Header().Get("Content-Type") != "application/json" {
			t.Fatalf("%d %s: %s", w.Code, w.Header().Get("Content-Type"), w.Body)
		}
		if err := json.Unmarshal(w.Body.Bytes(), &a); err != nil {
			t.Fatal(err)
		}
		return a
	}
	report(url.Values{"id": {"b"}, "name": {"phone"}, "heard": {"no"}, "late": {"1"}, "lost": {"1"}})
	got := report(url.Values{"id": {"a"}, "name": {" bench\n tablet " + strings.Repeat("x", 60)}, "visible": {"1"}, "sound": {"1"}, "awake": {"1"}})
	want := live.Armed{Now: s.now.UnixMilli(), Screens: []live.Screen{
		{ID: "a", Name: "bench tablet " + strings.Repeat("x", 27), Visible: true, Sound: true, Awake: true},
		{ID: "b", Name: "phone", Heard: "no", Late: true, Lost: true},
	}}
	if diff := cmp.Diff(want, got, cmpopts.IgnoreUnexported(live.Screen{})); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	if w := s.post("/screens", url.Values{"id": {"b"}, "gone": {"1"}}); w.Code != http.StatusNoContent {
		t.Errorf("goodbye is answered %d", w.Code)
	}
	if got := report(url.Values{"id": {"a"}}); len(got.Screens) != 1 {
		t.Errorf("after a goodbye there are %+v", got.Screens)
	}
	for _, id := range []string{"", strings.Repeat("x", 65)} {
		s.refused("/screens", url.Values{"id": {id}})
	}
}

// The worker must come from the top to be allowed to act for every page, and be
// asked for anew, so that it is never older than the program
// (W3C Service Workers, 3.4.3 and 2.2).
func TestWorker(t *testing.T) {
	w := empty(t).get("/sw.js")
	h := w.Header()
	if w.Code != 200 || !strings.HasPrefix(h.Get("Content-Type"), "text/javascript") || h.Get("Cache-Control") != "no-cache" || !strings.Contains(w.Body.String(), "notificationclick") {
		t.Errorf("%d %v", w.Code, h)
	}
}
