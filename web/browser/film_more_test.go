package browser

import (
	"fmt"
	"strings"
	"testing"
)

// A surgeon lets the ball be found on a real film and accepts it: the scale
// stands, and was not there before.
func TestFindBallOnAFilm(t *testing.T) {
	host := site(t)
	p := phone(t, Setup{Slow: 1})
	must(t, p.Visit(host.URL("/cases")))
	running(t, p)
	newCase(t, p)
	toCase(t, p, "/films")
	openFilm(t, p, jpegFilm)
	must(t, p.TapOn(`[data-film="mode|scale"]`), p.TapOn(`[data-film="add|ball"]`), p.TapOn(`[data-film="pad|true"]`))
	keys(t, p, "film", "25")
	press(t, p, "at-bone|yes")
	must(t, p.TapOn(`[data-film="find|ball"]`), p.Wait(`/once/.test(document.querySelector(".filmpanel .hint")?.innerText)`))
	tapFilm(t, p, 1010, 1570)
	must(t, p.Wait(`document.querySelector('[data-film="accept"]')`))
	handy(t, p, "a proposal")
	if got := eval[string](t, p, `document.querySelector(".filmresult").innerText`); strings.Contains(got, "Scale from") {
		t.Errorf("says %q before anybody has accepted", got)
	}
	must(t, p.TapOn(`[data-film="accept"]`), p.Wait(`/Scale from/.test(document.querySelector(".filmresult").innerText)`))
	// 25 mm over a ball drawn 150 px across: 0.1667 mm a pixel, by hand
	if got := eval[string](t, p, `document.querySelector(".filmresult").innerText`); !strings.HasPrefix(got, "0.16") {
		t.Errorf("says %q, want 0.167 mm a pixel", got)
	}
	must(t, p.TapOn(`[data-film="undo"]`), p.Wait(`/Still needed/.test(document.querySelector(".filmresult").innerText)`))
	pieces := `document.querySelectorAll(".filmpanel .piece").length`
	must(t, p.TapOn(`[data-film="piece|"]`), p.Wait(pieces+" === 1"), p.TapOn(`[data-film="find|balls"]`), p.Wait(`document.querySelector('[data-film="accept"]')`))
	handy(t, p, "all balls")
	must(t, p.TapOn(`[data-film="accept"]`), p.Wait(pieces+" === 2")) // the film has one ball; it is one piece more, and its size is not known
	if got := eval[string](t, p, `document.querySelector(".filmresult").innerText`); strings.Contains(got, "Scale from") {
		t.Errorf("a ball of unknown size gives a scale: %q", got)
	}
	press(t, p, "mode|points")
	must(t, p.TapOn(`[data-film="groups"]`), p.Wait(`document.querySelector(".groups")`))
	handy(t, p, "groups of landmarks")
	quiet(t, p)
}

// The corners of a photo, a ruler in it and two landmarks give a length: the
// photo alone does not.
func TestPhotoToLength(t *testing.T) {
	host := site(t)
	p := phone(t, Setup{Slow: 1})
	must(t, p.Visit(host.URL("/cases")))
	running(t, p)
	newCase(t, p)
	toCase(t, p, "/films")
	openFilm(t, p, jpegFilm)
	must(t, p.TapOn(`[data-film="photo"]`), p.Wait(`/1 of 4/.test(document.querySelector(".filmpanel .hint").innerText)`))
	corners := [][2]float64{{100, 100}, {1500, 100}, {1500, 1820}, {100, 1820}} // 14 : 17.2
	for i, c := range corners {
		sureTap(t, p, c[0], c[1])
		if i < 3 {
			must(t, p.Wait(fmt.Sprintf(`/%d of 4/.test(document.querySelector(".filmpanel .hint").innerText)`, i+2)))
		}
	}
	must(t, p.Wait(`document.querySelector('[data-film="film-size|4"]')`))
	handy(t, p, "corners of a photo")
	press(t, p, "film-size|4") // 35 × 43 cm: 1400 × 1720 px is 0.25 mm a pixel
	if got := eval[string](t, p, `document.querySelector(".filmpanel").innerText`); !strings.Contains(got, "no millimetre") || !strings.Contains(got, "tilted") {
		t.Errorf("says %q: how far the camera stood askew, and that there is no millimetre in it, must stand there", got)
	}
	must(t, p.TapOn(`[data-film="mode|points"]`))
	fit(t, p)
	placeLandmark(t, p, "trochanter-tip", 700, 200)
	placeLandmark(t, p, "distal-target", 700, 1700)
	if got := eval[string](t, p, `document.querySelector(".filmresult").innerText`); !strings.Contains(got, "No scale") {
		t.Errorf("the photo alone says %q", got)
	}
	must(t, p.TapOn(`[data-film="mode|scale"]`), p.TapOn(`[data-film="add|ruler"]`), p.TapOn(`[data-film="pad|true"]`))
	keys(t, p, "film", "300")
	press(t, p, "at-bone|yes")
	sureTap(t, p, 300, 300)
	sureTap(t, p, 300, 1500)
	must(t, p.Wait(`/Photo|Scale from/.test(document.querySelector(".filmresult").innerText)`), p.TapOn(`[data-film="mode|points"]`))
	// 300 mm over 1200 px, 1500 px: 375 mm, by hand
	must(t, p.Wait(`/length 37[3-7]/.test(document.querySelector(".filmresult").innerText)`))
	quiet(t, p)
}

