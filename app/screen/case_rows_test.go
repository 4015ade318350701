//go:build !js

package screen

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"
	"testing/synctest"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/state"
	"isthmus/core/plan"
	"isthmus/core/record"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

// handed keeps what was handed over.
type handed struct {
	name, mime string
	data       []byte
	times      int
}

func (h *handed) Save(_ context.Context, name, mime string, data []byte) error {
	h.name, h.mime, h.data = name, mime, slices.Clone(data)
	h.times++
	return nil
}

// fullPage is a page with a practice case in which everything is decided and
// parts are in the bone.
func fullPage(t *testing.T, h *handed) (*Page, string) {
	t.Helper()
	w := state.World{Store: state.NewMemory(), Clock: &filmClock{}}
	if h != nil {
		w.Files = h
	}
	s := state.New(w)
	if err := s.Start(t.Context()); err != nil {
		t.Fatal(err)
	}
	c, err := record.Unmarshal(testkit.Read(t, "cases/neck-and-shaft/case.json"))
	if err != nil {
		t.Fatal(err)
	}
	id, err := s.NewCase(t.Context(), "K-09")
	if err != nil {
		t.Fatal(err)
	}
	err = s.Do("fill", func(now *record.Case) error {
		now.Side, now.Injury, now.Films, now.Readings = c.Side, c.Injury, c.Films, c.Readings
		now.Implants = []record.Implant{{Kind: "nail", Side: c.Side, Diameter: new(units.MM(11)), Length: new(units.MM(400)), At: now.Made},
			{Kind: "end-cap", Length: new(units.MM(5)), At: now.Made}}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	p := New(s, Browser{})
	p.ready = true
	return p, "/case/" + id
}

var caseParts = []string{"injury", "bone", "nail", "distal", "record", "after", "removal"}

// content is what a case says, without when it was edited.
func content(t *testing.T, p *Page) string {
	t.Helper()
	c, _ := p.s.Case()
	c.Edited = c.Made
	b, err := record.Marshal(c)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// tryRow sets a row, sees that it holds what was set, and takes it back.
func tryRow(t *testing.T, p *Page, path, key, value string) {
	t.Helper()
	before := content(t, p)
	p.Do("set|" + key + "|" + value)
	r, there := p.view().rows[key]
	if there && (r.get() != value || p.wrong[p.slot(key)] != "") {
		t.Errorf("%s, %s: %q is kept as %q (%s)", path, key, value, r.get(), p.wrong[p.slot(key)])
	}
	if there && r.loose || content(t, p) == before {
		return
	}
	p.s.Undo()
	if content(t, p) != before {
		t.Errorf("%s, %s: after %q and Undo the case is another", path, key, value)
	}
}

// Every row of a case takes each of its answers and the numbers of its range,
// shows what it took, and Undo takes it back.
func TestEveryRowOfACase(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p, home := fullPage(t, nil)
		tried := map[rowKind]int{}
		for _, part := range caseParts {
			p.path = home + "/" + part
			for key, r := range p.view().rows {
				tried[r.kind]++
				switch {
				case r.kind == choiceRow:
					for _, o := range r.opts {
						if o.value != r.get() {
							tryRow(t, p, p.path, key, o.value)
						}
					}
				case r.kind == textRow && key == "code-typed":
					tryRow(t, p, p.path, key, "32C3(j)")
				case r.kind == textRow:
					tryRow(t, p, p.path, key, "in words, 5 mm")
				default:
					for _, v := range []float64{max(r.lo, r.lo+r.step), r.hi} {
						tryRow(t, p, p.path, key, plain(v))
					}
				}
			}
		}
		if tried[choiceRow] < 45 || tried[numberRow] < 60 || tried[textRow] < 10 {
			t.Errorf("only %v rows were tried: the screens have lost some", tried)
		}
		synctest.Wait()
	})
}

// html is what a screen shows, as text.
func html(p *Page) string {
	return strings.ReplaceAll(app.HTMLString(app.Div().Body(p.view().body...)), "\u00a0", " ")
}

// A depth gives a screw only with the sleeve on bone; it is for its own hole,
// and an emptied row leaves no reading behind. 43 read and 2 more is 45; the
// teaching set has 46 above it. Source: common practice.
func TestDepthAtAHole(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p, home := fullPage(t, nil)
		p.path = home + "/distal"
		hole := 0
		for _, h := range p.s.Plan().Distal.Holes {
			if h.Use {
				hole = h.Hole
			}
		}
		row := fmt.Sprintf("set|hole%d-", hole)
		before := content(t, p)
		ask := func() units.MM { return p.s.Plan().Distal.Holes[hole-1].Ask }
		p.Do(row + "depth|43")
		if ask() != 0 || !strings.Contains(html(p), "Sleeve on bone?") {
			t.Errorf("43 mm without a word on the sleeve asks for %v", ask())
		}
		p.Do(row + "bone|yes")
		if ask() != 46 || !strings.Contains(html(p), "Ask for the locking screw, 46 mm") {
			t.Errorf("43 mm on bone asks for %v, want 46", ask())
		}
		p.Do(row + "depth|430")
		if c, _ := p.s.Case(); *c.Readings[len(c.Readings)-1].First != 43 || p.shown(p.view().rows[fmt.Sprintf("hole%d-depth", hole)]) != "430" {
			t.Error("430 mm is not refused as typed")
		}
		p.Do(row + "bone|no")
		p.Do(row + "off|4") // 43 − 4 + 2 = 41, up to 42
		if ask() != 42 {
			t.Errorf("43 mm with a gap of 4 asks for %v, want 42", ask())
		}
		p.Do(row + "off|")
		p.Do(row + "bone|no")
		p.Do(row + "depth|")
		if content(t, p) != before {
			t.Error("an emptied reading is still in the case")
		}
		synctest.Wait()
	})
}

