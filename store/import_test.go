package store_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
	"ovenward/store/storetest"
)

func TestImportOverwritesNothing(t *testing.T) {
	s, ctx := storetest.Open(t), t.Context()
	own := sampleKitchen()
	own.Tap = 9
	mine, base := sampleBread("bun", ""), sampleBase()
	mine.Name, base.Name = "My bun", "My sweet dough"
	must(0, s.SaveKitchen(ctx, own))(t)
	must(0, s.SaveBase(ctx, base))(t)
	must(0, s.SaveBread(ctx, mine))(t)

	for range 2 { // the second time, everything is there already
		id := must(s.ImportDay(ctx, sampleDay()))(t)
		want := sampleDay()
		want.Now, want.Kitchen = "2026-11-28T05:00", own
		want.Bases[0].ID, want.Breads[0].Base = "sweet-2", "sweet-2"
		want.Breads[0].ID, want.Orders[0].Bread = "bun-2", "bun-2"
		if diff := cmp.Diff(want, must(s.Day(ctx, id, clock(t, "05:00")))(t)); diff != "" {
			t.Errorf("(-want +got):\n%s", diff)
		}
	}
	if got := must(s.Bread(ctx, "bun"))(t); !cmp.Equal(mine, got) {
		t.Errorf("the baker's bun is now %+v", got)
	}
	if got := must(s.Breads(ctx))(t); len(got) != 3 {
		t.Errorf("got %d breads, want 3", len(got))
	}
}

func TestClearExample(t *testing.T) {
	s, ctx := storetest.Open(t), t.Context()
	example := sampleDay()
	example.Example = true
	day := must(s.ImportDay(ctx, example))(t)
	if diff := cmp.Diff(example, must(s.Day(ctx, day, clock(t, "23:00")))(t)); diff != "" {
		t.Errorf("an example keeps its now (-want +got):\n%s", diff)
	}
	savePlan(t, s, day, sampleAlerts(t), clock(t, "05:00"))
	must(0, s.ClearExample(ctx))(t)
	days, breads, bases, k := must(s.Days(ctx))(t), must(s.Breads(ctx))(t), must(s.Bases(ctx))(t), must(s.Kitchen(ctx))(t)
	if days != nil || breads != nil || bases != nil || !cmp.Equal(k, schedule.Kitchen{}) {
		t.Errorf("left over: %v %v %v %v", days, breads, bases, k)
	}
}

func TestClearExampleKeepsWhatIsOwn(t *testing.T) {
	s, ctx := storetest.Open(t), t.Context()
	example := sampleDay()
	example.Example = true
	must(s.ImportDay(ctx, example))(t)
	edited := sampleBread("bun", "sweet")
	edited.Piece = 90
	must(0, s.SaveBread(ctx, edited))(t)
	own := must(s.CreateDay(ctx, recordOf("loaf")))(t)

	must(0, s.ClearExample(ctx))(t)
	days := must(s.Days(ctx))(t)
	if len(days) != 1 || days[0].ID != own {
		t.Errorf("days left: %+v", days)
	}
	if diff := cmp.Diff([]schedule.Bread{edited, sampleBread("loaf", "")}, must(s.Breads(ctx))(t)); diff != "" {
		t.Errorf("breads (-want +got):\n%s", diff)
	}
	if diff := cmp.Diff([]schedule.Base{sampleBase()}, must(s.Bases(ctx))(t)); diff != "" {
		t.Errorf("bases (-want +got):\n%s", diff)
	}
	if diff := cmp.Diff(sampleKitchen(), must(s.Kitchen(ctx))(t)); diff != "" {
		t.Errorf("kitchen (-want +got):\n%s", diff)
	}
	must(0, s.ClearExample(ctx))(t) // nothing is an example any more
	if got := must(s.Breads(ctx))(t); len(got) != 2 {
		t.Errorf("cleared twice, %d breads are left, want 2", len(got))
	}
}

func TestKeepExample(t *testing.T) {
	s, ctx := storetest.Open(t), t.Context()
	example := sampleDay()
	example.Example = true
	day := must(s.ImportDay(ctx, example))(t)
	must(0, s.KeepExample(ctx))(t)
	must(0, s.ClearExample(ctx))(t)
	want := sampleDay()
	if diff := cmp.Diff(want, must(s.Day(ctx, day, clock(t, "23:00")))(t)); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	if _, err := s.ImportDay(ctx, example); err != nil {
		t.Fatal(err)
	}
	must(0, s.ClearExample(ctx))(t)
	if got := must(s.Breads(ctx))(t); len(got) != 2 {
		t.Errorf("a second example took the baker's breads with it: %d left, want 2", len(got))
	}
}