// handy fails the test for what is wider than the screen, too small for a
// finger, or breaks a rule of accessibility.
func handy(t *testing.T, p *Phone, where string) {
	t.Helper()
	for _, s := range append(eval[[]string](t, p, fits), eval[[]string](t, p, touchable)...) {
		t.Errorf("%s: wider than the screen or too small for a finger: %s", where, s)
	}
	for _, s := range accessibility(t, p) {
		t.Errorf("%s: not accessible: %s", where, s)
	}
}

// sureTap taps a place of the film from close by: a corner that is tapped on
// the whole film is too unsure for a photo to be made straight.
func sureTap(t *testing.T, p *Phone, x, y float64) {
	t.Helper()
	fit(t, p)
	zoom(t, p, x, y, 1)
	tapFilm(t, p, x, y)
}

// The chosen nail is laid over the film, moved by touch, and says what that
// means; the plan is as it was.
func TestNailOverTheFilm(t *testing.T) {
	host := site(t)
	p := phone(t, Setup{Slow: 1})
	must(t, p.Visit(host.URL("/cases")))
	running(t, p)
	newCase(t, p)
	sayInjury(t, p)
	openFilm(t, p, jpegFilm)
	must(t, p.TapOn(`[data-film="mode|nail"]`), p.Wait(`/no scale/.test(document.querySelector(".filmpanel").innerText)`))
	markBall(t, p)
	placeLandmarks(t, p)
	press(t, p, "mode|nail")
	value := func(code string) string {
		return eval[string](t, p, fmt.Sprintf(`document.querySelector('[data-pose="%s"] b')?.innerText ?? ""`, code))
	}
	must(t, p.Wait(`document.querySelector('[data-pose="burial"]')`))
	handy(t, p, "the nail over the film")
	before := value("burial")
	must(t, p.TapOn(`[data-film="nail-move|ArrowDown"]`), p.TapOn(`[data-film="nail-move|ArrowDown"]`))
	must(t, p.Wait(fmt.Sprintf(`document.querySelector('[data-pose="burial"] b').innerText !== %q`, before)))
	if a, b := value("burial"), value("target"); a == "" || b == "" {
		t.Errorf("burial %q, target %q", a, b)
	}
	must(t, p.TapOn(`[data-film="nail-plan"]`), p.Wait(fmt.Sprintf(`document.querySelector('[data-pose="burial"] b').innerText === %q`, before)))
	dragNail(t, p, value)
	quiet(t, p)
}

// dragNail moves the nail by its upper end and turns it by its lower one, with
// a finger.
func dragNail(t *testing.T, p *Phone, value func(string) string) {
	t.Helper()
	fit(t, p)
	before, m := value("burial"), matrix(t, p)
	// tip and target at x = 500, from 100 to 2080 px, the nail 5 mm deep: 30 px, by hand
	top, tip := onFilm(t, p, 500, 130), onFilm(t, p, 500, 130+320*6)
	must(t, p.Drag(top, Spot{top.X, top.Y + 12}, Spot{top.X, top.Y + 22}, Spot{top.X, top.Y + 12 + 120*m[3]}))
	must(t, p.Wait(fmt.Sprintf(`document.querySelector('[data-pose="burial"] b').innerText !== %q`, before)))
	if got := value("burial"); !strings.HasPrefix(got, "25") { // 120 px are 20 mm, by hand
		t.Errorf("dragged 20 mm deeper from %q: burial %q", before, got)
	}
	screenshot(t, p, "film-nail")
	turned := value("target")
	tip.Y += 120 * m[3]
	must(t, p.Drag(tip, Spot{tip.X + 12, tip.Y}, Spot{tip.X + 30, tip.Y}, Spot{tip.X + 60, tip.Y}))
	must(t, p.Wait(fmt.Sprintf(`document.querySelector('[data-pose="target"] b').innerText !== %q`, turned)))
	if title := eval[string](t, p, `document.querySelector(".filmpanel").innerText`); !strings.Contains(title, "as you laid it") {
		t.Errorf("says %q, want that a person laid it so", title)
	}
	screenshot(t, p, "film-nail-turned")
}
