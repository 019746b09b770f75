// Package e2e walks through the program in a real browser, as a baker would.
package e2e_test

import (
	"context"
	"errors"
	"fmt"
	"net/url"
	"os"
	"os/exec"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
)

// browser is started once, by the first test that needs it, and ended by
// TestMain.
var browser = sync.OnceValues(func() (context.Context, error) {
	path, err := chromium()
	if err != nil {
		return nil, err
	}
	ctx, _ := chromedp.NewExecAllocator(context.Background(), append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(path), chromedp.DisableGPU, chromedp.WSURLReadTimeout(patience),
		chromedp.NoSandbox, // which not every machine lets it have; it sees no pages but ours
		chromedp.Flag("host-resolver-rules", "MAP *.test 127.0.0.1"), // names by which other machines call this one
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true))...)
	ctx, _ = chromedp.NewContext(ctx)
	return ctx, chromedp.Do(ctx)
})

var errNoBrowser = errors.New("no Chromium on this machine")

func chromium() (string, error) {
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			return path, nil
		}
	}
	return "", errNoBrowser
}

func TestMain(m *testing.M) {
	code := m.Run()
	if _, err := chromium(); err == nil {
		if ctx, err := browser(); err == nil {
			_ = chromedp.Cancel(ctx)
		}
	}
	os.Exit(code)
}

// look is how a page is looked at.
type look struct {
	name          string
	width, height int64
	dark          bool
	noScript      bool
}

var (
	phone   = look{name: "phone", width: 390, height: 844}
	desktop = look{name: "desktop", width: 1280, height: 800}
	night   = look{name: "desktop, dark", width: 1280, height: 800, dark: true}
	plain   = look{name: "phone, no script", width: 390, height: 844, noScript: true}
)

// tab is one open page.
type tab struct {
	*testing.T
	ctx  context.Context
	base string

	mu       sync.Mutex
	statuses []int64  // besides 200, that are no fault
	noise    []string // of the browser's messages, no fault either
	faults   []string // what the browser complained of, and requests that went elsewhere
}

// How long a step, and a whole test, may take on a slow machine before it is
// given up.
const (
	patience = 5 * time.Minute
	longest  = 30 * time.Minute
)

// open opens a tab on a program at base. When the test ends the browser must not
// have complained and nothing must have been asked of another machine.
func open(t *testing.T, base string, l look) *tab {
	t.Helper()
	parent, err := browser()
	switch {
	case errors.Is(err, errNoBrowser) && os.Getenv("CI") != "true":
		t.Skip("SKIPPED: no Chromium here; install it (apt-get install chromium) to walk through the program in a browser")
	case err != nil:
		t.Fatal(err)
	}
	b := &tab{T: t, base: base}
	tabCtx, closeTab := chromedp.NewContext(parent, chromedp.WithListener(b.hear))
	t.Cleanup(closeTab)
	if err := chromedp.Do(tabCtx); err != nil {
		t.Fatal(err)
	}
	go b.read(tabCtx)
	ctx, stop := context.WithTimeout(tabCtx, longest)
	t.Cleanup(stop)
	b.ctx = ctx
	b.set(l)
	t.Cleanup(b.judge)
	return b
}

// set makes the tab look at pages in another way from the next one on.
func (b *tab) set(l look) {
	b.Helper()
	scheme := map[bool]string{false: "light", true: "dark"}[l.dark]
	b.do(
		chromedp.EmulateViewport(l.width, l.height),
		call(emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{
			{Name: "prefers-color-scheme", Value: scheme}, {Name: "prefers-reduced-motion", Value: "reduce"},
		}}),
		call(emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: l.noScript}),
		call(network.Enable, network.EnableParams{}),
	)
}

// hear runs in the browser's loop: it only notes.
func (b *tab) hear(event any) {
	e, ok := event.(*network.EventRequestWillBeSent)
	if !ok {
		return
	}
	if u, err := url.Parse(e.Request.URL); err == nil && u.Scheme != "data" && u.Hostname() != "127.0.0.1" && !strings.HasSuffix(u.Hostname(), ".test") {
		b.note("request to another machine: " + e.Request.URL)
	}
}

// read notes what the browser writes to its console.
func (b *tab) read(ctx context.Context) {
	for m, err := range chromedp.Console(ctx) {
		if err != nil {
			return
		}
		if m.IsException() || m.Type == "error" || m.Type == "warning" {
			if !b.expected(m.Text) {
				b.note("console: " + m.String() + " at " + m.URL)
			}
		}
	}
}

// iconLeft is said of a page that is left before its icon has come, by the page
// that follows it. TestInstallable looks at the icon itself.
const iconLeft = "icon from the Manifest"

// expected reports whether the browser tells of an answer the journey allows.
func (b *tab) expected(message string) bool {
	if strings.Contains(message, iconLeft) {
		return true
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	return slices.ContainsFunc(b.noise, func(part string) bool { return strings.Contains(message, part) }) || slices.ContainsFunc(b.statuses, func(status int64) bool {
		return strings.Contains(message, fmt.Sprintf("responded with a status of %d ", status))
	})
}

// hush says that messages with some words are no fault from now on.
func (b *tab) hush(words string) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.noise = append(b.noise, words)
}

func (b *tab) note(what string) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.faults = append(b.faults, what)
}

func (b *tab) judge() {
	b.mu.Lock()
	defer b.mu.Unlock()
	if len(b.faults) > 0 {
		b.Errorf("the browser complains:\n%s", strings.Join(b.faults, "\n"))
	}
}
