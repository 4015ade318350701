package drawing

import (
	"math"
	"strconv"

	"isthmus/core/units"
)

// A label belongs to one level of the strip.
type label struct {
	t     float64
	what  string
	lines []string // standing
	row   []string // lying
	class string
}

// levels returns the labels in the order of the bone.
func (p *strip) levels() []label {
	var ls []label
	add := func(what string, l *units.Length, class string, lines, row []string) {
		if l != nil {
			ls = append(ls, label{float64(l.Best), what, lines, row, class})
		}
	}
	if l := p.in.Lesser; l != nil {
		add("lesser", l, "d-t", []string{"lesser", bestOnly(*l), plusMinus(*l)}, []string{"lesser trochanter", l.String()})
	}
	if l := p.in.Upper; l != nil {
		add("fracture", l, "d-t d-red", fractureLines(*l, p.in.Lower), []string{"fracture", fractureWords(*l, p.in.Lower)})
	}
	if l := p.in.Isthmus; l != nil {
		lines, row := []string{"isthmus", bestOnly(*l), plusMinus(*l)}, []string{"isthmus " + l.String()}
		if c := p.in.Canal; c != nil {
			lines = append(lines, "canal", bestOnly(*c), plusMinus(*c))
			row = append(row, "canal "+c.String())
		}
		add("isthmus", l, "d-t", lines, row)
	}
	if n := p.in.Nail; n != nil {
		tip := units.Exact(n.Burial + n.Length)
		lines, row := []string{"nail end", bestOnly(tip)}, []string{"nail end " + tip.String()}
		class := "d-t"
		if p.in.Length != nil {
			left := p.in.Length.Minus(tip)
			if left.Best < 0 {
				class = "d-t d-red"
			}
			row = append(row, pastWords(left))
		}
		add("tip", &tip, class, lines, row)
	}
	if l := p.in.Length; l != nil && !p.lying {
		add("end", l, "d-t", []string{"target", bestOnly(*l), plusMinus(*l)}, nil)
	}
	return ls
}

func fractureLines(u units.Length, l *units.Length) []string {
	if l == nil {
		return []string{"fracture", bestOnly(u), plusMinus(u)}
	}
	return []string{"fracture", "from", bestOnly(u), "to", bestOnly(*l)}
}

func fractureWords(u units.Length, l *units.Length) string {
	if l == nil {
		return u.String()
	}
	return bestOnly(u) + " to " + bestOnly(*l)
}

// pastWords says how far the nail ends from the target.
func pastWords(left units.Length) string {
	if left.Best < 0 {
		return left.Times(-1).String() + " past the target"
	}
	return left.String() + " short of target"
}

// labels writes the labels beside their levels, moved apart where they would
// touch, each joined to its level by a thin line.
func (p *strip) labels() {
	ls := p.levels()
	for i := range ls {
		ls[i].lines, ls[i].row = full(ls[i].lines), full(ls[i].row)
	}
	for i := range ls {
		p.s.line("d-level", p.edge(ls[i].t, false), p.edge(ls[i].t, true), at(ls[i].what, ls[i].t))
	}
	if p.lying {
		p.labelsAbove(ls)
		p.dims()
		return
	}
	p.labelsBeside(ls)
}

func full(lines []string) []string {
	out := lines[:0:0]
	for _, l := range lines {
		if l != "" {
			out = append(out, l)
		}
	}
	return out
}

const lineHeight = 13.0

func (p *strip) labelsBeside(ls []label) {
	lo, hi := 32.0, p.s.h-standBottom+6
	mids, ok := p.spreadLabels(ls, lo, hi)
	for !ok && shorten(ls) {
		mids, ok = p.spreadLabels(ls, lo, hi)
	}
	if !ok {
		return
	}
	x := 2 + 2*p.reach
	for i, l := range ls {
		p.taken = append(p.taken, [2]float64{mids[i] - float64(len(l.lines))*lineHeight/2, mids[i] + float64(len(l.lines))*lineHeight/2})
		p.s.line("d-lead", p.edge(l.t, true), xy{x + 5, mids[i]})
		y := mids[i] - float64(len(l.lines))*lineHeight/2 + 10.5
		for j, words := range l.lines {
			class := l.class
			if j == 1 || j == 4 && l.what == "isthmus" {
				class += " d-num"
			}
			p.s.text(class, small, xy{x + 6, y + float64(j)*lineHeight}, start, cut(words, small, column-2))
		}
	}
}

func (p *strip) spreadLabels(ls []label, lo, hi float64) ([]float64, bool) {
	var want, size []float64
	for _, l := range ls {
		want = append(want, p.edge(l.t, true).y)
		size = append(size, float64(len(l.lines))*lineHeight)
	}
	return spread(want, size, lo, hi, 4)
}

