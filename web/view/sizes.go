package view

import (
	"math"
	"time"

	"ovenward/schedule"
	"ovenward/schedule/unit"
)

// sizes are how a drawing is laid out: on a desk with words in it, in a hand so
// that all hands and doughs are seen at once, words left to the table. All in px.
type sizes struct {
	id            string  // before the ids of its patterns and fills
	words         bool    // beside the marks, and a column for every place
	gutter        float64 // for the clock
	hands         float64 // a person's column
	portion, solo float64 // the least of a dough's lane, for each portion and for all
	widest        float64 // lane of a portion
	tray          float64 // of an oven
	column        float64 // the least of an oven or place
	gap           float64 // between columns
	fills         float64 // width that lanes are widened to fill
	fits          float64 // up to this width nothing is off the side where it is shown
	day           float64 // height of a whole day, for a screen or two
}

// wide is drawn at its own size; narrow is made for a gutter and lanes of 332 px
// together and grows and shrinks with its screen.
var (
	wide   = sizes{id: "w", words: true, gutter: 54, hands: 92, portion: 90, solo: 112, widest: 90, tray: 24, column: 54, gap: 12, fits: 1180, day: 1160}
	narrow = sizes{id: "n", gutter: 42, hands: barWidth + 4, portion: 35, solo: 35, widest: 290, tray: 9, column: 27, gap: 7, fills: 290, fits: 291, day: 880}
)

const (
	leastMinute = 0.9 // px a minute takes in a long day
	mostMinute  = 2.5 // and in a short one
)

// minute is the height of a minute that lets a whole day take about the height
// wanted, px.
func (s sizes) minute(busy []stretch) float64 {
	worked := 0.0
	all := merge(busy, foldOver)
	for _, b := range all {
		worked += b.to.Sub(b.from).Minutes()
	}
	left := s.day - axisTop - axisFoot - foldStrip*float64(len(all)-1)
	return math.Min(math.Max(left/math.Max(worked, 1), leastMinute), mostMinute)
}

// lane is the width of each portion of each dough: more than the least where the
// other columns leave room.
func (d *drafter) lane() float64 {
	left, portions := d.fills, 0.0
	for _, w := range d.others(d.ovenWidth) {
		left -= w + d.gap
	}
	for i := range d.Plan.Batches {
		portions += math.Max(1, float64(len(d.Plan.Batches[i].Portions)))
		left -= d.gap
	}
	return math.Min(math.Max(left/math.Max(portions, 1), d.portion), d.widest)
}

// others are the widths of the columns of hands and ovens.
func (d *drafter) others(oven func(schedule.Oven) float64) []float64 {
	var out []float64
	for _, b := range d.Day.Kitchen.Bakers {
		if len(d.bars(b.Name)) > 0 {
			out = append(out, d.handsWidth())
		}
	}
	for _, o := range d.Day.Kitchen.Ovens {
		out = append(out, oven(o))
	}
	return out
}

// handsWidth is wider by a chip where two plans are compared.
func (d *drafter) handsWidth() float64 {
	if d.Old != nil {
		return d.hands + chipRoom
	}
	return d.hands
}

// ovenWidth is wider than its trays where that lets its name be read whole and
// doughs have more than their least.
func (d *drafter) ovenWidth(o schedule.Oven) float64 {
	least, spare := d.ovenLeast(o), d.fills
	for _, w := range d.others(d.ovenLeast) {
		spare -= w + d.gap
	}
	for i := range d.Plan.Batches {
		spare -= math.Max(d.solo, d.portion*float64(len(d.Plan.Batches[i].Portions))) + d.gap
	}
	want := wordsRoom(o.Name) - d.gap
	return math.Max(least, math.Min(want, least+spare/float64(len(d.Day.Kitchen.Ovens))))
}

func (d *drafter) ovenLeast(o schedule.Oven) float64 {
	return math.Max(float64(o.Trays())*d.tray, d.column)
}

// standing is a place and how long; where there is little room only the cold is
// named, as far as it goes.
func (d *drafter) standing(p *schedule.Place, long time.Duration, w float64) string {
	switch {
	case d.words:
		return p.Name + " " + unit.Minutes(long.Minutes()).String()
	case p.Kind == schedule.Cold:
		return fit(p.Name, w+d.gap)
	}
	return ""
}

// word is said beside a time only where there is room.
func (d *drafter) word(s string) string {
	if d.words {
		return s
	}
	return ""
}
