package view

import (
	"fmt"
	"math"
	"strings"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/unit"
)

const (
	mixedPart = 0.36 // of the lane: the width of a dough just mixed
	splitRun  = 36.0 // px in which a dough parts into portions
)

// strand is one trace as a ribbon: where its middle runs and how wide a dough
// just mixed would be.
type strand struct {
	trace  *schedule.Trace
	centre float64 // where it runs
	from   float64 // where it parts from the whole dough
	unit   float64 // px of width at expansion 1
	lane   float64 // px it may take
	ys     []float64
	l, r   edge
}

// lanes draws every dough, its preferments above it: they end where it begins.
func (d *drafter) lanes() {
	each := d.lane()
	for i := range d.Plan.Batches {
		b := &d.Plan.Batches[i]
		n := max(len(b.Portions), 1)
		w := max(d.solo, each*float64(n))
		x := d.reserve(w, head{Name: b.ID + " " + b.Name, Sub: b.Mass.String(), Short: b.ID})
		parts := d.parts(b.ID)
		for k, t := range parts {
			lane := w / float64(len(parts))
			c := x + lane*(float64(k)+0.5)
			s := d.strand(strand{trace: t, centre: c, from: c, unit: min(lane, 1.2*d.widest) * mixedPart, lane: lane})
			if len(s.ys) > 0 {
				d.say(label{text: fit(upper(t.Part), lane+2*d.gap), class: "name", x: c, anchor: 0.5, want: s.ys[0] - 9, pointX: math.NaN()})
			}
		}
		d.dough(b, x, w)
	}
}

// parts gives the traces of a batch's preferments; a soaker, which does not
// rise, keeps the width it is made with.
func (d *drafter) parts(batch string) []*schedule.Trace {
	var out []*schedule.Trace
	at := map[string]*schedule.Trace{}
	for k := range d.Traces {
		if t := &d.Traces[k]; t.Batch == batch && t.Part != "" && len(t.Points) > 1 {
			at[t.Part] = nil
			out = append(out, t)
		}
	}
	for i := range d.Plan.Tasks {
		t := &d.Plan.Tasks[i]
		if t.Batch != batch || t.Part == "" {
			continue
		}
		tr, known := at[t.Part]
		if known && tr == nil {
			continue
		}
		if tr == nil {
			tr = &schedule.Trace{Batch: batch, Part: t.Part}
			at[t.Part] = tr
			out = append(out, tr)
		}
		for _, when := range []time.Time{t.Start, t.End} {
			tr.Points = append(tr.Points, schedule.TracePoint{At: when, Expansion: 1, Place: t.Place, Task: t.ID})
		}
	}
	return out
}

// dough draws a batch in its lane: whole until it is parted, then in portions side by side,
// each with its share of the width, so that volumes can be compared by eye.
func (d *drafter) dough(b *schedule.Batch, x, w float64) {
	n := len(b.Portions)
	each := w / float64(max(n, 1))
	lane := min(w, 2.2*d.widest)
	middle := x + w/2
	whole := strand{unit: lane * mixedPart}
	if t := d.find(b.ID, ""); t != nil {
		whole = d.strand(strand{trace: t, centre: middle, from: middle, unit: lane * mixedPart, lane: w})
	}
	shares := d.shares(b)
	for i, p := range b.Portions {
		t := d.find(b.ID, p.ID)
		if t == nil {
			continue
		}
		c := x + each*(float64(i)+0.5)
		s := d.strand(whole.part(t, c, sumTo(shares, i), shares[i], each))
		if s.ys == nil {
			continue
		}
		if y := s.ys[0]; n > 1 || whole.trace == nil {
			name := p.ID
			if d.words {
				name += fmt.Sprintf(" × %d", p.Pieces)
			}
			d.say(label{text: name, class: "name", x: c, anchor: 0.5, want: y + 44, pointX: math.NaN()})
			if d.words {
				d.say(label{text: fit(p.Name, each), class: "note", x: c, anchor: 0.5, want: y + 45, pointX: math.NaN()})
			}
		}
		d.foot(p, c)
	}
}

// shares is what part of the dough each portion takes, by mass.
func (d *drafter) shares(b *schedule.Batch) []float64 {
	out := make([]float64, len(b.Portions))
	var total float64
	for i, p := range b.Portions {
		if br, ok := d.Day.Bread(p.Bread); ok {
			out[i] = float64(br.Piece) * float64(p.Pieces)
		}
		total += out[i]
	}
	for i := range out {
		out[i] /= max(total, 1)
	}
	return out
}

