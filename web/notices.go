package web

import (
	"crypto/rand"
	"sync"
)

// notices carry what an action did over the redirect that follows it, under a
// key in the address. They live for a while in memory: losing them loses
// nothing but a sentence.
type notices struct {
	mu    sync.Mutex
	lines map[string][]string
	order []string
}

// maxNotices bounds the memory; the oldest go first.
const maxNotices = 64

// keep gives the query that shows the lines, "" for none.
func (n *notices) keep(lines []string) string {
	if len(lines) == 0 {
		return ""
	}
	key := newKey()
	n.mu.Lock()
	defer n.mu.Unlock()
	if n.lines == nil {
		n.lines = map[string][]string{}
	}
	n.lines[key] = lines
	n.order = append(n.order, key)
	if len(n.order) > maxNotices {
		delete(n.lines, n.order[0])
		n.order = n.order[1:]
	}
	return "?said=" + key
}

func (n *notices) read(key string) []string {
	n.mu.Lock()
	defer n.mu.Unlock()
	return n.lines[key]
}

// newKey is a name nobody else gives: for a notice, or for a tap that may be
// sent twice.
func newKey() string { return rand.Text() }
