package browser

import (
	"math"
	"strings"
	"testing"
	"time"
)

// light returns brightness and contrast as the page says them, in per cent.
func light(t *testing.T, p *Phone) [2]int {
	t.Helper()
	time.Sleep(250 * time.Millisecond)
	v := eval[[]int](t, p, `[...document.querySelectorAll(".lightrows output")].map((o) => parseInt(o.innerText))`)
	if len(v) != 2 {
		t.Fatalf("the page says %v, want brightness and contrast", v)
	}
	return [2]int{v[0], v[1]}
}

// filterNow is what the picture is seen through.
func filterNow(t *testing.T, p *Phone) string {
	t.Helper()
	return eval[string](t, p, `document.querySelector("#film-stage .under").style.filter`)
}

// One finger on the film sets brightness and contrast, says so loudly, and
// places and moves nothing; two fingers still magnify; one tap ends it. When
// the light has rested, the picture is made in it from the values of the film,
// and needs no filter any more.
func TestLightByTouch(t *testing.T) {
	p := filmOpen(t, Setup{Slow: 1}, dicomFilm)
	press(t, p, "mode|look")
	handy(t, p, "look")
	must(t, p.TapOn(`[data-film="light"]`), p.Wait(`/SETS THE LIGHT/.test(document.querySelector(".over-top").innerText)`))
	handy(t, p, "light")
	screenshot(t, p, "film-light")
	a, c := matrix(t, p), middle(t, p)
	must(t, p.Drag(c, Spot{c.X, c.Y - 8}, Spot{c.X + 20, c.Y - 30}, Spot{c.X + 60, c.Y - 68}))
	// 60 css px up and 60 to the right after 8 of slack: 100 · e^(60/240) = 128
	if got := light(t, p); got != [2]int{128, 128} {
		t.Errorf("the page says %v, want 128 and 128", got)
	}
	if b := matrix(t, p); b[0] != a[0] || b[4] != a[4] || b[5] != a[5] {
		t.Errorf("the film lay at %v and lies at %v", a, b)
	}
	must(t, p.Wait(`/brightness\(100%\) contrast\(100%\)/.test(document.querySelector("#film-stage .under").style.filter)`))
	must(t, p.Pinch(Spot{c.X - 20, c.Y}, Spot{c.X + 20, c.Y}, Spot{c.X - 60, c.Y}, Spot{c.X + 60, c.Y}))
	if b := matrix(t, p); b[0] < 2.5*a[0] {
		t.Errorf("two fingers magnified %g times", b[0]/a[0])
	}
	if got := light(t, p); got != [2]int{128, 128} {
		t.Errorf("two fingers changed the light to %v", got)
	}
	must(t, p.TapOn(`[data-film="bright|+"]`))
	if got, f := light(t, p), filterNow(t, p); got != [2]int{138, 128} || strings.Contains(f, "brightness(100%)") {
		t.Errorf("a step more says %v and shows %q", got, f)
	}
	must(t, p.TapOn(`.shout [data-film="light-done"]`), p.Wait(`!/SETS THE LIGHT/.test(document.querySelector(".over-top").innerText)`))
	b := matrix(t, p)
	c = middle(t, p) // the stage is lower again
	must(t, p.Drag(c, Spot{c.X - 12, c.Y}, Spot{c.X - 52, c.Y - 20}))
	if m := matrix(t, p); math.Abs(m[4]-b[4]) < 20 {
		t.Error("after it a finger does not move the film")
	}
	if got := light(t, p); got != [2]int{138, 128} {
		t.Errorf("after it a finger changed the light to %v", got)
	}
	if ps := placed(t, p); len(ps) != 0 {
		t.Errorf("placed %v", ps)
	}
	quiet(t, p)
}

// The same by mouse, and by the arrow keys.
func TestLightByMouseAndKeys(t *testing.T) {
	p := filmOpen(t, Setup{Slow: 1, Width: 1280, Height: 800, Scale: 1}, dicomFilm)
	press(t, p, "mode|look")
	must(t, p.TapOn(`[data-film="light"]`), p.Wait(`document.querySelector(".shout.lit")`))
	c := middle(t, p)
	must(t, p.MouseDrag(c, Spot{c.X, c.Y + 8}, Spot{c.X - 20, c.Y + 30}, Spot{c.X - 60, c.Y + 68}))
	// 60 css px down and to the left: 100 · e^(−60/240) = 78
	if got := light(t, p); got != [2]int{78, 78} {
		t.Errorf("the page says %v, want 78 and 78", got)
	}
	must(t, p.Key("ArrowUp", false), p.Key("ArrowUp", false), p.Key("ArrowLeft", false))
	if got := light(t, p); got != [2]int{98, 68} {
		t.Errorf("after the arrows the page says %v, want 98 and 68", got)
	}
	screenshot(t, p, "film-light-desktop")
	must(t, p.Key("Escape", false), p.Wait(`!document.querySelector(".shout.lit")`))
	quiet(t, p)
}
