package screen

import (
	"context"
	"testing"

	"isthmus/app/state"
	"isthmus/core/implant"
)

// handClock is set by the test.
type handClock struct{ now string }

func (c *handClock) Now() string   { return c.now }
func (c *handClock) NewID() string { return "00000000000000000000000000000001" }

func sizesPage(t *testing.T) (*Page, *handClock) {
	t.Helper()
	clock := &handClock{"2026-11-25T03:00:00Z"}
	s := state.New(state.World{Store: state.NewMemory(), Clock: clock})
	if err := s.Start(t.Context()); err != nil {
		t.Fatal(err)
	}
	p := New(s, Browser{})
	p.ready = true
	return p, clock
}

// 98 on the gauge, sleeve on bone, 5 mm kept from the joint: 93 of room, 90
// from a shelf in 5 mm steps. Source: common practice.
func TestBedsideScrew(t *testing.T) {
	p, _ := sizesPage(t)
	p.path = "/sizes/head"
	p.Do("set|head.lower.depth|98")
	if got := p.headChoice(implant.Lower).Ask; got != 0 {
		t.Errorf("without the answer about the sleeve the screw is %v, want none", got)
	}
	p.Do("set|head.lower.bone|unsure")
	if got := p.headChoice(implant.Lower).Ask; got != 0 {
		t.Errorf("with a sleeve nobody is sure of the screw is %v, want none: off the bone reads too long", got)
	}
	p.Do("set|head.lower.bone|yes")
	if got := p.headChoice(implant.Lower).Ask; got != 90 {
		t.Errorf("the lower screw is %v, want 90", got)
	}
	if got := p.headChoice(implant.Upper).Ask; got != 0 {
		t.Errorf("the upper screw is %v from readings of the lower one", got)
	}
}

// A refused number stays as it was typed, and no answer is made from the one
// before it.
func TestRefusedNumberGivesNoAnswer(t *testing.T) {
	p, _ := sizesPage(t)
	p.path = "/sizes/head"
	p.Do("set|head.lower.bone|yes")
	p.Do("set|head.lower.depth|98")
	for _, bad := range []string{"9.8.0", "abc", "NaN", "-98", "1e308", "9800"} {
		p.Do("set|head.lower.depth|" + bad)
		r := p.view().rows["head.lower.depth"]
		if got := p.shown(r); got != bad || p.wrong[r.key] == "" {
			t.Errorf("%q: the row shows %q with the sentence %q, want what was typed and why it is refused", bad, got, p.wrong[r.key])
		}
		if got := p.headChoice(implant.Lower).Ask; got != 0 {
			t.Errorf("%q: the screw is %v, want none", bad, got)
		}
	}
	p.Do("set|head.lower.depth|98,0")
	if got := p.headChoice(implant.Lower).Ask; got != 90 {
		t.Errorf("98,0: the screw is %v, want 90", got)
	}
}

// Numbers of another operation are asked about, never emptied by themselves.
func TestOldNumbersAreAskedAbout(t *testing.T) {
	p, clock := sizesPage(t)
	p.path = "/sizes/head"
	asks := func() bool { return p.old() }
	if p.Do("set|head.lower.depth|98"); asks() {
		t.Error("fresh numbers are asked about")
	}
	clock.now = "2026-11-25T06:59:00Z"
	if asks() {
		t.Error("numbers of this operation are asked about")
	}
	clock.now = "2026-11-25T09:00:00Z"
	if !asks() {
		t.Error("numbers of six hours ago are not asked about")
	}
	if p.Do("still"); asks() || p.word("head.lower.depth") != "98" {
		t.Error("“Same patient” does not keep the numbers")
	}
	clock.now = "2026-11-26T09:00:00Z"
	p.Do("wipe")
	if asks() || p.word("head.lower.depth") != "" {
		t.Error("“Start afresh” does not empty the fields")
	}
	if p.Do("unwipe"); p.word("head.lower.depth") != "98" {
		t.Error("Undo does not bring the numbers back")
	}
}

// slowStore does not answer the first time it is asked.
type slowStore struct {
	*state.Memory
	asked int
}

func (s *slowStore) SaveSetting(ctx context.Context, key string, b []byte) error {
	if s.asked++; s.asked == 1 {
		return context.DeadlineExceeded
	}
	return s.Memory.SaveSetting(ctx, key, b)
}

// A store that is late once is asked again: the hospital's shelf comes, and
// not the teaching set in its place.
func TestSlowStartIsTriedAgain(t *testing.T) {
	store := &slowStore{Memory: state.NewMemory()}
	own := implant.Teaching()
	own.Name, own.Teaching = "Hill hospital", false
	if err := store.Memory.SaveSetting(t.Context(), "shelf", implant.WriteJSON(own)); err != nil {
		t.Fatal(err)
	}
	p := New(state.New(state.World{Store: store, Clock: &handClock{"2026-11-25T03:00:00Z"}}), Browser{})
	if err := p.start(t.Context()); err != nil {
		t.Errorf("start: %v, want the second try to work", err)
	}
	if got := p.s.Shelf().Name; got != "Hill hospital" {
		t.Errorf("the shelf is %q, want the stored one", got)
	}
}
