package phantom

import "math"

// Heights of the upper end, mm below the tip of the greater trochanter.
const (
	shaftTop  = 50.0
	flareAt   = 48.0 // 20 mm above the middle of the lesser trochanter
	lesserMid = 68.0
	lesserLow = 82.0
	clearFrom = 96.0 // from here on the shaft is the only solid
	crossing  = 38.0 // where the axis of the neck meets that of the shaft
	capAt     = 56.0 // above the lowest place of the condyles: the shaft goes over into its cap
	roofAt    = 24.0 // … the roof of the notch
	aspect    = 0.9  // depth of the shaft over its width
)

// What matter takes of the beam for each millimetre, about 50 keV; bone and
// metal above the soft tissue they displace. Round numbers from memory.
const (
	softMu   = 0.0205
	cortMu   = 0.058
	spongyMu = 0.0125
	marrowMu = 0.0005
	metalMu  = 0.45
)

// A part is one solid of a bone.
type part struct {
	shape interface {
		spans(*ray) (outer, inner span)
	}
	from   pose
	bounds []bound
	crack  *crack
}

// A crack is a gap in a part: |n·p − at| < half, in the frame of the bone.
type crack struct {
	n        vec
	at, half float64
}

// A bound is a ball round some of a part, in the frame of the bone.
type bound struct {
	c vec
	r float64
}

// A body is a femur made ready: its solids and the places that are known.
type body struct {
	f             Femur
	parts         []part
	shaft, neck   *tube
	end           float64 // z of the lowest place of the condyles
	isth          float64
	headAt, along vec // centre of the head; axis of the neck
	roof, patella vec
	tip, target   vec
	lesser        vec // lowest place of the lesser trochanter
	bowMid        float64
	bowHalf       float64
}

func newBody(f Femur) *body {
	b := &body{f: f}
	b.along = axisOfNeck(f)
	b.headAt = vec{0, 0, crossing}.plus(b.along.times(float64(f.Reach)))
	b.end = float64(f.Length) + b.headAt[2] - float64(f.Head)/2
	b.isth = b.end - f.Isthmus*float64(f.Length)
	b.bowMid, b.bowHalf = (shaftTop+b.end-45)/2, (b.end-45-shaftTop)/2
	b.addShaft()
	b.addNeck()
	b.addUpper()
	b.addLower()
	return b
}

// axisOfNeck is its direction: 180° − NSA from the shaft, turned to the front
// by the version.
func axisOfNeck(f Femur) vec {
	s, c := math.Sincos((180 - float64(f.NSA)) * math.Pi / 180)
	front, aside := math.Sincos(float64(f.Version) * math.Pi / 180)
	return vec{s * aside, s * front, -c}
}

// bow is how far the centre line lies in front of its chord.
func (b *body) bow(z float64) float64 {
	r := float64(b.f.Bow)
	if r == 0 {
		return 0
	}
	h := z - b.bowMid
	return math.Sqrt(r*r-h*h) - math.Sqrt(r*r-b.bowHalf*b.bowHalf)
}

// profile is the shaft at a height: outer and inner radius. Up from the
// isthmus the canal widens with s^2¼ and the outside with s³, s the share of
// the way to the flare; down likewise towards the condyles.
func (b *body) profile(z float64) (ro, ri float64) {
	ro, ri = float64(b.f.Outer)/2, float64(b.f.Canal)/2
	s, wide := (b.isth-z)/(b.isth-flareAt), ri*b.f.Flare
	wall := 1.8
	if z > b.isth {
		s, wide = (z-b.isth)/(b.end-60-b.isth), float64(b.f.Condyle)*0.36
		wall = 1.5
	}
	in := s * s * math.Sqrt(math.Sqrt(s))
	out := s * s * s
	return ro + (wide+wall-ro)*out, ri + (wide-ri)*in
}

func (b *body) addShaft() {
	b.shaft = newTube(pose{m: one}, shaftTop, b.end-capAt, aspect, func(z float64) (cx, cy, ro, ri float64) {
		ro, ri = b.profile(z)
		return 0, b.bow(z), ro, min(ri, ro-1.2)
	})
	b.addTube(b.shaft)
}

// addNeck lays the neck along its own axis: its x is the upper side, its y
// the front, its z runs towards the head.
func (b *body) addNeck() {
	f := b.f
	up := vec{0, 0, -1}
	up = up.minus(b.along.times(up.dot(b.along))).unit()
	front := b.along.cross(up)
	m := mat{up, front, b.along}.flip()
	from := pose{m, vec{0, 0, crossing}}
	narrow := float64(f.Reach) - float64(f.Head)/2 - 2
	b.neck = newTube(from, 12, float64(f.Reach)-6, f.Oval, func(z float64) (cx, cy, ro, ri float64) {
		h := z - narrow
		grow := h * h * 0.010
		if h > 0 {
			grow = h * h * 0.012
		}
		ro = float64(f.Neck)/2 + min(grow, 6)
		return 0, 0, ro, ro - float64(f.Cortex)
	})
	b.addTube(b.neck)
	last := len(b.parts) - 1
	b.addEgg(b.headAt, vec{1, 1, 1}.times(float64(f.Head)/2), 1.6)
	if f.Neck2.At > 0 && f.Neck2.Width > 0 {
		c := &crack{b.along, b.along.dot(vec{0, 0, crossing}) + float64(f.Neck2.At), float64(f.Neck2.Width) / 2}
		b.parts[last].crack, b.parts[last+1].crack = c, c
	}
}

