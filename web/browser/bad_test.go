package browser

import (
	"fmt"
	"net/http"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"

	"isthmus/core/implant"
	"isthmus/web/build"
)

// row returns what a number's row shows, without its unit.
func row(t *testing.T, p *Phone, key string) string {
	t.Helper()
	return eval[string](t, p, fmt.Sprintf(`document.querySelector('[data-row=%q] .value').firstChild.data`, key))
}

// refused types a number that must be refused, closes the keypad and returns
// the sentence beside the row.
func refused(t *testing.T, p *Phone, key, number string) string {
	t.Helper()
	must(t, p.TapOn(fmt.Sprintf(`[data-row=%q] .value`, key)), p.Wait(`document.querySelector(".pad")`))
	for _, k := range number {
		must(t, p.TapOn(fmt.Sprintf(`.pad [data-do="key|%c"]`, k)))
	}
	must(t, p.TapOn(`.pad [data-do="key|set"]`), p.Wait(`document.querySelector(".pad .wrong[role=alert]")`))
	in := eval[string](t, p, `document.querySelector(".pad .wrong").innerText`)
	must(t, p.TapOn(`.pad [data-do="key|close"]:not(.padback)`), p.Wait(`!document.querySelector(".pad")`))
	beside := eval[string](t, p, fmt.Sprintf(`document.querySelector('[data-row=%q] .wrong').innerText`, key))
	if in != beside {
		t.Errorf("%s: the keypad says %q and the row %q", key, in, beside)
	}
	return beside
}

// A number that cannot be is refused on the keypad with what can be; it stays
// as it was typed, no answer is made of it, of its neighbour or of the one
// before, and the one before is there again when it is typed again.
func TestKeypadRefuses(t *testing.T) {
	host := site(t)
	p := phone(t, Setup{Slow: 1})
	must(t, p.Visit(host.URL("/sizes/head")))
	running(t, p)
	const depth, answer = "head.lower.depth", `document.querySelector("[data-answer='screw-lower'] .part").innerText`
	enter(t, p, depth, "98")
	choose(t, p, "head.lower.bone", "yes")
	must(t, p.Wait(answer+`.startsWith("90")`)) // common practice: 98 − 5 → 93 → 90
	for _, tt := range []struct {
		typed string
		words []string
	}{
		{"9800", []string{"“9800”", "outside what is possible", "type a number from 20 to 200 mm"}},
		{"3", []string{"“3”", "outside what is possible", "type a number from 20 to 200 mm"}},
		{".", []string{"“.”", "not a plain number", "type a number from 20 to 200 mm"}},
		{"99999999", []string{"“99999999”", "outside what is possible"}},
	} {
		holds(t, tt.typed, refused(t, p, depth, tt.typed), tt.words...)
		if got := row(t, p, depth); got != tt.typed {
			t.Errorf("the row shows %q, want %q as typed", got, tt.typed)
		}
		if got := eval[string](t, p, answer); got != "–" {
			t.Errorf("%s: the screw is %q, want none", tt.typed, got)
		}
		must(t, p.TapOn(fmt.Sprintf(`[data-do="step|%s|-"]`, depth)))
		if got := row(t, p, depth); got != tt.typed {
			t.Errorf("%s: one step down makes it %q, want still what was typed", tt.typed, got)
		}
	}
	must(t, p.TapOn(fmt.Sprintf(`[data-row=%q] .value`, depth)), p.Wait(`document.querySelector(".pad")`))
	if eval[bool](t, p, `Boolean(document.querySelector('.pad [data-do="key|-"]'))`) {
		t.Error("the keypad has a sign where no number is below zero")
	}
	for range 3 { // a second decimal mark is not taken
		must(t, p.TapOn(`.pad [data-do="key|."]`))
	}
	if got := eval[string](t, p, `document.querySelector(".pad output").firstChild.data`); got != "." {
		t.Errorf("after three decimal marks the keypad shows %q, want one", got)
	}
	must(t, p.TapOn(`.pad [data-do="key|del"]`))
	keys(t, p, "do", "97.5")
	must(t, p.Wait(answer+`.startsWith("90")`)) // 97.5 − 5 → 92.5 → 90
	if eval[bool](t, p, `Boolean(document.querySelector(".wrong:not(:empty)"))`) {
		t.Error("a sentence about a refused number stays after a good one")
	}
	quiet(t, p)
}

