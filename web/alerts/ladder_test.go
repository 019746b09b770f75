package alerts_test

import (
	"context"
	"log/slog"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"ovenward/schedule"
	"ovenward/store/record"
	"ovenward/web/alerts"
	"ovenward/web/live"
)

// shape must begin within twelve minutes and takes two: it presses at 3 min,
// gives choices at 6, is now or lost at 8 and too far at 12 (package schedule has
// the table of the ladder).
func (b *bench) shape(at time.Duration) schedule.Alert {
	return schedule.Alert{Class: schedule.Due, Due: b.start.Add(at), TooFar: b.start.Add(at + 12*time.Minute), Takes: 2}
}

func (b *bench) tap(id string, kind record.TapKind, minutes int) {
	b.t.Helper()
	now := b.now()
	if _, err := b.store.Tap(b.t.Context(), record.Tap{ID: id, Day: b.day, Version: 1, Task: "A.1", Kind: kind, Minutes: minutes, At: now, Recorded: now}); err != nil {
		b.t.Error(err)
	}
	b.ringer.Wake()
}

// until sleeps until some time after the start by the test's own clock.
func (b *bench) until(d time.Duration) { time.Sleep(time.Until(b.start.Add(d))) }

// A call nobody answers is heard at its moments, to the second, ever more
// urgently, and falls silent.
func TestNobodyAnswers(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t)
		b.call(b.shape(time.Minute))
		b.run(b.store)
		time.Sleep(2 * time.Hour)
		b.stop()
		b.expect("1m0s B A.1(0s)", "1m20s B A.1(20s)", "2m0s B A.1(1m0s)",
			"4m0s B! A.1(3m0s)", "5m0s B! A.1(4m0s)", "6m0s B! A.1(5m0s)", "7m0s B! A.1(6m0s)", "8m0s B! A.1(7m0s)",
			"9m0s A! A.1(8m0s)", "9m15s A! A.1(8m15s)", "9m30s A! A.1(8m30s)", "9m45s A! A.1(8m45s)",
			"10m0s A! A.1(9m0s)", "10m15s A! A.1(9m15s)", "10m30s A! A.1(9m30s)", "10m45s A! A.1(9m45s)",
			"11m0s A! A.1(10m0s)", "11m15s A! A.1(10m15s)", "11m30s A! A.1(10m30s)", "11m45s A! A.1(10m45s)", "12m0s A! A.1(11m0s)",
			"13m0s A! A.1(12m0s)past", "14m0s A! A.1(13m0s)past", "15m0s A! A.1(14m0s)past")
	})
}

// On it is silent at once, comes once more, and falls silent with done.
func TestOnItThenDone(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t)
		b.call(b.shape(0))
		b.run(b.store)
		b.until(30 * time.Second)
		b.tap("1", record.Ack, 0)
		b.until(5 * time.Minute)
		b.tap("2", record.Finished, 0)
		time.Sleep(time.Hour)
		b.stop()
		b.expect("0s B A.1(0s)", "20s B A.1(20s)", "3m30s B! A.1(3m30s)acked")
	})
}

func TestPutOff(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t)
		b.call(b.shape(0))
		b.run(b.store)
		b.until(10 * time.Second)
		b.tap("1", record.Snooze, 5)
		b.until(5*time.Minute + 15*time.Second)
		b.tap("2", record.Started, 0)
		time.Sleep(time.Hour)
		b.stop()
		b.expect("0s B A.1(0s)", "5m10s B! A.1(5m10s)")
	})
}

