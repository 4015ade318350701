package chance

import (
	"math"
	"testing"

	"isthmus/core/testkit"
)

// Reference outputs of xoshiro256** from the state 1, 2, 3, 4, as in the
// tests of several other implementations (rand_xoshiro among them).
func TestXoshiro(t *testing.T) {
	c := &Source{[4]uint64{1, 2, 3, 4}}
	for i, want := range []uint64{11520, 0, 1509978240, 1215971899390074240, 1216172134540287360, 607988272756665600,
		16172922978634559625, 8476171486693032832, 10595114339597558777, 2904607092377533576} {
		if got := c.Uint64(); got != want {
			t.Errorf("number %d: %d, want %d (reference of xoshiro256**)", i, got, want)
		}
	}
}

// Reference outputs of SplitMix64 from the seed 1234567 (Rosetta Code), which
// fill the state; and the first numbers of the seed 42.
func TestSeed(t *testing.T) {
	if got, want := New(1234567).s, [4]uint64{6457827717110365317, 3203168211198807973, 9817491932198370423, 4593380528125082431}; got != want {
		t.Errorf("state %d, want %d (reference of SplitMix64)", got, want)
	}
	c := New(42)
	for i, want := range []uint64{1546998764402558742, 6990951692964543102, 12544586762248559009, 17057574109182124193} {
		if got := c.Uint64(); got != want {
			t.Errorf("seed 42, number %d: %d, want %d (an independent implementation)", i, got, want)
		}
	}
}

func TestQuantile(t *testing.T) {
	for _, tt := range []struct{ p, want, tol float64 }{
		{0.25, -0.6744897501960817, 4e-16},
		{0.001, -3.090232306167814, 2e-15},
		{1e-20, -9.262340089798408, 4e-15},
		{0.5, 0, 0},
	} {
		got, ok := Quantile(tt.p)
		if !ok || !(math.Abs(got-tt.want) <= tt.tol) {
			t.Errorf("quantile of %g = %.16g, want %.16g (Wichura 1988, test data of AS 241)", tt.p, got, tt.want)
		}
	}
	for _, p := range []float64{0, 1, -1, 2, math.NaN(), math.Inf(1)} {
		if got, ok := Quantile(p); ok || got != 0 {
			t.Errorf("quantile of %g = %g, want none", p, got)
		}
	}
}

// Law: the quantile is the inverse of the distribution function, odd about ½,
// and grows; the two seams of its pieces included.
func TestQuantileLaws(t *testing.T) {
	before := math.Inf(-1)
	for i := 1; i < 4000; i++ {
		p := float64(i) / 4000
		z, _ := Quantile(p)
		testkit.Near(t, "Φ of the quantile (by hand: the inverse)", 0.5*math.Erfc(-z/math.Sqrt2), p, 4e-16)
		if !(z > before) {
			t.Fatalf("the quantile does not grow at %g", p)
		}
		before = z
	}
	for k := 2; k < 200; k++ {
		p := math.Ldexp(1, -k)
		z, _ := Quantile(p)
		if back := 0.5 * math.Erfc(-z/math.Sqrt2); !(math.Abs(back/p-1) <= 3e-13) {
			t.Errorf("Φ of the quantile of 2^−%d is off by %g of it", k, back/p-1)
		}
		if k > 52 {
			continue // 1 − p is no longer exact
		}
		if mirror, _ := Quantile(1 - p); mirror != -z {
			t.Errorf("quantile of 1 − 2^−%d = %g, want %g", k, mirror, -z)
		}
	}
}

func TestLn(t *testing.T) {
	for _, x := range []float64{1, 2, 0.5, math.Sqrt2, math.Sqrt2 / 2, 0.7071, 1e-300, 1e300, 0.999999, 1.000001, 0.075} {
		if got, want := ln(x), math.Log(x); !(math.Abs(got-want) <= 5e-16*math.Max(math.Abs(want), 1e-6)) {
			t.Errorf("ln %g = %.17g, the library says %.17g", x, got, want)
		}
	}
	testkit.Near(t, "ln of the smallest number (by hand: −1074·ln 2)", ln(5e-324), -744.4400719213812, 2e-13)
}

// The same bits everywhere: run natively and under WebAssembly, this test is
// the proof. The sums were taken from this code once and only guard against a
// change; the numbers themselves are judged by the tests above.
func TestSameBits(t *testing.T) {
	c := New(2026)
	var normals, evens uint64
	for range 100_000 {
		normals = normals*31 + math.Float64bits(c.Normal())
		evens = evens*31 + math.Float64bits(c.Between(-3, 7))
	}
	if normals != wantNormals || evens != wantEvens {
		t.Errorf("normals %#x, evens %#x, want %#x and %#x", normals, evens, uint64(wantNormals), uint64(wantEvens))
	}
}

const wantNormals, wantEvens = 0x15e33fb939e6c605, 0x697f204a5bc877f

// Law: numbers lie strictly within their limits, and mean and spread are those
// of their distribution within five standard errors.
func TestMoments(t *testing.T) {
	const n = 400_000
	c := New(7)
	var u, uu, z, zz, zzzz float64
	for range n {
		x, y := c.Uniform(), c.Normal()
		if !(x > 0 && x < 1) {
			t.Fatalf("%g is not between 0 and 1", x)
		}
		u, uu = u+x, uu+x*x
		z, zz, zzzz = z+y, zz+y*y, zzzz+y*y*y*y
	}
	five := 5 / math.Sqrt(n)
	testkit.Near(t, "mean of evens", u/n, 0.5, five/math.Sqrt(12))
	testkit.Near(t, "mean square of evens", uu/n, 1.0/3, five*math.Sqrt(4.0/45))
	testkit.Near(t, "mean of normals", z/n, 0, five)
	testkit.Near(t, "mean square of normals", zz/n, 1, five*math.Sqrt(2))
	testkit.Near(t, "mean fourth power of normals", zzzz/n, 3, five*math.Sqrt(96))
}

func BenchmarkNormal(b *testing.B) {
	c := New(1)
	for b.Loop() {
		c.Normal()
	}
}
