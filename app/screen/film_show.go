package screen

import (
	"strconv"

	"isthmus/app/text"
	"isthmus/app/viewer"
	"isthmus/core/anatomy"
	"isthmus/core/calibrate"
	"isthmus/core/geom"
	"isthmus/core/record"
	"isthmus/core/units"
)

// filmSize returns the size and the pixel shape of a film for the viewer.
func filmSize(f record.Film) viewer.Film {
	tall := 1.0
	if t := f.Tags; t != nil {
		shape, _ := calibrate.ShapeOf(calibrate.Given{PixelSpacing: t.PixelSpacing, ImagerSpacing: t.ImagerSpacing, ScannedSpacing: t.ScannedSpacing, Aspect: t.Aspect})
		if shape.Valid() {
			tall = shape.RowPerCol
		}
	}
	return viewer.Film{W: units.Px(f.Width), H: units.Px(f.Height), Tall: tall}
}

// A cast is what can be touched and seen on a film in one mode: the marks
// that may be grabbed come first, then those that are only shown.
type cast struct {
	marks []viewer.Mark
	grab  int // how many of them may be grabbed
	names []anatomy.Landmark
}

func (c cast) points() []geom.Pt[units.Px] {
	out := make([]geom.Pt[units.Px], c.grab)
	for i := range out {
		out[i] = c.marks[i].At
	}
	return out
}

// pointCast makes the landmarks touchable; of the evidence only its ring or
// line is shown.
func pointCast(f record.Film, current anatomy.Landmark) cast {
	var c cast
	for _, p := range f.Points {
		name, _ := text.Landmark(p.Name)
		c.marks = append(c.marks, viewer.Mark{At: p.At, Name: name, Current: p.Name == current})
		c.names = append(c.names, p.Name)
	}
	c.grab = len(c.marks)
	return c
}

// rimCast makes the marks of one piece of evidence touchable; the landmarks are
// only shown.
func rimCast(f record.Film, id string, front bool, current int) cast {
	var c cast
	if e, ok := evidenceOf(f, id); ok {
		for i, at := range *marksOf(&e, front) {
			c.marks = append(c.marks, viewer.Mark{At: at, Name: strconv.Itoa(i + 1), Current: i == current})
		}
	}
	c.grab = len(c.marks)
	for _, p := range f.Points {
		c.marks = append(c.marks, viewer.Mark{At: p.At, Fixed: true})
	}
	return c
}

// pairs are landmarks between which a line is drawn.
var pairs = [][2]anatomy.Landmark{
	{anatomy.TrochanterTip, anatomy.DistalTarget},
	{anatomy.CanalA, anatomy.CanalB},
	{anatomy.OuterA, anatomy.OuterB},
	{anatomy.FractureUpper, anatomy.FractureLower},
	{anatomy.ShaftUpper, anatomy.ShaftLower},
	{anatomy.NeckUpper, anatomy.NeckLower},
}

// joins are the lines of a film.
func joins(f record.Film) []viewer.Join {
	var out []viewer.Join
	for _, p := range pairs {
		a, b := pointAt(f, p[0]), pointAt(f, p[1])
		if a >= 0 && b >= 0 {
			out = append(out, viewer.Join{A: f.Points[a].At, B: f.Points[b].At})
		}
	}
	for _, e := range f.Evidence {
		if (e.Kind == record.Ruler || e.Kind == record.KnownPart) && len(e.At) == 2 {
			out = append(out, viewer.Join{A: e.At[0], B: e.At[1], Text: pieceTitle(e.Kind, e), Scale: true})
		}
	}
	return out
}

// rings are the circles of a film: the head of the femur and round markers.
// They are drawn for the eye; calibrate and measure fit their own.
func rings(f record.Film) []viewer.Ring {
	size := filmSize(f)
	var out []viewer.Ring
	var head []geom.Pt[units.Px]
	for _, l := range []anatomy.Landmark{anatomy.HeadRim1, anatomy.HeadRim2, anatomy.HeadRim3} {
		if i := pointAt(f, l); i >= 0 {
			head = append(head, size.Square(f.Points[i].At))
		}
	}
	if r, ok := roundRing(head); ok {
		r.Text = "head"
		out = append(out, r)
	}
	for _, e := range f.Evidence {
		title := pieceTitle(e.Kind, e)
		switch e.Kind {
		case record.Ball, record.Disc:
			out = append(out, markerRing(e.At, size, title)...)
		case record.TwoMarkers:
			out = append(append(out, markerRing(e.At, size, title+": behind")...), markerRing(e.AtFront, size, "in front")...)
		}
	}
	return out
}

func markerRing(at []geom.Pt[units.Px], size viewer.Film, title string) []viewer.Ring {
	var rim []geom.Pt[units.Px]
	for _, p := range at {
		rim = append(rim, size.Square(p))
	}
	r, ok := roundRing(rim)
	if !ok {
		return nil
	}
	r.Text, r.Scale = title, true
	return []viewer.Ring{r}
}

// roundRing lays a circle through three or four points, an ellipse through more.
func roundRing(rim []geom.Pt[units.Px]) (viewer.Ring, bool) {
	if len(rim) >= 5 {
		if e, err := geom.FitEllipse(rim); err == nil {
			return viewer.Ring{Centre: e.Centre, Long: e.Long, Short: e.Short, Tilt: e.Tilt}, true
		}
	}
	c, err := geom.FitCircle(rim)
	if err != nil {
		return viewer.Ring{}, false
	}
	return viewer.Ring{Centre: c.Centre, Long: c.R, Short: c.R}, true
}
