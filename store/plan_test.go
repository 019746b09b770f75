package store_test

import (
	"errors"
	"math/rand/v2"
	"sync"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
	"ovenward/store/record"
	"ovenward/store/storetest"
)

func TestPlanKeepsWholeValue(t *testing.T) {
	s, ctx := storetest.Open(t), t.Context()
	day := must(s.ImportDay(ctx, sampleDay()))(t)
	if _, err := s.Plan(ctx, day); !errors.Is(err, record.ErrNotFound) {
		t.Errorf("before the first plan: %v, want ErrNotFound", err)
	}
	r := rand.New(rand.NewPCG(5, 6))
	for version := 1; version <= 40; version++ {
		want := record.Plan{Day: day, Version: version, Saved: clock(t, "05:00"), From: random[schedule.Day](r), Plan: random[schedule.Plan](r)}
		want.Plan.Zone = dublin
		if version == 1 {
			want.From, want.Plan = sampleDay(), samplePlan(t)
		}
		if got := must(s.SavePlan(ctx, day, want.From, want.Plan, nil, want.Saved))(t); got != version {
			t.Fatalf("version %d, want %d", got, version)
		}
		got := must(s.Plan(ctx, day))(t)
		if diff := cmp.Diff(want, got); diff != "" {
			t.Fatalf("version %d (-saved +got):\n%s", version, diff)
		}
		if zone := got.Plan.Outcome.WorkEnd.Location().String(); zone != dublin {
			t.Errorf("instants are in %s, want %s", zone, dublin)
		}
	}
	if got := must(s.DayRecord(ctx, day))(t).Version; got != 40 {
		t.Errorf("the day says version %d, want 40", got)
	}
}

// A bread changed after planning does not change what was planned.
func TestPlanRemembersItsDay(t *testing.T) {
	s, ctx := storetest.Open(t), t.Context()
	day := planned(t, s)
	changed := sampleBread("loaf", "")
	changed.Piece = 1
	must(0, s.SaveBread(ctx, changed))(t)
	if diff := cmp.Diff(sampleDay(), must(s.Plan(ctx, day))(t).From); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

func TestPlanOfNoDay(t *testing.T) {
	s := storetest.Open(t)
	_, err := s.SavePlan(t.Context(), 7, sampleDay(), samplePlan(t), sampleAlerts(t), clock(t, "05:00"))
	if !errors.Is(err, record.ErrNotFound) {
		t.Errorf("%v, want ErrNotFound", err)
	}
}

// All or nothing: two equal calls break the rule that a call is unique in its
// plan, so nothing of the plan may stay.
func TestPlanIsSavedWholeOrNotAtAll(t *testing.T) {
	s, ctx := storetest.Open(t), t.Context()
	day := planned(t, s)
	before := states(t, s, day)
	doubled := append(sampleAlerts(t), sampleAlerts(t)...)
	for i := range doubled {
		doubled[i].Due = doubled[i].Due.Add(time.Hour)
	}
	if _, err := s.SavePlan(ctx, day, sampleDay(), samplePlan(t), doubled, clock(t, "05:10")); err == nil {
		t.Fatal("a plan with doubled calls was saved")
	}
	if got := must(s.Plan(ctx, day))(t).Version; got != 1 {
		t.Errorf("newest plan %d, want 1", got)
	}
	if diff := cmp.Diff(before, states(t, s, day)); diff != "" {
		t.Errorf("calls (-want +got):\n%s", diff)
	}
}

// Each save reads the day's version and writes the next: eight at once must
// neither fail nor lose one. Readers go on meanwhile and never see a plan that
// does not go with its day.
func TestPlansSavedAtOnce(t *testing.T) {
	s, ctx := storetest.Open(t), t.Context()
	day := must(s.ImportDay(ctx, sampleDay()))(t)
	const savers, each = 8, 25
	var wg sync.WaitGroup
	for range savers {
		wg.Go(func() {
			for range each {
				if _, err := s.SavePlan(ctx, day, sampleDay(), samplePlan(t), sampleAlerts(t), clock(t, "05:00")); err != nil {
					t.Error(err)
				}
			}
		})
		wg.Go(func() {
			for range each {
				if _, err := s.Day(ctx, day, time.Now()); err != nil {
					t.Error(err)
				}
			}
		})
	}
	wg.Wait()
	if got := must(s.DayRecord(ctx, day))(t).Version; got != savers*each {
		t.Errorf("version %d, want %d", got, savers*each)
	}
	scheduled := 0
	for _, a := range must(s.Alerts(ctx, day))(t) {
		if a.State == record.Scheduled {
			scheduled++
		}
	}
	if scheduled != 3 {
		t.Errorf("%d calls are scheduled, want the 3 of the newest plan", scheduled)
	}
}
