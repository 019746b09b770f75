package view

import (
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
	"ovenward/store/record"
)

// A night in the cold that begins at the bench, and one that ends there: what the
// rows, the cards and the columns of the drawing say of where the dough is.
func TestOnTheWay(t *testing.T) {
	at := func(h, m int) time.Time { return time.Date(2026, 11, 27, h, m, 0, 0, time.UTC) }
	m := &Picture{Day: &schedule.Day{}, Plan: &schedule.Plan{}, Now: at(4, 0)}
	for _, c := range []struct {
		rescue                  schedule.Rescue
		row, title, why, chosen string
		due                     time.Time
		kind                    record.TapKind
		fridge, bench           stretch
	}{
		{
			schedule.Rescue{Kind: schedule.ColdLater, Place: "Bench", From: at(5, 0), To: at(5, 45)},
			"Bench until 05:45", "Into the cold: Fridge", "until then it stands in Bench", "Loaf stays in Bench until 05:45 and only then goes into the cold.",
			at(5, 45), record.PutCold, stretch{at(5, 45), at(14, 0)}, stretch{at(5, 0), at(5, 45)},
		},
		{
			schedule.Rescue{Kind: schedule.FinishWarm, Place: "Bench", From: at(12, 0), To: at(14, 0)},
			"out at 12:00, then Bench", "Out of the cold, to Bench", "its rise finishes there until 14:00",
			"Loaf comes out of the cold at 12:00 and finishes its rise in Bench until 14:00. Cold dough hardly gets on; as it warms it speeds up, so look at it before then.",
			at(12, 0), record.TakenOut, stretch{at(5, 0), at(12, 0)}, stretch{at(12, 0), at(14, 0)},
		},
		{
			schedule.Rescue{Kind: schedule.PressAgain, From: at(11, 0)},
			"knock back at 11:00", "Knock back", "it rises once more, until 14:00", "Knock back Loaf at 11:00; it rises again.",
			at(11, 0), record.Pressed, stretch{at(5, 0), at(14, 0)}, stretch{}, // where it stood
		},
	} {
		task := &schedule.Task{ID: "A.2", Kind: schedule.Rise, Name: "Loaf", Place: "Fridge", Chilled: true, Start: at(5, 0), End: at(14, 0), Rescue: &c.rescue}
		if got := m.Words.rescue(&c.rescue); got != c.row {
			t.Errorf("row: %q, want %q", got, c.row)
		}
		if got := m.rescued(schedule.Rescued{Task: "A.2", Name: "Loaf", Rescue: c.rescue}); got != c.chosen {
			t.Errorf("choice: %q, want %q", got, c.chosen)
		}
		cards := m.onTheWay(task)
		if len(cards) != 1 || cards[0].Title != c.title || cards[0].Why != c.why || !cards[0].Due.Equal(c.due) || cards[0].Kind != c.kind {
			t.Errorf("cards: %+v", cards)
		}
		for place, want := range map[string]stretch{"Fridge": c.fridge, "Bench": c.bench} {
			got, in := inPlace(task, place)
			if !in {
				got = stretch{}
			}
			if diff := cmp.Diff([2]time.Time{want.from, want.to}, [2]time.Time{got.from, got.to}); diff != "" {
				t.Errorf("%s in %s (-want +got):\n%s", c.rescue.Kind, place, diff)
			}
		}
	}
}
