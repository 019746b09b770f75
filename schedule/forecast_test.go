package schedule_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
)

// A forecast's times come from the dough alone: whoever works, and whatever
// else is ordered, they are the same. Held in the cold, the rise is there.
func TestForecast(t *testing.T) {
	t.Parallel()
	d := dayOf(t, "retard-clocks-back")
	bread := d.Orders[0].Bread
	_, alone, err := schedule.Forecast(t.Context(), d, bread, false)
	if err != nil || !alone.Outcome.Kept {
		t.Fatalf("forecast: %v, %+v", err, alone.Outcome)
	}
	d.Orders[0].Pieces *= 7
	d.Kitchen.Bakers[0].Hours = []schedule.Hours{{From: 23 * 60, To: 23*60 + 30}}
	_, again, err := schedule.Forecast(t.Context(), d, bread, true)
	if err != nil {
		t.Fatal(err)
	}
	cold := 0
	for i, task := range again.Tasks {
		if !task.Start.Equal(alone.Tasks[i].Start) || !task.End.Equal(alone.Tasks[i].End) {
			t.Errorf("%s at %v, alone at %v", task.ID, task.Start, alone.Tasks[i].Start)
		}
		if task.Chilled {
			cold++
			if low, best, high := task.Range(); !(low < best && best < high) {
				t.Errorf("range %v %v %v", low, best, high)
			}
		}
	}
	if cold != 1 {
		t.Errorf("%d rises in the cold, want the one the bread asks for", cold)
	}
}

// The short search of a forecast finds what the usual one does, for every bread of
// the days and of some invented ones, in the room and in the cold.
func TestForecastNeedsNoLongSearch(t *testing.T) {
	t.Parallel()
	days := []*schedule.Day{dayOf(t, "example"), dayOf(t, "retard-clocks-back"), dayOf(t, "hot-afternoon")}
	if !testing.Short() {
		days = append(days, randomDay(t, 1), randomDay(t, 2))
	}
	for _, d := range days {
		for _, b := range d.Breads {
			for _, cold := range []bool{false, true} {
				day, p, err := schedule.Forecast(t.Context(), d, b.ID, cold)
				if err != nil {
					t.Fatal(err)
				}
				long, err := schedule.PlanDay(t.Context(), day, schedule.Settings{Reserve: day.Settings.Reserve})
				if err != nil {
					t.Fatal(err)
				}
				if diff := cmp.Diff(long.Tasks, p.Tasks); diff != "" {
					t.Errorf("%s, %s, cold %v: searched long (-) and short (+):\n%s", d.Name, b.ID, cold, diff)
				}
			}
		}
	}
}
