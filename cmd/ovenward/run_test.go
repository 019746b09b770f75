package main

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
)

var update = flag.Bool("update", false, "write the golden files anew")

const days = "../../testdata/day/"

// result is what a command leaves behind.
type result struct {
	Code     int
	Out, Err string
}

// began is when the tests did.
var began = time.Now()

// clock is that of every program in this process: whatever the machine's says, the
// tests begin on a Friday, and time passes as it does.
func clock() time.Time {
	return time.Date(2026, 11, 27, 10, 0, 0, 0, time.UTC).Add(time.Since(began))
}

// command runs the program in this process.
func command(t *testing.T, in string, args ...string) result {
	t.Helper()
	var out, errs bytes.Buffer
	p := &program{
		in: strings.NewReader(in), out: &out, err: &errs,
		now:    clock,
		getenv: func(string) string { return "" },
	}
	code := p.run(t.Context(), args)
	return result{code, out.String(), errs.String()}
}

// mark gives the file with one piece swapped for another, the marks ‸ taken out,
// and where they stood as line:column.
func mark(t *testing.T, file, from, to string) (data string, at []string) {
	t.Helper()
	b, err := os.ReadFile(days + file)
	if err != nil {
		t.Fatal(err)
	}
	if strings.Count(string(b), from) != 1 {
		t.Fatalf("%q is not once in %s", from, file)
	}
	before, after, _ := strings.Cut(string(b), from)
	data = before + to + after
	for {
		i := strings.Index(data, "‸")
		if i < 0 {
			return data, at
		}
		line := data[strings.LastIndexByte(data[:i], '\n')+1 : i]
		at = append(at, fmt.Sprintf("%d:%d", strings.Count(data[:i], "\n")+1, len([]rune(line))+1))
		data = data[:i] + data[i+len("‸"):]
	}
}

// What is wrong with a day is said with its place, what it is, and the remedy.
func TestBadDays(t *testing.T) {
	t.Parallel()
	const loaf, night = "single-pan-loaf.json", "retard-clocks-back.json"
	tests := []struct {
		name, file, from, to string
		want                 []string // %s is the place of the mark
	}{
		{"unknown field", loaf, `"per_tray": 1,`, `"per_tray": 1, ‸"flavour": "plain",`, []string{
			`%s: breads[0].flavour: there is no field "flavour" here; take it away, or use one of id, name, base, formula, method, piece_grams, per_tray, tin, tray, bake_loss, notes`}},
		{"another unit", loaf, `"max_celsius": 250`, `‸"max_fahrenheit": 480`, []string{
			`%s: kitchen.ovens[0].max_fahrenheit: there is no field "max_fahrenheit" here; write "max_celsius", in °C; 480 °F is 248.89 °C`}},
		{"a figure of another unit", loaf, `"max_celsius": 250`, `"max_celsius": ‸480`, []string{
			`%s: kitchen.ovens[0].max_celsius: 480` + "\u00a0" + `°C is hotter than any bread oven; give the hottest the oven really gets, 230 to 350 °C`}},
		{"kilograms for grams", loaf, `"piece_grams": 860`, `"piece_grams": ‸0.86`, []string{
			`%s: breads[0].piece_grams: a piece does not weigh 0.86` + "\u00a0" + `g; give the dough of one piece, 10 to 10000 g`}},
		{"negative", loaf, `"minutes": 36`, `"minutes": ‸-36`, []string{
			`%s: breads[0].method[6].steps[0].minutes: a step of -36 minutes cannot be; give 1 to 240`}},
		{"absurd", loaf, `"pieces": 1,`, `"pieces": ‸1000000,`, []string{
			`%s: orders[0].pieces: 1000000 pieces cannot be baked; give 1 to 10000`}},
		{"two absurd things at once", loaf, `"tub_grams": 3000,`, `"tub_grams": ‸3, "tap_celsius": ‸90,` + "\n" + `"flour_celsius": 20}, "bases": [], "x": {`, []string{
			`there is no field "x" here`}},
		{"proof after the bake", loaf, `{"kind": "cool", `, `‸{"kind": "proof", "until": {"word": "tin-full"}}, {"kind": "cool", `, []string{
			`%s: breads[0].method[7]: "proof" comes after the bake; move it before the bake; after it only cool and finish`}},
		{"no such bread", loaf, `"bread": "pan-loaf"`, `"bread": ‸"pan-loav"`, []string{
			`%s: orders[0].bread: there is no bread "pan-loav"; choose pan-loaf`}},
		{"promise in the past", loaf, `"cool_by": "2026-09-12T13:30"`, `"cool_by": ‸"2026-09-11T13:30"`, []string{
			`%s: orders[0].cool_by: 2026-09-11T13:30 has passed: it is 2026-09-12T07:00; promise a time to come`}},
		{"two promises", loaf, `"cool_by": "2026-09-12T13:30"`, `"out_by": "2026-09-12T12:00", "cool_by": ‸"2026-09-12T13:30"`, []string{
			`%s: orders[0].cool_by: two times are promised, out of the oven and cooled; keep the one that counts`}},
		{"empty day", loaf, `"orders": [{"bread": "pan-loaf", "pieces": 1, "cool_by": "2026-09-12T13:30"}]`, `"orders": ‸[]`, []string{
			`%s: orders: nothing is ordered; add an order: which bread, how many, out by when`}},
		{"an hour that is skipped", loaf, `"now": "2026-09-12T07:00"`, `"now": ‸"2027-03-28T02:30"`, []string{
			`%s: now: 2027-03-28T02:30 does not exist in Europe/Oslo: clocks go forward over it; say 2027-03-28T01:30 or 2027-03-28T03:30`}},
		{"an hour that comes twice", night, `"out_by": "2026-10-25T10:00"`, `"out_by": ‸"2026-10-25T01:30"`, []string{
			`%s: orders[0].out_by: 2026-10-25T01:30 happens twice in Europe/Dublin, as clocks go back; say 2026-10-25T01:30+01:00 or 2026-10-25T01:30Z`}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			data, at := mark(t, tt.file, tt.from, tt.to)
			got := command(t, data, "plan", "-")
			if got.Code != badInput || got.Out != "" {
				t.Errorf("exit %d, printed %q", got.Code, got.Out)
			}
			for i, want := range tt.want {
				if strings.Contains(want, "%s") {
					want = "standard input:" + strings.ReplaceAll(want, "%s", at[i]) + "\n"
				}
				if !strings.Contains(got.Err, want) {
					t.Errorf("got  %swant %s", got.Err, want)
				}
			}
			// check refuses the same day in the same words.
			if again := command(t, data, "check", "-", days+tt.file); again.Err != got.Err || again.Code != badInput {
				t.Errorf("check says %q", again.Err)
			}
		})
	}
}

