package plan

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"isthmus/core/record"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

var update = flag.Bool("update", false, "write testdata/cases/*/plan.golden")

// loadCase returns a case of testdata/cases.
func loadCase(t testing.TB, name string) record.Case {
	t.Helper()
	c, err := record.Unmarshal(testkit.Read(t, filepath.Join("cases", name, "case.json")))
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return c
}

func caseNames(t testing.TB) (names []string) {
	for _, f := range testkit.Files(t, "cases/*/case.json") {
		names = append(names, filepath.Base(filepath.Dir(f)))
	}
	return names
}

// Every case has a plan read by eye, and every such plan a case. The plan of
// the shelf beside the case, else of the teaching set; numbers to a hundredth, so that the last bit of a
// processor does not matter.
func TestGolden(t *testing.T) {
	for _, name := range caseNames(t) {
		t.Run(name, func(t *testing.T) {
			pl := For(loadCase(t, name), caseShelf(t, name))
			checkPlan(t, pl)
			got := dump(pl)
			path := filepath.Join(testkit.Root(t), "testdata", "cases", name, "plan.golden")
			if *update {
				if err := os.WriteFile(path, got, 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(path)
			if err != nil {
				t.Fatalf("%v: run go test ./core/plan -update and read the file", err)
			}
			if !bytes.Equal(got, want) {
				t.Errorf("the plan has changed:\n%s", firstChange(got, want))
			}
		})
	}
	for _, f := range testkit.Files(t, "cases/*/plan.golden") {
		if _, err := os.Stat(filepath.Join(filepath.Dir(f), "case.json")); err != nil {
			t.Errorf("%s has no case", f)
		}
	}
}

func firstChange(got, want []byte) string {
	g, w := strings.Split(string(got), "\n"), strings.Split(string(want), "\n")
	for i := range g {
		if i >= len(w) || g[i] != w[i] {
			old := "(end)"
			if i < len(w) {
				old = w[i]
			}
			return fmt.Sprintf("line %d\n got  %s\n want %s", i+1, g[i], old)
		}
	}
	return "the new one ends sooner"
}

// dump writes a plan as text for the eye.
func dump(pl Plan) []byte {
	var b bytes.Buffer
	line := func(format string, a ...any) { fmt.Fprintf(&b, format+"\n", a...) }
	for _, s := range pl.Scales {
		line("film %d: %s", s.Film, plane(s))
		for _, p := range s.Pieces {
			line("  piece %s %s: %.5f × %.5f mm/px, u %.2f %%, used %v %s", p.ID, p.Kind, p.Plane.Row, p.Plane.Col, 100*p.Plane.Rel, p.Used, p.Error)
		}
		reasonLines(&b, "  why", s.Why)
	}
	bo := pl.Bone
	for _, x := range []struct {
		name string
		l    *units.Length
	}{{"length", bo.Length}, {"canal ap", bo.CanalAP}, {"canal lateral", bo.CanalLat}, {"canal", bo.Canal}, {"isthmus", bo.Isthmus},
		{"fracture", bo.Fracture}, {"fracture lower", bo.FractureL}, {"lesser", bo.Lesser}, {"head", bo.HeadDia}, {"neck room", bo.NeckRoom}} {
		line("bone %s: %s", x.name, lengthText(x.l))
	}
	if bo.NSA != nil {
		line("bone neck–shaft angle: %.2f u %.2f deg", bo.NSA.Best, bo.NSA.Own)
	}
	for _, r := range bo.Routes {
		line("route %s: %s, %s", r.Kind, lengthText(&r.Length), r.Bias)
	}
	line("bone disputed: %v", bo.Disputed)
	line("locking: %q, runner-up %q, %d distal", pl.Locking.Pattern, pl.Locking.RunnerUp, pl.Locking.Distal)
	reasonLines(&b, "  why", pl.Locking.Why)
	reasonLines(&b, "  against", pl.Locking.Against)
	reasonLines(&b, "  would change", pl.Locking.Change)
	dumpNail(&b, pl)
	dumpScrew(&b, "lower", pl.Head.Lower)
	dumpScrew(&b, "upper", pl.Head.Upper)
	line("neck need: %s", lengthText(pl.Head.Need))
	reasonLines(&b, "  why", pl.Head.Why)
	dumpAfter(&b, pl)
	dumpClass(&b, pl)
	for _, p := range pl.Problems {
		line("%s %s %s%s %v", p.Level, p.Part, p.Code, factText(p.Facts), p.Fields)
	}
	return b.Bytes()
}

func dumpNail(b *bytes.Buffer, pl Plan) {
	n := pl.Nail
	part := "none"
	if n.Part != nil {
		part = n.Part.ID
	}
	fmt.Fprintf(b, "nail: %v × %v, part %s, close %v, room %s, tip %s, diameter runner-up %v\n",
		n.Diameter, n.Length, part, n.Close, lengthText(n.Room), lengthText(n.Tip), n.DiaUp)
	for _, s := range n.Sizes {
		fmt.Fprintf(b, "  size %v: right %.2f, too long %.2f, stock %d\n", s.Value, s.Right, s.TooLong, s.Stock)
	}
	if n.Ratio != nil {
		fmt.Fprintf(b, "  nail over canal %.2f u %.2f\n", n.Ratio.Best, n.Ratio.U)
	}
	reasonLines(b, "  why length", n.WhyLength)
	reasonLines(b, "  why diameter", n.WhyDia)
	reasonLines(b, "  lost", n.Lost)
	fmt.Fprintf(b, "reaming: %v, missing %v\n", pl.Reaming.Heads, pl.Reaming.Missing)
	reasonLines(b, "  why", pl.Reaming.Why)
}

func dumpScrew(b *bytes.Buffer, name string, s ScrewChoice) {
	fmt.Fprintf(b, "head screw %s: %v (shorter %v, longer %v), room %s, to joint %s, longer to joint %s, stock %d, measured %v, close %v\n",
		name, s.Ask, s.Shorter, s.Longer, lengthText(s.Room), lengthText(s.ToJoint), lengthText(s.LongerTo), s.Stock, s.Measured, s.Close)
	reasonLines(b, "  why", s.Why)
}

func plane(s FilmScale) string {
	if !s.Plane.Usable() {
		return fmt.Sprintf("no scale, disputed %v", s.Disputed)
	}
	return fmt.Sprintf("%.5f × %.5f mm/px, u %.2f %%, %s", s.Plane.Row, s.Plane.Col, 100*s.Plane.Rel, s.Plane.Origin)
}

func lengthText(l *units.Length) string {
	if l == nil {
		return "–"
	}
	return fmt.Sprintf("%.2f own %.2f shared %.2f mm", l.Best, l.Own, l.Shared)
}

func reasonLines(b *bytes.Buffer, what string, reasons []Reason) {
	for _, r := range reasons {
		fmt.Fprintf(b, "%s %s%s %v\n", what, r.Code, factText(r.Facts), r.Sources)
	}
}

func factText(facts []Fact) string {
	var b strings.Builder
	for _, f := range facts {
		fmt.Fprintf(&b, "; %s ", f.Name)
		switch {
		case f.Length != nil:
			b.WriteString(lengthText(f.Length))
		case f.Angle != nil:
			fmt.Fprintf(&b, "%.2f deg", f.Angle.Best)
		case f.Number != nil:
			fmt.Fprintf(&b, "%.2f", *f.Number)
		default:
			b.WriteString(f.Word)
		}
	}
	return b.String()
}