// Of two readings of a kind the screen shows and changes the one that counts
// in the plan, which is the later.
func TestTheLaterReadingIsShown(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p, home := fullPage(t, nil)
		_ = p.s.Do("two", func(c *record.Case) error {
			c.Readings = append(c.Readings,
				record.Reading{ID: "late", Kind: record.BurialFound, At: "2026-11-25T09:00:00Z", First: new(units.MM(9))},
				record.Reading{ID: "early", Kind: record.BurialFound, At: "2026-11-25T08:00:00Z", First: new(units.MM(3))})
			return nil
		})
		p.path = home + "/nail"
		if got := p.view().rows["burial"].get(); got != "9" {
			t.Errorf("the screen shows %s, the plan works with 9", got)
		}
		p.Do("set|burial|12")
		if got := p.s.Plan().Seat.Burial.Best; got != 12 {
			t.Errorf("after 12 the plan works with %v", got)
		}
		synctest.Wait()
	})
}

// A code is picked by its drawing or typed; a place that does not go with the
// group goes with it, and what is no code is refused as it was typed.
func TestCodeByDrawingAndByHand(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p, home := fullPage(t, nil)
		p.path = home + "/injury"
		code := func() string { c, _ := p.s.Case(); return c.Injury.Code }
		for _, step := range []struct{ do, want string }{
			{"set|code|32C2", "32C2"}, {"set|code-place|j", "32C2(j)"}, {"set|code|32A3", "32A3"}, {"set|code-place|b", "32A3(b)"},
			{"set|code-typed|32c3 (k)", "32C3(k)"}, {"set|code-typed|32A1(j)", "32C3(k)"}, {"set|code-typed|32B1", "32C3(k)"},
			{"set|code|31B2", "31B2"}, {"set|code|31B2", ""},
		} {
			if p.Do(step.do); code() != step.want {
				t.Errorf("%s makes %q, want %q", step.do, code(), step.want)
			}
		}
		if w := p.wrong[p.slot("code-typed")]; !strings.Contains(w, "32B1") || p.shown(p.view().rows["code-typed"]) != "32B1" {
			t.Errorf("32B1 is refused with %q", w)
		}
		if len(places("31A1")) != 0 {
			t.Error("31 takes no qualifier (AO/OTA 2018)")
		}
		synctest.Wait()
	})
}

// What has a stop behind it and no answer is counted and named; with the last
// answer nothing is.
func TestWhatIsStillAsked(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p, home := fullPage(t, nil)
		p.path = home + "/injury"
		if s := html(p); !strings.Contains(s, "Every question with a stop behind it is answered.") || strings.Contains(s, `class="ask1 asked"`) {
			t.Error("the practice case answers all, and the screen still asks")
		}
		p.Do("set|infection|no") // the same again takes it back
		p.Do("set|pathologic|unsure")
		if s := html(p); !strings.Contains(s, "2 still asked") || strings.Count(s, `class="ask1 asked"`) != 2 || !strings.Contains(s, "next: Infection") {
			t.Errorf("two are open, the screen marks %d", strings.Count(s, `class="ask1 asked"`))
		}
		synctest.Wait()
	})
}

// The signs of an atypical fracture are counted; without any nothing is kept.
// Source: ASBMR 2013: four of five major signs.
func TestSignsOfAnAtypicalFracture(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p, home := fullPage(t, nil)
		p.path = home + "/injury"
		for i, s := range signs[:4] {
			p.Do("set|sign-" + s.field + "|yes")
			if want := fmt.Sprintf("%d of 5 major signs", i+1); !strings.Contains(html(p), want) {
				t.Errorf("the screen does not say %q", want)
			}
		}
		if got := p.s.Plan().Class.Atypical; got != record.Yes {
			t.Errorf("four signs make %q", got)
		}
		for _, s := range signs[:4] {
			p.Do("set|sign-" + s.field + "|yes")
		}
		if c, _ := p.s.Case(); c.Injury.AtypicalSigns != nil {
			t.Error("no sign is answered and the case keeps an empty list")
		}
		synctest.Wait()
	})
}