// Both faults of one file are told, in its order.
func TestEveryFaultAtOnce(t *testing.T) {
	t.Parallel()
	data, at := mark(t, "single-pan-loaf.json", `"tub_grams": 3000,
    "flour_celsius": 20,`, `"tub_grams": ‸3,
    "flour_celsius": ‸200,`)
	got := command(t, data, "plan", "-")
	lines := strings.Split(strings.TrimSpace(got.Err), "\n")
	if len(lines) != 2 || !strings.HasPrefix(lines[0], "standard input:"+at[0]+": kitchen.tub_grams: ") ||
		!strings.HasPrefix(lines[1], "standard input:"+at[1]+": kitchen.flour_celsius: ") {
		t.Errorf("got %q, want faults at %v", lines, at)
	}
}

func TestUsage(t *testing.T) {
	t.Parallel()
	absent := filepath.Join(t.TempDir(), "absent.json")
	tests := []struct {
		args []string
		want result
	}{
		{[]string{"bake"}, result{badInput, "", `ovenward: there is no command "bake"; use serve, plan, check, rise, export, import, backup, restore, doctor, passphrase, certificate or version` + "\n"}},
		{[]string{"plan"}, result{badInput, "", "ovenward plan: 0 files given; it takes DAY.json\n"}},
		{[]string{"plan", "a", "b"}, result{badInput, "", "ovenward plan: 2 files given; it takes DAY.json\n"}},
		{[]string{"plan", "-fast", "a"}, result{badInput, "", "ovenward plan: flag provided but not defined: -fast\n"}},
		{[]string{"plan", absent}, result{badInput, "", "open " + absent + ": no such file or directory; give the name of a file that you may read\n"}},
		{[]string{"plan", days}, result{badInput, "", "read " + days + ": is a directory; give the name of a file that you may read\n"}},
		{[]string{"check", "a"}, result{badInput, "", "ovenward check: 1 files given; it takes DAY.json and PLAN.json\n"}},
		{[]string{"check", "-", "-"}, result{badInput, "", "ovenward check: only one of the two can be standard input\n"}},
		{[]string{"rise", "-json", "-csv", "a"}, result{badInput, "", "ovenward rise: choose one of -json and -csv\n"}},
		{[]string{"version", "x"}, result{badInput, "", `ovenward version: "x" is too much; it takes no file` + "\n"}},
		{[]string{"serve", "-addr", "4280"}, result{badInput, "", `ovenward serve: "4280" is not an address; write -addr 127.0.0.1:4280` + "\n"}},
		{[]string{"-addr", "127.0.0.1:99999"}, result{badInput, "", `ovenward serve: "99999" is not a port; give 1 to 65535, or 0 for any free one` + "\n"}},
		{[]string{"serve", "-addr", "kitchen:80"}, result{badInput, "", `ovenward serve: "kitchen" is not an address of this machine; give its number, or -lan for all of them` + "\n"}},
		{[]string{"serve", "-lan", "-addr", "127.0.0.1:80"}, result{badInput, "", `ovenward serve: "127.0.0.1" is this machine alone; with -lan leave out -addr, or give an address others reach` + "\n"}},
	}
	for _, tt := range tests {
		t.Run(strings.Join(tt.args, " "), func(t *testing.T) {
			t.Parallel()
			if diff := cmp.Diff(tt.want, command(t, "", tt.args...)); diff != "" {
				t.Errorf("(-want +got):\n%s", diff)
			}
		})
	}
}

func TestHelp(t *testing.T) {
	t.Parallel()
	got := command(t, "", "plan", "-h")
	if got.Code != fine || got.Err != "" || !strings.HasPrefix(got.Out, "usage: ovenward plan [flags] DAY.json\n") || !strings.Contains(got.Out, "-json") {
		t.Errorf("got %+v", got)
	}
}

// golden compares with a file, and with -update writes it.
func golden(t *testing.T, file, got string) {
	t.Helper()
	path := filepath.Join("testdata", file)
	if *update {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), got); diff != "" {
		t.Errorf("%s (-want +got; -update writes it anew):\n%s", file, diff)
	}
}
