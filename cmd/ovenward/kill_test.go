//go:build unix

package main

import (
	"bufio"
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"net/url"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"ovenward/schedule"
	"ovenward/store"
	"ovenward/store/record"
)

var kills = flag.Int("kills", 0, "how often to kill the program in TestKilled; 0 = a few dozen times")

// An answered request is on disk, whenever the program is killed: SIGKILL leaves
// it no moment to tidy up. Nothing answered is lost, nothing sent again is there
// twice, and every call has rung once.
func TestKilled(t *testing.T) {
	n := *kills
	if n == 0 {
		n = map[bool]int{true: 3, false: 24}[testing.Short()]
	}
	binary := build(t)
	random := rand.New(rand.NewPCG(1, 2))
	kept := map[string]int{}
	for done := 0; done < n; {
		b := bakery{binary: binary, dir: t.TempDir(), heard: map[[2]int64]bool{}}
		for ; done < n && b.runs < lifetime; done++ {
			if b.runs > 0 { // the example comes first
				b.calls(t)
			}
			b.hammer(t, time.Duration(random.IntN(250))*time.Millisecond)
			b.audit(t)
		}
		b.rest(t)
		for _, r := range b.answered {
			kept[r.kind]++
		}
		kept["ring"] += len(b.heard)
		t.Logf("%d kills: kept %v", done, kept)
	}
	if kept["tap"] < n*fewest || kept["day"] == 0 || kept["slip"] == 0 || kept["ring"] == 0 {
		t.Errorf("too little was answered: %v", kept)
	}
}

// lifetime is how many kills a bakery sees; its days would become too many.
const lifetime = 50

func build(t *testing.T) string {
	t.Helper()
	binary := filepath.Join(t.TempDir(), "ovenward")
	if out, err := exec.Command("go", "build", "-buildvcs=false", "-o", binary, ".").CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	return binary
}

// request is what a client asks the program to keep.
type request struct {
	kind, key string
	to        string // path
	form      url.Values
}

// bakery is a database whose program is killed again and again, and what its
// clients know.
type bakery struct {
	binary, dir string
	runs        int
	day         string // the example's
	tasks       []string
	starts      time.Duration // how long the program took to start

	sync.Mutex
	answered []request
	doubtful []request         // killed before the answer, to be sent again
	heard    map[[2]int64]bool // rings, as call and count, over all runs
}

// process is the program as a process of its own.
type process struct {
	*exec.Cmd
	base string
}

func launch(t *testing.T, binary, dir string) process {
	t.Helper()
	cmd := exec.Command(binary, "-addr", "127.0.0.1:0", "-data", dir)
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { cmd.Process.Kill() }) // if the test failed midway
	line, err := bufio.NewReader(out).ReadString('\n')
	base := regexp.MustCompile(`http://[^ ]+`).FindString(line)
	if base == "" {
		t.Fatalf("it said %q, %v", line, err)
	}
	return process{cmd, base}
}

// fewest taps are answered in a run before the program is killed, however busy
// the machine is.
const fewest = 5

// ringing is how many calls fall due while a run lasts.
const ringing = 20

// calls gives the bakery a day whose calls fall due in the second after the next
// start.
func (b *bakery) calls(t *testing.T) {
	t.Helper()
	st := b.open(t)
	defer st.Close()
	id, err := st.CreateDay(t.Context(), record.Day{Name: "calls", Date: "2026-01-01", Zone: "UTC"})
	if err != nil {
		t.Fatal(err)
	}
	var all []schedule.Alert
	for i := range ringing {
		due := time.Now().Add(b.starts + time.Duration(50*i)*time.Millisecond)
		all = append(all, schedule.Alert{Task: fmt.Sprintf("call-%d", i), Kind: schedule.CallHeadsUp, Class: schedule.HeadsUp, Due: due})
	}
	if _, err := st.SavePlan(t.Context(), id, schedule.Day{}, schedule.Plan{Zone: "UTC"}, all, time.Now()); err != nil {
		t.Fatal(err)
	}
}

func (b *bakery) open(t *testing.T) *store.Store {
	t.Helper()
	st, err := store.Open(t.Context(), filepath.Join(b.dir, databaseName), time.Now)
	if err != nil {
		t.Fatal(err)
	}
	return st
}

// launch starts the program, and notes how long that took.
func (b *bakery) launch(t *testing.T) process {
	t.Helper()
	from := time.Now()
	defer func() { b.starts = time.Since(from) }()
	return launch(t, b.binary, b.dir)
}

