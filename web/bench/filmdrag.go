package main

import (
	"fmt"
	"slices"
	"time"

	"isthmus/web/browser"
)

// frames begins to note the gaps between frames; gaps ends it and gives them,
// in ms.
const (
	frames = `(() => {
		globalThis.gapsSeen = [];
		let last = 0;
		const note = (t) => { if (last) gapsSeen.push(t - last); last = t; globalThis.gapsTimer = requestAnimationFrame(note); };
		globalThis.gapsTimer = requestAnimationFrame(note);
		return true;
	})()`
	gaps = `(cancelAnimationFrame(gapsTimer), gapsSeen)`
)

// A fate says what becomes of the place of the film.
type fate int

const (
	anywhere fate = iota // what is touched may change the room it has
	stays
	moves
)

// A drag is something that goes on for about a second on the film screen.
type drag struct {
	name   string
	budget bool
	film   fate
	do     func(p *browser.Phone) error
	before func(p *browser.Phone) error // is not measured; nil: nothing
}

// drags are what is measured, its floor first. Each begins with the film
// fitted on the screen.
var drags = []drag{
	{"floor: nobody touches anything", false, stays, func(*browser.Phone) error { time.Sleep(time.Second); return nil }, nil},
	{"dragging a landmark", true, stays, dragLandmark, nil},
	{"moving the film", true, moves, moveFilm, nil},
	{"floor: the page sets another filter each frame", false, stays, floorEyes, nil},
	{"windowing: brightness and contrast, a step each frame", true, stays, stepEyes, toLook},
	{"windowing: a finger on the film sets the light", true, stays, dragLight, toLight},
}

// printDrags prints the frames a second of each on a large film, processor
// slowed four times.
func printDrags(host *browser.Host, film string, n int) error {
	got := make([][]float64, len(drags))
	for range n {
		p, err := phoneAt(host, 4)
		if err != nil {
			return err
		}
		err = dragAll(p, film, got)
		p.Close()
		if err != nil {
			return err
		}
	}
	fmt.Printf("%s on the screen, processor slowed 4 times\n  %-56s %10s %10s %12s %12s\n", large[1], "", "frames/s", "95 % over", "median, ms", "worst, ms")
	for i, d := range drags {
		s := pace(got[i])
		verdict := ""
		if d.budget {
			verdict = paceVerdict(s.perSecond)
		}
		fmt.Printf("  %-56s %10.1f %10.1f %12.1f %12.1f  %s\n", d.name, s.perSecond, s.slow, s.median, s.worst, verdict)
	}
	return nil
}

// A paceOf is how smooth some frames were: frames a second over all, the rate
// that 95 % of the gaps keep, and the median and the worst gap in ms.
type paceOf struct{ perSecond, slow, median, worst float64 }

func pace(gaps []float64) paceOf {
	if len(gaps) == 0 {
		return paceOf{}
	}
	total := 0.0
	for _, g := range gaps {
		total += g
	}
	r := rangeOf(gaps)
	return paceOf{1000 * float64(len(gaps)) / total, 1000 / share(gaps, 0.95), r.median, r.most}
}

func paceVerdict(perSecond float64) string {
	if !(perSecond >= frameBudget) {
		return fmt.Sprintf("UNDER the budget of %d", frameBudget)
	}
	return fmt.Sprintf("at least %d", frameBudget)
}

// dragAll opens the film, places a landmark, and does everything once.
func dragAll(p *browser.Phone, film string, got [][]float64) error {
	if err := toNewFilms(p); err != nil {
		return err
	}
	if err := pick(p, film); err != nil {
		return err
	}
	for _, a := range []string{"view|ap", "bone|injured", "reduced|yes", "mode|points"} {
		if err := pressFilm(p, a); err != nil {
			return err
		}
	}
	at, err := middle(p)
	if err != nil {
		return err
	}
	time.Sleep(500 * time.Millisecond)
	if err := p.Tap(at); err != nil {
		return err
	}
	if err := p.Wait(`document.getElementById("film-chips")?.dataset.placed`); err != nil {
		return err
	}
	for i, d := range drags {
		g, err := d.once(p)
		if err != nil {
			return fmt.Errorf("bench: %s: %w", d.name, err)
		}
		got[i] = append(got[i], g...)
	}
	return nil
}

