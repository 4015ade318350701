package calibrate

import (
	"math"

	"isthmus/core/geom"
	"isthmus/core/source"
	"isthmus/core/units"
)

const (
	// minRound is the smallest ball or disc: a slip of 1 px on each of a few
	// rim points is then about 1 %. By hand: 2·1/√6 px of 40 px is 2 %.
	minRound units.Px = 40
	// minRuler is the shortest ruler: slips of 1 px are then 1.4 %.
	minRuler units.Px = 100
	// maxRel is the largest doubt of a marker's size that still gives a scale.
	maxRel = 0.05
	// makeDoubt is the standard uncertainty of a marker's true size. Common practice.
	makeDoubt = 0.1
	// oddScatter times the slip is more scatter than a rim has by chance.
	oddScatter = 2.5
	// maxScatter of the radius is no rim at all.
	maxScatter = 0.05
	// ovalChi2 is the 95 % point of chi-square with 2 degrees of freedom:
	// an ellipse must fit better than a circle by this much to be believed.
	// Source: NIST/SEMATECH e-Handbook, 1.3.6.7.4.
	ovalChi2 = 5.991
	// hiddenOval is the standard uncertainty for an oval that three or four
	// rim points cannot show, in the mean radius: a ball 200 mm off axis is
	// 2 % longer one way, 1 % in the mean; a disc tilted by 15° is 3.4 %
	// shorter one way, 1.7 % in the mean; each over √3. By hand.
	hiddenOvalBall, hiddenOvalDisc = 0.01 / 1.732, 0.017 / 1.732
	// A ball further off axis than any film reaches, 500 mm at SOD 1000, is
	// 1.12 times as long as wide. By hand: √(1 + 0.5²).
	ovalBallOdd, ovalBallMax = 1.05, 1.12
	// A disc tilted by 30 and by 60 degrees. By hand: 1/cos.
	ovalDiscOdd, ovalDiscMax = 1.155, 2.0
)

// round is what differs between a ball and a disc.
type round struct {
	origin     Origin
	axis       string
	pick       func(geom.Ellipse[units.Px]) units.Px // semi axis that is true to size
	hidden     float64
	odd, limit float64
}

var (
	ball = round{FromBallMark, "short", func(e geom.Ellipse[units.Px]) units.Px { return e.Short }, hiddenOvalBall, ovalBallOdd, ovalBallMax}
	disc = round{FromDiscMark, "long", func(e geom.Ellipse[units.Px]) units.Px { return e.Long }, hiddenOvalDisc, ovalDiscOdd, ovalDiscMax}
)

// Ball returns the scale from rim points of a ball of known diameter:
//
//	s = diameter / seen,  u(s)/s = √((u(seen)/seen)² + (0.1 mm/diameter)² + depth²)
//
// A ball off the central ray throws an oval shadow whose short axis is true
// to size (facts: equal to the on-axis shadow), so an ellipse through five or
// more points gives its short axis. It is used only where it fits better than
// a circle by more than the slips explain: the short axis of an ellipse laid
// through the slips of a round rim is too short. Three or four points give a
// circle. Slip is the standard uncertainty of one point in each direction.
// Source: geometry; JCGM 100:2008, 5.1.2. It refuses a ball seen smaller than
// 40 px, 3…100 mm passed, ovals no ball makes, and what Depth refuses.
func Ball(rim []geom.Pt[units.Px], slip units.Px, diameter units.MM, shape Shape, d Depth) (Plane, []Notice, error) {
	return ball.scale(rim, slip, diameter, shape, d)
}

// Disc returns the scale from rim points of a flat disc of known diameter. A
// tilted disc throws an oval shadow whose long axis is true to size;
// otherwise as Ball. Source: geometry; Orthopaedic Proceedings 2006, 88-B
// Supp II, 247 used a coin. It refuses as Ball does, and a disc seen edge on.
func Disc(rim []geom.Pt[units.Px], slip units.Px, diameter units.MM, shape Shape, d Depth) (Plane, []Notice, error) {
	return disc.scale(rim, slip, diameter, shape, d)
}

func (r round) scale(rim []geom.Pt[units.Px], slip units.Px, diameter units.MM, shape Shape, d Depth) (Plane, []Notice, error) {
	if err := checkMark("the diameter of the marker", slip, diameter, 3, 100, shape); err != nil {
		return Plane{}, nil, err
	}
	pts, s := squared(rim, slip, shape)
	seen, ns, err := r.seen(pts, s)
	if err != nil {
		return Plane{}, nil, err
	}
	if small := units.Px(float64(seen.size) / math.Max(1, shape.RowPerCol)); !(small >= minRound) {
		return Plane{}, nil, &SmallMarkerError{Kind: r.origin, Got: small, Need: minRound}
	}
	p, more, err := seen.plane(r.origin, diameter, shape, d)
	return p, append(ns, more...), err
}

