package live_test

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/google/go-cmp/cmp"

	"ovenward/web/live"
)

// event is one event as a browser understands it, by the parsing rules of the
// HTML standard, section 9.2.6.
type event struct{ ID, Kind, Data string }

func read(r *bufio.Reader) (e event, comments []string, err error) {
	for {
		line, err := r.ReadString('\n')
		if err != nil {
			return e, comments, err
		}
		field, value, _ := strings.Cut(strings.TrimSuffix(line, "\n"), ":")
		value = strings.TrimPrefix(value, " ")
		switch {
		case line == "\n" && e.Data != "":
			return e, comments, nil
		case line == "\n":
		case field == "":
			comments = append(comments, value)
		case field == "id":
			e.ID = value
		case field == "event":
			e.Kind = value
		case field == "data":
			e.Data += value
		}
	}
}

const writeTimeout = 100 * time.Millisecond

// serve starts a real server that is as strict with slow writes as the
// program's; closing it must not hang.
func serve(t *testing.T, h http.Handler) (url string) {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	srv := httptest.NewUnstartedServer(h)
	srv.Config.WriteTimeout = writeTimeout
	srv.Config.BaseContext = func(net.Listener) context.Context { return ctx }
	srv.Config.RegisterOnShutdown(cancel)
	srv.Start()
	t.Cleanup(func() {
		if err := srv.Config.Shutdown(t.Context()); err != nil && t.Context().Err() == nil {
			t.Error(err)
		}
		cancel()
		srv.Close()
	})
	return srv.URL
}

func connect(t *testing.T, url, lastID string) *bufio.Reader {
	t.Helper()
	req, err := http.NewRequestWithContext(t.Context(), http.MethodGet, url, nil)
	if err != nil {
		t.Fatal(err)
	}
	if lastID != "" {
		req.Header.Set("Last-Event-ID", lastID)
	}
	res, err := http.DefaultClient.Do(req)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { res.Body.Close() })
	if got := res.Header.Get("Content-Type") + " " + res.Header.Get("Cache-Control"); got != "text/event-stream no-store" {
		t.Errorf("headers %q", got)
	}
	return bufio.NewReader(res.Body)
}

func next(t *testing.T, r *bufio.Reader) event {
	t.Helper()
	e, _, err := read(r)
	if err != nil {
		t.Fatal(err)
	}
	return e
}

func TestEventsReachThePage(t *testing.T) {
	h := live.NewHub()
	r := connect(t, serve(t, h), "")
	hello := next(t, r)
	var greeting live.Hello
	if err := json.Unmarshal([]byte(hello.Data), &greeting); err != nil || hello.Kind != "hello" {
		t.Fatalf("first event %+v: %v", hello, err)
	}
	if age := time.Since(time.UnixMilli(greeting.Now)); age < -time.Second || age > time.Minute {
		t.Errorf("the program's clock is given %v wrong", age)
	}
	time.Sleep(2 * writeTimeout) // the stream must outlive it
	for _, tt := range []struct {
		e    live.Event
		want string
	}{
		{live.Plan{Day: 3, Version: 2}, `plan {"day":3,"version":2}`},
		{live.Tap{Day: 3, Task: "A.1\nid: forged", Tap: "done"}, `tap {"day":3,"task":"A.1\nid: forged","tap":"done"}`},
		{live.Resync{Reason: "clock", StepMS: -3600000, Now: 1}, `resync {"reason":"clock","step_ms":-3600000,"now":1}`},
		{live.Alert{Now: 9, Class: "B", Calls: []live.Call{{ID: 1, Day: 3, Task: "A.1", Kind: "start", Class: "B", State: "due", Ring: 2, Due: 8}}},
			`alert {"now":9,"catch_up":false,"class":"B","everywhere":false,"calls":[{"id":1,"day":3,"task":"A.1","kind":"start","name":"","stage":"","class":"B","state":"due","ring":2,"due":8}]}`},
	} {
		h.Publish(tt.e)
		got := next(t, r)
		if line := got.Kind + " " + got.Data; line != tt.want {
			t.Errorf("got  %s\nwant %s", line, tt.want)
		}
		if got.ID == "" || got.ID == hello.ID {
			t.Errorf("event ID %q after %q", got.ID, hello.ID)
		}
	}
}

// A page that comes back is told to load itself again exactly if something
// happened while it was away, a restart of the program included.
func TestComingBack(t *testing.T) {
	h := live.NewHub()
	url := serve(t, h)
	first := connect(t, url, "")
	hello := next(t, first)
	h.Publish(live.Plan{Day: 1, Version: 1})
	seen := next(t, first)

	for _, tt := range []struct {
		name, lastID string
		want         []string
	}{
		{"missed nothing", seen.ID, []string{"hello", "plan"}},
		{"missed the plan", hello.ID, []string{"hello", "resync", "plan"}},
		{"from before a restart", "0123-1", []string{"hello", "resync", "plan"}},
		{"new", "", []string{"hello", "plan"}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			r := connect(t, url, tt.lastID)
			got := []string{next(t, r).Kind}
			if len(tt.want) == 3 {
				got = append(got, next(t, r).Kind)
			}
			h.Publish(live.Plan{Day: 1, Version: 2})
			got = append(got, next(t, r).Kind)
			if diff := cmp.Diff(tt.want, got); diff != "" {
				t.Errorf("(-want +got):\n%s", diff)
			}
		})
	}
}

