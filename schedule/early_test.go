package schedule_test

import (
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
)

// What is said to be done, or begun, an hour or more before its time is asked about,
// and what needs a dough that is not made: once, and nothing else.
func TestFarAhead(t *testing.T) {
	t.Parallel()
	at := func(h, m int) time.Time { return time.Date(2026, 11, 28, h, m, 0, 0, time.UTC) }
	p := schedule.Plan{Tasks: []schedule.Task{
		{ID: "A/poolish.1", Batch: "A", Part: "poolish", Kind: schedule.Mix, Start: at(4, 30), End: at(4, 40)},
		{ID: "A.1", Batch: "A", Kind: schedule.Mix, Start: at(5, 10), End: at(5, 25)},
		{ID: "A1.2", Batch: "A", Portion: "A1", Kind: schedule.Shape, Start: at(6, 0), End: at(6, 10)},
		{ID: "B.1", Batch: "B", Kind: schedule.Mix, Start: at(5, 0), End: at(5, 10)},
		{ID: "heat", Kind: schedule.Preheat, Start: at(6, 0), End: at(7, 0)},
	}}
	said := func(k schedule.SlipKind, task string, at time.Time) schedule.Slip {
		return schedule.Slip{Kind: k, Task: task, At: at}
	}
	for _, c := range []struct {
		name string
		log  []schedule.Slip
		slip schedule.Slip
		want *schedule.Early
	}{
		{"a day early", nil, said(schedule.Done, "B.1", at(5, 0).AddDate(0, 0, -1)), &schedule.Early{Task: "B.1", Start: at(5, 0)}},
		{"an hour early", nil, said(schedule.Started, "B.1", at(4, 0)), &schedule.Early{Task: "B.1", Start: at(5, 0)}},
		{"59 minutes early", nil, said(schedule.Done, "B.1", at(4, 1)), nil},
		{"late", nil, said(schedule.Done, "B.1", at(9, 0)), nil},
		{"of a preferment that is not made", nil, said(schedule.Done, "A.1", at(4, 29)), &schedule.Early{Task: "A.1", Start: at(5, 10), First: "A/poolish.1"}},
		{"of one that is", []schedule.Slip{said(schedule.Done, "A/poolish.1", at(4, 20))}, said(schedule.Done, "A.1", at(4, 29)), nil},
		{"of a dough that is not mixed", []schedule.Slip{said(schedule.Done, "A/poolish.1", at(4, 20))}, said(schedule.Started, "A1.2", at(5, 5)), &schedule.Early{Task: "A1.2", Start: at(6, 0), First: "A.1"}},
		{"another dough is no matter", nil, said(schedule.Done, "B.1", at(4, 20)), nil},
		{"said to be begun before", []schedule.Slip{said(schedule.Started, "heat", at(3, 0))}, said(schedule.Done, "heat", at(3, 30)), nil},
		{"an oven in the night", nil, said(schedule.Started, "heat", at(3, 0)), &schedule.Early{Task: "heat", Start: at(6, 0)}},
		{"left out", nil, said(schedule.Skipped, "B.1", at(0, 0)), nil},
		{"no such task", nil, said(schedule.Done, "Z.1", at(0, 0)), nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			if diff := cmp.Diff(c.want, schedule.FarAhead(&p, c.log, c.slip)); diff != "" {
				t.Errorf("(-want +got)\n%s", diff)
			}
		})
	}
}
