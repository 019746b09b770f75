package simulate_test

import (
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule/dayfile"
	"ovenward/schedule/rise"
	"ovenward/schedule/simulate"
)

// overnight is a story as someone writes it down.
const overnight = `{
  "dough": {"yeast": 1, "salt": 1.8, "water": 62, "dough_per_flour": 1.65},
  "start_celsius": 26,
  "piece": {"grams": 2000, "form": "tub", "diameter_cm": 22},
  "steps": [
    {"name": "bulk", "celsius": 23, "minutes": 45, "then": "fold"},
    {"celsius": 23, "until": 1.5, "then": "divide", "piece": {"grams": 500}},
    {"name": "bench rest", "celsius": 23, "minutes": 15, "then": "shape"},
    {"name": "cold proof", "celsius": 5, "air": "fridge", "minutes": 720, "target": {"expansion": 1.75, "stage": "free-standing"}},
    {"name": "warm up", "celsius": 24, "air": "still", "minutes": 60, "target": {"expansion": 1.75, "stage": "free-standing"}}
  ]
}`

func parse(t *testing.T, text string) simulate.History {
	t.Helper()
	var h simulate.History
	if err := json.Unmarshal([]byte(text), &h); err != nil {
		t.Fatal(err)
	}
	return h
}

func follow(t *testing.T, h simulate.History) simulate.Report {
	t.Helper()
	r, err := simulate.Follow(h)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestFollowOvernight(t *testing.T) {
	t.Parallel()
	r := follow(t, parse(t, overnight))
	if len(r.Steps) != 5 {
		t.Fatalf("%d steps", len(r.Steps))
	}
	from := 0.0
	for i, s := range r.Steps {
		within(t, "steps join", s.From, from, 1e-6)
		from += s.Minutes
		if s.After > s.Expansion+1e-9 || s.Gas <= 0 || s.Ready != nil && s.Best != nil && *s.Ready > *s.Best {
			t.Errorf("step %d: %+v", i, s)
		}
		if s.Best != nil && *s.Best > 0 && !(*s.Low < *s.Best && (s.High == nil || *s.Best < *s.High)) {
			t.Errorf("step %d: best %v outside its range", i, *s.Best)
		}
	}
	within(t, "until", r.Steps[1].Expansion, 1.5, 0.01)
	if cold := r.Steps[3]; !(cold.Celsius < 6.5 && cold.Expansion > 1.2) || !slices.ContainsFunc(cold.Cautions, func(c rise.Caution) bool { return c.Code == rise.ColdUnsure }) {
		t.Errorf("cold proof: %+v", cold)
	}
	last := r.Trace[len(r.Trace)-1]
	within(t, "trace ends at the end", last.Minute, r.Minutes, 1e-6)
	within(t, "trace and step agree", last.Expansion, r.Steps[4].Expansion, 0.01)
	if _, err := json.Marshal(r); err != nil {
		t.Error(err) // no figure is infinite or none at all
	}
}

// TestFollowPins: the pins of package rise through a written history. Kept at a
// temperature, the lean dough doubles in 62 min at 27 °C and again in 36 min
// after knocking back, within 3 %.
func TestFollowPins(t *testing.T) {
	t.Parallel()
	r := follow(t, parse(t, `{"dough": {"yeast": 3, "salt": 1.8, "water": 62, "dough_per_flour": 1.65}, "start_celsius": 20, "piece": {"grams": 1000},
		"steps": [{"celsius": 27, "air": "held", "until": 2, "then": "knock back"}, {"celsius": 27, "air": "held", "until": 2}]}`))
	within(t, "first", r.Steps[0].Minutes, 62, 0.03*62)
	within(t, "first best", *r.Steps[0].Best, r.Steps[0].Minutes, 0.5)
	within(t, "second", r.Steps[1].Minutes, 36, 0.03*36)
	within(t, "range", *r.Steps[0].High, 1.47*62, 3)
	within(t, "range", *r.Steps[0].Low, 62/1.47, 2)
}

// TestFollowWords: what a history must say out loud instead of hanging, or of
// pretending.
func TestFollowWords(t *testing.T) {
	t.Parallel()
	h := func(edit func(*simulate.History)) simulate.History {
		h := parse(t, overnight)
		h.Steps = h.Steps[:1]
		h.Steps[0].Then = ""
		edit(&h)
		return h
	}
	for _, c := range []struct {
		name string
		edit func(*simulate.History)
		want rise.Code
	}{
		{"nothing", func(*simulate.History) {}, ""},
		{"beyond what dough can hold", func(h *simulate.History) { h.Steps[0].Minutes, h.Steps[0].Until = 0, 6 }, rise.Stalled},
		{"frozen", func(h *simulate.History) { h.Steps[0] = simulate.Step{Celsius: -20, Until: 2} }, rise.Stalled},
		{"an oven for a place", func(h *simulate.History) { h.Steps[0].Celsius, h.Steps[0].Minutes = 70, 400 }, rise.YeastDead},
		{"held hot", func(h *simulate.History) {
			h.Steps[0] = simulate.Step{Celsius: 52, Air: simulate.Held, Minutes: 5}
		}, rise.YeastDying},
		{"hot milk", func(h *simulate.History) { h.Liquid = 50 }, rise.LiquidWarning},
		{"a pinch of yeast", func(h *simulate.History) { h.Dough.Yeast = 0.2 }, rise.LowYeast},
		{"cake", func(h *simulate.History) { h.Dough.Sugar = 25 }, rise.HighSugar},
	} {
		r := follow(t, h(c.edit))
		said := append(slices.Clone(r.Cautions), r.Steps[0].Cautions...)
		has := slices.ContainsFunc(said, func(s rise.Caution) bool { return s.Code == c.want })
		if c.want == "" && len(said) > 0 || c.want != "" && !has {
			t.Errorf("%s: said %+v, want %q", c.name, said, c.want)
		}
	}
}

func TestHistoryFaults(t *testing.T) {
	t.Parallel()
	h := parse(t, `{"dough": {"yeast": 0, "salt": 2, "water": 0, "yeast_kind": "wild"}, "start_celsius": 99, "speed": -1,
	  "piece": {"grams": -500},
	  "steps": [
	    {"celsius": 24, "minutes": 60},
	    {"from": 90, "celsius": 24, "minutes": 30},
	    {"from": 60, "celsius": 24, "minutes": 30, "until": 2, "piece": {"grams": 100, "form": "tub"}},
	    {"celsius": 900, "air": "breeze", "then": "sing", "until": 0.5, "target": {"expansion": 9}},
	    {"celsius": 24},
	    {"celsius": 24, "minutes": -3}]}`)
	err := h.Validate()
	if err == nil {
		t.Fatal("accepted")
	}
	want := []string{
		`dough.yeast: a dough without yeast does not rise; give its percent of the flour, such as 1.5`,
		`dough.water: a dough without water does not rise; give all its water in percent of the flour, such as 62`,
		`dough.yeast_kind: "wild" is no kind of yeast; give "fresh", "active dry" or "instant"`,
		`speed: -1 cannot be; give 0.5 to 2, or leave it out`,
		`start_celsius: a dough of 99 °C cannot be mixed; give -5 to 60, such as 26`,
		`piece.grams: a piece of -500 g cannot be; give 1 to 1000000`,
		`steps[1].from: the step begins at minute 90, but the one before ends at 60; say where the dough was in between`,
		`steps[2].until: the step has minutes as well; give one of the two`,
		`steps[2].piece.diameter_cm: a tub needs its measure inside; give 0.5 to 300 cm`,
		`steps[2].from: the step begins at minute 60, before the one before ends at 90; put the steps in order`,
		`steps[3].until: 0.5 is no expansion; give more than 1, such as 2 for doubled`,
		`steps[3].celsius: a place of 900 °C cannot be; give -40 to 300`,
		`steps[3].air: "breeze" passes no heat; give "still", "covered", "fridge", "fan", "humid", "water" or "held"`,
		`steps[3].then: "sing" is no handling; give "leave", "fold", "lay over", "knock back", "divide", "shape" or "add salt"`,
		`steps[3].target.expansion: a dough does not stand at 9 times its volume; give 1.1 to 4, such as 2.25 for "doubled"`,
		`steps[4].minutes: the step neither lasts nor does anything; give minutes, until or then`,
		`steps[5].minutes: a wait of -3 minutes cannot be; give 0 to 10080`,
	}
	if diff := cmp.Diff(want, strings.Split(err.Error(), "\n")); diff != "" {
		t.Error(diff)
	}
	if _, err := simulate.Follow(h); err == nil {
		t.Error("followed")
	}
}

// TestFromAfterUntil: where a step ends by expansion, a later written time can
// only be checked on the way.
func TestFromAfterUntil(t *testing.T) {
	t.Parallel()
	h := parse(t, overnight)
	late := 1000.0
	h.Steps[2].From = &late
	if err := h.Validate(); err != nil {
		t.Fatal(err)
	}
	if _, err := simulate.Follow(h); err == nil || !strings.Contains(err.Error(), "steps[2].from: the step begins at minute 1000, but the one before ends at") {
		t.Errorf("got %v", err)
	}
}

// FuzzHistory: whatever is written down is refused in words, or followed to
// figures.
func FuzzHistory(f *testing.F) {
	f.Add([]byte(overnight))
	f.Add([]byte(`{"dough":{"yeast":25,"water":1,"salt":20},"start_celsius":60,"piece":{"grams":1},"steps":[{"celsius":300,"air":"water","until":10}]}`))
	f.Add([]byte(`{"dough":{"yeast":1e-300,"water":300,"salt":0},"start_celsius":-5,"piece":{"grams":1e6,"form":"sheet","thickness_cm":0.5},"steps":[{"celsius":-40,"minutes":1e-300},{"celsius":40,"air":"held","until":1.0000001,"then":"shape"}]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		h, err := dayfile.DecodeHistory("history", data)
		if err != nil || len(h.Steps) > 8 {
			return
		}
		r, err := simulate.Follow(h)
		if err != nil {
			return
		}
		if _, err := json.Marshal(r); err != nil {
			t.Fatal(err)
		}
		for _, s := range r.Steps {
			if math.IsNaN(s.Expansion) || s.Expansion < 1 || s.Minutes < 0 {
				t.Fatalf("%+v", s)
			}
		}
	})
}

func BenchmarkFollow(b *testing.B) {
	h, err := dayfile.DecodeHistory("history", []byte(overnight))
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := simulate.Follow(h); err != nil {
			b.Fatal(err)
		}
	}
}
