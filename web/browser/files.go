package browser

import (
	"context"
	"fmt"
	"os"
	"path/filepath"

	cdpbrowser "github.com/chromedp/cdproto/browser"
	"github.com/chromedp/chromedp"
)

// Upload puts files into the first file input that a CSS selector finds, as
// the picker would.
func (p *Phone) Upload(selector string, files ...string) error {
	ctx, cancel := p.limited()
	defer cancel()
	for i, f := range files {
		abs, err := filepath.Abs(f)
		if err != nil {
			return err
		}
		if _, err := os.Stat(abs); err != nil {
			return err
		}
		files[i] = abs
	}
	return chromedp.Do(ctx, chromedp.SetUploadFiles(chromedp.CSS(selector), files))
}

// Download does what begins a download and returns the name and the content
// of the file that comes.
func (p *Phone) Download(begin func() error) (name string, content []byte, err error) {
	dir, err := os.MkdirTemp("", "isthmus-download-")
	if err != nil {
		return "", nil, err
	}
	defer os.RemoveAll(dir)
	ctx, cancel := p.limited()
	defer cancel()
	begun := chromedp.BrowserEvents(ctx, cdpbrowser.DownloadWillBegin)
	moved := chromedp.BrowserEvents(ctx, cdpbrowser.DownloadProgress)
	_, err = chromedp.CallBrowser(ctx, cdpbrowser.SetDownloadBehavior, cdpbrowser.SetDownloadBehaviorParams{
		Behavior:         cdpbrowser.SetDownloadBehaviorBehaviorAllowAndName,
		BrowserContextID: chromedp.FromContext(p.ctx).BrowserContextID,
		DownloadPath:     dir,
		EventsEnabled:    new(true),
	})
	if err != nil {
		return "", nil, err
	}
	if err := begin(); err != nil {
		return "", nil, err
	}
	guid := ""
	for ev, err := range begun {
		if err != nil {
			return "", nil, fmt.Errorf("browser: no download began: %w", err)
		}
		guid, name = ev.GUID, ev.SuggestedFilename
		break
	}
	for ev, err := range moved {
		if err != nil {
			return "", nil, fmt.Errorf("browser: the download of %s did not end: %w", name, err)
		}
		if ev.GUID != guid || ev.State == cdpbrowser.DownloadProgressStateInProgress {
			continue
		}
		if ev.State != cdpbrowser.DownloadProgressStateCompleted {
			return "", nil, fmt.Errorf("browser: the download of %s was %s: %w", name, ev.State, context.Canceled)
		}
		break
	}
	content, err = os.ReadFile(filepath.Join(dir, guid))
	return name, content, err
}

// Axe runs the accessibility checker from npm (folder modules, see
// web/build, NPM) on the page and returns one line for each rule that is
// broken, with the elements that break it.
func (p *Phone) Axe(modules string) ([]string, error) {
	source, err := os.ReadFile(filepath.Join(modules, "axe-core", "axe.min.js"))
	if err != nil {
		return nil, err
	}
	ctx, cancel := p.limited()
	defer cancel()
	there, err := Eval[bool](p, `"axe" in globalThis`)
	if err != nil {
		return nil, err
	}
	if there {
		source = nil
	}
	if err := chromedp.Do(ctx, chromedp.Evaluate[chromedp.Void](string(source)+"; undefined")); err != nil {
		return nil, err
	}
	return Eval[[]string](p, `axe.run().then((r) => r.violations.map((v) =>
		v.id + ": " + v.help + ": " + v.nodes.map((n) => n.html.slice(0, 160)).join(" | ")))`)
}
