package find

import (
	"sync"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/geom"
	"isthmus/core/phantom"
)

// Searches on phantom films of usual size: a shaft of 1000 × 2400 px and a hip
// of 3000 × 4000. Natively and as in the browser:
//
//	go test ./core/find -run '^$' -bench Phantom
//	GOOS=js GOARCH=wasm go test ./core/find -run '^$' -bench Phantom -exec "$(go env GOROOT)/lib/wasm/go_js_wasm_exec"
var (
	benchShaft = sync.OnceValue(func() *phantom.Film {
		s := phantom.Shoot(anatomy.AP, anatomy.Right, phantom.Whole)
		s.Width, s.Height, s.Aside, s.Balls, s.Ruler = 1000, 2400, 0, nil, phantom.Ruler{}
		return drawn(s)
	})
	benchHip = sync.OnceValue(func() *phantom.Film {
		s := phantom.Shoot(anatomy.AP, anatomy.Right, phantom.Upper)
		s.Width, s.Height, s.Row, s.Col = 3000, 4000, 0.086, 0.086
		return drawn(s)
	})
)

func drawn(s phantom.Setup) *phantom.Film {
	f, err := phantom.Draw(phantom.Random(5), s)
	if err != nil {
		panic(err)
	}
	return f
}

func bench(b *testing.B, film func() *phantom.Film, what func(g Grey, t phantom.Truth) error) {
	f := film()
	g := greyOf(f)
	for b.Loop() {
		if err := what(g, f.Truth); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkPhantomBall(b *testing.B) {
	bench(b, benchHip, func(g Grey, t phantom.Truth) error {
		_, err := Ball(g, t.Balls[0].Centre.Plus(px(20, 12)), RoundOptions{Raw: true})
		return err
	})
}

func BenchmarkPhantomBalls(b *testing.B) {
	bench(b, benchHip, func(g Grey, t phantom.Truth) error { _, err := Balls(g, RoundOptions{Raw: true}); return err })
}

func BenchmarkPhantomRuler(b *testing.B) {
	bench(b, benchHip, func(g Grey, t phantom.Truth) error {
		_, err := Ruler(g, t.Marks[2], t.Marks[len(t.Marks)-3], 0)
		return err
	})
}

func BenchmarkPhantomHead(b *testing.B) {
	bench(b, benchHip, func(g Grey, t phantom.Truth) error {
		_, err := Head(g, t.Head.Centre.Plus(px(40, -25)))
		return err
	})
}

func BenchmarkPhantomNeck(b *testing.B) {
	t := benchHip().Truth
	h, err := Head(greyOf(benchHip()), t.Head.Centre)
	if err != nil {
		b.Fatal(err)
	}
	bench(b, benchHip, func(g Grey, t phantom.Truth) error {
		_, err := Neck(g, h, t.Profile[2].Axis, t.Profile[20].Axis)
		return err
	})
}

func BenchmarkPhantomTrace(b *testing.B) {
	bench(b, benchShaft, func(g Grey, t phantom.Truth) error {
		n := len(t.Profile)
		_, err := Trace(g, geom.Mid(t.Profile[3].Axis, t.Profile[4].Axis), t.Profile[n-5].Axis, nil)
		return err
	})
}
