//go:build linux

package main

import (
	"context"
	"flag"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"net/url"
	"os"
	"runtime"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"
)

var soak = flag.Duration("soak", 15*time.Second, "how long TestSoak loads the program")

// However long it is used, the program holds no more of memory, goroutines and
// files than after the first while.
func TestSoak(t *testing.T) { // not parallel: what it counts is of the whole process
	long := *soak
	if testing.Short() {
		long = min(long, 3*time.Second)
	}
	r := start(t, t.TempDir())
	const rounds = 6
	var first, last holdings
	l := load{base: r.base}
	l.day, l.tasks = target(t, r.base)
	for n := range rounds {
		l.run(t, long/rounds)
		last = hold()
		if n == 0 {
			first = last // with every cache full
		}
		for end := time.Now().Add(patience); last.more(first) && time.Now().Before(end); {
			last = hold() // a busy machine sees late that its clients are gone
		}
		t.Logf("after round %d, %d answers, %d streams: %v", n+1, l.answers.Load(), l.streams.Load(), last)
	}
	if last.more(first) {
		t.Errorf("it holds more and more: first %v, at last %v", first, last)
	}
	if l.streams.Load() == 0 || l.answers.Load() < rounds {
		t.Errorf("only %d answers and %d streams", l.answers.Load(), l.streams.Load())
	}
	r.wait(t)
}

// holdings are what a process holds when it is at rest.
type holdings struct {
	heap, goroutines, files int
}

func (h holdings) String() string {
	return fmt.Sprintf("%d kB of heap, %d goroutines, %d files", h.heap>>10, h.goroutines, h.files)
}

// more reports whether they are more than what was held at first.
func (h holdings) more(first holdings) bool {
	return h.goroutines > first.goroutines+5 || h.files > first.files+5 || h.heap > first.heap+first.heap/4+2<<20
}

// hold waits until the server has seen that its clients are gone, then counts.
func hold() (h holdings) {
	for range 20 { // ends of streams and connections take a moment
		time.Sleep(50 * time.Millisecond)
		if n := runtime.NumGoroutine(); n == h.goroutines {
			break
		} else {
			h.goroutines = n
		}
	}
	var m runtime.MemStats
	runtime.GC()
	runtime.GC() // pools give back at the second
	runtime.ReadMemStats(&m)
	files, _ := os.ReadDir("/proc/self/fd")
	return holdings{int(m.HeapAlloc), runtime.NumGoroutine(), len(files)}
}

// load is many readers, two writers, and pages that open and close their event
// stream.
type load struct {
	base, day        string
	tasks            []string
	answers, streams atomic.Int64
	keys             atomic.Int64
}

func (l *load) run(t *testing.T, long time.Duration) {
	ctx, stop := context.WithTimeout(t.Context(), long)
	defer stop()
	transport := &http.Transport{MaxIdleConnsPerHost: 16}
	defer transport.CloseIdleConnections()
	client := &http.Client{Transport: transport, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	var all sync.WaitGroup
	defer all.Wait()
	pages := []string{"/", "/days", "/days/1", "/days/1/now", "/days/1/sheet", "/days/1/calls", "/breads", "/kitchen", "/settings", "/learned"}
	for reader := range 6 {
		all.Go(func() {
			for n := reader; ctx.Err() == nil; n++ {
				l.ask(ctx, t, client, http.MethodGet, pages[n%len(pages)], nil)
			}
		})
	}
	all.Go(func() {
		for ; ctx.Err() == nil; time.Sleep(200 * time.Millisecond) {
			n := l.keys.Add(1)
			l.ask(ctx, t, client, http.MethodPost, "/days/"+l.day+"/tap", url.Values{"key": {fmt.Sprint("soak-", n)}, "version": {"1"}, "task": {l.tasks[int(n)%len(l.tasks)]}, "kind": {"ack"}})
		}
	})
	all.Go(func() {
		for ; ctx.Err() == nil; time.Sleep(100 * time.Millisecond) {
			whole := context.WithoutCancel(ctx) // what is made is taken away again
			to := l.ask(whole, t, client, http.MethodPost, "/days", url.Values{"name": {"soaked"}, "date": {"2031-03-01"}, "zone": {"Europe/Dublin"}, "like": {l.day}})
			if made, ok := strings.CutSuffix(to, "/plan"); ok {
				l.ask(whole, t, client, http.MethodPost, made+"/delete", url.Values{})
			}
		}
	})
	for range 8 {
		all.Go(func() {
			for ctx.Err() == nil {
				l.listen(ctx, t, client, time.Duration(rand.IntN(200))*time.Millisecond)
			}
		})
	}
}

// ask gives where an answer leads, "" for a page.
func (l *load) ask(ctx context.Context, t *testing.T, c *http.Client, method, path string, form url.Values) string {
	r, err := http.NewRequestWithContext(ctx, method, l.base+path, strings.NewReader(form.Encode()))
	if err != nil {
		t.Error(err)
		return ""
	}
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	res, err := c.Do(r)
	if ctx.Err() != nil {
		return ""
	}
	if err != nil {
		t.Error(err)
		return ""
	}
	defer res.Body.Close()
	if _, err := io.Copy(io.Discard, res.Body); err != nil && ctx.Err() == nil {
		t.Error(err)
	}
	if res.StatusCode >= 400 {
		t.Errorf("%s %s: %s", method, path, res.Status)
	}
	l.answers.Add(1)
	return res.Header.Get("Location")
}

// listen opens an event stream and closes it a while after it is open.
func (l *load) listen(ctx context.Context, t *testing.T, c *http.Client, after time.Duration) {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	r, err := http.NewRequestWithContext(ctx, http.MethodGet, l.base+"/events", nil)
	if err != nil {
		t.Error(err)
		return
	}
	res, err := c.Do(r)
	if err != nil {
		return // the round is over
	}
	defer res.Body.Close()
	defer time.AfterFunc(after, stop).Stop()
	l.streams.Add(1)
	io.Copy(io.Discard, res.Body)
}
