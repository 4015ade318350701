package browser

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"slices"
	"sync"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// Patience is how long a phone waits for something to appear before it calls
// it missing. It is generous, since no test is about speed.
const Patience = 60 * time.Second

// A Setup says what kind of phone to open.
type Setup struct {
	Profile       string  // folder of the profile, to come back to it; empty means a fresh one
	Width, Height int64   // CSS pixels; zero means 360 × 740
	Scale         float64 // device pixels for one CSS pixel; zero means 2
	Private       bool    // a private window: nothing of it is kept, and its quota can be set
	Slow          float64 // how many times slower the processor; zero means 4
}

// A Phone is one Chromium with one page.
type Phone struct {
	ctx   context.Context
	close []context.CancelFunc
	once  sync.Once

	mu      sync.Mutex
	console []string
}

// A NoBrowserError reports that there is no Chromium to test in.
type NoBrowserError struct{ Tried []string }

// Code names the fault.
func (e *NoBrowserError) Code() string { return "browser-none" }

func (e *NoBrowserError) Error() string {
	return fmt.Sprintf("browser: none of %v is installed: install chromium, or start go run ./web/check as root, which does", e.Tried)
}

var names = []string{"chromium", "chromium-browser", "google-chrome", "chrome"}

// Find returns the path of the browser.
func Find() (string, error) {
	for _, name := range names {
		if path, err := exec.LookPath(name); err == nil {
			return path, nil
		}
	}
	return "", &NoBrowserError{Tried: names}
}

// Open starts a phone. Close it, or its processes stay.
func Open(s Setup) (*Phone, error) {
	path, err := Find()
	if err != nil {
		return nil, err
	}
	options := append(slices.Clone(chromedp.DefaultExecAllocatorOptions[:]),
		chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.DisableGPU,
		chromedp.Flag("disable-quic", true),
		chromedp.Flag("disable-component-update", true),
		chromedp.Flag("disable-features", "Translate,OptimizationHints,MediaRouter,DialMediaRouteProvider"),
		// A phone's tests run several browsers on few processors.
		chromedp.WSURLReadTimeout(Patience),
	)
	if s.Profile != "" {
		options = append(options, chromedp.UserDataDir(s.Profile))
	}
	alloc, endAlloc := chromedp.NewExecAllocator(context.Background(), options...)
	ctx, end := chromedp.NewContext(alloc)
	p := &Phone{ctx: ctx, close: []context.CancelFunc{end, endAlloc}}
	if s.Private {
		if err := chromedp.Do(ctx); err != nil {
			p.Close()
			return nil, err
		}
		private, endPrivate := chromedp.NewContext(ctx, chromedp.WithNewBrowserContext())
		p.ctx, p.close = private, append([]context.CancelFunc{endPrivate}, p.close...)
	}
	if err := p.start(s); err != nil {
		p.Close()
		return nil, err
	}
	return p, nil
}

// Tab opens a second page in the same browser: what is stored is shared. It is
// closed with the phone, or before it.
func (p *Phone) Tab(s Setup) (*Phone, error) {
	ctx, end := chromedp.NewContext(p.ctx)
	q := &Phone{ctx: ctx, close: []context.CancelFunc{end}}
	if err := q.start(s); err != nil {
		q.Close()
		return nil, err
	}
	return q, nil
}

func (p *Phone) start(s Setup) error {
	if s.Width == 0 || s.Height == 0 {
		s.Width, s.Height = 360, 740
	}
	if s.Scale == 0 {
		s.Scale = 2
	}
	if s.Slow == 0 {
		s.Slow = 4
	}
	if err := chromedp.Do(p.ctx); err != nil { // starts the browser, with no time limit
		return err
	}
	messages := chromedp.Console(p.ctx)
	go func() {
		for m, err := range messages {
			if err != nil {
				return
			}
			p.mu.Lock()
			p.console = append(p.console, fmt.Sprintf("%s: %s", m.Type, m.Text))
			p.mu.Unlock()
		}
	}()
	if err := chromedp.Do(p.ctx, chromedp.EmulateViewport(s.Width, s.Height,
		chromedp.EmulateScale(s.Scale), chromedp.EmulateMobile, chromedp.EmulateTouch, chromedp.EmulatePortrait)); err != nil {
		return err
	}
	_, err := chromedp.Call(p.ctx, emulation.SetCPUThrottlingRate, emulation.SetCPUThrottlingRateParams{Rate: s.Slow})
	return err
}

// Close ends the browser and waits until its files are free. It may be called
// again.
func (p *Phone) Close() {
	p.once.Do(func() {
		ctx, cancel := context.WithTimeout(p.ctx, 20*time.Second)
		defer cancel()
		_ = chromedp.Cancel(ctx) // a browser that has gone already is what is wanted
		for _, end := range p.close {
			end()
		}
	})
}

// Console returns what the page wrote to its console until now, exceptions
// and blocked requests included, each as "type: text".
func (p *Phone) Console() []string {
	p.mu.Lock()
	defer p.mu.Unlock()
	return slices.Clone(p.console)
}

// Context returns the context of the page, for commands of the protocol that
// have no method here.
func (p *Phone) Context() context.Context { return p.ctx }

// limited returns the page's context with the phone's patience.
func (p *Phone) limited() (context.Context, context.CancelFunc) {
	return context.WithTimeout(p.ctx, Patience)
}

// Visit opens an address and waits until the document has loaded.
func (p *Phone) Visit(url string) error {
	ctx, cancel := p.limited()
	defer cancel()
	return chromedp.Do(ctx, chromedp.Navigate(url))
}

// Reload loads the page again, as a person would.
func (p *Phone) Reload() error {
	ctx, cancel := p.limited()
	defer cancel()
	return chromedp.Do(ctx, chromedp.Reload())
}

// Eval returns the value of a JavaScript expression; a promise is waited for.
func Eval[T any](p *Phone, expression string) (T, error) {
	ctx, cancel := p.limited()
	defer cancel()
	return chromedp.Run(ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
}

// Wait returns when a JavaScript expression has become true. It survives the
// page being loaded anew meanwhile.
func (p *Phone) Wait(expression string) error {
	end := time.Now().Add(Patience)
	var last error
	for time.Now().Before(end) {
		ok, err := Eval[bool](p, "Boolean("+expression+")")
		if ok {
			return nil
		}
		last = err
		time.Sleep(50 * time.Millisecond)
	}
	said, _ := Eval[string](p, "document.body.innerText.slice(0, 600)")
	return fmt.Errorf("browser: %s did not become true in %v (%v); the page says: %s; its console: %v",
		expression, Patience, last, said, p.Console())
}

// Screenshot writes the screen as a PNG.
func (p *Phone) Screenshot(file string) error {
	ctx, cancel := p.limited()
	defer cancel()
	b, err := chromedp.Run(ctx, chromedp.CaptureScreenshot())
	if err != nil {
		return err
	}
	return os.WriteFile(file, b, 0o644)
}
