package schedule

import (
	"math"
	"slices"
	"time"

	"ovenward/schedule/dough"
	"ovenward/schedule/learn"
	"ovenward/schedule/rise"
	"ovenward/schedule/simulate"
)

// Lesson is what one sighting teaches: how long the model, uncorrected, takes
// to what was seen, and how long the dough took; or how warm it was wanted off the
// mixer, and how warm it was.
type Lesson struct {
	Slip  string    // ID of the sighting
	Task  string    // ID of the rise
	At    time.Time // when it was seen
	Dough string    // ID of the base or bread it tells of
	Name  string    // of that dough
	learn.Observation
}

// Observe gives what the sightings of a log teach, in the order of the log. Only
// what was seen counts: work begun when the plan called for it says nothing of
// the dough, and a guess of how much longer it takes is none either. Dough that
// was thrown away has taught what it has. d is the day as it was before the log.
func Observe(d *Day, p *Plan, log []Slip, now time.Time) ([]Lesson, error) {
	if see(log) == nil {
		return nil, nil
	}
	log = slices.DeleteFunc(slices.Clone(log), func(s Slip) bool { return s.Kind == DoughLost })
	p = p.putBack(log, now)
	r, err := newRepair(d, p, log, now, d.Settings, false)
	if err != nil {
		return nil, err
	}
	var out []Lesson
	for _, s := range log {
		o, ok := r.seen.taught[s.ID]
		t := p.Task(s.Task)
		if !ok || t == nil {
			continue
		}
		b := slices.IndexFunc(p.Batches, func(b Batch) bool { return b.ID == t.Batch })
		if b < 0 {
			continue
		}
		o.Day = dayOf(s.At)
		o.Bread = likeness(p.Batches[b].Dough, t)
		if o.Validate() == nil {
			out = append(out, Lesson{s.ID, s.Task, s.At, p.Batches[b].Dough, p.Batches[b].Name, o})
		}
	}
	return out, nil
}

// dayOf numbers days.
func dayOf(t time.Time) int { return int(math.Floor(float64(t.Unix()) / 86400)) }

// likeness names what errs alike: bulk rise and proof of a dough err apart, and
// so do its preferments.
func likeness(dough string, t *Task) string {
	if t.Part != "" {
		return dough + "/" + t.Part
	}
	return dough + "/" + string(t.Kind)
}

// note keeps what a sighting says of its dough. Of "not yet" only the bound is
// kept: the minutes given with it are a guess.
func (v *sightings) note(s Slip, read []learn.Observation, r learn.Regime) {
	if len(read) > 0 {
		o := read[0]
		o.Regime = r
		v.teach(s, o)
	}
}

func (v *sightings) teach(s Slip, o learn.Observation) {
	if v.taught == nil {
		v.taught = map[string]learn.Observation{}
	}
	v.taught[s.ID] = o
}

// regimeOf is what kind of rise a dough begins.
func regimeOf(s *simulate.State, chilled bool) learn.Regime {
	switch t := s.Mean(); {
	case chilled || t < 10:
		return learn.Cold
	case t < 18 || t > 33:
		return learn.Cool
	}
	_, r := warmly(s.Kinetics())
	return r
}

// Learn fills in what a book knows of the day's doughs on a date; nothing where
// it knows nothing.
func (d *Day) Learn(b learn.Book, date time.Time) {
	d.Learned = nil
	if len(b.Seen) == 0 {
		return
	}
	f := b.Forecast(dayOf(date))
	add := func(id string, x dough.Formula, method []Stage) {
		_, r := warmly(rise.New(yeastly(x), 0, rise.Default()))
		d.Learned = append(d.Learned, Believed(f, id, r, Steered(x, method)))
	}
	for _, x := range d.Bases {
		add(x.ID, x.Formula, x.Method)
	}
	for _, x := range d.Breads {
		if x.Base == "" {
			add(x.ID, x.Formula, x.Method)
		}
	}
}