// addUpper adds the trochanters and what fills the place between them.
func (b *body) addUpper() {
	w, _ := b.profile(flareAt)
	b.tip = vec{-w * 0.6, -4, 0}
	b.lesser = vec{w*0.5 + 6, -11, lesserLow}
	b.addEgg(vec{-w * 0.6, -4, 29}, vec{w * 0.66, 16, 29}, 1.4)                      // greater trochanter, tip at z = 0
	b.addEgg(vec{-w * 0.42, -2, 50}, vec{w * 0.76, w * 0.94, 42}, 1.5)               // its base
	b.addEgg(vec{w * 0.4, 1, 57}, vec{w * 0.62, w * 0.9, 32}, 2)                     // calcar
	b.addEgg(vec{0, -1, 38}, vec{w * 0.8, w * 0.8, 20}, 1.4)                         // saddle
	b.addEgg(vec{w*0.5 + 6, -11, lesserMid}, vec{11, 9, lesserLow - lesserMid}, 1.2) // lesser trochanter
}

// addLower adds the lower end: a middle block whose lower end is the roof of
// the notch, two condyles and the kneecap.
func (b *body) addLower() {
	w := float64(b.f.Condyle)
	b.target = vec{0, -1, b.end - 40}
	b.addCap()
	b.addEgg(vec{w * 0.283, -9, b.end - 34}, vec{w * 0.222, w * 0.41, 34}, 1.3)
	b.addEgg(vec{-w * 0.283, -7, b.end - 35}, vec{w * 0.222, w * 0.42, 33.5}, 1.3)
	b.patella = vec{2, w*0.36 + 11, b.end - 52}
	b.addEgg(b.patella, vec{20, 9, 21}, 1)
}

// addCap closes the shaft with half an egg that goes on in its direction and
// ends at the roof of the notch. With r and m the radius and the growth of the
// shaft there, q·r its widest place and C its half length:
//
//	|s| = √(1 − 1/q²), C = (56 − 24)/(1 + |s|), m = q²·r·|s|/C
func (b *body) addCap() {
	k := b.shaft.at(b.shaft.z1)
	lo, hi, c := 1.0, 1.5, 0.0
	for range 50 {
		q := (lo + hi) / 2
		s := math.Sqrt(1 - 1/(q*q))
		c = (capAt - roofAt) / (1 + s)
		if q*q*k.ro*s/c < k.dro {
			lo = q
		} else {
			hi = q
		}
	}
	b.roof = vec{0, k.cy, b.end - roofAt}
	b.addEgg(vec{0, k.cy, b.end - roofAt - c}, vec{lo * k.ro, lo * k.ro * aspect, c}, k.ro-k.ri)
}

func (b *body) addEgg(at, half vec, shell float64) {
	p := pose{one, at}
	b.parts = append(b.parts, part{shape: newEgg(half, shell), from: p,
		bounds: []bound{{at, max(half[0], max(half[1], half[2]))}}})
}

func (b *body) addTube(t *tube) {
	b.parts = append(b.parts, part{shape: t, from: t.from, bounds: t.bounds()})
}

// bounds are balls round every fifth millimetre of a tube.
func (t *tube) bounds() []bound {
	var out []bound
	for i := 0; i < len(t.knots); i += 5 {
		q := t.knots[i]
		r := max(q.ro, q.ro+5*q.dro) * max(1, t.k)
		out = append(out, bound{t.from.on(vec{q.cx, q.cy, t.z0 + float64(i)}), r + 6})
	}
	return out
}

// entry is where a line 6 mm under the axis of the neck leaves the lateral
// side of the bone.
func (b *body) entry() vec {
	r := ray{vec{0, 0, crossing + 6}, b.along.times(-100)}
	far := 0.0
	for i := range b.parts {
		back := b.parts[i].from.back()
		o, _ := b.parts[i].shape.spans(&ray{back.on(r.s), back.m.on(r.d)})
		if o.b > o.a && o.a < 0.15 {
			far = max(far, o.b)
		}
	}
	return r.s.plus(r.d.times(far))
}

// nail is the upper and the lower end of an implant.
func (b *body) nail(n Nail) (top, low float64) {
	return float64(n.Top), min(float64(n.Top+n.Length), b.end-20)
}

// nailBow keeps the implant on the centre line, and straight beyond it.
func (b *body) nailBow(z float64) float64 {
	return b.bow(min(max(z, shaftTop), b.end-45))
}
