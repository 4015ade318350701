package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"

	"isthmus/core/record"
	"isthmus/web/browser"
	"isthmus/web/build"
	"isthmus/web/server"
)

// trialCase is the practice case with most to try: two films, two screws.
const trialCase = "neck-and-shaft"

// trialProgram makes ten thousand trials of a plan at once when the page asks,
// and plans once. The case lies beside it.
const trialProgram = `package main

import (
	_ "embed"
	"syscall/js"

	"isthmus/core/implant"
	"isthmus/core/plan"
	"isthmus/core/record"
)

//go:embed case.json
var file []byte

func main() {
	c, err := record.Unmarshal(file)
	if err != nil {
		panic(err)
	}
	shelf, p := implant.Teaching(), plan.DefaultPolicy()
	js.Global().Set("planOnce", js.FuncOf(func(js.Value, []js.Value) any { return float64(plan.Make(c, shelf, p).Nail.Length) }))
	js.Global().Set("tryAll", js.FuncOf(func(js.Value, []js.Value) any { return plan.Trials(c, shelf, p, 1, 10_000).Trials }))
	js.Global().Set("ready", true)
	select {}
}
`

// timeOf runs a function of the page so many times and gives the milliseconds
// of each.
const timeOf = `(async () => {
	const out = [];
	for (let i = 0; i < %d; i++) {
		const t = performance.now();
		%s();
		out.push(performance.now() - t);
		await new Promise((r) => setTimeout(r, 20));
	}
	return out;
})()`

// printTrials prints what ten thousand trials take in Chromium, at once in a
// program of their own, and how long they hold the screen of the app.
func printTrials(app build.Site, n int) error {
	fmt.Printf("\n10,000 trials of a plan in Chromium (%s), median (least–most), ms\n", trialCase)
	data, err := os.ReadFile(filepath.Join(app.Root, "testdata", "cases", trialCase, "case.json"))
	if err != nil {
		return err
	}
	if err := atOnce(app, data, n); err != nil {
		return err
	}
	return onScreen(app.Folder(), data, n)
}

// atOnce measures the plan and the trials with nothing else in the page and a
// processor that is not slowed.
func atOnce(app build.Site, data []byte, n int) error {
	dir := filepath.Join(app.Root, ".build", "bench", "trials")
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	for name, b := range map[string][]byte{"main.go": []byte(trialProgram), "case.json": data} {
		if err := os.WriteFile(filepath.Join(dir, name), b, 0o644); err != nil {
			return err
		}
	}
	site := build.Site{Root: app.Root, Log: os.Stdout, Dir: filepath.Join(app.Root, ".build", "bench", "trialsite"),
		Programs: []build.Program{{File: "app.wasm", Package: "./.build/bench/trials"}}}
	if _, err := site.Make(); err != nil {
		return err
	}
	return visiting(site.Folder(), 1, "/", func(p *browser.Phone) error {
		if err := p.Wait("globalThis.tryAll"); err != nil {
			return err
		}
		for _, m := range []struct {
			name, call string
			times      int
			limit      budget
		}{{"one plan", "planOnce", 20 * n, budget{limit: 50}}, {"10,000 trials at once", "tryAll", 2 * n, budget{limit: 150}}} {
			got, err := browser.Eval[[]float64](p, fmt.Sprintf(timeOf, m.times, m.call))
			if err != nil {
				return err
			}
			r := rangeOf(got)
			fmt.Printf("%-44s %24s  %s\n", m.name, tenths(r), m.limit.verdict(r.median, 0))
		}
		return nil
	})
}

// watchTasks notes the longest task of the page: while it runs nothing is
// drawn and no tap is heard. The browser reports tasks of 50 ms and more.
const watchTasks = `(() => {
	globalThis.longest = 0;
	new PerformanceObserver((list) => {
		for (const e of list.getEntries()) globalThis.longest = Math.max(globalThis.longest, e.duration);
	}).observe({ type: "longtask" });
	globalThis.restart = () => { globalThis.longest = 0; globalThis.tapped = performance.now(); };
	return true;
})()`

// tapAndWait touches a button by its name, waits until an expression is true,
// and gives the milliseconds until then and the longest task.
const tapAndWait = `(async () => {
	restart();
	document.querySelector('[data-do="%s"]').click();
	while (!(%s)) await new Promise((r) => setTimeout(r, 5));
	const took = performance.now() - tapped;
	await new Promise((r) => setTimeout(r, 200)); // tasks are reported a little later
	return [took, longest];
})()`

