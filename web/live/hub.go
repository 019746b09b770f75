// Package live tells open pages at once what has changed, by Server-Sent Events
// (https://html.spec.whatwg.org/multipage/server-sent-events.html).
//
// Publish only what is committed: a page answers an event by asking for the
// state. Nothing is replayed; a page that has missed events is told to load
// itself again.
package live

import (
	"encoding/json"
	"fmt"
	"sync"
	"time"
)

// backlog is how many events a client may lag behind before it is dropped. It
// then comes back by itself and loads its page again.
const backlog = 16

// Hub hands every event to every open page. It is safe for concurrent use.
type Hub struct {
	run     string // tells this run's event IDs from those before a restart
	mu      sync.Mutex
	count   uint64
	clients map[chan message]bool
}

// message is an event ready to be written.
type message struct{ id, kind, data string }

// NewHub makes a hub without clients.
func NewHub() *Hub {
	return &Hub{run: fmt.Sprintf("%x", time.Now().UnixNano()), clients: map[chan message]bool{}}
}

// Publish hands e to all clients and waits for none.
func (h *Hub) Publish(e Event) {
	data, err := json.Marshal(e)
	if err != nil {
		panic(fmt.Sprintf("live: %T cannot be written: %v", e, err)) // events are plain structs of this package
	}
	h.mu.Lock()
	defer h.mu.Unlock()
	h.count++
	m := message{h.id(), e.Kind(), string(data)}
	for c := range h.clients {
		select {
		case c <- m:
		default:
			h.drop(c)
		}
	}
}

// subscribe adds a client, whose channel is closed if it lags too far behind. It
// has seen everything up to and including the event last.
func (h *Hub) subscribe() (c chan message, last string) {
	c = make(chan message, backlog)
	h.mu.Lock()
	defer h.mu.Unlock()
	h.clients[c] = true
	return c, h.id()
}

func (h *Hub) unsubscribe(c chan message) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.drop(c)
}

// drop is called with the lock held.
func (h *Hub) drop(c chan message) {
	if h.clients[c] {
		delete(h.clients, c)
		close(c)
	}
}

// id names the newest event.
func (h *Hub) id() string { return fmt.Sprintf("%s-%d", h.run, h.count) }
