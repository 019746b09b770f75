package view

import (
	"fmt"
	"math"
	"time"

	"ovenward/schedule"
)

// slots hands out places side by side to things that overlap in time: the first
// that is free for all of it.
type slots struct {
	until []time.Time
}

// take finds n neighbouring free slots; beyond the given ones it goes on to the
// right, where too much shows.
func (s *slots) take(n int, at stretch) int {
	for i := 0; ; i++ {
		for len(s.until) < i+n {
			s.until = append(s.until, time.Time{})
		}
		free := true
		for _, u := range s.until[i : i+n] {
			free = free && !u.After(at.from)
		}
		if free {
			for k := i; k < i+n; k++ {
				s.until[k] = at.to
			}
			return i
		}
	}
}

// strip is a part of a column's width.
type strip struct{ off, w float64 }

// inOven hands out the width of an oven's column: trays side by side or, where
// decks are told apart, a strip for each deck and in it the share it is filled to.
type inOven struct {
	*drafter
	oven  schedule.Oven
	w     float64
	trays slots
	decks []onShelf
}

// onShelf is what lies on a deck for a while.
type onShelf struct {
	strip
	stretch
	deck int
}

func (in *inOven) put(t *schedule.Task) (out []strip) {
	at := stretch{t.Start, t.End}
	for _, on := range t.Decks {
		if takes := in.oven.Takes(on.Of); on.Deck <= len(takes) && takes[on.Deck-1] > 0 {
			out = append(out, in.shelve(on.Deck-1, float64(on.Items)/float64(takes[on.Deck-1]), at))
		}
	}
	if len(out) == 0 {
		n := in.drafter.trays(t)
		out = append(out, strip{float64(in.trays.take(n, at)) * in.tray, float64(n) * in.tray})
	}
	return out
}

// shelve finds the first place on a deck that is free for all of a while.
func (in *inOven) shelve(deck int, share float64, at stretch) strip {
	whole := in.w / float64(in.oven.Decks)
	b := strip{float64(deck) * whole, min(share, 1) * whole}
	last := float64(deck+1)*whole - b.w
	for again := true; again; {
		again = false
		for _, x := range in.decks {
			meets := x.deck == deck && x.from.Before(at.to) && at.from.Before(x.to) && x.off < b.off+b.w-1e-6 && b.off < x.off+x.w-1e-6
			if meets && x.off+x.w <= last+1e-6 {
				b.off, again = x.off+x.w, true
			}
		}
	}
	in.decks = append(in.decks, onShelf{b, at, deck})
	return b
}

// ovens draws a column per oven, as wide as its trays: what bakes, how hot, and
// a rising triangle while it heats.
func (d *drafter) ovens() {
	for _, o := range d.Day.Kitchen.Ovens {
		w := d.ovenWidth(o)
		sub := ""
		if d.words {
			sub = count(o.Trays(), "tray")
			if d.Day.Kitchen.ByDeck() {
				sub = count(o.Decks, "deck")
			}
		}
		x := d.reserve(w, head{Name: o.Name, Sub: sub})
		d.frame(x, w)
		d.oldBakes(x, w, o)
		inside := inOven{drafter: d, oven: o, w: w}
		for i := range d.Plan.Tasks {
			t := &d.Plan.Tasks[i]
			if t.Oven != o.Name {
				continue
			}
			if t.Kind == schedule.Preheat {
				d.preheat(x, w, t)
				continue
			}
			lines := []string{d.of(t)}
			if d.words {
				lines = append(lines, t.Celsius.String())
			}
			for _, b := range inside.put(t) {
				said := lines
				if b.w < d.column/2 {
					said = lines[:1]
				}
				d.block(x, b.off, b.w, w, stretch{t.Start, t.End}, t.ID, "f-heat", "", said...)
			}
		}
	}
}

