package browser

import (
	"math"
	"strings"
	"testing"
)

// On a desktop the same film is worked with mouse and keyboard: the wheel and
// the plus and minus keys magnify about the mouse or the point, the mouse
// drags, the arrows move by one pixel, Control with Z and Y goes back and
// forth, Delete lifts; two films stand side by side.
func TestFilmOnADesktop(t *testing.T) {
	p := filmOpen(t, Setup{Slow: 1, Width: 1280, Height: 800, Scale: 1}, dicomFilm)
	toCase(t, p, "/films")
	openFilm(t, p, jpegFilm)
	press(t, p, "mode|points")
	openGroup(t, p, "length")
	must(t, p.Click(middle(t, p)), p.Wait(`/trochanter-tip/.test(document.getElementById("film-chips").dataset.placed)`))
	first := placed(t, p)["trochanter-tip"]
	a, c := matrix(t, p), middle(t, p)
	at := onFilm(t, p, first.X, first.Y)
	if math.Hypot(at.X-c.X, at.Y-c.Y) > 1.5 {
		t.Errorf("a click at (%.1f, %.1f) put the point at (%.1f, %.1f)", c.X, c.Y, at.X, at.Y)
	}
	must(t, p.Wheel(c, -200))
	b := matrix(t, p)
	if b[0] < 1.2*a[0] {
		t.Errorf("the wheel magnified from %g to %g", a[0], b[0])
	}
	if now := onFilm(t, p, first.X, first.Y); math.Hypot(now.X-at.X, now.Y-at.Y) > 2 {
		t.Errorf("the place under the mouse moved by (%.1f, %.1f)", now.X-at.X, now.Y-at.Y)
	}
	must(t, p.Click(onFilm(t, p, first.X, first.Y)))
	must(t, p.TapOn(`[data-film="landmark|trochanter-tip"]`))
	eval[bool](t, p, `(document.getElementById("film-stage").focus(), true)`)
	byKeys(t, p)
	screenshot(t, p, "film-desktop")
	beside(t, p)
	quiet(t, p)
}

// byKeys moves the picked point by the keyboard alone.
func byKeys(t *testing.T, p *Phone) {
	t.Helper()
	before := placed(t, p)["trochanter-tip"]
	for _, k := range []string{"ArrowLeft", "ArrowLeft", "ArrowUp"} {
		must(t, p.Key(k, false))
	}
	if q := placed(t, p)["trochanter-tip"]; math.Abs(q.X-before.X+2) > 1e-6 || math.Abs(q.Y-before.Y+1) > 1e-6 {
		t.Errorf("two to the left and one up: from %+v to %+v", before, q)
	}
	must(t, p.Key("z", true), p.Key("z", true))
	if q := placed(t, p)["trochanter-tip"]; math.Abs(q.X-before.X+1) > 1e-6 || q.Y != before.Y {
		t.Errorf("two steps back: %+v, want 1 px left of %+v", q, before)
	}
	must(t, p.Key("y", true))
	if q := placed(t, p)["trochanter-tip"]; math.Abs(q.X-before.X+2) > 1e-6 {
		t.Errorf("one step forward: %+v", q)
	}
	m := matrix(t, p)[0]
	must(t, p.Key("+", false))
	if now := matrix(t, p)[0]; math.Abs(now/m-1.6) > 0.02 {
		t.Errorf("+ magnifies %g times, want 1.6", now/m)
	}
	must(t, p.Key("-", false))
	if now := matrix(t, p)[0]; math.Abs(now/m-1) > 0.01 {
		t.Errorf("− takes it back to %g times", now/m)
	}
	held := placed(t, p)["trochanter-tip"]
	at := onFilm(t, p, held.X, held.Y)
	k := matrix(t, p)[0]
	must(t, p.MouseDrag(at, Spot{at.X + 6, at.Y}, Spot{at.X + 20, at.Y + 10}, Spot{at.X + 46, at.Y + 30}))
	if q := placed(t, p)["trochanter-tip"]; math.Abs((q.X-held.X)*k-40) > 3 || math.Abs((q.Y-held.Y)*k-30) > 3 {
		t.Errorf("dragged by (40, 30) css px after 6 of slack, it moved by (%.1f, %.1f)", (q.X-held.X)*k, (q.Y-held.Y)*k)
	}
	must(t, p.Key("Delete", false), p.Wait(`!/trochanter-tip/.test(document.getElementById("film-chips").dataset.placed)`))
}

