package drawing

import (
	"math"
	"slices"

	"isthmus/core/units"
)

type headDrawing struct {
	in HeadScrewInput
	s  *sheet
}

// hipHeight is the room for the hip from the front, css pixels.
const hipHeight = 184.0

// A hipFrame turns millimetres along the wire (from the lateral cortex) and
// across it (upwards) into places on the drawing.
type hipFrame struct {
	o    xy
	u, n xy // along the wire, and a quarter turn upwards
	k    float64
	m    float64
}

func (f hipFrame) at(along, across float64) xy {
	return f.o.plus(f.u.times(along * f.k)).plus(f.n.times(across * f.k))
}

// bone returns a place down the shaft (t) and towards the middle (c) from the
// entry of the wire.
func (f hipFrame) bone(t, c float64) xy { return xy{f.o.x + c*f.m*f.k, f.o.y + t*f.k} }

func (in HeadScrewInput) radius() float64 {
	if in.Head != nil {
		return float64(in.Head.Best)
	}
	return 24
}

func (in HeadScrewInput) tilt() float64 {
	if in.Angle != 0 {
		return (float64(in.Angle) - 90) * math.Pi / 180
	}
	return 40 * math.Pi / 180
}

// handle is how much of the sleeve is drawn outside the bone, mm.
const handle = 26.0

// frame fits the hip into its room.
func (in HeadScrewInput) frame() hipFrame {
	a, r := in.tilt(), in.radius()
	reach := math.Max(math.Max(float64(in.joint()), float64(in.wire())), float64(in.Screw))
	out := handle + float64(in.OffBone)
	up := math.Max((float64(in.joint())-r)*math.Sin(a)+r, reach*math.Sin(a)) + 4
	down := out*math.Sin(a) + 14
	inner := math.Max((float64(in.joint())-r)*math.Cos(a)+r, reach*math.Cos(a)) + 4
	outer := out*math.Cos(a) + 6
	k := math.Min(2, math.Min((hipHeight-22)/(up+down), hipWidth/(inner+outer)))
	m := medial(in.Side)
	f := hipFrame{k: k, m: m, u: xy{m * math.Cos(a), -math.Sin(a)}, n: xy{-m * math.Sin(a), -math.Cos(a)}}
	if m > 0 {
		f.o = xy{6 + outer*k, 20 + up*k}
	} else {
		f.o = xy{322 - outer*k, 20 + up*k}
	}
	return f
}

func (d *headDrawing) hip() {
	in, f := d.in, d.in.frame()
	joint, r := float64(in.joint()), in.radius()
	head := f.at(joint-r, 0)
	d.outline(f, head, r*f.k)
	wire := float64(in.wire())
	if in.Screw > 0 {
		s := float64(in.Screw)
		d.s.poly("d-part", true, f.at(0, 3.2), f.at(s, 3.2), f.at(s, -3.2), f.at(0, -3.2))
	}
	d.s.line("d-move d-dashed", f.at(-float64(in.OffBone), 0), f.at(wire, 0), long("wire-hip", float64(in.Gauge+in.Subtracts), f.k))
	d.s.circle("d-movefill", f.at(wire, 0), 3)
	d.sleeve(f)
	d.s.text("d-t", small, xy{6, 12}, start, sideAndView(in.Side))
	d.callout(f)
}

// hipWidth is the room for the hip; beside it stands what is left to the
// joint, on the side of the head.
const hipWidth = 182.0

func (d *headDrawing) callout(f hipFrame) {
	in := d.in
	x, a, tip := 322.0, end, xy{192, 62}
	if f.m < 0 {
		x, a, tip = 6, start, xy{136, 62}
	}
	put := func(class string, size, y float64, words string) {
		d.s.text(class, size, xy{x, y}, a, words)
	}
	put("d-t d-soft", small, hipHeight-4, d.legend())
	if in.Screw == 0 {
		put("d-t d-num", large, 58, in.joint().String())
		put("d-t", small, 76, "cortex to joint")
		d.wireEnd(put)
		return
	}
	l, class := in.leaves(in.Leaves, in.Screw), "d-t d-num"
	if in.short(l) {
		class = "d-t d-red"
	}
	if l.Best < 0 {
		put(class, large, 58, l.Times(-1).String())
		put(class, small, 76, "through the joint")
	} else {
		put(class, large, 58, l.String())
		put("d-t", small, 76, "left to the joint")
	}
	put("d-t", small, 92, "keep "+in.Clearance.String())
	d.wireEnd(put)
	d.s.line("d-lead", f.at(math.Max(float64(in.joint()+in.Screw)/2, 0), 0), tip)
}

