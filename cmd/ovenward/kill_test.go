//go:build unix

package main

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"net/url"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"sync"
	"testing"
	"time"

	"ovenward/store"
)

// A tap that was answered is on disk, whenever the program is killed: SIGKILL
// leaves it no moment to tidy up.
func TestKilledMidTap(t *testing.T) {
	if testing.Short() {
		t.Log("few kills with -short")
	}
	kills := map[bool]int{true: 3, false: 12}[testing.Short()]
	binary := build(t)
	dir := t.TempDir()
	random := rand.New(rand.NewPCG(1, 2))
	var j journal
	for n := range kills {
		j.hammer(t, binary, dir, n, time.Duration(random.IntN(250))*time.Millisecond)
		j.audit(t, dir)
	}
	if len(j.answered) < kills*fewest {
		t.Errorf("only %d taps were answered in %d runs", len(j.answered), kills)
	}
	t.Logf("%d answered taps kept over %d kills", len(j.answered), kills)
}

func build(t *testing.T) string {
	t.Helper()
	binary := filepath.Join(t.TempDir(), "ovenward")
	if out, err := exec.Command("go", "build", "-o", binary, ".").CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	return binary
}

// journal is what a client knows to have been answered.
type journal struct {
	sync.Mutex
	answered []string // tap IDs
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

// fewest taps are answered in a run before it is killed, however busy the
// machine is.
const fewest = 5

// hammer taps from several clients until the program is killed, a while after
// it has answered some.
func (j *journal) hammer(t *testing.T, binary, dir string, run int, after time.Duration) {
	t.Helper()
	p := launch(t, binary, dir)
	tap, day, version, tasks := target(t, p.base)
	ctx, stop := context.WithCancel(t.Context())
	var clients sync.WaitGroup
	before := len(j.answered)
	enough := make(chan struct{})
	for c := range 4 {
		clients.Go(func() {
			client := http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
			for n := 0; ctx.Err() == nil; n++ {
				key := fmt.Sprintf("run%d-client%d-tap%d", run, c, n)
				res, err := client.PostForm(tap, url.Values{
					"key": {key}, "day": {day}, "version": {version}, "task": {tasks[n%len(tasks)]}, "kind": {"ack"},
				})
				if err != nil {
					return // killed
				}
				io.Copy(io.Discard, res.Body)
				res.Body.Close()
				if res.StatusCode != http.StatusSeeOther {
					t.Errorf("tap answered %s", res.Status)
					return
				}
				j.Lock()
				j.answered = append(j.answered, key)
				if len(j.answered) == before+fewest {
					close(enough)
				}
				j.Unlock()
			}
		})
	}
	select {
	case <-enough:
	case <-time.After(time.Minute):
		t.Error("a minute passed without enough answers")
	}
	time.Sleep(after) // the moment of the kill, not a wait for something
	if err := p.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	clients.Wait()
	stop()
	p.Wait()
}

// target finds where to tap on the example day.
func target(t *testing.T, base string) (tap, day, version string, tasks []string) {
	t.Helper()
	_, list := get(t, base+"/days")
	m := regexp.MustCompile(`/days/(\d+)`).FindStringSubmatch(list)
	if m == nil {
		t.Fatalf("no day in %s", list)
	}
	day = m[1]
	_, sheet := get(t, base+"/days/"+day)
	for _, m := range regexp.MustCompile(`data-t="([^"]+)"`).FindAllStringSubmatch(sheet, -1) {
		tasks = append(tasks, m[1])
	}
	if len(tasks) == 0 {
		t.Fatalf("no tasks in %.500s", sheet)
	}
	return base + "/days/" + day + "/tap", day, "1", tasks
}

// audit opens the database as the next start would and looks for every answered
// tap.
func (j *journal) audit(t *testing.T, dir string) {
	t.Helper()
	st, err := store.Open(t.Context(), filepath.Join(dir, "ovenward.db"))
	if err != nil {
		t.Fatal(err)
	}
	defer st.Close()
	days, err := st.Days(t.Context())
	if err != nil || len(days) != 1 {
		t.Fatalf("%d days, %v", len(days), err)
	}
	taps, err := st.Taps(t.Context(), days[0].ID)
	if err != nil {
		t.Fatal(err)
	}
	kept := map[string]bool{}
	for _, tap := range taps {
		if kept[tap.ID] {
			t.Errorf("tap %s is there twice", tap.ID)
		}
		kept[tap.ID] = true
	}
	for _, key := range j.answered {
		if !kept[key] {
			t.Errorf("tap %s was answered and is lost (of %s)", key, strconv.Itoa(len(j.answered)))
		}
	}
}
