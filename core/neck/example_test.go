package neck_test

import (
	"fmt"

	"isthmus/core/neck"
	"isthmus/core/units"
)

func ExampleMoveFor() {
	m, err := neck.MoveFor(units.Exact(5), 130) // the wire lies 5 mm too high
	fmt.Printf("%s the nail %.1f mm, %v\n", m.Way, m.By.Best, err)
	// Output: advance the nail 6.5 mm, <nil>
}

func ExampleTurnFor() {
	t, err := neck.TurnFor(units.Exact(4), units.Exact(73), neck.RightLeg) // 4 mm too far in front
	fmt.Printf("%v: handle %s, nail %s, %s from above, %v\n", t.By, t.Handle, t.Nail, t.Above, err)
	// Output: 3.1°: handle forwards, nail internally, anticlockwise from above, <nil>
}

func ExampleSolve() {
	l := func(best, own units.MM) units.Length { return units.Length{Best: best, Own: own} }
	bone := neck.Bone{
		Head:         neck.Point{Medial: l(44, 0.5), Up: l(-8, 0.5), Front: l(5, 0.7)},
		Radius:       l(24, 0.3),
		NeckShaft:    units.Angle{Best: 127, Own: 1.5},
		Version:      units.Angle{Best: 12, Own: 3},
		Height:       l(30, 0.5),
		Width:        l(25, 0.5),
		From:         20,
		To:           45,
		LateralLower: l(20, 0.5),
		LateralUpper: l(20, 0.5),
	}
	nail := neck.Nail{Angle: 130, Spacing: 12, LowerDia: 6.5, UpperDia: 6.5, HeadDepth: 60}
	s, err := neck.Solve(bone, nail, neck.Keep{Lower: 3, Upper: 3, Side: 2, Tip: 5}, neck.AlongLower)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("both fit:", s.Both == neck.Yes, "with", s.Room, "to spare")
	fmt.Println("depth", s.DepthIs, "turn", s.TurnIs)
	fmt.Println("lower", s.Lower.Length, "upper", s.Upper.Length)
	// Output:
	// both fit: true with 3 ± 3 mm to spare
	// depth 53 ± 4 mm turn 0 ± 8°
	// lower 100.6 ± 1.6 mm upper 90.7 ± 1.6 mm
}
