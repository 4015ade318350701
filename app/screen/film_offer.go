package screen

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"isthmus/app/viewer"
	"isthmus/core/anatomy"
	"isthmus/core/find"
	"isthmus/core/geom"
	"isthmus/core/record"
	"isthmus/core/units"
)

// An offer is something that was found on the film and is not in the case: how
// it is drawn, in what words, and the edit that a person's word makes of it.
type offer struct {
	ask    searchAsk
	name   string // of the edit, for undo
	title  string
	doubt  string
	hint   string
	trails []viewer.Trail
	marks  []viewer.Mark // that may be dragged, each with its wall
	walls  []find.Wall
	edit   filmEdit
}

// offerOf makes an offer of what was found, or nil where it is nothing that
// was asked for.
func (fp *filmPage) offerOf(ask searchAsk, s searchSeen) *offer {
	var o *offer
	switch {
	case s.Round != nil:
		o = fp.offerRound(*s.Round)
	case s.Rounds != nil:
		o = fp.offerRounds(s.Rounds)
	case s.Scale != nil:
		o = fp.offerRuler(*s.Scale)
	case s.Frame != nil:
		o = fp.offerCorners(*s.Frame)
	case s.Edge != nil:
		o = fp.offerEdge(*s.Edge)
	case s.Shaft != nil:
		o = fp.offerShaft(*s.Shaft, s.Isthmus, s.Doubt)
	case s.Neck != nil: // its head comes along
		o = fp.offerNeck(*s.Neck, s.Head)
	case s.Head != nil:
		o = fp.offerHead(*s.Head)
	}
	if o != nil {
		o.ask = ask
	}
	return o
}

func pxDoubt(v, u units.Px) string {
	return units.Trim(float64(v), 1) + " ± " + units.Trim(units.Sure*float64(u), 1) + "\u00a0px"
}

func share(v float64) string { return strconv.Itoa(int(math.Round(100*v))) + "\u00a0%" }

// offerRound proposes the rim of a ball or a disc.
func (fp *filmPage) offerRound(r find.Round) *offer {
	rim, slip := thinned(r.Rim, r.Slip)
	n, id, front := fp.Index, fp.piece, fp.front
	return &offer{
		name: "accept the rim that was found", title: "A rim was found.",
		doubt:  pxDoubt(r.Long, r.LongU) + " by " + pxDoubt(r.Short, r.ShortU) + " across; " + share(r.Sure) + " of its rim is seen.",
		hint:   "Look all round: the dashes must lie on its edge.",
		trails: []viewer.Trail{{Path: r.Rim, Closed: true, Style: viewer.Offered}},
		edit: onEvidence(n, id, func(e *record.Evidence) error {
			other := len(e.At) + len(e.AtFront) - len(*marksOf(e, front))
			e.Slip = meanSlip(e.Slip, other, slip, len(rim))
			*marksOf(e, front) = slices.Clone(rim)
			return nil
		}),
	}
}

// offerRounds proposes every ball that was found: each becomes a piece of
// evidence of its own, without a size. How large it is, only a person knows.
func (fp *filmPage) offerRounds(rs []find.Round) *offer {
	n := fp.Index
	o := &offer{name: "accept the balls that were found", title: strconv.Itoa(len(rs)) + " balls were found.", hint: "Look at each: a head of a screw or a joint can look like a ball."}
	if len(rs) == 1 {
		o.title = "One ball was found."
	}
	var add []filmEdit
	for i, r := range rs {
		o.trails = append(o.trails, viewer.Trail{Path: r.Rim, Closed: true, Style: viewer.Offered, Text: strconv.Itoa(i + 1)})
		o.doubt += strconv.Itoa(i+1) + ": " + pxDoubt(r.Long, r.LongU) + ". "
		id := fp.Session.NewID()
		rim, slip := thinned(r.Rim, r.Slip)
		add = append(add, addEvidence(n, id, record.Ball), onEvidence(n, id, func(e *record.Evidence) error {
			e.At, e.Slip = slices.Clone(rim), slip
			return nil
		}))
	}
	o.edit = func(c *record.Case) error {
		for _, e := range add {
			if err := e(c); err != nil {
				return err
			}
		}
		return nil
	}
	if len(rs) == 0 {
		return nil
	}
	return o
}

