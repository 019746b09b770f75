package web

import (
	"encoding/binary"
	"hash/fnv"
	"sync"

	"ovenward/schedule"
)

// traceCache keeps the traces of the plans last looked at: following every dough
// costs more than drawing it, and a saved plan changes only by what is said.
type traceCache struct {
	mu   sync.Mutex
	keep map[planKey][]schedule.Trace
}

type planKey struct {
	day     int64
	version int
	times   uint64 // of its tasks, as they run
}

// maxTraces is more plans than a kitchen looks at in a morning.
const maxTraces = 16

func (c *traceCache) of(day int64, version int, d *schedule.Day, p *schedule.Plan) ([]schedule.Trace, error) {
	k := planKey{day, version, timesOf(p)}
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

// timesOf tells plans of the same tasks apart by when these are.
func timesOf(p *schedule.Plan) uint64 {
	h := fnv.New64a()
	var b []byte
	for i := range p.Tasks {
		b = binary.LittleEndian.AppendUint64(b[:0], uint64(p.Tasks[i].Start.Unix()))
		h.Write(binary.LittleEndian.AppendUint64(b, uint64(p.Tasks[i].End.Unix())))
	}
	return h.Sum64()
}

func (c *traceCache) clear() {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.keep = nil
}
