package e2e_test

import "testing"

// In a hand, words of the day's drawing neither cover nor touch each other, as the browser sets
// them; the chart of a bread's rises is there whole, and so are its words.
func TestDrawingsInAHand(t *testing.T) {
	t.Parallel()
	b := open(t, serve(t), phone)
	for _, width := range []int64{320, 390} {
		b.set(look{width: width, height: 844})
		for path, svg := range map[string]string{"/days/1": "div.narrow svg.lanes", "/breads/slipway/forecast": "svg.chart.narrow", "/breads/pan-loaf/forecast": "svg.chart.narrow"} {
			b.visit(path)
			got := evaluate[string](b, `(() => {
				const svg = document.querySelector("`+svg+`"), room = svg.getBoundingClientRect();
				const texts = [...svg.querySelectorAll("text")].map(t => [t.textContent, t.getBoundingClientRect()]);
				if (texts.length < 8) return "only " + texts.length + " words";
				const meet = (a, b) => Math.min(a.right, b.right) - Math.max(a.left, b.left) > -1.5 && Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > a.height * 0.35;
				const out = [];
				texts.forEach(([a, x], i) => {
					if (x.left < room.left - 0.5 || x.right > room.right + 0.5) out.push(a + " is cut");
					for (const [b, y] of texts.slice(0, i)) if (meet(x, y)) out.push(a + " covers or touches " + b);
				});
				if (room.left < 0 || room.right > innerWidth) out.push("off the screen");
				return out.join("; ");
			})()`)
			if got != "" {
				t.Errorf("%s at %d px: %s", path, width, got)
			}
		}
	}
}
