package alerts_test

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
	"ovenward/store"
	"ovenward/store/record"
	"ovenward/store/storetest"
	"ovenward/web/alerts"
	"ovenward/web/live"
)

// bench is a ringer over a real store, on a clock the test can set.
type bench struct {
	t     *testing.T
	store *store.Store
	day   int64
	start time.Time

	mu   sync.Mutex
	skew time.Duration // of the wall clock against elapsed time
	told []string

	ringer *alerts.Ringer
	stop   func()
}

func newBench(t *testing.T) *bench {
	b := &bench{t: t, store: storetest.Open(t), start: time.Now()}
	var err error
	b.day, err = b.store.CreateDay(t.Context(), record.Day{Date: "2000-01-01", Zone: "Europe/Dublin"})
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// plan saves a plan with a call that rings once at each of the times after the
// start.
func (b *bench) plan(at ...time.Duration) {
	b.t.Helper()
	var calls []schedule.Alert
	for _, d := range at {
		calls = append(calls, schedule.Alert{Class: schedule.HeadsUp, Due: b.start.Add(d)})
	}
	b.call(calls...)
}

// call saves a plan with calls to start tasks A.1, A.2, ...
func (b *bench) call(calls ...schedule.Alert) {
	b.t.Helper()
	var p schedule.Plan
	for i := range calls {
		id := fmt.Sprintf("A.%d", i+1)
		p.Tasks = append(p.Tasks, schedule.Task{ID: id, Kind: schedule.Fold, Name: "Loaf"})
		calls[i].Task, calls[i].Kind = id, schedule.CallStart
	}
	if _, err := b.store.SavePlan(b.t.Context(), b.day, schedule.Day{}, p, calls, b.now()); err != nil {
		b.t.Fatal(err)
	}
}

func (b *bench) now() time.Time {
	b.mu.Lock()
	defer b.mu.Unlock()
	return time.Now().Add(b.skew)
}

// jump sets the wall clock on or back, as does sleep or a hand.
func (b *bench) jump(d time.Duration) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.skew += d
}

// Publish notes what was told, and when by the wall clock, counted from the
// start.
func (b *bench) Publish(e live.Event) {
	at := b.now().Sub(b.start).Round(time.Millisecond)
	b.mu.Lock()
	defer b.mu.Unlock()
	switch e := e.(type) {
	case live.Alert:
		line := fmt.Sprintf("%v %s", at, e.Class)
		if e.Everywhere {
			line += "!"
		}
		if e.CatchUp {
			line += " catch-up"
		}
		for _, c := range e.Calls {
			line += fmt.Sprintf(" %s(%v)", c.Task, time.UnixMilli(e.Now).Sub(time.UnixMilli(c.Due)))
			if c.State != string(record.Rung) {
				line += c.State
			}
		}
		b.told = append(b.told, line)
	case live.Resync:
		b.told = append(b.told, fmt.Sprintf("%v %s %v", at, e.Reason, time.Duration(e.StepMS)*time.Millisecond))
	}
}

func (b *bench) run(book alerts.Book) {
	ctx, cancel := context.WithCancel(b.t.Context())
	var wg sync.WaitGroup
	b.ringer = alerts.New(alerts.Config{Book: book, Hub: b, Now: b.now})
	wg.Go(func() { b.ringer.Run(ctx) })
	b.stop = func() { cancel(); wg.Wait() }
}

func (b *bench) expect(want ...string) {
	b.t.Helper()
	synctest.Wait()
	b.mu.Lock()
	defer b.mu.Unlock()
	if diff := cmp.Diff(want, b.told); diff != "" {
		b.t.Errorf("told (-want +got):\n%s", diff)
	}
}

// Calls ring at their second, not at the next beat, whether near or far; those
// of one moment ring as one.
func TestRingsOnTime(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t)
		b.plan(7*time.Second, 7500*time.Millisecond, time.Minute, 15*time.Minute, 15*time.Minute, time.Hour)
		b.run(b.store)
		time.Sleep(2 * time.Hour)
		b.stop()
		b.expect("7s C A.1(0s)", "7.5s C A.2(0s)", "1m0s C A.3(0s)", "15m0s C A.4(0s) A.5(0s)", "1h0m0s C A.6(0s)")
	})
}

func TestRestart(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t)
		b.plan(time.Minute, 2*time.Minute, 4*time.Minute, time.Hour)
		b.run(b.store)
		time.Sleep(90 * time.Second)
		b.stop()
		time.Sleep(10*time.Minute - 90*time.Second)
		b.expect("1m0s C A.1(0s)")
		b.run(b.store)
		time.Sleep(time.Hour)
		b.stop()
		b.expect("1m0s C A.1(0s)", "10m0s C catch-up A.2(8m0s) A.3(6m0s)", "1h0m0s C A.4(0s)")
	})
}