// A score of union needs its scale and four possible scores; 3+3+2+2 = 10.
func TestScoreOfUnion(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p, home := fullPage(t, nil)
		p.path = home + "/after"
		set := func(kv ...string) {
			for i := 0; i < len(kv); i += 2 {
				p.Do("set|follow-" + kv[i] + "|" + kv[i+1])
			}
			p.Do("follow-add")
		}
		kept := func() int { c, _ := p.s.Case(); return len(c.Followed) }
		set("front", "3", "back", "3", "medial", "2")
		if kept() != 0 || !strings.Contains(p.says.text, "RUST or mRUST") {
			t.Errorf("without a scale: %q", p.says.text)
		}
		if set("scale", "rust"); kept() != 0 || !strings.Contains(p.says.text, "lateral") {
			t.Errorf("without the last cortex: %q", p.says.text)
		}
		if set("lateral", "4"); kept() != 0 || !strings.Contains(p.says.text, "“4”") {
			t.Errorf("with a 4 in RUST: %q", p.says.text)
		}
		if set("lateral", "2", "day", "2199-01-01"); kept() != 0 || !strings.Contains(p.says.text, "still to come") {
			t.Errorf("with a day to come: %q", p.says.text)
		}
		set("day", "2001-02-03")
		c, _ := p.s.Case()
		if kept() != 1 || c.Followed[0].At != "2001-02-03T12:00:00Z" || p.s.Plan().Union.Scores[0].Score != 10 {
			t.Fatalf("kept %v, said %q", c.Followed, p.says.text)
		}
		p.Do("follow-drop|" + c.Followed[0].ID)
		if kept() != 0 {
			t.Error("the score is still there")
		}
		if p.s.Undo(); kept() != 1 {
			t.Error("Undo does not bring it back")
		}
		synctest.Wait()
	})
}

// A part that was there before may be known by its kind alone; what is put in
// must have its size. Drive and damage are kept, and the removal follows.
func TestPartsPutInAndFound(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p, home := fullPage(t, nil)
		p.path = home + "/record"
		p.Do("set|existing-kind|plate")
		p.Do("set|existing-broken|yes")
		p.Do("existing-add")
		p.Do("set|implant-kind|end-cap")
		p.Do("set|implant-drive|hexagon 5 mm")
		p.Do("implant-add")
		c, _ := p.s.Case()
		if len(c.Existing) != 1 || c.Existing[0].Broken != record.Yes || c.Existing[0].Length != nil {
			t.Errorf("described: %v, said %q", c.Existing, p.says.text)
		}
		if len(c.Implants) != 2 || !strings.Contains(p.says.text, "size on the packet") {
			t.Errorf("a cap without a height was recorded, or refused with %q", p.says.text)
		}
		p.Do("set|implant-length|0") // a flush cap
		p.Do("set|implant-day|2001-02-30")
		if p.Do("implant-add"); !strings.Contains(p.says.text, "is no day") {
			t.Errorf("30 February: %q", p.says.text)
		}
		p.Do("set|implant-day|2001-02-03")
		p.Do("implant-add")
		c, _ = p.s.Case()
		if len(c.Implants) != 3 || c.Implants[2].Drive != "hexagon 5 mm" || *c.Implants[2].Length != 0 || c.Implants[2].At != "2001-02-03T12:00:00Z" {
			t.Fatalf("recorded: %v, said %q", c.Implants, p.says.text)
		}
		p.path = home + "/removal"
		p.Do("set|part0-broken|yes")
		p.Do("set|part0-drive|thread 8 mm")
		if c, _ = p.s.Case(); c.Implants[0].Broken != record.Yes || c.Implants[0].Drive != "thread 8 mm" {
			t.Errorf("the nail is %v", c.Implants[0])
		}
		if s := html(p); strings.Index(s, "1. End cap") > strings.Index(s, "Nail 11") || !strings.Contains(s, "drive thread 8 mm, broken") {
			t.Error("the parts do not stand in the order in which they come out")
		}
	})
}

// Every policy value can be changed on the screen of some part, and a count is
// never half a one.
func TestEveryPolicyValueHasItsPlace(t *testing.T) {
	known := map[string]bool{}
	for _, keys := range knobsOf {
		for _, k := range keys {
			known[k] = true
		}
	}
	for _, k := range plan.Knobs() {
		if !known[k.Key] {
			t.Errorf("%s is on no screen", k.Key)
		}
		delete(known, k.Key)
		if counted(k) && (k.Lo != float64(int(k.Lo)) || k.Default != float64(int(k.Default))) {
			t.Errorf("%s is counted and starts at %v", k.Key, k.Lo)
		}
	}
	for k := range known {
		t.Errorf("%s is no policy value", k)
	}
}

// The list leaves the device only with a tap, as plain text in words.
func TestShareTheList(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		h := &handed{}
		p, home := fullPage(t, h)
		p.path = home + "/kit"
		html(p)
		synctest.Wait()
		if h.times != 0 {
			t.Fatal("something was handed over without a tap")
		}
		p.Do("kit-share")
		synctest.Wait()
		if h.times != 1 || h.mime != "text/plain" || !strings.HasSuffix(h.name, ".txt") || !strings.Contains(string(h.data), "[ ] Nail 11 × 400 mm") {
			t.Errorf("handed over %d times: %s, %s, %.200s", h.times, h.name, h.mime, h.data)
		}
	})
}
