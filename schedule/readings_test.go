package schedule_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"ovenward/schedule"
	"ovenward/schedule/unit"
)

func read(day, minute int, celsius ...unit.Celsius) (out []schedule.Measured) {
	for _, c := range celsius {
		out = append(out, schedule.Measured{Day: day, Minute: minute, Celsius: c})
	}
	return out
}

func TestByHour(t *testing.T) {
	t.Parallel()
	for name, tt := range map[string]struct {
		seen []schedule.Measured
		hour int
		want schedule.Hourly
		tol  float64
	}{
		"nothing":         {nil, 6, schedule.Hourly{Hour: 6}, 0},
		"one":             {read(0, 6*60+59, 19), 6, schedule.Hourly{Hour: 6, N: 1, Celsius: 19, Low: 19, High: 19}, 1e-9},
		"the mean":        {read(0, 6*60, 20, 20.2, 20.4), 6, schedule.Hourly{Hour: 6, N: 3, Celsius: 20.2, Low: 20, High: 20.4}, 1e-9},
		"midnight":        {read(0, 0, 18), 0, schedule.Hourly{N: 1, Celsius: 18, Low: 18, High: 18}, 1e-9},
		"last minute":     {read(0, 1439, 18), 23, schedule.Hourly{Hour: 23, N: 1, Celsius: 18, Low: 18, High: 18}, 1e-9},
		"below freezing":  {read(0, 300, -2, -2, -2), 5, schedule.Hourly{Hour: 5, N: 3, Celsius: -2, Low: -2, High: -2}, 1e-9},
		"beside the oven": {read(0, 360, 20, 20.2, 20.4, 20.1, 20.3, 60), 6, schedule.Hourly{Hour: 6, N: 6, Celsius: 20.3, Low: 20, High: 60}, 0.15},
		// Half weight after 30 days: (1·24 + ½·18)/1½ = 22, were both within the scale; Huber pulls no further than the data.
		"a month ago": {append(read(-30, 360, 20), read(0, 360, 20.6)...), 6, schedule.Hourly{Hour: 6, N: 2, Celsius: 20.4, Low: 20, High: 20.6}, 1e-9},
		"last winter": {append(read(-360, 360, 14, 14, 14, 14), read(0, 360, 22, 22.4, 22.2)...), 6, schedule.Hourly{Hour: 6, N: 7, Celsius: 22.2, Low: 14, High: 22.4}, 0.05},
	} {
		all := schedule.ByHour(tt.seen, 0)
		if len(all) != 24 {
			t.Fatalf("%s: %d hours", name, len(all))
		}
		got := all[tt.hour]
		near := cmp.Comparer(func(a, b unit.Celsius) bool { return math.Abs(float64(a-b)) <= tt.tol })
		if diff := cmp.Diff(tt.want, got, near); diff != "" {
			t.Errorf("%s (-want +got):\n%s", name, diff)
		}
		n := 0
		for _, h := range all {
			n += h.N
		}
		if n != len(tt.seen) {
			t.Errorf("%s: %d readings of %d", name, n, len(tt.seen))
		}
	}
}

// Whatever is read and in whatever order, an hour lies between its lowest and its
// highest reading and is the same to the bit.
func TestByHourHoldsTogether(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(3, 4))
	for range 500 {
		var seen []schedule.Measured
		for range 1 + r.IntN(40) {
			seen = append(seen, schedule.Measured{Day: -r.IntN(800), Minute: r.IntN(1440), Celsius: unit.Celsius(math.Round(r.NormFloat64()*60)/2 + 20)})
		}
		want := schedule.ByHour(seen, 0)
		for _, h := range want {
			if h.N > 0 && (h.Celsius < h.Low-1e-9 || h.Celsius > h.High+1e-9 || math.IsNaN(float64(h.Celsius))) {
				t.Fatalf("%+v of %v", h, seen)
			}
		}
		r.Shuffle(len(seen), func(i, k int) { seen[i], seen[k] = seen[k], seen[i] })
		if diff := cmp.Diff(want, schedule.ByHour(seen, 0)); diff != "" {
			t.Fatalf("in another order:\n%s", diff)
		}
	}
}

func TestTaught(t *testing.T) {
	t.Parallel()
	room := schedule.Place{Curve: []schedule.Reading{{At: 0, Celsius: 18}, {At: 12 * 60, Celsius: 24}}}
	three := func(hour int, c unit.Celsius) []schedule.Measured { return read(0, hour*60+10, c, c, c) }
	for name, tt := range map[string]struct {
		seen []schedule.Measured
		want []schedule.Reading
	}{
		"nothing":    {nil, nil},
		"not enough": {read(0, 360, 20, 20), nil},
		"one hour":   {three(5, 22.75), []schedule.Reading{{0, 20}, {330, 22.8}, {720, 26}}}, // 05:30 was 20.75: all moves by 2
		// Off by 0 at 05:30 and by 2 at 17:30, twelve hours apart both ways: at 12:00 by 2·390/720, at 24:00 by 2·(1 - 390/720).
		"two hours":    {append(three(5, 20.75), three(17, 23.25)...), []schedule.Reading{{0, 18.92}, {330, 20.75}, {720, 25.08}, {1050, 23.25}}},
		"what it said": {three(0, 18.25), []schedule.Reading{{0, 18}, {30, 18.3}, {720, 24}}},
	} {
		got := room.Taught(schedule.ByHour(tt.seen, 0))
		near := cmp.Comparer(func(a, b unit.Celsius) bool { return math.Abs(float64(a-b)) <= 0.051 })
		if diff := cmp.Diff(tt.want, got, near); diff != "" {
			t.Errorf("%s (-want +got):\n%s", name, diff)
		}
		if !slices.IsSortedFunc(got, func(a, b schedule.Reading) int { return int(a.At) - int(b.At) }) {
			t.Errorf("%s: not in order of time", name)
		}
	}
}

func BenchmarkByHour(b *testing.B) {
	var seen []schedule.Measured
	for i := range 3000 {
		seen = append(seen, schedule.Measured{Day: -i / 3, Minute: i * 37 % 1440, Celsius: unit.Celsius(18 + i%9)})
	}
	b.ReportAllocs()
	for b.Loop() {
		schedule.ByHour(seen, 0)
	}
}