// A computer asleep for three hours: elapsed time stands still, the wall clock
// does not. All that came due is told as one within a beat of waking.
func TestSuspend(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t)
		b.plan(time.Minute, time.Hour, 2*time.Hour, 4*time.Hour)
		b.run(b.store)
		time.Sleep(5*time.Minute + 3*time.Second)
		b.jump(3 * time.Hour)
		time.Sleep(2 * time.Hour)
		b.stop()
		b.expect("1m0s C A.1(0s)",
			"3h5m15s clock 3h0m0s",
			"3h5m15s C catch-up A.2(2h5m15s) A.3(1h5m15s)",
			"4h0m0s C A.4(0s)")
	})
}

// Set back an hour, the clock passes 1 h 30 twice. What rang does not ring again
// and what is to come still comes when the clock says so.
func TestClockSetBack(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t)
		b.plan(30*time.Minute, 90*time.Minute, 100*time.Minute)
		b.run(b.store)
		time.Sleep(95*time.Minute + 3*time.Second)
		b.jump(-time.Hour)
		time.Sleep(3 * time.Hour)
		b.stop()
		b.expect("30m0s C A.1(0s)", "1h30m0s C A.2(0s)", "35m15s clock -1h0m0s", "1h40m0s C A.3(0s)")
	})
}

// Network time nudges clocks by a little all the time; pages need not know.
func TestSmallStepsAreNotTold(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t)
		b.run(b.store)
		for range 20 {
			time.Sleep(time.Minute)
			b.jump(5 * time.Second)
			time.Sleep(time.Minute)
			b.jump(-5 * time.Second)
		}
		b.stop()
		b.expect()
	})
}

func TestWakeAfterNewPlan(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t)
		b.plan(5*time.Minute, time.Hour)
		b.run(b.store)
		time.Sleep(2 * time.Second)
		synctest.Wait()
		b.plan(4*time.Second, 12*time.Second)
		b.ringer.Wake()
		b.ringer.Wake()
		time.Sleep(2 * time.Hour)
		b.stop()
		b.expect("4s C A.1(0s)", "12s C A.2(0s)")
	})
}

// troubled is a book whose first claims fail in every way.
type troubled struct {
	alerts.Book
	claims int
}

func (b *troubled) ClaimDue(ctx context.Context, now time.Time) ([]record.Alert, error) {
	switch b.claims++; b.claims {
	case 1, 4:
		panic("no flour")
	case 2, 3:
		return nil, errors.New("the disk is full")
	}
	return b.Book.ClaimDue(ctx, now)
}

// Neither an error nor a panic ends the ringing or loses a call.
func TestTroubleLosesNothing(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t)
		b.plan(time.Second, 10*time.Minute)
		b.run(&troubled{Book: b.store})
		time.Sleep(time.Hour)
		b.stop()
		b.expect("1m0s C catch-up A.1(59s)", "10m0s C A.2(0s)")
	})
}

// Whatever happens in whatever order, every call the clock has passed has rung
// exactly once, and none that it has not.
func TestEveryCallRingsOnce(t *testing.T) {
	for seed := range uint64(5) {
		synctest.Test(t, func(t *testing.T) {
			r := rand.New(rand.NewPCG(seed, 9))
			b := newBench(t)
			var at []time.Duration
			for range 40 {
				at = append(at, time.Duration(r.IntN(6*3600))*time.Second+time.Second/2)
			}
			b.plan(at...)
			rung := &counter{Book: b.store, times: map[string]int{}}
			b.run(rung)
			latest := time.Duration(0)
			for range 30 {
				time.Sleep(time.Duration(r.IntN(900)) * time.Second)
				synctest.Wait()
				latest = max(latest, b.now().Sub(b.start))
				switch r.IntN(4) {
				case 0:
					b.jump(time.Duration(r.IntN(3600)) * time.Second)
				case 1:
					b.jump(-time.Duration(r.IntN(3600)) * time.Second)
				case 2:
					b.stop()
					time.Sleep(time.Duration(r.IntN(1800)) * time.Second)
					b.run(rung)
				}
				time.Sleep(15 * time.Second) // a beat, so that what the clock says now is acted on
				synctest.Wait()
				latest = max(latest, b.now().Sub(b.start))
			}
			b.stop()
			for i, d := range at {
				want := 0
				if d <= latest {
					want = 1
				}
				if task := fmt.Sprintf("A.%d", i+1); rung.times[task] != want {
					t.Errorf("seed %d: %s, due at %v, rang %d times by %v", seed, task, d, rung.times[task], latest)
				}
			}
		})
	}
}

// counter counts how often each task is claimed.
type counter struct {
	alerts.Book
	times map[string]int
}

func (c *counter) ClaimDue(ctx context.Context, now time.Time) ([]record.Alert, error) {
	all, err := c.Book.ClaimDue(ctx, now)
	for _, a := range all {
		c.times[a.Task]++
	}
	return all, err
}
