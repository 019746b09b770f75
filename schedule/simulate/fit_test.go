package simulate_test

import (
	"flag"
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule/rise"
	"ovenward/schedule/unit"
)

var update = flag.Bool("update", false, "write testdata/rise/fit.md anew")

const reportFile = "../../testdata/rise/fit.md"

// fitted is what the program that found the parameters printed for the cases
// it was fitted to. The model here must say the same within 3 %.
var fitted = map[string]float64{
	"V1": 204, "V2": 52, "F1": 203, "F2": 62, "R1": 197, "R2": 66, "M1": 202, "M2": 55, "M3": 201, "M4": 55, "W1": 167, "W2": 58,
	"X1": 116, "X2": 43, "Y1": 86, "Y2": 39, "CH": 96, "BR1": 51, "BR2": 34, "HO1": 69, "HO2": 43, "Q1": 150, "Q2": 79, "PO": 656,
	"MP": 52, "FR": 2.53, "G1": 4.05, "G2": 6.25, "G3": .91, "G6": 7.43, "T2": 2.41, "T5": 1.27, "T7": 1.79,
	"D1": 2.58, "D2": 1.68, "D5": 2.08, "D6": 2.61, "K1": 1.22,
}

// result is one published rise and what the model makes of it.
type result struct {
	published
	model, ln, sd float64
}

func (r result) duration() bool { return r.row["quantity"] == "min_to_E" }
func (r result) fit() bool      { return r.role == "fit" }

// covered says whether the published duration lies in the range shown for it.
func (r result) covered() bool { return math.Abs(r.ln) <= 1.2816*r.sd }

func evaluate(t *testing.T) []result {
	var out []result
	for _, p := range readCases(t) {
		model, ln := p.compare(t)
		at := p.num("dough_temp_C")
		if p.row["ambient_C"] != "" {
			at = p.num("ambient_C")
		}
		sd := rise.New(p.dough(variant{}).Recipe, 1, rise.Default()).Spread(unit.Celsius(at), false)
		out = append(out, result{p, model, ln, sd})
	}
	return out
}

// TestFit runs the model over every published rise, those it was fitted to and
// those held out, and keeps the table in testdata/rise/fit.md true.
func TestFit(t *testing.T) {
	t.Parallel()
	results := evaluate(t)
	seen := 0
	for _, r := range results {
		if want, ok := fitted[r.id]; ok {
			seen++
			if math.Abs(r.model-want) > 0.03*want {
				t.Errorf("%s: %.4g, fitted model %v", r.id, r.model, want)
			}
		}
	}
	if seen != len(fitted) {
		t.Errorf("%d of %d fitted cases are in the file", seen, len(fitted))
	}
	fit := func(r result) bool { return r.fit() }
	heldOut := func(r result) bool { return !r.fit() }
	for _, c := range []struct {
		name string
		got  tally
		want float64 // as published with the parameters
		far  float64
	}{
		{"fit", lnOf(results, fit), 0.269, 0.01},
		{"fit, durations", lnOf(results, fit, result.duration), 0.203, 0.01},
		// The file holds 15 of the 23 rises held out, so these agree less closely.
		{"held out", lnOf(results, heldOut), 0.250, 0.03},
		{"held out, durations", lnOf(results, heldOut, result.duration), 0.253, 0.03},
	} {
		if math.Abs(c.got.rms()-c.want) > c.far {
			t.Errorf("%s: RMS of ln(model/published) %.3f, want %.3f ± %.2f", c.name, c.got.rms(), c.want, c.far)
		}
	}
	keepReport(t, report(results))
}

func keepReport(t *testing.T, text string) {
	t.Helper()
	if *update {
		if err := os.MkdirAll("../../testdata/rise", 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(reportFile, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	kept, err := os.ReadFile(reportFile)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(kept), text); diff != "" {
		t.Errorf("%s is not what the model says; after a wanted change run go test -run TestFit -update:\n%s", reportFile, diff)
	}
}

// lnOf are the misses of the results that all conditions hold for.
func lnOf(results []result, conditions ...func(result) bool) tally {
	var out tally
	for _, r := range results {
		if !slices.ContainsFunc(conditions, func(c func(result) bool) bool { return !c(r) }) {
			out = append(out, r.ln)
		}
	}
	return out
}

// report is the table in words of a page.
func report(results []result) string {
	var b strings.Builder
	b.WriteString(`# What the rise model makes of published rises

Measured 2026-11-25 by ` + "`go test ./schedule/simulate -run TestFit -update`" + `. Parameters: rise.Default. Box temperatures run through a
ball of dough, h 12 W/(m² K). RMS and bias are of ln(model/published). Range: the published duration lies in the 80 % range shown for it.

| kind | fit: n | RMS | bias | held out: n | RMS | bias |
|---|---|---|---|---|---|---|
`)
	group := func(name string, only func(result) bool) {
		fit, out := lnOf(results, only, result.fit), lnOf(results, only, func(r result) bool { return !r.fit() })
		fmt.Fprintf(&b, "| %s | %s | %s |\n", name, fit, out)
	}
	for _, kind := range []string{"bulk", "second", "proof", "gas", "temperature", "dose", "osmotic", "yeastkind"} {
		group(kind, func(r result) bool { return r.kind == kind })
	}
	group("**all**", func(result) bool { return true })
	group("durations", result.duration)

	b.WriteString("\n80 % range, durations: ")
	for _, role := range []string{"fit", "held_out"} {
		n, in := 0, 0
		for _, r := range results {
			if r.role == role && r.duration() {
				n++
				if r.covered() {
					in++
				}
			}
		}
		fmt.Fprintf(&b, "%s %d of %d inside; ", strings.ReplaceAll(role, "_", " "), in, n)
	}
	b.WriteString("a true 80 % would be 20 and 6.\n\n| id | role | kind | quantity | published | model | ln ratio | range | source |\n|---|---|---|---|---|---|---|---|---|\n")
	source := ""
	for _, r := range results {
		inside := ""
		if r.duration() {
			inside = map[bool]string{true: "inside", false: "**outside**"}[r.covered()]
		}
		if s := r.row["source"]; !strings.HasPrefix(s, "same") && !strings.HasSuffix(s, "/same") {
			source = s
		}
		fmt.Fprintf(&b, "| %s | %s | %s | %s | %v | %.3g | %+.2f | %s | %s, %s |\n", r.id, strings.ReplaceAll(r.role, "_", " "), r.kind,
			r.row["quantity"], r.num("published"), r.model, r.ln, inside, source, strings.ToLower(r.row["read_or_recalled"]))
	}
	return b.String()
}

// tally gathers ln(model/published) of a group.
type tally []float64

func (l tally) rms() float64 {
	sum := 0.0
	for _, v := range l {
		sum += v * v
	}
	return math.Sqrt(sum / float64(len(l)))
}

func (l tally) bias() float64 {
	sum := 0.0
	for _, v := range l {
		sum += v
	}
	return sum / float64(len(l))
}

// String is n, RMS and bias as cells of a table.
func (l tally) String() string {
	if len(l) == 0 {
		return "0 | | "
	}
	return fmt.Sprintf("%d | %.3f | %+.3f", len(l), l.rms(), l.bias())
}
