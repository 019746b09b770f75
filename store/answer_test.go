package store_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
	"ovenward/store"
	"ovenward/store/record"
	"ovenward/store/storetest"
)

// bench is a store with one call, taps given to it, and what then becomes of the
// call.
type bench struct {
	testing.TB
	*store.Store
	day  int64
	taps int
}

// newBench has a call to load the buns at 07:10, too far at 07:50, ten minutes of
// work.
func newBench(t *testing.T) *bench {
	b := &bench{TB: t, Store: storetest.Open(t)}
	b.day = must(b.ImportDay(t.Context(), sampleDay()))(t)
	savePlan(t, b.Store, b.day, []schedule.Alert{b.load()}, clock(t, "05:00"))
	return b
}

func (b *bench) load() schedule.Alert {
	return schedule.Alert{Task: "A.2", Kind: schedule.CallStart, Class: schedule.Due, Due: clock(b, "07:10"), TooFar: clock(b, "07:50"), Baker: "Orla", Takes: 10}
}

// do runs steps such as "07:10 look", "07:11 ack", "07:12 snooze 10" and "07:13
// undo 2", each naming what becomes of the call, and returns that.
func (b *bench) do(steps ...string) (got []string) {
	b.Helper()
	for _, step := range steps {
		f := strings.Fields(step)
		at, kind := clock(b, f[0]), f[1]
		if kind == "look" {
			must(b.ClaimDue(b.Context(), at))(b)
			got = append(got, b.state())
			continue
		}
		b.taps++
		tap := record.Tap{ID: fmt.Sprint(b.taps), Day: b.day, Version: 1, Task: "A.2", Kind: record.TapKind(kind), At: at, Recorded: at}
		if kind == "undo" {
			tap.Of = f[2]
		} else if len(f) > 2 {
			fmt.Sscan(f[2], &tap.Minutes)
		}
		_, err := b.Tap(b.Context(), tap)
		var refused *record.Error
		switch {
		case errors.As(err, &refused):
			got = append(got, refused.Message)
		case err != nil:
			b.Error(err)
		default:
			got = append(got, b.state())
		}
	}
	return got
}

// state is the call's state, how often it rang and when it rings next.
func (b *bench) state() string {
	b.Helper()
	a := must(b.Alerts(b.Context(), b.day))(b)[0]
	s := fmt.Sprint(a.State, " ", a.Rings)
	if a.Decision != "" {
		s += fmt.Sprint(" ", a.Decision)
	}
	if !a.Next.IsZero() {
		s += a.Next.Format(" next 15:04:05")
	}
	return s
}

// What becomes of the call under every answer. The times follow from the ladder
// of package schedule: S is 40 min, so "on it" is silent for 5.
func TestAnswers(t *testing.T) {
	tests := []struct {
		name  string
		steps []string
		want  []string
	}{
		{"on it, then done",
			[]string{"07:10 look", "07:11 ack", "07:16 look", "07:17 look", "07:20 done", "07:50 look"},
			[]string{"due 1 next 07:10:20", "acked 1 next 07:16:00", "acked 2 next 07:50:00", "acked 2 next 07:50:00", "done 2", "done 2"}},
		{"on it, never done",
			[]string{"07:10 look", "07:11 ack", "07:16 look", "07:50 look", "07:59 look"},
			[]string{"due 1 next 07:10:20", "acked 1 next 07:16:00", "acked 2 next 07:50:00", "acked 3", "acked 3"}},
		{"on it, taken back",
			[]string{"07:10 look", "07:11 ack", "07:12 undo 1", "07:12 look"},
			[]string{"due 1 next 07:10:20", "acked 1 next 07:16:00", "due 1 next 07:10:20", "due 2 next 07:13:00"}},
		{"on it, reminded, taken back",
			[]string{"07:10 look", "07:11 ack", "07:16 look", "07:17 undo 1"},
			[]string{"due 1 next 07:10:20", "acked 1 next 07:16:00", "acked 2 next 07:50:00", "due 2 next 07:17:00"}},
		{"put off twice, not a third time",
			[]string{"07:10 look", "07:10 snooze 10", "07:15 look", "07:20 look", "07:20 snooze 20", "07:40 look", "07:40 snooze 5"},
			[]string{"due 1 next 07:10:20", "shelved 1 next 07:20:00", "shelved 1 next 07:20:00", "due 2 next 07:21:00",
				"shelved 2 next 07:40:00", "due 3 next 07:40:15", "this cannot be put off any more"}},
		{"put off only as long as the dough allows",
			[]string{"07:10 look", "07:21 snooze 20", "07:21 snooze 40", "07:21 snooze 10"},
			[]string{"due 1 next 07:10:20", "this can be put off by 5 or 10 minutes, not by 20", "this can be put off by 5 or 10 minutes, not by 40", "shelved 1 next 07:31:00"}},
		{"on it, then put off; taken back",
			[]string{"07:10 look", "07:11 ack", "07:12 snooze 5", "07:13 undo 2"},
			[]string{"due 1 next 07:10:20", "acked 1 next 07:16:00", "shelved 1 next 07:17:00", "acked 1 next 07:18:00"}},
		{"on it ends the row of putting off",
			[]string{"07:10 look", "07:10 snooze 5", "07:15 look", "07:15 snooze 5", "07:16 ack", "07:17 snooze 5"},
			[]string{"due 1 next 07:10:20", "shelved 1 next 07:15:00", "due 2 next 07:16:00", "shelved 2 next 07:20:00", "acked 2 next 07:21:00", "shelved 2 next 07:22:00"}},
		{"put off before it rings",
			[]string{"07:00 snooze 5"}, []string{"this has been answered already, or does not ring yet"}},
		{"past too far, the sound ends, the decision stands",
			[]string{"07:10 look", "07:50 look", "07:51 look", "07:52 look", "07:53 look", "09:00 anyway", "09:05 look", "09:30 look"},
			[]string{"due 1 next 07:10:20", "past 2 next 07:51:00", "past 3 next 07:52:00", "past 4", "past 4", "acked 4 anyway next 09:05:00", "acked 5 anyway", "acked 5 anyway"}},
		{"thrown away, taken back",
			[]string{"07:10 look", "07:55 look", "07:56 discard", "07:57 undo 1", "07:58 fine"},
			[]string{"due 1 next 07:10:20", "past 2", "suppressed 2 discard", "past 2", "done 2 fine"}},
		{"nothing to decide yet",
			[]string{"07:10 look", "07:20 discard"}, []string{"due 1 next 07:10:20", "this has been answered already, or does not ring yet"}},
		{"asleep past too far",
			[]string{"08:30 look", "08:31 look", "08:32 reshape"}, []string{"missed 1", "missed 1", "suppressed 1 reshape"}},
		{"loaded before it was called",
			[]string{"07:00 start", "07:10 look"}, []string{"done 0", "done 0"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if diff := cmp.Diff(tt.want, newBench(t).do(tt.steps...)); diff != "" {
				t.Errorf("(-want +got):\n%s", diff)
			}
		})
	}
}

