package schedule_test

import (
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
)

// moved are the calls of a plan that are due at another minute than in p, as
// "A1.6 unload 08:12 → 08:19".
func moved(p, followed *schedule.Plan) (out []string) {
	was := map[string]time.Time{}
	key := func(a schedule.Alert) string { return a.Task + " " + string(a.Kind) }
	for _, a := range schedule.Alerts(p) {
		was[key(a)] = a.Due
	}
	for _, a := range schedule.Alerts(followed) {
		if before := was[key(a)]; !before.Equal(a.Due) {
			out = append(out, key(a)+" "+before.Format("15:04")+" → "+a.Due.Format("15:04"))
		}
	}
	return out
}

// What hangs by the clock on something said goes with it, and nothing else does.
// The lengths are those the day itself gives to its stages, not the plan's.
func TestFollow(t *testing.T) {
	t.Parallel()
	d, p := tearoom()
	bake := taskOf(t, &p, func(k schedule.Task) bool { return k.Kind == schedule.Bake })
	cooled := taskOf(t, &p, func(k schedule.Task) bool { return k.Kind == schedule.Finish && k.Stage > 0 && k.Portion != "" })
	out := taskOf(t, &p, func(k schedule.Task) bool { return k.Kind == schedule.Bake && k.Portion == cooled.Portion })
	round := taskOf(t, &p, func(k schedule.Task) bool { return k.Kind == schedule.Round })
	shape := taskOf(t, &p, func(k schedule.Task) bool { return k.Kind == schedule.Shape && k.Portion == round.Portion })
	rest, _ := least(d, &p, round.Portion, schedule.Rest)
	cool, _ := least(d, &p, cooled.Portion, schedule.Cool)
	slip := func(kind schedule.SlipKind, task schedule.Task, at time.Time) schedule.Slip {
		return schedule.Slip{ID: "x", Kind: kind, Task: task.ID, At: at}
	}
	in := func(minutes int, t time.Time) time.Time { return t.Add(time.Duration(minutes) * time.Minute) }
	line := func(task schedule.Task, kind schedule.AlertKind, was, is time.Time) string {
		return task.ID + " " + string(kind) + " " + was.Format("15:04") + " → " + is.Format("15:04")
	}
	unload := in(-2, bake.End) // hands come two minutes before it is out
	more := slip(schedule.NotYet, bake, in(-1, bake.End))
	more.Minutes = 6
	for _, tt := range []struct {
		name string
		log  []schedule.Slip
		want []string
	}{
		{"nothing said", nil, nil},
		{"loaded as planned", []schedule.Slip{slip(schedule.Started, bake, bake.Start.Add(59*time.Second))}, nil},
		{"loaded 7 min late", []schedule.Slip{slip(schedule.Started, bake, in(7, bake.Start))},
			[]string{line(bake, "start", bake.Start, in(7, bake.Start)), line(bake, "unload", unload, in(7, unload))}},
		{"loaded 3 min early", []schedule.Slip{slip(schedule.Started, bake, in(-3, bake.Start))},
			[]string{line(bake, "start", bake.Start, in(-3, bake.Start)), line(bake, "unload", unload, in(-3, unload))}},
		{"corrected, the later entry counts", []schedule.Slip{slip(schedule.Started, bake, in(7, bake.Start)), slip(schedule.Started, bake, in(9, bake.Start))},
			[]string{line(bake, "start", bake.Start, in(9, bake.Start)), line(bake, "unload", unload, in(9, unload))}},
		{"pale, 6 min more", []schedule.Slip{slip(schedule.Started, bake, bake.Start), more},
			[]string{line(bake, "unload", unload, in(3, bake.End))}},
		{"out late: it cools its time before it is finished", []schedule.Slip{slip(schedule.Done, out, cooled.Start.Add(-cool).Add(8*time.Minute))},
			[]string{line(cooled, "start", cooled.Start, in(8, cooled.Start))}},
		{"rounded so late that the rest ends after its time", []schedule.Slip{slip(schedule.Done, round, shape.Start.Add(-rest).Add(5*time.Minute))},
			[]string{line(shape, "start", shape.Start, in(5, shape.Start))}},
		{"rounded late, the rest has room", []schedule.Slip{slip(schedule.Done, round, shape.Start.Add(-rest))}, nil},
	} {
		t.Run(tt.name, func(t *testing.T) {
			before := len(schedule.Alerts(&p))
			next := schedule.Follow(d, &p, tt.log)
			got := moved(&p, next)
			got = slices.DeleteFunc(got, func(s string) bool { // of work that is done nothing is called
				return slices.ContainsFunc(tt.log, func(x schedule.Slip) bool {
					return x.Kind == schedule.Done && len(s) > len(x.Task) && s[:len(x.Task)+1] == x.Task+" "
				})
			})
			if diff := cmp.Diff(tt.want, got); diff != "" {
				t.Errorf("(-want +got):\n%s", diff)
			}
			if n := len(schedule.Alerts(next)); n != before {
				t.Errorf("%d calls, were %d", n, before)
			}
			if tt.want == nil && len(tt.log) == 0 && next != &p {
				t.Error("nothing moved, and it is another plan")
			}
		})
	}
}

