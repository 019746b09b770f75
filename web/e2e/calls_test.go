package e2e_test

import (
	"context"
	"encoding/json"
	"fmt"
	"net"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	permit "github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"ovenward/schedule"
	"ovenward/static"
	"ovenward/store/record"
	"ovenward/store/storetest"
	"ovenward/testdata"
	"ovenward/web"
	"ovenward/web/alerts"
	"ovenward/web/live"
	"ovenward/web/webtest"
)

// stage is the program with a clock of its own, on the example day, shortly
// before a call that has room rings.
type stage struct {
	base string
	call record.Alert
	now  func() time.Time    // the program's clock
	skip func(time.Duration) // sets it
	off  time.Duration       // its own, from the machine's, at first
}

// bell passes on what the pages publish.
type bell struct {
	*live.Hub
	wake func()
}

func (b bell) Publish(e live.Event) {
	b.Hub.Publish(e)
	b.wake()
}

func newStage(t *testing.T, before time.Duration) stage {
	t.Helper()
	st := storetest.Open(t)
	var d schedule.Day
	if err := json.Unmarshal(testdata.Example, &d); err != nil {
		t.Fatal(err)
	}
	d.Now = ""
	id, err := st.ImportDay(t.Context(), d)
	if err != nil {
		t.Fatal(err)
	}
	p, err := webtest.Example()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := st.SavePlan(t.Context(), id, p.Day, p.Plan, schedule.Alerts(&p.Plan), p.Plan.Made); err != nil {
		t.Fatal(err)
	}
	all, err := st.Alerts(t.Context(), id)
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(all, func(a record.Alert) bool { return a.Kind == schedule.CallStart && a.TooFar.Sub(a.Due) > 16*time.Minute })
	s := stage{call: all[i]}
	for _, a := range all[:i] { // what came before is done
		tap := record.Tap{ID: fmt.Sprint("before-", a.ID), Day: id, Version: 1, Task: a.Task, Kind: record.Finished, At: a.Due, Recorded: a.Due}
		if _, err := st.Tap(t.Context(), tap); a.Task != s.call.Task && err != nil {
			t.Fatal(err)
		}
	}
	s.off = time.Until(s.call.Due.Add(-before))
	var skew atomic.Int64
	skew.Store(int64(s.off))
	s.now = func() time.Time { return time.Now().Add(time.Duration(skew.Load())).Round(0) }
	hub := live.NewHub()
	screens := live.NewScreens(hub)
	ringer := alerts.New(alerts.Config{Book: st, Hub: hub, Screens: screens, Now: s.now})
	s.skip = func(by time.Duration) { skew.Add(int64(by)); ringer.Wake() }
	h, err := web.New(web.Config{Store: st, Hub: bell{hub, ringer.Wake}, Screens: screens, Static: static.FS, Now: s.now, Patience: patience})
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.WithoutCancel(t.Context())) // that of a test ends before its tabs are judged
	srv := httptest.NewUnstartedServer(h)
	srv.Config.BaseContext = func(net.Listener) context.Context { return ctx }
	srv.Start()
	var wg sync.WaitGroup
	wg.Go(func() { ringer.Run(ctx) })
	t.Cleanup(func() { cancel(); wg.Wait(); srv.CloseClientConnections(); srv.Close() })
	s.base = srv.URL
	return s
}

// await waits until an expression of the page holds, and tells how long it took. What
// rings again does so every two minutes at the latest.
func (b *tab) await(expression string) time.Duration {
	b.Helper()
	ms := evaluate[float64](b, fmt.Sprintf(`new Promise((kept, not) => {
		const from = performance.now();
		const look = setInterval(() => {
			if (%s) { clearInterval(look); kept(performance.now() - from); }
			else if (performance.now() - from > %d) { clearInterval(look); not(new Error('waited in vain')); }
		}, 10);
	})`, expression, (patience*9/10).Milliseconds()))
	return time.Duration(ms * float64(time.Millisecond))
}

// listenIn notes every sound the page plays.
const listenIn = `{ window.played = []; const play = HTMLMediaElement.prototype.play;
	HTMLMediaElement.prototype.play = function () { window.played.push(this.src.split('/').pop()); return play.call(this); }; }`

func (b *tab) arm() {
	b.Helper()
	b.do(chromedp.Click(chromedp.CSS("#arm"), chromedp.NodeVisible))
	b.await(`document.body.dataset.armed === '1'`)
}

// A browser opens six connections to a host at once; with a stream in each tab
// the seventh tab could not even load.
func TestSevenTabs(t *testing.T) {
	s := newStage(t, time.Hour)
	var tabs []*tab
	for range 7 {
		b := open(t, s.base, phone)
		b.visit("/days/1/sheet")
		tabs = append(tabs, b)
	}
	first, last := tabs[0], tabs[6]
	last.await(`document.querySelector('#screens').textContent !== ''`)
	// one tap in the first is known in the last
	first.visit("/days/1/now")
	before := last.text("main")
	evaluate[bool](last, fmt.Sprintf(`(window.before = %q, true)`, before))
	evaluate[bool](first, `(document.querySelector(".card form.main button").click(), true)`) // the page may be set anew under a slower finger
	took := last.await(`document.querySelector('.undo') !== null`)
	t.Logf("the seventh tab knew of a tap in the first after %v", took)
}

