package view_test

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"ovenward/web/view"
	"ovenward/web/webtest"
)

func picture(t testing.TB) view.Picture {
	t.Helper()
	p, err := webtest.Example()
	if err != nil {
		t.Fatal(err)
	}
	return view.Picture{Day: &p.Day, Plan: &p.Plan, Traces: p.Traces, Now: p.Plan.Tasks[0].Start.Add(12 * time.Hour), Zoom: 1}
}

// drawn renders the page of a picture.
func drawn(t testing.TB, m view.Picture) *webtest.Page {
	t.Helper()
	var b bytes.Buffer
	if err := view.DayPage(view.Page{Title: "t", Day: &view.DayHead{ID: 1}, Now: m.Now}, m).Render(context.Background(), &b); err != nil {
		t.Fatal(err)
	}
	return webtest.Parse(t, &b)
}

type box struct {
	text       string
	x, y, w, h float64
}

// texts are the labels in a drawing, each in the room it takes at 11 px. An
// average glyph of a system font is 0.52 em wide, 0.63 where it is bold (common
// practice, no source).
func texts(p *webtest.Page, svg *html.Node) (out []box) {
	for n := range svg.Descendants() {
		if n.Type != html.ElementNode || n.Data != "text" {
			continue
		}
		s := p.Text(n)
		class, em := webtest.Attr(n, "class"), 0.52
		if strings.Contains(class, "name") || strings.Contains(class, "readyt") || strings.Contains(class, "late") {
			em = 0.63
		}
		b := box{text: s, x: number(n, "x"), y: number(n, "y"), w: em * 11 * float64(len([]rune(s))), h: 11}
		if strings.Contains(class, "mid") {
			b.x -= b.w / 2
		}
		out = append(out, b)
	}
	return out
}

func number(n *html.Node, name string) float64 {
	x, _ := strconv.ParseFloat(webtest.Attr(n, name), 64)
	return x
}

// days are all days of the test data as pictures.
func days(t *testing.T) map[string]view.Picture {
	t.Helper()
	files, err := filepath.Glob("../../testdata/day/*.json")
	if err != nil || len(files) < 4 {
		t.Fatalf("%d days, %v", len(files), err)
	}
	out := map[string]view.Picture{}
	for _, f := range files {
		b, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		p, err := webtest.Plan(b)
		if err != nil {
			t.Fatalf("%s: %v", f, err)
		}
		out[filepath.Base(f)] = view.Picture{Day: &p.Day, Plan: &p.Plan, Traces: p.Traces, Now: p.Plan.Tasks[0].Start.Add(4 * time.Hour), Zoom: 1}
	}
	return out
}

func TestNoLabelCoversAnother(t *testing.T) {
	t.Parallel()
	for name, m := range days(t) {
		apart(t, name, m, 1)
	}
	for _, zoom := range []int{1, 2, 4} {
		apart(t, "example", picture(t), zoom)
	}
}

func apart(t *testing.T, name string, m view.Picture, zoom int) {
	t.Helper()
	m.Zoom = zoom
	p := drawn(t, m)
	for _, svg := range p.Class("lanes") {
		all := texts(p, svg)
		if len(all) < 8 {
			t.Fatalf("%s: only %d labels", name, len(all))
		}
		for i, a := range all {
			for _, b := range all[:i] {
				if a.x < b.x+b.w && b.x < a.x+a.w && math.Abs(a.y-b.y) < a.h {
					t.Errorf("%s, zoom %d: %q at %.0f,%.0f covers %q at %.0f,%.0f", name, zoom, a.text, a.x, a.y, b.text, b.x, b.y)
				}
			}
		}
	}
}

// The ribbon is as wide as the volume: a dough of twice the volume is drawn twice
// as wide, wherever the trace says so.
func TestWidthIsVolume(t *testing.T) {
	t.Parallel()
	m := picture(t)
	ribbons := drawn(t, m).Class("ribbon")
	whole := ribbons[0]
	edges := outline(t, webtest.Attr(whole, "d"))
	first := m.Traces[0]
	if first.Portion != "" || first.Part != "" {
		t.Fatalf("the first ribbon is of %+v", first)
	}
	unit := edges.width(edges.top) / first.Points[0].Expansion
	last := first.Points[len(first.Points)-1].Expansion
	if got := edges.width(edges.bottom) / unit; math.Abs(got-last) > 0.02 {
		t.Errorf("at the end the ribbon is %.2f times as wide, the dough %.2f times as large", got, last)
	}
}

// shape is an outline as the points its path goes through.
type shape struct {
	pts         [][2]float64
	top, bottom float64
}

// width is how far apart the leftmost and rightmost points at a height are.
func (s shape) width(y float64) float64 {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, p := range s.pts {
		if math.Abs(p[1]-y) < 0.11 {
			lo, hi = math.Min(lo, p[0]), math.Max(hi, p[0])
		}
	}
	return hi - lo
}

