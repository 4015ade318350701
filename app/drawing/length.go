package drawing

import (
	"math"
	"strconv"
	"strings"

	"isthmus/core/plan"
	"isthmus/core/units"
)

// LengthInput is what the drawing of the nail's length is made from: how it
// was measured (either, or neither), what is left for the nail, and the
// lengths on the shelf with their chances.
type LengthInput struct {
	ID    string
	Rods  *RodPair
	Film  *FilmLength
	Bone  *units.Length // tip of the trochanter to the distal target
	Room  *units.Length // the longest nail that fits: bone less burial
	Sizes []plan.Size   // shortest first
	Nail  units.MM      // the length chosen; 0: none
}

// A RodPair is two rods of one length: one lies in the bone, and what of it
// stands out is measured against the other.
type RodPair struct {
	Rod       units.MM // length of either rod
	StandsOut units.MM // what stands out of the bone
}

// A FilmLength is a length on a film that is larger than the bone.
type FilmLength struct {
	Seen          units.MM // at the detector
	Magnification float64  // seen over true
}

// LengthFromPlan returns what the drawing needs from a plan.
func LengthFromPlan(p plan.Plan) LengthInput {
	return LengthInput{ID: "length", Bone: p.Bone.Length, Room: p.Nail.Room, Sizes: p.Nail.Sizes, Nail: p.Nail.Length}
}

func (in LengthInput) check() error {
	var c checker
	if in.Rods == nil && in.Film == nil && in.Room == nil {
		c.gap("the length of the bone", "not measured", leastBone.String()+" to "+mostBone.String())
	}
	if r := in.Rods; r != nil {
		c.in("the rod", r.Rod, 100, 1500)
		c.in("what stands out of the bone", r.StandsOut, 0, r.Rod-leastBone)
	}
	if f := in.Film; f != nil {
		c.in("the length on the film", f.Seen, leastBone, 1200)
		if !(f.Magnification >= 1 && f.Magnification <= 2) {
			c.gap("the magnification", strings.TrimSuffix(shown(f.Magnification), " mm"), "1 to 2")
		}
	}
	c.maybe("the length of the bone", in.Bone, leastBone, mostBone)
	c.maybe("the room for the nail", in.Room, leastBone, mostBone)
	for _, z := range in.Sizes {
		c.in("a length on the shelf", z.Value, leastNail, mostNail)
		if !(z.Right >= 0 && z.Right <= 1 && z.TooLong >= 0 && z.TooLong <= 1) {
			c.gap("a chance", "no chance", "0 to 1")
		}
	}
	return c.err("nail length")
}

// Length returns the drawing of the nail's length: the two rods or the film
// it was measured on, to scale, and below, to a larger scale, where each
// length on the shelf would end, with its chance. It refuses impossible
// numbers.
func Length(in LengthInput) (string, error) {
	if err := in.check(); err != nil {
		return "", err
	}
	d := &lengthDrawing{in: in}
	d.sizes = nearest(in.Sizes, in.Nail, 5)
	h := 6.0
	if in.Rods != nil {
		h += 116
	}
	if in.Film != nil {
		h += 88
	}
	if in.Room != nil {
		h += 62 + 24*float64(len(d.sizes))
	}
	d.s = newSheet(in.ID, 328, h)
	d.rods()
	d.film()
	d.shelf()
	return d.s.done("d-length", "Length of the nail", d.words()), nil
}

type lengthDrawing struct {
	in    LengthInput
	s     *sheet
	y     float64 // how far down the sheet is filled
	sizes []plan.Size
}

// nearest returns at most n sizes around the chosen or the likeliest one.
func nearest(sizes []plan.Size, chosen units.MM, n int) []plan.Size {
	if len(sizes) <= n {
		return sizes
	}
	best := 0
	for i, z := range sizes {
		if z.Value == chosen || chosen == 0 && z.Right > sizes[best].Right {
			best = i
		}
	}
	from := max(0, min(best-n/2, len(sizes)-n))
	return sizes[from : from+n]
}

