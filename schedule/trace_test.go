package schedule_test

import (
	"strings"
	"testing"

	"ovenward/schedule"
	"ovenward/schedule/unit"
)

// A trace runs forward without a gap, from the mix to the oven, between the
// coldest and the warmest the dough has met; and at the best moment of a first
// rise it shows the volume the rise was for.
func TestTracesOfPlans(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"example", "cold-kitchen", "hot-afternoon", "three-breads-one-dough", "retard-clocks-back", "single-pan-loaf"} {
		d := dayOf(t, name)
		p := kept(t, d)
		traces, err := schedule.Traces(d, &p)
		if err != nil {
			t.Fatal(err)
		}
		tasks := map[string]schedule.Task{}
		for _, task := range p.Tasks {
			tasks[task.ID] = task
		}
		low, high := extremes(d)
		shares := map[string]bool{}
		for _, tr := range traces {
			shares[tr.Portion] = true
			for i, pt := range tr.Points {
				if i > 0 && pt.At.Before(tr.Points[i-1].At) {
					t.Errorf("%s: %s%s goes back to %v", name, tr.Batch, tr.Portion, pt.At)
				}
				if i > 0 && pt.At.Sub(tr.Points[i-1].At).Minutes() > 10 {
					t.Errorf("%s: %s%s has nothing from %v to %v", name, tr.Batch, tr.Portion, tr.Points[i-1].At, pt.At)
				}
				if pt.Mean < low || pt.Mean > high || pt.Core < low || pt.Core > high {
					t.Errorf("%s: %s at %v is %v, core %v; what it has met is %v to %v", name, pt.Task, pt.At, pt.Mean, pt.Core, low, high)
				}
				if pt.Expansion < 1 || pt.Expansion > 4 {
					t.Errorf("%s: %s stands at %v times its volume", name, pt.Task, pt.Expansion)
				}
				if task := tasks[pt.Task]; task.Kind == schedule.Bake || task.Kind == schedule.Cool {
					t.Errorf("%s: %s still rises at %v", name, pt.Task, pt.At)
				}
				if _, known := tasks[pt.Task]; !known && pt.Task != "" {
					t.Errorf("%s: no task %q", name, pt.Task)
				}
			}
			firstRise(t, d, &p, &tr)
		}
		for _, b := range p.Batches {
			for _, q := range b.Portions {
				if !shares[q.ID] {
					t.Errorf("%s: no trace of %s", name, q.ID)
				}
			}
		}
	}
}

// extremes are the coldest and the warmest of a day's places and mixes, with
// two kelvins for the warmth of fermentation.
func extremes(d *schedule.Day) (low, high unit.Celsius) {
	low, high = 26, 26
	meet := func(t unit.Celsius) { low, high = min(low, t), max(high, t+2) }
	for _, p := range d.Kitchen.Places {
		for _, r := range p.Curve {
			meet(r.Celsius)
		}
	}
	stages := func(method []schedule.Stage) {
		for _, s := range method {
			if s.Dough > 0 {
				meet(s.Dough)
			}
		}
	}
	for _, b := range d.Bases {
		stages(b.Method)
	}
	for _, b := range d.Breads {
		stages(b.Method)
	}
	return low, high
}

// firstRise reads the volume at the best moment of a whole dough's first rise,
// where the trace shows that moment to ten minutes.
func firstRise(t *testing.T, d *schedule.Day, p *schedule.Plan, tr *schedule.Trace) {
	t.Helper()
	if tr.Portion != "" || tr.Part != "" {
		return
	}
	for _, task := range p.Tasks {
		if task.Batch != tr.Batch || task.Portion != "" || task.Part != "" || task.Kind != schedule.Rise || task.Chilled {
			continue
		}
		want := stageOf(d, &task).Until.Ratio()
		for _, pt := range tr.Points {
			if away := pt.At.Sub(task.Window.Best).Minutes(); away >= 0 && away < 5 && strings.HasPrefix(pt.Task, task.ID) {
				if pt.Expansion < want*0.93 || pt.Expansion > want*1.12 {
					t.Errorf("%s at its best stands at %.2f, want %.2f", task.ID, pt.Expansion, want)
				}
			}
		}
		return
	}
}

// stageOf is the stage of a whole dough's task.
func stageOf(d *schedule.Day, task *schedule.Task) schedule.Stage {
	for _, b := range d.Bases {
		if b.Name == task.Name {
			return b.Method[task.Stage]
		}
	}
	for _, b := range d.Breads {
		if b.Name == task.Name {
			return b.Method[task.Stage]
		}
	}
	return schedule.Stage{}
}

// A plan that lacks a task has no traces, but says so.
func TestTracesOfAPlanThatLacksATask(t *testing.T) {
	t.Parallel()
	d := dayOf(t, "single-pan-loaf")
	whole := planned(t, d)
	for i, task := range whole.Tasks {
		if task.Kind == schedule.Preheat {
			continue
		}
		p := whole
		p.Tasks = append(append([]schedule.Task{}, whole.Tasks[:i]...), whole.Tasks[i+1:]...)
		if _, err := schedule.Traces(d, &p); err == nil || !strings.Contains(err.Error(), task.ID) {
			t.Errorf("without %s: %v, want an error that names it", task.ID, err)
		}
	}
}
