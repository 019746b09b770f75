package sheet_test

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
	"ovenward/web/sheet"
)

// sample is an invented rise and bake of Dublin's summer.
func sample() *schedule.Plan {
	at := func(h, m int) time.Time { return time.Date(2026, 7, 4, h, m, 0, 0, time.UTC) }
	ready, promise := at(4, 50), at(6, 0)
	return &schedule.Plan{Zone: "Europe/Dublin", Tasks: []schedule.Task{
		{ID: "A.1", Batch: "A", Kind: schedule.Rise, Name: "Tea loaf", Mass: 3200.5, Start: at(3, 0), End: at(5, 0), Place: "Prover",
			Window: &schedule.Window{Ready: ready, TooFar: at(5, 40)}},
		{ID: "A1.4", Batch: "A", Portion: "A1", Kind: schedule.Bake, Name: `Tea loaf, "large"`, Pieces: 4, Start: at(5, 30), End: at(6, 5),
			Oven: "Deck", Celsius: 210, Promise: &promise, Late: 5,
			Decks: []schedule.OnDeck{{Deck: 1, Items: 3}, {Deck: 2, Items: 1}},
			Hands: []schedule.Hands{{Baker: "Orla"}, {Baker: "Finn"}}},
	}}
}

func write(t testing.TB, c sheet.CSV) string {
	t.Helper()
	var b bytes.Buffer
	if err := sheet.Write(&b, c); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func kind(t *schedule.Task) string { return string(t.Kind) }

func decks(t *schedule.Task) string {
	var on []string
	for _, d := range t.Decks {
		on = append(on, fmt.Sprintf("%d: %d", d.Deck, d.Items))
	}
	return strings.Join(on, ", ")
}

// RFC 4180, 2: lines end in CRLF (1, 2), the first names the columns (3), all
// have as many fields (4), fields with commas or quotation marks are quoted and
// quotation marks doubled (5 to 7).
func TestBytes(t *testing.T) {
	t.Parallel()
	want := strings.Join([]string{
		"start,end,minutes,who,what,dough,batch,portion,pieces,grams,mixer,oven,place,celsius,ready,too_far,promise,late_minutes,decks",
		"2026-07-04 04:00,2026-07-04 06:00,120,,rise,Tea loaf,A,,,3200.5,,,Prover,,2026-07-04 05:50,2026-07-04 06:40,,,",
		`2026-07-04 06:30,2026-07-04 07:05,35,"Orla, Finn",bake,"Tea loaf, ""large""",A,A1,4,,,Deck,,210,,,2026-07-04 07:00,5,"1: 3, 2: 1"`,
		"",
	}, "\r\n")
	if diff := cmp.Diff(want, write(t, sheet.CSV{Plan: sample(), Words: kind, Decks: decks})); diff != "" {
		t.Errorf("-want +got:\n%s", diff)
	}
	if got := write(t, sheet.CSV{Plan: sample(), Words: kind, Decks: decks, BOM: true}); got != "\ufeff"+want {
		t.Errorf("with a byte order mark: %q", got)
	}
}

func TestUnknownZone(t *testing.T) {
	t.Parallel()
	p := sample()
	p.Zone = "Europe/Nowhere"
	if err := sheet.Write(&bytes.Buffer{}, sheet.CSV{Plan: p, Words: kind, Decks: decks}); err == nil {
		t.Error("no error for a zone that is not there")
	}
}

// What spreadsheets would take for a formula comes with an apostrophe.
func TestFormulas(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]string{
		"=1+1":                 "'=1+1",
		"+44 1":                "'+44 1",
		"-2":                   "'-2",
		"@SUM(A1)":             "'@SUM(A1)",
		"\t=1":                 "'\t=1",
		"  =1":                 "'  =1",
		"\u00a0=1":             "'\u00a0=1",
		"＝1":                   "'＝1",
		"\ufeff=1":             "'\ufeff=1",
		"Tea loaf = good":      "Tea loaf = good",
		"'quoted'":             "'quoted'",
		"":                     "",
		"half-white":           "half-white",
		"Brötchen\xff":         "Brötchen\uFFFD",
		`=HYPERLINK("http:x")`: `'=HYPERLINK("http:x")`,
	} {
		p := sample()
		p.Tasks[0].Name = text
		if got := read(t, write(t, sheet.CSV{Plan: p, Words: kind, Decks: decks}))[1][5]; got != want {
			t.Errorf("%q is written as %q, want %q", text, got, want)
		}
	}
}

func read(t testing.TB, file string) [][]string {
	t.Helper()
	rows, err := csv.NewReader(strings.NewReader(file)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows
}

// Any text makes a table of the same shape, read by encoding/csv as written but
// for line breaks, which are one to it.
func FuzzText(f *testing.F) {
	for _, s := range []string{"", `a"b`, "a,b", "line\nbreak", "line\r\nbreak", "\r", " lead", `\.`, "=1", "\x00", "\xff"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		p := sample()
		p.Tasks[0].Name, p.Tasks[1].Oven = s, s
		rows := read(t, write(t, sheet.CSV{Plan: p, Words: func(*schedule.Task) string { return s }, Decks: decks}))
		if len(rows) != 3 {
			t.Fatalf("%d rows", len(rows))
		}
		one := strings.NewReplacer("\r\n", "\n", "\r", "\n")
		want := one.Replace(strings.ToValidUTF8(s, "\uFFFD"))
		for _, got := range []string{rows[1][4], rows[1][5], rows[2][11]} {
			if got = one.Replace(got); got != want && got != "'"+want {
				t.Errorf("%q is read as %q", s, got)
			}
			if strings.IndexAny(got, "=+-@") == 0 {
				t.Errorf("%q would be a formula", got)
			}
		}
	})
}
