package web

import (
	"errors"
	"fmt"
	"maps"
	"math"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"ovenward/schedule/dough"
	"ovenward/schedule/unit"
	"ovenward/store/record"
	"ovenward/web/view"
)

// ingredients is where a form keeps the lines of a formula.
const ingredients = "formula.ingredients"

// entered is a form whose amounts have been read.
type entered struct {
	Values url.Values // as typed, with every amount that could be read in percent
	Faults []view.FieldFault
	Tally  view.Tally
}

// enter reads the amounts of a formula as they are typed. An ingredient that is
// not named is taken from its amount: "3 cups bread flour".
func enter(typed url.Values, l dough.Library) entered {
	e := entered{Values: maps.Clone(typed)}
	n := view.Count(typed, ingredients)
	for i := range n {
		e.Values.Set(lineField(i, "percent"), "") // its row stays
		if e.Values.Get(lineField(i, "food")) == "" {
			if q, err := dough.ParseQuantity(typed.Get(lineField(i, "percent"))); err == nil && q.Rest != "" {
				e.Values.Set(lineField(i, "food"), q.Rest)
			}
		}
	}
	var d struct {
		Formula dough.Formula `json:"formula"`
	}
	decode(e.Values, &d) // its faults are found again when it is saved
	asked := names(&d.Formula, l)
	whole := l.Dress(d.Formula)
	in := decoder{in: typed}
	entries := make([]dough.Entry, n)
	for i := range entries {
		food, ok := whole.Ingredients[i].Resolve()
		if q, open := asked[i]; open {
			food = q.like
		} else if !ok {
			food.Name = whole.Ingredients[i].Label()
		}
		entries[i] = dough.Entry{Amount: typed.Get(lineField(i, "percent")), Food: food, Each: in.grams(lineField(i, "each"))}
	}
	flour := in.grams("formula.flour")
	got, for100 := dough.Enter(entries, flour)
	e.Faults = in.faults
	e.tally(whole, entries, got, for100, asked)
	return e
}

// tally writes what every line comes to; a line whose food is asked for is not
// counted where it may be several.
func (e *entered) tally(whole dough.Formula, entries []dough.Entry, got []dough.Entered, flour unit.Grams, asked map[int]foodQuestion) {
	t := &e.Tally
	if t.For, t.Typed = flour, flour > 0; !t.Typed {
		t.For = view.UsualFlour
	}
	for i, g := range got {
		in := whole.Ingredients[i]
		if in.Food == "" && strings.TrimSpace(entries[i].Amount) == "" {
			e.Values.Set(lineField(i, "percent"), "")
			continue
		}
		_, known := in.Resolve()
		line := view.TallyLine{Name: in.Label(), Percent: g.Percent, Grams: t.For * unit.Grams(g.Percent) / 100, Basis: g.Basis, Assumed: g.Assumed, Unknown: !known}
		if line.Name == "" {
			line.Name = "Ingredient " + strconv.Itoa(i+1)
		}
		q, open := asked[i]
		if open {
			line.Name = in.Food
			e.Faults = append(e.Faults, q.FieldFault)
		}
		if g.Err == nil && q.several {
			line.Fault = q.What
		} else if g.Err != nil {
			line.Fault = view.AmountFault(entries[i].Amount, g.Err)
			e.Faults = append(e.Faults, view.FieldFault{Field: lineField(i, "percent"), What: line.Fault})
		} else {
			in.Percent = g.Percent
			t.Dough.Ingredients = append(t.Dough.Ingredients, in)
			e.Values.Set(lineField(i, "percent"), tidy(g, entries[i].Amount))
		}
		t.Lines = append(t.Lines, line)
	}
}

// tidy is a percentage as it is kept: as typed, or to four figures or so where it
// was converted.
func tidy(g dough.Entered, amount string) string {
	p := float64(g.Percent)
	digits := 2
	switch {
	case strings.Trim(amount, " %0123456789.,") == "":
		digits = 6
	case p < 1:
		digits = 4
	case p < 10:
		digits = 3
	}
	scale := math.Pow10(digits)
	return strconv.FormatFloat(math.Round(p*scale)/scale, 'f', -1, 64)
}

func lineField(i int, field string) string {
	return fmt.Sprintf("%s[%d].%s", ingredients, i, field)
}

// grams reads a weight that may be left out.
func (d *decoder) grams(field string) unit.Grams {
	text := strings.TrimSpace(d.in.Get(field))
	g := d.number(field, text)
	if text != "" && len(d.faults) == 0 && !(g > 0 && g <= heaviest) {
		d.fault(field, "%s g cannot be; give 0.1 to 1000000, or nothing.", text)
		return 0
	}
	return unit.Grams(max(g, 0))
}

// tallyOf is what the form of a bread or a base comes to.
func (s *server) tallyOf(r *http.Request, v url.Values, l dough.Library) (view.Tally, error) {
	e := enter(v, l)
	t := e.Tally
	in := decoder{in: v}
	t.Piece, t.Loss = unit.Grams(in.number("", v.Get("piece_grams"))), unit.Percent(in.number("", v.Get("bake_loss")))
	b, err := s.benchSettings(r)
	if err != nil {
		return t, err
	}
	t.Rules = b.Rules
	if id := v.Get("base"); id != "" {
		base, err := s.store.Base(r.Context(), id)
		if errors.Is(err, record.ErrNotFound) {
			return t, nil
		}
		if err != nil {
			return t, err
		}
		t.Base = base.Name
		t.Dough.Ingredients = append(l.Dress(base.Formula).Ingredients, t.Dough.Ingredients...)
		return t, nil
	}
	if len(t.Dough.Ingredients) == len(t.Lines) && len(t.Lines) > 0 {
		for _, f := range t.Dough.Validate() {
			if f.Where == "ingredients" {
				t.Mend = append(t.Mend, view.Sentence(f.What+"; "+f.Remedy))
			}
		}
	}
	return t, nil
}

// tally answers with what a formula comes to while it is being typed. Nothing is
// kept.
func (s *server) tally(w http.ResponseWriter, r *http.Request) error {
	if err := r.ParseForm(); err != nil {
		return badForm(err)
	}
	l, err := s.store.Foods(r.Context())
	if err != nil {
		return err
	}
	t, err := s.tallyOf(r, r.PostForm, l)
	if err != nil {
		return err
	}
	return render(w, r, http.StatusOK, view.Typed(s.words(r), &view.Form{Values: r.PostForm}, t))
}
