package browser

import (
	"math"
	"strconv"
	"strings"
	"testing"
)

// The trace is drawn and offered; a person drags a wrong edge by touch and the
// trace goes through it; a point snaps to the edge beside it.
func TestTraceAnEdgeByTouch(t *testing.T) {
	p := filmOpen(t, Setup{Slow: 1}, pipeFilm(t))
	press(t, p, "mode|points")
	openGroup(t, p, "canal")
	must(t, p.TapOn(`[data-film="find|shaft"]`))
	fit(t, p)
	tapFilm(t, p, 160, 60)
	tapFilm(t, p, 160, 1140)
	must(t, p.Wait(`document.querySelector('[data-film="accept"]')`))
	canal := func() float64 {
		words := strings.ReplaceAll(eval[string](t, p, `document.querySelector(".filmpanel").innerText`), "\u00a0", " ")
		_, after, _ := strings.Cut(words, "Narrowest canal ")
		first, _, _ := strings.Cut(after, " ")
		v, err := strconv.ParseFloat(first, 64)
		if err != nil {
			t.Fatalf("no width of the canal in %q", words)
		}
		return v
	}
	before := canal()
	if math.Abs(before-44) > 2 {
		t.Errorf("the canal is %g px, drawn 44", before)
	}
	handy(t, p, "the trace")
	screenshot(t, p, "film-trace")
	zoom(t, p, 138, 600, 1.5)
	at := onFilm(t, p, 138, 600)
	k := matrix(t, p)[0]
	if drawnAt(t, p, 130, 600) || !drawnAt(t, p, 138, 600) {
		t.Error("before anybody has dragged it the inner edge must be drawn at 138 px and not at 130")
	}
	must(t, p.Drag(at, Spot{at.X - 12, at.Y}, Spot{at.X - 12 - 4*k, at.Y}, Spot{at.X - 12 - 8*k, at.Y})) // 12 px of slack, then 8 px of the film
	again := func(seen string) {
		must(t, p.Wait(`!document.querySelector('[data-film="accept"]')`), p.Wait(`document.querySelector('[data-film="accept"]')`))
		if got := strings.ReplaceAll(eval[string](t, p, `document.querySelector(".filmpanel .hint").innerText`), "\u00a0", " "); strings.Contains(got, "100 %") != (seen == "all") {
			t.Errorf("says %q, want %s of its levels seen", got, seen)
		}
		matrix(t, p)
	}
	again("not all") // there is no edge at 130 px: what a person says against the picture is left out and not made up
	if drawnAt(t, p, 138, 600) {
		t.Error("the edge is still drawn where a person has taken it away")
	}
	screenshot(t, p, "film-trace-dragged")
	from, to := onFilm(t, p, 138, 587), onFilm(t, p, 138, 600) // the next grip stands above the part that was left out
	must(t, p.Drag(from, Spot{from.X, from.Y + 12}, Spot{to.X, to.Y + 6}, Spot{to.X, to.Y + 12}))
	again("all")
	if !drawnAt(t, p, 138, 600) {
		t.Error("put back on the edge, the trace does not run through it")
	}
	fit(t, p)
	must(t, p.TapOn(`[data-film="accept"]`), p.Wait(`/shaft-lower/.test(document.getElementById("film-chips")?.dataset.placed)`))
	if got := placed(t, p); got["shaft-upper"].Slip == 0 || got["shaft-lower"].Y < got["shaft-upper"].Y+900 {
		t.Errorf("points %v, want both ends of the shaft", got)
	}
	must(t, p.TapOn(`[data-film="undo"]`))
	placeLandmark(t, p, "outer-a", 90, 300)
	must(t, p.TapOn(`[data-film="landmark|outer-a"]`), p.TapOn(`[data-film="snap"]`), p.Wait(`document.querySelector('[data-film="accept"]')`))
	must(t, p.TapOn(`[data-film="accept"]`), p.Wait(`!document.querySelector('[data-film="accept"]')`))
	if q := placed(t, p)["outer-a"]; math.Abs(q.X-85) > 2.5 {
		t.Errorf("snapped to %+v, want the outer edge at 85", q)
	}
	quiet(t, p)
}

// drawnAt reports whether something is drawn over the film within 3 css px of
// a place of it.
func drawnAt(t *testing.T, p *Phone, x, y float64) bool {
	t.Helper()
	at := onFilm(t, p, x, y)
	n := 0
	for _, q := range drawn(t, p, ".over", Spot{at.X - 3, at.Y - 3}, 6, 6) {
		if q[3] > 130 {
			n++
		}
	}
	return n > 4
}
