//go:build unix

package main

import (
	"bufio"
	"encoding/json"
	"fmt"
	"net/http"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
	"ovenward/store"
	"ovenward/store/record"
	"ovenward/web/live"
)

// slept is for how long the program is stopped: longer than a call may be late
// while it is awake, so that it has to say that it was not.
const slept = 16 * time.Second

// A program stopped over several due rings, as a machine asleep stops it, tells all
// of them at once when it goes on, with their true ages: none twice, none lost. It
// is a real process; what its clocks do in a real sleep is played in web/alerts.
func TestStopped(t *testing.T) {
	t.Parallel()
	dir, binary := t.TempDir(), build(t)
	began := time.Now().Add(4 * time.Second) // it has started by then
	call := func(task string, after time.Duration) schedule.Alert {
		return schedule.Alert{Task: task, Kind: schedule.CallHeadsUp, Class: schedule.HeadsUp, Due: began.Add(after).Truncate(time.Millisecond)}
	}
	lost := call("too far meanwhile", 4*time.Second)
	lost.Kind, lost.Class, lost.TooFar = schedule.CallUnload, schedule.NowOrLost, lost.Due.Add(5*time.Second)
	calls := []schedule.Alert{call("before", 0), call("1", time.Second), call("2", 2*time.Second), call("3", 2*time.Second), lost, call("after", slept+5*time.Second)}
	day := await(t, dir, calls)

	p := launch(t, binary, dir)
	h := hear(t, p.base)
	h.until(t, 1)
	if err := p.Process.Signal(syscall.SIGSTOP); err != nil {
		t.Fatal(err)
	}
	time.Sleep(time.Until(began.Add(slept + time.Second)))
	if got := h.told(); len(got) != 1 {
		t.Errorf("a stopped program said %q", got)
	}
	if err := p.Process.Signal(syscall.SIGCONT); err != nil {
		t.Fatal(err)
	}
	h.until(t, 5)
	time.Sleep(time.Until(calls[5].Due.Add(2 * time.Second)))
	if err := p.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	p.Wait()

	var first []string // of every call
	for _, line := range h.told() {
		if !strings.Contains(line, "again") {
			first = append(first, line)
		}
	}
	want := []string{"before", "catch-up: too far meanwhile missed, 1, 2, 3", "after"}
	if diff := cmp.Diff(want, first); diff != "" {
		t.Errorf("rang first (-want +got):\n%s", diff)
	}
	for _, line := range h.wrong {
		t.Error(line)
	}
	st, err := store.Open(t.Context(), filepath.Join(dir, databaseName), time.Now)
	if err != nil {
		t.Fatal(err)
	}
	defer st.Close()
	all, err := st.Alerts(t.Context(), day)
	if err != nil {
		t.Fatal(err)
	}
	for _, a := range all {
		if n := h.rings[a.ID]; n != a.Rings || n == 0 {
			t.Errorf("%s was heard %d times and counts %d", a.Task, n, a.Rings)
		}
	}
}

// await makes a database with a day of some calls.
func await(t *testing.T, dir string, calls []schedule.Alert) (day int64) {
	t.Helper()
	st, err := store.Open(t.Context(), filepath.Join(dir, databaseName), time.Now)
	if err != nil {
		t.Fatal(err)
	}
	defer st.Close()
	day, err = st.CreateDay(t.Context(), record.Day{Name: "calls", Date: "2026-01-01", Zone: "UTC"})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := st.SavePlan(t.Context(), day, schedule.Day{}, schedule.Plan{Zone: "UTC"}, calls, time.Now()); err != nil {
		t.Fatal(err)
	}
	return day
}

// hearer is a page that hears what rings.
type hearer struct {
	mu    sync.Mutex
	lines []string      // "catch-up: 1, 2" for each event
	rings map[int64]int // by call
	wrong []string
}

func hear(t *testing.T, base string) *hearer {
	t.Helper()
	res, err := http.Get(base + "/events")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { res.Body.Close() })
	h := &hearer{rings: map[int64]int{}}
	go func() {
		for lines := bufio.NewScanner(res.Body); lines.Scan(); {
			data, ok := strings.CutPrefix(lines.Text(), "data: ")
			var e live.Alert
			if ok && json.Unmarshal([]byte(data), &e) == nil && len(e.Calls) > 0 {
				h.note(e)
			}
		}
	}()
	return h
}

// note writes down what an event tells, and what is wrong with it: a ring out of
// its turn, or an age that is not what the clock says.
func (h *hearer) note(e live.Alert) {
	h.mu.Lock()
	defer h.mu.Unlock()
	var names []string
	for _, c := range e.Calls {
		if h.rings[c.ID]++; c.Ring != h.rings[c.ID] {
			h.wrong = append(h.wrong, fmt.Sprintf("ring %d of %s is the %dth heard", c.Ring, c.Task, h.rings[c.ID]))
		}
		name := c.Task
		if c.State != string(record.Rung) && c.Ring == 1 {
			name += " " + c.State
		}
		if c.Ring > 1 {
			name += " again"
		}
		names = append(names, name)
		if age := e.Now - c.Due; age < 0 {
			h.wrong = append(h.wrong, fmt.Sprintf("%s rang %d ms before it was due", c.Task, -age))
		}
	}
	if off := time.Since(time.UnixMilli(e.Now)); off < 0 || off > 5*time.Second {
		h.wrong = append(h.wrong, fmt.Sprintf("%v says that it is %v ago", names, off))
	}
	line := strings.Join(names, ", ")
	if e.CatchUp {
		line = "catch-up: " + line
	}
	h.lines = append(h.lines, line)
}

func (h *hearer) told() []string {
	h.mu.Lock()
	defer h.mu.Unlock()
	return append([]string(nil), h.lines...)
}

// until waits until so many calls have rung.
func (h *hearer) until(t *testing.T, calls int) {
	t.Helper()
	for end := time.Now().Add(time.Minute); ; time.Sleep(20 * time.Millisecond) {
		h.mu.Lock()
		n := len(h.rings)
		h.mu.Unlock()
		if n >= calls {
			return
		}
		if time.Now().After(end) {
			t.Fatalf("%d of %d calls have rung: %q", n, calls, h.told())
		}
	}
}
