package screen

import (
	"math"
	"regexp"
	"strconv"
	"testing"

	"isthmus/app/state"
	"isthmus/app/viewer"
	"isthmus/core/geom"
)

// through works out what a CSS filter makes of a grey, 0…1. Source: W3C Filter
// Effects Module 1, 12: brightness multiplies, contrast turns about 0.5, invert
// is 1 − v, and each is cut off at 0 and 1.
func through(t *testing.T, filter string, v float64) float64 {
	t.Helper()
	for _, m := range regexp.MustCompile(`(\w+)\(([^)%]+)(%?)\)`).FindAllStringSubmatch(filter, -1) {
		k, err := strconv.ParseFloat(m[2], 64)
		if err != nil || k < 0 {
			t.Fatalf("filter %q", filter)
		}
		if m[3] == "%" {
			k /= 100
		}
		switch m[1] {
		case "brightness":
			v *= k
		case "contrast":
			v = (v-0.5)*k + 0.5
		case "invert":
			v = 1 - v
		default:
			t.Fatalf("unknown filter %q", m[1])
		}
		v = math.Max(0, math.Min(v, 1))
	}
	return v
}

// seen is the grey that brightness, then contrast, give with one cut at the
// end, by hand.
func seen(e eyes, p float64) float64 {
	if e.invert {
		p = 1 - p
	}
	b, k := float64(e.bright)/100, float64(e.contrast)/100
	return math.Max(0, math.Min((b*p-0.5)*k+0.5, 1))
}

var looks = []eyes{{100, 100, false}, {100, 100, true}, {150, 200, false}, {150, 200, true}, {60, 50, false}, {60, 50, true}, {300, 40, false}, {40, 400, true}, {110, 130, false}}

func TestFilterShowsWhatIsWanted(t *testing.T) {
	for _, made := range looks {
		for _, e := range looks {
			a := made.wanted()
			filter := e.filter(a)
			for p := 0.0; p <= 1; p += 1.0 / 64 {
				q := a.gain*p + a.lift
				if q < 0 || q > 1 { // what the picture has cut off no filter brings back
					continue
				}
				if got, want := through(t, filter, q), seen(e, p); math.Abs(got-want) > 2e-3 {
					t.Fatalf("a picture made for %+v, seen by %+v through %q: grey %.3f is %.4f, want %.4f", made, e, filter, p, got, want)
				}
			}
		}
	}
}

// The window that is asked for shows what the filter shows, wherever the
// picture of the window before was not cut off.
func TestLitWindowIsTheFilter(t *testing.T) {
	linear := func(x, c, w float64) float64 { return (x-(c-0.5))/(w-1) + 0.5 } // DICOM PS3.3, C.11.2.1.2.1
	exact := func(x, c, w float64) float64 { return (x-c)/w + 0.5 }            // C.11.2.1.3.2
	for _, shape := range []string{"linear", "linear-exact"} {
		for _, inverted := range []bool{false, true} {
			before := state.Window{Centre: 2000, Width: 1001, Shape: shape, Inverted: inverted}
			for _, e := range looks {
				w, ok := litWindow(before, e.wanted())
				if !ok || w.Shape != "linear-exact" {
					t.Fatalf("%+v in %+v: %+v, %v", e, before, w, ok)
				}
				for x := 1510.0; x <= 2490; x += 10 {
					p, q := exact(x, 2000, 1001), math.Max(0, math.Min(exact(x, w.Centre, w.Width), 1))
					if shape == "linear" {
						p = linear(x, 2000, 1001)
					}
					if inverted {
						p, q = 1-p, 1-q
					}
					if got, want := through(t, e.filter(e.wanted()), q), seen(e, p); math.Abs(got-want) > 2e-3 {
						t.Fatalf("%+v in %+v: value %g is %.4f, want %.4f", e, before, x, got, want)
					}
				}
			}
		}
	}
	for _, w := range []state.Window{{Shape: "sigmoid", Width: 100}, {Shape: "table"}, {Shape: "linear", Width: 1}, {Shape: "linear", Width: math.NaN()}} {
		if got, ok := litWindow(w, plainTone); ok {
			t.Errorf("%+v gives %+v, want refused: no straight line", w, got)
		}
	}
}

// A finger sets the light: up is brighter, right is more contrast; nothing is
// placed, and the film stays where it is. Two fingers move the film.
func TestLightByDragging(t *testing.T) {
	fp, s := filmOnScreen(t)
	fp.act("view|ap")
	fp.act("mode|look")
	if fp.lighting.on {
		t.Fatal("dragging sets the light before anybody asked for it")
	}
	fp.act("light")
	view, ms := fp.view, 0.0
	finger := func(ph viewer.Phase, id int, x, y viewer.Css) {
		ms += 20
		fp.pointer(viewer.Event{Phase: ph, ID: id, At: geom.Pt[viewer.Css]{X: x, Y: y}, Ms: ms})
	}
	finger(viewer.Down, 1, 200, 500)
	finger(viewer.Move, 1, 203, 498)
	if fp.eyes != plainEyes() {
		t.Errorf("a finger that rolls changes the light: %+v", fp.eyes)
	}
	finger(viewer.Move, 1, 210, 490) // the slack
	finger(viewer.Move, 1, 210, 390) // 100 up: × e^(100/240) = 1.517, by hand
	finger(viewer.Move, 1, 110, 390) // 100 left: × 0.659
	finger(viewer.Up, 1, 110, 390)
	if fp.eyes != (eyes{bright: 152, contrast: 66}) {
		t.Errorf("%+v, want 152 %% and 66 %%", fp.eyes)
	}
	if fp.view != view || fp.placing() || len(film(t, s).Points) != 0 {
		t.Error("a drag that sets the light moved the film or placed something")
	}
	finger(viewer.Down, 1, 200, 500)
	finger(viewer.Move, 1, 230, 500)
	finger(viewer.Move, 1, 260, 500) // a moment of one finger before the second
	finger(viewer.Down, 2, 300, 500)
	finger(viewer.Move, 1, 160, 500)
	finger(viewer.Move, 2, 400, 500)
	finger(viewer.Up, 2, 400, 500)
	finger(viewer.Up, 1, 160, 500)
	if fp.eyes != (eyes{bright: 152, contrast: 66}) || !(fp.view.Scale() > 2*view.Scale()) {
		t.Errorf("two fingers: %+v, magnified %g times", fp.eyes, fp.view.Scale()/view.Scale())
	}
	finger(viewer.Down, 3, 200, 500)
	finger(viewer.Move, 3, 200, 480)
	finger(viewer.Move, 3, 200, 5000)
	if fp.eyes.bright != dimmest {
		t.Errorf("brightness %d, want its least", fp.eyes.bright)
	}
	finger(viewer.Move, 3, viewer.Css(math.NaN()), 400)
	finger(viewer.Cancel, 3, 0, 0)
	if fp.eyes != (eyes{bright: 152, contrast: 66}) {
		t.Errorf("a drag that was taken away leaves %+v", fp.eyes)
	}
	if !fp.key("ArrowUp") || !fp.key("ArrowLeft") || fp.eyes != (eyes{bright: 162, contrast: 56}) {
		t.Errorf("arrows: %+v, want 162 %% and 56 %%", fp.eyes)
	}
	fp.key("Escape")
	if fp.lighting.on {
		t.Error("Escape does not end it")
	}
	fp.act("light")
	fp.act("mode|points")
	if fp.lighting.on || !fp.placing() {
		t.Error("it stays on where points are placed")
	}
}
