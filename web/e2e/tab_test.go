package e2e_test

import (
	"context"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/chromedp"
)

// call is a command of the protocol as a step.
func call[P, R any](command cdp.Command[P, R], params P) chromedp.Action[chromedp.Void] {
	return func(ctx context.Context, t *chromedp.Target) (chromedp.Void, error) {
		_, err := cdp.Call(ctx, t, command, params)
		return chromedp.Void{}, err
	}
}

func (b *tab) do(steps ...chromedp.Action[chromedp.Void]) {
	b.Helper()
	ctx, stop := context.WithTimeout(b.ctx, patience)
	defer stop()
	if err := chromedp.Do(ctx, steps...); err != nil {
		b.picture("failed")
		b.Fatalf("%v (at %s)", err, b.where())
	}
}

// evaluate gives the value of a JavaScript expression, a promise's when it is
// kept.
func evaluate[T any](b *tab, expression string) T {
	b.Helper()
	ctx, stop := context.WithTimeout(b.ctx, patience)
	defer stop()
	v, err := chromedp.Run(ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	if err != nil {
		b.picture("failed")
		b.Fatalf("%.80s: %v", expression, err)
	}
	return v
}

// visit goes to a path and wants a page, not an error page.
func (b *tab) visit(path string) {
	b.Helper()
	ctx, stop := context.WithTimeout(b.ctx, patience)
	defer stop()
	response, err := chromedp.Run(ctx, chromedp.NavigateResponse(b.base+path))
	if err != nil {
		b.Fatalf("%s: %v", path, err)
	}
	if response.Status != 200 {
		b.picture("failed")
		b.Fatalf("%s answers %d", path, response.Status)
	}
}

// submit clicks what sends a form and waits for the page that answers.
func (b *tab) submit(css string) {
	b.Helper()
	ctx, stop := context.WithTimeout(b.ctx, patience)
	defer stop()
	response, err := chromedp.RunResponse(ctx, chromedp.Click(chromedp.CSS(css), chromedp.NodeVisible))
	if err != nil {
		b.picture("failed")
		b.Fatalf("click on %s: %v", css, err)
	}
	if response.Status != 200 && !b.allowed(response.Status) {
		b.Fatalf("click on %s answers %d", css, response.Status)
	}
}

// allow says that an answer with a status is no fault on this journey.
func (b *tab) allow(status int64) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.statuses = append(b.statuses, status)
}

func (b *tab) allowed(status int64) bool {
	b.mu.Lock()
	defer b.mu.Unlock()
	return slices.Contains(b.statuses, status)
}

// text is what a person reads of the first match.
func (b *tab) text(css string) string {
	b.Helper()
	return evaluate[string](b, fmt.Sprintf(`document.querySelector(%q)?.innerText ?? ""`, css))
}

// texts is what a person reads of every match.
func (b *tab) texts(css string) []string {
	b.Helper()
	return evaluate[[]string](b, fmt.Sprintf(`[...document.querySelectorAll(%q)].map(e => e.innerText.trim())`, css))
}

func (b *tab) where() string {
	at, err := chromedp.Run(b.ctx, chromedp.Location())
	if err != nil {
		return "?"
	}
	return strings.TrimPrefix(at, b.base)
}

// picture keeps a screenshot of the whole page with the test's artifacts, where
// they are kept (-artifacts).
func (b *tab) picture(name string) {
	b.Helper()
	if kept := flag.Lookup("test.artifacts"); kept == nil || kept.Value.String() != "true" {
		return
	}
	png, err := chromedp.Run(b.ctx, chromedp.FullScreenshot(100))
	if err != nil {
		b.Logf("no picture: %v", err)
		return
	}
	if err := os.WriteFile(filepath.Join(b.ArtifactDir(), name+".png"), png, 0o644); err != nil {
		b.Error(err)
	}
}
