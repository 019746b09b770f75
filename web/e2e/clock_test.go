package e2e_test

import (
	"fmt"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	permit "github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// clockOff sets the clock of a browser off, before any page of it is read.
func (b *tab) clockOff(by time.Duration) {
	b.Helper()
	b.do(call(page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: fmt.Sprintf(`{
		const Right = Date; window.off = %d;
		Date = class extends Right { constructor(...at) { at.length ? super(...at) : super(Right.now() + window.off); } static now() { return Right.now() + window.off; } };
	}`, by.Milliseconds())}))
}

// On a phone whose clock is hours off the page goes by the program's clock, calls
// come, and it is said. A clock that is set while the page is open, a sleep of
// screen and computer, and a computer's clock set back are told apart.
func TestPhoneWithAnotherClock(t *testing.T) {
	s := newStage(t, 5*time.Second)
	b := open(t, s.base, phone)
	b.clockOff(s.off + 3*time.Hour + 10*time.Second)
	b.visit("/days/1/now")
	if got := b.text("#clock"); !strings.Contains(got, "clock is 3 h 00 fast; times here go by the program's") {
		t.Errorf("of its clock it says %q", got)
	}
	b.await(`document.querySelector('#calls-now')?.dataset.count === '1'`)
	b.await(fmt.Sprintf(`document.querySelector('.clock').innerText >= %q`, s.call.Due.Format("15:04")))
	if shown, is := b.text(".clock"), s.now().In(s.call.Due.Location()).Format("15:04"); shown > is {
		t.Errorf("its clock shows %s, the program's %s", shown, is)
	}
	set := func(by time.Duration) {
		evaluate[bool](b, fmt.Sprintf(`(window.off += %d, true)`, by.Milliseconds()))
	}
	set(-3 * time.Hour)
	b.await(`document.querySelector('#clock').hidden`)
	set(time.Hour)
	b.await(`/^This screen's clock is 1 h 00 fast/.test(document.querySelector('#clock').innerText)`)
	set(-time.Hour)
	b.await(`document.querySelector('#clock').hidden`)
	s.skip(20 * time.Minute)
	b.await(`/^The computer slept, or its clock was set on, for 20 min/.test(document.querySelector('#clock').innerText)`)
	set(20 * time.Minute)
	b.await(`document.querySelector('#clock').innerText === "This screen was asleep for 20 min and rang nothing meanwhile."`)
	s.skip(-10 * time.Minute)
	b.await(`/The computer's clock was set back by 10 min.*This screen's clock is 10 min fast/.test(document.querySelector('#clock').innerText)`)
}

// A call of another day than the page's, and one heard where no day is shown, is
// pointed to until it is answered.
func TestCallOfAnotherDay(t *testing.T) {
	s := newStage(t, 15*time.Second)
	other, house, hand := open(t, s.base, desktop), open(t, s.base, phone), open(t, s.base, phone)
	other.visit("/days/1")
	second := evaluate[string](other, fmt.Sprintf(`fetch('/days', { method: 'POST', body: new URLSearchParams(%q) }).then(r => r.url)`,
		url.Values{"key": {"second"}, "name": {"second"}, "date": {"2026-12-05"}, "zone": {"Europe/Dublin"}, "like": {"1"}}.Encode()))
	other.visit(strings.TrimPrefix(second, s.base))
	house.visit("/breads")
	hand.visit("/days/1/sheet")
	for _, b := range []*tab{other, house} {
		b.await(`/call rings.*: open Now/.test(document.querySelector('#rings').innerText) && document.title.startsWith('● 1')`)
		if to := b.attribute("#rings", "href"); to != "/days/1/now" {
			t.Errorf("it leads to %s", to)
		}
	}
	hand.await(`document.querySelector('#calls form[data-kind=ack] button') !== null`)
	hand.click(`#calls form[data-kind=ack] button`)
	for _, b := range []*tab{other, house} {
		took := b.await(`document.querySelector('#rings').hidden && !document.title.startsWith('●')`)
		t.Logf("silent after %v", took)
	}
}

