package screen

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/drawing"
	"isthmus/core/calibrate"
	"isthmus/core/plan"
	"isthmus/core/units"
)

// twoBalls is the way to find the magnification from a ball behind the bone
// and one in front of it.
const twoBalls = "balls"

func (p *Page) ball(where string) plan.TypedBall {
	return plan.TypedBall{True: p.number("scale." + where + ".true"), Seen: p.number("scale." + where + ".seen")}
}

// between is how far the bone lies from the ball behind to the one in front,
// per cent, or nil.
func (p *Page) between() *float64 {
	n := p.number("scale.between")
	if n == nil {
		return nil
	}
	v := float64(*n)
	return &v
}

func (p *Page) ballRows(v *view) []app.UI {
	mm := func(key, label, note string, lo, hi, step float64) app.UI {
		return p.sizeRow(v, "scale."+key, label, note, "mm", lo, hi, step)
	}
	return []app.UI{
		mm("behind.true", "Ball behind, true", "nearer the detector", 5, 100, 0.5),
		mm("behind.seen", "Ball behind, on the film", "its shorter axis", 5, 160, 0.1),
		mm("front.true", "Ball in front, true", "nearer the tube", 5, 100, 0.5),
		mm("front.seen", "Ball in front, on the film", "its shorter axis", 5, 160, 0.1),
		p.sizeRow(v, "scale.between", "Bone, from back to front", "0 at the ball behind, 100 at the one in front; CT put it at 45 on average (King 2009)", "%", 0, 100, 5)}
}

// ballPicture draws both balls and the bone where their magnifications put
// them.
func (p *Page) ballPicture() app.UI {
	a := p.scaleAnswer()
	if a.Factor == nil {
		return nothingDrawn()
	}
	of := func(b plan.TypedBall) float64 {
		m, _ := calibrate.Magnification(units.Exact(*b.Seen), units.Exact(*b.True))
		return m.Best
	}
	return svg(drawing.TwoBalls(drawing.TwoBallsInput{ID: "balls", Behind: of(p.ball("behind")), Front: of(p.ball("front")), Bone: a.Factor.Best}))
}
