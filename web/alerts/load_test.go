package alerts_test

import (
	"bufio"
	"context"
	"io"
	"log/slog"
	"math"
	"net"
	"net/http"
	"net/http/httptest"
	"runtime"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"ovenward/schedule"
	"ovenward/store/record"
	"ovenward/store/storetest"
	"ovenward/web/alerts"
	"ovenward/web/live"
)

// screens of one bakery that listen at once
const screens = 50

// pipes is a network inside the program, so that its time is the test's.
type pipes struct {
	conns chan net.Conn
	once  sync.Once
	done  chan struct{}
}

func (p *pipes) Accept() (net.Conn, error) {
	select {
	case c := <-p.conns:
		return c, nil
	case <-p.done:
		return nil, net.ErrClosed
	}
}
func (p *pipes) Close() error   { p.once.Do(func() { close(p.done) }); return nil }
func (p *pipes) Addr() net.Addr { return &net.UnixAddr{} }

// stream reads an open stream and tells the kind of each event.
func stream(in io.Reader, each func(kind string)) {
	for lines := bufio.NewScanner(in); lines.Scan(); {
		if kind, ok := strings.CutPrefix(lines.Text(), "event: "); ok {
			each(kind)
		}
	}
}

// Every one of fifty screens has a ring, and the news that somebody is on it,
// within a second.
func TestFiftyScreensWithinASecond(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		hub := live.NewHub()
		network := &pipes{conns: make(chan net.Conn), done: make(chan struct{})}
		ctx, cancel := context.WithCancel(t.Context())
		srv := &http.Server{Handler: hub, BaseContext: func(net.Listener) context.Context { return ctx }}
		go srv.Serve(network)
		client := http.Client{Transport: &http.Transport{DialContext: func(context.Context, string, string) (net.Conn, error) {
			ours, theirs := net.Pipe()
			network.conns <- theirs
			return ours, nil
		}}}

		start := time.Now()
		var mu sync.Mutex
		heard := map[string][]time.Duration{}
		var listening sync.WaitGroup
		for range screens {
			res, err := client.Get("http://bakery/events")
			if err != nil {
				t.Fatal(err)
			}
			listening.Go(func() {
				defer res.Body.Close()
				stream(res.Body, func(kind string) {
					mu.Lock()
					defer mu.Unlock()
					heard[kind] = append(heard[kind], time.Since(start))
				})
			})
		}
		b := newBench(t)
		b.call(b.shape(7*time.Second + 300*time.Millisecond))
		ringer := alerts.New(alerts.Config{Book: b.store, Hub: hub, Now: b.now})
		var ringing sync.WaitGroup
		ringing.Go(func() { ringer.Run(ctx) })
		time.Sleep(10 * time.Second)
		hub.Publish(live.Tap{Day: b.day, Task: "A.1", Tap: "ack"})
		time.Sleep(10 * time.Second)
		cancel()
		ringing.Wait()
		listening.Wait()
		srv.Close()

		for kind, due := range map[string]time.Duration{"alert": 7300 * time.Millisecond, "tap": 10 * time.Second} {
			if len(heard[kind]) != screens {
				t.Errorf("%d screens heard the %s, want %d", len(heard[kind]), kind, screens)
			}
			for _, at := range heard[kind] {
				if late := at - due; late < 0 || late > time.Second {
					t.Errorf("a screen heard the %s %v after it was due", kind, late)
				}
			}
		}
	})
}

// A week of 40 calls a day, half of them answered, each day planned three times,
// fifty screens: what is held in memory on the last day is what was held on the
// second.
func TestWeekKeepsMemoryFlat(t *testing.T) {
	if testing.Short() {
		t.Skip("a week of calls takes some seconds")
	}
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t)
		s := live.NewScreens(live.NewHub())
		ringer := alerts.New(alerts.Config{Book: b.store, Hub: b, Screens: s, Now: b.now})
		b.ringer = ringer
		ctx, cancel := context.WithCancel(t.Context())
		var wg sync.WaitGroup
		wg.Go(func() { ringer.Run(ctx) })
		var held []uint64
		rings := 0
		for day := range 7 {
			for version := range 3 {
				var calls []schedule.Alert
				for i := range 40 {
					calls = append(calls, b.shape(time.Duration(day)*24*time.Hour+time.Duration(10+i*20+version)*time.Minute))
				}
				b.call(calls...)
			}
			for range 24 * 4 {
				time.Sleep(15 * time.Minute)
				now := b.now()
				s.Report(now, live.Screen{ID: now.String(), Sound: true, Visible: true})
				all, err := b.store.Alerts(t.Context(), b.day)
				if err != nil {
					t.Fatal(err)
				}
				for _, a := range all {
					if a.ID%2 == 0 && a.State == record.Rung {
						tap := record.Tap{ID: now.String() + a.Task, Day: b.day, Version: 3 * (day + 1), Task: a.Task, Kind: record.Finished, At: now, Recorded: now}
						if _, err := b.store.Tap(t.Context(), tap); err != nil {
							t.Fatal(err)
						}
					}
				}
			}
			synctest.Wait()
			b.mu.Lock()
			rings += len(b.told)
			b.told = nil
			b.mu.Unlock()
			held = append(held, heap())
		}
		cancel()
		wg.Wait()
		t.Logf("%d events; held at the end of each day: %v bytes", rings, held)
		const noise = 256 << 10 // of a collector that runs beside; one leaked timer or call a beat would be more
		if held[6] > held[1]+noise {
			t.Errorf("%d bytes held on the last day, %d on the second", held[6], held[1])
		}
	})
}

// heap is what is held: the least of some counts, as finalizers and the collector run
// beside.
func heap() uint64 {
	least := uint64(math.MaxUint64)
	for range 5 {
		runtime.GC()
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		least = min(least, m.HeapAlloc)
	}
	return least
}

// From the moment a call is due in the database to the last of fifty screens on
// real connections.
func BenchmarkRingToFiftyScreens(b *testing.B) {
	st := storetest.Open(b)
	day, err := st.CreateDay(b.Context(), record.Day{Date: "2000-01-01", Zone: "Europe/Dublin"})
	if err != nil {
		b.Fatal(err)
	}
	hub := live.NewHub()
	srv := httptest.NewServer(hub)
	defer srv.Close()
	defer srv.CloseClientConnections()
	heard := make(chan bool, screens)
	for range screens {
		res, err := http.Get(srv.URL)
		if err != nil {
			b.Fatal(err)
		}
		go stream(res.Body, func(kind string) {
			if kind == "alert" {
				heard <- true
			}
		})
	}
	ctx, cancel := context.WithCancel(b.Context())
	ringer := alerts.New(alerts.Config{Book: st, Hub: hub, Log: slog.New(slog.DiscardHandler)})
	var wg sync.WaitGroup
	wg.Go(func() { ringer.Run(ctx) })
	b.ReportAllocs()
	for n := 0; b.Loop(); n++ {
		b.StopTimer()
		now := time.Now()
		p := schedule.Plan{Tasks: []schedule.Task{{ID: "A.1", Kind: schedule.Fold}}}
		call := []schedule.Alert{{Task: "A.1", Kind: schedule.CallStart, Class: schedule.HeadsUp, Due: now.Add(time.Duration(n) * time.Hour * -1)}}
		p.Tasks[0].Name = now.String() // another dough each time
		if _, err := st.SavePlan(ctx, day, schedule.Day{}, p, call, now); err != nil {
			b.Fatal(err)
		}
		b.StartTimer()
		ringer.Wake()
		for range screens {
			<-heard
		}
	}
	cancel()
	wg.Wait()
}