// idle is the longest task while nobody touches anything, for half a second:
// what the machine itself does.
const idle = `(async () => {
	restart();
	await new Promise((r) => setTimeout(r, 500));
	return [500, longest];
})()`

// onScreen measures the app itself: the case is opened from its file, and
// somebody asks where the doubt of the length comes from. Beside it stand its
// floors: the page at rest, and the same screen opening a reason, without any
// trial.
func onScreen(folder string, data []byte, n int) error {
	c, err := record.Unmarshal(data)
	if err != nil {
		return err
	}
	packed, err := record.Pack(record.File{Case: c})
	if err != nil {
		return err
	}
	file := filepath.Join(filepath.Dir(folder), "bench", "trials.isthmus")
	if err := os.WriteFile(file, packed, 0o644); err != nil {
		return err
	}
	for _, slow := range []float64{1, 4} {
		var rest, reason, trials, took []float64
		for range n {
			err := visiting(folder, slow, "/cases", func(p *browser.Phone) error {
				got, err := askDoubt(p, file)
				if err == nil {
					rest, reason, trials, took = append(rest, got[0][1]), append(reason, got[1][1]), append(trials, got[2][1]), append(took, got[2][0])
				}
				return err
			})
			if err != nil {
				return err
			}
		}
		fmt.Printf("on the screen, processor slowed %.0f times\n", slow)
		fmt.Printf("%-44s %24s\n", "  10,000 trials, from tap to answer", tenths(rangeOf(took)))
		floor := rangeOf(reason)
		fmt.Printf("%-44s %24s  %s\n", "  longest task of 50 ms or more; 0: none", tenths(rangeOf(trials)), budget{limit: 50}.verdict(rangeOf(trials).median, 0))
		fmt.Printf("%-44s %24s\n", "  floor: a reason opens, no trials", tenths(floor))
		fmt.Printf("%-44s %24s\n", "  floor: nobody touches anything", tenths(rangeOf(rest)))
	}
	return nil
}

// askDoubt returns time and longest task of three things: rest, a reason that
// opens, and the doubt.
func askDoubt(p *browser.Phone, file string) (out [3][2]float64, err error) {
	input := `input[data-file="case-file"]`
	if err := p.Wait(`document.querySelector('` + input + `')`); err != nil {
		return out, err
	}
	if err := p.Upload(input, file); err != nil {
		return out, err
	}
	if err := p.Wait(`location.pathname.startsWith("/case/") && document.querySelector('a[href$="/nail"]')`); err != nil {
		return out, err
	}
	if _, err := browser.Eval[bool](p, `(document.querySelector('a[href$="/nail"]').click(), true)`); err != nil {
		return out, err
	}
	if err := p.Wait(`document.querySelector('[data-do="why|doubt-length"]') && ` + watchTasks); err != nil {
		return out, err
	}
	if _, err := browser.Eval[bool](p, `new Promise((r) => setTimeout(() => r(true), 1000))`); err != nil {
		return out, err
	}
	for i, do := range []string{idle, fmt.Sprintf(tapAndWait, "why|why-length", `document.querySelector('[data-do="why|why-length"]').parentElement.querySelector("li")`), fmt.Sprintf(tapAndWait, "why|doubt-length", `document.body.textContent.includes("Of 10000 trials")`)} {
		if out[i], err = browser.Eval[[2]float64](p, do); err != nil {
			return out, err
		}
	}
	return out, nil
}

// visiting opens an address of a folder on a fresh phone.
func visiting(folder string, slow float64, path string, do func(*browser.Phone) error) error {
	s, err := server.New(folder)
	if err != nil {
		return err
	}
	host, err := browser.Serve(s)
	if err != nil {
		return err
	}
	defer host.Stop()
	p, err := browser.Open(browser.Setup{Slow: slow})
	if err != nil {
		return err
	}
	defer p.Close()
	if err := p.Visit(host.URL(path)); err != nil {
		return err
	}
	return do(p)
}

// rangeOf returns the least, the median and the most of some numbers.
func rangeOf(all []float64) range3 {
	vs := slices.Clone(all)
	slices.Sort(vs)
	k := len(vs)
	return range3{vs[0], (vs[(k-1)/2] + vs[k/2]) / 2, vs[k-1]}
}

// tenths prints a range with one decimal.
func tenths(r range3) string {
	return fmt.Sprintf("%.1f (%.1f–%.1f)", r.median, r.least, r.most)
}
