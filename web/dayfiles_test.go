package web_test

import (
	"encoding/csv"
	"net/http"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"ovenward/web/sheet"
	"ovenward/web/webtest"
)

// The table file is linked from the sheet, opens as CSV and has a line a task.
func TestDayTable(t *testing.T) {
	s := example(t)
	if links := s.page(s.at + "/sheet").All("a"); !slices.ContainsFunc(links, func(a *html.Node) bool { return webtest.Attr(a, "href") == s.at+"/day.csv" }) {
		t.Error("the sheet does not lead there")
	}
	w := s.get(s.at + "/day.csv")
	if got := w.Header().Get("Content-Type"); w.Code != http.StatusOK || got != "text/csv; charset=utf-8" {
		t.Fatalf("%d %s", w.Code, got)
	}
	body, ok := strings.CutPrefix(w.Body.String(), "\ufeff")
	rows, err := csv.NewReader(strings.NewReader(body)).ReadAll()
	p, _ := webtest.Example()
	if !ok || err != nil || len(rows) != len(p.Plan.Tasks)+1 || !slices.Equal(rows[0], sheet.Columns()) {
		t.Errorf("%d rows for %d tasks, %v", len(rows), len(p.Plan.Tasks), err)
	}
	if w := s.get("/days/99/day.csv"); w.Code != http.StatusNotFound {
		t.Errorf("no such day: %d", w.Code)
	}
}
