package screen

import (
	"reflect"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/units"
)

// The trials are made away from the screen: asked for, there is a sentence at
// once and the numbers after a while; they are those of ten thousand trials at
// once, and they are made again when the case, or the shelf, is another.
func TestDoubtIsMadeInParts(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p, home := casePage(t)
		p.path = home + "/nail"
		if err := p.s.Do("rods", func(c *record.Case) error {
			c.Readings[0].OnBone, c.Readings[0].Reduced = record.Yes, record.Yes
			first, second := units.MM(900), units.MM(495)
			c.Readings[0].First, c.Readings[0].Second = &first, &second
			return nil
		}); err != nil {
			t.Fatal(err)
		}
		if p.Do("why|doubt-length"); !strings.Contains(shownAs(p), "One moment.") {
			t.Error("nothing says that the trials are being made")
		}
		first := p.tried
		time.Sleep(time.Minute)
		<-first.end
		if html := shownAs(p); !strings.Contains(html, "Of 10000 trials the length") || strings.Contains(html, "One moment.") {
			t.Errorf("the numbers of the trials are not shown: %s", html)
		}
		c, _ := p.s.Case()
		policy, _ := plan.PolicyFrom(c.Settings)
		if want := plan.Trials(c, p.s.Shelf(), policy, screenSeed, screenTrials); !reflect.DeepEqual(*first.got, want) {
			t.Error("trials made in parts are not those made at once")
		}
		if shownAs(p); p.tried != first {
			t.Error("the trials of one case are made twice")
		}
		if err := p.s.Do("again", func(c *record.Case) error {
			longer := units.MM(920)
			c.Readings[0].First = &longer
			return nil
		}); err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(shownAs(p), "One moment.") || p.tried == first || !first.off.Load() {
			t.Error("another reading shows the trials of the one before")
		}
		second := p.tried
		p.path = "/shelf"
		s := p.s.Shelf()
		s.Nails = s.Nails[1:]
		if err := p.putShelf(s); err != nil {
			t.Fatal(err)
		}
		time.Sleep(time.Minute)
		p.path = home + "/nail"
		if !strings.Contains(shownAs(p), "One moment.") || p.tried == second {
			t.Error("another shelf shows the trials of the one before")
		}
		<-second.end
		<-p.tried.end
		synctest.Wait()
	})
}

// Trials that nobody asks for any more are broken off and never shown.
func TestDoubtIsBrokenOff(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p, _ := casePage(t)
		c, _ := p.s.Case()
		job := &trialJob{c: c, shelf: p.s.Shelf(), end: make(chan struct{})}
		job.off.Store(true)
		p.makeTrials(job)
		<-job.end
		if job.got != nil {
			t.Error("trials that were called off are shown")
		}
		synctest.Wait()
	})
}
