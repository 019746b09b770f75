package schedule_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"ovenward/schedule"
	"ovenward/schedule/dayfile"
	"ovenward/schedule/unit"
)

// invented is how many random days the properties are held on.
func invented() uint64 {
	if testing.Short() {
		return 8
	}
	return 24
}

func planned(tb testing.TB, d *schedule.Day) schedule.Plan {
	tb.Helper()
	p, err := schedule.PlanDay(tb.Context(), d, d.Settings)
	if err != nil {
		tb.Fatalf("%s: %v", d.Name, err)
	}
	return p
}

func inJSON(tb testing.TB, v any) []byte {
	tb.Helper()
	b, err := json.Marshal(v)
	if err != nil {
		tb.Fatal(err)
	}
	return b
}

// What holds of every plan of every valid day.
func TestPlanProperties(t *testing.T) {
	t.Parallel()
	for seed := range invented() {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			t.Parallel()
			d := randomDay(t, seed)
			before := inJSON(t, d)
			p := planned(t, d)
			if !bytes.Equal(before, inJSON(t, d)) {
				t.Error("planning changed the day")
			}
			agreesWithCheck(t, d, &p)
			wholeOrders(t, d, &p)
			onePairOfHands(t, &p)
			insideWindows(t, &p)
			thereAndBack(t, &p)
			if _, err := schedule.Traces(d, &p); err != nil && len(p.Outcome.Broken) == 0 {
				t.Errorf("no traces: %v", err)
			}
		})
	}
}

// agreesWithCheck wants Broken and Late to be just what the independent judge
// finds.
func agreesWithCheck(t *testing.T, d *schedule.Day, p *schedule.Plan) {
	t.Helper()
	var broken []schedule.Violation
	late, judged := map[string]unit.Minutes{}, map[string]unit.Minutes{}
	for _, v := range schedule.Check(d, p) {
		if v.Code == schedule.LatePromise {
			judged[v.Task] = v.By
		} else {
			broken = append(broken, v)
		}
	}
	for _, task := range p.Tasks {
		if task.Late > 0 {
			late[task.ID] = task.Late
		}
	}
	if diff := cmp.Diff(judged, late); diff != "" {
		t.Errorf("late by the judge (-) and by the plan (+):\n%s", diff)
	}
	if diff := cmp.Diff(broken, p.Outcome.Broken, cmpopts.EquateEmpty()); diff != "" {
		t.Errorf("broken by the judge (-) and by the plan (+):\n%s", diff)
	}
	if p.Outcome.Kept != (len(broken) == 0 && len(judged) == 0) {
		t.Errorf("kept: %v, with %d broken and %d late", p.Outcome.Kept, len(broken), len(judged))
	}
	if !p.Outcome.Kept && !p.Outcome.Brief && p.Outcome.Binding == nil {
		t.Error("not kept, and no reason why")
	}
}

// wholeOrders wants every piece ordered to be in just one portion.
func wholeOrders(t *testing.T, d *schedule.Day, p *schedule.Plan) {
	t.Helper()
	got := make([]int, len(d.Orders))
	for _, b := range p.Batches {
		for _, q := range b.Portions {
			got[q.Order] += q.Pieces
			if q.Bread != d.Orders[q.Order].Bread {
				t.Errorf("portion %s of %s is for an order of %s", q.ID, q.Bread, d.Orders[q.Order].Bread)
			}
		}
	}
	for i, o := range d.Orders {
		if got[i] != o.Pieces {
			t.Errorf("order %d of %d %s has %d", i, o.Pieces, o.Bread, got[i])
		}
	}
}

// onePairOfHands counts every person minute by minute.
func onePairOfHands(t *testing.T, p *schedule.Plan) {
	t.Helper()
	at := map[string]string{}
	for _, task := range p.Tasks {
		for _, h := range task.Hands {
			for m := h.From; m.Before(h.To); m = m.Add(time.Minute) {
				key := h.Baker + m.Format(" 02 15:04 -07")
				if other, busy := at[key]; busy && len(p.Outcome.Broken) == 0 {
					t.Errorf("%s: at %s and at %s", key, other, task.ID)
				}
				at[key] = task.ID
			}
		}
	}
}

// insideWindows wants every rise of an unbroken plan to end inside the window that the
// plan shows, to the minute it is rounded to, and every portion to be taken inside it.
func insideWindows(t *testing.T, p *schedule.Plan) {
	t.Helper()
	if len(p.Outcome.Broken) > 0 {
		return
	}
	for _, task := range p.Tasks {
		w := task.Window
		if w == nil {
			if task.TooFar != nil && task.Start.After(task.TooFar.Add(time.Minute)) {
				t.Errorf("%s begins at %v, too far is %v", task.ID, task.Start, *task.TooFar)
			}
			continue
		}
		if task.End.Before(w.Ready.Add(-time.Minute)) || task.End.After(w.TooFar.Add(time.Minute)) {
			t.Errorf("%s ends at %v, outside %v to %v", task.ID, task.End, w.Ready, w.TooFar)
		}
		if w.Ready.After(w.Late) || w.Best.After(w.Late) || w.Late.After(w.TooFar) {
			t.Errorf("%s: the window is not in order: %+v", task.ID, *w)
		}
		if task.End.Before(task.Start) {
			t.Errorf("%s ends before it begins", task.ID)
		}
	}
}

// thereAndBack wants a plan to survive its file.
func thereAndBack(t *testing.T, p *schedule.Plan) {
	t.Helper()
	data, err := dayfile.EncodePlan(p)
	if err != nil {
		t.Fatal(err)
	}
	q, err := dayfile.DecodePlan("plan.json", data)
	if err != nil {
		t.Fatal(err)
	}
	again, err := dayfile.EncodePlan(q)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(data), string(again)); diff != "" {
		t.Errorf("a plan written, read and written again (-first +second):\n%s", diff)
	}
}

// The same day gives the same bytes; other words order of the orders, the same lateness.
func TestPlanIsDetermined(t *testing.T) {
	t.Parallel()
	for seed := range invented() / 4 {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			t.Parallel()
			d := randomDay(t, seed)
			p := planned(t, d)
			if q := planned(t, randomDay(t, seed)); !bytes.Equal(inJSON(t, p), inJSON(t, q)) {
				t.Errorf("two plans of one day differ:\n%s", cmp.Diff(p, q))
			}
			rand.New(rand.NewPCG(seed, 1)).Shuffle(len(d.Orders), func(i, j int) { d.Orders[i], d.Orders[j] = d.Orders[j], d.Orders[i] })
			if q := planned(t, d); q.Outcome.LateTotal != p.Outcome.LateTotal {
				t.Errorf("late by %v, with the orders in another sequence by %v", p.Outcome.LateTotal, q.Outcome.LateTotal)
			}
		})
	}
}
