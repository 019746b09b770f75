package store_test

import (
	"errors"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"ovenward/schedule"
	"ovenward/store/record"
	"ovenward/store/storetest"
)

func everySaturday(bread string) schedule.Standing {
	early := schedule.Clock(6 * 60)
	return schedule.Standing{ID: "sat", Bread: bread, Pieces: 24, Days: schedule.On(time.Saturday), At: 7*60 + 30, From: "2026-11-28", For: "Café X",
		Except: []schedule.Exception{{Date: "2026-12-26"}, {Date: "2026-12-19", Pieces: 60, At: &early}}}
}

// madeDay is a day as it is made from standing orders.
func madeDay(date string) record.Day {
	return record.Day{Date: date, Name: "Saturday", Zone: dublin, Orders: []schedule.Order{{Bread: "bun", Pieces: 24, Out: schedule.Wall(date + "T07:30"), For: "Café X"}}}
}

func TestStandingOrders(t *testing.T) {
	s, ctx := storetest.Open(t), t.Context()
	for _, id := range []string{"bun", "loaf"} {
		must(0, s.SaveBread(ctx, sampleBread(id, "")))(t)
	}
	bun, loaf := everySaturday("bun"), everySaturday("loaf")
	loaf.ID, loaf.At = "l", 6*60
	must(0, s.SaveStanding(ctx, bun, clock(t, "05:00")))(t)
	must(0, s.SaveStanding(ctx, loaf, clock(t, "05:00")))(t)
	must(0, s.DeleteBread(ctx, "bun", clock(t, "05:00")))(t)
	want := []record.Standing{{Standing: loaf, Name: "Bread loaf"}, {Standing: bun, Name: "Bread bun", Retired: true}}
	if diff := cmp.Diff(want, must(s.StandingOrders(ctx))(t), cmpopts.IgnoreFields(record.Standing{}, "Saved")); diff != "" {
		t.Errorf("by time, with what is deleted (-want +got):\n%s", diff)
	}
	bun.Bread = "loaf"
	must(0, s.SaveStanding(ctx, bun, clock(t, "05:00")))(t)
	must(0, s.DeleteStanding(ctx, "l"))(t)
	if diff := cmp.Diff([]record.Standing{{Standing: bun, Name: "Bread loaf"}}, must(s.StandingOrders(ctx))(t), cmpopts.IgnoreFields(record.Standing{}, "Saved")); diff != "" {
		t.Errorf("changed (-want +got):\n%s", diff)
	}

	unknown, unsound := everySaturday("rye"), everySaturday("loaf")
	unsound.Pieces = 0
	for want, err := range map[error]error{
		record.ErrNotFound: s.SaveStanding(ctx, unknown, clock(t, "05:00")),
		record.ErrInvalid:  s.SaveStanding(ctx, unsound, clock(t, "05:00")),
	} {
		if !errors.Is(err, want) {
			t.Errorf("%v, want %v", err, want)
		}
	}
	if err := s.DeleteStanding(ctx, "l"); !errors.Is(err, record.ErrNotFound) {
		t.Errorf("deleted twice: %v", err)
	}
}

// What a standing order needs of the example stays when that is cleared.
func TestClearExampleKeepsWhatStands(t *testing.T) {
	s, ctx := storetest.Open(t), t.Context()
	example := sampleDay()
	example.Example = true
	must(s.ImportDay(ctx, example))(t)
	must(0, s.SaveStanding(ctx, everySaturday("bun"), clock(t, "05:00")))(t)
	must(0, s.ClearExample(ctx))(t)
	if breads, all := must(s.Breads(ctx))(t), must(s.StandingOrders(ctx))(t); len(breads) != 1 || breads[0].ID != "bun" || len(all) != 1 || all[0].Retired {
		t.Errorf("left: %+v %+v", breads, all)
	}
	if k := must(s.Kitchen(ctx))(t); len(k.Ovens) == 0 {
		t.Error("the kitchen is gone")
	}
}

// A date's day is made once, whoever makes it, and not again when it is deleted
// unless that is asked for.
func TestMakeDay(t *testing.T) {
	s, ctx := storetest.Open(t), t.Context()
	must(0, s.SaveBread(ctx, sampleBread("bun", "")))(t)
	ids := make(chan int64)
	for range 8 {
		go func() {
			id, err := s.MakeDay(ctx, madeDay("2026-11-28"), false)
			if err != nil {
				t.Error(err)
			}
			ids <- id
		}()
	}
	made := int64(0)
	for range 8 {
		if id := <-ids; id != 0 {
			if made != 0 {
				t.Errorf("made twice: %d and %d", made, id)
			}
			made = id
		}
	}
	c := record.Coming{Date: "2026-11-28", Day: made, Name: "Saturday", Zone: dublin, Orders: madeDay("2026-11-28").Orders}
	if diff := cmp.Diff([]record.Coming{c}, must(s.Comings(ctx, ""))(t)); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	must(0, s.DeleteDay(ctx, made))(t)
	if id := must(s.MakeDay(ctx, madeDay("2026-11-28"), false))(t); id != 0 {
		t.Error("what the baker deleted came back by itself")
	}
	if c.Day = 0; !cmp.Equal([]record.Coming{c}, must(s.Comings(ctx, ""))(t)) {
		t.Errorf("deleted: %+v", must(s.Comings(ctx, ""))(t))
	}
	if id := must(s.MakeDay(ctx, madeDay("2026-11-28"), true))(t); id == 0 {
		t.Error("it is not made again by hand")
	}
	if id := must(s.MakeDay(ctx, madeDay("2026-11-28"), true))(t); id != 0 || len(must(s.Days(ctx))(t)) != 1 {
		t.Error("by hand it is made twice")
	}
}

