package browser

import (
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/chromedp/cdproto/input"

	"isthmus/web/build"
)

// A placed point is one of the case, as the device holds it.
type placedPoint struct {
	Name string
	X, Y float64
	Slip float64
}

// placed returns the points of the last film of the last case that was saved,
// read from the device's own store once nothing waits to be saved.
func placed(t *testing.T, p *Phone) map[string]placedPoint {
	t.Helper()
	time.Sleep(1200 * time.Millisecond) // a save begins a moment after an edit
	got := eval[[]placedPoint](t, p, `(async () => {
		const all = [];
		for (const d of await indexedDB.databases()) {
			const db = await new Promise((ok, no) => { const r = indexedDB.open(d.name); r.onsuccess = () => ok(r.result); r.onerror = no; });
			if (db.objectStoreNames.contains("cases"))
				for (const b of await new Promise((ok) => { const r = db.transaction("cases").objectStore("cases").getAll(); r.onsuccess = () => ok(r.result); }))
					all.push(JSON.parse(new TextDecoder().decode(b)).case);
			db.close();
		}
		const c = all.sort((a, b) => a.edited < b.edited ? -1 : 1).at(-1);
		return (c?.films?.at(-1)?.points ?? []).map((q) => ({ Name: q.name, X: q.at_px.x, Y: q.at_px.y, Slip: q.slip_px }));
	})()`)
	out := map[string]placedPoint{}
	for _, q := range got {
		out[q.Name] = q
	}
	return out
}

// matrix returns how the film lies on the stage: A, B, C, D, E, F.
func matrix(t *testing.T, p *Phone) []float64 {
	t.Helper()
	time.Sleep(250 * time.Millisecond) // the view comes to rest
	return eval[[]float64](t, p, `document.getElementById("film-stage").dataset.matrix.split(" ").map(Number)`)
}

// middle returns the middle of the stage on the screen.
func middle(t *testing.T, p *Phone) Spot {
	t.Helper()
	v := eval[[]float64](t, p, `(() => { const r = document.getElementById("film-stage").getBoundingClientRect(); return [r.left + r.width / 2, r.top + r.height / 2]; })()`)
	return Spot{v[0], v[1]}
}

// screenshot keeps what the phone shows in .build/screens under a name, for
// whoever wants to look.
func screenshot(t *testing.T, p *Phone, name string) {
	t.Helper()
	root, err := build.Root()
	must(t, err)
	dir := filepath.Join(root, ".build", "screens")
	must(t, os.MkdirAll(dir, 0o755), p.Screenshot(filepath.Join(dir, name+".png")))
}

// filmOpen opens the app with a case and a film of it.
func filmOpen(t *testing.T, s Setup, file string) *Phone {
	t.Helper()
	host := site(t)
	p := phone(t, s)
	must(t, p.Visit(host.URL("/cases")))
	running(t, p)
	newCase(t, p)
	toCase(t, p, "/films")
	openFilm(t, p, file)
	return p
}