// meanSlip is the one slip of marks of two kinds: the root mean square.
func meanSlip(a units.Px, n int, b units.Px, m int) units.Px {
	if n+m == 0 {
		return 0
	}
	return units.Px(math.Sqrt((float64(n)*sqPx(a) + float64(m)*sqPx(b)) / float64(n+m)))
}

// thinned keeps at most as many rim points as a case takes, evenly. Fewer
// points of the same slip would make a circle less sure than it was found, so
// the slip shrinks with the square root of their number.
func thinned(rim []geom.Pt[units.Px], slip units.Px) ([]geom.Pt[units.Px], units.Px) {
	if len(rim) <= maxRim {
		return rim, slip
	}
	var out []geom.Pt[units.Px]
	for i := range maxRim {
		out = append(out, rim[i*len(rim)/maxRim])
	}
	return out, slip * units.Px(math.Sqrt(float64(maxRim)/float64(len(rim))))
}

// offerRuler proposes the outermost two of the graduations that were counted.
func (fp *filmPage) offerRuler(s find.Scale) *offer {
	n, id := fp.Index, fp.piece
	o := &offer{
		name: "accept the graduations that were found", title: fmt.Sprintf("%d spaces were counted.", s.Spaces),
		doubt: "Each " + pxDoubt(s.Spacing, s.SpacingU) + "; the taps lay on graduations to " + share(s.Sure) + ".",
		hint:  "Count along: every graduation must have its dash, none between. Then enter what the " + strconv.Itoa(s.Spaces) + " spaces are in mm.",
		edit: onEvidence(n, id, func(e *record.Evidence) error {
			e.At, e.Slip = []geom.Pt[units.Px]{s.First, s.Last}, s.Slip
			return nil
		}),
	}
	d := s.Last.Minus(s.First)
	if long := units.Px(math.Hypot(float64(d.X), float64(d.Y))); long > 0 {
		across := geom.Pt[units.Px]{X: -d.Y / long, Y: d.X / long}
		for _, at := range s.At {
			half := s.Spacing * 0.7
			o.trails = append(o.trails, viewer.Trail{Style: viewer.Offered, Path: []geom.Pt[units.Px]{
				{X: at.X - half*across.X, Y: at.Y - half*across.Y}, {X: at.X + half*across.X, Y: at.Y + half*across.Y}}})
		}
	}
	return o
}

// offerCorners proposes the corners of a film in a photo. What is top left is
// a person's to say: they are taken as they are seen.
func (fp *filmPage) offerCorners(f find.Frame) *offer {
	var cs []corner
	var path []geom.Pt[units.Px]
	for _, e := range f.Corners {
		cs = append(cs, corner{e.At, e.Slip})
		path = append(path, e.At)
	}
	return &offer{
		name: "accept the corners that were found", title: "A frame was found.", doubt: share(f.Sure) + " of its weakest side is seen.",
		hint:   "It must run along the film itself, not along the light box or the case of the monitor. Its upper left corner is taken as the film’s.",
		trails: []viewer.Trail{{Path: path, Closed: true, Style: viewer.Offered}},
		edit:   putFrame(fp.Index, cs, edgesOf(f)),
	}
}

// offerEdge proposes an edge beside the point with the handle.
func (fp *filmPage) offerEdge(e find.Edge) *offer {
	o := &offer{name: "snap to an edge", title: "An edge was found.", doubt: "± " + units.Trim(units.Sure*float64(e.Slip), 1) + "\u00a0px across; it stands out to " + share(e.Sure) + ".",
		marks: []viewer.Mark{{At: e.At, Offered: true}}}
	switch {
	case fp.mode == pointsMode && fp.picked != "":
		o.edit = putPoint(fp.Index, fp.picked, e.At, e.Slip)
	case fp.mode == scaleMode && fp.rim >= 0:
		o.edit = moveRim(fp.Index, fp.piece, fp.front, fp.rim, e.At, e.Slip)
	case fp.mode == photoMode && fp.rim >= 0:
		o.edit = moveCorner(fp.Index, fp.rim, e.At, e.Slip)
	default:
		return nil
	}
	return o
}

