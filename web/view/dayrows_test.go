package view_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"ovenward/web/webtest"
)

// In the middle of the day the table begins, under its date, with what is not
// over; what is past stands before it, folded by the style alone. Together they
// are every stage of the plan, once and by time.
func TestPastIsApart(t *testing.T) {
	t.Parallel()
	m := picture(t)
	m.Now = m.Plan.Outcome.WorkEnd.Add(-3 * time.Hour)
	m.Done = map[string]bool{}
	for _, task := range m.Plan.Tasks {
		m.Done[task.ID] = !task.End.After(m.Now)
	}
	p := drawn(t, m)
	var before, rest, all []string
	for _, n := range p.All("tr") {
		if id := webtest.Attr(n, "data-t"); id != "" {
			if webtest.Attr(n.Parent, "id") == "before" {
				before = append(before, id)
			} else {
				rest = append(rest, id)
			}
		}
	}
	for _, task := range m.Plan.Tasks {
		all = append(all, task.ID)
		if over := slices.Contains(before, task.ID); over == task.End.After(m.Now) {
			t.Errorf("%s till %v is past: %v, at %v", task.ID, task.End, over, m.Now)
		}
	}
	both := append(slices.Clone(before), rest...)
	slices.Sort(both)
	slices.Sort(all)
	if len(before) < 10 || !slices.Equal(both, all) {
		t.Errorf("%d past and %d to come of %d stages", len(before), len(rest), len(all))
	}
	here := p.ID("here")
	if first := here.FirstChild; webtest.Attr(first, "class") != "break" || !strings.Contains(p.Text(first), m.Now.Format("2 January 2006")) {
		t.Errorf("what is to come begins with %q", p.Text(first))
	}
	if says := p.Text(p.Class("atnow")[0]); !strings.Contains(says, "Under way") || !strings.Contains(says, "Next for hands") {
		t.Errorf("of now it says %q", says)
	}
}

// Every caution stands once, and every stage that asks for it leads to it.
func TestCautionsOnce(t *testing.T) {
	t.Parallel()
	m := picture(t)
	p := drawn(t, m)
	said := map[string]bool{}
	for n := range p.Class("cares")[0].ChildNodes() {
		if s := p.Text(n); said[s] {
			t.Errorf("twice: %s", s)
		} else {
			said[s] = true
		}
	}
	for i := range m.Plan.Tasks {
		task := &m.Plan.Tasks[i]
		var led []string
		for _, n := range p.All("a") {
			if row := n.Parent.Parent; webtest.Attr(row, "data-t") == task.ID && webtest.Attr(n, "class") == "mark" {
				led = append(led, p.Text(p.ID(strings.TrimPrefix(webtest.Attr(n, "href"), "#"))))
			}
		}
		var want []string
		for _, c := range m.Cautions(task) {
			want = append(want, strings.Join(strings.Fields(c), " "))
		}
		if !slices.Equal(led, want) {
			t.Errorf("%s leads to %q, asks for %q", task.ID, led, want)
		}
	}
}
