package dayfile_test

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
	"ovenward/schedule/dayfile"
)

// files reads every day of the repository.
func files(tb testing.TB) map[string][]byte {
	tb.Helper()
	names, err := filepath.Glob("../../testdata/day/*.json")
	if err != nil || len(names) < 6 {
		tb.Fatalf("days: %d files, %v; want six or more", len(names), err)
	}
	days := map[string][]byte{}
	for _, name := range names {
		data, err := os.ReadFile(name)
		if err != nil {
			tb.Fatal(err)
		}
		days[filepath.Base(name)] = data
	}
	return days
}

func TestDaysOfTheRepository(t *testing.T) {
	t.Parallel()
	for name, data := range files(t) {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			day, err := dayfile.DecodeDay(name, data)
			if err != nil {
				t.Fatal(err)
			}
			written, err := dayfile.EncodeDay(day)
			if err != nil {
				t.Fatal(err)
			}
			again, err := dayfile.DecodeDay(name, written)
			if err != nil {
				t.Fatalf("what was written cannot be read: %v", err)
			}
			if diff := cmp.Diff(day, again); diff != "" {
				t.Errorf("day changed by writing and reading (-before +after):\n%s", diff)
			}
			if twice, _ := dayfile.EncodeDay(again); !bytes.Equal(written, twice) {
				t.Error("equal days give different bytes")
			}
		})
	}
}

// edit swaps one piece of the single loaf's file for another.
func edit(tb testing.TB, from, to string) []byte {
	tb.Helper()
	data := files(tb)["single-pan-loaf.json"]
	if bytes.Count(data, []byte(from)) != 1 {
		tb.Fatalf("%q is not once in the file", from)
	}
	return bytes.Replace(data, []byte(from), []byte(to), 1)
}

func TestRefused(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name     string
		from, to string // ‸ in to marks where each fault must be placed
		want     []string
	}{
		{"misspelt field", `"bake_loss": 11`, `‸"bakeloss": 11`,
			[]string{`breads[0].bakeloss: there is no field "bakeloss" here; did you mean "bake_loss"?`}},
		{"capital letters", `"tap_celsius": 9`, `‸"Tap_Celsius": 9`,
			[]string{`kitchen.Tap_Celsius: there is no field "Tap_Celsius" here; did you mean "tap_celsius"?`}},
		{"unit in the name", `"max_celsius": 250`, `‸"max_fahrenheit": 480`,
			[]string{`kitchen.ovens[0].max_fahrenheit: there is no field "max_fahrenheit" here; write "max_celsius", in °C; 480 °F is 248.89 °C`}},
		{"unit in the value", `"max_celsius": 250`, `"max_celsius": ‸"250 C"`,
			[]string{`kitchen.ovens[0].max_celsius: "250 C" is text where a number belongs; write the number alone, without quotation marks or unit; max_celsius counts in °C`}},
		{"pounds", `"piece_grams": 860`, `‸"piece_lb": 1.9`,
			[]string{`breads[0].piece_lb: there is no field "piece_lb" here; write "piece_grams", in g; 1.9 lb is 861.83 g`}},
		{"field of nothing", `"per_tray": 1,`, `‸"colour": "gold",`,
			[]string{`breads[0].colour: there is no field "colour" here; take it away, or use one of id, name, base, formula, method, piece_grams, per_tray, tin, tray, bake_loss, notes`}},
		{"doubled field", `"tap_celsius": 9`, `"tap_celsius": 9, ‸"tap_celsius": 12`,
			[]string{`kitchen.tap_celsius: this is given twice; keep one of the two`}},
		{"number for text", `"name": "Ida"`, `"name": ‸3`,
			[]string{`kitchen.bakers[0].name: 3 is a number where text belongs; put it in quotation marks`}},
		{"group for list", `[{"name": "Tin", "count": 1, "litres": 1.8}]`, `‸{"name": "Tin", "count": 1, "litres": 1.8}`,
			[]string{`kitchen.tins: this is a group { } where a list [ ] belongs; write a list [ ]`}},
		{"half a loaf", `"pieces": 1,`, `"pieces": ‸1.5,`,
			[]string{`orders[0].pieces: 1.5 is not a whole number; write it without decimals`}},
		{"beyond any number", `"pieces": 1,`, `"pieces": ‸1e400,`,
			[]string{`orders[0].pieces: 1e400 is beyond any number; give a number of usual size`}},
		{"time of day", `"06:30"`, `‸"6:30"`,
			[]string{`kitchen.bakers[0].hours[0].from: "6:30" is not a time of day; write it as 06:30`}},
		{"every fault at once, in order", `"tub_grams": 3000,`, `"tub_grams": ‸"3 kg",` + "\n\t" + `‸"flour_weight": 1,`,
			[]string{
				`kitchen.tub_grams: "3 kg" is text where a number belongs; write the number alone, without quotation marks or unit; tub_grams counts in g`,
				`kitchen.flour_weight: there is no field "flour_weight" here; take it away, or use one of places, mixers, ovens, bakers, tins, trays, usual_trays, tub_grams, flour_celsius, tap_celsius`}},
		{"columns count characters", `"name": "Oven", "decks"`, `"name": "Öfchen é", ‸"dekcs": 1, "decks"`,
			[]string{`kitchen.ovens[0].dekcs: there is no field "dekcs" here; did you mean "decks"?`}},
		{"another version", `"ovenward-day/1"`, `‸"ovenward-day/2"`,
			[]string{`format: "ovenward-day/2" is another version than ovenward-day/1; use the program's version that wrote the file, or write it anew`}},
		{"a plan", `"ovenward-day/1"`, `‸"ovenward-plan/1"`,
			[]string{`format: this is no ovenward-day/1 file; give one that begins with "ovenward-day/1"`}},
		{"missing comma", `"Kitchen", "kind"`, `"Kitchen" ‸"kind"`,
			[]string{`invalid character '"' after object key:value pair; look here and just before for a comma, colon, quotation mark or bracket missing or too many`}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			data, marks := unmark(edit(t, tt.from, tt.to))
			want := ""
			for i, words := range tt.want {
				want += fmt.Sprintf("day.json:%s: %s\n", marks[i], words)
			}
			_, err := dayfile.DecodeDay("day.json", data)
			if err == nil {
				t.Fatal("read without complaint")
			}
			if diff := cmp.Diff(want, err.Error()+"\n"); diff != "" {
				t.Errorf("(-want +got):\n%s", diff)
			}
		})
	}
}

