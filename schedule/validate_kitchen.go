package schedule

import (
	"fmt"
	"slices"
	"strings"

	"ovenward/schedule/unit"
)

// kitchen looks at places, machines, people and tins.
func (v *inspection) kitchen() {
	k := &v.day.Kitchen
	v.names("kitchen.places", "name", "place", len(k.Places), func(i int) string { return k.Places[i].Name })
	v.names("kitchen.mixers", "name", "mixer", len(k.Mixers), func(i int) string { return k.Mixers[i].Name })
	v.names("kitchen.ovens", "name", "oven", len(k.Ovens), func(i int) string { return k.Ovens[i].Name })
	v.names("kitchen.bakers", "name", "person", len(k.Bakers), func(i int) string { return k.Bakers[i].Name })
	v.names("kitchen.tins", "name", "tin", len(k.Tins), func(i int) string { return k.Tins[i].Name })
	v.names("kitchen.trays", "name", "tray", len(k.Trays), func(i int) string { return k.Trays[i].Name })

	v.want(slices.ContainsFunc(k.Places, func(p Place) bool { return p.Kind == Room }), "kitchen.places",
		"there is no room to work in", "add a place of kind room, the bench, with its temperature over the day")
	v.want(len(k.Ovens) > 0, "kitchen.ovens", "there is no oven", "add the oven: decks, trays, how hot it gets and how fast")
	v.want(len(k.Bakers) > 0, "kitchen.bakers", "nobody is at work", "add yourself, with the hours you are at work")
	for i := range k.Places {
		v.place(at("kitchen.places", i), &k.Places[i])
	}
	for i := range k.Mixers {
		v.mixer(at("kitchen.mixers", i), &k.Mixers[i])
	}
	for i := range k.Ovens {
		v.oven(at("kitchen.ovens", i), &k.Ovens[i])
	}
	for i := range k.Bakers {
		v.baker(at("kitchen.bakers", i), &k.Bakers[i])
	}
	for i := range k.Tins {
		v.tin(at("kitchen.tins", i), &k.Tins[i])
	}
	for i, t := range k.Trays {
		same := slices.IndexFunc(k.Tins, func(x Tin) bool { return strings.EqualFold(x.Name, t.Name) })
		v.want(same < 0 || t.Name == "", at("kitchen.trays", i)+".name", fmt.Sprintf("%q is the name of a tin already", t.Name), "give the tray another")
		v.trays(at("kitchen.trays", i)+".count", t.Count)
	}
	v.trays("kitchen.usual_trays", k.UsualTrays)
	v.within("kitchen.tub_grams", float64(k.Tub), 100, 100e3, fmt.Sprintf("a tub cannot hold %v of dough", k.Tub), "give what one tub holds, 100 to 100000 g, such as 5000")
	v.within("kitchen.flour_celsius", float64(k.Flour), -25, 50, fmt.Sprintf("flour is not kept at %v", k.Flour), "give the temperature where it is kept, such as 18")
	v.within("kitchen.tap_celsius", float64(k.Tap), 0, 40, fmt.Sprintf("cold tap water is not at %v", k.Tap), "measure it after a minute's running, 5 to 20 °C")
}

func (v *inspection) place(where string, p *Place) {
	v.want(slices.Contains([]PlaceKind{Room, Warm, Cold}, p.Kind), where+".kind",
		fmt.Sprintf("%q is no kind of place", string(p.Kind)), "choose room, warm or cold")
	v.want(slices.Contains([]Air{"", Still, Covered, Fridge, Fan, Humid}, p.Air), where+".air",
		fmt.Sprintf("%q is no kind of air", string(p.Air)), "choose still, covered, fridge, fan or humid, or leave it out")
	v.want(p.Spaces >= 0, where+".spaces", fmt.Sprintf("%d trays or tubs cannot be", p.Spaces), "give how many it takes at once, or 0 for no limit")
	v.want(len(p.Curve) > 0, where+".curve", "no temperature is given", "give at least one reading, such as 21 °C at 08:00")
	for i, r := range p.Curve {
		reading := at(where+".curve", i)
		v.clock(reading+".at", r.At)
		v.want(i == 0 || p.Curve[i-1].At < r.At, reading+".at",
			fmt.Sprintf("%v does not come after the reading before it", r.At), "put the readings in the order of the day, one for each time")
		v.within(reading+".celsius", float64(r.Celsius), -25, 60,
			fmt.Sprintf("%v is no temperature for dough to stand at", r.Celsius), "give a temperature from -25 to 60 °C")
	}
}

