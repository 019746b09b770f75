package view

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"ovenward/schedule"
	"ovenward/store/record"
)

// TotalsModel is what a day or a week needs.
type TotalsModel struct {
	At        string // the page's own address
	Week      string // its first date; "" for one day
	Title     string
	From      time.Time
	Zone      string
	Form      Form // the allowance
	Days      []TotalsDay
	Unplanned []record.Day
	Total     []schedule.Need
	Buy       []schedule.Need // with the allowance
}

// TotalsDay is what one planned day needs.
type TotalsDay struct {
	Name, At string // and the address of its own totals
	Day      *schedule.Day
	Plan     *schedule.Plan
	Bowls    []schedule.Bowl
	TakeOuts []schedule.TakeOut
}

// lost says whether dough was thrown away that is in none of the bowls.
func (d TotalsDay) lost() bool {
	return slices.ContainsFunc(d.Plan.Lost, func(l schedule.Loss) bool {
		return !slices.ContainsFunc(d.Plan.Batches, func(b schedule.Batch) bool { return b.ID == l.Batch.ID })
	})
}

// batchBowls are the bowls of one batch.
type batchBowls struct {
	Title string
	Bowls []schedule.Bowl
}

// batches are the day's bowls, batch by batch.
func (d TotalsDay) batches() (all []batchBowls) {
	for _, b := range d.Plan.Batches {
		one := batchBowls{Title: b.ID + " " + b.Name + ", " + Scale(b.Mass)}
		for _, w := range d.Bowls {
			if w.Batch == b.ID {
				one.Bowls = append(one.Bowls, w)
			}
		}
		all = append(all, one)
	}
	return all
}

// bowlName says what a bowl is.
func bowlName(b schedule.Bowl) string {
	switch {
	case b.Portion != "":
		return "Into " + b.Portion + " " + b.Name
	case b.Part != "":
		return upper(b.Part)
	}
	return "Dough"
}

// bulk is a weight as it is bought: kilograms from one on, and how many there
// are of what is counted.
func bulk(n schedule.Need) string {
	s := n.Grams.String()
	if k := n.Pieces(); k > 0 {
		s += fmt.Sprintf(", %.0f\u00a0×\u00a0%s", math.Ceil(k-1e-9), n.Each)
	}
	return s
}

// called says how much of it is called what, "" where it has one word.
func called(n schedule.Need) string {
	var words []string
	for _, w := range n.Words {
		words = append(words, w.Label+" "+w.Grams.String())
	}
	return strings.Join(words, "; ")
}

// takeLine says what is taken out.
func takeLine(t schedule.TakeOut) string {
	if t.Needs == nil {
		s := t.Batch + " " + t.Name
		if t.Portion != "" {
			s = t.Portion + " " + t.Name
			if t.Pieces > 0 {
				s = fmt.Sprintf("%s, %s", s, count(t.Pieces, "piece"))
			}
		} else if t.Part != "" {
			s = t.Part + ", " + s
		}
		return upper(s) + ", from the " + t.Place
	}
	var words []string
	for _, n := range t.Needs {
		words = append(words, n.Label+" "+bulk(n))
	}
	return upper(strings.Join(words, "; "))
}

// takeFor says what for.
func (w Words) takeFor(t schedule.TakeOut) string {
	if t.Next == "" {
		return "ready then"
	}
	of := t.Batch + " " + t.Name
	if t.Portion != "" {
		of = t.Portion + " " + t.Name
	}
	s := w.Verb(t.Next) + ", " + of
	if t.Needs == nil {
		return s
	}
	if t.Part != "" {
		s += ", " + t.Part
	}
	s += ", at " + Clock(t.Begin, t.At)
	if t.Short {
		s += ". Nobody is there sooner: it will still be cold"
	}
	return s
}

// end is the day the plan's work ends on, whose clock times stand without weekday.
func (d TotalsDay) end() time.Time { return d.Plan.Outcome.WorkEnd }

// bought is what is bought of a need, "from the tap" for water.
func (m TotalsModel) bought(n schedule.Need) string {
	for _, b := range m.Buy {
		if b.Label == n.Label && b.Food == n.Food {
			return bulk(b)
		}
	}
	return "from the tap"
}

// allowed says how much is bought beyond the need.
func allowed(m TotalsModel) string {
	text := m.Form.get("allow")
	if text == "" || len(m.Form.Faults) > 0 {
		return ""
	}
	return ", " + text + "\u00a0% more"
}
