package web

import (
	"sync"

	"ovenward/schedule"
)

// traceCache keeps the traces of the plans last looked at: following every dough
// costs more than drawing it, and a saved plan never changes.
type traceCache struct {
	mu   sync.Mutex
	keep map[planKey][]schedule.Trace
}

type planKey struct {
	day     int64
	version int
}

// maxTraces is more plans than a kitchen looks at in a morning.
const maxTraces = 16

func (c *traceCache) of(day int64, version int, d *schedule.Day, p *schedule.Plan) ([]schedule.Trace, error) {
	k := planKey{day, version}
	c.mu.Lock()
	t, ok := c.keep[k]
	c.mu.Unlock()
	if ok {
		return t, nil
	}
	t, err := schedule.Traces(d, p)
	if err != nil {
		return nil, err
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.keep == nil || len(c.keep) >= maxTraces {
		c.keep = map[planKey][]schedule.Trace{}
	}
	c.keep[k] = t
	return t, nil
}

func (c *traceCache) clear() {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.keep = nil
}