// rods draws two rods of one length side by side, level at their outer ends:
// one whole, one in the bone. What does not stand out lies in the bone.
func (d *lengthDrawing) rods() {
	r := d.in.Rods
	if r == nil {
		return
	}
	k := 316 / float64(r.Rod)
	x0, cortex, x1 := 6.0, 6+float64(r.StandsOut)*k, 322.0
	y := d.y
	d.s.text("d-t", small, xy{x0, y + 12}, start, "one rod "+r.Rod.String())
	d.s.box("d-hole", xy{x0, y + 18}, xy{x1, y + 24}, 0)
	d.s.line("d-axis", xy{x0, y + 21}, xy{x1, y + 21}, long("rod", float64(r.Rod), k))
	d.s.box("d-bone", xy{cortex, y + 34}, xy{x1, y + 58}, 8)
	d.s.line("d-bold", xy{cortex, y + 30}, xy{cortex, y + 62})
	d.s.line("d-lead", xy{x1, y + 24}, xy{x1, y + 84})
	d.s.line("d-lead", xy{x0, y + 24}, xy{x0, y + 84})
	d.s.line("d-lead", xy{cortex, y + 62}, xy{cortex, y + 84})
	d.s.box("d-hole", xy{x0, y + 43}, xy{x1, y + 49}, 0)
	if r.StandsOut > 0 {
		d.s.dim("d-move", xy{x0, y + 80}, xy{cortex, y + 80}, long("stands-out", float64(r.StandsOut), k))
	}
	in := r.Rod - r.StandsOut
	d.s.dim("d-ink", xy{cortex, y + 80}, xy{x1, y + 80}, long("in-bone", float64(in), k))
	d.s.text("d-t d-blue", normal, xy{x0, y + 98}, start, "stands out "+r.StandsOut.String())
	d.s.text("d-t d-num", normal, xy{x1, y + 98}, end, "in bone "+in.String())
	d.s.text("d-t d-soft", small, xy{x1, y + 12}, end, "equal rods, to scale")
	d.y += 116
}

// film draws the length on the film above the length of the bone.
func (d *lengthDrawing) film() {
	f := d.in.Film
	if f == nil {
		return
	}
	bone := float64(f.Seen) / f.Magnification
	k := 316 / float64(f.Seen)
	y := d.y
	d.s.text("d-t", small, xy{6, y + 14}, start, "on the film "+units.MM(math.Round(float64(f.Seen)*10)/10).String())
	d.s.text("d-t d-soft", small, xy{322, y + 14}, end, "÷ "+strconv.FormatFloat(f.Magnification, 'f', 3, 64))
	d.s.dim("d-move", xy{6, y + 24}, xy{322, y + 24}, long("seen", float64(f.Seen), k))
	d.s.line("d-lead", xy{6, y + 20}, xy{6, y + 60})
	d.s.line("d-lead", xy{322, y + 20}, xy{322, y + 60})
	d.s.hatched(careHatch, xy{6 + bone*k, y + 50}, xy{322, y + 50}, xy{322, y + 58}, xy{6 + bone*k, y + 58})
	d.s.text("d-t d-num", normal, xy{6, y + 44}, start, "bone "+units.MM(math.Round(bone*10)/10).String())
	d.s.dim("d-ink", xy{6, y + 54}, xy{6 + bone*k, y + 54}, long("true", bone, k))
	d.s.text("d-t d-soft", small, xy{322, y + 73}, end, "hatched: only magnification")
	d.y += 88
}

