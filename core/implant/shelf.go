// Package implant is the shelf: which parts a hospital owns, in which sizes
// and how many. It is data, read and checked; it has no opinions.
package implant

import (
	"isthmus/core/anatomy"
	"isthmus/core/units"
)

// A Shelf is everything that can be used. Its zero value holds nothing.
type Shelf struct {
	Name     string  `json:"name"`
	Teaching bool    `json:"teaching"` // an invented set; never for a patient
	Nails    []Nail  `json:"nails"`
	Head     []Screw `json:"head_screws"`
	Locking  []Screw `json:"locking_screws"`
	Caps     []Cap   `json:"end_caps"`
	Reamers  []Head  `json:"reamer_heads"`
	Rods     []Rod   `json:"rods"`
	Tools    []Tool  `json:"tools,omitempty"`
}

// A Nail is one size of one nail.
type Nail struct {
	ID          string       `json:"id"`
	Side        anatomy.Side `json:"side"` // "": fits either side; the field must be there
	Diameter    units.MM     `json:"diameter_mm"`
	Length      units.MM     `json:"length_mm"`
	Proximal    units.MM     `json:"proximal_diameter_mm"`
	BowRadius   units.MM     `json:"bow_radius_mm"`
	HeadAngle   units.Deg    `json:"head_angle_deg"`   // between nail and head screws, e.g. 130; 0: no head locking
	HeadSpacing units.MM     `json:"head_spacing_mm"`  // between the axes of the two head screws
	HeadDepth   units.MM     `json:"head_depth_mm"`    // top of nail to the axis of the lower head screw, along the nail
	HeadDia     units.MM     `json:"head_diameter_mm"` // of the head screws it takes
	LockingDia  units.MM     `json:"locking_diameter_mm"`
	Distal      []Hole       `json:"distal_holes"` // from the top down: FromTip gets smaller
	Stock       int          `json:"stock"`
	Drive       string       `json:"drive,omitempty"` // kind and size of the thread or head that the extraction bolt and the end cap fit
}

// Plane is the direction of a locking hole.
type Plane string

const (
	Transverse Plane = "transverse" // medial to lateral
	Sagittal   Plane = "sagittal"   // front to back
	Oblique    Plane = "oblique"
)

// A Hole is one distal hole of a nail.
type Hole struct {
	FromTip units.MM `json:"from_tip_mm"`
	Plane   Plane    `json:"plane"`
	Slot    bool     `json:"slot"` // lets the nail slide: dynamic locking
}

// Place says which of the two head screws a screw is for.
type Place string

const (
	EitherPlace Place = ""
	Lower       Place = "lower"
	Upper       Place = "upper"
)

// A Screw is one size of head screw or of locking screw.
type Screw struct {
	ID       string   `json:"id"`
	Place    Place    `json:"place,omitempty"` // head screws only
	Diameter units.MM `json:"diameter_mm"`
	Length   units.MM `json:"length_mm"`
	Stock    int      `json:"stock"`
	Drive    string   `json:"drive,omitempty"` // kind and size of the screwdriver, e.g. hexagon 5 mm
}

// A Cap is an end cap; its height lengthens the nail at the top.
type Cap struct {
	ID     string   `json:"id"`
	Height units.MM `json:"height_mm"`
	Stock  int      `json:"stock"`
	Drive  string   `json:"drive,omitempty"`
}

// A Head is one reamer head.
type Head struct {
	ID       string   `json:"id"`
	Diameter units.MM `json:"diameter_mm"`
	Stock    int      `json:"stock"`
}

// A Rod is a guide rod or a guide wire with its total length.
type Rod struct {
	ID       string   `json:"id"`
	Kind     string   `json:"kind"` // guide-rod, guide-wire
	Diameter units.MM `json:"diameter_mm"`
	Length   units.MM `json:"length_mm"`
	Stock    int      `json:"stock"`
}

// ToolKind is what a tool is for, in the trade's general words.
type ToolKind string

const (
	Screwdriver    ToolKind = "screwdriver"
	DepthGauge     ToolKind = "depth-gauge"
	StepDrill      ToolKind = "step-drill"
	Drill          ToolKind = "drill"
	ParallelSleeve ToolKind = "parallel-sleeve" // a sleeve with several parallel holes
	ExtractionBolt ToolKind = "extraction-bolt"
	SlidingHammer  ToolKind = "sliding-hammer"
	AimingArm      ToolKind = "aiming-arm"
	OtherTool      ToolKind = "other"
)

// A Tool is one instrument that the hospital has. Fits says which drive or
// diameter it is for, in the same words as the parts' own Drive. Note is the
// hospital's own rule for it, shown as it is written: for a step drill, which
// stop to set and which end of its scale is read.
type Tool struct {
	ID      string     `json:"id"`
	Kind    ToolKind   `json:"kind"`
	Fits    string     `json:"fits,omitempty"`
	Note    string     `json:"note,omitempty"`
	Offsets []units.MM `json:"offsets_mm,omitempty"` // parallel-sleeve: of its other holes from the middle one
	Stock   int        `json:"stock"`
}
