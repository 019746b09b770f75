package bundle_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"
	"testing/iotest"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
	"ovenward/schedule/dayfile"
	"ovenward/store/bundle"
)

// What is read is what was written, and is written again in the same bytes.
func TestRoundTrip(t *testing.T) {
	t.Parallel()
	bundles := []*bundle.Bundle{sample(), {}}
	for seed := range uint64(60) {
		bundles = append(bundles, random(rand.New(rand.NewPCG(seed, 1))))
	}
	for i, want := range bundles {
		data := encode(t, want)
		got := decode(t, data)
		if diff := cmp.Diff(want, got); diff != "" {
			t.Fatalf("bundle %d (-want +got):\n%s", i, diff)
		}
		if i > 1 { // an invented one has plans with instants in UTC, read in their zone
			data = encode(t, got)
		}
		if again := encode(t, decode(t, data)); !bytes.Equal(data, again) {
			t.Fatalf("bundle %d is written differently the second time: %s", i, cmp.Diff(string(data), string(again)))
		}
	}
}

// Instants of plans and calls are read in their day's zone, all others in UTC,
// as the store gives them.
func TestZones(t *testing.T) {
	t.Parallel()
	d := decode(t, encode(t, sample())).Days[0]
	for what, got := range map[string]string{
		"saved":  d.Plans[0].Saved.Location().String(),
		"task":   d.Plans[0].Plan.Tasks[0].Hands[0].From.Location().String(),
		"due":    d.Alerts[0].Due.Location().String(),
		"rung":   d.Alerts[1].Rung.Location().String(),
		"tapped": d.Taps[0].At.Location().String(),
		"logged": d.Log[0].At.Location().String(),
	} {
		want := "Europe/Dublin"
		if what == "tapped" || what == "logged" {
			want = "UTC"
		}
		if got != want {
			t.Errorf("%s in %s, want %s", what, got, want)
		}
	}
}

func TestEncodeNoNumber(t *testing.T) {
	t.Parallel()
	b := sample()
	b.Days[0].Taps[2].Value = math.NaN()
	if err := bundle.Encode(&bytes.Buffer{}, b); err == nil {
		t.Error("a number that is none was written")
	}
}