// once does it once and returns the gaps between frames in ms. It refuses when
// something else was moved than was meant.
func (d drag) once(p *browser.Phone) ([]float64, error) {
	if d.before != nil {
		if err := d.before(p); err != nil {
			return nil, err
		}
	}
	time.Sleep(time.Second) // what went before comes to rest, and the loupe is gone
	before, err := browser.Eval[string](p, matrixNow)
	if err != nil {
		return nil, err
	}
	if _, err := browser.Eval[bool](p, frames); err != nil {
		return nil, err
	}
	if err := d.do(p); err != nil {
		return nil, err
	}
	g, err := browser.Eval[[]float64](p, gaps)
	if err != nil {
		return nil, err
	}
	time.Sleep(time.Second)
	after, err := browser.Eval[string](p, matrixNow)
	if err == nil && d.film != anywhere && (before != after) != (d.film == moves) {
		err = fmt.Errorf("the film lay at %s and lies at %s: something else was dragged", before, after)
	}
	return g, err
}

// pressFilm taps a control of the film screen and waits until it is pressed.
func pressFilm(p *browser.Phone, do string) error {
	at := fmt.Sprintf(`[data-film="%s"]`, do)
	if err := p.TapOn(at); err != nil {
		return err
	}
	return p.Wait(fmt.Sprintf(`document.querySelector('%s')?.getAttribute("aria-pressed") === "true"`, at))
}

// middle returns the middle of the stage, a little above, clear of its
// controls.
func middle(p *browser.Phone) (browser.Spot, error) {
	return browser.Eval[browser.Spot](p, `(() => { const r = document.getElementById("film-stage").getBoundingClientRect();
		return { X: r.left + r.width / 2, Y: r.top + 0.45 * r.height }; })()`)
}

// matrixNow is how the film lies on the stage, while there is no loupe.
const matrixNow = `document.getElementById("film-stage").dataset.matrix`

// path goes away from a place and comes back, in n moves. What is dragged by
// it is not let go where it was taken: that could be heard as a tap.
func path(from browser.Spot, n int) []browser.Spot {
	out := []browser.Spot{from}
	for i := 1; i <= n; i++ {
		k := float64(min(i, n-i))
		out = append(out, browser.Spot{X: from.X + 2*k, Y: from.Y + 3*k})
	}
	return out
}

func dragLandmark(p *browser.Phone) error {
	at, err := middle(p)
	if err != nil {
		return err
	}
	return p.Drag(path(at, 60)[:50]...)
}

func moveFilm(p *browser.Phone) error {
	at, err := middle(p)
	if err != nil {
		return err
	}
	return p.Drag(path(browser.Spot{X: at.X - 100, Y: at.Y - 60}, 61)[:45]...)
}

func toLook(p *browser.Phone) error { return pressFilm(p, "mode|look") }

// toLight lets a finger on the film set the light.
func toLight(p *browser.Phone) error {
	if err := p.TapOn(`[data-film="light"]`); err != nil {
		return err
	}
	return p.Wait(`document.querySelector(".shout.lit")`)
}

// dragLight sets the light; it refuses when the page says that it is as it was.
func dragLight(p *browser.Phone) error {
	at, err := middle(p)
	if err != nil {
		return err
	}
	if err := p.Drag(path(at, 60)[:50]...); err != nil {
		return err
	}
	return p.Wait(`document.querySelector(".lightrows output").innerText !== "100%"`)
}

// stepEyes changes brightness and contrast by a step in every frame.
func stepEyes(p *browser.Phone) error {
	_, err := browser.Eval[bool](p, `new Promise((done) => {
		const what = ["bright|+", "contrast|+", "bright|-", "contrast|-"];
		let n = 0;
		const step = () => {
			document.querySelector('[data-film="' + what[n % 4] + '"]').click();
			if (++n < 60) requestAnimationFrame(step); else done(true);
		};
		requestAnimationFrame(step);
	})`)
	return err
}

// floorEyes lets the page itself set the filter that brightness and contrast
// end in, in every frame: nothing of ours runs.
func floorEyes(p *browser.Phone) error {
	_, err := browser.Eval[bool](p, `new Promise((done) => {
		const under = document.querySelector("#film-stage .under"), was = under.style.filter;
		let n = 0;
		const step = () => {
			under.style.filter = "brightness(" + (100 + n % 40) + "%) contrast(" + (100 + n % 30) + "%)";
			if (++n < 60) requestAnimationFrame(step); else { under.style.filter = was; done(true); }
		};
		requestAnimationFrame(step);
	})`)
	return err
}

// share returns the gap that a share of all do not exceed.
func share(all []float64, part float64) float64 {
	vs := slices.Sorted(slices.Values(all))
	return vs[min(int(part*float64(len(vs))), len(vs)-1)]
}
