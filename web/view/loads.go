package view

import (
	"fmt"
	"strings"

	"ovenward/schedule"
)

// loadWords is what one bread has in a load of an oven.
type loadWords struct {
	Number               int // of the load, from 1; the same for what goes in together
	Batch                string
	When, Oven, Of, Much string
}

// loads words what goes into the ovens, in order of time.
func (m *Picture) loads() []loadWords {
	var out []loadWords
	var last *schedule.Task
	n := 0
	for i := range m.Plan.Tasks {
		t := &m.Plan.Tasks[i]
		if t.Kind != schedule.Bake {
			continue
		}
		if last == nil || last.Oven != t.Oven || !last.Start.Equal(t.Start) {
			n++
		}
		last = t
		out = append(out, loadWords{n, t.Batch, clock(t.Start) + "–" + Clock(t.End, t.Start), m.where(t), m.nameOf(t), m.Much(t)})
	}
	return out
}

// PageFoot is the style that puts at the foot of every sheet of paper of which
// plan it is, and when it was printed.
func PageFoot(p Page, m Picture) string {
	return "@page{@bottom-left{content:" + cssString(m.Plan.Day+". "+p.printed(&m)) + "; font:9pt system-ui,sans-serif}}"
}

// cssString is text as a string of CSS: whatever is not plain is escaped by its
// number (CSS Syntax 3, 4.3.7).
func cssString(s string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, c := range s {
		if c == ' ' || c == ',' || c == '.' || c == ':' || c >= '0' && c <= '9' || c >= 'A' && c <= 'Z' || c >= 'a' && c <= 'z' {
			b.WriteRune(c)
		} else {
			fmt.Fprintf(&b, `\%06x`, c)
		}
	}
	b.WriteByte('"')
	return b.String()
}

// printed says of which plan a sheet of paper is, and when it was printed.
func (p Page) printed(m *Picture) string {
	return fmt.Sprintf("Plan %d, printed %s at %s", p.Day.Version, date(m.Now), clock(m.Now))
}