// A ball marked so small that its scale would be a guess is refused with what
// to do; its marks stay and can be undone.
func TestBallTooSmall(t *testing.T) {
	host := site(t)
	p := phone(t, Setup{Slow: 1})
	must(t, p.Visit(host.URL("/cases")))
	started2(t, p)
	newCase(t, p)
	toCase(t, p, "/films")
	openFilm(t, p, jpegFilm)
	must(t, p.TapOn(`[data-film="mode|scale"]`), p.TapOn(`[data-film="add|ball"]`), p.TapOn(`[data-film="pad|true"]`))
	keys(t, p, "film", "25")
	press(t, p, "at-bone|yes")
	const x, y, r = 1000.25, 1560.75, 2.5
	zoom(t, p, x, y, 13)
	for _, d := range [][2]float64{{1, 0}, {-0.5, 0.8660254}, {-0.5, -0.8660254}} {
		tapFilm(t, p, x+r*d[0], y+r*d[1])
	}
	must(t, p.Wait(`document.querySelector(".filmpanel .care")`))
	said := eval[string](t, p, `document.querySelector(".filmpanel .care").innerText`)
	holds(t, "a ball of 5 px", said, "px wide, need 40", "zoom in and mark its rim again")
	if got := eval[string](t, p, `document.querySelector(".filmresult").innerText`); strings.Contains(got, "mm a pixel") || strings.Contains(got, "mm\u00a0a pixel") {
		t.Errorf("the film says %q, want no scale", got)
	}
	if got := eval[string](t, p, `document.querySelector(".filmpanel .hint").innerText`); !strings.Contains(got, "3 on the rim") {
		t.Errorf("the panel says %q, want that the three marks are kept", got)
	}
	toCase(t, p, "/bone")
	if got := eval[string](t, p, `document.querySelector("main").innerText`); strings.Contains(got, "NaN") || strings.Contains(got, "Inf") {
		t.Errorf("the bone reads %s", got)
	}
	quiet(t, p)
}

// A shelf without a nail that fits leads to a sentence, or to a shorter nail
// and what is lost by it; never to a longer one.
func TestShelfWithoutANailThatFits(t *testing.T) {
	host := site(t)
	p := phone(t, Setup{Slow: 1})
	must(t, p.Visit(host.URL("/sizes/nail")))
	running(t, p)
	for _, n := range [][2]string{{"nail.rod", "900"}, {"nail.out", "565"}, {"nail.canal", "11"}} { // by hand: 900 − 565 = 335, less 5: 330
		enter(t, p, n[0], n[1])
	}
	for _, a := range [][2]string{{"nail.bone", "yes"}, {"nail.reduced", "yes"}, {"nail.side", "left"}} {
		choose(t, p, a[0], a[1])
	}
	const answer = `document.querySelector("[data-answer=nail]").innerText.replace(/\s+/g, " ")`
	must(t, p.Wait(answer+`.includes("× 320")`))
	take := func(change func(*implant.Nail) bool) {
		t.Helper()
		s := implant.Teaching()
		var left []implant.Nail
		for _, n := range s.Nails {
			if change(&n) {
				left = append(left, n)
			}
		}
		s.Nails = left
		goTo(t, p, place{path: "/shelf", title: "Shelf"})
		must(t, p.Upload(`input[data-file="shelf-file"]`, scratch(t, "shelf.csv", implant.WriteCSV(s))))
		holds(t, "the shelf", told(t, p), "read")
		goTo(t, p, place{path: "/sizes/nail", title: "Nail"})
	}
	take(func(n *implant.Nail) bool { return n.Length >= 400 })
	must(t, p.Wait(`document.querySelector("[data-problem='nail-too-long']")`))
	holds(t, "only long nails", eval[string](t, p, `document.querySelector("[data-problem='nail-too-long']").innerText`), "too long", "The room is 330", "400 mm", "do not take a longer one")
	if got := eval[string](t, p, answer); strings.Contains(got, "400") {
		t.Errorf("of nails that are too long the screen says %q", got)
	}
	take(func(n *implant.Nail) bool {
		if n.Length == 320 {
			n.Stock = 0
		}
		return true
	})
	must(t, p.Wait(answer+`.includes("× 300")`), p.TapOn(`[data-do="why|nail-lost"]`))
	must(t, p.Wait(`document.querySelector('[data-do="why|nail-lost"]').parentElement.querySelector("li")`))
	holds(t, "320 out of stock", eval[string](t, p, `document.querySelector('[data-do="why|nail-lost"]').parentElement.innerText`), "320 mm", "300 mm")
	if got := row(t, p, "nail.rod"); got != "900" {
		t.Errorf("the rod reads %q after the shelf has changed, want 900", got)
	}
	quiet(t, p)
}

