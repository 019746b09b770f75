package schedule

// Tins and trays are taken from the shaping to the end of the bake. A bread takes
// its tins, and the trays that it or its tins stand on, unless its tins go straight
// on the deck.

// carrier is a kind of tin or tray, and how many of it something takes.
type carrier struct {
	of string // its name; "" = the usual tray
	n  int
}

// counted lists the tins and trays of which it is said how many there are.
func (k *Kitchen) counted() []carrier {
	var out []carrier
	for _, t := range k.Tins {
		out = append(out, carrier{t.Name, t.Count})
	}
	if k.UsualTrays > 0 {
		out = append(out, carrier{"", k.UsualTrays})
	}
	for _, t := range k.Trays {
		if t.Count > 0 {
			out = append(out, carrier{t.Name, t.Count})
		}
	}
	return out
}

// trayOf is the tray that a bread or its tins stand on; false where they stand on
// none.
func (k *Kitchen) trayOf(b *Bread) (string, bool) { return b.Tray, !k.held(b.Tin) }

// carriersOf is what pieces of a bread take of tins and trays.
func (k *Kitchen) carriersOf(b *Bread, pieces int) []carrier {
	var out []carrier
	if b.Tin != "" {
		out = append(out, carrier{b.Tin, pieces})
	}
	if tray, on := k.trayOf(b); on {
		out = append(out, carrier{tray, b.Trays(pieces)})
	}
	return out
}

// mostCarried is how many pieces of a bread there are tins and trays for; no more
// than most.
func (k *Kitchen) mostCarried(b *Bread, most int) int {
	for _, c := range k.counted() {
		if b.Tin != "" && c.of == b.Tin {
			most = min(most, c.n)
		} else if tray, on := k.trayOf(b); on && c.of == tray {
			most = min(most, c.n*max(b.PerTray, 1))
		}
	}
	return most
}

// tooMany says whether there are not enough tins and trays for all of some
// portions at once.
func (k *Kitchen) tooMany(ps []portionPlan) bool {
	sum := map[string]int{}
	for i := range ps {
		for _, c := range k.carriersOf(ps[i].bread, ps[i].Pieces) {
			sum[c.of] += c.n
		}
	}
	for _, c := range k.counted() {
		if sum[c.of] > c.n {
			return true
		}
	}
	return false
}