// offerShaft proposes the edges of a shaft, and with the isthmus the points of
// the canal. A level that was left out is not drawn across.
func (fp *filmPage) offerShaft(s find.Shaft, isthmus *find.Narrow, why string) *offer {
	o := &offer{name: "accept the trace of the shaft", title: "The shaft was traced.", doubt: share(s.Seen) + " of its levels are seen.",
		hint: "Zoom in and look along the edges. Drag one where it is wrong: the rest is traced again around it."}
	for w := range 4 {
		o.trails = append(o.trails, wallTrails(s, w)...)
	}
	at := map[anatomy.Landmark]record.Point{}
	if isthmus != nil {
		o.doubt += " Narrowest canal " + pxDoubt(isthmus.Inner, isthmus.InnerU) + ", its level ± " + units.Trim(units.Sure*float64(isthmus.LevelU), 0) + "\u00a0px."
		half := isthmus.InnerU / math.Sqrt2
		outer := isthmus.OuterU / math.Sqrt2
		for l, p := range map[anatomy.Landmark]struct {
			wall find.Wall
			slip units.Px
		}{anatomy.CanalA: {find.InnerLeft, half}, anatomy.CanalB: {find.InnerRight, half}, anatomy.OuterA: {find.OuterLeft, outer}, anatomy.OuterB: {find.OuterRight, outer}} {
			at[l] = record.Point{Name: l, At: isthmus.Edge[p.wall], Slip: p.slip}
		}
		o.trails = append(o.trails, viewer.Trail{Path: []geom.Pt[units.Px]{isthmus.Edge[find.InnerLeft], isthmus.Edge[find.InnerRight]}, Text: "isthmus", Style: viewer.Offered})
	} else {
		o.doubt += " The narrowest place cannot be told: " + plainStart(plainMessage(why))
	}
	o.middles(s, at)
	if fp.now().View == anatomy.Lateral {
		o.bowPlaces(s, at)
	}
	o.grips(s)
	o.edit = putPoints(fp.Index, at)
	return o
}

// wallTrails are the parts of one edge of a shaft that were seen.
func wallTrails(s find.Shaft, wall int) []viewer.Trail {
	var out []viewer.Trail
	var path []geom.Pt[units.Px]
	end := func() {
		if len(path) > 1 {
			out = append(out, viewer.Trail{Path: path, Style: viewer.Offered})
		}
		path = nil
	}
	for _, l := range s.Levels {
		if l.Out != "" || len(l.Edge) != 4 {
			end()
			continue
		}
		path = append(path, l.Edge[wall])
	}
	end()
	return out
}

// gripLevels is at how many levels of a trace its edges may be dragged.
const gripLevels = 5

// grips are places of the edges that may be dragged.
func (o *offer) grips(s find.Shaft) {
	const levels = gripLevels
	var seen []find.Level
	for _, l := range s.Levels {
		if l.Out == "" && len(l.Edge) == 4 {
			seen = append(seen, l)
		}
	}
	for i := range levels {
		if len(seen) < levels {
			return
		}
		l := seen[(2*i+1)*len(seen)/(2*levels)]
		for w, at := range l.Edge {
			o.marks, o.walls = append(o.marks, viewer.Mark{At: at, Offered: true}), append(o.walls, find.Wall(w))
		}
	}
}

