package schedule_test

import (
	"fmt"
	"math"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
	"ovenward/schedule/unit"
)

// foldedDay is loafDay with the bulk rise folded at minutes.
func foldedDay(at ...unit.Minutes) *schedule.Day {
	d := loafDay(22)
	d.Breads[0].Method[1].FoldTimes = at
	return d
}

// foldsAfter are the minutes after its rise began at which each fold begins.
func foldsAfter(tb testing.TB, p *schedule.Plan) []unit.Minutes {
	tb.Helper()
	begin := find(tb, p, schedule.Rise).Start
	var at []unit.Minutes
	for _, t := range p.Tasks {
		if t.Kind == schedule.Fold {
			at = append(at, unit.Minutes(t.Start.Sub(begin).Minutes()))
		}
	}
	return at
}

// Folds at 30, 60 and 90 minutes are at 30, 60 and 90 minutes, in a warm kitchen
// and in a cold one; what the baker typed is the measure. Each presses gas out,
// so the dough is ready later than unfolded.
func TestFoldTimes(t *testing.T) {
	t.Parallel()
	want := []unit.Minutes{30, 60, 90}
	for _, room := range []unit.Celsius{18, 22, 26} {
		d := foldedDay(want...)
		d.Kitchen.Places[0] = steady("Bench", schedule.Room, room)
		p := kept(t, d)
		if diff := cmp.Diff(want, foldsAfter(t, &p)); diff != "" {
			t.Errorf("folds at %v, wanted (-) and planned (+):\n%s", room, diff)
		}
		if _, err := schedule.Traces(d, &p); err != nil {
			t.Error(err)
		}
		d.Breads[0].Method[1].FoldTimes = nil
		_, plain, _ := func() (low, best, high unit.Minutes) {
			q := kept(t, d)
			r := find(t, &q, schedule.Rise)
			return r.Range()
		}()
		r := find(t, &p, schedule.Rise)
		if _, best, _ := r.Range(); best <= plain {
			t.Errorf("at %v best after %v folded, after %v unfolded", room, best, plain)
		}
	}
}

// The judge refuses a fold more than ten minutes, or a third of the way to it,
// from its minute.
func TestCheckFoldTimes(t *testing.T) {
	t.Parallel()
	d := foldedDay(30, 90)
	p := kept(t, d)
	move := func(by time.Duration) []schedule.ViolationCode {
		q := p
		q.Tasks = slices.Clone(p.Tasks)
		i := slices.IndexFunc(q.Tasks, func(t schedule.Task) bool { return t.Kind == schedule.Fold })
		f := &q.Tasks[i]
		f.Start, f.End = f.Start.Add(by), f.End.Add(by)
		f.Hands = []schedule.Hands{{Baker: f.Hands[0].Baker, From: f.Start, To: f.End}}
		var codes []schedule.ViolationCode
		for _, v := range schedule.Check(d, &q) {
			if v.Task == f.ID {
				codes = append(codes, v.Code)
			}
		}
		return codes
	}
	for _, c := range []struct {
		by   time.Duration
		want []schedule.ViolationCode
	}{{0, nil}, {-9 * time.Minute, nil}, {9 * time.Minute, nil}, {-13 * time.Minute, []schedule.ViolationCode{schedule.BadWait}}, {13 * time.Minute, []schedule.ViolationCode{schedule.BadWait}}} {
		if diff := cmp.Diff(c.want, move(c.by)); diff != "" {
			t.Errorf("fold moved by %v (-want +got):\n%s", c.by, diff)
		}
	}
}

// A fold that comes when the dough has long been ready is told, with its minute
// and since when; ready is what the same dough is without that fold.
func TestLateFoldIsTold(t *testing.T) {
	t.Parallel()
	d := foldedDay(30)
	_, soon, err := schedule.Forecast(t.Context(), d, "loaf", false)
	if err != nil {
		t.Fatal(err)
	}
	if len(soon.Outcome.Notes) > 0 {
		t.Errorf("a fold after 30 min: %+v", soon.Outcome.Notes)
	}
	r := find(t, &soon, schedule.Rise)
	ready := r.Window.Ready.Sub(r.Start).Minutes()
	late := math.Ceil(ready) + 20
	d.Breads[0].Method[1].FoldTimes = []unit.Minutes{30, unit.Minutes(late)}
	_, p, err := schedule.Forecast(t.Context(), d, "loaf", false)
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Outcome.Notes) != 1 {
		t.Fatalf("a fold after %v min of a dough ready after %v: %+v", late, ready, p.Outcome.Notes)
	}
	n := p.Outcome.Notes[0]
	if math.Abs(float64(n.By)-20) > 1.5 { // the window is written in whole minutes
		t.Errorf("ready for %v, want 20 min", n.By)
	}
	if want := (schedule.Note{Code: "late-fold", Of: "Loaf", Num: late, By: n.By}); n != want {
		t.Errorf("%+v, want %+v", n, want)
	}
}

// A fold done late moves the next: what is between them stays.
func TestFoldDoneLateMovesTheNext(t *testing.T) {
	t.Parallel()
	d := foldedDay(30, 60)
	p := kept(t, d)
	first := find(t, &p, schedule.Fold)
	at := first.Start.Add(15 * time.Minute)
	log := []schedule.Slip{{ID: "1", Kind: schedule.Started, At: at, Task: first.ID}, {ID: "2", Kind: schedule.Done, At: at.Add(2 * time.Minute), Task: first.ID}}
	cs := replan(t, d, &p, at.Add(3*time.Minute), log...)
	if diff := cmp.Diff([]unit.Minutes{45, 75}, foldsAfter(t, &cs[0].Plan)); diff != "" {
		t.Errorf("folds after (-want +got):\n%s", diff)
	}
}

// Days of every kind with their folds at minutes: the plan and its judge agree,
// and every fold of a kept plan is near its minute.
func TestFoldTimesOnInventedDays(t *testing.T) {
	t.Parallel()
	folded := 0
	for seed := range invented() {
		d := randomDay(t, seed)
		n := 0
		for i := range d.Breads {
			for k := range d.Breads[i].Method {
				if s := &d.Breads[i].Method[k]; len(s.Folds) > 0 {
					s.Folds, s.FoldTimes = nil, []unit.Minutes{20, 45}[:len(s.Folds)]
					n++
				}
			}
		}
		if n == 0 {
			continue
		}
		folded += n
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			t.Parallel()
			p := planned(t, d)
			agreesWithCheck(t, d, &p)
			thereAndBack(t, &p)
		})
	}
	if folded == 0 {
		t.Error("no dough of these days is folded")
	}
}
