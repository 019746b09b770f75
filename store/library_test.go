package store_test

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
	"ovenward/schedule/unit"
	"ovenward/store/record"
	"ovenward/store/storetest"
)

// Whatever a kitchen, base or bread holds comes back whole, replaced or new.
func TestLibraryKeepsWholeValues(t *testing.T) {
	s, ctx := storetest.Open(t), t.Context()
	r := rand.New(rand.NewPCG(1, 2))
	for i := range 60 {
		k, base, bread := random[schedule.Kitchen](r), random[schedule.Base](r), random[schedule.Bread](r)
		base.ID, bread.ID = string(rune('a'+i%7)), string(rune('a'+i%11))
		bread.Base = base.ID
		for _, err := range []error{s.SaveKitchen(ctx, k), s.SaveBase(ctx, base), s.SaveBread(ctx, bread)} {
			if err != nil {
				t.Fatal(err)
			}
		}
		if diff := cmp.Diff(k, must(s.Kitchen(ctx))(t)); diff != "" {
			t.Fatalf("kitchen %d (-saved +got):\n%s", i, diff)
		}
		if diff := cmp.Diff(base, must(s.Base(ctx, base.ID))(t)); diff != "" {
			t.Fatalf("base %d (-saved +got):\n%s", i, diff)
		}
		if diff := cmp.Diff(bread, must(s.Bread(ctx, bread.ID))(t)); diff != "" {
			t.Fatalf("bread %d (-saved +got):\n%s", i, diff)
		}
	}
	if bases, breads := must(s.Bases(ctx))(t), must(s.Breads(ctx))(t); len(bases) != 7 || len(breads) != 11 {
		t.Errorf("got %d bases and %d breads, want 7 and 11", len(bases), len(breads))
	}
}

func TestLibraryEmpty(t *testing.T) {
	s, ctx := storetest.Open(t), t.Context()
	if k := must(s.Kitchen(ctx))(t); !cmp.Equal(k, schedule.Kitchen{}) {
		t.Errorf("kitchen = %+v, want the zero one", k)
	}
	_, noBread := s.Bread(ctx, "bun")
	_, noBase := s.Base(ctx, "sweet")
	for what, err := range map[string]error{
		"bread": noBread, "base": noBase,
		"delete bread": s.DeleteBread(ctx, "bun", clock(t, "05:00")),
		"delete base":  s.DeleteBase(ctx, "sweet"),
	} {
		if !errors.Is(err, record.ErrNotFound) {
			t.Errorf("%s: %v, want ErrNotFound", what, err)
		}
	}
}

func TestLibraryRefuses(t *testing.T) {
	s, ctx := storetest.Open(t), t.Context()
	hot := sampleKitchen()
	hot.Tap = unit.Celsius(math.NaN())
	for _, tt := range []struct {
		name string
		err  error
		kind error
	}{
		{"bread without ID", s.SaveBread(ctx, schedule.Bread{Name: "Bun"}), record.ErrInvalid},
		{"base without ID", s.SaveBase(ctx, schedule.Base{Name: "Sweet"}), record.ErrInvalid},
		{"bread on a base that is not there", s.SaveBread(ctx, sampleBread("bun", "sweet")), record.ErrNotFound},
	} {
		if !errors.Is(tt.err, tt.kind) {
			t.Errorf("%s: %v, want %v", tt.name, tt.err, tt.kind)
		}
	}
	if s.SaveKitchen(ctx, hot) == nil {
		t.Error("a kitchen with a temperature that is no number was kept")
	}
	if breads := must(s.Breads(ctx))(t); breads != nil {
		t.Errorf("refused, but kept: %v", breads)
	}
}

func TestDeleteBread(t *testing.T) {
	s, ctx := storetest.Open(t), t.Context()
	day := must(s.ImportDay(ctx, sampleDay()))(t)

	err := s.DeleteBread(ctx, "bun", clock(t, "09:30")) // the very minute of its promise
	if e, ok := errors.AsType[*record.Error](err); !ok || e.Kind != record.ErrInUse ||
		e.Message != "this bread is ordered for Market 2026-11-28; take it off first" {
		t.Fatalf("before its promise: %v", err)
	}
	if err := s.DeleteBread(ctx, "bun", clock(t, "09:31")); err != nil {
		t.Fatalf("after its promise: %v", err)
	}
	if _, err := s.Bread(ctx, "bun"); !errors.Is(err, record.ErrNotFound) {
		t.Errorf("deleted bread: %v, want ErrNotFound", err)
	}
	want := sampleDay()
	want.Now = "2026-11-29T05:00"
	got := must(s.Day(ctx, day, clock(t, "05:00").AddDate(0, 0, 1)))(t)
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("the day that is over has lost something (-want +got):\n%s", diff)
	}

	if err := s.DeleteBase(ctx, "sweet"); err != nil {
		t.Errorf("base of a deleted bread: %v", err)
	}
	if err := s.DeleteDay(ctx, day); err != nil {
		t.Fatal(err)
	}
	if err := s.SaveBread(ctx, sampleBread("bun", "sweet")); !errors.Is(err, record.ErrNotFound) {
		t.Errorf("the swept base is still there: %v", err)
	}
}

func TestDeleteBaseInUse(t *testing.T) {
	s, ctx := storetest.Open(t), t.Context()
	must(s.ImportDay(ctx, sampleDay()))(t)
	if err := s.DeleteBase(ctx, "sweet"); !errors.Is(err, record.ErrInUse) {
		t.Errorf("%v, want ErrInUse", err)
	}
}

func TestSetting(t *testing.T) {
	s, ctx := storetest.Open(t), t.Context()
	for _, value := range []string{"", "dark", "light; '--", ""} {
		if err := s.SetSetting(ctx, "theme", value); err != nil {
			t.Fatal(err)
		}
		if got := must(s.Setting(ctx, "theme"))(t); got != value {
			t.Errorf("got %q, want %q", got, value)
		}
	}
}
