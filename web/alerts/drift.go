package alerts

import "time"

// drift watches how the clock on the wall goes against elapsed time. On Linux
// elapsed time stands still while the computer sleeps, so sleep shows as a step
// forward.
type drift struct {
	wall time.Time // at the last look
	mono time.Time // the same moment, for elapsed time
}

// step tells by how much the wall clock has moved beyond elapsed time since the
// last call.
func (d *drift) step(wall time.Time) time.Duration {
	mono := time.Now()
	last := *d
	*d = drift{wall, mono}
	if last.mono.IsZero() {
		return 0
	}
	return wall.Sub(last.wall) - mono.Sub(last.mono)
}
