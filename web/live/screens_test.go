package live_test

import (
	"encoding/json"
	"fmt"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"ovenward/web/live"
)

// What every screen is told, as the screens come, change, fall silent and go,
// with a ring at 06:00. Only changes are told.
func TestScreensTellTheTruth(t *testing.T) {
	h := live.NewHub()
	in := connect(t, serve(t, h), "")
	next(t, in) // hello
	s := live.NewScreens(h)
	six := time.Date(2026, 11, 28, 6, 0, 0, 0, time.UTC)
	at := func(d time.Duration) time.Time { return six.Add(d) }
	tablet := live.Screen{ID: "t", Name: "bench tablet", Visible: true, Sound: true, Awake: true}
	phone := live.Screen{ID: "p", Name: "phone"}
	hidden := tablet
	hidden.Visible = false
	deaf := tablet
	deaf.Heard = "no"

	steps := []struct {
		what string
		do   func() bool // reports whether the ring may not be heard
		at   time.Duration
		want *live.Armed // what is told, nil for nothing
		miss bool
	}{
		{"nobody, nothing near", func() bool { return s.Sweep(at(-11*time.Minute), six) }, 0, nil, false},
		{"nobody, ten minutes before", func() bool { return s.Sweep(at(-10*time.Minute), six) }, -10 * time.Minute, &live.Armed{Screens: []live.Screen{}, Next: six.UnixMilli()}, true},
		{"still nobody", func() bool { return s.Sweep(at(-10*time.Minute), six) }, 0, nil, true},
		{"a phone that gives no sound", func() bool { return s.Report(at(-9*time.Minute), phone).Next != 0 }, -9 * time.Minute, &live.Armed{Screens: []live.Screen{phone}, Next: six.UnixMilli()}, true},
		{"the tablet is armed", func() bool { return s.Report(at(-9*time.Minute), tablet).Next != 0 }, -9 * time.Minute, &live.Armed{Screens: []live.Screen{tablet, phone}}, false},
		{"it says so again", func() bool { return s.Report(at(-9*time.Minute), tablet).Next != 0 }, 0, nil, false},
		{"it could not be heard", func() bool { return s.Report(at(-9*time.Minute), deaf).Next != 0 }, -9 * time.Minute, &live.Armed{Screens: []live.Screen{deaf, phone}, Next: six.UnixMilli()}, true},
		{"it is behind something", func() bool { return s.Report(at(-9*time.Minute+10*time.Second), hidden).Next != 0 }, -9*time.Minute + 10*time.Second, &live.Armed{Screens: []live.Screen{hidden, phone}, Next: six.UnixMilli()}, true},
		{"the phone falls silent", func() bool { return s.Sweep(at(-8*time.Minute), six) }, -8 * time.Minute, &live.Armed{Screens: []live.Screen{hidden}, Next: six.UnixMilli()}, true},
		{"nothing rings any more", func() bool { return s.Sweep(at(-8*time.Minute), time.Time{}) }, -8 * time.Minute, &live.Armed{Screens: []live.Screen{hidden}}, false},
		{"goodbye", func() bool { s.Leave(at(-8*time.Minute), "t"); return false }, -8 * time.Minute, &live.Armed{Screens: []live.Screen{}}, false},
	}
	for _, tt := range steps {
		if got := tt.do(); got != tt.miss {
			t.Errorf("%s: the ring may be missed: %v", tt.what, got)
		}
		mark := tt.what
		h.Publish(live.Resync{Reason: mark})
		e := next(t, in)
		if tt.want != nil {
			tt.want.Now = at(tt.at).UnixMilli()
			var got live.Armed
			if err := json.Unmarshal([]byte(e.Data), &got); err != nil || e.Kind != "armed" {
				t.Errorf("%s: told %+v, %v", tt.what, e, err)
			}
			if diff := cmp.Diff(*tt.want, got, cmpopts.IgnoreUnexported(live.Screen{})); diff != "" {
				t.Errorf("%s (-want +got):\n%s", tt.what, diff)
			}
			e = next(t, in)
		}
		if e.Kind != "resync" {
			t.Errorf("%s: told more than once: %+v", tt.what, e)
		}
	}
}

// However many names a browser gives itself, few are kept, the newest among them.
func TestScreensAreBounded(t *testing.T) {
	s := live.NewScreens(live.NewHub())
	now := time.Unix(0, 0)
	var last live.Armed
	for i := range 1000 {
		last = s.Report(now.Add(time.Duration(i)*time.Millisecond), live.Screen{ID: fmt.Sprint(i)})
	}
	kept := map[string]bool{}
	for _, x := range last.Screens {
		kept[x.ID] = true
	}
	if len(kept) != 32 || !kept["999"] || kept["0"] {
		t.Errorf("kept %d: %v", len(kept), kept)
	}
}
