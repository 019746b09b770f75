package schedule_test

import (
	"fmt"
	"slices"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/unit"
)

// ringer rings what is due, as alerts tell it.
type ringer struct {
	calls map[callKey]*call
	rings int
}

type callKey struct {
	task string
	kind schedule.AlertKind
}

// call is an alert with what has become of it.
type call struct {
	schedule.Alert
	celsius unit.Celsius // of a preheat
	oven    string
	dues    []time.Time // rung for
	rung    bool        // and not moved since
	done    bool
	planned bool // the plan at hand has it
}

// adopt takes over a plan's alerts: what is near and hardly moved stays, what
// was rung rings again only if its task was put off.
func (r *ringer) adopt(alerts []schedule.Alert, y *player) (faults []string) {
	for _, c := range r.calls {
		c.planned = false
	}
	now := y.at(y.now)
	for _, a := range alerts {
		k := callKey{a.Task, a.Kind}
		c := r.calls[k]
		switch {
		case c == nil:
			c = &call{Alert: a}
			r.calls[k] = c
		case c.planned:
			faults = append(faults, fmt.Sprintf("the plan has %s of %s twice", a.Kind, a.Task))
		case c.done:
		case c.rung:
			if a.Due.After(now) && a.Due.After(c.Due) {
				c.Alert, c.rung = a, false
			}
		case !c.Stays(a, now):
			c.Alert = a
		}
		c.planned = true
		if t := y.tasks[a.Task]; t.Kind == schedule.Preheat {
			c.celsius, c.oven = t.Celsius, t.Oven
		}
	}
	return faults
}

// ring rings all that has come due.
func (r *ringer) ring(y *player) {
	now := y.at(y.now)
	for k, c := range r.calls { // any order: nothing but counts depends on it
		if !c.planned || c.done || c.rung || c.Due.After(now) {
			continue
		}
		if slices.ContainsFunc(c.dues, c.Due.Equal) {
			y.fault([]string{fmt.Sprintf("%s of %s rings twice for %s", k.kind, k.task, c.Due.Format("15:04"))})
		}
		c.rung = true
		c.dues = append(c.dues, c.Due)
		r.rings++
	}
}

func (r *ringer) rung(task string, kind schedule.AlertKind) bool {
	c := r.calls[callKey{task, kind}]
	return c != nil && c.rung
}

// begun silences a task's call.
func (r *ringer) begun(task string) {
	for _, kind := range []schedule.AlertKind{schedule.CallStart, schedule.CallHeadsUp} {
		if c := r.calls[callKey{task, kind}]; c != nil {
			c.done = true
		}
	}
}

// lit says whether somebody was called to bring an oven to a temperature.
func (r *ringer) lit(oven string, t unit.Celsius) bool {
	for _, c := range r.calls { // any order: only whether
		if c.rung && c.oven == oven && c.celsius == t {
			return true
		}
	}
	return false
}

// close looks whether everything done was called for, and the last plan has a
// call for everything, once, when it was planned.
func (r *ringer) close(y *player) (faults []string) {
	for _, t := range y.plan.Tasks {
		if len(t.Hands) == 0 {
			continue
		}
		kinds := []schedule.AlertKind{schedule.CallStart}
		if t.Kind == schedule.Bake {
			kinds = append(kinds, schedule.CallUnload)
		}
		for _, kind := range kinds {
			if c := r.calls[callKey{t.ID, kind}]; c == nil || len(c.dues) == 0 {
				faults = append(faults, fmt.Sprintf("%s of %s was never called", kind, t.ID))
			}
			n := 0
			for _, a := range schedule.Alerts(&y.plan) {
				if a.Task == t.ID && a.Kind == kind {
					n++
				}
			}
			if n != 1 {
				faults = append(faults, fmt.Sprintf("the last plan has %d calls for %s of %s", n, kind, t.ID))
			}
		}
	}
	return faults
}