// shorten takes a line off the longest label and returns false when nothing
// is left to take.
func shorten(ls []label) bool {
	long := 0
	for i := range ls {
		if len(ls[i].lines) > len(ls[long].lines) {
			long = i
		}
	}
	if len(ls) == 0 || len(ls[long].lines) <= 2 {
		return false
	}
	ls[long].lines = ls[long].lines[:len(ls[long].lines)-1]
	return true
}

func (p *strip) labelsAbove(ls []label) {
	for n := len(ls); n > 0; n-- {
		ls := ls[:n]
		var want, size []float64
		for _, l := range ls {
			w := 0.0
			for _, words := range l.row {
				w = math.Max(w, wideIn(l.class, words, small))
			}
			want, size = append(want, p.edge(l.t, true).x), append(size, w)
		}
		mids, ok := spread(want, size, 4, p.s.w-4, 10)
		if !ok {
			continue
		}
		for i, l := range ls {
			bottom := 30 + float64(len(l.row)-1)*14
			p.s.line("d-lead", p.edge(l.t, true), xy{mids[i], bottom + 4})
			for j, words := range l.row {
				p.s.text(l.class, small, xy{mids[i], 30 + float64(j)*14}, middle, words)
			}
		}
		return
	}
}

// dims draws the dimension lines under a lying bone.
func (p *strip) dims() {
	y := p.o.y + p.reach + 22
	if n := p.in.Nail; n != nil {
		a, b := p.at(float64(n.Burial), 0), p.at(float64(n.Burial+n.Length), 0)
		p.s.dim("d-fine", xy{a.x, y}, xy{b.x, y}, long("nail-dimension", float64(n.Length), p.k))
		p.dimWords((a.x+b.x)/2, y-4, "nail "+nailWords(*n))
	}
	if l := p.in.Length; l != nil {
		a, b := p.at(0, 0), p.at(float64(l.Best), 0)
		p.s.dim("d-fine", xy{a.x, y + 21}, xy{b.x, y + 21}, long("length", float64(l.Best), p.k))
		p.dimWords((a.x+b.x)/2, y+17, "bone "+l.String())
	}
}

// dimWords writes over a dimension line, inside the drawing.
func (p *strip) dimWords(x, y float64, words string) {
	half := wideIn("d-num", words, normal)/2 + 4
	p.s.text("d-t d-num", normal, xy{clamp(x, half, p.s.w-half), y}, middle, words)
}

// nailWords prints a nail and where its top lies.
func nailWords(n StripNail) string {
	w := units.Trim(float64(n.Diameter), 1) + " × " + n.Length.String()
	switch {
	case n.Burial > 0:
		return w + ", " + units.MM(math.Round(float64(n.Burial)*10)/10).String() + " below the tip"
	case n.Burial < 0:
		return w + ", stands out by " + units.MM(math.Round(float64(-n.Burial)*10)/10).String()
	}
	return w + ", level with the tip"
}

// rule draws the millimetre rule: a tick each 10 mm, a longer one each 50, a
// number where there is room.
func (p *strip) rule() {
	from, to := math.Ceil(p.t0/10)*10, math.Floor(p.t1/10)*10
	p.s.line("d-rule", p.onRule(from, 0), p.onRule(to, 0), long("rule", to-from, p.k))
	for t := from; t <= to; t += 10 {
		n := 4.0
		if math.Mod(t, 50) == 0 {
			n = 8
			p.ruleNumber(t)
		}
		p.s.line("d-rule", p.onRule(t, 0), p.onRule(t, n), at("rule", t))
	}
}

// onRule returns a place on the rule, and n pixels off it towards the bone.
func (p *strip) onRule(t, n float64) xy {
	q := p.at(t, 0)
	if p.lying {
		return xy{q.x, p.s.h - 35 - n}
	}
	return xy{p.s.w - 2 - n, q.y}
}

func (p *strip) ruleNumber(t float64) {
	words := strconv.FormatFloat(t, 'f', -1, 64)
	q := p.onRule(t, 0)
	if p.lying {
		if w := wide(words, small) / 2; q.x-w < 0 || q.x+w > p.s.w {
			return
		}
		p.s.text("d-t d-soft", small, xy{q.x, q.y + 14}, middle, words)
		return
	}
	for _, b := range p.taken {
		if q.y+7 > b[0] && q.y-7 < b[1] {
			return
		}
	}
	p.s.text("d-t d-soft", small, xy{q.x - 10, q.y + 4}, end, words)
}
