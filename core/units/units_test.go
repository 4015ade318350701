package units

import (
	"encoding/json"
	"fmt"
	"math"
	"testing"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.9g, want %.9g", what, got, want)
	}
}

func TestSums(t *testing.T) {
	a := Length{Best: 400, Own: 3, Shared: 4}
	b := Length{Best: 100, Own: 4, Shared: 1}
	for _, tt := range []struct {
		name   string
		got    Length
		want   Length
		source string
	}{
		{"plus", a.Plus(b), Length{500, 5, 5}, "JCGM 100 5.2.2: own √(9 + 16), shared 4 + 1"},
		{"minus", a.Minus(b), Length{300, 5, 3}, "JCGM 100 5.2.2: own √(9 + 16), shared 4 − 1"},
		{"minus itself at one scale", a.Minus(Length{400, 0, 4}), Length{0, 3, 0}, "by hand: the common scale cancels"},
		{"times −2", a.Times(-2), Length{-800, 6, -8}, "by hand: own keeps its size, shared its sign"},
		{"apart", a.Apart(), Length{400, 5, 0}, "by hand: √(9 + 16)"},
		{"exact", Exact(95), Length{Best: 95}, "by hand"},
	} {
		if tt.got != tt.want {
			t.Errorf("%s: %+v, want %+v (%s)", tt.name, tt.got, tt.want, tt.source)
		}
	}
	near(t, "doubt (JCGM 100 5.1.2: √(9 + 16))", float64(a.Doubt()), 5, 1e-12)
}

// facts 3d: scale 1 % or 3 %, two landmarks of 2 mm, side difference 3.6 mm
// on 420 mm.
func TestCombinedError(t *testing.T) {
	for _, tt := range []struct{ scale, want float64 }{{0.01, 6.21}, {0.03, 13.41}} {
		l := Length{Best: 420, Own: MM(math.Hypot(2, 2)), Shared: MM(420 * tt.scale)}
		l = l.Plus(Length{Own: 3.6})
		near(t, "combined (facts 3d)", float64(l.Doubt()), tt.want, 0.005)
	}
}

func TestAgainst(t *testing.T) {
	for _, tt := range []struct {
		name  string
		l     Length
		limit MM
		want  Order
	}{
		{"surely more", Length{Best: 12, Own: 0.5}, 11, More},
		{"exactly two apart", Length{Best: 12, Own: 0.5}, 13, Less},
		{"just under two apart", Length{Best: 12, Own: 0.5}, 12.99, Unclear},
		{"shared doubt counts", Length{Best: 12, Own: 0.3, Shared: -0.4}, 12.9, Unclear},
		{"exact and equal claims nothing", Exact(10), 10, Unclear},
		{"exact and more", Exact(10), 9.99, More},
		{"no number", Length{Best: MM(math.NaN())}, 10, Unclear},
		{"doubt that is no number", Length{Best: 50, Own: MM(math.NaN())}, 10, Unclear},
		{"limit that is no number", Exact(50), MM(math.NaN()), Unclear},
	} {
		if got := tt.l.Against(tt.limit); got != tt.want {
			t.Errorf("%s: %v, want %v (by hand, Sure = 2)", tt.name, got, tt.want)
		}
	}
	if (Order(0)) != Unclear || Unclear.String() == More.String() || More.String() == Less.String() {
		t.Error("the zero order must claim nothing, and each must have its own word")
	}
}

func TestChanceAbove(t *testing.T) {
	l := Length{Best: 410, Own: 3, Shared: 4}
	for _, tt := range []struct {
		limit MM
		want  float64
	}{{410, 0.5}, {405, 0.841345}, {415, 0.158655}, {400, 0.977250}, {395, 0.998650}} {
		near(t, "chance (normal table: Φ of 0, 1, −1, 2, 3)", l.ChanceAbove(tt.limit), tt.want, 1e-6)
	}
	for _, tt := range []struct {
		l    Length
		want float64
	}{{Exact(9), 0}, {Exact(10), 0.5}, {Exact(11), 1}, {Length{Best: MM(math.NaN()), Own: 1}, 0.5}, {Length{Best: 12, Own: MM(math.NaN())}, 1}} {
		near(t, "without doubt", tt.l.ChanceAbove(10), tt.want, 0)
	}
}

