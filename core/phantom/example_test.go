package phantom_test

import (
	"fmt"

	"isthmus/core/anatomy"
	"isthmus/core/phantom"
)

// A film of an invented femur, and what is true of it.
func ExampleDraw() {
	setup := phantom.Shoot(anatomy.AP, anatomy.Right, phantom.Whole)
	setup.Row, setup.Col, setup.Width, setup.Height = 0.75, 0.75, 300, 700
	film, err := phantom.Draw(phantom.Usual(), setup)
	if err != nil {
		fmt.Println(err)
		return
	}
	t := film.Truth
	fmt.Printf("%d × %d, %.4f mm a pixel in the plane of the bone\n", film.Width, film.Height, t.Row)
	fmt.Printf("canal %.1f mm at %.0f mm, ball %.3f mm at the detector\n", t.Isthmus.Inner, t.Isthmus.Z, t.Balls[0].Short)
	// Output:
	// 300 × 700, 0.6522 mm a pixel in the plane of the bone
	// canal 11.0 mm at 176 mm, ball 28.752 mm at the detector
}

// A practice case and one of its answers.
func ExamplePractice() {
	c, _ := phantom.Practice(0)
	fmt.Printf("%s, %s: %d films, canal %.1f mm\n", c.Key, c.Side, len(c.Setups), c.Answer.Canal)
	// Output: isthmic-transverse, right: 2 films, canal 11.4 mm
}
