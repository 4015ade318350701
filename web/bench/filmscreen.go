package main

import (
	"fmt"
	"net/http"
	"os"
	"path/filepath"

	"isthmus/web/browser"
	"isthmus/web/build"
	"isthmus/web/server"
)

// What the film screen may take.
const (
	openBudget   = 1200 // ms from the film to its whole picture, processor not slowed
	memoryBudget = 250  // MB over the page without a film, at most
	frameBudget  = 30   // frames a second while something is dragged
)

// The films of 12 million samples that are opened.
var large = []string{"plain 12 Mpx", "lossless 12 Mpx"}

// worker opens a film in a fresh film worker and draws it in another window
// five times. It gives the ms until the program stands, then from the film to
// the coarse and to the whole picture, and those of each window.
const worker = `(async () => {
	const bytes = new Uint8Array(await (await fetch("/bench/%s.dcm")).arrayBuffer());
	const out = { start: 0, early: 0, whole: 0, windows: [] };
	const w = new Worker("/film-worker.js");
	let t = performance.now();
	const end = new Promise((done, fail) => {
		const again = () => { t = performance.now(); w.postMessage({ type: "window", job: 2, centre: 20000 + 4000 * out.windows.length, width: 30000, shape: "linear", invert: false }); };
		w.onmessage = ({ data: m }) => {
			const took = performance.now() - t;
			m.bitmap?.close();
			switch (m.type) {
			case "ready":
				out.start = took;
				t = performance.now();
				w.postMessage({ type: "open", job: 1, bytes, frame: 0 }, [bytes.buffer]);
				break;
			case "preview": out.early = took; break;
			case "opened": out.whole = took; again(); break;
			case "windowed":
				out.windows.push(took);
				if (out.windows.length < 5) again(); else done();
				break;
			case "failed": case "dead": fail(new Error(m.sentence));
			}
		};
	});
	await end;
	w.terminate();
	return out;
})()`

// opening is what worker gives.
type opening struct {
	Start, Early, Whole float64
	Windows             []float64
}

// printFilmScreen measures large films in Chromium as the phone.
func printFilmScreen(site build.Site, films string, n int) error {
	if _, err := browser.Find(); err != nil {
		fmt.Println("\nthe film screen was not measured:", err)
		return nil
	}
	if _, err := site.Make(); err != nil {
		return err
	}
	host, err := serveWith(site.Folder(), films)
	if err != nil {
		return err
	}
	defer host.Stop()
	fmt.Printf("\nthe film screen in Chromium, 360 × 740; median (least–most) of %d fresh phones; load of the machine %s\n", n, load())
	for _, name := range large {
		if err := printOpening(host, films, name, n); err != nil {
			return err
		}
	}
	return printDrags(host, filepath.Join(films, large[1]+".dcm"), n)
}

// serveWith serves the app, and the films below /bench/.
func serveWith(folder, films string) (*browser.Host, error) {
	s, err := server.New(folder)
	if err != nil {
		return nil, err
	}
	mux := http.NewServeMux()
	mux.Handle("/", s)
	mux.Handle("/bench/", http.StripPrefix("/bench/", http.FileServerFS(os.DirFS(films))))
	return browser.Serve(mux)
}

// printOpening prints what opening one film takes: in a worker by itself, and
// on the film screen with cleaning and storing, and the memory of the latter.
func printOpening(host *browser.Host, films, name string, n int) error {
	var start, early, whole, windows, picked, sharp, again []float64
	var alone, screen memory
	for range n {
		o, err := openAlone(host, name, &alone)
		if err != nil {
			return err
		}
		s, err := openOnScreen(host, filepath.Join(films, name+".dcm"), &screen)
		if err != nil {
			return err
		}
		start, early, whole, windows = append(start, o.Start), append(early, o.Early), append(whole, o.Whole), append(windows, o.Windows...)
		picked, sharp, again = append(picked, s.early), append(sharp, s.sharp), append(again, s.again)
	}
	fmt.Println(name + ", 16 bits, processor not slowed, ms")
	line := func(what string, ms []float64, b budget) {
		verdict := ""
		if b.limit > 0 {
			verdict = b.verdict(rangeOf(ms).median, 0)
		}
		fmt.Printf("  %-56s %22s  %s\n", what, text(ms), verdict)
	}
	line("floor: the film worker starts", start, budget{})
	line("worker: film → coarse picture", early, budget{})
	line("worker: film → whole picture", whole, budget{limit: openBudget})
	line("worker: another window → whole picture", windows, budget{})
	alone.print(budget{limit: memoryBudget})
	line("screen: file chosen → first picture (cleaned and kept)", picked, budget{})
	line("screen: file chosen → whole picture", sharp, budget{})
	line("screen: film opened again → whole picture", again, budget{limit: openBudget})
	screen.print(budget{})
	return nil
}

