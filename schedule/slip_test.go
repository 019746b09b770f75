package schedule_test

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
)

// What cannot have happened is refused with what is wrong and a way out.
func TestValidateLog(t *testing.T) {
	t.Parallel()
	d, p := tearoom()
	proof := taskOf(t, &p, func(k schedule.Task) bool { return k.Kind == schedule.Proof })
	shape := taskOf(t, &p, func(k schedule.Task) bool { return k.Kind == schedule.Shape && k.Portion == proof.Portion })
	bake := taskOf(t, &p, func(k schedule.Task) bool { return k.Kind == schedule.Bake && k.Portion == proof.Portion })
	now := proof.End
	at := now.Add(-time.Minute)
	settled := schedule.Slip{ID: "0", Kind: schedule.Done, At: shape.End, Task: shape.ID}
	for _, c := range []struct {
		name string
		log  []schedule.Slip
		want string // in the fault; "" for none
	}{
		{"done", []schedule.Slip{settled}, ""},
		{"done twice", []schedule.Slip{settled, {Kind: schedule.Done, At: at, Task: shape.ID}}, "settled already"},
		{"done in the future", []schedule.Slip{{Kind: schedule.Done, At: now.Add(time.Hour), Task: proof.ID}}, "still to come"},
		{"done without a time", []schedule.Slip{{Kind: schedule.Done, Task: proof.ID}}, "not said when"},
		{"done last week", []schedule.Slip{{Kind: schedule.Done, At: now.Add(-7 * 24 * time.Hour), Task: proof.ID}}, "three days ago"},
		{"done before what it follows", []schedule.Slip{{Kind: schedule.Done, At: shape.Start.Add(-time.Hour), Task: bake.ID}}, "comes after " + shape.ID},
		{"done before it was begun", []schedule.Slip{{Kind: schedule.Started, At: at, Task: bake.ID}, {Kind: schedule.Done, At: at.Add(-time.Minute), Task: bake.ID}}, "was begun at"},
		{"done after what follows it", []schedule.Slip{{Kind: schedule.Ready, At: at, Task: proof.ID}, {Kind: schedule.Done, At: now, Task: shape.ID}}, "follows " + shape.ID},
		{"no such task", []schedule.Slip{{Kind: schedule.Done, At: at, Task: "Z9.9"}}, "no task \"Z9.9\""},
		{"not yet", []schedule.Slip{{Kind: schedule.NotYet, At: at, Task: proof.ID, Minutes: 20}}, ""},
		{"not yet by 900 minutes", []schedule.Slip{{Kind: schedule.NotYet, At: at, Task: proof.ID, Minutes: 900}}, "900 min more"},
		{"not yet by less than nothing", []schedule.Slip{{Kind: schedule.NotYet, At: at, Task: proof.ID, Minutes: -5}}, "-5 min more"},
		{"not yet before it begins", []schedule.Slip{{Kind: schedule.NotYet, At: proof.Start.Add(-10 * time.Minute), Task: proof.ID}}, "begins 10 min later"},
		{"volume", []schedule.Slip{{Kind: schedule.Volume, At: at, Task: proof.ID, Expansion: 1.6}}, ""},
		{"no volume", []schedule.Slip{{Kind: schedule.Volume, At: at, Task: proof.ID}}, "0 times"},
		{"forty times", []schedule.Slip{{Kind: schedule.Volume, At: at, Task: proof.ID, Expansion: 40}}, "40 times"},
		{"volume of a shaping", []schedule.Slip{{Kind: schedule.Volume, At: at, Task: shape.ID, Expansion: 2}}, "does not rise"},
		{"dough of 90 °C", []schedule.Slip{{Kind: schedule.WasWarm, At: at, Task: proof.ID, Celsius: 90}}, "90 °C"},
		{"temperature of bread", []schedule.Slip{{Kind: schedule.WasWarm, At: at, Task: bake.ID, Celsius: 30}}, "neither a mix nor a rise"},
		{"bake left out", []schedule.Slip{{Kind: schedule.Skipped, At: at, Task: bake.ID}}, "bread cannot be made without bake"},
		{"no such oven", []schedule.Slip{{Kind: schedule.OvenOut, At: at, Of: "Kiln"}}, "no oven \"Kiln\""},
		{"oven back before it was out", []schedule.Slip{{Kind: schedule.OvenOut, At: at, Of: "Deck oven", To: at.Add(-time.Hour)}}, "before it begins"},
		{"away for a week", []schedule.Slip{{Kind: schedule.Away, At: at, Of: "Nora", To: at.Add(7 * 24 * time.Hour)}}, "168 hours"},
		{"no such person", []schedule.Slip{{Kind: schedule.Away, At: at, Of: "Nobody"}}, "no person \"Nobody\""},
		{"room of 300 °C", []schedule.Slip{{Kind: schedule.RoomIs, At: at, Of: "Bench", Celsius: 300}}, "300 °C"},
		{"oven as slow as none", []schedule.Slip{{Kind: schedule.OvenSlow, At: at, Of: "Deck oven"}}, "0 % of its pace"},
		{"no such order", []schedule.Slip{{Kind: schedule.OrderDropped, At: at, Order: 17}}, "no order 17"},
		{"raised to less", []schedule.Slip{{Kind: schedule.OrderRaised, At: at, Order: 0, Pieces: 1}}, "do not raise"},
		{"order of nothing", []schedule.Slip{{Kind: schedule.OrderAdded, At: at}}, "no order is given"},
		{"order of an unknown bread", []schedule.Slip{{Kind: schedule.OrderAdded, At: at, New: &schedule.Order{Bread: "rusk", Pieces: 3, Out: "2026-11-28T12:00"}}}, "rusk"},
		{"nothing known", []schedule.Slip{{Kind: "tea-break", At: at}}, "tea-break"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			fs := schedule.ValidateLog(d, &p, c.log, now)
			switch {
			case c.want == "" && len(fs) > 0:
				t.Errorf("refused: %v", fs)
			case c.want != "" && len(fs) == 0:
				t.Error("taken")
			case c.want != "":
				f := fs[0]
				if !strings.Contains(f.What, c.want) || f.Remedy == "" || !strings.HasPrefix(f.Where, "log[") {
					t.Errorf("%+v, want %q", f, c.want)
				}
				if _, err := schedule.Replan(t.Context(), d, &p, c.log, now, d.Settings); err == nil {
					t.Error("planned all the same")
				}
			}
		})
	}
}

// A slip keeps everything on its way through a file.
func TestSlipInJSON(t *testing.T) {
	t.Parallel()
	when := time.Date(2026, 11, 28, 7, 30, 0, 0, time.UTC)
	want := []schedule.Slip{
		{ID: "1", Kind: schedule.NotYet, At: when, Task: "A.2", Minutes: 15},
		{ID: "2", Kind: schedule.Away, At: when, Of: "Nora", From: when, To: when.Add(time.Hour)},
		{ID: "3", Kind: schedule.OrderAdded, At: when, New: &schedule.Order{Bread: "plain-bun", Pieces: 6, Out: "2026-11-28T12:00"}},
		{ID: "4", Kind: schedule.Volume, At: when, Task: "A.2", Expansion: 1.75},
		{ID: "5", Kind: schedule.RoomIs, At: when, Of: "Bench", Celsius: 24.5},
	}
	var got []schedule.Slip
	if err := json.Unmarshal(asJSON(t, want), &got); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}
