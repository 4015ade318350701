package drawing

import (
	"math"
	"strings"

	"isthmus/core/plan"
	"isthmus/core/units"
)

// CanalInput is what the cross-section at the isthmus is drawn from.
type CanalInput struct {
	ID      string
	Canal   *units.Length // the smaller width, or the only one
	AP      *units.Length // side to side, from the AP film
	Lateral *units.Length // front to back, from the lateral film
	Nail    units.MM      // 0: not decided
	Final   units.MM      // the last reamer head; 0: not decided
	Heads   []units.MM    // reamer heads in the order of use
	Missing []units.MM    // heads the shelf lacks
	Narrow  units.MM      // a canal under this is narrow; 0: no limit
}

// CanalFromPlan returns what the drawing needs from a plan; narrow is the
// policy's limit of a narrow canal.
func CanalFromPlan(p plan.Plan, narrow units.MM) CanalInput {
	return CanalInput{
		ID: "canal", Canal: p.Bone.Canal, AP: p.Bone.CanalAP, Lateral: p.Bone.CanalLat,
		Nail: p.Nail.Diameter, Final: p.Reaming.Final, Heads: p.Reaming.Heads, Missing: p.Reaming.Missing, Narrow: narrow,
	}
}

func (in CanalInput) check() error {
	var c checker
	if in.Canal == nil {
		c.gap("the canal at the isthmus", "not measured", leastWidth.String()+" to "+mostWidth.String())
	}
	c.maybe("the canal at the isthmus", in.Canal, leastWidth, mostWidth)
	c.maybe("the canal on the AP film", in.AP, leastWidth, mostWidth)
	c.maybe("the canal on the lateral film", in.Lateral, leastWidth, mostWidth)
	if in.Nail != 0 {
		c.in("the nail's diameter", in.Nail, leastWidth, mostWidth)
	}
	if in.Final != 0 {
		c.in("the last reamer head", in.Final, leastWidth, mostWidth)
	}
	for _, h := range append(append([]units.MM{}, in.Heads...), in.Missing...) {
		c.in("a reamer head", h, leastWidth, mostWidth)
	}
	c.in("the limit of a narrow canal", in.Narrow, 0, mostWidth)
	return c.err("canal")
}

// Canal returns the cross-section of the bone at the isthmus: the canal with
// its doubt as a hatched ring, the nail, the last reamer, and every reamer
// head as an arc with its size. Bone that will be reamed away is hatched. It
// refuses when the canal is not measured or a number is impossible.
func Canal(in CanalInput) (string, error) {
	if err := in.check(); err != nil {
		return "", err
	}
	d := &canalDrawing{in: in, c: xy{98, 112}}
	most := math.Max(float64(in.Nail), float64(in.Final))
	for _, l := range []*units.Length{in.Canal, in.AP, in.Lateral} {
		if l != nil {
			most = math.Max(most, float64(l.Best)+sure(*l))
		}
	}
	for _, h := range in.Heads {
		most = math.Max(most, float64(h))
	}
	for _, k := range []float64{1, 1.5, 2, 3, 4, 5, 6, 8, 10, 12, 15} {
		if k*most <= 156 {
			d.k = k
		}
	}
	d.heads = few(in.Heads, 11)
	d.s = newSheet(in.ID, 328, 262)
	d.bone()
	d.rings()
	d.reamers()
	d.legend()
	return d.s.done("d-canal", "Canal at the isthmus in cross-section", d.words()), nil
}

// few keeps the first and the last of a long list, dropping from its middle.
func few(h []units.MM, n int) []units.MM {
	if len(h) <= n {
		return h
	}
	return append(append([]units.MM{}, h[:n-2]...), h[len(h)-2:]...)
}

type canalDrawing struct {
	in    CanalInput
	s     *sheet
	c     xy
	k     float64
	heads []units.MM
}

// axes returns the half widths of the canal from side to side and from front
// to back; one film gives a circle.
func (d *canalDrawing) axes() (a, b float64, da, db float64) {
	ap, lat := d.in.Canal, d.in.Canal
	if d.in.AP != nil {
		ap = d.in.AP
	}
	if d.in.Lateral != nil {
		lat = d.in.Lateral
	}
	return float64(ap.Best) / 2, float64(lat.Best) / 2, sure(*ap) / 2, sure(*lat) / 2
}

// oval returns points on an ellipse around the middle, in millimetres.
func (d *canalDrawing) oval(a, b, from, to float64) []xy {
	n := int(math.Ceil(math.Abs(to-from)/6)) + 1
	pts := make([]xy, 0, n+1)
	for i := 0; i <= n; i++ {
		t := (from + (to-from)*float64(i)/float64(n)) * math.Pi / 180
		pts = append(pts, xy{d.c.x + a*d.k*math.Cos(t), d.c.y + b*d.k*math.Sin(t)})
	}
	return pts
}

// ring hatches the area between two ellipses.
func (d *canalDrawing) ring(h hatch, a0, b0, a1, b1 float64) {
	d.s.hatched(h, append(d.oval(a0, b0, 0, 360), d.oval(a1, b1, 360, 0)...)...)
}

// bone draws the canal as a hollow; the outer edge of the bone is not known
// here and is not drawn.
func (d *canalDrawing) bone() {
	d.s.circle("d-bone", d.c, 88)
	a, b, _, _ := d.axes()
	d.s.poly("d-hollow", true, d.oval(a, b, 0, 360)...)
}