// Three hours of sleep in the middle of the ladder are one event with the true
// age, and what stands after too far stands.
func TestSuspendMidLadder(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t)
		b.call(b.shape(time.Minute), b.shape(time.Hour), b.shape(3*time.Hour-2*time.Minute))
		b.run(b.store)
		b.until(2*time.Minute + 3*time.Second)
		b.jump(3 * time.Hour)
		time.Sleep(57 * time.Second)
		b.tap("1", record.WasFine, 0)
		time.Sleep(14 * time.Second)
		b.stop()
		b.expect("1m0s B A.1(0s)", "1m20s B A.1(20s)", "2m0s B A.1(1m0s)",
			"3h2m15s clock 3h0m0s",
			"3h2m15s A! catch-up A.1(3h1m15s)past A.2(2h2m15s)missed A.3(4m15s)",
			"3h3m0s B! A.3(5m0s)", // A.3 goes on where the clock says
		)
	})
}

// Set back an hour in the middle of the ladder, nothing rings a second time: the
// call stands on the screens and goes on when the clock comes to where it was.
func TestClockSetBackMidLadder(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t)
		b.call(b.shape(90 * time.Minute))
		b.run(b.store)
		b.until(91*time.Minute + 3*time.Second)
		b.jump(-time.Hour)
		time.Sleep(62*time.Minute + 30*time.Second)
		b.stop()
		b.expect("1h30m0s B A.1(0s)", "1h30m20s B A.1(20s)", "1h31m0s B A.1(1m0s)",
			"31m15s clock -1h0m0s",
			"1h33m0s B! A.1(3m0s)")
	})
}

// Set on by ten minutes: one catch-up, then the ladder from there.
func TestClockSetOnMidLadder(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t)
		b.call(b.shape(time.Minute))
		b.run(b.store)
		b.until(61 * time.Second)
		b.jump(10 * time.Minute)
		time.Sleep(time.Minute)
		b.stop()
		b.expect("1m0s B A.1(0s)", "11m15s clock 10m0s", "11m15s A! catch-up A.1(10m15s)",
			"11m30s A! A.1(10m30s)", "11m45s A! A.1(10m45s)", "12m0s A! A.1(11m0s)")
	})
}

// The ladder goes on after a restart, with one catch-up for what was passed.
func TestRestartMidLadder(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t)
		b.call(b.shape(0))
		b.run(b.store)
		b.until(65 * time.Second)
		b.stop()
		b.until(5*time.Minute + 10*time.Second)
		b.run(b.store)
		b.until(6*time.Minute + 10*time.Second)
		b.tap("1", record.Ack, 0)
		time.Sleep(2 * time.Minute)
		b.stop()
		b.expect("0s B A.1(0s)", "20s B A.1(20s)", "1m0s B A.1(1m0s)",
			"5m10s B! catch-up A.1(5m10s)", "6m0s B! A.1(6m0s)")
	})
}

// With no screen that can ring, it is said and logged ten minutes before the
// ring, once; a screen that is armed ends it.
func TestNobodyListens(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t)
		b.call(b.shape(30 * time.Minute))
		var log paper
		s := live.NewScreens(live.NewHub())
		ctx, cancel := context.WithCancel(t.Context())
		var wg sync.WaitGroup
		r := alerts.New(alerts.Config{Book: b.store, Hub: b, Screens: s, Now: b.now, Log: slog.New(slog.NewTextHandler(&log, nil))})
		wg.Go(func() { r.Run(ctx) })
		b.until(19*time.Minute + 50*time.Second)
		synctest.Wait()
		if said := log.read(); said != "" {
			t.Errorf("too early: %s", said)
		}
		b.until(22 * time.Minute)
		synctest.Wait()
		if n := strings.Count(log.read(), "no screen is sure to be heard"); n != 1 {
			t.Errorf("logged %d times:\n%s", n, log.read())
		}
		if a := s.Report(b.now(), live.Screen{ID: "t", Visible: true, Sound: true}); a.Next != 0 {
			t.Error("an armed screen does not end it")
		}
		cancel()
		wg.Wait()
	})
}

// paper is a log that can be read while it is written.
type paper struct {
	mu   sync.Mutex
	text strings.Builder
}

func (p *paper) Write(b []byte) (int, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.text.Write(b)
}

func (p *paper) read() string {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.text.String()
}
