package screen

import (
	"context"
	"slices"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/text"
	"isthmus/app/viewer"
	"isthmus/core/anatomy"
	"isthmus/core/find"
	"isthmus/core/geom"
	"isthmus/core/record"
	"isthmus/core/units"
)

// A searchAsk is what the film worker is asked to look for: what it is called, and
// where it was tapped. Nothing is looked for on the screen's own picture.
type searchAsk struct {
	What  string              `json:"-"` // ball, balls, disc, ruler, corners, shaft, head, neck, edge, corner
	Taps  []geom.Pt[units.Px] `json:"taps"`
	Fixed []find.Fix          `json:"fixed,omitempty"` // edges of a shaft that a person has moved
	Tall  float64             `json:"tall"`            // height of a pixel over its width
}

// A searchSeen is what the film worker proposes: the part that was asked for.
type searchSeen struct {
	Round   *find.Round  `json:"round"`
	Rounds  []find.Round `json:"rounds"`
	Scale   *find.Scale  `json:"scale"`
	Frame   *find.Frame  `json:"frame"`
	Edge    *find.Edge   `json:"edge"`
	Shaft   *find.Shaft  `json:"shaft"`
	Isthmus *find.Narrow `json:"isthmus"` // nil where it cannot be told; Doubt says why
	Head    *headSeen    `json:"head"`
	Neck    *neckSeen    `json:"neck"`
	Doubt   string       `json:"doubt"`
}

// A headSeen is the circle of a femoral head.
type headSeen struct {
	Centre geom.Pt[units.Px]   `json:"centre_px"`
	R      units.Px            `json:"r_px"`
	RU     units.Px            `json:"r_u_px"`  // standard uncertainty of R
	Slip   units.Px            `json:"slip_px"` // of each coordinate of the centre
	Rim    []geom.Pt[units.Px] `json:"rim_px"`
	Seen   float64             `json:"seen"` // share of the rim that is seen
}

// A neckSeen is the narrowest place of a neck.
type neckSeen struct {
	Upper geom.Pt[units.Px] `json:"upper_px"` // inner edges
	Lower geom.Pt[units.Px] `json:"lower_px"`
	Slip  units.Px          `json:"slip_px"` // of each
}

// A finder looks at the pixels of a film, away from the screen. Nil: there is
// none, and nothing is offered.
type finder func(ctx context.Context, film int, ask searchAsk, progress func(float64)) (searchSeen, error)

// A seeking is a search on its way: first the taps it needs, then the wait.
type seeking struct {
	ask    searchAsk
	need   int
	then   []geom.Pt[units.Px] // places that are known already, after the taps
	busy   bool
	done   float64
	cancel context.CancelFunc
}

// A target is something that can be looked for.
type target struct {
	button string
	taps   []string // what each tap is for
}

var targets = map[string]target{
	"ball":    {"Find the ball", []string{"Tap the ball once, about in its middle."}},
	"balls":   {"Find all balls", nil},
	"disc":    {"Find the disc", []string{"Tap the disc once, about in its middle."}},
	"ruler":   {"Find the graduations", []string{"Tap one graduation of the ruler.", "Tap another one far away. All between them are counted."}},
	"corners": {"Find the corners", nil},
	"shaft":   {"Trace the shaft", []string{"Tap the middle of the shaft, a little below the lesser trochanter.", "Tap the middle of the shaft, a little above the condyles."}},
	"head":    {"Find the head", []string{"Tap the middle of the femoral head."}},
	"neck":    {"Find the neck", []string{"Tap the middle of the femoral head.", "Tap the middle of the shaft, a little below the lesser trochanter.", "Tap the middle of the shaft further down."}},
	"edge":    {"Snap", nil},
	"corner":  {"Snap", nil},
}

// shaftWay are the landmarks that give the direction of the shaft.
var shaftWay = [2]anatomy.Landmark{anatomy.ShaftUpper, anatomy.ShaftLower}

// findable are the targets that a part of the page offers.
var findable = map[string][]string{
	"ball": {"ball"}, "two-markers": {"ball"}, "disc": {"disc"}, "ruler": {"ruler"}, "corners": {"corners"}, "scale": {"balls"},
	"canal": {"shaft"}, "hip-front": {"head", "neck"}, "hip-side": {"head", "neck"},
}

// findUI offers what the film worker can look for here.
func (fp *filmPage) findUI(place string) app.UI {
	if fp.find == nil || len(findable[place]) == 0 {
		return app.Div()
	}
	var bs []app.UI
	for _, what := range findable[place] {
		bs = append(bs, fpAct("", targets[what].button, "find|"+what))
	}
	return app.Div().Class("acts find").Body(bs...)
}

// findActs look for things and take or leave what is proposed.
func (fp *filmPage) findActs() map[string]func(string) {
	return map[string]func(string){
		"find":      fp.seekFor,
		"find-stop": func(string) { fp.dropSearch() },
		"accept":    func(string) { fp.accept() },
		"not-this":  func(string) { fp.dropSearch() },
		"snap":      func(string) { fp.snap() },
	}
}

// seekFor begins to look for something: with its first tap, or at once.
func (fp *filmPage) seekFor(what string) {
	t, ok := targets[what]
	if !ok || fp.find == nil {
		return
	}
	fp.dropSearch()
	fp.seek = &seeking{ask: searchAsk{What: what, Tall: filmSize(fp.now()).Tall}, need: len(t.taps)}
	if way := fp.shaftPoints(); what == "neck" && way != nil {
		fp.seek.need, fp.seek.then = 1, way
	}
	if len(t.taps) == 0 {
		fp.look()
	}
}

