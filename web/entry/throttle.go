package entry

import (
	"net/netip"
	"sync"
	"time"
)

// How often may be tried: some times at once, then once in a while. All clients
// together are held to a pace, too, since one attacker may be many.
var (
	perClient = pace{burst: 5, every: time.Minute}
	together  = pace{burst: 20, every: 10 * time.Second}
)

// mostClients bounds the memory an attacker of many addresses can fill.
const mostClients = 1024

// pace is so many at once, and one more every so often.
type pace struct {
	burst int
	every time.Duration
}

// meter counts against a pace: full is when its burst is whole again (Generic
// Cell Rate Algorithm, ITU-T I.371 annex A; from memory).
type meter struct{ full time.Time }

// wait is how long until one more is allowed.
func (m meter) wait(p pace, now time.Time) time.Duration {
	return max(0, m.full.Sub(now)) - time.Duration(p.burst-1)*p.every
}

func (m *meter) take(p pace, now time.Time) {
	if m.full.Before(now) {
		m.full = now
	}
	m.full = m.full.Add(p.every)
}

// mend forgets what cannot be: the clock was set back since.
func (m *meter) mend(p pace, now time.Time) {
	if most := now.Add(time.Duration(p.burst) * p.every); m.full.After(most) {
		m.full = most
	}
}

// Throttle counts tries to come in. The zero one has counted none. It is safe
// for concurrent use.
type Throttle struct {
	mu      sync.Mutex
	all     meter
	clients map[netip.Prefix]*meter
}

// Try counts a try of a client, or gives how long it has to wait before it may.
func (t *Throttle) Try(client netip.Addr, now time.Time) (wait time.Duration) {
	t.mu.Lock()
	defer t.mu.Unlock()
	m := t.of(client, now)
	m.mend(perClient, now)
	t.all.mend(together, now)
	if wait = max(m.wait(perClient, now), t.all.wait(together, now)); wait > 0 {
		return wait
	}
	m.take(perClient, now)
	t.all.take(together, now)
	return 0
}

// Succeeded forgets the tries of a client that has come in.
func (t *Throttle) Succeeded(client netip.Addr) {
	t.mu.Lock()
	defer t.mu.Unlock()
	delete(t.clients, Network(client))
}

// of gives a client's meter. When too many are kept, those that are whole again
// go; if none is, newcomers share one.
func (t *Throttle) of(client netip.Addr, now time.Time) *meter {
	if t.clients == nil {
		t.clients = map[netip.Prefix]*meter{}
	}
	key := Network(client)
	if m := t.clients[key]; m != nil {
		return m
	}
	if len(t.clients) >= mostClients {
		for k, m := range t.clients {
			if !m.full.After(now) {
				delete(t.clients, k)
			}
		}
	}
	if len(t.clients) >= mostClients {
		key = netip.Prefix{}
		if m := t.clients[key]; m != nil {
			return m
		}
	}
	m := &meter{}
	t.clients[key] = m
	return m
}

// Network is what one client can have all addresses of: of IPv6 a /64.
func Network(a netip.Addr) netip.Prefix {
	a = a.Unmap().WithZone("")
	bits := a.BitLen()
	if a.Is6() {
		bits = 64
	}
	p, _ := a.Prefix(bits)
	return p
}