// A day is renewed while it is as it was made, and never once the baker has
// changed it or something has happened on it.
func TestRenewDay(t *testing.T) {
	more := madeDay("2026-11-28").Orders
	more[0].Pieces = 36
	for name, touch := range map[string]func(*testing.T, record.Day, func(record.Day), func(record.Tap)){
		"untouched": func(t *testing.T, d record.Day, save func(record.Day), _ func(record.Tap)) { save(d) }, // saved as it was
		"pieces": func(t *testing.T, d record.Day, save func(record.Day), _ func(record.Tap)) {
			d.Orders[0].Pieces = 25
			save(d)
		},
		"name": func(t *testing.T, d record.Day, save func(record.Day), _ func(record.Tap)) { d.Name = "Fair"; save(d) },
		"reserve": func(t *testing.T, d record.Day, save func(record.Day), _ func(record.Tap)) {
			d.Settings.Reserve = 5
			save(d)
		},
		"room": func(t *testing.T, d record.Day, save func(record.Day), _ func(record.Tap)) {
			d.Room = []schedule.Reading{{At: 0, Celsius: 20}}
			save(d)
		},
		"tapped": func(t *testing.T, d record.Day, _ func(record.Day), tap func(record.Tap)) {
			tap(record.Tap{ID: "t", Day: d.ID, Version: 1, Task: "A.1", Kind: record.Ack, At: clock(t, "06:00"), Recorded: clock(t, "06:00")})
		},
	} {
		t.Run(name, func(t *testing.T) {
			s, ctx := storetest.Open(t), t.Context()
			must(0, s.SaveBread(ctx, sampleBread("bun", "")))(t)
			id := must(s.MakeDay(ctx, madeDay("2026-11-28"), false))(t)
			savePlan(t, s, id, sampleAlerts(t), clock(t, "05:00"))
			touch(t, must(s.DayRecord(ctx, id))(t), func(d record.Day) { must(0, s.SaveDay(ctx, d))(t) }, func(p record.Tap) { must(s.Tap(ctx, p))(t) })
			before, ours := must(s.DayRecord(ctx, id))(t), name == "untouched"
			if got := must(s.Comings(ctx, ""))(t)[0].Touched; got == ours {
				t.Errorf("touched: %v", got)
			}
			if done := must(s.RenewDay(ctx, record.Coming{Date: "2026-11-28", Orders: more}))(t); done != ours {
				t.Errorf("renewed: %v", done)
			}
			after := must(s.DayRecord(ctx, id))(t)
			if ours && !cmp.Equal(after.Orders, more) || !ours && !cmp.Equal(before, after) {
				t.Errorf("the day is %+v", after)
			}
			must(s.RenewDay(ctx, record.Coming{Date: "2026-11-28"}))(t)
			if n := len(must(s.Days(ctx))(t)) + len(must(s.Comings(ctx, ""))(t)); ours != (n == 0) {
				t.Errorf("with no orders, %d are left", n)
			}
		})
	}
	s := storetest.Open(t)
	if done := must(s.RenewDay(t.Context(), record.Coming{Date: "2026-11-28", Orders: more}))(t); done {
		t.Error("a day nobody made was renewed")
	}
}

// A day of the baker's own to which standing orders were added stays the baker's.
func TestJoinDay(t *testing.T) {
	s, ctx := storetest.Open(t), t.Context()
	for _, id := range []string{"bun", "loaf"} {
		must(0, s.SaveBread(ctx, sampleBread(id, "")))(t)
	}
	own := recordOf("loaf")
	own.ID = must(s.CreateDay(ctx, own))(t)
	standing := madeDay("2026-11-28").Orders
	own.Orders = append(own.Orders, standing...)
	must(0, s.JoinDay(ctx, own, record.Coming{Date: "2026-11-28", Name: own.Name, Zone: own.Zone, Orders: standing}))(t)
	if id := must(s.MakeDay(ctx, madeDay("2026-11-28"), true))(t); id != 0 {
		t.Error("a second day was made")
	}
	if c := must(s.Comings(ctx, ""))(t); len(c) != 1 || c[0].Day != own.ID || !c[0].Touched {
		t.Errorf("kept in mind: %+v", c)
	}
}