func TestOver(t *testing.T) {
	r, ok := Length{Best: 10}.Over(Length{Best: 14, Own: 0.28, Shared: 0.14})
	if !ok {
		t.Fatal("no ratio")
	}
	near(t, "nail over canal (facts 3l)", r.Best, 0.714, 0.001)
	near(t, "doubt (by hand: 0.714·√(0.02² + 0.01²))", r.U, 10.0/14*math.Hypot(0.02, 0.01), 1e-12)
	r, _ = Length{Best: 30, Shared: 0.6}.Over(Length{Best: 60, Shared: 1.2})
	near(t, "one scale cancels (by hand)", r.U, 0, 1e-15)
	for _, m := range []Length{{}, {Best: -1}, {Best: 1, Own: 0.51}, {Best: MM(math.NaN())}, {Best: MM(math.Inf(1))}, {Best: 1e-320}} {
		if r, ok := (Length{Best: 1e10, Own: 1}).Over(m); ok {
			t.Errorf("over %+v = %v, want none: it is not surely above zero", m, r)
		}
	}
}

func TestFinite(t *testing.T) {
	nan, inf := MM(math.NaN()), MM(math.Inf(-1))
	for _, l := range []Length{{Best: nan}, {Own: nan}, {Shared: nan}, {Best: inf}, {Shared: inf}, {Own: -1}} {
		if l.Finite() {
			t.Errorf("%+v is called finite", l)
		}
	}
	if !(Length{1, 2, -3}).Finite() {
		t.Error("an ordinary length is not called finite")
	}
}

// JCGM 100:2008, 7.2.6: at most two significant digits of the uncertainty,
// and the value rounded to agree. Ours is never finer than a tenth.
func TestRoundAndString(t *testing.T) {
	const source = "JCGM 100:2008, 7.2.6"
	for _, tt := range []struct {
		name string
		l    Length
		want string
	}{
		{"7.2.6's own example, 10.057 62 with 0.027, is finer than we print", Length{Best: 10.05762, Own: 0.027}, "10.1 ± 0.1 mm"},
		{"a femur", Length{Best: 412.34, Own: 1.4, Shared: 2.65}, "412 ± 6 mm"},
		{"a canal", Length{Best: 10.6449, Own: 0.1501}, "10.6 ± 0.3 mm"},
		{"two digits", Length{Best: 131.26, Own: 0.61}, "131.3 ± 1.2 mm"},
		{"just under two", Length{Best: 131.26, Own: 0.97}, "131.3 ± 1.9 mm"},
		{"two", Length{Best: 131.26, Own: 0.98}, "131 ± 2 mm"},
		{"two digits, tens", Length{Best: 412.5, Own: 10.3}, "412 ± 21 mm"},
		{"three digits would be too many", Length{Best: 412, Own: 61.4}, "410 ± 120 mm"},
		{"doubt too small to print is still there", Length{Best: 95.04, Own: 1e-9}, "95.0 ± 0.1 mm"},
		{"no doubt, no ±", Exact(95), "95 mm"},
		{"no doubt, digits kept", Exact(9.25), "9.25 mm"},
		{"below zero", Length{Best: -0.04, Own: 0.1}, "0.0 ± 0.2 mm"},
		{"below zero, kept", Length{Best: -3.26, Own: 0.1}, "-3.3 ± 0.2 mm"},
		{"no number", Length{Best: MM(math.NaN()), Own: 1}, "no length"},
		{"doubt below zero", Length{Best: 1, Own: -1}, "no length"},
	} {
		if got := tt.l.String(); got != tt.want {
			t.Errorf("%s: %q, want %q (%s)", tt.name, got, tt.want, source)
		}
	}
	v, d := Length{Best: 412.34, Own: 3}.Round()
	if v != "412" || d != "6" {
		t.Errorf("Round = %q ± %q, want 412 ± 6 (%s)", v, d, source)
	}
	if v, d = (Length{Best: MM(math.NaN()), Own: MM(math.Inf(1))}).Round(); v != "no number" || d != "no number" {
		t.Errorf("Round of no number = %q, %q", v, d)
	}
	for _, tt := range []struct {
		a    Angle
		want string
	}{{Angle{131.04, 0.6}, "131.0 ± 1.2°"}, {Angle{131.06, 2}, "131 ± 4°"}, {Angle{130, 0}, "130°"}, {Angle{130, 0.001}, "130.0 ± 0.1°"}, {Angle{Best: Deg(math.NaN())}, "no angle"}} {
		if got := tt.a.String(); got != tt.want {
			t.Errorf("%+v: %q, want %q (%s)", tt.a, got, tt.want, source)
		}
	}
}