// wireEnd says what the picture takes the end of the wire to be, where that
// is not simply short of the joint.
func (d *headDrawing) wireEnd(put func(class string, size, y float64, words string)) {
	in := d.in
	switch {
	case in.GapUnsaid:
		put("d-t d-red", small, 112, "if the wire ends")
		put("d-t d-red", small, 126, "at the joint")
	case in.GapLeft < 0:
		put("d-t d-red", small, 112, "STOP: wire is")
		put("d-t d-red", small, 126, "through by "+(-in.GapLeft).String())
	}
}

// short reports that less is left than is to be kept.
func (in HeadScrewInput) short(l units.Length) bool { return l.Best < 0 || l.Best < in.Clearance }

func (d *headDrawing) legend() string {
	if d.in.Head == nil {
		return "bone: a sketch"
	}
	return "radius " + d.in.Head.String()
}

// outline draws a femur for the eye: shaft, trochanter and neck around the
// wire, and the head where the joint is.
func (d *headDrawing) outline(f hipFrame, head xy, r float64) {
	in := d.in
	c := (head.x - f.o.x) / f.k * f.m // the head above and inside the entry, mm
	t := (head.y - f.o.y) / f.k
	lateral := smooth([]xy{f.bone(24, 0), f.bone(0, 0), f.bone(t*0.6, -3), f.bone(t*0.9, 0), f.bone(t-1, 9), f.bone(t*0.84, 17),
		f.bone(t*0.74, c*0.45), f.at(float64(in.joint())-in.radius()*1.7, in.radius()*0.62)})
	inner := smooth([]xy{f.at(float64(in.joint())-in.radius()*1.6, -in.radius()*0.66), f.bone(t*0.2, c*0.62), f.bone(2, 33), f.bone(10, 30), f.bone(24, 29)})
	for _, side := range [][]xy{lateral, inner} {
		for i := range side {
			side[i] = d.held(side[i])
		}
	}
	d.s.poly("d-bone", true, append(append([]xy{}, lateral...), inner...)...)
	d.s.poly("d-guess", false, lateral...)
	d.s.poly("d-guess", false, inner...)
	d.s.circle("d-bone", head, r)
	class := "d-guess"
	if in.Head != nil {
		class = "d-ink"
	}
	d.s.circle(class, head, r, long("head", 2*in.radius(), f.k))
	d.s.poly("d-bold", false, arc(head, r, f.u, 55)...)
	if in.Clearance > 0 {
		keep := arc(head, math.Max(r-float64(in.Clearance)*f.k, 1), f.u, 40)
		slices.Reverse(keep)
		d.s.hatched(careHatch, append(arc(head, r, f.u, 40), keep...)...)
	}
}

// smooth returns points on a curve through the given ones (Catmull and Rom).
func smooth(p []xy) []xy {
	if len(p) < 3 {
		return p
	}
	const n = 5
	out := make([]xy, 0, n*len(p))
	for i := 0; i+1 < len(p); i++ {
		a, b, c, e := p[max(i-1, 0)], p[i], p[i+1], p[min(i+2, len(p)-1)]
		for j := 0; j < n; j++ {
			t := float64(j) / n
			q := b.times(2).plus(c.minus(a).times(t))
			q = q.plus(a.times(2).minus(b.times(5)).plus(c.times(4)).minus(e).times(t * t))
			q = q.plus(b.times(3).minus(a).minus(c.times(3)).plus(e).times(t * t * t))
			out = append(out, q.times(0.5))
		}
	}
	return append(out, p[len(p)-1])
}

// held keeps the sketch inside its room.
func (d *headDrawing) held(p xy) xy { return xy{clamp(p.x, 3, 325), clamp(p.y, 18, hipHeight)} }

// sleeve draws the sleeve, on the bone or off it by a hatched gap.
func (d *headDrawing) sleeve(f hipFrame) {
	off := float64(d.in.OffBone)
	if off > 0 {
		d.s.hatched(stopHatch, f.at(0, 5), f.at(-off, 5), f.at(-off, -5), f.at(0, -5))
		d.s.line("d-stop", f.at(-off, 7), f.at(-off, -7))
	}
	d.s.poly("d-ink", false, f.at(-off-handle, 5), f.at(-off, 5))
	d.s.poly("d-ink", false, f.at(-off-handle, -5), f.at(-off, -5))
	d.s.line("d-ink", f.at(-off, 5), f.at(-off, -5))
}

// arc returns points on a circle, half degrees to both sides of a direction.
func arc(c xy, r float64, dir xy, half float64) []xy {
	base := math.Atan2(dir.y, dir.x)
	const n = 16
	pts := make([]xy, 0, n+1)
	for i := 0; i <= n; i++ {
		a := base + (2*float64(i)/n-1)*half*math.Pi/180
		pts = append(pts, xy{c.x + r*math.Cos(a), c.y + r*math.Sin(a)})
	}
	return pts
}