// One browser arms, another sees so; the call is heard where it is armed, and on it
// anywhere silences it. That it does so within a second is held where time is the
// test's own, in web/alerts.
func TestCallIsHeardAndSilenced(t *testing.T) {
	s := newStage(t, 20*time.Second)
	bench, office := open(t, s.base, desktop), open(t, s.base, phone)
	bench.visit("/days/1/sheet")
	evaluate[bool](bench, listenIn+`true`)
	office.visit("/days/1/sheet")
	// nobody is armed and a call is near: every page says so
	office.await(`!document.querySelector('#unheard').hidden`)
	bench.arm()
	office.await(`document.querySelector('#unheard').hidden && /: sound/.test(document.querySelector('#screens').textContent)`)
	bench.await(`/\(this\).*: sound, screen kept on/.test(document.querySelector('#screens').textContent)`) // a wake lock is held
	if text := bench.text("#heard"); !strings.Contains(text, "Could you hear it") {
		t.Errorf("it does not ask whether it was heard: %q", text)
	}
	bench.do(chromedp.Click(chromedp.CSS(`[data-heard=yes]`), chromedp.NodeVisible))
	if played := evaluate[[]string](bench, `window.played`); !slices.Contains(played, "a.wav") {
		t.Errorf("arming played %v", played)
	}

	bench.await(`window.played.includes('b.wav')`)
	office.await(`document.querySelector('#calls-now')?.dataset.count === '1'`)
	office.do(chromedp.Click(chromedp.CSS(`#calls form[data-kind=ack] button`), chromedp.NodeVisible))
	took := bench.await(`document.querySelector('#calls-now').dataset.count === '0'`)
	t.Logf("silent %v after the tap elsewhere had been sent", took)
	if text := bench.text("#calls"); !strings.Contains(text, "Somebody is on it") {
		t.Errorf("the bench says %q", text)
	}
	if state := evaluate[string](bench, `document.title`); strings.HasPrefix(state, "●") {
		t.Errorf("the title still rings: %s", state)
	}

	// on the next page of the tab the sound goes on; when it is left, none is there
	bench.submit(`nav a[href="/breads"]`)
	bench.await(`document.body.dataset.armed === '1' && /: sound/.test(document.querySelector('#screens').textContent)`)
	bench.do(chromedp.Navigate("about:blank"))
	office.do(call(page.BringToFront, cdp.Empty{}))
	took = office.await(`/no sound/.test(document.querySelector('#screens').textContent)`)
	t.Logf("known to be silent %v after it was left", took)
}

// On this machine's own address a call is a notification of the system, whose
// buttons post what the page's would.
func TestCallIsANotification(t *testing.T) {
	s := newStage(t, 10*time.Second)
	b := open(t, s.base, desktop)
	b.visit("/days/1/sheet")
	b.do(call(permit.SetPermission, permit.SetPermissionParams{
		Origin: s.base, Permission: &permit.PermissionDescriptor{Name: "notifications"}, Setting: permit.PermissionSettingGranted,
	}))
	b.arm()
	const notes = `(async () => (await (await navigator.serviceWorker.ready).getNotifications()).map(n =>
		({ title: n.title, actions: n.actions.map(a => a.action), to: n.data.forms.ack?.to, kind: Object.fromEntries(n.data.forms.ack?.fields ?? []).kind })))()`
	type note struct {
		Title, To, Kind string
		Actions         []string
	}
	var got []note
	for end := time.Now().Add(patience); len(got) == 0 && time.Now().Before(end); time.Sleep(200 * time.Millisecond) {
		got = evaluate[[]note](b, notes)
	}
	if len(got) != 1 || got[0].To != "/days/1/tap" || got[0].Kind != "ack" || !slices.Equal(got[0].Actions, []string{"done", "ack"}) {
		t.Fatalf("notifications %+v", got)
	}
	// answered on the page, it goes
	b.do(chromedp.Click(chromedp.CSS(`#calls form[data-kind=ack] button`), chromedp.NodeVisible))
	for end := time.Now().Add(patience); len(got) > 0 && time.Now().Before(end); time.Sleep(200 * time.Millisecond) {
		got = evaluate[[]note](b, notes)
	}
	if len(got) > 0 {
		t.Errorf("it stays: %+v", got)
	}
	if r, err := http.Get(s.base + "/sw.js"); err != nil || r.StatusCode != http.StatusOK {
		t.Errorf("the worker: %v, %v", r, err)
	}
}
