package bundle

import (
	"fmt"
	"regexp"
	"strings"
	"time"

	"ovenward/schedule"
	"ovenward/store/record"
)

// inspection looks for every reference within a bundle that leads nowhere, every
// ID given twice and every word the store does not know.
type inspection struct {
	faults schedule.Faults
	zones  zones
	bases  map[string]bool
	breads map[string]bool
	days   map[int64]bool
	taps   map[string]bool
	alerts map[int64]bool
	keys   map[string]bool // of repairs
}

// mostFaults is how many faults are worth reading.
const mostFaults = 50

func newInspection() *inspection {
	return &inspection{zones: zones{}, bases: map[string]bool{}, breads: map[string]bool{}, days: map[int64]bool{}, taps: map[string]bool{}, alerts: map[int64]bool{}, keys: map[string]bool{}}
}

// library looks at what days refer to.
func (v *inspection) library(f *file) {
	for i, base := range f.Bases {
		at := fmt.Sprintf("bases[%d].id", i)
		once(v, v.bases, base.ID, at)
		v.slug(base.ID, at)
	}
	for i, bread := range f.Breads {
		at := fmt.Sprintf("breads[%d]", i)
		once(v, v.breads, bread.ID, at+".id")
		v.slug(bread.ID, at+".id")
		v.want(bread.Base == "" || v.bases[bread.Base], at+".base", "there is no base dough %q in the file", bread.Base)
	}
}

// rest looks at what refers to breads and days.
func (v *inspection) rest(b *Bundle) {
	foods := map[string]bool{}
	for i, f := range b.Foods {
		at := fmt.Sprintf("foods[%d].id", i)
		once(v, foods, f.ID, at)
		v.slug(f.ID, at)
	}
	keys := map[string]bool{}
	for i, s := range b.Settings {
		at := fmt.Sprintf("settings[%d]", i)
		once(v, keys, s.Key, at+".key")
		v.want(s.Value != "", at+".value", "%q is set to nothing", s.Key)
	}
	v.learned(b.Learned)
	v.standing(b)
	v.readings(b.Readings)
}

func (v *inspection) want(ok bool, where, what string, args ...any) {
	if !ok {
		v.fault(schedule.Fault{Where: where, What: fmt.Sprintf(what, args...), Remedy: "give the file as it was exported"})
	}
}

func (v *inspection) fault(f schedule.Fault) {
	if len(v.faults) < mostFaults {
		v.faults = append(v.faults, f)
	}
}

// slug wants an ID that leads to its page.
func (v *inspection) slug(id, where string) {
	v.want(id == "" || schedule.IsSlug(id), where, "%q is no short name: small letters, digits and single hyphens", id)
}

// once wants an ID that is given and given only here.
func once[K comparable](v *inspection, seen map[K]bool, id K, where string) {
	var none K
	v.want(id != none, where, "no ID is given")
	v.want(!seen[id], where, "%v is given twice", id)
	seen[id] = true
}

func (v *inspection) day(at string, d *Day) {
	once(v, v.days, d.ID, at+".id")
	_, err := time.Parse(time.DateOnly, d.Date)
	v.want(err == nil, at+".date", "%q is not a date", d.Date)
	v.want(!d.Updated.IsZero(), at+".updated", "when it was changed is not given")
	loc, known := v.zones.in(d.Zone)
	v.want(known, at+".zone", "there is no time zone %q", d.Zone)
	for i, o := range d.Orders {
		order := fmt.Sprintf("%s.orders[%d]", at, i)
		v.want(v.breads[o.Bread], order+".bread", "there is no bread %q in the file", o.Bread)
		if known && o.Promise() != "" {
			_, unclear := o.Promise().In(loc)
			v.want(unclear == nil, order, "its promise is not one moment: %v", unclear)
		}
	}
	plans := map[int]bool{}
	for i, p := range d.Plans {
		plan := fmt.Sprintf("%s.plans[%d]", at, i)
		once(v, plans, p.Version, plan+".version")
		v.want(!p.Saved.IsZero(), plan+".saved", "when it was made is not given")
		v.want(p.Version > 0 && p.Version <= d.Version, plan+".version", "the day's newest plan is %d", d.Version)
		_, known := v.zones.in(p.Plan.Zone)
		v.want(known, plan+".plan.zone", "there is no time zone %q", p.Plan.Zone)
	}
	v.want(d.Version == 0 || plans[d.Version], at+".version", "the day's newest plan, %d, is not in the file", d.Version)
	v.dayTaps(at, d, plans)
	v.dayAlerts(at, d, plans)
	v.dayRepairs(at, d, plans)
}

var tapKind = regexp.MustCompile(`^[a-z][a-z-]{0,30}$`)

func (v *inspection) dayTaps(at string, d *Day, plans map[int]bool) {
	here, undone := map[string]bool{}, map[string]bool{}
	for i, t := range d.Taps {
		tap := fmt.Sprintf("%s.taps[%d]", at, i)
		once(v, v.taps, t.ID, tap+".id")
		v.want(len(t.ID) <= 64, tap+".id", "an ID has at most 64 letters")
		v.want(plans[t.Version], tap+".version", "the day has no plan %d", t.Version)
		v.want(tapKind.MatchString(string(t.Kind)), tap+".kind", "%q is not a kind of tap", t.Kind)
		v.want(!t.At.IsZero() && !t.Recorded.IsZero(), tap, "a tap needs its time")
		v.want((t.Kind == record.Undo) == (t.Of != ""), tap, "an undo, and nothing else, names the tap it takes back")
		if t.Of != "" {
			v.want(here[t.Of], tap+".of", "there is no tap %q before it", t.Of)
			v.want(!undone[t.Of], tap+".of", "%q is taken back twice", t.Of)
			undone[t.Of] = true
		}
		here[t.ID] = true
	}
}