// least is how long a portion's first wait of a kind lasts at least, by the
// method of its bread.
func least(d *schedule.Day, p *schedule.Plan, portion string, kind schedule.StageKind) (time.Duration, bool) {
	for _, b := range p.Batches {
		for _, q := range b.Portions {
			bread, _ := d.Bread(q.Bread)
			i := slices.IndexFunc(bread.Method, func(s schedule.Stage) bool { return s.Kind == kind })
			if q.ID == portion && i >= 0 {
				return time.Duration(float64(bread.Method[i].Least) * float64(time.Minute)), true
			}
		}
	}
	return 0, false
}

// A plan that follows what was said and one repaired after it agree on when the
// bread is out: two ways of reckoning that share no code.
func TestFollowAgreesWithReplan(t *testing.T) {
	t.Parallel()
	d, p := tearoom()
	bake := taskOf(t, &p, func(k schedule.Task) bool { return k.Kind == schedule.Bake })
	for _, off := range []time.Duration{-2 * time.Minute, 0, time.Minute, 4*time.Minute + 40*time.Second, 11 * time.Minute} {
		log := []schedule.Slip{{ID: "1", Kind: schedule.Started, Task: bake.ID, At: bake.Start.Add(off)}}
		same := func(k schedule.Task) bool { return k.ID == bake.ID }
		want := taskOf(t, schedule.Follow(d, &p, log), same)
		for _, c := range replan(t, d, &p, bake.Start.Add(off).Add(time.Minute), log...) {
			if got := taskOf(t, &c.Plan, same); !got.Start.Equal(want.Start) || !got.End.Equal(want.End) {
				t.Errorf("loaded %v off: %s repairs to %s–%s, followed it is %s–%s", off, c.Kind, got.Start.Format("15:04"), got.End.Format("15:04"), want.Start.Format("15:04"), want.End.Format("15:04"))
			}
		}
	}
}

// Work said to be begun is begun when it was said, although the plan has the work
// before it last longer.
func TestStartIsNotPushed(t *testing.T) {
	t.Parallel()
	d, p := tearoom()
	said := 0
	for _, k := range p.Tasks {
		if len(k.Hands) == 0 {
			continue
		}
		at := k.Start.Add(-time.Minute)
		slip := schedule.Slip{ID: "1", Kind: schedule.Started, Task: k.ID, At: at}
		if len(schedule.ValidateLog(d, &p, []schedule.Slip{slip}, at)) > 0 {
			continue
		}
		said++
		for _, c := range replan(t, d, &p, at, slip) {
			got := taskOf(t, &c.Plan, func(x schedule.Task) bool { return x.ID == k.ID })
			if !got.Start.Equal(at) {
				t.Errorf("%s %s of %s said to begin at %s begins at %s", c.Kind, k.Kind, k.ID, at.Format("15:04"), got.Start.Format("15:04"))
			}
			honest(t, d, &c, []schedule.Slip{slip}, at)
		}
	}
	if said < 25 {
		t.Errorf("only %d works could be said to begin a minute early", said)
	}
}

// Whatever was said, every dough can still be followed through the day, and no
// task ends before it begins.
func TestFollowedPlanCanBeTraced(t *testing.T) {
	t.Parallel()
	d, p := tearoom()
	for seed := range uint64(60) {
		r := rand.New(rand.NewPCG(seed, 7)) // any seed will do
		var log []schedule.Slip
		for _, k := range p.Tasks {
			at := k.Start.Add(time.Duration(r.IntN(40)-15) * time.Minute)
			slip := schedule.Slip{ID: k.ID, Task: k.ID, At: at, Kind: []schedule.SlipKind{schedule.Started, schedule.Done, schedule.Skipped, schedule.NotYet}[r.IntN(4)], Minutes: 10}
			if len(k.Hands) > 0 && r.IntN(3) > 0 && len(schedule.ValidateLog(d, &p, append(slices.Clone(log), slip), at)) == 0 {
				log = append(log, slip)
			}
		}
		next := schedule.Follow(d, &p, log)
		for _, k := range next.Tasks {
			if k.End.Before(k.Start) {
				t.Errorf("seed %d: %s %s-%s", seed, k.ID, k.Start.Format("15:04"), k.End.Format("15:04"))
			}
			for _, h := range k.Hands {
				if h.To.Before(h.From) || h.From.Before(k.Start) || h.To.After(k.End) {
					t.Errorf("seed %d: hands of %s %s-%s, the task %s-%s", seed, k.ID, h.From.Format("15:04"), h.To.Format("15:04"), k.Start.Format("15:04"), k.End.Format("15:04"))
				}
			}
		}
		if _, err := schedule.Traces(d, next); err != nil {
			t.Errorf("seed %d, %d slips: %v", seed, len(log), err)
		}
	}
}
