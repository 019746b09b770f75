package dough_test

import (
	"encoding/json"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule/dough"
)

// records reads the rows of a file of fields parted by ^.
func records(t *testing.T, path string) [][]string {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	var rows [][]string
	for line := range strings.Lines(string(data)) {
		if !strings.HasPrefix(line, "#") {
			rows = append(rows, strings.Split(strings.TrimSpace(line), "^"))
		}
	}
	return rows
}

func byNDB(t *testing.T, ndb string) dough.Food {
	t.Helper()
	foods := dough.Foods()
	i := slices.IndexFunc(foods, func(f dough.Food) bool { return f.NDB == ndb })
	if i < 0 {
		t.Fatalf("no food has the record %s", ndb)
	}
	return foods[i]
}

// Every row against the records of USDA SR in testdata, exactly; salt is sodium
// x 2.54 to the two places given.
func TestComposition(t *testing.T) {
	t.Parallel()
	for _, row := range records(t, "testdata/usda-sr.txt") {
		f := byNDB(t, row[0])
		for i, got := range []float64{f.Water, f.Protein, f.Fat, f.Sugar, f.Salt} {
			if row[2+i] == "" {
				continue
			}
			want, err := strconv.ParseFloat(row[2+i], 64)
			if err != nil {
				t.Fatal(err)
			}
			if i == 4 {
				want = math.Round(want*2.54/10) / 100
			}
			if got != want {
				t.Errorf("%s: field %d is %v, the record (%s) says %v", f.ID, i, got, row[1], want)
			}
		}
	}
}

// Every household measure of a food with a record, against USDA SR28 in
// testdata, exactly, and no measure beside.
func TestMeasures(t *testing.T) {
	t.Parallel()
	want := map[string]map[string]float64{}
	for _, row := range records(t, "testdata/usda-weight.txt") {
		amount, _ := strconv.ParseFloat(row[1], 64)
		grams, _ := strconv.ParseFloat(row[3], 64)
		if want[row[0]] == nil {
			want[row[0]] = map[string]float64{}
		}
		want[row[0]][row[2]] = grams / amount
	}
	for ndb, measures := range want {
		got := map[string]float64{}
		for _, m := range byNDB(t, ndb).Measures {
			got[m.Name] = m.Grams
		}
		if diff := cmp.Diff(measures, got); diff != "" {
			t.Errorf("%s (-want +got):\n%s", ndb, diff)
		}
	}
}

// What must hold of any composition table.
func TestFoodsHold(t *testing.T) {
	t.Parallel()
	seen := map[string]bool{}
	for _, f := range dough.Foods() {
		if seen[f.ID] || f.ID == "" || f.ID != strings.ToLower(f.ID) || strings.ContainsAny(f.ID, " _") {
			t.Errorf("%q is no slug of its own", f.ID)
		}
		seen[f.ID] = true
		if sum := f.Water + f.Fat + f.Sugar + f.Salt + f.Protein; sum > 100.5 {
			t.Errorf("%s: parts come to %v g in 100 g", f.ID, sum)
		}
		if f.Hexose+f.Lactose > f.Sugar {
			t.Errorf("%s: more hexose and lactose than sugar", f.ID)
		}
		if len(f.Allergens) == 0 {
			t.Errorf("%s: allergens not stated", f.ID)
		}
		if (f.Role == dough.Yeast) != (f.Yeast.Fresh() > 0) {
			t.Errorf("%s: kind of yeast %q", f.ID, f.Yeast)
		}
		found, ok := dough.Find(f.ID)
		if !ok || !cmp.Equal(found, f) {
			t.Errorf("%s is not found again", f.ID)
		}
	}
	if _, ok := dough.Find("sawdust"); ok {
		t.Error("sawdust is a food")
	}
}

func TestFoodJSON(t *testing.T) {
	t.Parallel()
	for _, f := range dough.Foods() {
		data, err := json.Marshal(f)
		if err != nil {
			t.Fatal(err)
		}
		var back dough.Food
		if err := json.Unmarshal(data, &back); err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(f, back); diff != "" {
			t.Errorf("%s (-want +got):\n%s", f.ID, diff)
		}
	}
	var r dough.Role
	if err := json.Unmarshal([]byte(`"leaven"`), &r); err == nil {
		t.Error("an unknown role was read")
	}
}

// Water by Choi and Okos at 20 °C is 4.18 kJ/(kg K) (CRC Handbook: 4.182); flour
// 1.85 as calculated for the worked heat balance; fat near 2.0 (ASHRAE Refrigeration).
func TestHeat(t *testing.T) {
	t.Parallel()
	for id, want := range map[string]float64{"water": 4.18, "bread-flour": 1.85, "lard": 2.01} {
		f, _ := dough.Find(id)
		if got := f.Heat(); math.Abs(got-want) > 0.01 {
			t.Errorf("%s: %v kJ/(kg K), want %v", id, got, want)
		}
	}
}
