package web

import (
	"context"
	"errors"
	"net"
	"net/http"
	"net/netip"
	"slices"
	"strings"
	"sync"
	"time"

	"ovenward/store/record"
	"ovenward/web/entry"
)

// door is what other machines come in by.
type door struct {
	throttle entry.Throttle
	codes    entry.Codes
	hashing  sync.Mutex // one passphrase at a time: each takes 64 MiB

	mu     sync.Mutex
	inside map[int64]map[*context.CancelFunc]bool // requests under way, by session
}

// visitor is who makes a request.
type visitor struct {
	record.Session      // of another machine; its Role is "" for one that has not come in
	host           bool // this machine itself
}

type visitorKey struct{}

// visitorOf is who makes a request; without a door only this machine can.
func visitorOf(r *http.Request) visitor {
	if v, ok := r.Context().Value(visitorKey{}).(visitor); ok {
		return v
	}
	return visitor{record.Session{Role: record.Baker}, true}
}

// guard lets through this machine, and other machines that have come in as far
// as their role goes. Anybody else is asked to log in.
func (s *server) guard(next http.Handler) http.Handler {
	if s.door == nil {
		return next
	}
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if _, in := r.Context().Value(visitorKey{}).(visitor); in {
			next.ServeHTTP(w, r) // by a key
			return
		}
		v, err := s.recognise(r)
		if err != nil {
			s.showError(w, r, err)
			return
		}
		ctx, leave := s.door.enter(context.WithValue(r.Context(), visitorKey{}, v), v.ID, v.Ends.Sub(s.now()))
		if leave == nil {
			w.Header().Set("Retry-After", "5")
			http.Error(w, "This device has too many pages open. Close some, then try again.", http.StatusTooManyRequests)
			return
		}
		defer leave()
		r = r.WithContext(ctx)
		switch {
		case r.URL.Path == loginPath, open(r.URL.Path):
			next.ServeHTTP(w, r)
		case v.Role == "":
			s.turnAway(w, r)
		case v.Role == record.Helper && !helperMay(r.Method, r.URL.Path, r.PostFormValue):
			s.showError(w, r, errHelper)
		default:
			next.ServeHTTP(w, r)
		}
	})
}

// recognise finds who makes a request.
func (s *server) recognise(r *http.Request) (visitor, error) {
	if fromHere(r) {
		return visitor{record.Session{Role: record.Baker}, true}, nil
	}
	token := tokenOf(r)
	if token == "" {
		return visitor{}, nil
	}
	session, err := s.store.Session(r.Context(), token, s.now())
	if errors.Is(err, record.ErrNotFound) {
		return visitor{}, nil
	}
	return visitor{Session: session}, err
}

// forwarded are headers by which a proxy says that it speaks for somebody else,
// beside those that begin with X-Forwarded-.
var forwarded = []string{"Forwarded", "Via", "X-Real-Ip", "X-Client-Ip", "X-Cluster-Client-Ip", "True-Client-Ip"}

// fromHere reports whether a request was made on this machine and to it, and not
// passed on by a program that runs here.
func fromHere(r *http.Request) bool {
	for h := range r.Header {
		if strings.HasPrefix(h, "X-Forwarded-") || slices.Contains(forwarded, h) {
			return false
		}
	}
	return toHere(r) && clientOf(r).IsLoopback()
}

// toHere reports whether a request calls this machine by a name that means the
// caller's own everywhere.
func toHere(r *http.Request) bool {
	name := hostName(r.Host)
	return name == "localhost" || strings.HasSuffix(name, ".localhost") || net.ParseIP(name).IsLoopback()
}

// clientOf is the address a request comes from.
func clientOf(r *http.Request) netip.Addr {
	a, _ := netip.ParseAddrPort(r.RemoteAddr)
	return a.Addr().Unmap()
}

var (
	errHelper = &Error{http.StatusForbidden, "This device is a helper's: it can look and say “on it”, nothing else.",
		"Ask whoever bakes, or let the device in anew as a baker's, in the settings of the computer the program runs on.", ""}
	errOutside = &Error{http.StatusUnauthorized, "This device has been logged out, and what was sent was not kept.",
		"Log in, then go back and send it again.", loginPath}
)

// turnAway asks for a log-in: a page by leading there, anything else by saying
// so.
func (s *server) turnAway(w http.ResponseWriter, r *http.Request) {
	if forPrograms(r) {
		showProblem(w, problem{Title: "Nobody is logged in.", Status: http.StatusUnauthorized, Detail: "Send a key, as /api says, or log in."})
		return
	}
	if r.Method == http.MethodGet && r.URL.Path != "/events" && r.Header.Get("Sec-Fetch-Dest") != "empty" {
		http.Redirect(w, r, loginAt(r.URL.Path), http.StatusSeeOther)
		return
	}
	if r.Method == http.MethodPost {
		if err := render(w, r, errOutside.Status, outside(s.bare(r, errOutside.What))); err == nil {
			return
		}
	}
	http.Error(w, errOutside.What+" "+errOutside.Next, errOutside.Status)
}

// mostAtOnce is how many requests of one session may be under way: its open pages,
// each with a stream, and some that come and go.
const mostAtOnce = 64

// enter gives a request a context that ends with its session, by hand or by time,
// so that a stream does, too. To leave is nil if too many are under way already.
func (d *door) enter(ctx context.Context, session int64, left time.Duration) (context.Context, func()) {
	if session == 0 {
		return ctx, func() {}
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	if len(d.inside[session]) >= mostAtOnce {
		return ctx, nil
	}
	ctx, cancel := context.WithTimeout(ctx, left)
	if d.inside == nil {
		d.inside = map[int64]map[*context.CancelFunc]bool{}
	}
	if d.inside[session] == nil {
		d.inside[session] = map[*context.CancelFunc]bool{}
	}
	d.inside[session][&cancel] = true
	return ctx, func() {
		cancel()
		d.mu.Lock()
		defer d.mu.Unlock()
		if delete(d.inside[session], &cancel); len(d.inside[session]) == 0 {
			delete(d.inside, session)
		}
	}
}

// evict ends what a session has under way, the request that ends it too: its answer
// is still written.
func (d *door) evict(session int64) {
	d.mu.Lock()
	defer d.mu.Unlock()
	for cancel := range d.inside[session] {
		(*cancel)()
	}
}
