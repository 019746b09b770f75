package schedule

import (
	"fmt"
	"slices"
	"strings"

	"ovenward/schedule/dough"
)

// bases looks at the doughs mixed for several breads.
func (v *inspection) bases() {
	bs := v.day.Bases
	v.names("bases", "name", "dough", len(bs), func(i int) string { return bs[i].Name })
	for i := range bs {
		b, where := &bs[i], at("bases", i)
		v.id(where, b.ID)
		v.formula(where+".formula", b.Formula.Validate())
		m := method{inspection: v, where: where + ".method", stages: b.Method, formula: b.Formula, base: true}
		m.look()
	}
}

// breads looks at everything that could be ordered.
func (v *inspection) breads() {
	bs := v.day.Breads
	v.want(len(bs) > 0, "breads", "there are no breads", "add the bread to be baked: formula, method, weight of a piece")
	v.names("breads", "name", "bread", len(bs), func(i int) string { return bs[i].Name })
	for i := range bs {
		v.bread(at("breads", i), &bs[i])
	}
	v.sameIDs()
}

func (v *inspection) bread(where string, b *Bread) {
	v.id(where, b.ID)
	m := method{inspection: v, where: where + ".method", stages: b.Method, formula: b.Formula, bread: b}
	if b.Base == "" {
		v.formula(where+".formula", b.Formula.Validate())
	} else {
		base, ok := v.day.Base(b.Base)
		if v.want(ok, where+".base", fmt.Sprintf("there is no base dough %q", b.Base), choose(v.baseIDs(), "leave it out, or add the base dough")) {
			m.mixes = base.Method
		}
		v.formula(where+".formula", additions(b.Formula))
	}
	m.look()
	v.within(where+".piece_grams", float64(b.Piece), 10, 10e3, fmt.Sprintf("a piece does not weigh %v", b.Piece), "give the dough of one piece, 10 to 10000 g")
	v.want(b.PerTray >= 1 && b.PerTray <= 500, where+".per_tray", fmt.Sprintf("a tray does not take %d pieces", b.PerTray), "give how many pieces or tins go on one tray, 1 to 500")
	v.within(where+".bake_loss", float64(b.Loss), 0, 30, fmt.Sprintf("bread does not lose %v in the oven", b.Loss), "weigh a piece before and after: 8 to 15 % is usual")
	v.want(len(b.Notes) <= mostNotes, where+".notes", fmt.Sprintf("the notes have %d letters", len(b.Notes)), fmt.Sprintf("shorten them to %d", mostNotes))
	if b.Tin != "" {
		var tins []string
		for _, t := range v.day.Kitchen.Tins {
			tins = append(tins, t.Name)
		}
		v.want(slices.Contains(tins, b.Tin), where+".tin", fmt.Sprintf("there is no tin called %q", b.Tin), choose(tins, "add the tin to the kitchen, or leave it out"))
	}
	if b.Tray != "" {
		var trays []string
		for _, t := range v.day.Kitchen.Trays {
			trays = append(trays, t.Name)
		}
		v.want(slices.Contains(trays, b.Tray), where+".tray", fmt.Sprintf("there is no tray called %q", b.Tray), choose(trays, "add the tray to the kitchen, or leave it out for the usual one"))
	}
	v.stands(where, b)
	v.bowl(where, b, append(slices.Clone(m.mixes), b.Method...))
}

// stands wants a deck for what the bread goes into the oven in or on.
func (v *inspection) stands(where string, b *Bread) {
	k := &v.day.Kitchen
	of, _ := k.Stands(b)
	field, heat := ".tray", hottest(b.Method)
	if of == b.Tin {
		field = ".tin"
	}
	if of != "" && heat <= k.hottestOven() && k.ovenTakes(of, heat) < 1 {
		v.fault(where+field, fmt.Sprintf("no oven that gets to %v takes %q", heat, of),
			"say in the kitchen what a deck of such an oven takes of it, or bake this bread in or on something else")
	}
}

// bowl wants a mixer for dough mixed by machine that takes a piece at least;
// more dough than it takes is mixed in several batches.
func (v *inspection) bowl(where string, b *Bread, stages []Stage) {
	var most float64
	for _, m := range v.day.Kitchen.Mixers {
		most = max(most, float64(m.Most))
	}
	if most > 0 && float64(b.Piece) > most && slices.ContainsFunc(stages, func(s Stage) bool { return s.Kind == Mix && s.Machine }) {
		v.fault(where+".piece_grams", fmt.Sprintf("one piece of %v is more than the mixer takes at once", b.Piece), "make the piece smaller, or mix by hand")
	}
}

func (v *inspection) id(where, id string) {
	if v.want(id != "", where+".id", "no short name is given", "give one in small letters, such as rye-loaf") {
		v.want(IsSlug(id), where+".id", fmt.Sprintf("%q is no short name", id), "use small letters, digits and single hyphens, such as rye-loaf")
	}
}

// sameIDs wants no ID twice among bases and breads together.
func (v *inspection) sameIDs() {
	first := map[string]string{}
	look := func(where, id string) {
		if prior, seen := first[id]; seen && id != "" {
			v.fault(where+".id", fmt.Sprintf("%q is the short name of %s already", id, prior), "give each dough and bread its own")
			return
		}
		first[id] = where
	}
	for i, b := range v.day.Bases {
		look(at("bases", i), b.ID)
	}
	for i, b := range v.day.Breads {
		look(at("breads", i), b.ID)
	}
}

func (v *inspection) baseIDs() []string {
	var ids []string
	for _, b := range v.day.Bases {
		ids = append(ids, b.ID)
	}
	return ids
}

// formula takes over what package dough finds.
func (v *inspection) formula(where string, faults []dough.Fault) {
	for _, f := range faults {
		v.fault(where+"."+f.Where, f.What, f.Remedy)
	}
}

// additions are the faults of what a bread adds to its base: each ingredient by
// itself, for the sums belong to the base.
func additions(f dough.Formula) []dough.Fault {
	return slices.DeleteFunc(f.Validate(), func(f dough.Fault) bool { return !strings.HasPrefix(f.Where, "ingredients[") })
}