// part is the strand of a portion: it leaves the whole dough where that ends,
// after the shares before it, and as wide as its own share of it.
func (s *strand) part(t *schedule.Trace, centre, before, share, lane float64) strand {
	p := strand{trace: t, centre: centre, from: centre, unit: s.unit * share, lane: lane}
	if n := len(s.ys); n > 0 {
		half := s.half(n - 1)
		p.from = s.l[n-1].x + 2*half*(before+share/2)
		p.add(s.ys[n-1], s.ys[n-1], half*share)
	}
	return p
}

func sumTo(xs []float64, n int) (s float64) {
	for _, x := range xs[:n] {
		s += x
	}
	return s
}

func (d *drafter) find(batch, portion string) *schedule.Trace {
	for k := range d.Traces {
		if t := &d.Traces[k]; t.Batch == batch && t.Portion == portion && t.Part == "" && len(t.Points) > 1 {
			return t
		}
	}
	return nil
}

// foot is the flag at the end of a portion: out, cool, promised.
func (d *drafter) foot(p schedule.Portion, c float64) {
	top, bottom := math.Inf(1), 0.0
	for i := range d.Plan.Tasks {
		t := &d.Plan.Tasks[i]
		if t.Portion != p.ID {
			continue
		}
		y := d.axis.y(t.End)
		switch t.Kind {
		case schedule.Bake:
			top = y
			d.say(label{text: d.word("out ") + clock(t.End), class: "name", x: c, anchor: 0.5, want: y + 8, pointX: math.NaN()})
			bottom = max(bottom, y+6)
		case schedule.Cool:
			if d.words {
				d.say(label{text: "cool " + clock(t.End), class: "note", x: c, anchor: 0.5, want: y, pointX: math.NaN()})
			}
			bottom = max(bottom, y)
		}
		if t.Promise != nil {
			at := max(d.axis.y(*t.Promise), y+2)
			d.say(label{text: "⚑" + d.word(" ") + clock(*t.Promise), class: "name", x: c, anchor: 0.5, want: at + 8, pointX: math.NaN()})
			bottom = max(bottom, at)
		}
		if t.Late > 0 {
			d.say(label{text: "! " + unit.Minutes(t.Late).String() + d.word(" late"), class: "late", x: c, anchor: 0.5, want: y + 12, pointX: math.NaN()})
		}
	}
	if bottom > top {
		d.stem.line(c, top, c, bottom)
	}
}

// headSize is how much larger than other words a heading is set.
const headSize = 1.25

// wordsRoom is what lets every word of a heading stand whole in a line, also in a
// broad font.
func wordsRoom(name string) float64 {
	longest := 0
	for _, word := range strings.Fields(name) {
		longest = max(longest, len([]rune(word)))
	}
	return math.Ceil(headSize * (float64(longest)*glyph + 8))
}

// lines breaks a heading into the two lines a column has.
func (h head) lines() []string {
	all := h.broken()
	if h.Short != "" && strings.Contains(strings.Join(all, ""), "…") {
		return []string{h.Short}
	}
	return all
}

// key names in full what headings say in short.
func (d Drawing) key() string {
	var said []string
	for _, h := range d.Heads {
		if h.Short != "" && h.lines()[0] == h.Short && h.Name != h.Short {
			said = append(said, h.Short+" = "+strings.TrimPrefix(h.Name, h.Short+" ")) // a dough's begins with its letter
		}
	}
	return strings.Join(said, " · ")
}

// broken is a name in two lines, set larger than other words, cut where it must be.
func (h head) broken() []string {
	w := h.room / headSize
	first := h.Name
	for fit(first, w) != first {
		i := strings.LastIndexByte(first, ' ')
		if i < 1 {
			return []string{fit(first, w)}
		}
		first = first[:i]
	}
	if rest := strings.TrimSpace(h.Name[len(first):]); rest != "" {
		return []string{first, fit(rest, w)}
	}
	return []string{first}
}

// fit cuts a name to a width.
func fit(s string, w float64) string {
	r := []rune(s)
	if n := int((w - 4) / glyph); len(r) > n {
		return string(r[:n-1]) + "…"
	}
	return s
}