// Every fault is told with line, column and path.
func TestDecodeFaults(t *testing.T) {
	t.Parallel()
	const head = `{"format":"ovenward-bundle/1",` + "\n"
	good := string(encode(t, sample()))
	swap := func(old, new string) string {
		if !strings.Contains(good, old) {
			t.Fatalf("%q is not in the sample", old)
		}
		return strings.Replace(good, old, new, 1)
	}
	for name, tt := range map[string]struct{ data, want string }{
		"empty":             {" \n", "1:1: the file is empty"},
		"not JSON":          {"hello", "1:1: invalid character 'h'"},
		"not UTF-8":         {head + "\"made\":\"\xff\"}", "2:9: this is not text in UTF-8"},
		"list":              {"[]", "1:1: a group { } belongs here"},
		"null":              {"null", "1:1: a group { } belongs here"},
		"no format":         {"{}", "1:1: no format is given"},
		"day file":          {`{"format":"ovenward-day/1"}`, "1:2: format: this is no ovenward-bundle/1 file"},
		"next version":      {`{"format":"ovenward-bundle/2","new":1}`, `1:2: format: "ovenward-bundle/2" is another version`},
		"cut off":           {good[:len(good)/2], "the file ends too soon"},
		"doubled":           {good + good, "something follows after the end"},
		"unknown field":     {head + ` "brads":[]}`, `2:2: brads: there is no field "brads" here`},
		"other capitals":    {head + ` "Breads":[]}`, `2:2: Breads: there is no field`},
		"twice":             {head + ` "breads":[], "breads":[]}`, "2:15: breads: this is given twice"},
		"deep unknown":      {swap(`"too_far"`, `"tofar"`), `: days[0].alerts[0].tofar: there is no field "tofar" here`},
		"text for number":   {swap(`"piece_grams": 85`, `"piece_grams": "85"`), ": breads[0].piece_grams: a number belongs here"},
		"number for text":   {swap(`"name": "Bun"`, `"name": 3`), ": breads[0].name: text belongs here"},
		"huge number":       {swap(`"piece_grams": 85`, `"piece_grams": 1e999`), ": breads[0].piece_grams: 1e999 is not a number that fits here"},
		"fraction of a day": {swap(`"id": 4`, `"id": 4.5`), ": days[0].id: 4.5 is not a number that fits here"},
		"no instant":        {swap(`"saved": "2026-07-04T02:01:00Z"`, `"saved": "yesterday"`), `: days[0].plans[0].saved: "yesterday" is not what belongs here`},
		"number as instant": {swap(`"saved": "2026-07-04T02:01:00Z"`, `"saved": 1`), ": days[0].plans[0].saved: text belongs here"},
		"deep nesting":      {head + ` "breads":` + strings.Repeat("[", 1e6), "2:12: breads[0]: a group { } belongs here"},
		"nested scalar":     {head + ` "made":[[[[1]]]]}`, "2:9: made: text belongs here"},
		"lone null":         {head + ` "settings":[{"key":null}]}`, "2:21: settings[0].key: text belongs here"},
		"breads after days": {head + ` "days":[],"breads":[]}`, "2:12: breads: breads belong before the days"},
		"broken far inside": {swap(`"name": "Bun"`, `"name": "`+strings.Repeat("bun ", 1e5)+"\xff\""), "this is not text in UTF-8"},
		"empty groups":      {head + ` "days":[` + strings.Repeat("{},", 1e5) + `{}]}`, "next to nothing in too many list entries"},

		"no such bread":     {swap(`"bread": "bun",`, `"bread": "ban",`), `: days[0].orders[0].bread: there is no bread "ban" in the file`},
		"no such base":      {swap(`"base": "sweet"`, `"base": "sour"`), `: breads[0].base: there is no base dough "sour" in the file`},
		"bread twice":       {swap(`"id": "old-bun"`, `"id": "bun"`), `: breads[1].id: bun is given twice`},
		"no ID":             {swap(`"id": "old-bun"`, `"id": ""`), `: breads[1].id: no ID is given`},
		"no such zone":      {swap(`"zone": "Europe/Dublin"`, `"zone": "Europe/Nowhere"`), `: days[0].zone: there is no time zone "Europe/Nowhere"`},
		"zone of machine":   {swap(`"zone": "Europe/Dublin"`, `"zone": "Local"`), `: days[0].zone: there is no time zone "Local"`},
		"no date":           {swap(`"date": "2026-07-04"`, `"date": "2026-02-30"`), `: days[0].date: "2026-02-30" is not a date`},
		"hour that is not":  {swap(`"out_by": "2026-07-04T08:00"`, `"out_by": "2026-03-29T01:30"`), `: days[0].orders[0]: its promise is not one moment`},
		"no such plan":      {swap(`"id": "t-1",`+"\n     "+`"version": 2`, `"id": "t-1","version": 7`), `: days[0].taps[0].version: the day has no plan 7`},
		"newest missing":    {swap(`"version": 2,`+"\n   "+`"updated"`, `"version": 3,"updated"`), `: days[0].version: the day's newest plan, 3, is not in the file`},
		"slip of no tap":    {swap(`"slips": [`+"\n    {\n     "+`"id": "t-3"`, `"slips": [{"id": "t-9"`), `: days[0].slips[0].id: the day has no tap "t-9"`},
		"repair of later":   {swap(`"base": 1`, `"base": 2`), `: days[0].repairs[0].base: 2 is no earlier plan of the day`},
		"lesson of no day":  {swap(`"tap": "t-3",`+"\n   "+`"day": 4`, `"tap": "t-3", "day": 9`), `: learned[0].day: there is no day 9 in the file`},
		"no address":        {swap(`"id": "old-bun"`, `"id": "old/bun"`), `: breads[1].id: "old/bun" is no short name: small letters, digits and single hyphens`},
		"no page standing":  {swap(`"id": "sat"`, `"id": "sat?"`), `: standing[0].id: "sat?" is no short name: small letters, digits and single hyphens`},
		"standing of none":  {swap(`"pieces": 24,`+"\n   "+`"days"`, `"pieces": 0,"days"`), `: standing[0].pieces: 0 pieces cannot be baked`},
		"strange weekday":   {swap(`"days": "sat"`, `"days": "caturday"`), `: standing[0].days: "caturday" is not what belongs here`},
		"no bread standing": {swap(`"id": "sat",`+"\n   "+`"bread": "bun"`, `"id": "sat","bread": "ban"`), `: standing[0].bread: there is no bread "ban" in the file`},
		"coming of no day":  {swap(`"date": "2026-07-04",`+"\n   "+`"day": 4`, `"date": "2026-07-04","day": 5`), `: comings[0].day: there is no day 5 in the file`},
		"coming twice":      {swap(`"date": "2026-07-11",`+"\n   "+`"name": "Saturday 11`, `"date": "2026-07-04","name": "Saturday 11`), `: comings[1].date: 2026-07-04 is given twice`},
		"untrue lesson":     {swap(`"predicted": 60`, `"predicted": -60`), `: learned[0].seen: `},
		"undo of nothing":   {swap(`"of": "t-1"`, `"of": "t-9"`), `: days[0].taps[1].of: there is no tap "t-9" before it`},
		"tap twice":         {swap(`"id": "t-3"`, `"id": "t-1"`), `: days[0].taps[2].id: t-1 is given twice`},
		"strange tap":       {swap(`"kind": "dough-temp"`, `"kind": "Dough temp"`), `: days[0].taps[2].kind: "Dough temp" is not a kind of tap`},
		"strange state":     {swap(`"state": "due"`, `"state": "ringing"`), `: days[0].alerts[1].state: "ringing" is no state of a call`},
		"strange class":     {swap(`"class": "B"`, `"class": "Z"`), `: days[0].alerts[0].class: "Z" is no class of call`},
		"call twice":        {swap(`"id": 12,`+"\n     "+`"version": 2`, `"id": 12,"version": 1`), `: days[0].alerts[1]: `},
		"log of nothing":    {swap(`"alert": 12`, `"alert": 13`), `: days[0].log[2].alert: the day has no call 13`},
		"set to nothing":    {swap(`"value": "prove knock back tin"`, `"value": ""`), `: settings[0].value: "words" is set to nothing`},
	} {
		_, err := bundle.Decode("all.json", []byte(tt.data))
		var errs dayfile.Errors
		if !errors.As(err, &errs) {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if !strings.HasPrefix(errs[0].Error(), "all.json:") || !strings.Contains(errs[0].Error(), tt.want) {
			t.Errorf("%s: %q, want %q", name, errs[0], tt.want)
		}
		if lines := strings.Split(tt.data, "\n"); errs[0].Line > len(lines) {
			t.Errorf("%s: line %d of %d", name, errs[0].Line, len(lines))
		}
	}
}

// A reference that leads nowhere is found where it stands.
func TestDecodePosition(t *testing.T) {
	t.Parallel()
	data := bytes.Replace(encode(t, sample()), []byte(`"bread": "bun"`), []byte(`"bread": "ban"`), 1)
	_, err := bundle.Decode("all.json", data)
	var errs dayfile.Errors
	if !errors.As(err, &errs) {
		t.Fatal(err)
	}
	line := strings.Split(string(data), "\n")[errs[0].Line-1]
	if !strings.HasPrefix(line[errs[0].Column-1:], `"ban"`) {
		t.Errorf("%v points into %q", errs[0], line)
	}
}

// A fault is found by line and column however far inside it is, also where lines
// are long and characters are cut in two between what is read at a time.
func TestDecodeFar(t *testing.T) {
	t.Parallel()
	for _, breads := range []int{0, 1, 500, 5000} {
		b := sample()
		for i := range breads {
			b.Breads = append(b.Breads, bundle.Bread{Bread: schedule.Bread{ID: fmt.Sprint(i), Name: strings.Repeat("Brød ", i%40)}})
		}
		for what, data := range map[string][]byte{"lines": encode(t, b), "one line": compact(t, encode(t, b))} {
			for old, says := range map[string]string{`"prove knock back tin"`: "set to nothing", `"settings"`: "no field"} {
				bad := bytes.Replace(data, []byte(old), []byte(`""`), 1)
				at := bytes.Index(data, []byte(old))
				begin := bytes.LastIndexByte(data[:at], '\n') + 1
				_, err := bundle.Decode("all.json", bad)
				errs, ok := errors.AsType[dayfile.Errors](err)
				if !ok || !strings.Contains(errs[0].What, says) || errs[0].Line != bytes.Count(data[:at], []byte("\n"))+1 || errs[0].Column != utf8.RuneCount(data[begin:at])+1 {
					t.Errorf("%s, %d breads: %v, want it at line %d, column %d", what, breads, err, bytes.Count(data[:at], []byte("\n"))+1, utf8.RuneCount(data[begin:at])+1)
				}
			}
		}
	}
}

func compact(t *testing.T, data []byte) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := json.Compact(&out, data); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// A bundle that is read through gives the same as one that is held, and its days
// as often as they are wanted.
func TestRead(t *testing.T) {
	t.Parallel()
	for seed := range uint64(10) {
		want := random(rand.New(rand.NewPCG(seed, 3)))
		data := encode(t, want)
		want = decode(t, data)
		a, err := bundle.Read("all.json", bundle.Bytes(data))
		if err != nil {
			t.Fatal(err)
		}
		for range 2 {
			got := *a.Bundle
			for d, err := range a.AllDays() {
				if err != nil {
					t.Fatal(err)
				}
				got.Days = append(got.Days, d)
			}
			if diff := cmp.Diff(want, &got); diff != "" {
				t.Fatalf("-held +read:\n%s", diff)
			}
		}
		for range a.AllDays() {
			break // whoever has enough may go
		}
		whole, err := want.Arrive()
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(want.DayKeys(), a.DayKeys()); diff != "" || cmp.Diff(want.DayKeys(), whole.DayKeys()) != "" {
			t.Errorf("keys %s", diff)
		}
		if c := bundle.Compare(whole.Digest, a.Digest); !reflect.DeepEqual(c, bundle.Compare(a.Digest, a.Digest)) {
			t.Errorf("differs: %+v", c)
		}
	}
}

// A source that fails says why, the first time and the second.
func TestReadFailingSource(t *testing.T) {
	t.Parallel()
	data, gone := encode(t, sample()), errors.New("the disk is gone")
	for _, n := range []int64{0, 100, int64(len(data) / 2), int64(len(data)) - 1} {
		broken := func() (io.ReadCloser, error) {
			return io.NopCloser(io.MultiReader(io.LimitReader(bytes.NewReader(data), n), iotest.ErrReader(gone))), nil
		}
		if _, err := bundle.Read("all.json", broken); !errors.Is(err, gone) {
			t.Errorf("after %d bytes: %v", n, err)
		}
		reads := 0
		a, err := bundle.Read("all.json", func() (io.ReadCloser, error) {
			if reads++; reads > 1 {
				return broken()
			}
			return io.NopCloser(bytes.NewReader(data)), nil
		})
		if err != nil {
			t.Fatal(err)
		}
		var last error
		for _, err := range a.AllDays() {
			last = err
		}
		if !errors.Is(last, gone) {
			t.Errorf("the second time after %d bytes: %v", n, last)
		}
	}
}

// What the pages would not save is told, and does not keep the bundle out.
func TestFaults(t *testing.T) {
	t.Parallel()
	b := sample()
	if faults := b.Faults(); len(faults) > 0 {
		t.Errorf("a sound bundle: %v", faults)
	}
	b.Breads = append([]bundle.Bread{{Bread: schedule.Bread{ID: "gone"}, Retired: true}}, b.Breads...)
	b.Breads[1].PerTray = 0
	b.Kitchen.Ovens[0].Max = 900
	var got []string
	for _, f := range decode(t, encode(t, b)).Faults() {
		got = append(got, f.Where)
	}
	if diff := cmp.Diff([]string{"kitchen.ovens[0].max_celsius", "breads[1].per_tray"}, got); diff != "" {
		t.Errorf("-want +got:\n%s", diff)
	}
	if faults := new(bundle.Bundle).Faults(); faults != nil {
		t.Errorf("nothing at all: %v", faults)
	}
}

// Whatever is read without a fault is written and read again the same.
func FuzzDecode(f *testing.F) {
	f.Add(encode(f, sample()))
	f.Add(encode(f, &bundle.Bundle{}))
	f.Add(encode(f, random(rand.New(rand.NewPCG(2, 1)))))
	for _, s := range []string{`{"format":"ovenward-bundle/1","breads":[{}]}`, `{"format":"ovenward-bundle/1","settings":null,"days":[]}`, "\ufeff{}", `{"format":`, "[[[[", "[\xe2\x80", "\xe2\x80", "{\"format\":\"\xf0\x9f"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		b, err := bundle.Decode("all.json", data)
		if err != nil {
			var errs dayfile.Errors
			if !errors.As(err, &errs) || len(errs) == 0 || errs[0].Line < 1 || errs[0].Column < 1 {
				t.Errorf("%#v", err)
			}
			return
		}
		again := decode(t, encode(t, b))
		if diff := cmp.Diff(b, again); diff != "" {
			t.Errorf("-first +again:\n%s", diff)
		}
	})
}

// year is a hundred days of a bakery, planned five times each.
func year(b *testing.B) []byte {
	all := sample()
	day := all.Days[0]
	for i := range 20 {
		day.Plans[1].Plan.Tasks = append(day.Plans[1].Plan.Tasks, day.Plans[1].Plan.Tasks[0])
		day.Plans[1].Plan.Tasks[i].ID = fmt.Sprint("A1.", i)
	}
	all.Days = nil
	for i := range int64(100) {
		d := day
		d.ID = i + 1
		d.Taps, d.Alerts, d.Log = nil, nil, nil
		all.Days = append(all.Days, d)
	}
	return encode(b, all)
}

func BenchmarkDecode(b *testing.B) {
	data := year(b)
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := bundle.Decode("all.json", data); err != nil {
			b.Fatal(err)
		}
	}
}
