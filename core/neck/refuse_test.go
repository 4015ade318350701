package neck

import (
	"errors"
	"math"
	"strings"
	"testing"

	"isthmus/core/units"
)

type coded interface {
	error
	Code() string
}

// A refusals collects the codes that were seen.
type refusals struct {
	*testing.T
	codes map[string]bool
}

func (t refusals) say(name string, err error, want string) {
	t.Helper()
	var c coded
	if !errors.As(err, &c) || c.Code() != want {
		t.Errorf("%s: %v, want code %s", name, err, want)
		return
	}
	if s := err.Error(); !strings.HasPrefix(s, "neck: ") || strings.Contains(s, "NaN") || strings.Count(s, ": ") < 2 {
		t.Errorf("%s: sentence %q", name, s)
	}
	t.codes[want] = true
}

func TestRefusals(tt *testing.T) {
	t := refusals{tt, map[string]bool{}}
	t.solving()
	t.tips()
	t.bedside()
	t.say("nothing found", &UnsolvedError{}, "neck-unsolved")
	if len(t.codes) != 10 {
		t.Errorf("%d codes seen, want all 10: %v", len(t.codes), t.codes)
	}
}

func (t refusals) solving() {
	nan := units.MM(math.NaN())
	for _, c := range []struct {
		name, code string
		spoil      func(*Bone, *Nail, *Keep)
	}{
		{"nothing", "neck-range", func(b *Bone, n *Nail, k *Keep) { *b, *n, *k = Bone{}, Nail{}, Keep{} }},
		{"no head", "neck-range", func(b *Bone, _ *Nail, _ *Keep) { b.Head.Medial = units.Length{} }},
		{"height is no number", "neck-range", func(b *Bone, _ *Nail, _ *Keep) { b.Height.Best = nan }},
		{"doubt is no number", "neck-doubt", func(b *Bone, _ *Nail, _ *Keep) { b.Width.Own = nan }},
		{"doubt below zero", "neck-doubt", func(b *Bone, _ *Nail, _ *Keep) { b.Width.Own = -1 }},
		{"shared doubt without end", "neck-doubt", func(b *Bone, _ *Nail, _ *Keep) { b.Height.Shared = units.MM(math.Inf(-1)) }},
		{"angle in doubt", "neck-doubt", func(b *Bone, _ *Nail, _ *Keep) { b.Version.Own = 16 }},
		{"acute angle", "neck-range", func(b *Bone, _ *Nail, _ *Keep) { b.NeckShaft.Best = 50 }},
		{"acute screws", "neck-range", func(_ *Bone, n *Nail, _ *Keep) { n.Angle = 50 }},
		{"no screws", "neck-range", func(_ *Bone, n *Nail, _ *Keep) { n.LowerDia = 0 }},
		{"negative spacing", "neck-range", func(_ *Bone, n *Nail, _ *Keep) { n.Spacing = -1 }},
		{"negative clearance", "neck-range", func(_ *Bone, _ *Nail, k *Keep) { k.Side = -1 }},
		{"stretch upside down", "neck-range", func(b *Bone, _ *Nail, _ *Keep) { b.From = 46 }},
		{"stretch reaches the nail", "neck-reaches-nail", func(b *Bone, _ *Nail, _ *Keep) { b.To = 57 }},
		{"neck far aside", "neck-range", func(b *Bone, _ *Nail, _ *Keep) { b.Head.Front, b.To = mm(40), 30 }},
	} {
		b, n, k := plain(), plainNail(), three
		c.spoil(&b, &n, &k)
		s, err := Solve(b, n, k, AlongLower)
		t.say(c.name, err, c.code)
		if s != (Solution{}) {
			t.Errorf("%s: an answer beside a refusal", c.name)
		}
		if _, _, err := At(b, n, k, Pose{Depth: 40}); err == nil {
			t.Errorf("%s: At takes it", c.name)
		}
	}
	_, err := Solve(plain(), plainNail(), three, NoSeat)
	t.say("no seat", err, "neck-seat")
}

func (t refusals) tips() {
	_, err := TipAt(plain(), plainNail(), Pose{Depth: 48}, "", 90, Limits{5, 10, 25})
	t.say("no place", err, "neck-place")
	b := plain()
	b.LateralUpper = units.Length{}
	_, err = TipAt(b, plainNail(), Pose{Depth: 48}, Upper, 90, Limits{5, 10, 25})
	t.say("no cortex", err, "neck-range")
	b = plain()
	b.Height = mm(48)
	_, err = TipAt(b, plainNail(), Pose{Depth: 48}, Upper, 90, Limits{5, 10, 25})
	t.say("neck as high as the head", err, "neck-no-calcar")
	_, err = TipAt(plain(), plainNail(), Pose{Depth: 80}, Lower, 90, Limits{5, 10, 25})
	t.say("beside the head", err, "neck-misses-head")
	_, err = TipAt(plain(), plainNail(), Pose{Depth: 48}, Lower, 90, Limits{5, 4, 25})
	t.say("limits upside down", err, "neck-range")
	_, err = LostOffCentre(24, 23)
	t.say("edge of the head", err, "neck-misses-head")
}

func (t refusals) bedside() {
	_, err := HalfWidth(30, 24, 15.1)
	t.say("above the neck", err, "neck-range")
	_, err = AimError(50, 60)
	t.say("no aim", err, "neck-range")
	_, err = TurnFor(mm(4), mm(73), "")
	t.say("no leg", err, "neck-leg")
	_, err = TurnFor(mm(4), mm(73), "hind")
	t.say("another leg", err, "neck-leg")
	_, err = NearestHole(3, nil)
	t.say("no holes", err, "neck-no-holes")
}