func (d *canalDrawing) rings() {
	in := d.in
	a, b, da, db := d.axes()
	if f := float64(in.Final) / 2; f > math.Min(a, b) {
		h := careHatch
		if d.narrow() {
			h = stopHatch
		}
		d.ring(h, math.Max(f, a), math.Max(f, b), a, b)
	}
	if da > 0 || db > 0 {
		d.ring(doubtHatch, a+da, b+db, math.Max(a-da, 0), math.Max(b-db, 0))
	}
	d.s.poly("d-ink", true, d.oval(a, b, 0, 360)...)
	d.s.line("d-fine", xy{d.c.x - a*d.k, d.c.y}, xy{d.c.x + a*d.k, d.c.y}, long("canal-side", 2*a, d.k))
	d.s.line("d-fine", xy{d.c.x, d.c.y - b*d.k}, xy{d.c.x, d.c.y + b*d.k}, long("canal-front", 2*b, d.k))
	if in.Final > 0 {
		d.s.circle("d-move d-dashed", d.c, float64(in.Final)/2*d.k, long("final", float64(in.Final), d.k))
	}
	if in.Nail > 0 {
		d.s.circle("d-nail", d.c, float64(in.Nail)/2*d.k, long("nail", float64(in.Nail), d.k))
		d.s.line("d-axis", xy{d.c.x - float64(in.Nail)/2*d.k, d.c.y}, xy{d.c.x + float64(in.Nail)/2*d.k, d.c.y})
		d.s.line("d-axis", xy{d.c.x, d.c.y - float64(in.Nail)/2*d.k}, xy{d.c.x, d.c.y + float64(in.Nail)/2*d.k})
	}
}

// narrow reports a canal that is, or may be, under the limit.
func (d *canalDrawing) narrow() bool {
	return d.in.Narrow > 0 && d.in.Canal.Against(d.in.Narrow) != units.More
}

// reamers draws every head as an arc on the right, joined to its size.
func (d *canalDrawing) reamers() {
	if len(d.heads) == 0 {
		d.s.text("d-t d-soft", small, xy{200, 40}, start, "no reamers chosen")
		return
	}
	d.s.text("d-t", small, xy{200, 14}, start, "reamer heads")
	pitch := math.Min(18, 184/float64(len(d.heads)))
	for i, h := range d.heads {
		y := 32 + pitch*float64(i)
		r := float64(h) / 2
		d.s.poly("d-fine", false, d.oval(r, r, -62, 62)...)
		t := (-52 + 104*(float64(i)+0.5)/float64(len(d.heads))) * math.Pi / 180
		d.s.line("d-lead", xy{d.c.x + r*d.k*math.Cos(t), d.c.y + r*d.k*math.Sin(t)}, xy{196, y - 4})
		class, words := "d-t", oneDecimal(h)
		switch {
		case contains(d.in.Missing, h):
			class, words = "d-t d-red", words+" not here"
		case h == d.in.Final:
			class, words = "d-t d-blue", words+" last"
		}
		d.s.text(class, small, xy{200, y}, start, words)
	}
}

func oneDecimal(h units.MM) string {
	if w := units.Trim(float64(h), 2); strings.Contains(w, ".") {
		return w + " mm"
	}
	return units.Trim(float64(h), 2) + ".0 mm"
}

func contains(hs []units.MM, h units.MM) bool {
	for _, k := range hs {
		if math.Abs(float64(k-h)) < 1e-6 {
			return true
		}
	}
	return false
}

func (d *canalDrawing) legend() {
	d.s.text("d-t d-num", normal, xy{6, 220}, start, "canal "+d.in.Canal.String())
	if d.in.Nail > 0 {
		d.s.text("d-t d-num", normal, xy{6, 238}, start, "nail "+d.in.Nail.String())
	}
	d.s.text("d-t d-soft", small, xy{6, 256}, start, "to scale ×"+units.Trim(d.k*25.4/96, 1)+" of life, seen along the bone")
	if d.narrow() {
		d.s.text("d-t d-red", small, xy{322, 238}, end, "narrow: under "+d.in.Narrow.String())
	}
	d.s.text("d-t d-soft", small, xy{98, 13}, middle, map[bool]string{true: "front", false: ""}[d.in.Lateral != nil])
}

func (d *canalDrawing) words() string {
	in := d.in
	say := []string{"Canal at the isthmus: " + in.Canal.String() + "."}
	if in.AP != nil {
		say = append(say, "From side to side "+in.AP.String()+".")
	}
	if in.Lateral != nil {
		say = append(say, "From front to back "+in.Lateral.String()+".")
	}
	if in.AP == nil || in.Lateral == nil {
		say = append(say, "Only one direction is measured; the canal is drawn round.")
	}
	if in.Nail > 0 {
		say = append(say, "Nail "+in.Nail.String()+".")
	}
	if len(in.Heads) > 0 {
		var w []string
		for _, h := range in.Heads {
			w = append(w, oneDecimal(h))
		}
		say = append(say, "Reamer heads "+list(w)+".")
	}
	for _, h := range in.Missing {
		say = append(say, "The head of "+oneDecimal(h)+" is not on the shelf.")
	}
	if d.narrow() {
		say = append(say, "The canal is narrow, under "+in.Narrow.String()+" or too close to call: heat and bursting.")
	}
	return strings.Join(append(say, "To scale."), " ")
}
