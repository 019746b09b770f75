package solve_test

import (
	"encoding/csv"
	"encoding/json"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"ovenward/schedule/solve"
)

// bakedayDir holds generated baking days with optima proved by CP-SAT, beside
// the repository.
const bakedayDir = "../../../shared/data/bakeday"

// bakeday is one of these days: the parameters of bakeday.mzn by their names
// there. Operations, links, batches and profiles count from 1.
type bakeday struct {
	name                                        string
	H, NB, NOp, NL, NRow, NOv, NProf            int
	Hands, Mixcap, Proofcap, Fridgecap          int32
	Wl, We, Ws                                  int64
	Now                                         int
	Batch, Dur                                  []int
	Oh, Om, Lspace                              []int32
	Lfrom, Lto, Lrow, Lmn, Lmx, Lcold, Cmn, Cmx []int
	Rdy, Far                                    [][]int32
	Bake, Prof, Places, Due                     []int
	Wt                                          []int64
	Ovcap                                       []int
	Setup                                       [][]int // row 0 is from cold
	Fix                                         []int
	optimum                                     int64 // 0 where not proved
}

// bakedays reads all days, or skips the test where they are absent.
func bakedays(tb testing.TB) []bakeday {
	tb.Helper()
	f, err := os.Open(filepath.Join(bakedayDir, "reference.csv"))
	if err != nil {
		tb.Skipf("no reference days beside the repository: %v", err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		tb.Fatal(err)
	}
	optimum := map[string]int64{}
	for _, r := range rows[1:] {
		if v, err := strconv.ParseInt(r[1], 10, 64); err == nil && r[3] == "yes" {
			optimum[r[0]] = v
		}
	}
	names, err := filepath.Glob(filepath.Join(bakedayDir, "instances", "*.json"))
	if err != nil {
		tb.Fatal(err)
	}
	var days []bakeday
	for _, name := range names {
		raw, err := os.ReadFile(name)
		if err != nil {
			tb.Fatal(err)
		}
		d := bakeday{name: strings.TrimSuffix(filepath.Base(name), ".json")}
		if err := json.Unmarshal(raw, &d); err != nil {
			tb.Fatalf("%s: %v", name, err)
		}
		d.optimum = optimum[d.name]
		days = append(days, d)
	}
	return days
}

const (
	hands = iota
	mixer
	proof
	fridge
)

// problem says the day in the scheduler's terms.
func (d *bakeday) problem() *solve.Problem {
	p := &solve.Problem{Slots: d.H, Now: d.Now, Late: d.Wl, Early: d.We, Span: d.Ws, Cold: d.Setup[0], Setup: d.Setup[1:]}
	for i, c := range []int32{d.Hands, d.Mixcap, d.Proofcap, d.Fridgecap} {
		p.Resources = append(p.Resources, solve.Resource{Name: []string{"hands", "mixer", "proof", "fridge"}[i], Cap: []int32{c}})
	}
	ovens := make([]int, d.NOv)
	for i, c := range d.Ovcap {
		ovens[i] = i
		p.Machines = append(p.Machines, solve.Machine{Name: "oven " + strconv.Itoa(i+1), Cap: c})
	}
	p.Jobs = make([]solve.Job, d.NB)
	place := make([]int, d.NOp) // index within the job
	for i := range d.NOp {
		job := &p.Jobs[d.Batch[i]-1]
		place[i] = len(job.Ops)
		op := solve.Op{Dur: d.Dur[i], Fixed: d.Fix[i], Was: solve.Free}
		if d.Oh[i] > 0 {
			op.Needs = append(op.Needs, solve.Need{Any: []int{hands}, Amount: d.Oh[i]})
		}
		if d.Om[i] > 0 {
			op.Needs = append(op.Needs, solve.Need{Any: []int{mixer}, Amount: d.Om[i]})
		}
		job.Ops = append(job.Ops, op)
	}
	for b, i := range d.Bake {
		op := &p.Jobs[b].Ops[place[i-1]]
		op.Needs = append(op.Needs, solve.Need{Any: []int{hands}, Amount: 1, To: 1}, solve.Need{Any: []int{hands}, Amount: 1, From: op.Dur - 1})
		op.Machine = &solve.Use{Any: ovens, Profile: d.Prof[b] - 1, Places: d.Places[b]}
		op.Due, op.Weight, op.EarlyWeight = d.Due[b], d.Wt[b], 1
	}
	windows := make([]*solve.Window, d.NRow)
	for i := range windows {
		windows[i] = &solve.Window{Min: d.Rdy[i], Max: d.Far[i]}
	}
	for l := range d.NL {
		job := &p.Jobs[d.Batch[d.Lfrom[l]-1]-1]
		room := solve.Mode{Name: "room", Min: d.Lmn[l], Max: d.Lmx[l]}
		if k := d.Lrow[l]; k > 0 {
			room.Window = windows[k-1]
		}
		cold := solve.Mode{Name: "cold", Min: d.Cmn[l], Max: d.Cmx[l]}
		if n := d.Lspace[l]; n > 0 {
			room.Space = []solve.Hold{{Any: []int{proof}, Amount: n}}
			cold.Space = []solve.Hold{{Any: []int{fridge}, Amount: n}}
		}
		link := solve.Link{From: place[d.Lfrom[l]-1], To: place[d.Lto[l]-1], Modes: []solve.Mode{room}}
		if d.Lcold[l] == 1 {
			link.Modes = append(link.Modes, cold)
		}
		job.Links = append(job.Links, link)
	}
	return p
}