// shelf draws where the room for the nail ends, with its doubt, and where
// each length on the shelf would end.
func (d *lengthDrawing) shelf() {
	if d.in.Room == nil {
		return
	}
	room, u := float64(d.in.Room.Best), sure(*d.in.Room)
	lo, hi := room-u-10, room+u+10
	for _, z := range d.sizes {
		lo, hi = math.Min(lo, float64(z.Value)-10), math.Max(hi, float64(z.Value)+10)
	}
	const left, right = 76.0, 232.0
	k := (right - left) / (hi - lo)
	x := func(mm float64) float64 { return left + (mm-lo)*k }
	top, bottom := d.y+36, d.y+38+24*float64(len(d.sizes))
	d.s.text("d-t d-num", normal, xy{6, d.y + 14}, start, "room "+d.in.Room.String())
	d.s.text("d-t d-soft", small, xy{322, d.y + 14}, end, d.burial())
	d.s.text("d-t d-soft", small, xy{264, d.y + 32}, end, "right")
	d.s.text("d-t d-soft", small, xy{322, d.y + 32}, end, "too long")
	if u > 0 {
		d.s.hatched(doubtHatch, xy{x(room - u), top}, xy{x(room + u), top}, xy{x(room + u), bottom}, xy{x(room - u), bottom})
	}
	d.s.line("d-bold", xy{x(room), top}, xy{x(room), bottom}, at("room", room))
	for i, z := range d.sizes {
		d.size(z, top+4+24*float64(i), x, left, k, lo)
	}
	d.shelfRule(lo, hi, x, bottom, k)
}

// size draws one length on the shelf: its lower end, its chances.
func (d *lengthDrawing) size(z plan.Size, y float64, x func(float64) float64, left, k, lo float64) {
	class, words := "d-ghost", "d-t"
	if z.Value == d.in.Nail {
		class, words = "d-part", "d-t d-num"
	}
	end0 := x(float64(z.Value))
	d.s.box(class, xy{left, y + 3}, xy{end0, y + 13}, 2)
	d.s.line("d-axis", xy{left, y + 8}, xy{end0, y + 8}, long("size", float64(z.Value)-lo, k))
	d.s.text(words, normal, xy{68, y + 13}, end, z.Value.String())
	d.s.text(words, normal, xy{264, y + 13}, end, percent(z.Right))
	bad := words
	if z.TooLong >= 0.5 {
		bad = "d-t d-red"
	}
	d.s.text(bad, normal, xy{322, y + 13}, end, percent(z.TooLong))
}

func percent(p float64) string {
	switch {
	case p > 0 && p < 0.005:
		return "< 1 %"
	case p < 1 && p >= 0.995:
		return "> 99 %"
	}
	return strconv.FormatFloat(100*p, 'f', 0, 64) + " %"
}

// shelfRule is the rule under the ends of the nails.
func (d *lengthDrawing) shelfRule(lo, hi float64, x func(float64) float64, y, k float64) {
	d.s.line("d-rule", xy{x(lo), y}, xy{x(hi), y})
	step := ruleStep(k, 42)
	for t := math.Ceil(lo/step) * step; t <= hi; t += step {
		d.s.line("d-rule", xy{x(t), y}, xy{x(t), y + 5}, at("rule", t))
		d.s.text("d-t d-soft", small, xy{x(t), y + 18}, middle, strconv.FormatFloat(t, 'f', -1, 64))
	}
	d.s.text("d-t d-soft", small, xy{6, y + 18}, start, "mm, tip")
}

func (d *lengthDrawing) burial() string {
	if d.in.Bone == nil {
		return ""
	}
	b := d.in.Bone.Best - d.in.Room.Best
	return "bone " + bestOnly(*d.in.Bone) + " − " + units.MM(math.Round(float64(b)*10)/10).String()
}

func (d *lengthDrawing) words() string {
	var say []string
	if r := d.in.Rods; r != nil {
		say = append(say, "Two rods of "+r.Rod.String()+"; "+r.StandsOut.String()+" stand out of the bone, so "+(r.Rod-r.StandsOut).String()+" lie in it.")
	}
	if f := d.in.Film; f != nil {
		say = append(say, "On the film "+shown(float64(f.Seen))+", divided by the magnification "+units.Trim(f.Magnification, 3)+": "+shown(math.Round(float64(f.Seen)/f.Magnification*10)/10)+".")
	}
	if d.in.Room != nil {
		say = append(say, "Room for a nail of "+d.in.Room.String()+".")
	}
	for _, z := range d.sizes {
		w := z.Value.String() + ": right with a chance of " + percent(z.Right) + ", too long " + percent(z.TooLong)
		if z.Value == d.in.Nail {
			w = "Chosen: " + w
		}
		say = append(say, w+".")
	}
	return strings.Join(append(say, "To scale."), " ")
}
