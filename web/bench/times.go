package main

import (
	"context"
	"fmt"

	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"isthmus/web/browser"
	"isthmus/web/server"
)

// watch notes, inside the page, when the first usable answer stood there:
// milliseconds since the navigation began.
const watch = `(() => {
	const look = () => { if (!globalThis.readyAt && document.querySelector("[data-ready]")) globalThis.readyAt = performance.now(); };
	new MutationObserver(look).observe(document, { childList: true, subtree: true, attributes: true, attributeFilter: ["data-ready"] });
})()`

// A visit is what one opening of the page took, in milliseconds.
type visit struct{ paint, ready float64 }

// A series is what one site took, over all phones.
type series struct{ first, second, slow []visit }

func printTimes(appDir, floorDir, path string, n int) error {
	fmt.Printf("\ntimes in Chromium, 360 × 740, processor slowed 4 times; median (least–most) of %d fresh phones, ms\n", n)
	var app, floor series
	for range n { // in turns, so that what else the machine does falls on both
		for _, s := range []struct {
			dir string
			to  *series
		}{{appDir, &app}, {floorDir, &floor}} {
			if err := measure(s.dir, path, s.to); err != nil {
				return err
			}
		}
	}
	ready := func(v visit) float64 { return v.ready }
	paint := func(v visit) float64 { return v.paint }
	fmt.Printf("%-44s %24s %24s\n", "", "app", "floor: empty page")
	row("first visit → first answer", app.first, floor.first, ready, budget{})
	row("second visit → first answer", app.second, floor.second, ready, budget{times: 1.3})
	row("first visit at 1.6 Mbit/s → first answer", app.slow, floor.slow, ready, budget{times: 1.3})
	row("first visit at 1.6 Mbit/s → words on screen", app.slow, floor.slow, paint, budget{limit: 1000})
	return nil
}

func row(name string, app, floor []visit, what func(visit) float64, b budget) {
	a, f := spread(app, what), spread(floor, what)
	verdict := ""
	if b != (budget{}) {
		verdict = b.verdict(a.median, f.median)
	}
	fmt.Printf("%-44s %24s %24s  %s\n", name, a, f, verdict)
}

type range3 struct{ least, median, most float64 }

func (r range3) String() string {
	return fmt.Sprintf("%.0f (%.0f–%.0f)", r.median, r.least, r.most)
}

// spread returns the least, the median and the most of what was measured.
func spread(vs []visit, what func(visit) float64) range3 {
	var all []float64
	for _, v := range vs {
		all = append(all, what(v))
	}
	return rangeOf(all)
}

// measure opens a site on two fresh phones, one with a fast network that
// comes back a second time, one with a slow network.
func measure(dir, path string, to *series) error {
	s, err := server.New(dir)
	if err != nil {
		return err
	}
	host, err := browser.Serve(s)
	if err != nil {
		return err
	}
	defer host.Stop()
	first, second, err := twice(host.URL(path))
	if err != nil {
		return err
	}
	slow, err := once(host.URL(path))
	if err != nil {
		return err
	}
	to.first = append(to.first, first)
	to.second = append(to.second, second)
	to.slow = append(to.slow, slow)
	return nil
}

func open() (*browser.Phone, error) {
	p, err := browser.Open(browser.Setup{})
	if err != nil {
		return nil, err
	}
	_, err = chromedp.Call(p.Context(), page.AddScriptToEvaluateOnNewDocument,
		page.AddScriptToEvaluateOnNewDocumentParams{Source: watch})
	if err != nil {
		p.Close()
		return nil, err
	}
	return p, nil
}

func twice(url string) (first, second visit, err error) {
	p, err := open()
	if err != nil {
		return visit{}, visit{}, err
	}
	defer p.Close()
	if first, err = see(p, url); err != nil {
		return visit{}, visit{}, err
	}
	if err := p.Wait(`navigator.serviceWorker.controller?.state === "activated"`); err != nil {
		return visit{}, visit{}, err
	}
	second, err = see(p, url)
	return first, second, err
}

func once(url string) (visit, error) {
	p, err := open()
	if err != nil {
		return visit{}, err
	}
	defer p.Close()
	if err := slowNetwork(p.Context()); err != nil {
		return visit{}, err
	}
	return see(p, url)
}

// slowNetwork gives the page 1.6 Mbit/s down, 0.75 up, and 150 ms of delay.
func slowNetwork(ctx context.Context) error {
	if _, err := chromedp.Call(ctx, network.Enable, network.EnableParams{}); err != nil {
		return err
	}
	_, err := chromedp.Call(ctx, network.EmulateNetworkConditionsByRule, network.EmulateNetworkConditionsByRuleParams{
		MatchedNetworkConditions: []*network.Conditions{{Latency: 150, DownloadThroughput: 1.6e6 / 8, UploadThroughput: 0.75e6 / 8}},
	})
	return err
}

// see opens an address and returns what it took.
func see(p *browser.Phone, url string) (visit, error) {
	if err := p.Visit(url); err != nil {
		return visit{}, err
	}
	if err := p.Wait(`globalThis.readyAt && performance.getEntriesByName("first-contentful-paint").length`); err != nil {
		return visit{}, err
	}
	ready, err := browser.Eval[float64](p, `readyAt`)
	if err != nil {
		return visit{}, err
	}
	paint, err := browser.Eval[float64](p, `performance.getEntriesByName("first-contentful-paint")[0].startTime`)
	return visit{paint, ready}, err
}
