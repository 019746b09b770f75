package schedule_test

import (
	"context"
	"flag"
	"fmt"
	"maps"
	"slices"
	"strings"
	"sync"
	"testing"

	"ovenward/schedule"
	"ovenward/schedule/learn"
)

var (
	seasonDays  = flag.Int("season", 0, "days of TestSeason's table; 0 plays a short season")
	seasonOne   = flag.Int("kitchen", -1, "kitchen of TestSeason to play alone")
	seasonBound = flag.Bool("bound", false, "TestSeason plays what it takes away from a day's luck, one thing after the other")
	seasonLong  = flag.Int("days", 20, "days of each kitchen of TestSeason's table")
	seasonAsk   = flag.Bool("ask", true, "TestSeason's people with repairs are asked to stay longer, or to come sooner")
	seasonTell  = flag.Bool("tell", false, "TestSeason tells what was said and chosen, and what was late")
)

// arm is a way to go through the same days.
type arm struct {
	name            string
	replans, learns bool
	bound
}

var (
	neither = arm{name: "plan and alerts only"}
	both    = arm{name: "with both", replans: true, learns: true}
)

// TestSeason plays kitchens over many days: doughs as fast and as slow as the
// model says it may be off (rise.Spread, divided as in package learn), people
// late, ovens slow. Everybody does what the plan's calls say. The same days are
// gone through with and without replanning and learning. Without, what is not
// ready is looked at again every ten minutes and everything else waits for people,
// oven and dough in the plan's order; nobody comes sooner to a dough that is
// fast, and nobody folds one that has not come near its share of the way. With
// -args -season=500 the table has all four ways, with -bound what luck takes.
func TestSeason(t *testing.T) {
	t.Parallel()
	kitchens, days, arms := 10, 3, []arm{neither, both}
	if *seasonDays > 0 {
		days = *seasonLong
		kitchens = (*seasonDays + days - 1) / days
		arms = []arm{neither, {name: "with learning", learns: true}, {name: "with replanning", replans: true}, both}
		if *seasonBound {
			arms = bounds()
		}
	}
	total := playSeason(t, arms, kitchens, days)
	for i, a := range arms {
		s := total[i]
		for _, f := range s.faults[:min(len(s.faults), 20)] {
			t.Errorf("%s: %s", a.name, f)
		}
		if n := len(s.faults); n > 20 {
			t.Errorf("%s: %d faults in all", a.name, n)
		}
	}
	t.Log("\n" + table(arms, total, kitchens*days))
	// What holds of these days. Repairs to the expected moment, that do not come to a
	// dough when it may be ready, had fewer orders within five minutes than no repairs.
	// How many are on time to the minute is the table's: of so few days it is chance.
	without, with := total[0], total[len(total)-1]
	if with.insideShare() <= without.insideShare() {
		t.Errorf("doughs acted on inside their windows: %.3f with replanning and learning, %.3f without", with.insideShare(), without.insideShare())
	}
	if with.idle > without.idle {
		t.Errorf("calls to doughs not ready: %d with replanning and learning, %d without", with.idle, without.idle)
	}
	for _, row := range []struct {
		what       string
		with, want float64
	}{
		{"within 5 min", with.share(5), without.share(5) + 0.01},
		{"within 15 min", with.share(15), without.share(15) + 0.02},
		{"in time and from doughs in their windows", with.goodShare(), without.goodShare() + 0.2},
	} {
		if row.with < row.want {
			t.Errorf("%s are %.3f of the orders with replanning and learning, want %.3f", row.what, row.with, row.want)
		}
	}
	for i, s := range total {
		if s.share(15) < 0.75 || s.stuck > 0 {
			t.Errorf("%s: %.3f of the orders within 15 min, %d never out", arms[i].name, s.share(15), s.stuck)
		}
	}
}

// playSeason adds up what became of the days, by arm.
func playSeason(t *testing.T, arms []arm, kitchens, days int) []*sum {
	total := make([]*sum, len(arms))
	for i := range total {
		total[i] = newSum()
	}
	all := bakeries(t, kitchens)
	results := make([][][]result, kitchens)
	var wg sync.WaitGroup
	slots := make(chan struct{}, 2)
	for k, b := range all {
		if *seasonOne >= 0 && k != *seasonOne {
			continue
		}
		wg.Add(1)
		go func() {
			defer wg.Done()
			slots <- struct{}{}
			defer func() { <-slots }()
			var err error
			if results[k], err = b.season(t.Context(), arms, days); err != nil {
				t.Errorf("kitchen %d: %v", k, err)
			}
			for i, days := range results[k] {
				if one := sumOf(days); *seasonDays > 0 {
					t.Logf("kitchen %2d %-28.28s %-22s %s", k, b.day.Name, arms[i].name, one.row())
				}
			}
		}()
	}
	wg.Wait()
	for k := range results {
		for i, days := range results[k] {
			for _, r := range days {
				total[i].add(r)
			}
		}
	}
	return total
}