// places draws a column for every warm or cold place in use, as wide as its
// spaces.
func (d *drafter) places() {
	for _, p := range d.Day.Kitchen.Places {
		if p.Kind == schedule.Room {
			continue
		}
		var s slots
		type held struct {
			stretch
			t       *schedule.Task
			slot, n int
		}
		var all []held
		for i := range d.Plan.Tasks {
			t := &d.Plan.Tasks[i]
			if in, ok := inPlace(t, p.Name); ok {
				n := d.spaces(t)
				all = append(all, held{in, t, s.take(n, in), n})
			}
		}
		if len(all) == 0 {
			continue
		}
		n := p.Spaces
		if n == 0 {
			n = len(s.until)
		}
		slot := max(14, d.column/float64(n))
		w := slot * float64(n)
		x := d.reserve(w, head{Name: p.Name, Sub: count(n, "space")})
		d.frame(x, w)
		class := "f-ferment"
		if p.Kind == schedule.Cold {
			class = "f-cold"
		}
		for _, h := range all {
			d.block(x, float64(h.slot)*slot, float64(h.n)*slot, w, h.stretch, h.t.ID, class, string(p.Kind), d.of(h.t))
		}
	}
}

// inPlace is when a task's dough stands in a place: all the time, or for the
// while that a rescue puts it there, or until one takes it out.
func inPlace(t *schedule.Task, place string) (stretch, bool) {
	in, out := t.Start, t.End
	switch r := t.Rescue; {
	case r == nil:
	case (r.Kind == schedule.ChillAWhile || r.Kind == schedule.ColdLater) && r.Place == place:
		return stretch{r.From, r.To}, true
	case r.Kind == schedule.FinishWarm && r.Place == place:
		return stretch{r.From, t.End}, t.End.After(r.From)
	case r.Kind == schedule.FinishWarm:
		out = r.From
	case r.Kind == schedule.ColdLater:
		in = r.To
	}
	return stretch{in, out}, t.Place == place && out.After(in)
}

func (d *drafter) frame(x, w float64) {
	d.ruled.box(x, axisTop, w, d.axis.height()-axisFoot-axisTop)
}

// block is one thing in an oven or a place, at an offset from the column's left
// edge; what does not fit into the column is struck.
func (d *drafter) block(x, off, w, col float64, at stretch, task, class, pattern string, lines ...string) {
	y, h := d.axis.y(at.from), d.height(at)
	var p pen
	p.box(x+off+1, y, w-2, h)
	d.front = append(d.front, path{Class: "block " + class, D: p.String(), Task: task})
	if pattern != "" {
		d.front = append(d.front, path{Class: "texture", D: p.String(), Fill: d.id + pattern})
	}
	if off+w > col+0.1 {
		d.front = append(d.front, path{Class: "clash", D: p.String(), Fill: d.id + "struck"})
	}
	for i, s := range lines {
		d.say(label{text: s, class: "note", x: x + off + w/2, anchor: 0.5, pointX: math.NaN(),
			want: y + h/2 + lineHeight*(float64(i)-float64(len(lines)-1)/2)})
	}
}

// preheat is a triangle that grows until the oven is hot.
func (d *drafter) preheat(x, w float64, t *schedule.Task) {
	y1, y2 := d.axis.y(t.Start), d.axis.y(t.End)
	var p pen
	p.op('M', x, y1).op('L', x+w, y2).op('H', x).op('z')
	d.front = append(d.front, path{Class: "preheat", D: p.String(), Task: t.ID})
	if !d.words {
		return
	}
	d.say(label{text: "to " + t.Celsius.String(), class: "note", x: x + w/2, anchor: 0.5, want: (y1 + y2) / 2, pointX: math.NaN()})
}

func (d *drafter) of(t *schedule.Task) string {
	if t.Portion != "" {
		return t.Portion
	}
	return t.Batch
}

// trays is how many trays a portion takes.
func (d *drafter) trays(t *schedule.Task) int {
	for _, b := range d.Plan.Batches {
		for _, p := range b.Portions {
			if p.ID == t.Portion {
				return max(p.Trays, 1)
			}
		}
	}
	return 1
}

// spaces is how many spaces a waiting dough takes: its trays, or a tub for
// every so many grams of whole dough.
func (d *drafter) spaces(t *schedule.Task) int {
	if t.Portion != "" {
		return d.trays(t)
	}
	for _, b := range d.Plan.Batches {
		if b.ID == t.Batch && t.Part == "" && d.Day.Kitchen.Tub > 0 {
			return max(1, int(math.Ceil(float64(b.Mass)/float64(d.Day.Kitchen.Tub))))
		}
	}
	return 1
}

// caption says in a sentence what the drawing is, for those who do not see it.
func (d Drawing) caption() string {
	return fmt.Sprintf("Drawing of the day in %d columns: hands, doughs, ovens and places, hours running down. The table holds the same.", len(d.Heads))
}
