package view_test

import (
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
	"ovenward/store/record"
	"ovenward/web/view"
)

// What became of a call, from its log alone: put off and answered, taken back, said
// before it rang, moved after it rang, settled by a later work, rung late.
func TestWentCalls(t *testing.T) {
	t.Parallel()
	const scheduled, rung, acked, shelved, done = record.Scheduled, record.Rung, record.Acked, record.Shelved, record.Done
	step := func(from, to record.AlertState, at int, tap string) record.Transition {
		return record.Transition{Alert: 1, From: from, To: to, At: six(at), Tap: tap}
	}
	tap := func(id string, kind record.TapKind, at int) record.Tap {
		return record.Tap{ID: id, Task: "A.1", Kind: kind, At: six(at), Recorded: six(at)}
	}
	gone := tap("gone", record.Ack, 2)
	gone.Undone = true
	snooze := tap("snooze", record.Snooze, 1)
	snooze.Minutes = 10
	later := tap("later", record.Started, 9)
	later.Task = "A.2"
	tests := []struct {
		name  string
		state record.AlertState
		log   []record.Transition
		taps  []record.Tap
		want  []any // answer, when, after minutes, settled, outcome
	}{
		{"on it, done", done, []record.Transition{step(scheduled, rung, 0, ""), step(rung, acked, 3, "ack"), step(acked, done, 7, "done")},
			[]record.Tap{tap("ack", record.Ack, 3), tap("done", record.Finished, 7)}, []any{"On it", six(3), 3.0, six(7), "answered"}},
		{"put off", shelved, []record.Transition{step(scheduled, rung, 0, ""), step(rung, shelved, 1, "snooze"), step(shelved, rung, 11, "")},
			[]record.Tap{snooze}, []any{"Put off, 10\u00a0min more", six(1), 1.0, time.Time{}, "answered"}},
		{"taken back", rung, []record.Transition{step(scheduled, rung, 0, ""), step(rung, acked, 2, "gone"), step(acked, rung, 3, "undo")},
			[]record.Tap{gone, {ID: "undo", Kind: record.Undo, Of: "gone", Recorded: six(3)}}, []any{nil, time.Time{}, nil, time.Time{}, "no answer"}},
		{"heard once more after an undo", done, []record.Transition{step(scheduled, rung, 0, ""), step(rung, done, 5, "begun"), step(done, rung, 6, "undo"), step(rung, done, 6, "done")},
			[]record.Tap{{ID: "begun", Task: "A.1", Kind: record.Started, Recorded: six(4), Undone: true}, tap("done", record.Finished, 5), {ID: "undo", Kind: record.Undo, Of: "begun", Recorded: six(6)}},
			[]any{"Done", six(5), 5.0, six(5), "answered"}},
		{"done before it rang", done, []record.Transition{step(scheduled, done, -4, "done")}, []record.Tap{tap("done", record.Finished, -4)}, []any{"Done", six(-4), nil, six(-4), "answered"}},
		{"moved after it rang, then answered", done, []record.Transition{step(scheduled, rung, 0, ""), step(rung, scheduled, 2, ""), step(scheduled, rung, 20, ""), step(rung, done, 24, "done")},
			[]record.Tap{tap("done", record.Finished, 24)}, []any{"Done", six(24), 4.0, six(24), "answered"}},
		{"settled by the next work", done, []record.Transition{step(scheduled, rung, 0, ""), step(rung, done, 9, "later")}, []record.Tap{later}, []any{nil, time.Time{}, nil, time.Time{}, "no answer"}},
		{"dropped by a plan", record.Suppressed, []record.Transition{step(scheduled, rung, 0, ""), step(rung, record.Suppressed, 4, "")}, nil, []any{nil, time.Time{}, nil, time.Time{}, "plan changed"}},
		{"past too far", record.Past, []record.Transition{step(scheduled, rung, 0, ""), step(rung, record.Past, 30, "")}, nil, []any{nil, time.Time{}, nil, time.Time{}, "no answer"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			p := &schedule.Plan{Zone: "UTC", Tasks: []schedule.Task{{ID: "A.1", Kind: schedule.Shape, Name: "Bun", Start: six(0), End: six(5)}}}
			for i := range tt.log {
				tt.log[i].Alert = 1
			}
			m := view.Went{Picture: view.Picture{Plan: p, Planned: p, Now: six(59)}, Log: tt.log, Taps: tt.taps,
				Alerts: []record.Alert{{Alert: schedule.Alert{Task: "A.1", Kind: schedule.CallStart, Due: six(0)}, ID: 1, Name: "Bun", Stage: schedule.Shape, State: tt.state}}}
			rows := m.CallTable()
			if len(rows) != 2 {
				t.Fatalf("%d rows: %v", len(rows), rows)
			}
			if diff := cmp.Diff(tt.want, rows[1][7:]); diff != "" {
				t.Errorf("(-want +got):\n%s", diff)
			}
		})
	}
}

// When hands came to a dough, against its window: what was said of the work's
// beginning, or of its end alone, and by how many minutes outside.
func TestWentDoughs(t *testing.T) {
	t.Parallel()
	window := &schedule.Window{Ready: six(0), TooFar: six(40)}
	p := &schedule.Plan{Zone: "UTC", Tasks: []schedule.Task{
		{ID: "A.1", Batch: "A", Kind: schedule.Rise, Name: "Bun", Start: six(-60), End: six(10), Window: window},
		{ID: "A.2", Batch: "A", Kind: schedule.Shape, Name: "Bun", Start: six(10), End: six(20), Hands: []schedule.Hands{{Baker: "Ana", From: six(10), To: six(20)}}},
	}}
	for _, tt := range []struct {
		kind    record.TapKind
		at      int
		acted   time.Time
		outside any
	}{
		{record.Started, -7, six(-7), -7.0}, {record.Started, 0, six(0), 0.0}, {record.Started, 40, six(40), 0.0}, {record.Started, 52, six(52), 12.0},
		{record.Finished, 55, six(45), 5.0}, {record.Ack, 12, time.Time{}, nil},
	} {
		m := view.Went{Picture: view.Picture{Plan: p, Planned: p, Now: six(59)}, First: p.Tasks, Taps: []record.Tap{{ID: "x", Task: "A.2", Kind: tt.kind, At: six(tt.at), Recorded: six(tt.at)}}}
		row := m.WorkTable()[2]
		if diff := cmp.Diff([]any{tt.acted, tt.outside}, row[14:]); diff != "" {
			t.Errorf("%s at %d (-want +got):\n%s", tt.kind, tt.at, diff)
		}
	}
}
