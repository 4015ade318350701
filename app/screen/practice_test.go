//go:build !js

package screen

import (
	"context"
	"encoding/json"
	"errors"
	stdhtml "html"
	"strings"
	"testing"
	"testing/synctest"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/state"
	"isthmus/app/text"
	"isthmus/core/anatomy"
	"isthmus/core/geom"
	"isthmus/core/phantom"
	"isthmus/core/practice"
	"isthmus/core/record"
	"isthmus/core/units"
)

// draughtsman draws films of no pixels and tells what is true of real ones.
type draughtsman struct {
	filmDecoder
	err error
}

func (d draughtsman) Draw(ctx context.Context, key string, film int, progress func(float64)) (state.Drawn, error) {
	progress(1)
	tags := record.Tags{Modality: "DX", ViewPosition: []string{"AP", "LL"}[film], ImagerSpacing: &[2]float64{0.2, 0.2}}
	return state.Drawn{File: []byte(key + tags.ViewPosition), Kind: "dicom", Width: 1125, Height: 2925, Tags: &tags}, d.err
}

func (draughtsman) Truth(_ context.Context, key string) ([]byte, error) {
	c, ok := phantom.PracticeOf(key)
	if !ok {
		return nil, errors.New("no such case")
	}
	t, err := c.Tell()
	if err != nil {
		return nil, err
	}
	return json.Marshal(t)
}

func practicePage(t *testing.T, err error) *Page {
	t.Helper()
	s := state.New(state.World{Store: state.NewMemory(), Decoder: draughtsman{err: err}, Clock: &filmClock{}})
	if err := s.Start(t.Context()); err != nil {
		t.Fatal(err)
	}
	p := New(s, Browser{})
	p.ready, p.path = true, "/practice"
	return p
}

// startCase starts a practice case and returns the address of its sheet.
func startCase(t *testing.T, p *Page, key string) string {
	t.Helper()
	id, err := p.s.StartPractice(t.Context(), key, text.PracticeOf(key).Title, func(float64) {})
	if err != nil {
		t.Fatal(err)
	}
	return "/case/" + id
}

func header(p *Page) string { return stdhtml.UnescapeString(app.HTMLString(p.top(p.view()))) }

// spoken is the page as html gives it, with its apostrophes.
func spoken(p *Page) string { return stdhtml.UnescapeString(html(p)) }

// The list has every drawn case with a way to start it; a drawing that fails
// says so, and one that was stopped is no error.
func TestPracticeList(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p := practicePage(t, errors.New("state: no drawing"))
		page := spoken(p)
		for _, c := range text.Practices() {
			if !strings.Contains(page, `data-do="practice-start|`+c.Key+`"`) || !strings.Contains(page, c.Refer) {
				t.Errorf("%s is not offered", c.Key)
			}
		}
		if !strings.Contains(page, "0 of 6 started, 0 compared") || !strings.Contains(header(p), text.PracticeMark) {
			t.Error("not counted, or not marked")
		}
		p.Do("practice-start|narrow-canal")
		if p.busy == nil {
			t.Fatal("nothing is being drawn")
		}
		synctest.Wait()
		if p.says == nil || !strings.Contains(p.says.text, "No drawing") || p.busy != nil || len(p.s.Briefs()) != 0 {
			t.Errorf("says %+v, busy %v", p.says, p.busy)
		}
		stopped, cancel := context.WithCancel(t.Context())
		cancel()
		p.practiceStarted(stopped, "", stopped.Err())
		if !strings.Contains(p.says.text, "Stopped") {
			t.Errorf("says %+v", p.says)
		}
	})
}

