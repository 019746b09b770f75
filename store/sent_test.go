package store_test

import (
	"errors"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/store/record"
	"ovenward/store/storetest"
)

// A key begins one day however often it is sent, over a restart and after the day
// was deleted; without a key each form is a day of its own.
func TestBeginDay(t *testing.T) {
	s, ctx, now := storetest.Open(t), t.Context(), time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC)
	d := record.Day{Name: "market", Date: "2026-11-28", Zone: dublin}
	begin := func(key string) (int64, bool) {
		t.Helper()
		id, begun, err := s.BeginDay(ctx, key, d, now)
		if err != nil {
			t.Fatal(err)
		}
		return id, begun
	}
	first, begun := begin("a")
	if again, twice := begin("a"); !begun || twice || again != first {
		t.Errorf("begun %v as %d; sent again: %v as %d", begun, first, twice, again)
	}
	for _, key := range []string{"b", "", ""} {
		if _, begun := begin(key); !begun {
			t.Errorf("under %q none was begun", key)
		}
	}
	if n := len(must(s.Days(ctx))(t)); n != 4 {
		t.Errorf("%d days, want 4", n)
	}
	must(0, s.DeleteDay(ctx, first))(t)
	if again, begun := begin("a"); begun || again != first {
		t.Errorf("a deleted day is begun again by its old form: %d, %v", again, begun)
	}
	d.Zone = "Nowhere"
	if _, begun, err := s.BeginDay(ctx, "c", d, now); begun || err == nil {
		t.Error("a day in no zone was begun")
	}
	d.Zone = dublin
	if _, begun := begin("c"); !begun {
		t.Error("what failed took its key with it")
	}
}

// An order is taken once for a key, and anew after it was returned.
func TestTakeOrder(t *testing.T) {
	s, ctx, now := storetest.Open(t), t.Context(), time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC)
	day := must(s.ImportDay(ctx, sampleDay()))(t)
	without := must(s.DayRecord(ctx, day))(t)
	with := without
	with.Orders = append(with.Orders[:len(with.Orders):len(with.Orders)], with.Orders[0])
	for i, want := range []bool{true, false, true, false} {
		if i == 2 {
			must(0, s.ReturnOrder(ctx, "1 x", without))(t)
			if diff := cmp.Diff(without.Orders, must(s.DayRecord(ctx, day))(t).Orders); diff != "" {
				t.Errorf("returned (-want +got):\n%s", diff)
			}
		}
		if sent := must(s.Sent(ctx, "1 x"))(t); sent == want {
			t.Errorf("time %d: sent before: %v", i+1, sent)
		}
		if err := s.TakeOrder(ctx, "1 x", with, now); (err == nil) != want || !want && !errors.Is(err, record.ErrInvalid) {
			t.Errorf("time %d: %v", i+1, err)
		}
		if diff := cmp.Diff(with.Orders, must(s.DayRecord(ctx, day))(t).Orders); diff != "" {
			t.Errorf("time %d (-want +got):\n%s", i+1, diff)
		}
	}
	with.ID = 99
	if err := s.TakeOrder(ctx, "99 x", with, now); !errors.Is(err, record.ErrNotFound) {
		t.Error("an order was taken for no day")
	}
}

// Keys stay thirty days.
func TestForgetSent(t *testing.T) {
	s, ctx, now := storetest.Open(t), t.Context(), time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC)
	d := record.Day{Name: "market", Date: "2026-11-28", Zone: dublin}
	for key, at := range map[string]time.Time{"old": now.AddDate(0, 0, -31), "young": now.AddDate(0, 0, -29)} {
		if _, _, err := s.BeginDay(ctx, key, d, at); err != nil {
			t.Fatal(err)
		}
	}
	if n := must(s.ForgetSent(ctx, now))(t); n != 1 {
		t.Errorf("%d were forgotten, want the old one", n)
	}
	if _, begun, err := s.BeginDay(ctx, "young", d, now); begun || err != nil {
		t.Errorf("the young one is forgotten: %v", err)
	}
}
