package simulate_test

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"ovenward/schedule/heat"
	"ovenward/schedule/rise"
	"ovenward/schedule/simulate"
	"ovenward/schedule/unit"
)

// casesFile is kept beside the repository; tests that read it skip without it.
const casesFile = "../../../shared/data/rise/cases.csv"

// published is one rise of the literature: a row of the cases file.
type published struct {
	row  map[string]string
	id   string
	kind string
	role string
}

func (p published) num(column string) float64 {
	v, _ := strconv.ParseFloat(p.row[column], 64)
	return v
}

// expansion reads 2.5, "db" for doubled by eye, or "db*0.92".
func expansion(text string) float64 {
	if rest, ok := strings.CutPrefix(text, "db"); ok {
		share, err := strconv.ParseFloat(strings.TrimPrefix(rest, "*"), 64)
		if err != nil {
			share = 1
		}
		return share * rise.DoubledByEye
	}
	v, _ := strconv.ParseFloat(text, 64)
	return v
}

// variant is what the alternative of a ratio changes.
type variant struct {
	H, S, T, Yeast, Amb, Mass, T0 *float64
	Kind                          string
}

func (p published) dough(v variant) *simulate.Dough {
	kinds := map[string]rise.Kind{"fresh": rise.Fresh, "ady": rise.ActiveDry, "idy": rise.Instant}
	r := rise.Recipe{
		Yeast: unit.Percent(p.num("yeast_pct")), Kind: kinds[p.row["yeast_kind"]],
		Salt: unit.Percent(p.num("salt_pct")), Sugar: unit.Percent(p.num("sugar_pct")), Hexose: unit.Percent(p.num("hexose_pct")),
		Fat: unit.Percent(p.num("fat_pct")), Water: unit.Percent(p.num("water_pct")), DoughPerFlour: p.num("dough_flour_ratio"),
	}
	if v.H != nil {
		r.Hexose = unit.Percent(*v.H)
	}
	if v.S != nil {
		r.Salt = unit.Percent(*v.S)
	}
	if v.Yeast != nil {
		r.Yeast = unit.Percent(*v.Yeast)
	}
	if v.Kind != "" {
		r.Kind = kinds[v.Kind]
	}
	return &simulate.Dough{Recipe: r, Soaked: p.num("tau0_h")}
}

// begin takes the dough through its protocol to the moment that was measured,
// and gives the place it then stood in.
func (p published) begin(t *testing.T, v variant) (simulate.State, *simulate.Air) {
	place := simulate.Steady(unit.Celsius(p.num("dough_temp_C")), simulate.Kept)
	mass, start := 1.0, p.num("dough_temp_C")
	if p.row["ambient_C"] != "" {
		place = simulate.Steady(unit.Celsius(p.num("ambient_C")), 12)
		mass, start = p.num("mass_kg"), p.num("start_temp_C")
	}
	if v.T != nil {
		place = simulate.Steady(unit.Celsius(*v.T), simulate.Kept)
	}
	if v.Amb != nil {
		place = simulate.Steady(unit.Celsius(*v.Amb), 12)
	}
	s := mustStart(t, p.dough(v), 0, heat.Ball(unit.Grams(1000*mass)), unit.Celsius(start))
	var protocol []struct {
		Until, Degas any
		Min, T       float64
	}
	if err := json.Unmarshal([]byte(p.row["protocol"]), &protocol); err != nil {
		t.Fatal(p.id, err)
	}
	for _, step := range protocol {
		kept := simulate.Steady(unit.Celsius(step.T), simulate.Kept)
		switch {
		case step.Degas == "light":
			s.Handle(rise.LayOver)
		case step.Degas == "hard":
			s.Handle(rise.KnockBack)
		case step.Degas != nil:
			s.Degas(step.Degas.(float64))
		case step.Until != nil:
			s.WaitUntil(kept, expansion(fmt.Sprint(step.Until)), 1e5)
		default:
			s.Wait(kept, step.Min)
		}
	}
	return s, place
}

// model gives the figure the source prints.
func (p published) model(t *testing.T, v variant) float64 {
	s, place := p.begin(t, v)
	target := p.row["target_E"]
	switch quantity := p.row["quantity"]; quantity {
	case "min_to_E", "ratio_min":
		m, reached := s.WaitUntil(place, expansion(target), 1e5)
		if !reached {
			t.Fatalf("%s: never at %s", p.id, target)
		}
		return m
	case "E_at_min":
		s.Wait(place, expansion(target))
		return s.Expansion()
	default: // gas per flour, or a ratio of it
		s.Wait(place, expansion(target))
		y := s.Yeast()
		return y.GasPerFlour(s.Kinetics())
	}
}

func (p published) compare(t *testing.T) (model, ln float64) {
	model = p.model(t, variant{})
	if strings.HasPrefix(p.row["quantity"], "ratio") {
		var alt variant
		if err := json.Unmarshal([]byte(p.row["alt"]), &alt); err != nil {
			t.Fatal(p.id, err)
		}
		model /= p.model(t, alt)
	}
	return model, math.Log(model / p.num("published"))
}

func readCases(t *testing.T) []published {
	t.Helper()
	f, err := os.Open(casesFile)
	if os.IsNotExist(err) {
		t.Skip("the published rises are not here: ", casesFile)
	}
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []published
	for _, cells := range rows[1:] {
		p := published{row: map[string]string{}}
		for i, name := range rows[0] {
			p.row[name] = cells[i]
		}
		p.id, p.kind, p.role = p.row["id"], p.row["kind"], p.row["role"]
		out = append(out, p)
	}
	return out
}
