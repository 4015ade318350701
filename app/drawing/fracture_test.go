package drawing

import (
	"math"
	"strings"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/plan"
)

// Every group that the classification has is drawn and named, no other is, no
// two look alike, and each line lies on the picture.
func TestFracturePictures(t *testing.T) {
	seen := map[string]string{}
	for _, bone := range []string{"31", "32"} {
		for _, kind := range []string{"A", "B", "C"} {
			for _, n := range []string{"1", "2", "3"} {
				group := bone + kind + n
				_, err := plan.ParseCode(group)
				svg := Fracture(group, anatomy.Right)
				if (err == nil) != (svg != "") {
					t.Errorf("%s: drawn %v, a valid code %v", group, svg != "", err == nil)
				}
				if svg == "" {
					continue
				}
				for _, e := range read(t, svg) {
					for _, c := range corners(t, e) {
						if !(c.x >= 0 && c.x <= breakW && c.y >= 0 && c.y <= breakH) {
							t.Errorf("%s: %v lies outside", group, c)
						}
					}
				}
				body := strings.ReplaceAll(strings.ReplaceAll(svg, group, ""), FractureWords(group), "")
				if other := seen[body]; other != "" || FractureWords(group) == "" {
					t.Errorf("%s looks like %q, is called %q", group, other, FractureWords(group))
				}
				seen[body] = group
			}
		}
	}
	if len(seen) != len(FractureGroups()) || len(seen) != 13 { // AO/OTA 2018: 32A1–3, B2–3, C2–3, 31A1–3, B1–3
		t.Errorf("%d groups are drawn, %d listed, want 13", len(seen), len(FractureGroups()))
	}
	if Fracture("33A1", anatomy.Right) != "" {
		t.Error("a group of another bone is drawn")
	}
}

// Left is right in the mirror.
func TestFractureMirror(t *testing.T) {
	for _, group := range FractureGroups() {
		right, left := read(t, Fracture(group, anatomy.Right)), read(t, Fracture(group, anatomy.Left))
		n := 0
		for i, e := range right {
			a, b := corners(t, e), corners(t, left[i])
			for j := range a {
				n++
				if math.Abs(a[j].x+b[j].x-breakW) > 1e-6 || a[j].y != b[j].y {
					t.Fatalf("%s: %v in the mirror is %v", group, a[j], b[j])
				}
			}
		}
		if n < 10 {
			t.Errorf("%s: only %d points compared", group, n)
		}
	}
}
