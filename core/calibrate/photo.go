package calibrate

import (
	"math"

	"isthmus/core/geom"
	"isthmus/core/source"
	"isthmus/core/units"
)

const (
	// photoLo and photoHi bound the sides of a photo in pixels. From memory.
	photoLo, photoHi = 300, 30000
	// minSide is the shortest side of a film in a photo: a slip of 2 px at
	// both its ends is then 1 %. By hand: 2·√2/300.
	minSide units.Px = 300
	// filmLo and filmHi bound the sides of a film or a monitor. From memory.
	filmLo, filmHi = 50.0, 1500.0
	// sizeDoubt is the standard uncertainty of each side of a film of stated
	// size. Common practice.
	sizeDoubt = 1.0
	// maxTilt is the most a camera may look askew: two such slopes of the
	// camera change a length that runs with them by 1/cos²: 33 %. Own advice.
	maxTilt, oddTilt = 30.0, 15.0
	// maxRange is the largest ratio of the scales at two corners. By hand:
	// 30° at 400 mm over a film of 430 mm: (400 + 107.5)/(400 − 107.5) = 1.73.
	maxRange = 1.75
	// maxResidual of the longer side is no flat film. Own advice (facts: 1 %).
	maxResidual = 0.01
	// maxAspect is the largest doubt of a width over height that was worked
	// out from perspective.
	maxAspect = 0.02
	// oddAspect and worstAspect are how far a stated size may differ from what
	// the photo shows: 35 × 43 for 35 × 35 cm is 0.19, 24 × 30 for 30 × 40 is
	// 0.065. By hand.
	oddAspect, worstAspect = 0.03, 0.10
	// unseenBow is by how much of its length a side may bow unseen: phones
	// straighten their own lens about so well. From memory.
	unseenBow = 0.005
)

// A FilmSize is how large a film or the picture on a monitor is: Width from
// its top left to its top right corner, Height from there downwards.
type FilmSize struct{ Width, Height units.MM }

// CommonFilms returns common sizes of cassettes, upright; a caller may offer
// others. Source: from memory; 14 × 17 inch is 355.6 × 431.8 mm by hand.
func CommonFilms() []FilmSize {
	return []FilmSize{{180, 240}, {240, 300}, {300, 400}, {350, 350}, {350, 430}, {355.6, 431.8}}
}

// A Corner is one corner of a film in a photo, with the standard uncertainty
// of its place in each direction.
type Corner struct {
	At   geom.Pt[units.Px]
	Slip units.Px
}

// A Photo is a photo of a flat film, on a light box or a monitor. It assumes
// square pixels and a whole photo, not a cut-out: the lens looks at its
// middle.
type Photo struct {
	Width, Height units.Px
	Corners       [4]Corner              // top left, top right, bottom right, bottom left of the film
	Film          *FilmSize              // nil when not known
	Focal         *units.Px              // of the lens, when known; nil when not
	Edges         [4][]geom.Pt[units.Px] // points on the top, right, bottom and left edge, to check the corners
	EdgeSlip      units.Px               // of those points
}

// A ScaleRange is the scale at two places of an uncorrected photo, over that
// in the middle of the film: Least where the film is furthest away.
type ScaleRange struct{ Least, Most float64 }

// A Rectified is a photo made straight. Film pixels are square and of
// arbitrary size: straightness and ratios hold in them, millimetres do not.
// The zero value maps nothing.
type Rectified struct {
	Map           geom.Projective[units.Px, units.Px] // photo pixels to film pixels
	Width, Height units.Px                            // of the film, in film pixels
	Aspect        units.Ratio                         // width over height
	Tilt          units.Angle                         // between the axis of the lens and the normal of the film
	Focal         units.Px                            // that was used
	Range         ScaleRange                          // between the corners, without correction
	Residual      float64                             // bow of the worst side over the longer side, as edge points show it
	Checked       bool                                // every side had a point near its middle
	Notices       []Notice
	film          *FilmSize
	lens          float64 // relative standard uncertainty for a lens or film that bends
	slip          float64 // largest slip of a corner over the shortest side
	moved         [][2]geom.Projective[units.Px, units.Px]
}