func (v *inspection) clock(where string, c Clock) bool {
	return v.want(c >= 0 && c <= 24*60, where, fmt.Sprintf("minute %d is no time of day", int(c)), "give a time from 00:00 to 24:00")
}

func (v *inspection) mixer(where string, m *Mixer) {
	ok := v.within(where+".most_grams", float64(m.Most), 100, 500e3,
		fmt.Sprintf("a mixer cannot take %v at most", m.Most), "give the most dough it kneads at once, 100 to 500000 g, such as 6000")
	if v.within(where+".least_grams", float64(m.Least), 0, 500e3,
		fmt.Sprintf("a mixer cannot need %v at least", m.Least), "give the least dough the hook still catches, or 0") && ok {
		v.want(m.Least <= m.Most, where+".least_grams",
			fmt.Sprintf("the least, %v, is more than the most, %v", m.Least, m.Most), "give the smaller weight as the least")
	}
}

// mostDecks is the most decks of an oven.
const mostDecks = 50

func (v *inspection) oven(where string, o *Oven) {
	v.want(o.Decks >= 1 && o.Decks <= mostDecks, where+".decks", fmt.Sprintf("an oven does not have %d decks", o.Decks), "give 1 or more")
	v.want(o.TraysPerDeck >= 1 && o.TraysPerDeck <= 100, where+".trays_per_deck", fmt.Sprintf("a deck does not take %d trays", o.TraysPerDeck), "give 1 or more")
	what := fmt.Sprintf("%v is hotter than any bread oven", o.Max)
	if o.Max < 80 {
		what = fmt.Sprintf("%v is not hot enough to bake", o.Max)
	}
	v.within(where+".max_celsius", float64(o.Max), 80, 400, what, "give the hottest the oven really gets, 230 to 350 °C")
	const rate = "time it once: from 20 to 230 °C in 35 minutes is 6 °C a minute"
	v.within(where+".heats_per_minute", float64(o.Heat), 0.1, 100, fmt.Sprintf("no oven heats by %v a minute", o.Heat), rate)
	v.within(where+".cools_per_minute", float64(o.Cool), 0.1, 100, fmt.Sprintf("no oven cools by %v a minute", o.Cool),
		"time it once: from 230 to 180 °C in 25 minutes is 2 °C a minute")
	for i := range o.Holds {
		v.held(at(where+".holds", i), o, i)
	}
}

// mostHeld is the most that a deck takes of anything.
const mostHeld = 500

// held looks at what the decks of an oven take of one thing.
func (v *inspection) held(where string, o *Oven, i int) {
	h := o.Holds[i]
	k := &v.day.Kitchen
	var names []string
	for _, t := range k.Tins {
		names = append(names, t.Name)
	}
	for _, t := range k.Trays {
		names = append(names, t.Name)
	}
	v.want(h.Of == "" || slices.Contains(names, h.Of), where+".of", fmt.Sprintf("there is no tin or tray called %q", h.Of), choose(names, "add it to the kitchen, or take this line away"))
	v.want(h.Deck >= 0 && h.Deck <= max(o.Decks, 0), where+".deck", fmt.Sprintf("%s has no deck %d", named(o.Name, "the oven"), h.Deck), fmt.Sprintf("give a deck from 1 to %d, or leave it out for every deck", max(o.Decks, 1)))
	remedy := "give how many fit on the deck when nothing else is on it; where none fit, take the line away and name the decks that take it"
	if h.Of == "" {
		remedy = "give how many usual trays fit on the deck, 1 or more"
	}
	v.want(h.Count >= 1 && h.Count <= mostHeld, where+".count", fmt.Sprintf("a deck does not take %d of %s", h.Count, named(h.Of, "the usual tray")), remedy)
	twice := slices.IndexFunc(o.Holds[:i], func(g Held) bool { return g.Of == h.Of && g.Deck == h.Deck })
	v.want(twice < 0, where, fmt.Sprintf("what a deck takes of %s is said twice", named(h.Of, "the usual tray")), "keep one of the two lines")
}