// A finger moves, magnifies and turns nothing else: two fingers keep the place
// between them, one pans, two quick taps come closer and go back.
func TestFilmUnderTheFingers(t *testing.T) {
	p := filmOpen(t, Setup{Slow: 1}, jpegFilm)
	press(t, p, "mode|look")
	handy(t, p, "look")
	fit(t, p)
	a, c := matrix(t, p), middle(t, p)
	must(t, p.Pinch(Spot{c.X - 20, c.Y}, Spot{c.X + 20, c.Y}, Spot{c.X - 60, c.Y}, Spot{c.X + 60, c.Y}))
	b := matrix(t, p)
	if k := b[0] / a[0]; math.Abs(k-3) > 0.15 {
		t.Errorf("two fingers went 3 times as far apart, the film grew %.2f times", k)
	}
	back := func(m []float64) (x, y float64) { // what lies in the middle of the stage
		s := eval[[]float64](t, p, `(() => { const r = document.getElementById("film-stage").getBoundingClientRect(); return [r.width / 2, r.height / 2]; })()`)
		return (s[0] - m[4]) / m[0], (s[1] - m[5]) / m[3]
	}
	x0, y0 := back(a)
	if x, y := back(b); math.Hypot(x-x0, y-y0)*b[0] > 4 {
		t.Errorf("the place between the fingers moved by (%.1f, %.1f) css px", (x-x0)*b[0], (y-y0)*b[3])
	}
	must(t, p.Drag(c, Spot{c.X - 12, c.Y}, Spot{c.X - 40, c.Y - 20}, Spot{c.X - 72, c.Y - 50}))
	m := matrix(t, p)
	if dx, dy := m[4]-b[4], m[5]-b[5]; math.Abs(dx+60) > 3 || math.Abs(dy+50) > 3 || math.Abs(m[0]/b[0]-1) > 0.001 {
		t.Errorf("a finger went (−60, −50) after its slack of 12, the film (%.1f, %.1f)", dx, dy)
	}
	must(t, p.TapOn(`[data-film="fit"]`)) // at once: a quick pan must not swallow the next tap
	if m = matrix(t, p); math.Abs(m[0]/a[0]-1) > 0.01 {
		t.Errorf("a tap on fit just after a quick pan leaves the film at %.2f times the whole", m[0]/a[0])
	}
	fit(t, p)
	a = matrix(t, p)
	twice := func() {
		must(t, p.Tap(c))
		time.Sleep(90 * time.Millisecond)
		must(t, p.Tap(c))
	}
	whole, was, grew, home := a[0], a[0], false, false
	for range 8 { // a busy machine may make two taps of one pair
		twice()
		now := matrix(t, p)[0]
		grew = grew || math.Abs(now/was-2.5) < 0.05
		if home = was > 6*whole && math.Abs(now/whole-1) < 0.01; home {
			break
		}
		was = now
	}
	if !grew || !home {
		t.Errorf("two quick taps magnify 2.5 times: %v; from close by they show the whole film: %v", grew, home)
	}
	quiet(t, p)
}

// A finger that rests aims with the loupe above it, the point comes where the
// cross was and not where the finger is; the arrows move it by one pixel; undo
// and redo take that back and forth.
func TestLoupeNudgeUndo(t *testing.T) {
	p := filmOpen(t, Setup{Slow: 1}, jpegFilm)
	press(t, p, "mode|points")
	openGroup(t, p, "length")
	fit(t, p)
	at := onFilm(t, p, 800, 1200)
	must(t, p.touch(input.DispatchTouchEventTypeTouchStart, at), p.Wait(`document.getElementById("film-stage").dataset.loupe`))
	lens := eval[[]float64](t, p, `(() => { const s = document.getElementById("film-stage"), r = s.getBoundingClientRect(), l = s.dataset.loupe.split(" ").map(Number); return [l[0] + r.left, l[1] + r.top, l[2]]; })()`)
	if d := math.Hypot(lens[0]-at.X, lens[1]-at.Y); !(lens[1] < at.Y) || d < lens[2] {
		t.Errorf("the loupe stands at (%.0f, %.0f) with radius %.0f, the finger at (%.0f, %.0f) hides it", lens[0], lens[1], lens[2], at.X, at.Y)
	}
	screenshot(t, p, "film-loupe")
	must(t, p.touch(input.DispatchTouchEventTypeTouchMove, Spot{at.X + 6, at.Y + 4}), p.touch(input.DispatchTouchEventTypeTouchEnd))
	must(t, p.Wait(`/trochanter-tip/.test(document.getElementById("film-chips").dataset.placed) && !document.getElementById("film-stage").dataset.loupe`))
	k := matrix(t, p)[0]
	first := placed(t, p)["trochanter-tip"]
	if dx, dy := (first.X-800)*k, (first.Y-1200)*k; math.Abs(dx-6) > 1.5 || math.Abs(dy-(4-48)) > 1.5 {
		t.Errorf("the point lies (%.1f, %.1f) css px from where the finger came down, want (6, −44): where the cross was", dx, dy)
	}
	if !halo(t, p, first.X, first.Y) {
		t.Error("around the point there is not a light line with a dark one beside it")
	}
	must(t, p.TapOn(`[data-film="landmark|trochanter-tip"]`))
	for _, way := range []string{"ArrowRight", "ArrowRight", "ArrowRight", "ArrowDown"} {
		must(t, p.TapOn(`[data-film="nudge|`+way+`"]`))
	}
	moved := placed(t, p)["trochanter-tip"]
	if math.Abs(moved.X-first.X-3) > 1e-6 || math.Abs(moved.Y-first.Y-1) > 1e-6 {
		t.Errorf("three to the right and one down moved it by (%g, %g), want (3, 1) px of the film", moved.X-first.X, moved.Y-first.Y)
	}
	for range 4 {
		must(t, p.TapOn(`[data-film="undo"]`))
	}
	if q := placed(t, p)["trochanter-tip"]; q != first {
		t.Errorf("four steps back: %+v, want %+v", q, first)
	}
	must(t, p.TapOn(`[data-film="redo"]`))
	if q := placed(t, p)["trochanter-tip"]; math.Abs(q.X-first.X-1) > 1e-6 || q.Y != first.Y {
		t.Errorf("one step forward: %+v, want 1 px to the right of %+v", q, first)
	}
	quiet(t, p)
}

