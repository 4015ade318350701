package plan

import (
	"os"
	"testing"

	"isthmus/core/chance"
	"isthmus/core/implant"
	"isthmus/core/record"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

var allReadings = []record.ReadingKind{record.BurialFound, record.GapFound, record.LengthInjured, record.LengthSound, record.TurnInjured, record.TurnSound,
	record.LesserInjured, record.LesserSound, record.DistalDepth, record.OtherTrial, record.TwoRods}

// after fills a case with readings, later films and parts of any shape.
func (e *entropy) after(c *record.Case) {
	for range int(e.next() % 12) {
		hole := int(e.next()%6) - 1
		a, b := units.Deg(e.number()), units.Deg(e.number())
		c.Readings = append(c.Readings, record.Reading{Kind: allReadings[int(e.next())%len(allReadings)], First: e.mm(), Second: e.mm(), OnBone: e.answer(),
			OffBone: e.mm(), Reduced: e.answer(), Hole: &hole, Angle: &a, AngleTwo: &b})
	}
	for range int(e.next() % 4) {
		var scores []int
		for range int(e.next() % 6) {
			scores = append(scores, int(e.next()%6)-1)
		}
		c.Followed = append(c.Followed, record.Followed{ID: "a", At: e.time(), Scale: []string{"rust", "mrust", "", "odd"}[e.next()%4], Cortices: scores})
	}
	for range int(e.next() % 3) {
		c.Implants = append(c.Implants, record.Implant{Kind: "nail", At: e.time()})
	}
	c.Injury.Entry = []record.Entry{"", record.EntryBack, "odd"}[e.next()%3]
	c.Injury.StatureMM = e.mm()
	c.Injury.Comminution = []record.Comminution{"", record.ComminutionI, record.ComminutionIV, "odd"}[e.next()%4]
}

func (e *entropy) time() string {
	return []string{"", "2026-11-25T07:30:00Z", "2026-02-31T07:30:00Z", "2027-03-01T07:30:00Z", "9999-12-31T23:59:59Z", "0001-01-01T00:00:00Z", "yesterday"}[e.next()%7]
}

// someBytes adds seeds of any bytes, the same each time.
func someBytes(f *testing.F, seed uint64, n int) {
	c := chance.New(seed)
	for range n {
		b := make([]byte, 600)
		for i := range b {
			b[i] = byte(c.Between(0, 255.99))
		}
		f.Add(b)
	}
}

// Whatever was read: no panic, every number is one, no cap stands proud, no
// distal screw misses the far cortex, and no union without four scores.
func FuzzAfter(f *testing.F) {
	for _, path := range testkit.Files(f, "cases/*/case.json") {
		b, err := os.ReadFile(path)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(b[min(len(b), 200):])
	}
	someBytes(f, 1, 120)
	f.Fuzz(func(t *testing.T, b []byte) {
		e := &entropy{b}
		c := afterCase()
		if e.next()%2 == 0 {
			c = e.record()
		}
		e.after(&c)
		pl := For(c, implant.Teaching())
		checkPlan(t, pl)
		if s := pl.Seat; s.Cap != nil && !(s.CapLeft.Best >= -guard && s.Cap.Stock > 0) {
			t.Errorf("cap %v stands proud: %v", s.Cap.Height, s.CapLeft)
		}
		for _, h := range pl.Distal.Holes {
			if h.Ask > 0 && !(h.Past.Best >= 2-guard && h.Stock > 0) {
				t.Errorf("screw %v of hole %d stands %v out", h.Ask, h.Hole, h.Past)
			}
		}
		if d := pl.Distal; (d.Later == record.Yes) != (d.TakeOut > 0) {
			t.Errorf("later %q, take out %d", d.Later, d.TakeOut)
		}
		for _, u := range pl.Union.Scores {
			if !(u.Score >= 4 && u.Score <= u.Hi) {
				t.Errorf("%+v", u)
			}
		}
	})
}

// Whatever is typed at the bedside: every number is one, or there is none and
// a problem says why.
func FuzzBedside(f *testing.F) {
	for _, path := range testkit.Files(f, "cases/*/case.json") {
		b, err := os.ReadFile(path)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(b[:min(len(b), 64)])
	}
	someBytes(f, 2, 120)
	f.Fuzz(func(t *testing.T, b []byte) {
		e, p, shelf := &entropy{b}, DefaultPolicy(), implant.Teaching()
		v := func() units.MM { return units.MM(e.number()) }
		l := func() units.Length { return units.Length{Best: v(), Own: v(), Shared: v()} }
		a := func() units.Angle { return units.Angle{Best: units.Deg(e.number()), Own: units.Deg(e.number())} }
		two := func() Arc { x, y := units.Deg(e.number()), units.Deg(e.number()); return Arc{&x, &y} }
		for _, got := range []Answered{BowFor(l(), v(), v(), p), ToggleFor(l(), v(), l()), StiffnessRatio(Tube{v(), v()}, Tube{v(), v()}), BendingRatio(v(), v()),
			TurnFrom(two(), two(), p).Answered, TurnBetween(a(), a(), p), LesserFrom(e.mm(), e.mm()), LengthDiff(e.mm(), e.mm(), p), NeckShaftDiff(a(), a(), p),
			GapFrom(v(), e.answer(), p)} {
			checkPlan(t, Plan{Align: Align{Turn: got.Angle, Length: got.Length, Why: got.Why}, Problems: got.Problems})
			if got.Angle == nil && got.Length == nil && got.Ratio == nil && len(got.Problems) == 0 {
				t.Error("no answer and no problem")
			}
		}
		burial := l()
		end, s := CapFor(&burial, shelf), DistalScrewFor(v(), v(), shelf, p)
		checkPlan(t, Plan{Seat: Seat{CapLeft: end.Left, Why: end.Why}, Distal: Distal{Why: s.Why}, Problems: append(end.Problems, s.Problems...)})
		if end.Cap == nil && len(end.Problems) == 0 || s.Ask == 0 && len(s.Problems) == 0 {
			t.Error("no part and no problem")
		}
	})
}
