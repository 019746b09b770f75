package e2e_test

import "testing"

// With letters twice as large nothing is lost off the side of a phone (WCAG 2.2,
// 1.4.4 and 1.4.10).
func TestLargeLetters(t *testing.T) {
	base := serve(t)
	b := open(t, base, phone)
	for _, w := range widths[:2] {
		b.set(w.look)
		for _, p := range pages {
			b.visit(p.path)
			if wide := evaluate[int](b, `(document.documentElement.style.fontSize = "200%", document.documentElement.scrollWidth - document.documentElement.clientWidth)`); wide > 0 {
				t.Errorf("%s at %s is %d px too wide", p.name, w.name, wide)
			}
		}
	}
}