// named is a name, or what stands for it where there is none.
func named(name, other string) string {
	if name == "" {
		return other
	}
	return name
}

// decks wants shares that can be added up exactly.
func (v *inspection) decks() {
	for i := range v.day.Kitchen.Ovens {
		o := &v.day.Kitchen.Ovens[i]
		if len(o.Holds) == 0 {
			continue
		}
		for deck, whole := range v.day.wholes(o) {
			v.want(whole <= mostWhole, at("kitchen.ovens", i)+".holds", fmt.Sprintf("the numbers that deck %d of %s takes of different tins and trays have too little in common to add their shares up", deck+1, named(o.Name, "the oven")), "give rounder numbers, such as 6, 8 or 12")
		}
	}
}

func (v *inspection) baker(where string, b *Baker) {
	v.want(len(b.Hours) > 0, where+".hours", "no working hours are given", "give when this person is at work, such as 04:00 to 12:00")
	for i, h := range b.Hours {
		w := at(where+".hours", i)
		if v.clock(w+".from", h.From) && v.clock(w+".to", h.To) {
			v.want(h.From != h.To, w, fmt.Sprintf("%v to %v is no time at all", h.From, h.To), "say when the work begins and ends; around the clock is 00:00 to 24:00")
		}
		v.want(h.Days >= 0 && h.Days <= EveryDay, w+".days", fmt.Sprintf("%d is no set of weekdays", int(h.Days)), "name the days, such as sat sun, or leave it out for every day")
	}
	v.spans(where+".away", b.Away, "give when this person is back")
	v.spans(where+".stays", b.Stays, "give when this person goes, or the hours begin")
	for i, kind := range b.Cannot {
		v.want(slices.Contains(StageKinds(), kind), at(where+".cannot", i), fmt.Sprintf("%q is no kind of stage", string(kind)), choose(kindWords(), ""))
	}
}

func kindWords() []string {
	var words []string
	for _, k := range StageKinds() {
		words = append(words, string(k))
	}
	return words
}

func (v *inspection) tin(where string, t *Tin) {
	v.want(t.Count >= 1 && t.Count <= 10000, where+".count", fmt.Sprintf("%d tins cannot be used", t.Count), "give how many there are, or take the tin off the list")
	v.within(where+".litres", float64(t.Litres), 0.05, 20, fmt.Sprintf("a tin does not hold %v litres", float64(t.Litres)), "fill it with water and weigh that: 1000 g are 1 litre")
}

// spans wants spans that end after they begin; remedy says what end to give.
func (v *inspection) spans(where string, spans []Span, remedy string) {
	for i, s := range spans {
		w := at(where, i)
		from, ok1 := v.wall(w+".from", s.From)
		to, ok2 := v.wall(w+".to", s.To)
		if ok1 && ok2 {
			v.want(from.Before(to), w+".to", fmt.Sprintf("%s does not come after %s", s.To, s.From), remedy)
		}
	}
}

func (v *inspection) trays(where string, n int) {
	v.want(n >= 0 && n <= 10000, where, fmt.Sprintf("%d trays cannot be", n), "give how many there are, or 0 if there are always enough")
}

// skills wants somebody for every work that an order asks for.
func (v *inspection) skills() {
	if len(v.day.Kitchen.Bakers) == 0 {
		return
	}
	needed := map[StageKind]bool{}
	for _, o := range v.day.Orders {
		if b, ok := v.day.Bread(o.Bread); ok {
			stages := b.Method
			if base, ok := v.day.Base(b.Base); ok {
				stages = append(slices.Clone(base.Method), stages...)
			}
			for _, s := range stages {
				needed[s.Kind] = needed[s.Kind] || s.Kind.Work() || s.Kind == Bake
			}
		}
	}
	for _, kind := range StageKinds() {
		if needed[kind] {
			v.want(slices.ContainsFunc(v.day.Kitchen.Bakers, func(b Baker) bool { return !slices.Contains(b.Cannot, kind) }),
				"kitchen.bakers", fmt.Sprintf("nobody in this kitchen can do %q", string(kind)), "let one person do it, or leave the bread out")
		}
	}
}

// hottestOven is the most any oven gets to.
func (k *Kitchen) hottestOven() (t unit.Celsius) {
	for _, o := range k.Ovens {
		t = max(t, o.Max)
	}
	return t
}