// outline reads the few commands the drawing writes: M, c, l, H, z.
func outline(t *testing.T, d string) shape {
	t.Helper()
	s := shape{top: math.Inf(1)}
	var x, y float64
	for _, part := range strings.FieldsFunc(mark(d), func(r rune) bool { return r == '|' }) {
		var n []float64
		for _, f := range strings.Fields(strings.ReplaceAll(part[1:], "-", " -")) {
			v, err := strconv.ParseFloat(f, 64)
			if err != nil {
				t.Fatalf("%q in %q", f, d)
			}
			n = append(n, v)
		}
		switch part[0] {
		case 'M':
			x, y = n[0], n[1]
		case 'c':
			x, y = x+n[4], y+n[5]
		case 'l':
			x, y = x+n[0], y+n[1]
		case 'H':
			x = n[0]
		case 'z':
			continue
		default:
			t.Fatalf("command %q", part)
		}
		s.pts = append(s.pts, [2]float64{x, y})
		s.top, s.bottom = math.Min(s.top, y), math.Max(s.bottom, y)
	}
	return s
}

func mark(d string) string {
	return strings.NewReplacer("M", "|M", "c", "|c", "l", "|l", "H", "|H", "z", "|z").Replace(d)
}

// Hours run down the page and nothing is drawn outside it.
func TestInsideThePage(t *testing.T) {
	t.Parallel()
	for name, m := range days(t) {
		inside(t, name, drawn(t, m))
	}
}

func inside(t *testing.T, name string, p *webtest.Page) {
	t.Helper()
	for _, svg := range p.Class("lanes") {
		w, h := number(svg, "width"), number(svg, "height")
		for _, b := range texts(p, svg) {
			if b.x < -1 || b.x+b.w > w+1 || b.y < 0 || b.y > h {
				t.Errorf("%s: %q at %.0f,%.0f is outside %.0f × %.0f", name, b.text, b.x, b.y, w, h)
			}
		}
		for n := range svg.Descendants() {
			if webtest.Attr(n, "class") != "ribbon" {
				continue
			}
			s := outline(t, webtest.Attr(n, "d"))
			for _, q := range s.pts {
				if q[0] < 0 || q[0] > w || q[1] < 0 || q[1] > h {
					t.Errorf("%s: a ribbon passes %.0f,%.0f", name, q[0], q[1])
				}
			}
		}
	}
}

// On a screen in a hand a whole day is seen at once: every person, dough and oven
// within its width, the hours within a screen and a half (844 px high); on a desk
// within a screen and a half of 900 px.
func TestWholeDay(t *testing.T) {
	t.Parallel()
	for name, m := range days(t) {
		n, w := view.DrawNarrow(m), view.Draw(m)
		doughs := 0
		for _, h := range n.Heads {
			if len(m.Plan.Batches) > 0 && h.Sub != "" {
				doughs++
			}
		}
		if !n.Fits || doughs != len(m.Plan.Batches) || n.Height*364/(n.Gutter+n.Width) > 1.5*844 {
			t.Errorf("%s: %.0f × %.0f px in a hand, %d of %d doughs", name, n.Width, n.Height, doughs, len(m.Plan.Batches))
		}
		if w.Height > 1.5*900 {
			t.Errorf("%s: %.0f px high on a desk", name, w.Height)
		}
	}
}

// A day of one bread takes its whole frame in a hand, and its oven is read whole.
func TestOneBreadInTheHand(t *testing.T) {
	t.Parallel()
	m := days(t)["single-pan-loaf.json"]
	d, p := view.DrawNarrow(m), drawn(t, m)
	var heads []string
	for _, n := range p.Class("headname") {
		heads = append(heads, p.Text(n))
	}
	last := d.Heads[len(d.Heads)-1].X
	if want := []string{"Id", "A Pan loaf", "Oven"}; !d.Fits || last < 0.8*d.Width || !slices.Equal(heads[len(heads)-3:], want) {
		t.Errorf("the last column begins at %.0f of %.0f px, headings %q", last, d.Width, heads)
	}
}

// No heading of a dough or person is cut: where there is no room it is a letter or
// two, and a line above the drawing says whose.
func TestHeadingsWhole(t *testing.T) {
	t.Parallel()
	for name, m := range days(t) {
		p := drawn(t, m)
		for _, n := range p.Class("headname") {
			if s := p.Text(n); strings.Contains(s, "…") {
				t.Errorf("%s: %q", name, s)
			}
		}
	}
	p := drawn(t, days(t)["example.json"])
	var keys []string
	for _, n := range p.Class("hint") {
		keys = append(keys, p.Text(n))
	}
	if want := "No = Nora · Pi = Piet · B = Slipway hearth loaf · C = Potato loaf"; !slices.Contains(keys, want) {
		t.Errorf("%q, want %q among them", keys, want)
	}
}

// A drawing of a thousand elements or less stays quick on an old tablet.
func TestSize(t *testing.T) {
	t.Parallel()
	n := 0
	for range drawn(t, picture(t)).Class("lanes")[0].Descendants() {
		n++
	}
	if n > 1000 {
		t.Errorf("%d nodes", n)
	}
}

// The overnight pause is folded and says its true length.
func TestFold(t *testing.T) {
	t.Parallel()
	p := drawn(t, picture(t))
	said := ""
	for _, n := range p.Class("foldt") {
		said += p.Text(n) + " "
	}
	var h, m int
	if _, err := fmt.Sscanf(strings.ReplaceAll(said, "\u00a0", " "), "nothing for %d h %d", &h, &m); err != nil || h < 5 {
		t.Errorf("the fold says %q", said)
	}
}

func BenchmarkDraw(b *testing.B) {
	m := picture(b)
	b.ReportAllocs()
	for b.Loop() {
		view.Draw(m)
	}
}