func (v *inspection) dayAlerts(at string, d *Day, plans map[int]bool) {
	type call struct {
		version int
		task    string
		kind    schedule.AlertKind
	}
	here, calls := map[int64]bool{}, map[call]bool{}
	for i, a := range d.Alerts {
		alert := fmt.Sprintf("%s.alerts[%d]", at, i)
		once(v, v.alerts, a.ID, alert+".id")
		once(v, calls, call{a.Version, a.Task, a.Kind}, alert)
		here[a.ID] = true
		v.want(plans[a.Version], alert+".version", "the day has no plan %d", a.Version)
		v.want(a.Class == schedule.NowOrLost || a.Class == schedule.Due || a.Class == schedule.HeadsUp, alert+".class", "%q is no class of call", a.Class)
		v.want(state(a.State), alert+".state", "%q is no state of a call", a.State)
		v.want(!a.Due.IsZero() && !a.Changed.IsZero(), alert, "a call needs its time")
	}
	for i, t := range d.Log {
		step := fmt.Sprintf("%s.log[%d]", at, i)
		v.want(here[t.Alert], step+".alert", "the day has no call %d", t.Alert)
		v.want(state(t.To) && (t.From == "" || state(t.From)), step, "%q to %q is no step of a call", t.From, t.To)
		v.want(!t.At.IsZero(), step, "a step needs its time")
	}
}

func (v *inspection) dayRepairs(at string, d *Day, plans map[int]bool) {
	taps, said := map[string]bool{}, map[string]bool{}
	for _, t := range d.Taps {
		taps[t.ID] = true
	}
	for i, s := range d.Slips {
		slip := fmt.Sprintf("%s.slips[%d]", at, i)
		once(v, said, s.ID, slip+".id")
		v.want(taps[s.ID], slip+".id", "the day has no tap %q", s.ID)
		v.want(s.Kind != "" && !s.At.IsZero(), slip, "what happened needs its kind and its time")
	}
	versions := map[int]bool{}
	for i, r := range d.Repairs {
		repair := fmt.Sprintf("%s.repairs[%d]", at, i)
		once(v, versions, r.Version, repair+".version")
		once(v, v.keys, r.Key, repair+".key")
		v.want(plans[r.Version], repair+".version", "the day has no plan %d", r.Version)
		v.want(plans[r.Base] && r.Base < r.Version, repair+".base", "%d is no earlier plan of the day", r.Base)
	}
}

func (v *inspection) learned(all []Lesson) {
	seen := map[string]bool{}
	for i, l := range all {
		at := fmt.Sprintf("learned[%d]", i)
		once(v, seen, l.Slip, at+".tap")
		v.want(l.Observation.Day == 0 || v.days[l.Observation.Day], at+".day", "there is no day %d in the file", l.Observation.Day)
		v.want(!l.At.IsZero(), at, "what was seen needs its time")
		err := l.Lesson.Observation.Validate()
		v.want(err == nil, at+".seen", "%v", err)
	}
}

func (v *inspection) standing(b *Bundle) {
	ids := map[string]bool{}
	for i := range b.Standing {
		s, at := &b.Standing[i], fmt.Sprintf("standing[%d]", i)
		once(v, ids, s.ID, at+".id")
		v.slug(strings.ToLower(s.ID), at+".id")
		v.want(v.breads[s.Bread], at+".bread", "there is no bread %q in the file", s.Bread)
		for _, f := range s.Validate() {
			f.Where = at + "." + f.Where
			v.fault(f)
		}
	}
	dates, days := map[string]bool{}, map[int64]bool{}
	for i, c := range b.Comings {
		at := fmt.Sprintf("comings[%d]", i)
		once(v, dates, c.Date, at+".date")
		_, err := time.Parse(time.DateOnly, c.Date)
		v.want(err == nil, at+".date", "%q is not a date", c.Date)
		if c.Day != 0 {
			once(v, days, c.Day, at+".day")
			v.want(v.days[c.Day], at+".day", "there is no day %d in the file", c.Day)
		}
	}
}

func (v *inspection) readings(all []Reading) {
	ids := map[string]bool{}
	for i, r := range all {
		at := fmt.Sprintf("readings[%d]", i)
		once(v, ids, r.ID, at+".id")
		v.want(len(r.ID) <= 64, at+".id", "an ID has at most 64 letters")
		v.want(!r.At.IsZero() && r.Minute >= 0 && r.Minute < 24*60, at, "a reading needs its time")
		v.want(r.Celsius >= -40 && r.Celsius <= 120, at+".celsius", "%g °C is no temperature of a place", float64(r.Celsius))
	}
}

func state(s record.AlertState) bool {
	switch s {
	case record.Scheduled, record.Rung, record.Acked, record.Done, record.Suppressed, record.Missed,
		record.Shelved, record.Past:
		return true
	}
	return false
}