// snap looks for an edge at the point with the handle, for a corner at that of
// a photo.
func (fp *filmPage) snap() {
	g := fp.ground()
	if fp.find == nil || g.Current < 0 {
		return
	}
	fp.dropSearch()
	what := "edge"
	if fp.mode == photoMode {
		what = "corner"
	}
	fp.seek = &seeking{ask: searchAsk{What: what, Taps: []geom.Pt[units.Px]{g.Points[g.Current]}, Tall: filmSize(fp.now()).Tall}, need: 1}
	fp.look()
}

// dropSearch ends a search and leaves what was proposed.
func (fp *filmPage) dropSearch() {
	if fp.seek != nil && fp.seek.cancel != nil {
		fp.seek.cancel()
	}
	fp.seek, fp.offer = nil, nil
}

// landTap takes a tap that a search waits for.
func (fp *filmPage) landTap(at geom.Pt[units.Px]) {
	fp.seek.ask.Taps = append(fp.seek.ask.Taps, at)
	if len(fp.seek.ask.Taps) >= fp.seek.need {
		fp.seek.ask.Taps = append(fp.seek.ask.Taps, fp.seek.then...)
		fp.look()
	}
}

// seekingTap reports whether the next tap belongs to a search.
func (fp *filmPage) seekingTap() bool {
	return fp.seek != nil && !fp.seek.busy && len(fp.seek.ask.Taps) < fp.seek.need
}

// seekCast shows the taps of a search; no point of the film is in their way.
func seekCast(f record.Film, s *seeking) cast {
	c := pointCast(f, "")
	for _, at := range s.ask.Taps {
		c.marks = append(c.marks, viewer.Mark{At: at, Offered: true})
	}
	c.grab = 0
	return c
}

// look asks the film worker. Only the last search counts, and only on the film
// and in the part of the page where it began.
func (fp *filmPage) look() {
	s := fp.seek
	ctx, cancel := context.WithCancel(context.Background())
	s.busy, s.cancel = true, cancel
	key, ask := fp.Key, s.ask
	ask.Taps = slices.Clone(ask.Taps)
	mine := func(fn func()) {
		fp.later(func() {
			if fp.seek == s && fp.Key == key {
				fn()
			}
		})
	}
	work := func() {
		defer func() {
			if r := recover(); r != nil {
				mine(func() { fp.seek, fp.says = nil, broken(r) })
			}
		}()
		seen, err := fp.find(ctx, fp.Index, ask, func(done float64) { mine(func() { s.done = done }) })
		mine(func() { fp.foundOut(ask, seen, err) })
	}
	if fp.ctx == nil {
		work()
		return
	}
	go work()
}

// foundOut takes what the worker says: a proposal, or a refusal in its words.
func (fp *filmPage) foundOut(ask searchAsk, seen searchSeen, err error) {
	fp.seek.cancel()
	fp.seek = nil
	if err != nil {
		fp.offer, fp.says = nil, text.Error(err)
		fp.reveal()
		return
	}
	o := fp.offerOf(ask, seen)
	if o == nil && ask.What == "balls" {
		fp.says = "No ball was found on this film: mark it by hand."
		return
	}
	if o == nil {
		fp.says = "Nothing was found there: tap again, nearer to its middle, or mark it by hand."
		return
	}
	fp.offer = o
	fp.paint()
}

// accept makes the proposal a fact of the case, like taps of a person.
func (fp *filmPage) accept() {
	o := fp.offer
	if o == nil {
		return
	}
	if fp.do(o.name, o.edit) {
		fp.offer, fp.rim, fp.corners, fp.again = nil, -1, nil, false
		if fp.mode == pointsMode {
			fp.picked = ""
			fp.askNext("")
		}
	}
}

// seekUI says what a search waits for.
func (fp *filmPage) seekUI() []app.UI {
	s := fp.seek
	t := targets[s.ask.What]
	if s.busy {
		return []app.UI{app.P().Class("hint").Body(app.B().Text(t.button + " …")),
			app.Progress().Class("search").Aria("label", t.button).Max(100).Value(int(s.done * 100)),
			app.Div().Class("acts").Body(fpAct("", "Stop", "find-stop"))}
	}
	hint := ""
	if n := len(s.ask.Taps); n < len(t.taps) {
		hint = t.taps[n]
	}
	return []app.UI{app.P().Class("hint").Body(app.B().Text(t.button+". "), app.Text(hint)),
		app.Div().Class("acts").Body(fpAct("", "Stop", "find-stop"))}
}

// offerUI says what is proposed, how sure it is, and what it would come to.
func (fp *filmPage) offerUI() []app.UI {
	o := fp.offer
	kids := []app.UI{app.P().Class("hint", "offered").Body(app.B().Text(o.title+" "), app.Text(o.doubt))}
	if o.hint != "" {
		kids = append(kids, app.P().Class("gloss").Text(o.hint))
	}
	kids = append(kids, app.P().Class("gloss").Text("If you accept: "+fp.would(o)))
	return append(kids, app.Div().Class("acts").Body(fpAct("main", "Accept", "accept"), fpAct("", "Not this", "not-this")))
}

// would says what the plan would say with the proposal in it.
func (fp *filmPage) would(o *offer) string {
	var e record.Evidence
	pl := fp.Session.Preview(func(c *record.Case) {
		if err := o.edit(c); err != nil {
			return
		}
		if fp.Index < len(c.Films) {
			e, _ = evidenceOf(c.Films[fp.Index], fp.piece)
		}
	})
	switch {
	case fp.mode == scaleMode && fp.piece == "":
		return "each becomes a ball of its own: say of each how large it is and at what depth it lay, and remove what is none"
	case fp.mode == scaleMode:
		return plainStart(pieceWorth(fp.now(), e, filmScale(pl, fp.Index)))
	case fp.mode == photoMode:
		return "these are the corners; drag any of them afterwards"
	}
	return resultLine(pl)
}