// season plays a kitchen's days in every arm.
func (b *bakery) season(ctx context.Context, arms []arm, days int) ([][]result, error) {
	out := make([][]result, len(arms))
	books := make([]learn.Book, len(arms))
	for n := range days {
		ordered := b.ordered(n)
		plain, err := schedule.PlanDay(ctx, ordered, ordered.Settings)
		if err != nil {
			return nil, err
		}
		for i, a := range arms {
			d, p := *ordered, plain
			if a.foreseen {
				d = *b.foresee(&d, &p, n)
				if p, err = schedule.PlanDay(ctx, &d, d.Settings); err != nil {
					return nil, err
				}
			}
			if a.learns && n > 0 {
				d.Learned = learned(&d, &books[i], n)
				if p, err = schedule.PlanDay(ctx, &d, d.Settings); err != nil {
					return nil, err
				}
			}
			y, err := newPlayer(b.in(a.bound), n, &d, p, a.replans)
			if err != nil {
				return nil, err
			}
			y.r.latePlan = p.Outcome.LateTotal > 0
			y.checked()
			if err := y.play(ctx); err != nil {
				return nil, err
			}
			for _, o := range y.r.observed {
				if o.Validate() == nil {
					if err := books[i].Observe(o); err != nil {
						return nil, err
					}
				}
			}
			out[i] = append(out[i], y.r)
		}
	}
	return out, nil
}

// checked holds the morning's plan to Check: it may be late, and say what else
// the nearest plan breaks.
func (y *player) checked() {
	for _, v := range schedule.Check(y.day, &y.plan) {
		says := func(o schedule.Violation) bool { return o.Code == v.Code && o.Task == v.Task }
		if v.Code != schedule.LatePromise && !slices.ContainsFunc(y.plan.Outcome.Broken, says) {
			y.fault([]string{fmt.Sprintf("the plan fails Check and does not say so: %v", v)})
		}
	}
}

// sum is the days of an arm.
type sum struct {
	result
	days, lateDays int
}

func newSum() *sum { return &sum{result: result{kinds: map[schedule.ChoiceKind]int{}}} }

func sumOf(days []result) *sum {
	s := newSum()
	for _, r := range days {
		s.add(r)
	}
	return s
}

func (s *sum) add(r result) {
	s.days++
	s.orders, s.good = s.orders+r.orders, s.good+r.good
	s.lateness = append(s.lateness, r.lateness...)
	s.rises, s.inside = s.rises+r.rises, s.inside+r.inside
	s.fridge, s.replans, s.calls, s.idle = s.fridge+r.fridge, s.replans+r.replans, s.calls+r.calls, s.idle+r.idle
	s.asked, s.longer = s.asked+r.asked, s.longer+r.longer
	s.risky, s.broken, s.stuck = s.risky+r.risky, s.broken+r.broken, s.stuck+r.stuck
	s.faults = append(s.faults, r.faults...)
	for k, n := range r.kinds {
		s.kinds[k] += n
	}
	if r.latePlan {
		s.lateDays++
	}
}

// share is the share of orders no more than so many minutes late.
func (s *sum) share(late float64) float64 {
	n := 0
	for _, l := range s.lateness {
		if l <= late {
			n++
		}
	}
	return float64(n) / float64(max(1, s.orders))
}

// mean is the mean lateness, early counted as on time.
func (s *sum) mean() float64 {
	late := 0.0
	for _, l := range s.lateness {
		late += max(0, l)
	}
	return late / float64(max(1, len(s.lateness)))
}

func (s *sum) insideShare() float64 { return float64(s.inside) / float64(max(1, s.rises)) }

func (s *sum) goodShare() float64 { return float64(s.good) / float64(max(1, s.orders)) }

func (s *sum) row() string {
	per := func(n int) float64 { return float64(n) / float64(max(1, s.days)) }
	return fmt.Sprintf("%6.1f %6.1f %6.1f %8.1f %8.1f %6.1f %7.2f %8.1f %7.1f %7.1f %6d %6d %6d %6d", 100*s.share(0), 100*s.share(5), 100*s.share(15), s.mean(), 100*s.insideShare(), 100*s.goodShare(),
		per(s.fridge), per(s.replans), per(s.calls), per(s.idle), s.lateDays, s.risky, s.broken, len(s.faults))
}

func table(arms []arm, total []*sum, days int) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%d days, %d loads of orders, %d rises acted on\n", days, total[0].orders, total[0].rises)
	fmt.Fprintf(&b, "%-22s %6s %6s %6s %8s %8s %6s %7s %8s %7s %7s %6s %6s %6s %6s\n", "", "on", "within", "within", "mean", "doughs", "both", "fridge", "replans", "calls", "idle", "late", "risky", "broken", "faults")
	fmt.Fprintf(&b, "%-22s %6s %6s %6s %8s %8s %6s %7s %8s %7s %7s %6s %6s %6s %6s\n", "", "time %", "5 min", "15 min", "late min", "inside %", "%", "per day", "per day", "per day", "calls", "plans", "plans", "plans", "")
	for i, a := range arms {
		fmt.Fprintf(&b, "%-22s %s\n", a.name, total[i].row())
	}
	for i, a := range arms {
		if a.replans {
			fmt.Fprintf(&b, "%s, choices taken:", a.name)
			for _, k := range slices.Sorted(maps.Keys(total[i].kinds)) {
				fmt.Fprintf(&b, " %s %d", k, total[i].kinds[k])
			}
			fmt.Fprintf(&b, "; people asked %d times, there %d min longer\n", total[i].asked, total[i].longer)
		}
	}
	return b.String()
}