// hammer sends from several clients until the program is killed, a while after
// it has answered some.
func (b *bakery) hammer(t *testing.T, after time.Duration) {
	t.Helper()
	b.runs++
	p := b.launch(t)
	if b.runs == 1 {
		b.day, b.tasks = target(t, p.base)
	}
	ctx, stop := context.WithCancel(t.Context())
	var clients sync.WaitGroup
	enough := make(chan struct{})
	tapped := func(n int) {
		if n == fewest {
			close(enough)
		}
	}
	again := b.doubtful
	b.doubtful = nil
	taps := 0
	clients.Go(func() { b.listen(ctx, t, p.base) })
	clients.Go(func() {
		for _, r := range again {
			b.send(ctx, t, p.base, r, func() {})
		}
	})
	for c := range 3 {
		clients.Go(func() {
			for n := 0; b.send(ctx, t, p.base, b.tap(c, n), func() { taps++; tapped(taps) }); n++ {
			}
		})
	}
	clients.Go(func() {
		for n := 0; b.send(ctx, t, p.base, b.like(n), func() {}) && n < 3; n++ {
		}
	})
	clients.Go(func() {
		if b.runs%5 == 1 {
			b.send(ctx, t, p.base, b.warmer(), func() {})
		}
		for b.send(ctx, t, p.base, request{"screen", "", "/screens", url.Values{"id": {"bench"}, "sound": {"1"}}}, func() {}) {
			time.Sleep(5 * time.Millisecond)
		}
	})
	select {
	case <-enough:
	case <-time.After(patience):
		t.Error("not enough is answered")
	}
	time.Sleep(after) // the moment of the kill, not a wait for something
	if err := p.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	p.Wait()
	stop()
	clients.Wait()
}

// tap, like and warmer are what is asked for: a call answered, a day with orders,
// and a slip. What is killed before its answer leaves doubt.
func (b *bakery) tap(client, n int) request {
	key := fmt.Sprintf("run%d-client%d-tap%d", b.runs, client, n)
	return request{"tap", key, "/days/" + b.day + "/tap", url.Values{"key": {key}, "version": {"1"}, "task": {b.tasks[n%len(b.tasks)]}, "kind": {"ack"}}}
}

func (b *bakery) like(n int) request {
	name := fmt.Sprintf("day %d of run %d", n, b.runs)
	return request{"day", name, "/days", url.Values{"key": {name}, "name": {name}, "date": {"2031-03-01"}, "zone": {"Europe/Dublin"}, "like": {b.day}}}
}

func (b *bakery) warmer() request {
	key := fmt.Sprintf("run%d-slip", b.runs)
	return request{"slip", key, "/days/" + b.day + "/slip", url.Values{"key": {key}, "version": {"1"}, "do": {"place"}, "room.of": {"Bench"}, "room.celsius": {fmt.Sprint(18 + b.runs%8)}}}
}

// send asks, journals the answer, and reports whether there was one.
func (b *bakery) send(ctx context.Context, t *testing.T, base string, r request, answered func()) bool {
	client := http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	req, err := http.NewRequestWithContext(ctx, http.MethodPost, base+r.to, strings.NewReader(r.form.Encode()))
	if err != nil {
		t.Error(err)
		return false
	}
	req.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	res, err := client.Do(req)
	b.Lock()
	defer b.Unlock()
	if err != nil { // killed
		if r.kind != "screen" {
			b.doubtful = append(b.doubtful, r)
		}
		return false
	}
	defer res.Body.Close()
	page, _ := io.ReadAll(res.Body)
	if res.StatusCode != http.StatusSeeOther && r.kind != "screen" {
		t.Errorf("%s %s answered %s: %.300s", r.kind, r.key, res.Status, page)
		return false
	}
	b.answered = append(b.answered, r)
	if r.kind == "tap" {
		answered()
	}
	return true
}

// listen notes every ring a page hears; none is heard twice, not even after the
// program was started again.
func (b *bakery) listen(ctx context.Context, t *testing.T, base string) {
	req, err := http.NewRequestWithContext(ctx, http.MethodGet, base+"/events", nil)
	if err != nil {
		t.Error(err)
		return
	}
	res, err := http.DefaultClient.Do(req)
	if err != nil {
		return // killed
	}
	defer res.Body.Close()
	for lines := bufio.NewScanner(res.Body); lines.Scan(); {
		data, ok := strings.CutPrefix(lines.Text(), "data: ")
		var e struct {
			Calls []struct{ ID, Ring int64 }
		}
		if !ok || json.Unmarshal([]byte(data), &e) != nil {
			continue
		}
		b.Lock()
		for _, c := range e.Calls {
			if ring := [2]int64{c.ID, c.Ring}; b.heard[ring] {
				t.Errorf("ring %d of call %d was heard twice", c.Ring, c.ID)
			} else {
				b.heard[ring] = true
			}
		}
		b.Unlock()
	}
}

