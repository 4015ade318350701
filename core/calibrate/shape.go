package calibrate

import (
	"math"

	"isthmus/core/source"
)

// A Shape is the shape of one pixel. The zero value claims nothing.
type Shape struct{ RowPerCol float64 } // height of a pixel over its width

// SquareShape is the shape of a pixel as high as it is wide.
var SquareShape = Shape{RowPerCol: 1}

// shapeLo and shapeHi bound what a pixel can look like; readers that read
// every n-th line reach 2 or 4. From memory.
const shapeLo, shapeHi = 0.2, 5.0

// Valid reports whether the shape is that of a pixel.
func (s Shape) Valid() bool { return s.RowPerCol >= shapeLo && s.RowPerCol <= shapeHi }

// Shape returns the shape of the pixels of the plane, and the zero shape when
// it has no spacing.
func (p Plane) Shape() Shape {
	if !(p.Row > 0) || !(p.Col > 0) {
		return Shape{}
	}
	s := Shape{float64(p.Row / p.Col)}
	if !s.Valid() {
		return Shape{}
	}
	return s
}

// ShapeOf returns the shape of a film's pixels: row spacing over column
// spacing where a spacing can be used, else the aspect ratio, else square,
// which the standard says when neither is there. A placeholder spacing gives
// no shape. Source: DICOM PS3.3, 10.7.1.3 and C.7.6.3.1.7 (vertical\horizontal).
func ShapeOf(g Given) (Shape, []Notice) {
	var ns []Notice
	aspect, seen := Shape{}, false
	if a := g.Aspect; a != nil {
		aspect = Shape{float64(a[0]) / float64(a[1])}
		if seen = a[0] > 0 && a[1] > 0 && aspect.Valid(); !seen {
			ns = append(ns, caution("aspect-range", num("v", float64(a[0])), num("h", float64(a[1]))))
		}
	}
	c, _ := clean(g)
	for _, sp := range []*[2]float64{c.pixel, c.imager, c.scanned} {
		if sp == nil {
			continue
		}
		s := Shape{sp[0] / sp[1]}
		if seen && math.Abs(s.RowPerCol/aspect.RowPerCol-1) > 0.01 {
			ns = append(ns, caution("shape-differs", num("aspect", aspect.RowPerCol), num("spacing", s.RowPerCol)).by(source.DICOMSpacing))
		}
		return s, ns
	}
	if seen {
		return aspect, ns
	}
	return SquareShape, ns
}