// A browser that refuses a ring's sound is no longer said to give it, anywhere,
// until it is touched; the call is a notification all the same, with buttons,
// although the page Now shows it without.
func TestRingRefused(t *testing.T) {
	s := newStage(t, 15*time.Second)
	b, office := open(t, s.base, desktop), open(t, s.base, phone)
	b.visit("/days/1/now")
	office.visit("/breads")
	b.do(call(permit.SetPermission, permit.SetPermissionParams{
		Origin: s.base, Permission: &permit.PermissionDescriptor{Name: "notifications"}, Setting: permit.PermissionSettingGranted,
	}))
	b.arm()
	office.await(`/This screen can ring/.test(document.querySelector('#ringing').innerText)`)
	evaluate[bool](b, `(window.play = HTMLMediaElement.prototype.play, HTMLMediaElement.prototype.play = () => Promise.reject(new DOMException('no', 'NotAllowedError')), true)`)
	for _, screen := range []*tab{b, office} {
		screen.await(`/lost its sound/.test(document.querySelector('#ringing').innerText)`)
	}
	var actions []string
	for end := time.Now().Add(patience); len(actions) == 0 && time.Now().Before(end); time.Sleep(200 * time.Millisecond) {
		actions = evaluate[[]string](b, `(async () => (await (await navigator.serviceWorker.ready).getNotifications()).flatMap(n => n.actions.map(a => a.action)))()`)
	}
	if !slices.Equal(actions, []string{"done", "ack"}) {
		t.Errorf("the notification has the buttons %v", actions)
	}
	evaluate[bool](b, `(HTMLMediaElement.prototype.play = window.play, true)`)
	b.click("h1")
	office.await(`/This screen can ring/.test(document.querySelector('#ringing').innerText)`)
}

// What is said of a screen is so, there and elsewhere: where the browser gives no sound
// from the first, where notifications are refused, where the page is hidden, and where
// a sound that was had is refused at the next test. All tabs of a browser are one screen.
func TestArmedTellsTheTruth(t *testing.T) {
	s := newStage(t, time.Hour)
	b, office := open(t, s.base, desktop), open(t, s.base, phone)
	b.visit("/days/1/sheet")
	office.visit("/breads")
	b.do(call(permit.SetPermission, permit.SetPermissionParams{
		Origin: s.base, Permission: &permit.PermissionDescriptor{Name: "notifications"}, Setting: permit.PermissionSettingDenied,
	}))
	const refuse = `(window.play ??= HTMLMediaElement.prototype.play, HTMLMediaElement.prototype.play = () => Promise.reject(new DOMException('no', 'NotAllowedError')), true)`
	said := func(at *tab, words string) {
		t.Helper()
		at.await(fmt.Sprintf(`(document.querySelector('#ringing').textContent + ' | ' + document.querySelector('#screens').textContent).includes(%q)`, words))
	}
	press := func() { b.do(chromedp.Click(chromedp.CSS("#arm"), chromedp.NodeVisible)) }

	evaluate[bool](b, refuse)
	press()
	b.await(`document.querySelector('#arm-note').textContent.includes('The browser gave no sound')`)
	if !b.holds(`!document.body.dataset.armed && document.querySelector('#heard').hidden && document.querySelector('#arm-note').textContent.includes('Notifications are not allowed here')`) {
		t.Errorf("without sound it says %q", b.text("#armed"))
	}
	said(office, "No screen can ring yet")

	evaluate[bool](b, `(HTMLMediaElement.prototype.play = window.play, true)`)
	b.arm()
	said(office, "This screen can ring")
	if got := b.text("#arm-note"); !strings.Contains(got, "Notifications are not allowed here") {
		t.Errorf("with notifications refused it says %q", got)
	}

	hide := func(hidden string) {
		evaluate[bool](b, `(Object.defineProperty(document, 'hidden', { configurable: true, get: () => `+hidden+` }), document.dispatchEvent(new Event('visibilitychange')), true)`)
	}
	hide("true")
	said(office, "No screen is sure to be heard")
	said(office, "hidden, sound")
	hide("false")
	said(office, "This screen can ring")

	evaluate[bool](b, refuse)
	press()
	said(b, "This screen lost its sound")
	said(office, "This screen lost its sound")
}