// halo reports whether light and dark are drawn beside each other about a
// place of the film, so that a line is seen on any ground.
func halo(t *testing.T, p *Phone, x, y float64) bool {
	t.Helper()
	at := onFilm(t, p, x, y)
	light, dark := 0, 0
	for _, q := range drawn(t, p, ".over", Spot{at.X - 16, at.Y - 16}, 32, 32) {
		switch {
		case q[3] < 130:
		case q[0]+2*q[1]+q[2] > 4*140:
			light++
		case q[0]+2*q[1]+q[2] < 4*40:
			dark++
		}
	}
	return light > 20 && dark > 20
}

// drawn returns the pixels of one of the film's canvases within a box of the
// screen: red, green, blue and how opaque. It reads a copy: the canvas itself
// is not for reading.
func drawn(t *testing.T, p *Phone, canvas string, at Spot, w, h float64) [][]int {
	t.Helper()
	flat := eval[[]int](t, p, fmt.Sprintf(`(() => { const s = document.getElementById("film-stage"), r = s.getBoundingClientRect(), c = s.querySelector(%q), k = c.width / r.width;
		const copy = new OffscreenCanvas(Math.round(%g * k), Math.round(%g * k)), x = copy.getContext("2d", { willReadFrequently: true });
		x.drawImage(c, (%g - r.left) * k, (%g - r.top) * k, copy.width, copy.height, 0, 0, copy.width, copy.height);
		return [...x.getImageData(0, 0, copy.width, copy.height).data]; })()`, canvas, w, h, at.X, at.Y))
	var out [][]int
	for i := 0; i+3 < len(flat); i += 4 {
		out = append(out, flat[i:i+4])
	}
	return out
}

// pipeFilm is a drawn pipe: outer radius 75 px, inner 22 px at its narrowest at
// 600 px, widening by (y − 600)²/14400, middle at x = 160.
func pipeFilm(t *testing.T) string {
	t.Helper()
	half := func(r, d float64) float64 { return math.Sqrt(math.Max(0, r*r-d*d)) }
	im := image.NewGray16(image.Rect(0, 0, 320, 1200))
	grain := uint32(1)
	for y := range 1200 {
		for x := range 320 {
			sum := 0.0
			for i := range 16 {
				d := float64(x) - 0.375 + 0.25*float64(i%4) - 160
				fy := float64(y) - 0.375 + 0.25*float64(i/4)
				sum += 1 - math.Exp(-2*(half(75, d)-half(22+(fy-600)*(fy-600)/14400, d))/60)
			}
			grain = grain*1664525 + 1013904223
			im.SetGray16(x, y, color.Gray16{Y: uint16(3000 + 50000*sum/16 + float64(grain>>24))})
		}
	}
	file := filepath.Join(t.TempDir(), "pipe.png")
	f, err := os.Create(file)
	must(t, err, png.Encode(f, im), f.Close())
	return file
}