// phoneAt opens the list of cases on a fresh phone, its processor slowed so
// many times, when the program runs.
func phoneAt(host *browser.Host, slow float64) (*browser.Phone, error) {
	p, err := browser.Open(browser.Setup{Slow: slow})
	if err != nil {
		return nil, err
	}
	for _, step := range []func() error{
		func() error { return p.Visit(host.URL("/cases")) },
		func() error {
			return p.Wait(`!document.getElementById("boot-status") && document.querySelector("main, nav")`)
		},
		func() error { return p.Wait(`navigator.serviceWorker.controller?.state === "activated"`) },
	} {
		if err := step(); err != nil {
			p.Close()
			return nil, err
		}
	}
	return p, nil
}

// drawn and whole are true when a picture, and the whole picture, stands on
// the film screen. watching notes when each came since the file was chosen.
const (
	drawn    = `location.pathname.includes("/film/") && document.querySelector("#film-stage[data-matrix]")`
	complete = drawn + ` && !document.querySelector(".opening")`
	watching = `(() => {
		globalThis.seen = { early: 0, sharp: 0 };
		let from = performance.now();
		document.addEventListener("change", () => { from = performance.now(); seen.early = seen.sharp = 0; }, { once: true, capture: true });
		const look = () => {
			if (!seen.early && (%s)) seen.early = performance.now() - from;
			if (!seen.sharp && seen.early && (%s)) seen.sharp = performance.now() - from;
			if (!seen.sharp) requestAnimationFrame(look);
		};
		look();
		return true;
	})()`
)

// screenOpening is what the film screen took, in ms.
type screenOpening struct{ early, sharp, again float64 }

// openAlone opens a film on a fresh phone in a worker that the page has for it.
func openAlone(host *browser.Host, name string, mem *memory) (opening, error) {
	p, err := phoneAt(host, 1)
	if err != nil {
		return opening{}, err
	}
	defer p.Close()
	before := mem.begin(p)
	o, err := browser.Eval[opening](p, fmt.Sprintf(worker, name))
	mem.peak(p, before)
	mem.after(p, before)
	return o, err
}

// openOnScreen opens a film in a new case on a fresh phone, leaves the film,
// and opens it again.
func openOnScreen(host *browser.Host, film string, mem *memory) (s screenOpening, err error) {
	p, err := phoneAt(host, 1)
	if err != nil {
		return s, err
	}
	defer p.Close()
	if err := toNewFilms(p); err != nil {
		return s, err
	}
	before := mem.begin(p)
	if err := pick(p, film); err != nil {
		return s, err
	}
	mem.peak(p, before)
	seen, err := browser.Eval[struct{ Early, Sharp float64 }](p, `seen`)
	if err != nil {
		return s, err
	}
	s.early, s.sharp = seen.Early, seen.Sharp
	if _, err := browser.Eval[bool](p, `(() => { globalThis.filmPath = location.pathname; goappNav(filmPath.split("/").slice(0, 3).join("/") + "/films"); return true; })()`); err != nil {
		return s, err
	}
	if err := p.Wait(`!document.querySelector("#film-stage")`); err != nil {
		return s, err
	}
	mem.after(p, before)
	s.again, err = openAgain(p)
	return s, err
}

// openAgain goes back to the film that was left.
func openAgain(p *browser.Phone) (float64, error) {
	if _, err := browser.Eval[bool](p, fmt.Sprintf(watching, drawn, complete)+` && (goappNav(filmPath), true)`); err != nil {
		return 0, err
	}
	if err := p.Wait(`seen.sharp`); err != nil {
		return 0, err
	}
	return browser.Eval[float64](p, `seen.sharp`)
}

// toNewFilms begins a case and goes to its films.
func toNewFilms(p *browser.Phone) error {
	if err := p.TapText("New case"); err != nil {
		return err
	}
	if err := p.Wait(`location.pathname.startsWith("/case/") && document.querySelector(".sheet")`); err != nil {
		return err
	}
	if _, err := browser.Eval[bool](p, `(goappNav(location.pathname.split("/").slice(0, 3).join("/") + "/films"), true)`); err != nil {
		return err
	}
	return p.Wait(`document.querySelector('input[data-file="film-file"]')`)
}

// pick chooses a film from a file and waits for its whole picture.
func pick(p *browser.Phone, film string) error {
	if _, err := browser.Eval[bool](p, fmt.Sprintf(watching, drawn, complete)); err != nil {
		return err
	}
	if err := p.Upload(`input[data-file="film-file"]`, film); err != nil {
		return err
	}
	return p.Wait(`seen.sharp`)
}
