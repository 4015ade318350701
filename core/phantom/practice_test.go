package phantom

import (
	"fmt"
	"hash/fnv"
	"math"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/testkit"
)

// Every case can be drawn, differs from the others, and its answers are what
// the films' own truths say where they say it.
func TestPractice(t *testing.T) {
	if Practices() != 6 {
		t.Fatalf("%d cases, want 6", Practices())
	}
	keys := map[string]bool{}
	for n := range Practices() {
		c, ok := Practice(n)
		if !ok || c.Key == "" || keys[c.Key] || len(c.Setups) != 2 {
			t.Fatalf("case %d: %+v", n, c)
		}
		keys[c.Key] = true
		t.Run(c.Key, func(t *testing.T) {
			checkFilms(t, c)
			// By hand: both ends of an oblique plane are Outer·tan(obliquity) apart.
			a, b := c.Answer, c.Femur.Break
			apart := float64(c.Femur.Outer) * math.Tan(math.Abs(float64(b.Oblique))*math.Pi/180)
			testkit.Near(t, "ends of the break", float64(a.BreakLower-a.BreakUpper), apart, 1e-9)
			testkit.Near(t, "middle of the break", float64(a.BreakLower+a.BreakUpper)/2, float64(b.Level), 1e-9)
			if !(a.Length > 250 && a.Condyles > a.Length && a.HeadRoom > 15 && a.NeckDepth < a.HeadRoom && a.BreakUpper > 0) {
				t.Errorf("answers %+v", a)
			}
		})
	}
	for _, n := range []int{-1, 6} {
		if c, ok := Practice(n); ok || c.Key != "" {
			t.Errorf("case %d: %+v", n, c)
		}
	}
}

// What is drawn under a key never changes, since stored cases name it: the
// hash (FNV-1a) of the bone, the setups and the answers of each, as made when
// the case was.
func TestPracticeNeverChanges(t *testing.T) {
	for key, want := range practiceHashes {
		c, ok := PracticeOf(key)
		h := fnv.New64a()
		fmt.Fprintf(h, "%v %v %v %v %v", c.Side, c.Femur, c.Setups, c.Stature, c.Answer)
		if got := h.Sum64(); !ok || got != want {
			t.Errorf("%s: hash %#x, want %#x: give another bone or film another key", key, got, want)
		}
	}
	if len(practiceHashes) != Practices() {
		t.Errorf("%d hashes for %d cases", len(practiceHashes), Practices())
	}
	if _, ok := PracticeOf("no such case"); ok {
		t.Error("a case that there is not")
	}
}

// Who waits hears how much is done, always more, up to the end; and may stop
// it.
func TestDrawTells(t *testing.T) {
	s := small(anatomy.AP, anatomy.Right)
	last, n := 0.0, 0
	film, err := DrawTelling(Usual(), s, func(done float64) {
		if !(done >= last && done <= 1) {
			t.Fatalf("%g after %g", done, last)
		}
		last, n = done, n+1
	})
	if err != nil || last != 1 || n < 100 || film.hash() != draw(t, Usual(), s).hash() {
		t.Errorf("told %d times, the last %g (%v)", n, last, err)
	}
	defer func() {
		if recover() != "stopped" {
			t.Error("it went on")
		}
	}()
	_, _ = DrawTelling(Usual(), s, func(float64) { panic("stopped") })
}

// checkFilms compares the answers with the truth of each film.
func checkFilms(t *testing.T, c Case) {
	t.Helper()
	for _, s := range c.Setups {
		k := know(t, c.Femur, s)
		testkit.Near(t, "length", float64(k.Whole.True), float64(c.Answer.Length), 1e-9)
		if k.Isthmus.Inner > 0 {
			want := c.Answer.Canal
			if s.View == anatomy.Lateral {
				want = c.Answer.CanalDeep
			}
			testkit.Near(t, "canal", float64(k.Isthmus.Inner), float64(want), 0.02)
			testkit.Near(t, "isthmus", float64(k.Isthmus.Z), float64(c.Answer.Isthmus), 1e-9)
		}
		testkit.Near(t, "head", float64(k.Head.Across), float64(c.Answer.Head), 1e-9)
		if !k.Balls[0].Inside {
			t.Errorf("the ball is not on the %s film", s.View)
		}
		for l, p := range k.At {
			if !p.Inside {
				t.Errorf("%s: %s lies beside the film at %v", s.View, l, p.Film)
			}
		}
	}
}