// target finds the example day and its tasks.
func target(t *testing.T, base string) (day string, tasks []string) {
	t.Helper()
	_, list := get(t, base+"/days")
	m := regexp.MustCompile(`/days/(\d+)`).FindStringSubmatch(list)
	if m == nil {
		t.Fatalf("no example in %s", list)
	}
	_, sheet := get(t, base+"/days/"+m[1])
	for _, m := range regexp.MustCompile(`data-t="([^"]+)"`).FindAllStringSubmatch(sheet, -1) {
		tasks = append(tasks, m[1])
	}
	if len(tasks) == 0 {
		t.Fatalf("no tasks in %.500s", sheet)
	}
	return m[1], tasks
}

// audit opens the database as the next start would and looks for everything that
// was answered.
func (b *bakery) audit(t *testing.T) {
	t.Helper()
	st := b.open(t)
	defer st.Close()
	days, err := st.Days(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	kept := map[string]int{}
	var orders int
	for _, d := range days {
		if d.Example {
			orders = len(d.Orders)
		}
	}
	for _, d := range days {
		kept["day "+d.Name]++
		if strings.HasPrefix(d.Name, "day ") && len(d.Orders) != orders {
			t.Errorf("%s has %d orders, want %d", d.Name, len(d.Orders), orders)
		}
		taps, err := st.Taps(t.Context(), d.ID)
		if err != nil {
			t.Fatal(err)
		}
		for _, tap := range taps {
			kept[map[bool]string{true: "slip ", false: "tap "}[tap.Kind == record.TapKind(schedule.RoomIs)]+tap.ID]++
		}
		if d.Version > 0 {
			b.rung(t, st, d.ID)
		}
	}
	for _, r := range b.answered {
		if n := kept[r.kind+" "+r.key]; n != 1 && r.kind != "screen" {
			t.Errorf("%s %q was answered and is there %d times", r.kind, r.key, n)
		}
	}
	for _, r := range b.doubtful {
		if n := kept[r.kind+" "+r.key]; n > 1 {
			t.Errorf("%s %q is there %d times", r.kind, r.key, n)
		}
	}
}

// rung wants every call to have rung first at most once, and as often as it
// counts.
func (b *bakery) rung(t *testing.T, st *store.Store, day int64) {
	t.Helper()
	log, err := st.AlertLog(t.Context(), day)
	if err != nil {
		t.Fatal(err)
	}
	first, all := map[int64]int{}, map[int64]int{}
	for _, s := range log {
		if s.From == record.Scheduled && (s.To == record.Rung || s.To == record.Missed) {
			first[s.Alert]++
		}
		if s.To == record.Rung || s.To == record.Missed || s.Reason == record.Again {
			all[s.Alert]++
		}
	}
	calls, err := st.Alerts(t.Context(), day)
	if err != nil {
		t.Fatal(err)
	}
	for _, a := range calls {
		if first[a.ID] > 1 || all[a.ID] != a.Rings {
			t.Errorf("call %d (%s) of day %d counts %d rings; %d first ones and %d in all are in its log", a.ID, a.Task, day, a.Rings, first[a.ID], all[a.ID])
		}
	}
}

// rest lets the program run until it has answered what is in doubt and every call
// has rung that a killed one left; and again, with new calls, until one was heard:
// on a slow machine all may have rung before anybody listened.
func (b *bakery) rest(t *testing.T) {
	t.Helper()
	for more := time.Duration(0); ; more = 2*more + time.Second {
		p := b.launch(t)
		ctx, stop := context.WithCancel(t.Context())
		var listener sync.WaitGroup
		listener.Go(func() { b.listen(ctx, t, p.base) })
		again := b.doubtful
		b.doubtful = nil
		for _, r := range again {
			b.send(ctx, t, p.base, r, func() {})
		}
		for end := time.Now().Add(patience); b.silent(t) > 0; time.Sleep(50 * time.Millisecond) {
			if time.Now().After(end) {
				t.Fatalf("%d calls have not rung", b.silent(t))
			}
		}
		if err := p.Process.Kill(); err != nil {
			t.Fatal(err)
		}
		p.Wait()
		stop()
		listener.Wait()
		b.audit(t)
		if len(b.heard) > 0 {
			return
		}
		if more > patience {
			t.Fatal("no call was heard")
		}
		b.starts += more
		b.calls(t)
	}
}

// silent counts calls that are due and have not rung, beside the running program.
func (b *bakery) silent(t *testing.T) (n int) {
	t.Helper()
	st, err := store.Look(t.Context(), filepath.Join(b.dir, databaseName))
	if err != nil {
		t.Fatal(err)
	}
	defer st.Close()
	days, err := st.Days(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range days {
		if d.Name != "calls" {
			continue
		}
		calls, err := st.Alerts(t.Context(), d.ID)
		if err != nil {
			t.Fatal(err)
		}
		for _, a := range calls {
			if a.Rings == 0 {
				n++
			}
		}
	}
	return n
}