// Law: what is printed is never further from the length than half a step of
// the last printed digit, and never shows a doubt as none.
func TestPrintedIsNear(t *testing.T) {
	for i := range 2000 {
		l := Length{Best: MM(float64(i)*0.7313 - 300), Own: MM(math.Pow(10, float64(i%500)/100-3))}
		v, d := l.Round()
		var value, doubt float64
		if _, err := fmt.Sscan(v+" "+d, &value, &doubt); err != nil {
			t.Fatal(err)
		}
		step := 0.5
		if 2*l.Own < 1.95 {
			step = 0.05
		} else if 2*l.Own >= 99.5 {
			step = 5
		}
		if math.Abs(value-float64(l.Best)) > step+1e-9 {
			t.Fatalf("%+v printed as %s", l, v)
		}
		if !(doubt > 0) || math.Abs(doubt-2*float64(l.Own)) > step+0.05+1e-9 {
			t.Fatalf("doubt of %+v printed as %s", l, d)
		}
	}
}

func TestTrim(t *testing.T) {
	for _, tt := range []struct {
		v    float64
		n    int
		want string
	}{{95, 2, "95"}, {9.5, 2, "9.5"}, {1.005, 2, "1"}, {0.1 + 0.2, 2, "0.3"}, {-0.001, 2, "0"}, {1234.5, 0, "1235"}, {math.NaN(), 2, "no number"}, {math.Inf(-1), 2, "no number"}} {
		if got := Trim(tt.v, tt.n); got != tt.want {
			t.Errorf("Trim(%v, %d) = %q, want %q (by hand)", tt.v, tt.n, got, tt.want)
		}
	}
	if s := MM(9.5).String(); s != "9.5 mm" {
		t.Errorf("%q, want 9.5 mm", s)
	}
}

func TestLengthAsJSON(t *testing.T) {
	b, err := json.Marshal(Length{412, 2, 4})
	if err != nil || string(b) != `{"best_mm":412,"own_mm":2,"shared_mm":4}` {
		t.Errorf("%s %v, want the case file's spelling with units in the names", b, err)
	}
}

func ExampleLength_String() {
	fmt.Println(Length{Best: 412.3, Own: 1.5, Shared: 2.6})
	fmt.Println(Length{Best: 10.64, Own: 0.15})
	fmt.Println(Exact(95))
	// Output:
	// 412 ± 6 mm
	// 10.6 ± 0.3 mm
	// 95 mm
}

func ExampleLength_Against() {
	canal := Length{Best: 10.6, Own: 0.2}
	fmt.Println("than 9 mm:", canal.Against(9))
	fmt.Println("than 10.5 mm:", canal.Against(10.5))
	// Output:
	// than 9 mm: more
	// than 10.5 mm: too close to call
}