// beside shows the other film next to the one that is worked on.
func beside(t *testing.T, p *Phone) {
	t.Helper()
	must(t, p.TapOn(`[data-film="beside|0"]`), p.Wait(`document.querySelector("#film-beside[data-matrix]")`))
	two := eval[[]float64](t, p, `["film-stage", "film-beside"].flatMap((id) => { const r = document.getElementById(id).getBoundingClientRect(); return [r.left, r.right, r.width]; })`)
	if two[1] > two[3]+1 || two[2] < 300 || two[5] < 300 {
		t.Errorf("the films lie at %v, want them side by side, each 300 css px wide at least", two)
	}
	if words := eval[string](t, p, `document.querySelector(".beside").innerText`); !strings.Contains(words, "looked at") {
		t.Errorf("beside it stands %q, want that it is only looked at", words)
	}
	screenshot(t, p, "film-beside")
}

// A film of several frames is looked at frame by frame, and says loudly which
// one is measured; another window changes the picture and nothing else.
func TestFramesAndWindows(t *testing.T) {
	p := filmOpen(t, Setup{Slow: 1}, "testdata/films/variants/px_multiframe3.dcm")
	must(t, p.TapOn(`[aria-label="Frame of 3 more"]`), p.Wait(`/Frame 2 is shown, frame 1 is measured/.test(document.querySelector(".over-top").innerText)`))
	screenshot(t, p, "film-frames")
	must(t, p.TapOn(`[data-film="frame-take"]`), p.Wait(`!/is measured/.test(document.querySelector(".over-top").innerText)`))
	press(t, p, "mode|look")
	must(t, p.Wait(`document.querySelectorAll('[data-film^="window|"]').length > 2`))
	names := eval[string](t, p, `[...document.querySelectorAll('[data-film^="window|"]')].map((b) => b.innerText).join(", ")`)
	for _, want := range []string{"bone", "soft tissue", "whole range"} {
		if !strings.Contains(names, want) {
			t.Errorf("the windows are %s, want %s among them", names, want)
		}
	}
	picture := func() (mean float64) {
		c := middle(t, p)
		pixels := drawn(t, p, ".under", Spot{c.X - 60, c.Y - 60}, 120, 120)
		for _, q := range pixels {
			mean += float64(q[0]) / float64(len(pixels))
		}
		return mean
	}
	was := picture()
	must(t, p.TapText("bone"))
	must(t, p.Wait(`[...document.querySelectorAll('[data-film^="window|"]')].some((b) => b.innerText === "bone" && b.getAttribute("aria-pressed") === "true")`))
	matrix(t, p)
	matrix(t, p)
	if now := picture(); math.Abs(now-was) < 0.5 {
		t.Errorf("the window of bone leaves the picture as bright as it was, %g and %g", was, now)
	}
	handy(t, p, "windows")
	must(t, p.TapOn(`[data-film="mirror"]`), p.Wait(`/MIRRORED VIEW/.test(document.querySelector(".over-top").innerText)`))
	press(t, p, "mode|points")
	if !eval[bool](t, p, `/MIRRORED VIEW/.test(document.querySelector(".over-top").innerText)`) {
		t.Error("a mirrored view is not shouted where points are placed")
	}
	quiet(t, p)
}

// The letter on the film is asked for; one of the other side, and one that
// reads the wrong way round, are shouted over the picture.
func TestSideLetter(t *testing.T) {
	host := site(t)
	p := phone(t, Setup{Slow: 1})
	must(t, p.Visit(host.URL("/cases")))
	running(t, p)
	newCase(t, p)
	sayInjury(t, p) // a left femur
	openFilm(t, p, jpegFilm)
	press(t, p, "letter|right")
	must(t, p.Wait(`/WRONG SIDE/.test(document.querySelector(".over-top").innerText)`))
	handy(t, p, "the letter")
	screenshot(t, p, "film-letter")
	press(t, p, "letter|left")
	must(t, p.Wait(`!/WRONG SIDE/.test(document.querySelector(".over-top").innerText)`))
	press(t, p, "letter-reads|no")
	must(t, p.Wait(`/FLIPPED FILM/.test(document.querySelector(".over-top").innerText)`))
	press(t, p, "mode|look")
	must(t, p.TapOn(`[data-film="mirror"]`), p.Wait(`!/FLIPPED/.test(document.querySelector(".over-top").innerText) && /MIRRORED VIEW/.test(document.querySelector(".over-top").innerText)`))
	quiet(t, p)
}
