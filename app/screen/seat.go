package screen

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/text"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/units"
)

// seatUI is where the nail lies, what closes its top, and the reading of its
// depth as it is now.
func (p *Page) seatUI(v *view, c record.Case, pl plan.Plan) []app.UI {
	r := reading(c, record.BurialFound)
	name, hint := text.Reading(record.BurialFound)
	var box app.UI = app.Div().Class("part wide none").Text("–")
	if s := pl.Seat.Cap; s != nil {
		box = app.Div().Class("part wide").Body(app.Text(text.Plain(s.Height)), app.I().Text("mm"))
	}
	var next []string
	for _, r := range pl.Seat.Why {
		if r.Code == "cap-next" {
			next = append(next, text.Reason(r))
		}
	}
	return []app.UI{
		app.H2().Class("group").Text("Depth, end cap and tip"),
		askUI("end-cap", box, text.CapAsk(pl.Seat), text.CapDetail(pl.Seat), next),
		v.row(p, p.mm(record.BurialFound, "burial", name, hint, 0, 60, r.First, func(r *record.Reading) **units.MM { return &r.First })),
		namedUI(text.SeatTable(pl.Seat)),
		p.whyUI(v, "why-seat", "Why this cap, and where the tip ends", pl.Seat.Why...),
	}
}
