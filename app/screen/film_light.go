package screen

import (
	"math"
	"strconv"

	"isthmus/app/state"
)

// Eyes is how the picture is shown. It changes nothing but the picture on the
// screen: no point, no grey value, no measurement.
type eyes struct {
	bright   int // per cent, 100 as stored
	contrast int
	invert   bool
}

func plainEyes() eyes { return eyes{bright: 100, contrast: 100} }

// The least and the most per cent.
const (
	dimmest, brightest = 40, 300
	flattest, hardest  = 40, 400
)

// A tone is what becomes of a grey p, 0 black and 1 white: gain · p + lift, cut
// off at black and at white.
type tone struct{ gain, lift float64 }

// plainTone leaves every grey as it is.
var plainTone = tone{gain: 1}

// tone returns brightness, then contrast about the middle grey, without invert.
func (e eyes) tone() tone {
	b, k := float64(e.bright)/100, float64(e.contrast)/100
	return tone{k * b, (1 - k) / 2}
}

// wanted returns the tone of a picture that shows the film as these eyes want
// it, but for invert. What is inverted is inverted first, so that more
// brightness is brighter there too: 1 − q = gain · (1 − p) + lift.
func (e eyes) wanted() tone {
	t := e.tone()
	if e.invert {
		t.lift = 1 - t.gain - t.lift
	}
	return t
}

// filter returns, for CSS, what a picture that was made in a tone is seen
// through to be as these eyes want it.
func (e eyes) filter(made tone) string {
	t, before := e.tone(), ""
	gain := t.gain / made.gain
	lift := t.lift - gain*made.lift
	if e.invert {
		before, lift = "invert(1) ", t.lift+gain*(made.gain-1+made.lift)
	}
	per := func(name string, v float64) string {
		return name + "(" + strconv.FormatFloat(100*v, 'f', 2, 64) + "%)"
	}
	if lift > 0 { // contrast first: brightness would cut off what contrast still needs
		b := gain + 2*lift
		return before + per("contrast", gain/b) + " " + per("brightness", b)
	}
	k := 1 - 2*lift
	return before + per("brightness", gain/k) + " " + per("contrast", k)
}

// litWindow returns the window that shows a film in a tone over another window,
// with every grey the film has: the filter has only the 256 of the picture, and
// none beyond its black and white. It refuses, with false, a window that is no
// straight line. With y the grey of w before the film's own inversion and
// y′ = gain · y + lift: the middle y′ = ½ lies at y = (½ − lift) / gain, and
// the width is divided by gain.
func litWindow(w state.Window, t tone) (state.Window, bool) {
	switch w.Shape {
	case "linear", "": // DICOM PS3.3, C.11.2.1.2.1: half a value off, one narrower
		w.Centre, w.Width = w.Centre-0.5, w.Width-1
	case "linear-exact":
	default:
		return w, false
	}
	if w.Inverted {
		t.lift = 1 - t.gain - t.lift
	}
	w.Shape = "linear-exact"
	w.Centre += w.Width * ((0.5-t.lift)/t.gain - 0.5)
	w.Width /= t.gain
	return w, w.Width > 0 && !math.IsInf(w.Width, 0) && !math.IsNaN(w.Centre) && !math.IsInf(w.Centre, 0)
}

// dragged returns a percentage after a finger went so many css pixels: 240 make
// it e times as much, and nothing leaves its bounds.
func dragged(from int, by float64, lo, hi int) int {
	const times = 240
	if !(math.Abs(by) < 1e4) { // no place on a screen
		return from
	}
	return int(math.Round(max(float64(lo), min(float64(from)*math.Exp(by/times), float64(hi)))))
}

func stepped(now int, dir string, lo, hi int) int {
	const step = 10
	if dir == "-" {
		return max(lo, now-step)
	}
	return min(hi, now+step)
}