// Ruler returns the scale from two graduations a known length apart:
//
//	s = length / seen,  u(seen) = √2·slip
//
// It assumes that the ruler lies parallel to the detector; a tilted one looks
// too short and the bone then reads too long. Source: DICOM PS3.3, 10.7.1.3
// for rows and columns; JCGM 100:2008, 5.1.2. It refuses graduations less
// than 100 px apart, lengths outside 5…1000 mm, and what Depth refuses.
func Ruler(a, b geom.Pt[units.Px], slip units.Px, length units.MM, shape Shape, d Depth) (Plane, []Notice, error) {
	if err := checkMark("the length between the graduations", slip, length, 5, 1000, shape); err != nil {
		return Plane{}, nil, err
	}
	if !a.Finite() || !b.Finite() {
		return Plane{}, nil, &geom.FitError{Shape: "line", Got: 2, Need: 2, Why: "not-finite"}
	}
	pts, s := squared([]geom.Pt[units.Px]{a, b}, slip, shape)
	seen := extent{size: geom.Dist(pts[0], pts[1]), u: s * math.Sqrt2}
	if small := units.Px(float64(seen.size) / math.Max(1, shape.RowPerCol)); !(small >= minRuler) {
		return Plane{}, nil, &SmallMarkerError{Kind: FromRuler, Got: small, Need: minRuler}
	}
	return seen.plane(FromRuler, length, shape, d)
}

// squared returns the points in units of one pixel's width, so that a circle
// is a circle, and the larger of the two slips.
func squared(pts []geom.Pt[units.Px], slip units.Px, shape Shape) ([]geom.Pt[units.Px], units.Px) {
	out := make([]geom.Pt[units.Px], len(pts))
	for i, p := range pts {
		out[i] = geom.Pt[units.Px]{X: p.X, Y: p.Y * units.Px(shape.RowPerCol)}
	}
	return out, slip * units.Px(math.Max(1, shape.RowPerCol))
}

// extent is the size of a marker on the film, in widths of a pixel, with its
// standard uncertainty.
type extent struct {
	size units.Px
	u    units.Px
	rel  float64 // a further relative standard uncertainty
}

func (e extent) plane(o Origin, size units.MM, shape Shape, d Depth) (Plane, []Notice, error) {
	rel := math.Hypot(math.Hypot(float64(e.u/e.size), e.rel), makeDoubt/float64(size))
	if !(rel <= maxRel) {
		return Plane{}, nil, &VagueError{Kind: o, Rel: rel, Limit: maxRel}
	}
	l, err := d.lead()
	if err != nil {
		return Plane{}, nil, err
	}
	col := float64(size) / float64(e.size) * l.times
	p := Plane{
		Row:     units.MM(col * shape.RowPerCol),
		Col:     units.MM(col),
		Rel:     math.Hypot(rel, l.rel),
		Origin:  o,
		Sources: []source.Key{source.Geometry, source.GUM, source.Depth2022},
	}
	if o == FromDiscMark {
		p.Sources = append(p.Sources, source.Coin2006)
	}
	return p, l.notices, nil
}

// seen returns how large the marker is on the film.
func (r round) seen(pts []geom.Pt[units.Px], slip units.Px) (extent, []Notice, error) {
	c, err := geom.FitCircle(pts)
	if err != nil {
		return extent{}, nil, err
	}
	n := len(pts)
	if n < 5 {
		if err := r.scatter(c.RMS, c.R); err != nil {
			return extent{}, nil, err
		}
		sigma, ns := noise(c.RMS, n, 3, slip)
		u, err := spread(pts, sigma, circleSize)
		return extent{2 * c.R, u, r.hidden}, append(ns, caution("rim-few", num("n", float64(n)))), err
	}
	if e, err := geom.FitEllipse(pts); err == nil && r.isOval(c, e, n, slip) {
		return r.oval(pts, e, slip)
	}
	if err := r.scatter(c.RMS, c.R); err != nil {
		return extent{}, nil, err
	}
	sigma, ns := noise(c.RMS, n, 3, slip)
	u, err := spread(pts, sigma, circleSize)
	// an oval too small to be seen may still hide in the slips: at most
	// σ·√(2·6/n) of the radius, evenly likely, which is σ/√n as a standard
	// uncertainty of the radius and twice that of the diameter
	hidden := 2 * float64(sigma) / math.Sqrt(float64(n))
	return extent{2 * c.R, units.Px(math.Hypot(float64(u), hidden)), 0}, ns, err
}