// unmark takes the marks out of data and says where they stood, as line:column.
func unmark(data []byte) (clean []byte, marks []string) {
	line, column := 1, 1
	for _, c := range string(data) {
		switch c {
		case '‸':
			marks = append(marks, fmt.Sprintf("%d:%d", line, column))
			continue
		case '\n':
			line, column = line+1, 0
		}
		column++
		clean = append(clean, string(c)...)
	}
	return clean, marks
}

func TestRefusedWhole(t *testing.T) {
	t.Parallel()
	deep := strings.Repeat(`{"a":[`, 20) + strings.Repeat(`]}`, 20)
	tests := []struct{ name, data, want string }{
		{"empty", "  \n", "f:1:1: the file is empty; give one with something in it"},
		{"no group", "[1]", `f:1:1: this is a list [ ], not a file of ovenward-day/1; begin with {"format": "ovenward-day/1", ...`},
		{"no format", "\n {}", `f:2:2: format: no format is given; begin with {"format": "ovenward-day/1", ...`},
		{"too short", `{"format": "ovenward-day/1",` + "\n", "f:1:29: the file ends too soon; close every bracket and quotation mark"},
		{"two files", `{"format": "ovenward-day/1"}` + "\n{}", "f:2:1: something follows after the end; a file holds one thing; take away the rest"},
		{"too deep", deep, "f:1:73: groups lie more than 24 deep in each other; no day nests so deep; look for a bracket too many"},
		{"not UTF-8", "{\"name\": \"caf\xe9\"}", "f:1:14: this is not text in UTF-8; save the file as UTF-8"},
		{"too large", `{"name": "` + strings.Repeat("x", 4<<20) + `"}`, "f:1:1: the file is larger than 4 MiB; no day, plan or history is; give another file"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			_, err := dayfile.DecodeDay("f", []byte(tt.data))
			if err == nil || err.Error() != tt.want {
				t.Errorf("got  %v\nwant %s", err, tt.want)
			}
		})
	}
}

// What Validate finds is given the place of the field, or of the group the field
// is missing from.
func TestFaultsOfTheDayHavePlaces(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name, from, to, path string
	}{
		{"value", `"max_celsius": 250`, `"max_celsius": ‸900`, "kitchen.ovens[0].max_celsius"},
		{"absent", `{"name": "Tin", "count": 1, "litres": 1.8}`, `‸{"name": "Tin", "count": 1}`, "kitchen.tins[0].litres"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			data, marks := unmark(edit(t, tt.from, tt.to))
			_, err := dayfile.DecodeDay("d", data)
			es, ok := errors.AsType[dayfile.Errors](err)
			if !ok || len(es) != 1 || es[0].What == "" || es[0].Remedy == "" {
				t.Fatalf("got %v, want one fault with words", err)
			}
			if at := fmt.Sprintf("%d:%d", es[0].Line, es[0].Column); at != marks[0] || es[0].Path != tt.path {
				t.Errorf("got %s at %s, want %s at %s", es[0].Path, at, tt.path, marks[0])
			}
		})
	}
}

// Whatever is read is written, and read again as the same day; whatever is
// refused says where.
func FuzzDecodeDay(f *testing.F) {
	for _, data := range files(f) {
		f.Add(data)
	}
	f.Add([]byte(`{"format":"ovenward-day/1","orders":null,"name":"\ud800"}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		day, err := dayfile.DecodeDay("f", data)
		if err != nil {
			placed(t, data, err)
			return
		}
		written, err := dayfile.EncodeDay(day)
		if err != nil {
			t.Fatal(err)
		}
		again, err := dayfile.DecodeDay("f", written)
		if err != nil {
			t.Fatalf("cannot read what was written: %v\n%s", err, written)
		}
		if twice, _ := dayfile.EncodeDay(again); !bytes.Equal(written, twice) {
			t.Errorf("%s\nbecame\n%s", written, twice)
		}
	})
}

// placed wants every fault inside the file, and worded.
func placed(t *testing.T, data []byte, err error) {
	t.Helper()
	es, ok := errors.AsType[dayfile.Errors](err)
	if !ok || len(es) == 0 {
		t.Fatalf("%T %v is not a list of faults", err, err)
	}
	lines := bytes.Split(data, []byte("\n"))
	for _, e := range es {
		if e.Line < 1 || e.Line > len(lines) || e.Column < 1 || e.Column > len(lines[e.Line-1])+1 || e.What == "" || e.Remedy == "" {
			t.Errorf("%+v is not in the file, or lacks words", e)
		}
	}
}

func TestEncodeRefusesWhatJSONCannotSay(t *testing.T) {
	t.Parallel()
	d := schedule.Day{Kitchen: schedule.Kitchen{Tub: 1}}
	d.Kitchen.Tub /= 0 * d.Kitchen.Tub
	if _, err := dayfile.EncodeDay(&d); err == nil {
		t.Error("infinity was written")
	}
}