// A dough put into the cold goes too far later: the call goes by the new limit,
// and one past the old is not lost any more.
func TestNewLimit(t *testing.T) {
	for _, tt := range []struct{ at, limit, want string }{
		{"07:20", "08:50", "due 2 next 07:21:00"},
		{"07:55", "08:50", "due 2 next 08:00:00"},
		{"07:55", "07:52", "past 2"},
	} {
		b := newBench(t)
		b.do("07:10 look", tt.at+" look")
		a := b.load()
		a.TooFar = clock(t, tt.limit)
		savePlan(t, b.Store, b.day, []schedule.Alert{a}, clock(t, tt.at))
		if got := b.state(); got != tt.want {
			t.Errorf("at %s, too far at %s: %s, want %s", tt.at, tt.limit, got, tt.want)
		}
	}
}

// A heads-up has nothing to say once its task is called.
func TestHeadsUpEndsWithItsCall(t *testing.T) {
	for name, looks := range map[string][]string{"awake": {"07:00", "07:10"}, "asleep": {"07:12"}} {
		t.Run(name, func(t *testing.T) {
			s, ctx := storetest.Open(t), t.Context()
			day := must(s.ImportDay(ctx, sampleDay()))(t)
			calls := sampleAlerts(t)[1:2]
			calls = append(calls, schedule.Alert{Task: "A.2", Kind: schedule.CallHeadsUp, Class: schedule.HeadsUp, Due: clock(t, "07:00"), Baker: "Orla"})
			savePlan(t, s, day, calls, clock(t, "05:00"))
			var got []record.Alert
			for _, at := range looks {
				got = must(s.ClaimDue(ctx, clock(t, at)))(t)
			}
			if len(got) != 1 || got[0].Kind != schedule.CallStart {
				t.Errorf("rang %+v, want the call to load", got)
			}
			if diff := cmp.Diff([]string{"A.2 heads-up suppressed called", "A.2 start due"}, states(t, s, day)); diff != "" {
				t.Errorf("(-want +got):\n%s", diff)
			}
		})
	}
}

// Two calls nobody answers, half a minute apart, soon ring as one.
func TestCallsRingAlong(t *testing.T) {
	s, ctx := storetest.Open(t), t.Context()
	day := must(s.ImportDay(ctx, sampleDay()))(t)
	calls := sampleAlerts(t)[:2]
	calls[0].Due, calls[1].Due = second(t, "06:00:00"), second(t, "06:00:10")
	savePlan(t, s, day, calls, clock(t, "05:00"))
	var got []string
	for at := clock(t, "06:00"); at.Before(clock(t, "06:12")); at = at.Add(time.Second) {
		if n := len(must(s.ClaimDue(ctx, at))(t)); n > 0 {
			got = append(got, at.Format("04:05 ")+fmt.Sprint(n))
		}
	}
	want := []string{"00:00 1", "00:10 2", "00:30 1", "01:00 2", "03:00 2", "05:00 2", "06:00 2", "07:00 2", "08:00 2", "09:00 2", "10:00 2", "11:00 2"}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}
