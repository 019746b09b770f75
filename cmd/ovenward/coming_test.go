package main

import (
	"context"
	"errors"
	"log/slog"
	"testing"
	"testing/synctest"
	"time"
)

// looks counts; the second fails, the third panics.
type looks int

func (l *looks) MakeComing(context.Context) error {
	switch *l++; *l {
	case 2:
		return errors.New("the disk is full")
	case 3:
		panic("a fault of ours")
	}
	return nil
}

// It is looked at once at the start, and then every quarter of an hour, whatever
// became of the look before; after the end no more.
func TestLookAhead(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var l looks
		ctx, stop := context.WithTimeout(t.Context(), 24*time.Hour+time.Minute)
		defer stop()
		maker{&l, slog.New(slog.DiscardHandler)}.making(ctx)
		if l != 1+24*4 {
			t.Errorf("looked %d times in a day", l)
		}
		time.Sleep(time.Hour)
		if l != 1+24*4 {
			t.Error("it looks on after the end")
		}
	})
}
