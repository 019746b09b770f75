package live

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"time"
)

const (
	// heartbeat keeps proxies from closing a quiet stream and finds clients that
	// are gone.
	heartbeat = 15 * time.Second
	// patience is how long one write may take. It also lifts the server's own
	// WriteTimeout, which would end every stream.
	patience = 30 * time.Second
	// comeBack is how soon a browser tries again after a break.
	comeBack = 2 * time.Second
)

// ServeHTTP streams events to one page until it goes away, the request's context
// ends (give the server a BaseContext that ends with it: Shutdown waits for
// streams) or the page lags too far behind.
func (h *Hub) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	if r.Method != http.MethodGet {
		w.Header().Set("Allow", http.MethodGet)
		http.Error(w, "This is a stream of events; only GET reads it.", http.StatusMethodNotAllowed)
		return
	}
	w.Header().Set("Content-Type", "text/event-stream")
	w.Header().Set("Cache-Control", "no-store")
	events, last := h.subscribe()
	defer h.unsubscribe(events)

	s := stream{w, http.NewResponseController(w)}
	if err := s.open(last, r.Header.Get("Last-Event-ID")); err != nil {
		return // the page is gone
	}
	beat := time.NewTicker(heartbeat)
	defer beat.Stop()
	for {
		var err error
		select {
		case <-r.Context().Done():
			return
		case m, ok := <-events:
			if !ok {
				return
			}
			err = s.send(m)
		case <-beat.C:
			err = s.write(": beat\n\n")
		}
		if err != nil {
			return
		}
	}
}

// stream is the way to one page.
type stream struct {
	w  io.Writer
	rc *http.ResponseController
}

// open greets the page, and one that comes back tells it whether it has missed
// anything.
func (s stream) open(last, seen string) error {
	if err := s.write(fmt.Sprintf("retry: %d\n\n", comeBack.Milliseconds())); err != nil {
		return err
	}
	now := time.Now().UnixMilli()
	greeting := []Event{Hello{now}}
	if seen != "" && seen != last {
		greeting = append(greeting, Resync{Reason: "missed", Now: now})
	}
	for _, e := range greeting {
		data, err := json.Marshal(e)
		if err != nil {
			return err
		}
		if err := s.send(message{last, e.Kind(), string(data)}); err != nil {
			return err
		}
	}
	return nil
}

// send writes an event. Its data is JSON, so it is one line.
func (s stream) send(m message) error {
	return s.write(fmt.Sprintf("id: %s\nevent: %s\ndata: %s\n\n", m.id, m.kind, m.data))
}

func (s stream) write(text string) error {
	if err := s.rc.SetWriteDeadline(time.Now().Add(patience)); err != nil && !errors.Is(err, http.ErrNotSupported) {
		return err
	}
	if _, err := io.WriteString(s.w, text); err != nil {
		return err
	}
	return s.rc.Flush()
}
