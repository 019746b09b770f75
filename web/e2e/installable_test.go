package e2e_test

import (
	"context"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// The program can be put on the screen of a phone: Chromium finds no fault in
// the manifest, and can draw its icon.
func TestInstallable(t *testing.T) {
	b := open(t, serve(t), phone)
	b.visit("/days/1")
	b.do(func(ctx context.Context, target *chromedp.Target) (chromedp.Void, error) {
		manifest, err := cdp.Call(ctx, target, page.GetAppManifest, page.GetAppManifestParams{})
		if err != nil {
			return chromedp.Void{}, err
		}
		for _, e := range manifest.Errors {
			t.Errorf("manifest, line %d: %s", e.Line, e.Message)
		}
		found, err := cdp.Call(ctx, target, page.GetInstallabilityErrors, cdp.Empty{})
		for _, e := range found.InstallabilityErrors {
			t.Errorf("cannot be installed: %s %v", e.ErrorID, e.ErrorArguments)
		}
		return chromedp.Void{}, err
	})
}
