package view

import (
	"math"
	"slices"
	"strings"
)

// label is a line of text in the drawing. It wants to stand at y and may be
// moved so that none covers another.
type label struct {
	text   string
	class  string
	x      float64 // of the anchor
	anchor float64 // 0 start, ½ middle, 1 end
	want   float64 // middle of the line
	y      float64 // where it came to stand
	pointX float64 // where its leader starts when it was moved; NaN: no leader
}

const (
	lineHeight = 13.0
	glyph      = 6.1 // px, a wide guess for system fonts at 11 px
	boldGlyph  = 7.2 // and where they are bold
	leaderOver = 5.0 // px moved before a leader is drawn
)

func (l label) width() float64 {
	each := glyph
	if l.bold() {
		each = boldGlyph
	}
	return float64(len([]rune(l.text)))*each + 4
}

func (l label) left() float64 { return l.x - l.anchor*l.width() }

// bold tells whether the style sets the label so.
func (l label) bold() bool { return l.class == "name" || l.class == "readyt" || l.class == "late" }

// meets reports whether two labels stand in each other's way sideways.
func (l label) meets(o label) bool {
	return l.left() < o.left()+o.width() && o.left() < l.left()+l.width()
}

// place moves labels apart, up and down only, keeping their order in time: first
// both of a pair by half of what is missing, again and again; what is still
// missing then by pushing down.
func place(ls []label) {
	slices.SortStableFunc(ls, func(a, b label) int {
		switch {
		case a.want < b.want:
			return -1
		case a.want > b.want:
			return 1
		}
		return 0
	})
	for i := range ls {
		ls[i].y = math.Max(ls[i].want, lineHeight/2)
	}
	pairs := meeting(ls)
	for range 40 {
		for _, p := range pairs {
			a, b := &ls[p[0]], &ls[p[1]]
			if miss := a.y + lineHeight - b.y; miss > 0 {
				a.y, b.y = math.Max(a.y-miss/2, lineHeight/2), b.y+miss/2
			}
		}
	}
	slices.SortFunc(pairs, func(p, q [2]int) int { return p[1]*len(ls) + p[0] - q[1]*len(ls) - q[0] })
	for _, p := range pairs {
		ls[p[1]].y = math.Max(ls[p[1]].y, ls[p[0]].y+lineHeight)
	}
}

// meeting lists the pairs that share some width, earlier first.
func meeting(ls []label) [][2]int {
	var out [][2]int
	for i := range ls {
		for j := i + 1; j < len(ls); j++ {
			if ls[i].meets(ls[j]) {
				out = append(out, [2]int{i, j})
			}
		}
	}
	return out
}

// classes are the label's own class and the one that anchors it.
func (l label) classes() string { return strings.TrimSpace(l.class + " " + l.side()) }

// side is the class that anchors the text.
func (l label) side() string {
	switch l.anchor {
	case 0.5:
		return "mid"
	case 1:
		return "end"
	}
	return ""
}
