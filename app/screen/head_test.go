//go:build !js

package screen

import (
	"strings"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/geom"
	"isthmus/core/implant"
	"isthmus/core/phantom"
	"isthmus/core/record"
	"isthmus/core/units"
)

// hipCase puts into the case the two films of an invented femur, with every
// landmark where it truly is.
func hipCase(t *testing.T, c *record.Case, f phantom.Femur, side anatomy.Side) {
	t.Helper()
	c.Side, c.Films, c.Readings = side, nil, nil
	c.Injury = record.Injury{Neck: record.Yes, NeckByCT: record.Yes, NeckByFilm: record.Yes, Level: record.MidShaft, OpenPhysis: record.No, Infection: record.No, Implant: record.No}
	for i, v := range []anatomy.View{anatomy.AP, anatomy.Lateral} {
		s := phantom.Shoot(v, side, phantom.Whole)
		s.Height = 3900
		k, err := phantom.Know(f, s)
		if err != nil {
			t.Fatal(err)
		}
		across := units.MM(25)
		film := record.Film{SHA256: strings.Repeat(string('a'+rune(i)), 64), Bytes: 1000, Kind: "png", Width: s.Width, Height: s.Height, View: v, Bone: anatomy.Injured, Reduced: record.Yes,
			Evidence: []record.Evidence{{ID: "ball", Kind: record.Ball, At: k.Balls[0].Rim(8), Slip: 0.8, True: &across, AtBone: record.Yes}}}
		for _, name := range anatomy.Landmarks(v) {
			if at, ok := k.At[name]; ok && at.Inside {
				film.Points = append(film.Points, record.Point{Name: name, At: geom.Pt[units.Px]{X: at.Film.X, Y: at.Film.Y}, Slip: 1})
			}
		}
		c.Films = append(c.Films, film)
	}
}

func hipPage(t *testing.T, f phantom.Femur, side anatomy.Side) *Page {
	t.Helper()
	p, home := casePage(t)
	if err := p.s.Do("hip", func(c *record.Case) error { hipCase(t, c, f, side); return nil }); err != nil {
		t.Fatal(err)
	}
	p.path = home + "/head"
	return p
}

func roomy() phantom.Femur {
	f := phantom.Usual()
	f.Head, f.Neck, f.Oval, f.Version, f.Bow = 54, 42, 0.95, 14, 0 // large, and straight: the nail lies along the shaft
	return f
}

// The screen of a roomy hip: both screws fit, the nail is turned forwards as
// the neck is, and every number stands with its doubt.
func TestHeadScreenShowsSpace(t *testing.T) {
	for _, side := range []anatomy.Side{anatomy.Left, anatomy.Right} {
		p := hipPage(t, roomy(), side)
		s := p.s.Plan().Space
		if !s.Solved {
			t.Fatalf("not solved: %v, %v", s.Needs, p.s.Plan().Problems)
		}
		html := shownAs(p)
		for _, want := range []string{"Both head screws fit", "Turn the nail so that the screws point", "forwards", "from the front", "in front</td>", "any way</td>", "is the longer one",
			"tip–apex, at most", "old patients", "Step drill, for a screw of", "(invented rule)", "Both head screws from the front", "Both head screws from the side",
			"Section across the neck", string(side) + " femur, from the front", "±"} {
			if !strings.Contains(html, want) {
				t.Errorf("%s: the screen does not say %q", side, want)
			}
		}
		if strings.Contains(html, `data-needs`) || strings.Contains(html, "cannot be drawn") {
			t.Errorf("%s: something is missing of a hip that has everything", side)
		}
	}
}

// A neck for one screw only is said, in the box and in words.
func TestHeadScreenSaysOnlyOne(t *testing.T) {
	f := roomy()
	f.Neck, f.Head = 26, 46
	p := hipPage(t, f, anatomy.Right)
	if html := shownAs(p); !strings.Contains(html, "are missing for both") || strings.Contains(html, "Both head screws fit") {
		t.Errorf("a neck of 26 mm outside: %v", p.s.Plan().Space.Room)
	}
}

// What is missing is named, with a way to the film that can show it.
func TestHeadScreenSaysWhatIsMissing(t *testing.T) {
	p := hipPage(t, roomy(), anatomy.Right)
	drop := func(film int, name anatomy.Landmark) {
		if err := p.s.Do("drop", func(c *record.Case) error {
			var kept []record.Point
			for _, q := range c.Films[film].Points {
				if q.Name != name {
					kept = append(kept, q)
				}
			}
			c.Films[film].Points = kept
			return nil
		}); err != nil {
			t.Fatal(err)
		}
	}
	drop(1, anatomy.NeckFront)
	html := shownAs(p)
	if !strings.Contains(html, "neck, front inner edge") || !strings.Contains(html, `/film/1"`) || strings.Contains(html, `/film/0"`) {
		t.Error("the front edge of the neck is missing on film 2, and the screen does not lead there")
	}
	if err := p.s.Do("no side film", func(c *record.Case) error { c.Films = c.Films[:1]; return nil }); err != nil {
		t.Fatal(err)
	}
	if html := shownAs(p); !strings.Contains(html, "Add a film") || !strings.Contains(html, `/films"`) || strings.Contains(html, `/film/0"`) {
		t.Error("without a film from the side nobody is led to add one, or to the one that has everything")
	}
}

// A shelf without a step drill says what to read.
func TestStepDrillIsTheShelfsOwn(t *testing.T) {
	p := hipPage(t, roomy(), anatomy.Right)
	s := implant.Teaching()
	s.Tools = nil
	if err := p.s.SetShelf(t.Context(), s); err != nil {
		t.Fatal(err)
	}
	if html := shownAs(p); strings.Contains(html, "(invented rule)") || !strings.Contains(html, "No step drill is on the shelf") {
		t.Error("a step drill that the shelf has not is told of")
	}
}
