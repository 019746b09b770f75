package view_test

import (
	"strings"
	"testing"
	"time"

	"ovenward/schedule"
	"ovenward/web/view"
)

// Every code of the planner has a sentence of its own: none shows as a code.
func TestEveryCodeIsWorded(t *testing.T) {
	t.Parallel()
	var w view.Words
	at := time.Date(2026, 11, 28, 6, 5, 0, 0, time.UTC)
	seen := map[string]string{}
	check := func(code, sentence string) {
		t.Helper()
		if sentence == "" || sentence == code || strings.HasPrefix(strings.ToLower(sentence), code+" bun") {
			t.Errorf("%q has no words: %q", code, sentence)
		}
		if other, dup := seen[sentence]; dup {
			t.Errorf("%q and %q say the same: %q", code, other, sentence)
		}
		seen[sentence] = code
	}
	for _, c := range []schedule.ReasonCode{
		schedule.ByPromise, schedule.ByTooFar, schedule.ByReady, schedule.ByHands, schedule.ByOven, schedule.ByMixer,
		schedule.ByNext, schedule.ByNow, schedule.ByFresh, schedule.ByBest,
	} {
		check(string(c), w.Reason(&schedule.Reason{Code: c, Of: "Deck", At: &at, Name: "bun"}, at))
	}
	check("oven", w.Reason(&schedule.Reason{Code: schedule.ByOven, Of: "Deck", At: &at}, at))
	for _, c := range []schedule.ReasonCode{
		schedule.ByHands, schedule.ByOven, schedule.ByMixer, schedule.BySpace, schedule.ByTin, schedule.ByTray, schedule.ByReady, schedule.ByNow,
	} {
		check(string(c), w.Binding(&schedule.Reason{Code: c, Of: "Deck"}))
	}
	for _, c := range []schedule.ViolationCode{
		schedule.BadTask, schedule.BadDuration, schedule.BadWait, schedule.TooEarly, schedule.TooLate, schedule.HandsClash,
		schedule.OffHours, schedule.MixerClash, schedule.OvenFull, schedule.OvenHeat, schedule.SpaceFull, schedule.TinsOut, schedule.TraysOut,
		schedule.LatePromise, schedule.BeforeNow, schedule.ShortOrder,
	} {
		check(string(c), w.Broken(schedule.Violation{Code: c, Of: "bun", At: at, By: 5}, at))
	}
	check("oven", w.Broken(schedule.Violation{Code: schedule.OvenFull, Of: "Deck oven", At: at, By: 5, Deck: 2, Over: 1. / 6}, at))
	if got, want := w.Broken(schedule.Violation{Code: schedule.OvenFull, Of: "Deck oven", At: at, Deck: 2, Over: 1. / 6}, at), "deck 2 of Deck oven has 17\u00a0% more on it than it takes."; !strings.HasSuffix(got, want) {
		t.Errorf("%q, want %q at its end", got, want)
	}
	for _, c := range []string{"hands", "earlier", "chill", "oven", "mixer", "space", "tins", "trays", "promise", "smaller"} {
		check(c, w.WayOut(schedule.WayOut{Code: c, Of: "bun", By: 30, Pieces: 4}))
	}
	for _, comes := range []bool{false, true} {
		check("stay", w.WayOut(schedule.WayOut{Code: "stay", Asked: []schedule.Asked{{Baker: "Ana", From: at, To: at.Add(40 * time.Minute), Comes: comes, Rest: 500}}}))
	}
	for _, c := range []string{"below-mixer", "yeast-hot", "cold-range", "clocks-change", "alert-load", "split", "late-fold"} {
		check(c, w.Note(schedule.Note{Code: c, Of: "bun", At: &at, Num: 2}, at))
	}
	for _, k := range append(schedule.StageKinds(), schedule.Preheat) {
		check(string(k), w.Verb(k))
	}
}

func TestClock(t *testing.T) {
	t.Parallel()
	day := time.Date(2026, 11, 28, 6, 5, 0, 0, time.UTC)
	for _, c := range []struct {
		at   time.Time
		want string
	}{
		{day, "06:05"},
		{day.Add(-7 * time.Hour), "Fri\u00a023:05"},
		{day.Add(18 * time.Hour), "Sun\u00a000:05"},
	} {
		if got := view.Clock(c.at, day); got != c.want {
			t.Errorf("%v: %q, want %q", c.at, got, c.want)
		}
	}
}

func TestChanges(t *testing.T) {
	t.Parallel()
	at := func(h, m int) time.Time { return time.Date(2026, 11, 28, h, m, 0, 0, time.UTC) }
	task := func(id string, start time.Time) schedule.Task {
		return schedule.Task{ID: id, Batch: "A", Kind: schedule.Mix, Name: "Milk dough", Start: start, Hands: []schedule.Hands{{Baker: "N", From: start, To: start}}}
	}
	plan := func(ts ...schedule.Task) *schedule.Plan {
		return &schedule.Plan{Tasks: ts, Batches: []schedule.Batch{{ID: "A", Dough: "milk"}}}
	}
	renamed, another := plan(task("A.1", at(3, 10))), plan(task("A.1", at(3, 10)))
	renamed.Tasks[0].Name = "Soft dough"
	another.Batches[0].Dough = "rye"
	var w view.Words
	for _, c := range []struct {
		old, new *schedule.Plan
		want     string
	}{
		{plan(task("A.1", at(3, 10))), plan(task("A.1", at(2, 45))), "Mix A, Milk dough: 03:10 → 02:45 (−25\u00a0min)"},
		{plan(task("A.1", at(3, 10))), plan(task("A.1", at(4, 15))), "Mix A, Milk dough: 03:10 → 04:15 (+1\u00a0h\u00a005)"},
		{plan(task("A.1", at(3, 10))), plan(task("A.1", at(3, 10))), "No time has changed."},
		{plan(task("A.1", at(3, 10))), renamed, "No time has changed."},
		{plan(task("A.1", at(3, 10))), another, "1\u00a0task added."},
		{plan(), plan(task("A.1", at(3, 10)), task("A.2", at(3, 30))), "2\u00a0tasks added."},
		{plan(task("A.1", at(3, 10))), plan(), "1\u00a0task dropped."},
	} {
		if got := strings.Join(w.Changes(c.old, c.new), " "); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

func TestWords(t *testing.T) {
	t.Parallel()
	for _, w := range []view.Words{{}, {Proof: true}, {Punch: true}, {Pan: true}, {Proof: true, Punch: true, Pan: true}} {
		if got := view.ParseWords(w.String()); got != w {
			t.Errorf("%+v became %+v by %q", w, got, w.String())
		}
	}
}

// A sentence may begin with any letter, or with none.
func TestSentence(t *testing.T) {
	t.Parallel()
	for in, want := range map[string]string{
		"no flour": "No flour.", "épices are unknown": "Épices are unknown.", "“pinch” is no amount": "“pinch” is no amount.",
		"ähnlich?": "Ähnlich?", "½ cup.": "½ cup.", "": ".",
	} {
		if got := view.Sentence(in); got != want {
			t.Errorf("%q became %q, want %q", in, got, want)
		}
	}
}