// Rectify returns the projective map that makes a photo straight, how far the
// camera was tilted, by how much the scale would vary over the film without
// the map, and what edge points say against it.
//
// With a known film size the map follows from the four corners alone. Without
// it the width over height is worked out from the perspective (Zhang and He).
// The doubt of everything comes from moving each input by its standard
// uncertainty, up and down (JCGM 100:2008, 5.1.3, note 2): eight coordinates
// of corners, the stated film size, the middle of the lens, its focal length.
// It gives no scale of the bone: a known film size is one of the film's own
// plane. It refuses what is missing or out of range, films seen too small,
// corners that are no quadrilateral in order, tilts above 30°, residuals above
// 1 %, a stated size that the photo contradicts, and a film of unknown size
// whose photo shows too little perspective.
func (p Photo) Rectify() (Rectified, error) {
	if err := p.check(); err != nil {
		return Rectified{}, err
	}
	if p.Film != nil {
		own := *p.Film // so that a caller's later change does not reach in
		p.Film = &own
	}
	base, assumed, err := p.view()
	if err != nil {
		return Rectified{}, err
	}
	s, err := base.solve()
	if err != nil {
		return Rectified{}, err
	}
	r := Rectified{Map: s.toFilm, Width: units.Px(s.w), Height: units.Px(s.h), Focal: units.Px(s.focal), film: p.Film, Range: s.sizes}
	if err := r.doubts(p, base, s, assumed); err != nil {
		return Rectified{}, err
	}
	if err := r.limits(); err != nil {
		return Rectified{}, err
	}
	if err := r.edges(p); err != nil {
		return Rectified{}, err
	}
	r.say(assumed)
	return r, nil
}

// limits refuses photos taken too much from the side.
func (r Rectified) limits() error {
	if !(r.Tilt.Best <= maxTilt) || !(r.Range.Most <= maxRange*r.Range.Least) {
		return &TiltedPhotoError{Tilt: r.Tilt, Limit: maxTilt, Ratio: r.Range.Most / r.Range.Least, MaxRatio: maxRange}
	}
	return nil
}

// edges compares points on the edges of the film with the straight sides. The
// residual is the bow of the worst side over the longer side, with
// φ = 4t(1−t) the shape of a bow, t along the side and d the distance:
//
//	residual = √(Σd² / Σφ²) / longer side
//
// What the slips do not explain, and what they may hide, is taken for a bend
// of the lens or the film; a length then differs from a marker's scale by up
// to twice the bow of a side, evenly likely, 2·bow/√3. By hand, for a lens
// r' = r·(1 + k·r²) and a square of half side a: the bow is k·a²/2 of the side
// and the scale in the middle differs by k·a² from that of a whole side.
func (r *Rectified) edges(p Photo) error {
	bow := 0.0
	mid := 0
	for k := range p.Edges {
		residual, hidden, seen, err := r.side(p, k)
		if err != nil {
			return err
		}
		r.Residual = math.Max(r.Residual, residual)
		bow = math.Max(bow, hidden)
		if seen {
			mid++
		}
	}
	if !(r.Residual <= maxResidual) {
		return &ResidualError{Got: r.Residual, Limit: maxResidual}
	}
	if r.Checked = mid == 4; !r.Checked {
		bow = math.Max(bow, unseenBow)
	}
	r.lens = 2 * bow / math.Sqrt(3)
	return nil
}

// side returns the bow of one side as it shows, the bow that may be there
// behind the slips, both over the longer side, and whether a point lay in the
// middle half of the side.
func (r *Rectified) side(p Photo, k int) (residual, hidden float64, seen bool, err error) {
	w, h := float64(r.Width), float64(r.Height)
	var sum, noise, shape float64
	for _, q := range p.Edges[k] {
		f, _, err := r.onFilm(q)
		if err != nil {
			return 0, 0, false, err
		}
		grow, err := r.stretch(q)
		if err != nil {
			return 0, 0, false, err
		}
		x, y := float64(f.X), float64(f.Y)
		d := [4]float64{y, w - x, h - y, x}[k]
		t := [4]float64{x / w, y / h, x / w, y / h}[k]
		sum += d * d
		noise += (sq(float64(p.EdgeSlip)) + p.meanSlip2()/2) * grow * grow
		shape += sq(4 * t * (1 - t))
		seen = seen || t > 0.25 && t < 0.75
	}
	n := float64(len(p.Edges[k]))
	if n == 0 {
		return 0, 0, false, nil
	}
	shape = math.Max(shape, 0.25) // points near corners show no bow
	long := math.Max(w, h)
	return math.Sqrt(sum/shape) / long, math.Sqrt((math.Max(0, sum-noise)+noise/n)/shape) / long, seen, nil
}

func (p Photo) meanSlip2() float64 {
	sum := 0.0
	for _, c := range p.Corners {
		sum += float64(c.Slip * c.Slip)
	}
	return sum / 4
}

