// Package alerts rings: it takes from the database what has fallen due and
// tells the open pages.
//
// The database decides what rings and that nothing rings twice; this package
// only looks often enough. It looks when a call falls due, and at least every
// fifteen seconds, because timers stand still while a computer sleeps and know
// nothing of a clock that is set. So neither a restart, nor sleep, nor a change
// of the clock loses a call, and what has come due meanwhile is told at once, as
// one event.
package alerts

import (
	"context"
	"log/slog"
	"sync"
	"time"

	"github.com/robfig/cron/v3"

	"ovenward/store/record"
	"ovenward/web/live"
)

const (
	// beat is how often the ringer looks at least.
	beat = 15 * time.Second
	// jump is how far the clock may stray between two looks before pages are told.
	jump = 5 * time.Second
)

// Book is where calls are kept. ClaimDue gives each ring once.
type Book interface {
	ClaimDue(ctx context.Context, now time.Time) ([]record.Alert, error)
	NextDue(ctx context.Context) (at time.Time, ok bool, err error)
}

// Publisher tells the open pages.
type Publisher interface {
	Publish(live.Event)
}

// Listeners are the screens that may hear a ring. Sweep is told when the next one
// is, zero for none, and reports whether it is near and may not be heard.
type Listeners interface {
	Sweep(now, next time.Time) (unheard bool)
}

// Config is what a ringer needs.
type Config struct {
	Book    Book
	Hub     Publisher
	Screens Listeners        // nil = nobody asks
	Log     *slog.Logger     // nil = none
	Now     func() time.Time // the clock on the wall; nil = time.Now
}

// Ringer rings. Make one with New, then Run it.
type Ringer struct {
	Config
	wake chan struct{}

	cron *cron.Cron
	job  cron.FuncJob // look

	mu      sync.Mutex   // one look at a time
	alarm   cron.EntryID // for the next ring, if it is due before the next beat
	clock   drift
	looked  time.Time // last
	unheard bool      // the next ring may be
}

// New makes a ringer.
func New(c Config) *Ringer {
	if c.Log == nil {
		c.Log = slog.New(slog.DiscardHandler)
	}
	if c.Now == nil {
		c.Now = time.Now
	}
	return &Ringer{Config: c, wake: make(chan struct{}, 1)}
}

// Wake makes the ringer look now, as after a new plan. It does not wait.
func (r *Ringer) Wake() {
	select {
	case r.wake <- struct{}{}:
	default: // it is about to
	}
}

// Run rings until ctx ends, beginning with what is due already. It returns when
// nothing of it runs any more. Failures are logged and tried again at the next
// beat.
func (r *Ringer) Run(ctx context.Context) {
	log := CronLog{r.Log}
	// Recover is the inner one: a panic through SkipIfStillRunning would leave
	// it skipping for ever.
	chain := []cron.JobWrapper{cron.SkipIfStillRunning(log), cron.Recover(log)}
	r.cron = cron.New(cron.WithLocation(time.UTC), cron.WithLogger(log), cron.WithChain(chain...))
	r.job = func() { r.look(ctx) }
	r.cron.Schedule(cron.Every(beat), r.job)
	r.cron.Start()
	now := cron.NewChain(cron.Recover(log)).Then(r.job)
	r.Wake()
	for {
		select {
		case <-r.wake:
			now.Run()
		case <-ctx.Done():
			<-r.cron.Stop().Done()
			return
		}
	}
}

// look rings what is due and sets the alarm for what comes next.
func (r *Ringer) look(ctx context.Context) {
	r.mu.Lock()
	defer r.mu.Unlock()
	now := r.Now().Round(0)
	if step := r.clock.step(now); step.Abs() > jump {
		r.Log.Warn("the clock has jumped", "step", step)
		r.Hub.Publish(live.Resync{Reason: "clock", StepMS: step.Milliseconds(), Now: now.UnixMilli()})
	}
	asleep := now.Sub(r.looked).Abs() > 2*beat
	calls, err := r.Book.ClaimDue(ctx, now)
	if err != nil {
		r.fail(ctx, err)
		return
	}
	r.looked = now
	if len(calls) > 0 {
		r.Log.Info("rings", "calls", len(calls), "oldest", now.Sub(calls[0].Due))
		r.Hub.Publish(event(calls, now, asleep))
	}
	next, _, err := r.Book.NextDue(ctx)
	if err != nil {
		r.fail(ctx, err)
		return
	}
	r.setAlarm(now, next)
	r.sweep(now, next)
}

// sweep says once that a near ring may not be heard.
func (r *Ringer) sweep(now, next time.Time) {
	if r.Screens == nil {
		return
	}
	unheard := r.Screens.Sweep(now, next)
	if unheard && !r.unheard {
		r.Log.Warn("no screen is sure to be heard", "next", next)
	}
	r.unheard = unheard
}

func (r *Ringer) fail(ctx context.Context, err error) {
	if ctx.Err() == nil {
		r.Log.Error("ringer", "error", err)
	}
}

// setAlarm replaces the alarm. What is due later than the next beat gets its
// alarm then.
func (r *Ringer) setAlarm(now, next time.Time) {
	r.cron.Remove(r.alarm) // an alarm that has rung stays in the list otherwise
	if wait := next.Sub(now); !next.IsZero() && wait <= beat {
		r.alarm = r.cron.Schedule(&once{at: time.Now().Add(wait)}, r.job)
	}
}
