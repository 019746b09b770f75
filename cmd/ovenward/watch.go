package main

import (
	"context"
	"log/slog"
	"path/filepath"
	"strings"
	"sync/atomic"
	"time"

	"ovenward/store"
	"ovenward/web/live"
)

// watch looks the database through for damage beside all else, so that nobody
// waits for it, and nobody first hears of it from a page that fails.
type watch struct {
	store   *store.Store
	data    string // the folder of it
	hub     *live.Hub
	log     *slog.Logger
	damaged atomic.Bool
}

// keeping looks at once and every day, until ctx ends.
func (w *watch) keeping(ctx context.Context) {
	repeat(ctx, 24*time.Hour, w.log, func() { w.look(ctx) })
}

func (w *watch) look(ctx context.Context) {
	faults, err := w.store.Damages(ctx)
	switch {
	case ctx.Err() != nil:
	case err != nil:
		w.log.Error("the database was not looked through for damage", "err", err)
	case len(faults) > 0:
		help := "stop ovenward, then: ovenward doctor"
		if copied := newestCopy(filepath.Clean(w.data)); copied != "" {
			help += "; " + copied
		}
		w.log.Error("the database is damaged; what can still be read is shown", "what", strings.Join(faults, "; "), "help", help)
		if !w.damaged.Swap(true) {
			w.hub.Publish(live.Resync{Reason: "damaged"})
		}
	}
}