// say puts into words what a person must know of this photo.
func (r *Rectified) say(assumed bool) {
	vary := r.Range.Most - r.Range.Least
	r.Notices = append(r.Notices, Notice{Code: "photo-range", Caution: r.Tilt.Best > oddTilt, Facts: []Fact{
		{Name: "tilt", Value: float64(r.Tilt.Best), Word: r.Tilt.String()},
		{Name: "percent", Value: vary * 100, Word: units.Trim(vary*100, 1)}}}.by(source.Geometry))
	if assumed {
		r.Notices = append(r.Notices, note("photo-lens").by(source.PhotoMemory))
	}
	if !r.Checked {
		r.Notices = append(r.Notices, caution("photo-unchecked", percent(r.lens)).by(source.PhotoMemory))
	}
	if r.film == nil {
		r.Notices = append(r.Notices, caution("photo-aspect", num("aspect", math.Round(r.Aspect.Best*1000)/1000), percent(r.Aspect.U/r.Aspect.Best)).by(source.Whiteboard))
	} else {
		r.Notices = append(r.Notices, note("photo-film", num("w", float64(r.film.Width)), num("h", float64(r.film.Height))).by(source.CommonUse))
	}
	r.Notices = append(r.Notices, caution("photo-no-scale"))
}

// FilmPlane returns the size of a film pixel in the film's own plane, which
// is no scale of the bone: its origin is the detector, so that nothing is
// measured with it before the magnification is known. It is the zero plane
// when the size of the film is not known. It assumes a film of the size it
// was exposed in, not a reduced print and not a monitor.
func (r Rectified) FilmPlane() Plane {
	if r.film == nil || !(r.Width > 0) {
		return Plane{}
	}
	size := float64(r.film.Width) / float64(r.Width)
	rel := math.Hypot(math.Hypot(r.slip*math.Sqrt2, r.lens), sizeDoubt/math.Min(float64(r.film.Width), float64(r.film.Height)))
	return Plane{Row: units.MM(size), Col: units.MM(size), Rel: rel, Origin: AtDetector, Sources: []source.Key{source.Geometry, source.CommonUse}}
}

// check refuses what is missing or cannot be.
func (p Photo) check() error {
	type limit struct {
		name, field string
		got, lo, hi float64
		unit        string
	}
	long := math.Max(float64(p.Width), float64(p.Height))
	all := []limit{{"the width of the photo", "width_px", float64(p.Width), photoLo, photoHi, "px"}, {"the height of the photo", "height_px", float64(p.Height), photoLo, photoHi, "px"}}
	for _, c := range p.Corners {
		all = append(all,
			limit{"a corner of the film, from the left", "corner_px", float64(c.At.X), -1, float64(p.Width), "px"},
			limit{"a corner of the film, from the top", "corner_px", float64(c.At.Y), -1, float64(p.Height), "px"},
			limit{"the slip of a corner", "slip_px", float64(c.Slip), 0.01, 100, "px"})
	}
	for _, e := range p.Edges {
		if len(e) > 0 {
			all = append(all, limit{"the slip of the edge points", "edge_slip_px", float64(p.EdgeSlip), 0.01, 100, "px"})
		}
	}
	if p.Film != nil {
		all = append(all, limit{"the width of the film", "film_width_mm", float64(p.Film.Width), filmLo, filmHi, "mm"},
			limit{"the height of the film", "film_height_mm", float64(p.Film.Height), filmLo, filmHi, "mm"})
	}
	if p.Focal != nil {
		all = append(all, limit{"the focal length", "focal_px", float64(*p.Focal), 0.3 * long, 10 * long, "px"})
	}
	for _, l := range all {
		if !(l.got >= l.lo && l.got <= l.hi) {
			return &OutOfRangeError{Name: l.name, Field: l.field, Got: l.got, Lo: l.lo, Hi: l.hi, Unit: l.unit, Do: "open the whole photo and mark all four corners again, with the true sizes"}
		}
	}
	return p.checkQuad()
}

// checkQuad refuses corners out of order, films seen too small, and corners
// placed too roughly.
func (p Photo) checkQuad() error {
	q := p.quad()
	way, err := q.Check()
	if err != nil {
		return err
	}
	if way < 0 {
		return &geom.MapError{Why: "mirrored", Got: 4}
	}
	side, slip := p.shortest()
	if !(side >= minSide) {
		return &SmallPhotoError{Got: side, Need: minSide}
	}
	if rough := float64(slip / side); !(rough <= maxResidual) {
		return &ResidualError{Got: rough, Limit: maxResidual}
	}
	return nil
}

func (p Photo) quad() (q geom.Quad[units.Px]) {
	for i, c := range p.Corners {
		q[i] = c.At
	}
	return q
}

// shortest returns the shortest side of the film in the photo and the largest
// slip of a corner.
func (p Photo) shortest() (side, slip units.Px) {
	side = photoHi * 2
	for i, c := range p.Corners {
		side = min(side, geom.Dist(c.At, p.Corners[(i+1)%4].At))
		slip = max(slip, c.Slip)
	}
	return side, slip
}
