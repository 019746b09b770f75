package view

import (
	"slices"
	"time"

	"ovenward/schedule"
)

const (
	barWidth  = 15.0
	barLetter = 12.0 // px of height from which a bar without words has a letter
)

// bar is a stretch of one person's work.
type bar struct {
	stretch
	what string
	of   string // batch
	chip string // how much it has moved
	task string
	done bool
}

// people draws a column of solid blocks for every person.
func (d *drafter) people() {
	for _, b := range d.Day.Kitchen.Bakers {
		bars := d.bars(b.Name)
		if len(bars) == 0 {
			continue
		}
		h := head{Name: b.Name, Sub: "hands", Hands: true}
		if !d.words {
			h.Short, h.Sub = opening(b.Name, 2), ""
		}
		x := d.reserve(d.handsWidth(), h)
		d.oldHands(x, b.Name)
		d.ruled.line(x+barWidth/2, axisTop, x+barWidth/2, d.axis.height()-axisFoot)
		for _, r := range bars {
			d.bar(x, r)
		}
		d.clashes(x, bars)
	}
}

// bars collects a person's work; the same stage of several portions without a
// pause between is one bar.
func (d *drafter) bars(baker string) []bar {
	var out []bar
	for i := range d.Plan.Tasks {
		t := &d.Plan.Tasks[i]
		for k, h := range t.Hands {
			if h.Baker == baker {
				out = append(out, bar{stretch{h.From, h.To}, d.Words.Short(t, k), t.Batch, chip(d.moved(t)), t.ID, d.Done[t.ID]})
			}
		}
	}
	slices.SortStableFunc(out, func(a, b bar) int { return a.from.Compare(b.from) })
	return out
}

func (d *drafter) bar(x float64, r bar) {
	top, h := d.axis.y(r.from), d.height(r.stretch)
	var p pen
	p.box(x, top, barWidth, max(h-1, 1.5))
	class := "bar"
	if r.done {
		class = "bar done"
	}
	if d.words {
		d.front = append(d.front, path{Class: class, D: p.String(), Task: r.task})
	} else if r.done {
		d.done = append(d.done, p...)
	} else {
		d.todo = append(d.todo, p...)
	}
	text, kind := r.what, "hand"
	if r.chip != "" {
		text, kind = r.what+" "+r.chip, "hand chipt"
	}
	if !d.words {
		if h >= barLetter {
			d.strips = append(d.strips, label{text: r.of, class: "inbar", x: x + barWidth/2, anchor: 0.5, y: top + h/2})
		}
		if text = r.chip; text == "" {
			return
		}
	}
	d.say(label{text: text, class: kind, x: x + barWidth + 7, want: top + min(h, lineHeight)/2, pointX: x + barWidth + 1})
}

// height is how tall a stretch is.
func (d *drafter) height(s stretch) float64 { return d.axis.y(s.to) - d.axis.y(s.from) }

// clashes strikes out where one person would do two things at once.
func (d *drafter) clashes(x float64, bars []bar) {
	var busyTill time.Time
	for _, b := range bars {
		if b.from.Before(busyTill) {
			end := busyTill
			if b.to.Before(end) {
				end = b.to
			}
			s := stretch{b.from, end}
			var p pen
			p.box(x-3, d.axis.y(s.from), barWidth+6, max(d.height(s), 3))
			d.front = append(d.front, path{Class: "clash", D: p.String(), Fill: d.id + "struck"})
			d.say(label{text: "2 at once " + span(s.from, s.to), class: "late", x: x + barWidth + 7, want: d.axis.y(s.from) + 6, pointX: x + barWidth + 3})
		}
		if b.to.After(busyTill) {
			busyTill = b.to
		}
	}
}

// Short is a task in the fewest words, for the hands column: "Mix A".
func (w Words) Short(t *schedule.Task, hand int) string {
	of := t.Portion
	if of == "" {
		of = t.Batch
	}
	if t.Part != "" {
		of = t.Part
	}
	if t.Kind == schedule.Bake {
		if hand == 0 {
			return "Load " + of
		}
		return "Unload " + of
	}
	return w.verbShort(t.Kind) + " " + of
}

// opening is the first letters of a name.
func opening(name string, n int) string {
	r := []rune(name)
	return string(r[:min(n, len(r))])
}
