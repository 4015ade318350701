package browser

import (
	"fmt"
	"strings"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/phantom"
)

// A trainee without a network starts a practice case: its films are drawn on
// the phone, the ball is found and accepted, the canal is marked where it
// truly is, and compared. After a reload all is still there; deleted it is
// gone.
func TestPracticeWithoutNetwork(t *testing.T) {
	drawing, _ := phantom.Practice(0)
	know, err := phantom.Know(drawing.Femur, drawing.Setups[0])
	must(t, err)
	host := site(t)
	p := phone(t, Setup{Slow: 1})
	must(t, p.Visit(host.URL("/cases")))
	running(t, p)
	kept(t, p)
	must(t, host.Stop(), p.Reload())
	started2(t, p)
	must(t, p.TapText("Practice on drawn films"), p.Wait(`/0 of 6 started, 0 compared/.test(document.querySelector("[data-count=practice]")?.innerText)`))
	theatreReady(t, p, "/practice")
	must(t, p.TapOn(`[data-do="practice-start|isthmic-transverse"]`), p.Wait(`document.querySelector(".says progress")?.value > 10`))
	must(t, p.TapText("Stop"), p.Wait(`/Nothing was kept/.test(document.querySelector(".says")?.innerText)`))
	must(t, p.TapOn(`[data-do="practice-start|isthmic-transverse"]`), p.Wait(`location.pathname.startsWith("/case/") && document.querySelector("h1").innerText === "Practice 1"`))
	home := eval[string](t, p, `location.pathname`)
	must(t, p.Wait(`document.querySelector("[data-practice]") && /nobody's/.test(document.querySelector(".top .mark").innerText)`))
	theatreReady(t, p, "sheet")
	measureOnFilm(t, p, home, know)
	comparePractice(t, p, home)
	must(t, p.Reload(), p.Wait(`document.querySelector("[data-measure=canal-ap] .verdict")?.innerText === "within your doubt"`))
	theatreReady(t, p, "compare")
	goTo(t, p, place{path: home + "/kit", title: "Kit"})
	theatreReady(t, p, "kit")
	goTo(t, p, place{path: "/practice", title: "Practice"})
	must(t, p.Wait(`/1 of 6 started, 1 compared/.test(document.querySelector("[data-count=practice]").innerText)`), p.TapText("Go on"), p.Wait(fmt.Sprintf(`location.pathname === %q`, home)))
	goTo(t, p, place{path: "/cases", title: "Cases"})
	must(t, p.Wait(`/nobody's/.test(document.querySelector(".list .mark").innerText)`), p.TapOn(`[data-do^="case-delete|"]`), p.Wait(`!document.querySelector(".list li")`))
	goTo(t, p, place{path: "/practice", title: "Practice"})
	must(t, p.Wait(`/0 of 6 started, 0 compared/.test(document.querySelector("[data-count=practice]").innerText)`))
	quiet(t, p)
}

// measureOnFilm lets the ball be found, accepts it, and marks the canal.
func measureOnFilm(t *testing.T, p *Phone, home string, know phantom.Truth) {
	t.Helper()
	goTo(t, p, place{path: home + "/film/0", title: "Film 1"})
	must(t, p.Wait(`document.querySelector("#film-stage[data-matrix]")`), p.TapOn(`[data-film="mode|scale"]`), p.TapOn(`[data-film="add|ball"]`), p.TapOn(`[data-film="pad|true"]`))
	keys(t, p, "film", "25")
	press(t, p, "at-bone|yes")
	must(t, p.TapOn(`[data-film="find|ball"]`), p.Wait(`/once/.test(document.querySelector(".filmpanel .hint")?.innerText)`))
	ball := know.Balls[0].Centre
	tapFilm(t, p, float64(ball.X), float64(ball.Y))
	must(t, p.Wait(`document.querySelector('[data-film="accept"]')`), p.TapOn(`[data-film="accept"]`), p.Wait(`/Scale from/.test(document.querySelector(".filmresult").innerText)`))
	must(t, p.TapOn(`[data-film="mode|points"]`))
	for _, l := range []anatomy.Landmark{anatomy.CanalA, anatomy.CanalB} {
		at := know.At[l].Film
		fit(t, p)
		zoom(t, p, float64(at.X), float64(at.Y), 4)
		placeLandmark(t, p, string(l), float64(at.X), float64(at.Y))
	}
}

// comparePractice asks once for what is true. By hand: 0.2 mm · 1000/1150 =
// 0.1739 mm a pixel, and the canal is 11.4 mm wide (core/phantom).
func comparePractice(t *testing.T, p *Phone, home string) {
	t.Helper()
	goTo(t, p, place{path: home, title: "Practice 1"})
	must(t, p.TapText("Compare with what is true"), p.Wait(`document.querySelector("[data-do=practice-reveal]")`))
	if s := eval[string](t, p, `document.body.innerText`); strings.Contains(s, "11.4") {
		t.Error("what is true is shown before anybody asked")
	}
	must(t, p.TapOn("[data-do=practice-reveal]"), p.Wait(`document.querySelector("[data-measure=canal-ap] .verdict")`))
	for row, want := range map[string]string{"scale-ap": "0.1739", "canal-ap": "11.4\u00a0mm"} {
		got := eval[string](t, p, fmt.Sprintf(`document.querySelector("[data-measure=%s]").innerText`, row))
		if !strings.Contains(got, want) || !strings.Contains(got, "within your doubt") {
			t.Errorf("%s says %q, want %s within the doubt", row, got, want)
		}
	}
	if s := eval[string](t, p, `document.querySelector("[data-measure=head]").innerText`); !strings.Contains(s, "not measured") {
		t.Errorf("the head says %q", s)
	}
}

// theatreReady fails the test for what no screen may be: wider than the phone,
// too small for a finger, not accessible, or faint in the dark.
func theatreReady(t *testing.T, p *Phone, where string) {
	t.Helper()
	handy(t, p, where)
	eval[bool](t, p, `(document.documentElement.dataset.look = "dark", true)`)
	for _, s := range eval[[]string](t, p, faint) {
		t.Errorf("%s: too faint: %s", where, s)
	}
	eval[bool](t, p, `(delete document.documentElement.dataset.look, true)`)
}
