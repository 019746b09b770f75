package store_test

import (
	"errors"
	"math/rand/v2"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"ovenward/schedule"
	"ovenward/store"
	"ovenward/store/record"
	"ovenward/store/storetest"
)

var ignoreUpdated = cmpopts.IgnoreFields(record.Day{}, "Updated")

func TestDayKeepsWholeValue(t *testing.T) {
	s, ctx := storetest.Open(t), t.Context()
	must(s.ImportDay(ctx, sampleDay()))(t)
	want := record.Day{
		Date: "2026-11-28", Name: "Saturday", Zone: dublin, Now: "2026-11-27T18:00",
		Settings: schedule.Settings{Seed: 7}, Room: []schedule.Reading{{At: 300, Celsius: 16.5}}, Orders: sampleDay().Orders,
	}
	want.ID = must(s.CreateDay(ctx, want))(t)
	if diff := cmp.Diff(want, must(s.DayRecord(ctx, want.ID))(t), ignoreUpdated); diff != "" {
		t.Errorf("created (-want +got):\n%s", diff)
	}

	want.Now, want.Room, want.Name = "", nil, ""
	want.Orders = []schedule.Order{{Bread: "loaf", Pieces: 3, Out: "2026-12-01T00:30"}}
	if err := s.SaveDay(ctx, want); err != nil {
		t.Fatal(err)
	}
	want.Date = "2026-12-01"
	days := must(s.Days(ctx))(t)
	if diff := cmp.Diff(want, days[1], ignoreUpdated); len(days) != 2 || diff != "" {
		t.Errorf("saved, of %d days (-want +got):\n%s", len(days), diff)
	}
}

// What is written is stamped by the clock the store was opened with.
func TestStampedByItsClock(t *testing.T) {
	at, ctx := clock(t, "09:30"), t.Context()
	s := must(store.Open(ctx, filepath.Join(t.TempDir(), "ovenward.db"), func() time.Time { return at }))(t)
	t.Cleanup(func() { s.Close() })
	id := must(s.ImportDay(ctx, sampleDay()))(t)
	if d := must(s.DayRecord(ctx, id))(t); !d.Updated.Equal(at) {
		t.Errorf("added: updated %v, want %v", d.Updated, at)
	}
	at = at.Add(time.Hour)
	must(0, s.SaveDay(ctx, must(s.DayRecord(ctx, id))(t)))(t)
	if d := must(s.DayRecord(ctx, id))(t); !d.Updated.Equal(at) {
		t.Errorf("saved: updated %v, want %v", d.Updated, at)
	}
}

func TestDayAssembles(t *testing.T) {
	s, ctx := storetest.Open(t), t.Context()
	must(0, s.SaveBread(ctx, sampleBread("unneeded", "")))(t)
	id := must(s.ImportDay(ctx, sampleDay()))(t)

	want := sampleDay()
	want.Now = "2026-11-28T05:00"
	now := clock(t, "05:00").Add(59 * time.Second).UTC()
	if diff := cmp.Diff(want, must(s.Day(ctx, id, now))(t)); diff != "" {
		t.Errorf("by the clock (-want +got):\n%s", diff)
	}

	r := must(s.DayRecord(ctx, id))(t)
	r.Now, r.Room = "2026-11-28T04:00", []schedule.Reading{{At: 0, Celsius: 15}}
	must(0, s.SaveDay(ctx, r))(t)
	want.Now, want.Kitchen.Places[0].Curve = r.Now, r.Room
	if diff := cmp.Diff(want, must(s.Day(ctx, id, now))(t)); diff != "" {
		t.Errorf("fixed now and room (-want +got):\n%s", diff)
	}
	if k := must(s.Kitchen(ctx))(t); k.Places[0].Curve[0].Celsius != 18.5 {
		t.Errorf("the day's room has changed the kitchen to %v", k.Places[0].Curve)
	}
}

// The night clocks go back, 01:30 comes twice in Dublin; the date and the wish
// must tell which (IANA tzdb: 2026-10-25 01:00 UTC).
func TestDayOnClockChange(t *testing.T) {
	s, ctx := storetest.Open(t), t.Context()
	must(0, s.SaveBread(ctx, sampleBread("loaf", "")))(t)
	at := func(w schedule.Wall) record.Day {
		return record.Day{Zone: dublin, Orders: []schedule.Order{{Bread: "loaf", Pieces: 1, Out: w}}}
	}
	_, err := s.CreateDay(ctx, at("2026-10-25T01:30"))
	if e, ok := errors.AsType[*record.Error](err); !ok || e.Kind != record.ErrInvalid || !strings.Contains(e.Message, "happens twice") {
		t.Errorf("the hour that comes twice: %v", err)
	}
	_, err = s.CreateDay(ctx, at("2026-03-29T01:30"))
	if e, ok := errors.AsType[*record.Error](err); !ok || !strings.Contains(e.Message, "does not exist") {
		t.Errorf("the hour that is skipped: %v", err)
	}
	id := must(s.CreateDay(ctx, at("2026-10-25T01:30+00:00")))(t)
	if got := must(s.DayRecord(ctx, id))(t).Orders[0].Out; got != "2026-10-25T01:30+00:00" {
		t.Errorf("the wish came back as %q", got)
	}
}

