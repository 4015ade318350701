package anatomy

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"slices"
	"strconv"
	"testing"

	"isthmus/core/testkit"
)

func TestSideOther(t *testing.T) {
	for s, want := range map[Side]Side{Left: Right, Right: Left, NoSide: NoSide, "middle": NoSide} {
		if got := s.Other(); got != want {
			t.Errorf("the other side of %q is %q, want %q", s, got, want)
		}
		if valid := s == Left || s == Right; s.Valid() != valid {
			t.Errorf("%q valid: %v, want %v", s, s.Valid(), valid)
		}
	}
}

// The zero value of every name claims nothing, and an unknown name is not
// taken for a known one.
func TestZeroClaimsNothing(t *testing.T) {
	if NoSide.Valid() || NoView.Valid() || NoBone.Valid() || Side("").Valid() || View("AP").Valid() || Bone("both").Valid() {
		t.Error("an empty or unknown name is called valid")
	}
	if !AP.Valid() || !Lateral.Valid() || !Injured.Valid() || !Sound.Valid() {
		t.Error("a known name is not called valid")
	}
	if len(Landmarks(NoView)) != 0 || TrochanterTip.In(NoView) || Landmark("").In(AP) {
		t.Error("a film of unknown view shows landmarks")
	}
}

// declared returns the values of all Landmark constants, read from the source.
func declared(t *testing.T) []Landmark {
	t.Helper()
	f, err := parser.ParseFile(token.NewFileSet(), filepath.Join(testkit.Root(t), "core/anatomy/anatomy.go"), nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	var out []Landmark
	ast.Inspect(f, func(n ast.Node) bool {
		v, ok := n.(*ast.ValueSpec)
		if !ok || len(v.Values) != 1 {
			return true
		}
		if id, ok := v.Type.(*ast.Ident); ok && id.Name == "Landmark" {
			if lit, ok := v.Values[0].(*ast.BasicLit); ok {
				s, err := strconv.Unquote(lit.Value)
				if err != nil {
					t.Fatal(err)
				}
				out = append(out, Landmark(s))
			}
		}
		return true
	})
	if len(out) < 10 {
		t.Fatalf("only %d landmarks found: this test reads the wrong file", len(out))
	}
	return out
}

// Every landmark can be placed on some film, once, and no view asks for one
// that does not exist.
func TestEveryLandmarkHasAView(t *testing.T) {
	all := declared(t)
	for _, l := range all {
		if !l.In(AP) && !l.In(Lateral) {
			t.Errorf("%s can be placed on no film", l)
		}
	}
	for _, v := range []View{AP, Lateral} {
		seen := map[Landmark]bool{}
		for _, l := range Landmarks(v) {
			if seen[l] {
				t.Errorf("%s is asked for twice on the %s film", l, v)
			}
			seen[l] = true
			if !slices.Contains(all, l) {
				t.Errorf("the %s film asks for %s, which is no landmark", v, l)
			}
			if !l.In(v) {
				t.Errorf("%s is listed for %s and not in it", l, v)
			}
		}
	}
	// Seen from the side the cortex where a head screw enters is not at an
	// edge of the picture, so it cannot be pointed at.
	if LateralCortex.In(Lateral) {
		t.Error("the lateral cortex is asked for on a lateral film")
	}
}

// The neck has its front and back edge and the shaft its bow on a lateral film
// only, the flare on a front film only; the neck's upper and lower edge stay valid on a lateral
// film, where cases of version 1 have them; marks of both views are in both.
func TestLaterMarks(t *testing.T) {
	for _, tt := range []struct {
		l       Landmark
		ap, lat bool
	}{
		{NeckFront, false, true}, {NeckBack, false, true}, {NeckUpper, true, true}, {NeckLower, true, true},
		{FlareA, true, false}, {FlareB, true, false}, {Join, true, true}, {SecondUpper, true, true}, {SecondLower, true, true},
		{PatellaTop, true, true}, {PieceUpper, true, true}, {PieceLower, true, true}, {OldNailTop, true, true}, {OldNailLower, true, true},
		{LesserMiddle, true, false}, {BowUpper, false, true}, {BowMiddle, false, true}, {BowLower, false, true},
	} {
		if tt.l.In(AP) != tt.ap || tt.l.In(Lateral) != tt.lat {
			t.Errorf("%s: on a front film %v, on a lateral one %v, want %v and %v", tt.l, tt.l.In(AP), tt.l.In(Lateral), tt.ap, tt.lat)
		}
	}
}

func TestLandmarksIsACopy(t *testing.T) {
	Landmarks(AP)[0] = "broken"
	if Landmarks(AP)[0] != TrochanterTip {
		t.Error("a caller can change the list of landmarks")
	}
}
