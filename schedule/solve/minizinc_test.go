package solve_test

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"ovenward/schedule/solve"
)

// dzn writes the day as data for bakeday.mzn.
func (d *bakeday) dzn() string {
	var b strings.Builder
	set := func(name string, v any) { fmt.Fprintf(&b, "%s=%v;\n", name, v) }
	for _, s := range []struct {
		name string
		v    int
	}{
		{"H", d.H}, {"nB", d.NB}, {"nOp", d.NOp}, {"nL", d.NL}, {"nRow", d.NRow}, {"nOv", d.NOv}, {"nProf", d.NProf},
		{"hands", int(d.Hands)}, {"mixcap", int(d.Mixcap)}, {"proofcap", int(d.Proofcap)}, {"fridgecap", int(d.Fridgecap)},
		{"wl", int(d.Wl)}, {"we", int(d.We)}, {"ws", int(d.Ws)}, {"now", d.Now},
	} {
		set(s.name, s.v)
	}
	for name, v := range map[string]any{
		"batch": d.Batch, "dur": d.Dur, "oh": d.Oh, "om": d.Om, "lfrom": d.Lfrom, "lto": d.Lto, "lrow": d.Lrow, "lmn": d.Lmn, "lmx": d.Lmx,
		"lspace": d.Lspace, "lcold": d.Lcold, "cmn": d.Cmn, "cmx": d.Cmx, "bake": d.Bake, "prof": d.Prof, "places": d.Places,
		"due": d.Due, "wt": d.Wt, "ovcap": d.Ovcap, "fix": d.Fix,
	} {
		set(name, mznList(v))
	}
	set("rdy", fmt.Sprintf("array2d(1..%d,0..%d,%s)", d.NRow, d.H, mznList(flat(d.Rdy))))
	set("far", fmt.Sprintf("array2d(1..%d,0..%d,%s)", d.NRow, d.H, mznList(flat(d.Far))))
	set("setup", fmt.Sprintf("array2d(0..%d,1..%d,%s)", d.NProf, d.NProf, mznList(flat(d.Setup))))
	return b.String()
}

func mznList(v any) string { return strings.ReplaceAll(fmt.Sprint(v), " ", ",") }

func flat[T any](rows [][]T) []T {
	var out []T
	for _, r := range rows {
		out = append(out, r...)
	}
	return out
}

// assigned writes a plan as constraints on the model's variables.
func (d *bakeday) assigned(plan *solve.Plan) string {
	s, cold, ov := make([]int, d.NOp), make([]bool, d.NL), make([]int, d.NB)
	op, link := make([]int, d.NB), make([]int, d.NB)
	for i, b := range d.Batch {
		s[i] = plan.Jobs[b-1].Ops[op[b-1]].Start
		op[b-1]++
	}
	for l, i := range d.Lfrom {
		b := d.Batch[i-1] - 1
		cold[l] = plan.Jobs[b].Links[link[b]].Mode == 1
		link[b]++
	}
	for b, jp := range plan.Jobs {
		ov[b] = jp.Ops[len(jp.Ops)-1].Machine + 1
	}
	return fmt.Sprintf("constraint s=%s; constraint cold=%s; constraint ov=%s;\n", mznList(s), mznList(cold), mznList(ov))
}

// gecode solves the model with more text and gives the objective, and whether
// Gecode proved it; ok is false where it found no plan.
func gecode(t *testing.T, d *bakeday, more string, limit time.Duration) (objective int64, proved, ok bool) {
	t.Helper()
	model, err := os.ReadFile(filepath.Join(bakedayDir, "bakeday.mzn"))
	if err != nil {
		t.Skip(err)
	}
	dir := t.TempDir()
	file := filepath.Join(dir, "day.mzn")
	if err := os.WriteFile(file, []byte(string(model)+more), 0o600); err != nil {
		t.Fatal(err)
	}
	data := filepath.Join(dir, "day.dzn")
	if err := os.WriteFile(data, []byte(d.dzn()), 0o600); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(t.Context(), limit+10*time.Minute) // that of MiniZinc is for Gecode alone
	defer cancel()
	out, err := exec.CommandContext(ctx, "minizinc", "--solver", "gecode", "--time-limit", strconv.Itoa(int(limit.Milliseconds())), file, data).CombinedOutput()
	if err != nil {
		t.Fatalf("%s: minizinc: %v\n%s", d.name, err, out)
	}
	found := regexp.MustCompile(`obj=(\d+)`).FindAllSubmatch(out, -1)
	if len(found) == 0 {
		t.Logf("%s: %s", d.name, out)
		return 0, false, false
	}
	objective, _ = strconv.ParseInt(string(found[len(found)-1][1]), 10, 64)
	return objective, strings.Contains(string(out), "=========="), true
}

// MiniZinc's model of the same days, run by Gecode: every plan satisfies it at
// the cost we claim, and where Gecode proves an optimum, ours is the same.
func TestAgainstMiniZinc(t *testing.T) {
	days := bakedays(t)
	if testing.Short() {
		t.Skip("short")
	}
	if _, err := exec.LookPath("minizinc"); err != nil {
		t.Skip("no minizinc on PATH")
	}
	const order = "solve :: int_search([s[bake[b]] | b in 1..nB] ++ s, dom_w_deg, indomain_max) minimize obj;\n"
	checked, proofs := 0, 0
	for _, d := range days {
		if d.NB > 5 {
			continue
		}
		p := d.problem()
		r := run(t, p, solve.Settings{Steps: 15_000, BoundSteps: -1})
		got, _, ok := gecode(t, &d, d.assigned(&r.Plan)+"solve minimize obj;\n", 5*time.Minute)
		if !ok || got != r.Plan.Cost.Total {
			t.Errorf("%s: the model makes it %d (satisfied: %v), we %d", d.name, got, ok, r.Plan.Cost.Total)
		}
		checked++
		if d.NB > 3 {
			continue
		}
		if best, proved, ok := gecode(t, &d, order, 2*time.Second); ok && proved {
			proofs++
			if best != r.Plan.Cost.Total {
				t.Errorf("%s: Gecode proves %d, we have %d", d.name, best, r.Plan.Cost.Total)
			}
		}
	}
	if checked < 20 {
		t.Errorf("only %d days checked", checked)
	}
	t.Logf("%d plans satisfy the model, %d optima proved", checked, proofs)
}
