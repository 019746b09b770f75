package main

import (
	"context"
	"log/slog"
	"time"
)

// lookAhead is how often it is looked whether a day to come is to be made: so
// long after its midnight, or a computer's sleep, it is there.
const lookAhead = 15 * time.Minute

// maker makes the days that standing orders ask for.
type maker struct {
	site interface{ MakeComing(context.Context) error }
	log  *slog.Logger
}

// making looks at once and every [lookAhead], until ctx ends. What a former look
// missed, the next finds.
func (m maker) making(ctx context.Context) {
	repeat(ctx, lookAhead, m.log, func() { m.look(ctx) })
}

func (m maker) look(ctx context.Context) {
	if err := m.site.MakeComing(ctx); err != nil && ctx.Err() == nil {
		m.log.Error("days were not made from standing orders", "err", err)
	}
}
