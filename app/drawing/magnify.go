package drawing

import (
	"math"
	"strconv"
	"strings"

	"isthmus/core/units"
)

// MagnifyInput is what the drawing of magnification is made from. Heights are
// above the detector.
type MagnifyInput struct {
	ID     string
	SID    units.MM  // source to detector
	Bone   units.MM  // height of the bone (its OID)
	Marker *units.MM // height of the marker; nil: not known
	Ball   units.MM  // true diameter of the marker; 0: no marker
	Seen   units.MM  // its diameter on the detector; 0: not measured
}

func (in MagnifyInput) check() error {
	var c checker
	c.in("the distance from source to detector", in.SID, 500, 3000)
	c.in("the height of the bone above the detector", in.Bone, 0, in.SID*0.7)
	if in.Marker != nil {
		c.in("the height of the marker above the detector", *in.Marker, 0, in.SID*0.7)
	}
	if in.Ball != 0 || in.Seen != 0 {
		c.in("the true diameter of the marker", in.Ball, 3, 120)
	}
	if in.Seen != 0 {
		c.in("the diameter of the marker on the film", in.Seen, in.Ball, in.Ball*4)
	}
	return c.err("magnification")
}

// Magnify returns the side view of the exposure, to scale in both directions:
// source, bone, marker and detector with their distances, and beside it the
// marker at its true size and as it is seen. The magnification it prints is
// SID / (SID − height). Source: DICOM PS3.3, C.8.7.6. It refuses impossible
// distances.
func Magnify(in MagnifyInput) (string, error) {
	if err := in.check(); err != nil {
		return "", err
	}
	h := 292.0
	if in.Ball > 0 {
		h = 402
	}
	d := &magDrawing{in: in, s: newSheet(in.ID, 328, h)}
	d.k = (detectorY - sourceY) / float64(in.SID)
	d.rays()
	d.distances()
	d.ball()
	return d.s.done("d-magnify", "Magnification from source to detector", d.words()), nil
}

const (
	sourceY, detectorY = 22.0, 262.0
	axisX              = 130.0
)

type magDrawing struct {
	in MagnifyInput
	s  *sheet
	k  float64
}

// y is the place of a height above the detector.
func (d *magDrawing) y(h units.MM) float64 { return detectorY - float64(h)*d.k }

// factor is the magnification at a height.
func (in MagnifyInput) factor(h units.MM) float64 { return float64(in.SID / (in.SID - h)) }

// rays draws the beam past a piece of bone 200 mm long.
func (d *magDrawing) rays() {
	in := d.in
	src := xy{axisX, sourceY}
	half := math.Min(100*d.k, 54/in.factor(in.Bone))
	wide := half * in.factor(in.Bone)
	d.s.line("d-axis", src, xy{axisX, detectorY})
	for _, m := range []float64{-1, 1} {
		d.s.line("d-fine", src, xy{axisX + m*wide, detectorY})
	}
	b := d.y(in.Bone)
	d.s.box("d-bone", xy{axisX - half, b - 5}, xy{axisX + half, b + 5}, 4)
	d.s.line("d-ink", xy{axisX - half, b}, xy{axisX + half, b}, long("bone", half*2/d.k, d.k))
	d.s.line("d-bold", xy{axisX - 60, detectorY}, xy{axisX + 60, detectorY}, at("detector", 0))
	d.s.line("d-stop", xy{axisX - wide, detectorY + 5}, xy{axisX + wide, detectorY + 5}, long("seen-bone", half*2/d.k*in.factor(in.Bone), d.k))
	d.s.circle("d-movefill", src, 3.5)
	d.s.text("d-t", small, xy{axisX, 14}, middle, "source")
	d.s.text("d-t", small, xy{axisX, detectorY + 26}, middle, "detector; the image is larger")
	if in.Marker != nil {
		m := d.y(*in.Marker)
		d.s.line("d-level", xy{axisX - 60, m}, xy{axisX + 60, m}, at("marker", float64(*in.Marker)))
		r := math.Max(float64(in.Ball)/2*d.k, 0)
		if r > 0 {
			d.s.circle("d-hole", xy{axisX + 52 - r, m}, r, long("ball", float64(in.Ball), d.k))
		}
	}
}

// distances draws the dimension lines: SID on the left, SOD and OID on the
// right, heights written where there is room.
func (d *magDrawing) distances() {
	in := d.in
	b := d.y(in.Bone)
	d.s.line("d-lead", xy{60, sourceY}, xy{axisX - 6, sourceY})
	d.s.line("d-lead", xy{60, detectorY}, xy{axisX - 60, detectorY})
	d.s.dim("d-ink", xy{64, sourceY}, xy{64, detectorY}, long("SID", float64(in.SID), d.k))
	mid := (sourceY + detectorY) / 2
	for i, w := range []string{"SID", in.SID.String()} {
		d.s.text(map[int]string{0: "d-t", 1: "d-t d-num"}[i], small, xy{2, mid - 70 + 15*float64(i)}, start, w)
	}
	x := axisX + 70
	d.s.line("d-lead", xy{axisX + 6, sourceY}, xy{x + 4, sourceY})
	d.s.line("d-lead", xy{axisX, b}, xy{x + 4, b})
	d.s.dim("d-ink", xy{x, sourceY}, xy{x, b}, long("SOD", float64(in.SID-in.Bone), d.k))
	if in.Bone > 0 {
		d.s.dim("d-ink", xy{x, b}, xy{x, detectorY}, long("OID", float64(in.Bone), d.k))
	}
	d.heights(x)
}