// oval returns the axis of an ellipse that is true to size.
func (r round) oval(pts []geom.Pt[units.Px], e geom.Ellipse[units.Px], slip units.Px) (extent, []Notice, error) {
	ratio := float64(e.Long / e.Short)
	if !(ratio <= r.limit) {
		return extent{}, nil, &NotRoundError{Kind: r.origin, Ratio: ratio, Limit: r.limit}
	}
	if err := r.scatter(e.RMS, e.Short); err != nil {
		return extent{}, nil, err
	}
	sigma, ns := noise(e.RMS, len(pts), 5, slip)
	if ratio > r.odd {
		ns = append(ns, caution("oval", num("ratio", ratio), word("axis", r.axis)).by(source.Geometry))
	}
	u, err := spread(pts, sigma, func(p []geom.Pt[units.Px]) (units.Px, error) {
		e, err := geom.FitEllipse(p)
		return 2 * r.pick(e), err
	})
	return extent{2 * r.pick(e), u, 0}, ns, err
}

// isOval reports whether an ellipse fits better than a circle by more than
// the slips explain, taking the larger of the stated slip and the scatter
// round the ellipse.
func (r round) isOval(c geom.Circle[units.Px], e geom.Ellipse[units.Px], n int, slip units.Px) bool {
	s, _ := noise(e.RMS, n, 5, slip)
	gain := float64(n) * (float64(c.RMS*c.RMS) - float64(e.RMS*e.RMS))
	return gain > ovalChi2*float64(s*s)
}

// noise returns the slip, widened to the scatter the points really have, and
// a notice when that is more than chance allows.
func noise(rms units.Px, n, params int, slip units.Px) (units.Px, []Notice) {
	if n <= params {
		return slip, nil
	}
	found := rms * units.Px(math.Sqrt(float64(n)/float64(n-params)))
	if !(found > slip) {
		return slip, nil
	}
	if found > oddScatter*slip {
		return found, []Notice{caution("rim-scatter", num("found", float64(found)), num("slip", float64(slip)))}
	}
	return found, nil
}

func (r round) scatter(rms, radius units.Px) error {
	if !(float64(rms) <= maxScatter*float64(radius)) {
		return &NotRoundError{Kind: r.origin, RMS: rms, R: radius}
	}
	return nil
}

func circleSize(p []geom.Pt[units.Px]) (units.Px, error) {
	c, err := geom.FitCircle(p)
	return 2 * c.R, err
}

// spread returns the standard uncertainty of a size worked out from points
// that each slip by sigma in both directions, by central differences.
// Source: JCGM 100:2008, 5.1.2 and 5.1.3, note 2.
func spread(pts []geom.Pt[units.Px], sigma units.Px, size func([]geom.Pt[units.Px]) (units.Px, error)) (units.Px, error) {
	sum := 0.0
	p := make([]geom.Pt[units.Px], len(pts))
	for i := range pts {
		for _, step := range []geom.Pt[units.Px]{{X: sigma}, {Y: sigma}} {
			copy(p, pts)
			p[i] = pts[i].Plus(step)
			up, err := size(p)
			if err != nil {
				return 0, err
			}
			p[i] = pts[i].Minus(step)
			down, err := size(p)
			if err != nil {
				return 0, err
			}
			sum += float64(up-down) * float64(up-down) / 4
		}
	}
	return units.Px(math.Sqrt(sum)), nil
}

func checkMark(what string, slip units.Px, size units.MM, lo, hi float64, shape Shape) error {
	if !shape.Valid() {
		return &MissingError{For: "a marker on a film", Fields: []string{"shape of a pixel"}, Do: "open the film again"}
	}
	if slip == 0 {
		return &MissingError{For: "a marker", Fields: []string{"slip_px"}, Do: "mark its points again"}
	}
	if !(slip > 0 && slip <= 100) {
		return &OutOfRangeError{Name: "the slip of the points", Field: "slip_px", Got: float64(slip), Lo: 0, Hi: 100, Unit: "px", Do: "zoom in and mark the points again"}
	}
	if size == 0 {
		return &MissingError{For: "a marker", Fields: []string{"true_mm"}, Do: "enter its true size in millimetres"}
	}
	if !(float64(size) >= lo && float64(size) <= hi) {
		return &OutOfRangeError{Name: what, Field: "true_mm", Got: float64(size), Lo: lo, Hi: hi, Unit: "mm", Do: "enter its true size in millimetres"}
	}
	return nil
}