func TestFiftyPages(t *testing.T) {
	h := live.NewHub()
	url := serve(t, h)
	const pages, rounds, perRound = 50, 5, 8 // a round is less than a page may lag
	got := make(chan struct{})
	for range pages {
		r := connect(t, url, "")
		next(t, r)
		go func() {
			for i := range rounds * perRound {
				e, _, err := read(r)
				if want := fmt.Sprintf(`{"day":1,"version":%d}`, i); err != nil || e.Data != want {
					t.Errorf("got %+v, %v; want %s", e, err, want)
				}
				got <- struct{}{}
			}
		}()
	}
	for round := range rounds {
		for i := range perRound {
			h.Publish(live.Plan{Day: 1, Version: round*perRound + i})
		}
		for range pages * perRound {
			<-got
		}
	}
}

// Pages come and go while events are published from several places; nothing is
// left behind.
func TestComingAndGoing(t *testing.T) {
	h := live.NewHub()
	var wg sync.WaitGroup
	for i := range 8 {
		wg.Go(func() {
			for range 50 {
				h.Publish(live.Tap{Day: int64(i), Task: "A.1", Tap: "ack"})
			}
		})
		wg.Go(func() {
			for range 20 {
				ctx, cancel := context.WithCancel(t.Context())
				time.AfterFunc(time.Millisecond, cancel)
				h.ServeHTTP(httptest.NewRecorder(), httptest.NewRequestWithContext(ctx, http.MethodGet, "/live", nil))
			}
		})
	}
	wg.Wait()
	if n := h.Clients(); n != 0 {
		t.Errorf("%d clients are left", n)
	}
}

func TestOnlyGet(t *testing.T) {
	w := httptest.NewRecorder()
	live.NewHub().ServeHTTP(w, httptest.NewRequest(http.MethodPost, "/live", nil))
	if w.Code != http.StatusMethodNotAllowed || w.Header().Get("Allow") != "GET" {
		t.Errorf("%d, Allow %q", w.Code, w.Header().Get("Allow"))
	}
}

// pipe is a ResponseWriter whose reader decides when it is written to.
type pipe struct {
	*io.PipeWriter
	header http.Header
}

func (p pipe) Header() http.Header { return p.header }
func (p pipe) WriteHeader(int)     {}
func (p pipe) Flush()              {}

func TestHeartbeat(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		h := live.NewHub()
		in, out := io.Pipe()
		ctx, cancel := context.WithCancel(t.Context())
		var wg sync.WaitGroup
		wg.Go(func() {
			h.ServeHTTP(pipe{out, http.Header{}}, httptest.NewRequestWithContext(ctx, http.MethodGet, "/live", nil))
			out.Close()
		})
		r := bufio.NewReader(in)
		next(t, r)
		start := time.Now()
		wg.Go(func() {
			time.Sleep(time.Minute + time.Second)
			h.Publish(live.Plan{Day: 1, Version: 1})
		})
		_, comments, err := read(r)
		if diff := cmp.Diff([]string{"beat", "beat", "beat", "beat"}, comments); err != nil || diff != "" {
			t.Errorf("in %v: %v (-want +got):\n%s", time.Since(start), err, diff)
		}
		cancel()
		if _, _, err := read(r); err != io.EOF {
			t.Errorf("after the end of its context the stream gives %v", err)
		}
		wg.Wait()
	})
}

// A page that does not read is dropped and holds nobody up.
func TestSlowPageIsDropped(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		h := live.NewHub()
		in, out := io.Pipe()
		var wg sync.WaitGroup
		wg.Go(func() {
			h.ServeHTTP(pipe{out, http.Header{}}, httptest.NewRequestWithContext(t.Context(), http.MethodGet, "/live", nil))
			out.Close()
		})
		next(t, bufio.NewReader(in))
		for i := range 100 {
			h.Publish(live.Plan{Day: 1, Version: i})
		}
		if n := h.Clients(); n != 0 {
			t.Errorf("%d clients, want none", n)
		}
		if _, err := io.Copy(io.Discard, in); err != nil { // what was on its way still comes, then the end
			t.Error(err)
		}
		wg.Wait()
	})
}

func BenchmarkPublish(b *testing.B) {
	h := live.NewHub()
	b.ReportAllocs()
	for b.Loop() {
		h.Publish(live.Plan{Day: 1, Version: 1})
	}
}
