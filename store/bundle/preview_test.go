package bundle_test

import (
	"math"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
	"ovenward/store/bundle"
	"ovenward/store/record"
)

func TestCompare(t *testing.T) {
	t.Parallel()
	market := bundle.Item{Key: "2026-07-04", Name: "Market"}
	bun, old := bundle.Item{Key: "bun", Name: "Bun"}, bundle.Item{Key: "old-bun", Name: "Old bun"}
	for name, tt := range map[string]struct {
		change func(*bundle.Bundle)
		want   func(*bundle.Preview)
	}{
		"the same": {func(*bundle.Bundle) {}, func(*bundle.Preview) {}},
		"another store's IDs and times": {
			func(b *bundle.Bundle) {
				d := &b.Days[0]
				d.ID, d.Updated = 77, d.Updated.AddDate(0, 0, 1)
				for i := range d.Alerts {
					d.Alerts[i].ID += 500
				}
				for i := range d.Log {
					d.Log[i].Alert += 500
				}
			},
			func(*bundle.Preview) {},
		},
		"a bread changed": {
			func(b *bundle.Bundle) { b.Breads[0].Piece++ },
			func(p *bundle.Preview) {
				p.Breads = bundle.Change{Replaced: []bundle.Item{bun}, Same: []bundle.Item{old}}
			},
		},
		"a bread more, one less": {
			func(b *bundle.Bundle) {
				b.Breads = []bundle.Bread{b.Breads[0], {Bread: schedule.Bread{ID: "rye", Name: "Rye"}}}
			},
			func(p *bundle.Preview) {
				p.Breads = bundle.Change{Added: []bundle.Item{{Key: "rye", Name: "Rye"}}, Same: []bundle.Item{bun}, Here: []bundle.Item{old}}
			},
		},
		"a tap more": {
			func(b *bundle.Bundle) {
				d := &b.Days[0]
				d.Taps = append(slices.Clone(d.Taps), record.Tap{ID: "t-4", Version: 2})
			},
			func(p *bundle.Preview) { p.Days = bundle.Change{Replaced: []bundle.Item{market}} },
		},
		"the day a second time": {
			func(b *bundle.Bundle) {
				d := b.Days[0]
				d.ID = 5
				b.Days = append(b.Days, d)
			},
			func(p *bundle.Preview) {
				p.Days = bundle.Change{Same: []bundle.Item{market}, Added: []bundle.Item{market}}
			},
		},
		"no kitchen, another word": {
			func(b *bundle.Bundle) { b.Kitchen, b.Settings[0].Value = nil, "proof punch pan" },
			func(p *bundle.Preview) {
				p.Kitchen = bundle.Change{Here: []bundle.Item{{}}}
				p.Settings = bundle.Change{Replaced: []bundle.Item{{Key: "words"}}}
			},
		},
		"a reading corrected, one only here": {
			func(b *bundle.Bundle) { b.Readings = []bundle.Reading{b.Readings[0]}; b.Readings[0].Celsius = 5 },
			func(p *bundle.Preview) {
				p.Readings = bundle.Change{Replaced: []bundle.Item{{Key: "2026-07-04", Name: "fridge 5\u00a0°C"}}, Here: p.Readings.Same[1:]}
			},
		},
	} {
		in := sample()
		tt.change(in)
		want := bundle.Preview{
			Kitchen: bundle.Change{Same: []bundle.Item{{}}}, Bases: bundle.Change{Same: []bundle.Item{{Key: "sweet", Name: "Sweet dough"}}},
			Breads: bundle.Change{Same: []bundle.Item{bun, old}}, Days: bundle.Change{Same: []bundle.Item{market}},
			Settings: bundle.Change{Same: []bundle.Item{{Key: "words"}}},
			Learned:  bundle.Change{Same: []bundle.Item{{Key: "2026-07-04", Name: "Sweet dough"}}},
			Standing: bundle.Change{Same: []bundle.Item{{Key: "sat", Name: "Bun sat"}}},
			Foods:    bundle.Change{Same: []bundle.Item{{Key: "seed-mix", Name: "Seed mix"}}},
			Readings: bundle.Change{Same: []bundle.Item{{Key: "2026-07-04", Name: "fridge 4.5\u00a0°C"}, {Key: "2026-07-04", Name: "Bench -0.5\u00a0°C"}}},
		}
		tt.want(&want)
		here, err1 := sample().Digest()
		there, err2 := in.Digest()
		if err1 != nil || err2 != nil {
			t.Fatal(err1, err2)
		}
		if diff := cmp.Diff(want, bundle.Compare(here, there)); diff != "" {
			t.Errorf("%s (-want +got):\n%s", name, diff)
		}
	}
	b := sample()
	b.Days[0].Taps[2].Value = math.Inf(1)
	if _, err := b.Digest(); err == nil {
		t.Error("a number that is none was compared")
	}
}
