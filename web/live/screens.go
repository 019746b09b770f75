package live

import (
	"cmp"
	"slices"
	"sync"
	"time"
)

const (
	// silence is after how long without a word a screen is taken to be gone. They
	// report every twenty seconds.
	silence = 50 * time.Second
	// lead is how long before a ring somebody should be listening.
	lead = 10 * time.Minute
	// mostScreens bounds what is remembered; the longest silent goes first.
	mostScreens = 32
)

// Screen is what one browser says of itself: not whether it would like to ring,
// but whether it can.
type Screen struct {
	ID      string `json:"id"`      // made by the browser, kept there
	Name    string `json:"name"`    // "bench tablet"
	Visible bool   `json:"visible"` // in view, not behind something or locked
	Sound   bool   `json:"sound"`   // unlocked by a touch
	Awake   bool   `json:"awake"`   // kept from going dark
	Heard   string `json:"heard"`   // "yes" or "no": could it be heard; "" = not said
	Late    bool   `json:"late"`    // rings only what has waited
	Lost    bool   `json:"lost"`    // had its sound, and wants a touch to give it again
	seen    time.Time
}

// sure reports whether a call will be heard from the screen, as far as it is
// known.
func (s Screen) sure() bool { return s.Visible && s.Sound && s.Heard != "no" && !s.Late }

// Armed says which screens are there and how they are.
type Armed struct {
	Now     int64    `json:"now"`     // Unix milliseconds
	Screens []Screen `json:"screens"` // by name, then ID
	// Next is the ring that comes within ten minutes while no screen is sure to be
	// heard, 0 if there is none.
	Next int64 `json:"next,omitempty"` // Unix milliseconds
}

// Kind implements [Event].
func (Armed) Kind() string { return "armed" }

// Screens keeps in mind what the connected screens said last, and tells all of
// them when it changes. Nothing of it is stored. It is safe for concurrent use.
type Screens struct {
	hub *Hub

	mu   sync.Mutex
	all  map[string]Screen
	next time.Time // ring
	told Armed
}

// NewScreens tells changes to the pages that listen to hub.
func NewScreens(hub *Hub) *Screens { return &Screens{hub: hub, all: map[string]Screen{}} }

// Report takes what a screen says, and gives how all are.
func (s *Screens) Report(now time.Time, r Screen) Armed {
	s.mu.Lock()
	defer s.mu.Unlock()
	r.seen = now
	s.all[r.ID] = r
	if len(s.all) > mostScreens {
		oldest := r
		for _, o := range s.all {
			if o.seen.Before(oldest.seen) {
				oldest = o
			}
		}
		delete(s.all, oldest.ID)
	}
	return s.tell(now)
}

// Leave forgets a screen that says goodbye.
func (s *Screens) Leave(now time.Time, id string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	delete(s.all, id)
	s.tell(now)
}

// Sweep forgets screens that have fallen silent and takes note of when the next
// ring is, zero for none. It reports whether that ring is near and may not be
// heard.
func (s *Screens) Sweep(now, next time.Time) (unheard bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.next = next
	for id, r := range s.all {
		if now.Sub(r.seen).Abs() > silence { // either way: the clock may have been set
			delete(s.all, id)
		}
	}
	return s.tell(now).Next != 0
}

// tell publishes how the screens are if that has changed. The lock is held.
func (s *Screens) tell(now time.Time) Armed {
	a := Armed{Now: now.UnixMilli(), Screens: []Screen{}}
	sure := false
	for _, r := range s.all {
		sure = sure || r.sure()
		r.seen = time.Time{}
		a.Screens = append(a.Screens, r)
	}
	slices.SortFunc(a.Screens, func(x, y Screen) int { return cmp.Or(cmp.Compare(x.Name, y.Name), cmp.Compare(x.ID, y.ID)) })
	if !sure && !s.next.IsZero() && s.next.Sub(now) <= lead {
		a.Next = s.next.UnixMilli()
	}
	if a.Next != s.told.Next || !slices.Equal(a.Screens, s.told.Screens) {
		s.told = a
		s.hub.Publish(a)
	}
	return a
}