// headPoints are three places on the circle of a head, 120° apart. A circle
// through three places with slip s has u(R) = s/√3 and, in each coordinate of
// its centre, s·√(2/3); the slip is the larger of the two ways.
func headPoints(h headSeen) map[anatomy.Landmark]record.Point {
	slip := max(h.RU*units.Px(math.Sqrt(3)), h.Slip*units.Px(math.Sqrt(1.5)))
	start := -math.Pi / 2
	if len(h.Rim) > 0 {
		d := h.Rim[len(h.Rim)/2].Minus(h.Centre)
		start = math.Atan2(float64(d.Y), float64(d.X))
	}
	at := map[anatomy.Landmark]record.Point{}
	for i, l := range headRim {
		sin, cos := math.Sincos(start + 2*math.Pi*float64(i)/3)
		at[l] = record.Point{Name: l, Slip: slip, At: geom.Pt[units.Px]{X: h.Centre.X + h.R*units.Px(cos), Y: h.Centre.Y + h.R*units.Px(sin)}}
	}
	return at
}

// offerHead proposes the circle of a head.
func (fp *filmPage) offerHead(h headSeen) *offer {
	return &offer{name: "accept the head that was found", title: "The head was found.",
		doubt: "Radius " + pxDoubt(h.R, h.RU) + "; " + share(h.Seen) + " of its rim is seen.", hint: "Look all round: the dashes must lie on the edge of the bone.",
		trails: []viewer.Trail{headTrail(h)}, edit: putPoints(fp.Index, headPoints(h))}
}

// headTrail is the circle of a head, drawn as a proposal.
func headTrail(h headSeen) viewer.Trail {
	const corners = 72
	t := viewer.Trail{Closed: true, Style: viewer.Offered, Text: "head"}
	for i := range corners {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / corners)
		t.Path = append(t.Path, geom.Pt[units.Px]{X: h.Centre.X + h.R*units.Px(cos), Y: h.Centre.Y + h.R*units.Px(sin)})
	}
	return t
}

// offerNeck proposes the narrowest place of the neck, by the names that the
// view has for its edges, and the head that was found on the way.
func (fp *filmPage) offerNeck(k neckSeen, head *headSeen) *offer {
	a, b := anatomy.NeckUpper, anatomy.NeckLower
	if fp.now().View == anatomy.Lateral {
		a, b = anatomy.NeckFront, anatomy.NeckBack
	}
	o := &offer{name: "accept the neck that was found", title: "The neck was found.", doubt: "Each edge ± " + units.Trim(units.Sure*float64(k.Slip), 1) + "\u00a0px.",
		hint:   "The line must lie across the narrowest place, from inner edge to inner edge.",
		trails: []viewer.Trail{{Path: []geom.Pt[units.Px]{k.Upper, k.Lower}, Style: viewer.Offered, Text: "neck"}}}
	at := map[anatomy.Landmark]record.Point{}
	if head != nil {
		at = headPoints(*head)
		o.trails = append(o.trails, headTrail(*head))
		o.title, o.doubt = "Head and neck were found.", o.doubt+" Radius of the head "+pxDoubt(head.R, head.RU)+"."
	}
	at[a], at[b] = record.Point{Name: a, At: k.Upper, Slip: k.Slip}, record.Point{Name: b, At: k.Lower, Slip: k.Slip}
	o.edit = putPoints(fp.Index, at)
	return o
}

// putPoints places several landmarks in one step of undo.
func putPoints(n int, at map[anatomy.Landmark]record.Point) filmEdit {
	return func(c *record.Case) error {
		if n < 0 || n >= len(c.Films) {
			return &filmEditError{"gone"}
		}
		for _, l := range anatomy.Landmarks(c.Films[n].View) {
			if p, ok := at[l]; ok {
				if err := putPoint(n, l, p.At, p.Slip)(c); err != nil {
					return err
				}
			}
		}
		return nil
	}
}

// offerCast shows the proposal's marks; only those of a trace may be dragged.
func offerCast(o *offer, l live) cast {
	c := cast{marks: slices.Clone(o.marks)}
	if c.grab = len(o.walls); l.on && l.point >= 0 && l.point < c.grab {
		c.marks[l.point].At = l.at
	}
	return c
}

// plainStart starts words with a small letter, for the middle of a sentence.
func plainStart(s string) string {
	if r := []rune(s); len(r) > 1 && strings.ToUpper(string(r[1])) != string(r[1]) {
		return strings.ToLower(string(r[0])) + string(r[1:])
	}
	return s
}
