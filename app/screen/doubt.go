package screen

import (
	"context"
	"reflect"
	"sync/atomic"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/text"
	"isthmus/core/implant"
	"isthmus/core/plan"
	"isthmus/core/record"
)

// Enough trials to know a chance to 1 %. One seed, so that the same case says
// the same on every device. They are made in parts so short that a tap in
// between is still answered at once: nothing may hold the screen for 50 ms.
const (
	screenTrials = 10_000
	screenSeed   = 1
	trialPart    = 25
	trialTurn    = 8 * time.Millisecond
)

// A trialJob is the trials of one case and shelf, while they are made and
// after.
type trialJob struct {
	c     record.Case
	shelf implant.Shelf
	off   atomic.Bool   // nobody asks for them any more
	got   *plan.Chances // nil until all are made
	end   chan struct{} // closed when nothing more is done
}

// chancesOf returns the trials of a case, made once for each state of it; nil
// while they are made.
func (p *Page) chancesOf(c record.Case) *plan.Chances {
	shelf := p.s.Shelf()
	if p.tried == nil || !record.Equal(p.tried.c, c) || !reflect.DeepEqual(p.tried.shelf, shelf) {
		if p.tried != nil {
			p.tried.off.Store(true)
		}
		p.tried = &trialJob{c: c, shelf: shelf, end: make(chan struct{})}
		p.makeTrials(p.tried)
	}
	return p.tried.got
}

// makeTrials makes the trials of a job in turns, and lets the screen have its
// turn before, between and after: the browser draws and hears taps only while
// nothing here runs.
func (p *Page) makeTrials(job *trialJob) {
	policy, _ := plan.PolicyFrom(job.c.Settings)
	pause := func() { time.Sleep(time.Millisecond) }
	p.background(func(context.Context) {
		defer close(job.end)
		pause()
		run := plan.NewTrials(job.c, job.shelf, policy, screenSeed, screenTrials)
		for more := true; more; {
			pause()
			if job.off.Load() {
				return
			}
			for began := time.Now(); more && time.Since(began) < trialTurn; {
				more = run.Step(trialPart)
			}
		}
		pause()
		ch := run.Chances()
		pause()
		p.later(func() { job.got = &ch })
	})
}

// doubtUI opens where the doubt of a part comes from. The trials are made
// only when somebody asks.
func (p *Page) doubtUI(c record.Case, key, title, what string, of func(plan.Chances) plan.PartChances) app.UI {
	kids := []app.UI{app.Button().Type("button").DataSet("do", "why|"+key).Text(title)}
	if p.opened[key] {
		var items []app.UI
		for _, s := range doubtLines(p.chancesOf(c), what, of) {
			items = append(items, app.Li().Text(s))
		}
		kids = append(kids, app.Ol().Body(items...))
	}
	return app.Div().Class("why").Body(kids...)
}

// doubtLines says what the trials found of a part.
func doubtLines(ch *plan.Chances, what string, of func(plan.Chances) plan.PartChances) []string {
	if ch == nil {
		return []string{"The plan is being worked out again 10,000 times, with every doubt in it. One moment."}
	}
	part := of(*ch)
	lines := text.Shares(part)
	if part.Chosen > 0 {
		lines = append(lines, text.ChanceLine(what, part, ch.Trials))
	}
	if len(lines) == 0 {
		lines = []string{"Nothing is measured yet that could be doubted."}
	}
	return lines
}