// When the reader of films does not come, is no program, or dies at once, a
// sentence says so, the page lives on and the case is as it was; as soon as
// the reader is there again the same page opens the film.
func TestFilmReaderDies(t *testing.T) {
	s, err := built()
	must(t, err)
	var sent atomic.Pointer[[]byte] // what is sent for the reader; none: an error
	var whole atomic.Bool
	host, err := Serve(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path != "/film.wasm" || whole.Load() {
			s.ServeHTTP(w, r)
			return
		}
		if b := sent.Load(); b != nil {
			w.Header().Set("Content-Type", "application/wasm")
			w.Write(*b)
			return
		}
		http.Error(w, "gone", http.StatusServiceUnavailable)
	}))
	must(t, err)
	t.Cleanup(func() { host.Stop() })
	p := phone(t, Setup{Slow: 1})
	must(t, p.Visit(host.URL("/cases")))
	started2(t, p)
	newCase(t, p)
	toCase(t, p, "/films")
	root, err := build.Root()
	must(t, err)
	film := func() string { return filepath.Join(root, "testdata/films/variants/sp_none.dcm") }
	for _, tt := range []struct {
		name  string
		wasm  []byte
		words []string
	}{
		{"does not come", nil, []string{"could not be loaded", "status 503", "reload the page and try again"}},
		{"is no program", []byte("<html>gone</html>"), []string{"could not be loaded", "reload the page and try again"}},
		{"dies at once", []byte("\x00asm\x01\x00\x00\x00"), []string{"try again"}},
	} {
		if sent.Store(&tt.wasm); tt.wasm == nil {
			sent.Store(nil)
		}
		must(t, p.Upload(`input[data-file="film-file"]`, film()))
		holds(t, tt.name, told(t, p), tt.words...)
		if got := eval[string](t, p, `document.querySelector("main").innerText`); !strings.Contains(got, "No film yet") {
			t.Errorf("%s: the case has changed: %s", tt.name, got)
		}
	}
	whole.Store(true)
	must(t, p.Upload(`input[data-file="film-file"]`, film()))
	must(t, p.Wait(`location.pathname.includes("/film/") && document.querySelector("#film-stage[data-matrix]") && !document.querySelector(".opening")`))
	toCase(t, p, "/injury")
	choose(t, p, "side", "left")
	must(t, p.Wait(`document.querySelector(".top .aside").innerText === "saved"`))
}

// Two tabs on one case: the second to write is told, its edit stays on its
// screen and can be kept as a second case; what the first wrote stays.
func TestTwoTabsOnOneCase(t *testing.T) {
	host := site(t)
	a := phone(t, Setup{Slow: 1})
	must(t, a.Visit(host.URL("/cases")))
	started2(t, a)
	newCase(t, a)
	toCase(t, a, "/injury")
	must(t, a.Wait(`document.querySelector(".top .aside").innerText === "saved"`))
	b, err := a.Tab(Setup{Slow: 1})
	must(t, err)
	t.Cleanup(b.Close)
	address := eval[string](t, a, `location.href`)
	must(t, b.Visit(address), b.Wait(`document.querySelector("[data-row='neck']")`))
	choose(t, a, "side", "left")
	must(t, a.Wait(`document.querySelector(".top .aside").innerText === "saved"`))
	choose(t, b, "level", "mid-shaft")
	must(t, b.Wait(`document.querySelector(".top .aside").innerText === "NOT SAVED"`))
	holds(t, "the second tab", eval[string](t, b, `document.querySelector(".stop[role=alert]").innerText`), "another tab", "second case")
	const level = `document.querySelector('[data-do="set|level|mid-shaft"]')?.getAttribute("aria-pressed") === "true"`
	const side = `document.querySelector('[data-do="set|side|left"]')?.getAttribute("aria-pressed") === "true"`
	if !eval[bool](t, b, level) {
		t.Error("the edit of the second tab is gone from its screen")
	}
	must(t, b.TapText("Keep both copies"), b.Wait(fmt.Sprintf(`location.href !== %q && location.pathname.startsWith("/case/") && document.querySelector(".top .aside")?.innerText === "saved"`, address)))
	toCase(t, b, "/injury")
	must(t, b.Reload(), b.Wait(level))
	if eval[bool](t, b, side) {
		t.Error("the copy of the second tab holds the edit of the first")
	}
	must(t, a.Reload(), a.Wait(side))
	if eval[bool](t, a, level) {
		t.Error("the case of the first tab holds the edit of the second")
	}
	must(t, a.Visit(host.URL("/cases")), a.Wait(`document.querySelectorAll(".list a").length === 2`))
}