// Wherever a practice case is seen it says that it is one, in large words
// where it is printed; a patient's case never does.
func TestPracticeIsMarkedEverywhere(t *testing.T) {
	p := practicePage(t, nil)
	home := startCase(t, p, "shaft-and-neck")
	parts := []string{"", "/injury", "/films", "/bone", "/nail", "/head", "/distal", "/kit", "/record", "/after", "/removal", "/film/0", "/practice"}
	for _, part := range parts {
		if p.path = home + part; !strings.Contains(header(p), text.PracticeMark) {
			t.Errorf("%s is not marked", part)
		}
	}
	for _, part := range []string{"", "/kit", "/practice"} {
		if p.path = home + part; !strings.Contains(spoken(p), text.PracticeLarge) {
			t.Errorf("%s does not say it in large words", part)
		}
	}
	if p.path = home; !strings.Contains(spoken(p), home+"/practice") || !strings.Contains(spoken(p), "car into a tree") {
		t.Error("the sheet shows neither the referral nor the way to the truth")
	}
	if p.path = "/cases"; !strings.Contains(spoken(p), text.PracticeMark) || !strings.Contains(spoken(p), `href="/practice"`) {
		t.Error("the list does not mark it, or has no way to practice")
	}
	if p.path = "/practice"; !strings.Contains(spoken(p), "1 of 6 started, 0 compared") || !strings.Contains(spoken(p), `href="`+home+`"`) {
		t.Error("not counted as started, or no way back to it")
	}
	id, err := p.s.NewCase(t.Context(), "a patient")
	if err != nil {
		t.Fatal(err)
	}
	for _, part := range parts {
		p.path = "/case/" + id + part
		if page := strings.ToLower(header(p) + spoken(p)); strings.Contains(page, "drawn bone") {
			t.Errorf("%s of a patient's case is called practice", part)
		}
	}
}

// measureCanal marks a ball and a canal on the film from the front, where they
// truly are.
func measureCanal(t *testing.T, p *Page) {
	t.Helper()
	c, _ := p.s.Case()
	tr, err := p.s.PracticeTruth(t.Context(), c.Practice)
	if err != nil {
		t.Fatal(err)
	}
	best := practice.TrueCase(c, tr)
	if err := p.s.Do("measure", func(c *record.Case) error {
		c.Films[0].Evidence = best.Films[0].Evidence
		for _, q := range best.Films[0].Points {
			if q.Name == anatomy.CanalA || q.Name == anatomy.CanalB {
				c.Films[0].Points = append(c.Films[0].Points, q)
			}
		}
		return nil
	}); err != nil {
		t.Fatal(err)
	}
}

// Nothing can be compared before something is measured; nothing true is shown
// before it is asked for; then every row is there, measured or not.
func TestCompareScreen(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p := practicePage(t, nil)
		p.path = startCase(t, p, "isthmic-transverse") + "/practice"
		if page := spoken(p); strings.Contains(page, "practice-reveal") || !strings.Contains(page, "Nothing is measured yet") {
			t.Error("can be compared with nothing measured")
		}
		measureCanal(t, p)
		if page := spoken(p); !strings.Contains(page, "practice-reveal") || strings.Contains(page, "<table") || p.truth != nil {
			t.Error("shows what is true before it is asked for, or cannot be asked")
		}
		p.Do("practice-reveal")
		if page := spoken(p); !strings.Contains(page, "Asking what is true") {
			t.Error("does not say that it asks")
		}
		synctest.Wait()
		page := spoken(p)
		// by hand: 0.2 mm · 1000/1150 = 0.1739 mm a pixel; the canal is 11.4 mm
		for _, want := range []string{"0.1739", "11.4 mm", "2 of 2 measures hold", "The side is correct", `data-nail="truth"`, "Your numbers give no nail yet", "not measured: counts only on a film with the bone at its length"} {
			if !strings.Contains(page, want) {
				t.Errorf("does not say %q", want)
			}
		}
		if n := strings.Count(page, "data-measure="); n != 14 || strings.Count(page, "not measured") < 12 {
			t.Errorf("%d rows", n)
		}
		if err := p.s.Do("side", func(c *record.Case) error { c.Side = anatomy.Left; return nil }); err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(spoken(p), "WRONG SIDE") {
			t.Error("the wrong side is not said")
		}
		if err := p.s.Do("canal", func(c *record.Case) error {
			c.Films[0].Points[0].At = c.Films[0].Points[0].At.Plus(geom.Pt[units.Px]{X: -20})
			return nil
		}); err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(spoken(p), "▲ outside your doubt") || !strings.Contains(spoken(p), "The usual cause") {
			t.Error("a canal 3.5 mm off has no cause")
		}
		p.path = "/practice"
		if !strings.Contains(spoken(p), "1 of 6 started, 1 compared") {
			t.Error("not counted as compared")
		}
	})
}
