package web

import (
	"fmt"
	"io/fs"
	"log/slog"
	"net/http"
	"sync"
	"time"

	"ovenward/web/cert"
	"ovenward/web/entry"
	"ovenward/web/live"
)

// Config is what the web app is made of.
type Config struct {
	Store   Store
	Hub     Hub              // nil: no live updates
	Screens *live.Screens    // which screens can ring; nil: told to nobody
	Static  fs.FS            // css, scripts, sounds
	Now     func() time.Time // nil: the wall clock
	Log     *slog.Logger     // nil: silent
	Hosts   []string         // names it answers to beside this machine's own, without port

	// Patience is how long a page waits for a search at most; then it shows what was
	// found. 0: three seconds. Tests give more, so that what is found does not hang on
	// the machine.
	Patience time.Duration

	// Damaged tells whether the database was found to be damaged. nil: never.
	Damaged func() bool

	// Addresses gives where other machines find the program, when those that log
	// in are answered, too. nil: this machine alone, without log-in.
	Addresses func() []string
	// Authority is what other machines trust, when they are answered over https
	// alone. nil: they come over plain http.
	Authority *cert.Authority
}

// Hub passes events to the browsers that listen. As a handler it is the stream
// itself, at /events.
type Hub interface {
	http.Handler
	// Publish sends an event; it never waits for a slow listener.
	Publish(live.Event)
}

// server is what every handler has at hand.
type server struct {
	store   Store
	hub     Hub
	screens *live.Screens
	assets  *assets
	now     func() time.Time
	log     *slog.Logger
	traces  traceCache
	answers sync.Mutex // one after the other, see hear
	coming  sync.Mutex // who makes days from standing orders
	offers  offers
	fridges offers // what the fridge would do for a dough nobody comes to
	ways    waysCache
	notices notices
	arrival arrival

	patience  time.Duration
	handed    handed         // the pass made last
	passTries entry.Throttle // with secrets that open nothing
	ordering  sync.Mutex     // held while an order of a program is taken
	planner   sync.Mutex     // one day of a program at a time

	damaged   func() bool
	door      *door // for other machines; nil for none
	addresses func() []string
	authority *cert.Authority
}

// New builds the web app. It fails only if the static files cannot be read.
func New(cfg Config) (*Site, error) {
	a, err := newAssets(cfg.Static)
	if err != nil {
		return nil, fmt.Errorf("web: %w", err)
	}
	s := &server{store: cfg.Store, hub: cfg.Hub, screens: cfg.Screens, assets: a, now: cfg.Now, log: cfg.Log}
	if s.now == nil {
		s.now = func() time.Time { return time.Now().Round(0) }
	}
	if s.patience = cfg.Patience; s.patience == 0 {
		s.patience = 3 * time.Second
	}
	if s.log == nil {
		s.log = slog.New(slog.DiscardHandler)
	}
	if s.hub == nil {
		s.hub = silentHub{}
	}
	if s.screens == nil {
		s.screens = live.NewScreens(live.NewHub())
	}
	if s.damaged = cfg.Damaged; s.damaged == nil {
		s.damaged = func() bool { return false }
	}
	if s.addresses = cfg.Addresses; s.addresses != nil {
		s.door, s.authority = &door{}, cfg.Authority
	}
	return &Site{s.routes(cfg.Hosts), s}, nil
}

// silentHub is the hub of a server without live updates: 204 tells an
// EventSource not to come again.
type silentHub struct{}

func (silentHub) Publish(live.Event) {}

func (silentHub) ServeHTTP(w http.ResponseWriter, _ *http.Request) {
	w.WriteHeader(http.StatusNoContent)
}