// heights writes the names of the distances on the right, moved apart.
func (d *magDrawing) heights(x float64) {
	in := d.in
	b := d.y(in.Bone)
	words := [][2]string{{"SOD " + units.MM(in.SID-in.Bone).String(), "d-t"}, {"bone × " + factorWords(in.factor(in.Bone)), "d-t d-num"}}
	ys := []float64{(sourceY + b) / 2, b}
	if in.Bone > 0 {
		words, ys = append(words, [2]string{"OID " + in.Bone.String(), "d-t"}), append(ys, (b+detectorY)/2)
	}
	if in.Marker != nil {
		m := d.y(*in.Marker)
		words = append(words, [2]string{"marker " + in.Marker.String(), "d-t d-blue"}, [2]string{"marker × " + factorWords(in.factor(*in.Marker)), "d-t d-blue"})
		ys = append(ys, m, m+1)
	}
	size := make([]float64, len(ys))
	for i := range size {
		size[i] = 14
	}
	mids, ok := spread(ys, size, sourceY, detectorY+12, 2)
	if !ok {
		return
	}
	for i, w := range words {
		d.s.line("d-lead", xy{x + 3, ys[i]}, xy{x + 10, mids[i]})
		d.s.text(w[1], small, xy{x + 12, mids[i] + 4}, start, cut(w[0], small, 112))
	}
}

func factorWords(f float64) string { return strconv.FormatFloat(f, 'f', 3, 64) }

// ball draws the marker at its true size and as it is seen, larger.
func (d *magDrawing) ball() {
	in := d.in
	if in.Ball == 0 {
		return
	}
	most := math.Max(float64(in.Ball), float64(in.Seen))
	k := 88 / most
	c := xy{60, 350}
	d.s.line("d-lead", xy{0, 296}, xy{328, 296})
	if in.Seen > in.Ball {
		n := 60
		outer, inner := make([]xy, 0, n+1), make([]xy, 0, n+1)
		for i := 0; i <= n; i++ {
			t := 2 * math.Pi * float64(i) / float64(n)
			u := xy{math.Cos(t), math.Sin(t)}
			outer, inner = append(outer, c.plus(u.times(float64(in.Seen)/2*k))), append(inner, c.plus(u.times(float64(in.Ball)/2*k)))
		}
		for i := n; i >= 0; i-- {
			outer = append(outer, inner[i])
		}
		d.s.hatched(careHatch, outer...)
		d.s.circle("d-move", c, float64(in.Seen)/2*k, long("ball-seen", float64(in.Seen), k))
	}
	d.s.circle("d-part", c, float64(in.Ball)/2*k, long("ball-true", float64(in.Ball), k))
	d.s.text("d-t d-num", normal, xy{122, 330}, start, "marker is "+units.MM(math.Round(float64(in.Ball)*100)/100).String())
	if in.Seen > 0 {
		d.s.text("d-t d-blue", normal, xy{122, 350}, start, "is seen as "+units.MM(math.Round(float64(in.Seen)*100)/100).String())
		d.s.text("d-t", normal, xy{122, 370}, start, "seen ÷ true = "+factorWords(float64(in.Seen/in.Ball)))
	}
	d.s.text("d-t d-soft", small, xy{122, 390}, start, "this circle: its own scale")
}

func (d *magDrawing) words() string {
	in := d.in
	say := []string{
		"Source to detector " + in.SID.String() + ", bone " + in.Bone.String() + " above the detector, source to bone " + units.MM(in.SID-in.Bone).String() + ".",
		"At the bone the image is " + factorWords(in.factor(in.Bone)) + " times as large as life.",
	}
	if in.Marker != nil {
		say = append(say, "The marker lies "+in.Marker.String()+" above the detector, where the image is "+factorWords(in.factor(*in.Marker))+" times as large.")
		switch e := in.factor(in.Bone)/in.factor(*in.Marker) - 1; {
		case e > 1e-9:
			say = append(say, "Measured by this marker the bone reads too long by "+units.Trim(e*100, 1)+" %.")
		case e < -1e-9:
			say = append(say, "Measured by this marker the bone reads too short by "+units.Trim(-e*100, 1)+" %.")
		}
	}
	if in.Seen > 0 {
		say = append(say, "The marker is "+in.Ball.String()+" and is seen as "+in.Seen.String()+".")
	}
	return strings.Join(append(say, "To scale; the bone in the beam is a piece for the eye."), " ")
}

// ExposureFrom returns what the drawing needs from distances, where the bone
// is given by its distance from the detector or from the source. It returns
// false while one is missing.
func ExposureFrom(sid, sod, oid *units.MM) (MagnifyInput, bool) {
	switch {
	case sid == nil || sod == nil && oid == nil:
		return MagnifyInput{}, false
	case oid != nil:
		return MagnifyInput{ID: "magnify", SID: *sid, Bone: *oid}, true
	}
	return MagnifyInput{ID: "magnify", SID: *sid, Bone: *sid - *sod}, true
}
