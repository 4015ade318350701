package neck

import (
	"math"
	"reflect"
	"testing"

	"isthmus/core/units"
)

// sound fails the test when there is a NaN or an infinity anywhere in v.
func sound(t *testing.T, what string, v reflect.Value) {
	t.Helper()
	switch v.Kind() {
	case reflect.Float64:
		if !finite(v.Float()) {
			t.Fatalf("%s holds %v", what, v.Float())
		}
	case reflect.Struct:
		for i := range v.NumField() {
			sound(t, what+"."+v.Type().Field(i).Name, v.Field(i))
		}
	case reflect.Pointer:
		if !v.IsNil() {
			sound(t, what, v.Elem())
		}
	}
}

// fields returns every number that can be spoiled.
func fields(b *Bone, n *Nail, k *Keep, p *Pose, l *Limits, length *units.MM) []*float64 {
	var out []*float64
	var walk func(reflect.Value)
	walk = func(v reflect.Value) {
		if v.Kind() == reflect.Float64 {
			out = append(out, (*float64)(v.Addr().UnsafePointer()))
			return
		}
		for i := range v.NumField() {
			walk(v.Field(i))
		}
	}
	for _, v := range []any{b, n, k, p, l, length} {
		walk(reflect.ValueOf(v).Elem())
	}
	return out
}

// Whatever up to three inputs are, nothing panics and no answer holds a NaN
// or an infinity.
func FuzzNeck(f *testing.F) {
	strange := []float64{math.NaN(), math.Inf(1), math.Inf(-1), 0, math.Copysign(0, -1), -1, 1e-300, 1e300, math.MaxFloat64, 5, 24, 90, 170, 60}
	for i := range uint8(60) {
		for j, v := range strange {
			f.Add(i, v, i*7+3, strange[(j*5+1)%len(strange)], i*3+1, 1.5)
		}
	}
	f.Fuzz(func(t *testing.T, i uint8, u float64, j uint8, v float64, k uint8, w float64) {
		b, n, keep := doubtful(askew()), plainNail(), three
		pose, lim, length := Pose{Depth: 45, Turn: 3}, Limits{5, 10, 25}, units.MM(95)
		all := fields(&b, &n, &keep, &pose, &lim, &length)
		*all[int(i)%len(all)], *all[int(j)%len(all)], *all[int(k)%len(all)] = u, v, w
		for _, seat := range []Seat{AlongLower, MostRoom, Seat(i)} {
			s, err := Solve(b, n, keep, seat)
			answered(t, "solution", s, err)
		}
		lower, upper, err := At(b, n, keep, pose)
		answered(t, "lower", lower, err)
		answered(t, "upper", upper, err)
		tip, err := TipAt(b, n, pose, Upper, length, lim)
		answered(t, "tip", tip, err)
		bedside(t, u, v, w)
	})
}

// answered checks an answer or a refusal: never both, never neither.
func answered(t *testing.T, what string, v any, err error) {
	t.Helper()
	if err == nil {
		sound(t, what, reflect.ValueOf(v))
		return
	}
	if _, is := err.(coded); !is {
		t.Fatalf("%s: an error without a code: %v", what, err)
	}
	if !reflect.ValueOf(v).IsZero() {
		t.Fatalf("%s: an answer beside the refusal %v", what, err)
	}
}

func bedside(t *testing.T, u, v, w float64) {
	a, b := units.Length{Best: units.MM(u), Own: units.MM(v), Shared: units.MM(w)}, units.Length{Best: units.MM(v), Own: units.MM(w)}
	move, err := MoveFor(a, units.Deg(w))
	answered(t, "move", move, err)
	rise, err := RiseFrom(a, units.Deg(v))
	answered(t, "rise", rise, err)
	turn, err := TurnFor(a, b, LeftLeg)
	answered(t, "turn", turn, err)
	shift, err := ShiftFrom(units.Angle{Best: units.Deg(u), Own: units.Deg(w)}, b)
	answered(t, "shift", shift, err)
	square, err := SquareReach(a, units.Deg(v))
	answered(t, "square", square, err)
	hole, err := NearestHole(units.MM(u), []units.MM{units.MM(v), units.MM(w)})
	answered(t, "hole", hole, err)
	wide, err := HalfWidth(units.MM(u), units.MM(v), units.MM(w))
	answered(t, "half width", wide, err)
	high, err := HeightNeeded(units.MM(u), units.MM(v), units.MM(w), units.MM(v), units.MM(u))
	answered(t, "height needed", high, err)
	left, err := LeftAbove(a, units.MM(u), units.MM(v), units.MM(w), units.MM(v))
	answered(t, "left above", left, err)
	aim, err := AimError(units.Deg(u), units.MM(v))
	answered(t, "aim", aim, err)
	tad, err := CalcarTipApex(units.MM(u), units.MM(v), units.MM(w), units.MM(u))
	answered(t, "tip–apex", tad, err)
	lost, err := LostOffCentre(units.MM(u), units.MM(v))
	answered(t, "lost", lost, err)
}

func BenchmarkSolve(b *testing.B) {
	for _, c := range []struct {
		name string
		bone Bone
		seat Seat
	}{
		{"exact, along the calcar", askew(), AlongLower},
		{"exact, most room", askew(), MostRoom},
		{"doubt, along the calcar", doubtful(askew()), AlongLower},
		{"doubt, most room", doubtful(askew()), MostRoom},
	} {
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				if _, err := Solve(c.bone, plainNail(), three, c.seat); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
	b.Run("doubt, too low for two", func(b *testing.B) {
		bone := doubtful(askew())
		bone.Height.Best = 21
		for b.Loop() {
			s, err := Solve(bone, plainNail(), three, MostRoom)
			if err != nil || s.Alone == nil {
				b.Fatal(err)
			}
		}
	})
}
