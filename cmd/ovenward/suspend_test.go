//go:build unix

package main

import (
	"bufio"
	"encoding/json"
	"fmt"
	"net/http"
	"path/filepath"
	"slices"
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

// slept is for how long the program is stopped at least: longer than a call may be
// late while it is awake, so that it has to say that it was not.
const slept = 16 * time.Second

// A program stopped over several due rings, as a machine asleep stops it, tells all
// of them at once when it goes on, with their true ages: none twice, none lost. It
// is a real process; what its clocks do in a real sleep is played in web/alerts.
func TestStopped(t *testing.T) {
	t.Parallel()
	binary := build(t)
	for room := time.Second; !stopped(t, binary, room); room *= 4 {
		if room > time.Minute {
			t.Fatal("the program was never stopped between its first ring and the next")
		}
	}
}

// stopped plays it with so much room between what happens, and reports false if
// that was too little for this machine.
func stopped(t *testing.T, binary string, room time.Duration) bool {
	dir := t.TempDir()
	ready := time.Now().Add(4 * room) // it has started by then
	wakes := ready.Add(slept + 4*room)
	call := func(task string, due time.Time) schedule.Alert {
		return schedule.Alert{Task: task, Kind: schedule.CallHeadsUp, Class: schedule.HeadsUp, Due: due.Truncate(time.Millisecond)}
	}
	lost := call("too far meanwhile", ready.Add(4*room))
	lost.Kind, lost.Class, lost.TooFar = schedule.CallUnload, schedule.NowOrLost, lost.Due.Add(5*time.Second)
	after := call("after", wakes.Add(4*room))
	calls := []schedule.Alert{call("before", ready), call("1", ready.Add(room)), call("2", ready.Add(2*room)), call("3", ready.Add(2*room)), lost, after}
	day := await(t, dir, calls)

	p := launch(t, binary, dir)
	h := hear(t, p.base)
	h.until(1, wakes)
	if err := p.Process.Signal(syscall.SIGSTOP); err != nil {
		t.Fatal(err)
	}
	time.Sleep(time.Until(wakes))
	inTime := slices.Equal(h.told(), []string{"before"})
	if err := p.Process.Signal(syscall.SIGCONT); err != nil {
		t.Fatal(err)
	}
	if inTime {
		if !h.until(5, time.Now().Add(patience)) {
			t.Fatalf("of five calls have rung %q", h.told())
		}
		if inTime = time.Now().Before(after.Due); inTime && !h.until(6, time.Now().Add(patience)) {
			t.Fatalf("of six calls have rung %q", h.told())
		}
		time.Sleep(time.Second) // for what should not come
	}
	if err := p.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	p.Wait()
	<-h.ended
	if !inTime {
		t.Logf("with %v of room %q have rung: too slow", room, h.told())
		return false
	}
	h.judge(t, []string{"before", "catch-up: too far meanwhile missed, 1, 2, 3", "after"})
	h.counted(t, filepath.Join(dir, databaseName), day)
	return true
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
	ended chan struct{} // closed when the stream has ended
}

func hear(t *testing.T, base string) *hearer {
	t.Helper()
	res, err := http.Get(base + "/events")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { res.Body.Close() })
	h := &hearer{rings: map[int64]int{}, ended: make(chan struct{})}
	go func() {
		defer close(h.ended)
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
	if off := time.Since(time.UnixMilli(e.Now)); off < 0 || off > slept {
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

// until waits until so many calls have rung, or some moment has come.
func (h *hearer) until(calls int, end time.Time) bool {
	for ; ; time.Sleep(20 * time.Millisecond) {
		h.mu.Lock()
		n := len(h.rings)
		h.mu.Unlock()
		if n >= calls || time.Now().After(end) {
			return n >= calls
		}
	}
}

// judge says what rang for the first time and should not have, or otherwise.
func (h *hearer) judge(t *testing.T, want []string) {
	t.Helper()
	var first []string
	for _, line := range h.told() {
		if !strings.Contains(line, "again") {
			first = append(first, line)
		}
	}
	if diff := cmp.Diff(want, first); diff != "" {
		t.Errorf("rang first (-want +got):\n%s", diff)
	}
	for _, line := range h.wrong {
		t.Error(line)
	}
}

// counted wants every call of a day to have been heard, as often as it counts.
func (h *hearer) counted(t *testing.T, database string, day int64) {
	t.Helper()
	st, err := store.Open(t.Context(), database, time.Now)
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
