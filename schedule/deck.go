package schedule

import (
	"slices"

	"ovenward/schedule/solve"
	"ovenward/schedule/unit"
)

// Held is how many of one thing a deck takes when nothing else is on it. What a
// deck is filled with is added up by shares: one of six tins takes a sixth of it
// (common practice, no source); and whole ones only.
type Held struct {
	Of    string `json:"of,omitempty"`   // name of a tin or a tray; "" = the usual tray
	Deck  int    `json:"deck,omitempty"` // from 1; 0 = every deck that has no number of its own for it
	Count int    `json:"count"`
}

// Tray is a kind of tray beside the usual one.
type Tray struct {
	Name  string `json:"name"`
	Count int    `json:"count,omitempty"` // how many there are; 0 = enough
}

// OnDeck is what lies on one deck of an oven.
type OnDeck struct {
	Deck  int    `json:"deck"`         // from 1
	Of    string `json:"of,omitempty"` // the tin or the tray; "" = the usual tray
	Items int    `json:"items"`        // how many of it
}

// ByDeck says whether the decks of the ovens are told apart: whether it is said of
// any what it takes of something.
func (k *Kitchen) ByDeck() bool {
	for _, o := range k.Ovens {
		if len(o.Holds) > 0 {
			return true
		}
	}
	return false
}

// Stands says what a bread goes into the oven in or on, and how many pieces one of
// it carries: its tin or its tray where it is said of any deck what it takes of
// that, else the usual tray, "".
func (k *Kitchen) Stands(b *Bread) (of string, each int) {
	each = max(b.PerTray, 1)
	switch {
	case k.held(b.Tin):
		return b.Tin, 1
	case k.held(b.Tray):
		return b.Tray, each
	}
	return "", each
}

// held says whether it is said of any deck what it takes of a tin or tray.
func (k *Kitchen) held(of string) bool {
	for _, o := range k.Ovens {
		for _, h := range o.Holds {
			if of != "" && h.Of == of {
				return true
			}
		}
	}
	return false
}

// Takes is how many of a tin or tray each deck takes alone. The usual tray, "",
// goes on every deck; anything that Stands names only where that is said.
func (o *Oven) Takes(of string) []int {
	out := make([]int, min(max(o.Decks, 0), mostDecks))
	each := 0
	if of == "" {
		each = o.TraysPerDeck
	}
	for _, h := range o.Holds {
		if h.Of == of && h.Deck == 0 {
			each = h.Count
		}
	}
	for i := range out {
		out[i] = each
	}
	for _, h := range o.Holds {
		if h.Of == of && h.Deck >= 1 && h.Deck <= len(out) {
			out[h.Deck-1] = h.Count
		}
	}
	return out
}

// takes is how many of a tin or tray the whole oven takes.
func (o *Oven) takes(of string) (n int) {
	for _, deck := range o.Takes(of) {
		n += deck
	}
	return n
}

// ovenTakes is how many of a tin or tray the largest oven takes that gets so hot.
func (k *Kitchen) ovenTakes(of string, heat unit.Celsius) (most int) {
	for i := range k.Ovens {
		if o := &k.Ovens[i]; o.Max >= heat {
			most = max(most, o.takes(of))
		}
	}
	return most
}

// items is how many carry so many pieces, at each on one.
func items(pieces, each int) int { return (pieces + each - 1) / each }

// wholes gives every deck of every oven as a number that each thing's share of it
// divides; nil where decks are not told apart.
func (m *model) wholes() [][]int64 {
	k := &m.day.Kitchen
	if !k.ByDeck() {
		return nil
	}
	out := make([][]int64, len(k.Ovens))
	for i := range k.Ovens {
		out[i] = m.day.wholes(&k.Ovens[i])
		for _, of := range m.day.stood() {
			for _, n := range k.Ovens[i].Takes(of) {
				m.finest = max(m.finest, n)
			}
		}
	}
	return out
}

// wholes are the least common multiples of what each deck takes of the things
// ordered; above mostWhole it stops.
func (d *Day) wholes(o *Oven) []int64 {
	out := make([]int64, min(max(o.Decks, 0), mostDecks))
	for i := range out {
		out[i] = 1
		for _, of := range d.stood() {
			if n := int64(o.Takes(of)[i]); n > 0 && out[i] <= mostWhole {
				out[i] *= n / divisor(out[i], n)
			}
		}
	}
	return out
}

// mostWhole is the largest common multiple that is reckoned with.
const mostWhole = 1 << 40

func divisor(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// stood lists what the breads ordered go into the oven in or on, each once.
func (d *Day) stood() []string {
	var out []string
	for _, o := range d.Orders {
		if b, ok := d.Bread(o.Bread); ok {
			if of, _ := d.Kitchen.Stands(b); !slices.Contains(out, of) {
				out = append(out, of)
			}
		}
	}
	return out
}

// layOut has a use lie on the decks of its ovens as so many items.
func (m *model) layOut(u *solve.Use, of string, items int) {
	most := 0
	for _, i := range u.Any {
		parts := m.problem.Machines[i].Parts
		if parts == nil {
			return
		}
		share := make([]int64, len(parts))
		for k, n := range m.day.Kitchen.Ovens[i].Takes(of) {
			if n > 0 {
				share[k] = parts[k] / int64(n)
			}
			most = max(most, n)
		}
		u.Share = append(u.Share, share)
	}
	u.Items = items
	u.Places = items * m.finest / most // no more than its share: the parts are exact
}

// onDecks is what a choice puts on the decks of its oven.
func (m *model) onDecks(c solve.Choice, b *Bread) (out []OnDeck) {
	of, _ := m.day.Kitchen.Stands(b)
	for k, n := range c.Spread {
		if n > 0 {
			out = append(out, OnDeck{k + 1, of, n})
		}
	}
	return out
}

// spreadOf is how a task of an earlier plan lies on the decks of an oven; nil where
// that is not known, or other than what there is now.
func (m *model) spreadOf(u *solve.Use, oven int, t *Task) []int {
	x := &m.problem.Machines[oven]
	if t == nil || t.Oven != x.Name || len(t.Decks) == 0 || len(x.Parts) == 0 {
		return nil
	}
	out, sum := make([]int, len(x.Parts)), 0
	for _, on := range t.Decks {
		if on.Deck < 1 || on.Deck > len(out) {
			return nil
		}
		out[on.Deck-1] += on.Items
		sum += on.Items
	}
	if sum != u.Items {
		return nil
	}
	return out
}