// bars draws what the gauge reads and what each screw leaves, along the wire,
// the joint on the right.
func (d *headDrawing) bars() {
	in := d.in
	joint := float64(in.joint())
	from := -float64(in.OffBone)
	to := max(joint, float64(in.wire()), float64(in.Longer), float64(in.Screw)) + 5
	k := 312 / (to - from)
	x := func(mm float64) float64 { return 8 + (mm-from)*k }
	top, bottom := hipHeight+8, d.s.h-20
	if in.Clearance > 0 {
		a, b := x(math.Max(joint-float64(in.Clearance), from)), x(joint)
		d.s.hatched(careHatch, xy{a, top}, xy{b, top}, xy{b, bottom}, xy{a, bottom})
	}
	d.s.line("d-fine", xy{x(0), top}, xy{x(0), bottom}, at("cortex", 0))
	class := "d-bold"
	if in.GapUnsaid {
		class = "d-bold d-dashed"
	}
	d.s.line(class, xy{x(joint), top}, xy{x(joint), bottom}, at("joint", joint))
	d.s.raw(`<g data-what="bars">`)
	d.gaugeBar(top, x, k)
	if in.Screw > 0 {
		d.screwBar(top+38, x, k, "screw ", in.Screw, in.leaves(in.Leaves, in.Screw), "d-part")
	} else {
		d.s.text("d-t d-red", normal, xy{8, top + 52}, start, "no screw chosen")
	}
	if in.Longer > 0 {
		d.screwBar(top+76, x, k, "longer ", in.Longer, in.leaves(in.LongerTo, in.Longer), "d-ghost")
	}
	d.s.raw("</g>")
	d.footer(x(0), x(joint))
}

// footer names the two lines and the hatching under the bars.
func (d *headDrawing) footer(cortex, joint float64) {
	keep, y := "hatched: keep "+d.in.Clearance.String()+" from joint", d.s.h-5
	w, c := wide(keep, small), wide("cortex", small)
	right := clamp(joint, 6+w, 322)
	d.s.text("d-t", small, xy{right, y}, end, keep)
	switch free := right - w - 6; {
	case cortex+c <= free:
		d.s.text("d-t d-soft", small, xy{cortex, y}, start, "cortex")
	case cortex <= free && cortex-c >= 2:
		d.s.text("d-t d-soft", small, xy{cortex, y}, end, "cortex")
	}
}

func (d *headDrawing) gaugeBar(y float64, x func(float64) float64, k float64) {
	in := d.in
	a, b := -float64(in.OffBone), float64(in.wire())
	words := "gauge " + in.Gauge.String()
	if in.Subtracts > 0 {
		words += " + " + in.Subtracts.String()
	}
	d.s.text("d-t d-blue", normal, xy{8, y + 13}, start, words)
	if in.OffBone > 0 {
		d.s.text("d-t d-red", small, xy{320, y + 13}, end, "off bone "+in.OffBone.String())
		d.s.hatched(stopHatch, xy{x(a), y + 19}, xy{x(0), y + 19}, xy{x(0), y + 31}, xy{x(a), y + 31})
	}
	if j := float64(in.joint()); b > j {
		d.s.hatched(stopHatch, xy{x(j), y + 19}, xy{x(b), y + 19}, xy{x(b), y + 31}, xy{x(j), y + 31})
	}
	d.s.dim("d-move", xy{x(a), y + 25}, xy{x(b), y + 25}, long("wire", b-a, k))
}

func (d *headDrawing) screwBar(y float64, x func(float64) float64, k float64, name string, screw units.MM, leaves units.Length, class string) {
	joint := float64(d.in.joint())
	num := "d-t d-num"
	if d.in.short(leaves) {
		num = "d-t d-red"
	}
	bold := "d-t d-num"
	if class == "d-ghost" {
		bold = "d-t"
	}
	d.s.text(bold, normal, xy{8, y + 13}, start, name+screw.String())
	d.s.text(num, normal, xy{320, y + 13}, end, left(leaves))
	d.s.box(class, xy{x(0), y + 19}, xy{x(float64(screw)), y + 31}, 1)
	d.s.line("d-axis", xy{x(0), y + 25}, xy{x(float64(screw)), y + 25}, long(name[:4]+"-bar", float64(screw), k))
	if leaves.Best < 0 {
		d.s.hatched(stopHatch, xy{x(joint), y + 19}, xy{x(float64(screw)), y + 19}, xy{x(float64(screw)), y + 31}, xy{x(joint), y + 31})
		return
	}
	d.s.dim("d-ink", xy{x(float64(screw)), y + 25}, xy{x(joint), y + 25}, long(name[:4]+"-left", joint-float64(screw), k))
}
