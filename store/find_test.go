package store_test

import (
	"fmt"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/store/record"
)

func TestFindBreads(t *testing.T) {
	s := open(t, t.TempDir()+"/ovenward.db")
	for _, name := range []string{"rye", "RYE twist", "100% spelt", "1000 seeds", "a_b", "acb"} {
		b := sampleBread(fmt.Sprintf("id-%x", name), "")
		b.Name = name
		must(0, s.SaveBread(t.Context(), b))(t)
	}
	for _, tt := range []struct {
		find record.Find
		want []string
		all  int
	}{
		{record.Find{Most: 2}, []string{"100% spelt", "1000 seeds"}, 6},
		{record.Find{Most: 2, Skip: 4}, []string{"acb", "rye"}, 6},
		{record.Find{Most: 2, Skip: 9}, nil, 6},
		{record.Find{Most: 9, Text: "rye"}, []string{"RYE twist", "rye"}, 2},
		{record.Find{Most: 9, Text: "100%"}, []string{"100% spelt"}, 1}, // no pattern of the baker's
		{record.Find{Most: 9, Text: "a_b"}, []string{"a_b"}, 1},
		{record.Find{Most: 9, Text: `\`}, nil, 0},
		{record.Find{Most: 9, Text: "' OR 1=1 --"}, nil, 0},
	} {
		some, all, err := s.FindBreads(t.Context(), tt.find)
		var names []string
		for _, b := range some {
			names = append(names, b.Name)
		}
		if err != nil || all != tt.all || !cmp.Equal(names, tt.want) {
			t.Errorf("%+v: %q of %d, %v; want %q of %d", tt.find, names, all, err, tt.want, tt.all)
		}
	}
	if names := must(s.BreadNames(t.Context()))(t); len(names) != 6 || names[5].Name != "rye" || names[5].ID != fmt.Sprintf("id-%x", "rye") {
		t.Errorf("names: %+v", names)
	}
}

func TestFindDays(t *testing.T) {
	s := open(t, t.TempDir()+"/ovenward.db")
	for i := range 5 {
		must(s.CreateDay(t.Context(), record.Day{Name: fmt.Sprint("market ", i), Date: fmt.Sprintf("2026-11-2%d", i), Zone: "UTC"}))(t)
	}
	names := func(all []record.Day) (out []string) {
		for _, d := range all {
			out = append(out, d.Name)
		}
		return out
	}
	some, all, err := s.FindDays(t.Context(), record.Find{Skip: 1, Most: 2})
	if err != nil || all != 5 || !cmp.Equal(names(some), []string{"market 3", "market 2"}) {
		t.Errorf("%q of %d, %v", names(some), all, err)
	}
	some, all, err = s.FindDays(t.Context(), record.Find{Text: "11-24", Most: 9})
	if err != nil || all != 1 || !cmp.Equal(names(some), []string{"market 4"}) {
		t.Errorf("%q of %d, %v", names(some), all, err)
	}
	for from, want := range map[string][]string{"2026-11-23": {"market 3", "market 4"}, "2027-01-01": {"market 4"}} {
		if got := names(must(s.DaysFrom(t.Context(), from))(t)); !cmp.Equal(got, want) {
			t.Errorf("from %s: %q, want %q", from, got, want)
		}
	}
}