func TestDayRefuses(t *testing.T) {
	s, ctx := storetest.Open(t), t.Context()
	id := must(s.ImportDay(ctx, sampleDay()))(t)
	before := must(s.Days(ctx))(t)
	ok := before[0]
	for _, tt := range []struct {
		name  string
		spoil func(*record.Day)
		kind  error
		says  string
	}{
		{"no zone", func(d *record.Day) { d.Zone = "" }, record.ErrInvalid, "time zone"},
		{"this machine's zone", func(d *record.Day) { d.Zone = "Local" }, record.ErrInvalid, "time zone"},
		{"unknown zone", func(d *record.Day) { d.Zone = "Europe/Atlantis" }, record.ErrInvalid, "Europe/Atlantis"},
		{"zone as a path", func(d *record.Day) { d.Zone = "../../etc/passwd" }, record.ErrInvalid, "time zone"},
		{"promise in words", func(d *record.Day) { d.Orders[1].Out = "early" }, record.ErrInvalid, "order 2"},
		{"now in words", func(d *record.Day) { d.Now = "soon" }, record.ErrInvalid, "now"},
		{"neither date nor orders", func(d *record.Day) { d.Date, d.Orders = "Saturday", nil }, record.ErrInvalid, "Saturday"},
		{"unknown bread", func(d *record.Day) { d.Orders[1].Bread = "brick" }, record.ErrNotFound, `order 2: the bread "brick"`},
	} {
		t.Run(tt.name, func(t *testing.T) {
			d := ok
			d.Orders = append([]schedule.Order(nil), ok.Orders...)
			tt.spoil(&d)
			_, created := s.CreateDay(ctx, d)
			for what, err := range map[string]error{"create": created, "save": s.SaveDay(ctx, d)} {
				if e, ok := errors.AsType[*record.Error](err); !ok || e.Kind != tt.kind || !strings.Contains(e.Message, tt.says) {
					t.Errorf("%s: %v, want %v with %q", what, err, tt.kind, tt.says)
				}
			}
		})
	}
	if diff := cmp.Diff(before, must(s.Days(ctx))(t)); diff != "" {
		t.Errorf("something refused was kept (-want +got):\n%s", diff)
	}
	missing := ok
	missing.ID = id + 1
	_, noRecord := s.DayRecord(ctx, missing.ID)
	_, noDay := s.Day(ctx, missing.ID, time.Now())
	for what, err := range map[string]error{"record": noRecord, "day": noDay, "save": s.SaveDay(ctx, missing), "delete": s.DeleteDay(ctx, missing.ID)} {
		if !errors.Is(err, record.ErrNotFound) {
			t.Errorf("%s of a day that is not there: %v, want ErrNotFound", what, err)
		}
	}
}

// Days are never numbered twice: an old address must not show another day.
func TestDayNumbersAreNotReused(t *testing.T) {
	s, ctx := storetest.Open(t), t.Context()
	first := must(s.CreateDay(ctx, record.Day{Date: "2026-11-28", Zone: dublin}))(t)
	must(0, s.DeleteDay(ctx, first))(t)
	if second := must(s.CreateDay(ctx, record.Day{Date: "2026-11-28", Zone: dublin}))(t); second <= first {
		t.Errorf("day %d came after day %d", second, first)
	}
}

func TestOrdersKeepAnyWords(t *testing.T) {
	s, ctx := storetest.Open(t), t.Context()
	must(0, s.SaveBread(ctx, sampleBread("loaf", "")))(t)
	r := rand.New(rand.NewPCG(3, 4))
	d := record.Day{Date: "2026-11-28", Zone: dublin}
	for range 50 {
		o := random[schedule.Order](r)
		o.Bread, o.Out, o.Ready = "loaf", "", "2026-11-28T09:30"
		d.Orders = append(d.Orders, o)
	}
	id := must(s.CreateDay(ctx, d))(t)
	if diff := cmp.Diff(d.Orders, must(s.DayRecord(ctx, id))(t).Orders); diff != "" {
		t.Errorf("(-saved +got):\n%s", diff)
	}
}
