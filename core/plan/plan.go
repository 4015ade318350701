package plan

import (
	"isthmus/core/calibrate"
	"isthmus/core/implant"
	"isthmus/core/source"
	"isthmus/core/units"
)

// A Fact is one input of a reason or a problem, ready to be printed.
type Fact struct {
	Name   string        `json:"name"`
	Length *units.Length `json:"length,omitempty"`
	Angle  *units.Angle  `json:"angle,omitempty"`
	Number *float64      `json:"number,omitempty"` // a pure number, a percentage, a count
	Word   string        `json:"word,omitempty"`   // a code, a side, a name
}

// A Reason says why a choice was made: which rule, from which facts, and who
// says so. app/text words it by its code.
type Reason struct {
	Code    string       `json:"code"`
	Facts   []Fact       `json:"facts,omitempty"`
	Sources []source.Key `json:"sources"`
}

// Level says how loud a problem is.
type Level string

const (
	Stop    Level = "stop"    // do not go on with this part
	Caution Level = "caution" // can hurt; look again
	Missing Level = "missing" // cannot tell: something was not given
	Note    Level = "note"
)

// Part names a part of the plan, as on the sheet.
type Part string

const (
	PartInjury Part = "injury"
	PartFilms  Part = "films"
	PartBone   Part = "bone"
	PartNail   Part = "nail"
	PartHead   Part = "head"
	PartDistal Part = "distal"
)

// A Problem is something that stands in the way or must be looked at again.
// app/text says what to do about it by its code.
type Problem struct {
	Code    string       `json:"code"`
	Level   Level        `json:"level"`
	Part    Part         `json:"part"`
	Facts   []Fact       `json:"facts,omitempty"`
	Fields  []string     `json:"fields,omitempty"` // what to change, as field names of the case file
	Sources []source.Key `json:"sources,omitempty"`
}

// A Plan is everything that could be decided, and a problem for each part
// that could not. It is never stored as truth; it is worked out again.
type Plan struct {
	Scales   []FilmScale `json:"scales"`
	Bone     Bone        `json:"bone"`
	Form     Form        `json:"form"`
	Locking  Locking     `json:"locking"`
	Nail     NailChoice  `json:"nail"`
	Reaming  Reaming     `json:"reaming"`
	Head     Head        `json:"head"`
	Class    Class       `json:"class"`
	Space    Space       `json:"space"`
	Seat     Seat        `json:"seat"`
	Distal   Distal      `json:"distal"`
	Align    Align       `json:"align"`
	Union    Union       `json:"union"`
	Kit      Kit         `json:"kit"`
	Removal  Removal     `json:"removal"`
	Problems []Problem   `json:"problems"`
}

// A FilmScale is the scale of one film of the case, in the case's order.
type FilmScale struct {
	Film     int             `json:"film"` // index in the case
	Plane    calibrate.Plane `json:"plane"`
	Pieces   []Piece         `json:"pieces"` // every piece of evidence on its own
	Disputed bool            `json:"disputed"`
	Why      []Reason        `json:"why"`
}

// A Piece is one piece of evidence and the scale it gives by itself, or why
// it gives none.
type Piece struct {
	ID    string          `json:"id"`
	Kind  string          `json:"kind"`
	Plane calibrate.Plane `json:"plane"`
	Used  bool            `json:"used"`
	Error string          `json:"error,omitempty"`
}

// Bone is what was measured. A nil length was not measured.
type Bone struct {
	Length    *units.Length `json:"length,omitempty"` // trochanter tip to distal target, all routes together
	Routes    []Route       `json:"routes,omitempty"` // each way the length is known
	Disputed  bool          `json:"disputed"`         // the routes disagree; a person must settle
	CanalAP   *units.Length `json:"canal_ap,omitempty"`
	CanalLat  *units.Length `json:"canal_lateral,omitempty"`
	Canal     *units.Length `json:"canal,omitempty"`          // the smaller of the two at the isthmus
	Isthmus   *units.Length `json:"isthmus,omitempty"`        // trochanter tip to the isthmus, along the bone
	Fracture  *units.Length `json:"fracture,omitempty"`       // trochanter tip to the upper end of the fracture
	FractureL *units.Length `json:"fracture_lower,omitempty"` // … to its lower end
	Second    *units.Length `json:"second,omitempty"`         // trochanter tip to the upper end of a second break
	Lesser    *units.Length `json:"lesser,omitempty"`         // trochanter tip to the lesser trochanter
	HeadDia   *units.Length `json:"head_diameter,omitempty"`
	NeckRoom  *units.Length `json:"neck_room,omitempty"` // inner height of the neck at its narrowest
	NSA       *units.Angle  `json:"neck_shaft_angle,omitempty"`

	Past Gaps `json:"-"` // how far below the isthmus the breaks begin, where its level is not told
}

// A Route is one way in which the length of the bone is known.
type Route struct {
	Kind   string       `json:"kind"` // film, other-film, two-rods, skin-ruler
	Length units.Length `json:"length"`
	Common units.MM     `json:"common_mm,omitempty"` // part of its doubt that every route of this kind shares
	Bias   string       `json:"bias"`                // direction of its usual error, a code for app/text
	Why    Reason       `json:"why"`
}

// Pattern is the way the top of the nail is locked.
type Pattern string

const (
	NoPattern Pattern = ""
	Standard  Pattern = "standard" // transverse and oblique screws
	HeadLock  Pattern = "head"     // two screws up the neck
)

// Locking is the choice of locking.
type Locking struct {
	Pattern  Pattern  `json:"pattern"`
	Distal   int      `json:"distal_screws"` // 0: not decided
	Why      []Reason `json:"why"`
	Against  []Reason `json:"against"` // evidence that points the other way
	RunnerUp Pattern  `json:"runner_up"`
	Change   []Reason `json:"would_change"` // what would change the choice
}

// A Size is one stock size with the chance that it is right.
type Size struct {
	Value   units.MM `json:"value_mm"`
	TooLong float64  `json:"chance_too_long"`
	Right   float64  `json:"chance_right"`
	Stock   int      `json:"stock"`
}

// NailChoice is the nail.
type NailChoice struct {
	Length    units.MM      `json:"length_mm"`   // 0: not decided
	Diameter  units.MM      `json:"diameter_mm"` // 0: not decided
	Part      *implant.Nail `json:"part,omitempty"`
	Room      *units.Length `json:"room,omitempty"`    // bone length less burial: the longest nail that fits
	Sizes     []Size        `json:"sizes"`             // shortlist of lengths, shortest first
	Close     bool          `json:"too_close_to_call"` // the neighbour is as likely
	Ratio     *units.Ratio  `json:"nail_to_canal,omitempty"`
	Tip       *units.Length `json:"tip_short_of_target,omitempty"`
	WhyLength []Reason      `json:"why_length"`
	WhyDia    []Reason      `json:"why_diameter"`
	DiaUp     units.MM      `json:"diameter_runner_up,omitempty"`
	Lost      []Reason      `json:"lost,omitempty"` // what is lost when nothing fits well
}

// Reaming is the list of reamer heads in the order of use.
type Reaming struct {
	Heads   []units.MM `json:"heads_mm"`
	Missing []units.MM `json:"missing_mm,omitempty"` // heads in the list that the shelf lacks
	Final   units.MM   `json:"final_mm"`
	Chatter units.MM   `json:"chatter_mm,omitempty"` // first head that cuts at the isthmus; 0: none, or the canal is not known
	Tight   units.MM   `json:"tight_mm,omitempty"`   // first head that takes more than is allowed there; 0: none
	Why     []Reason   `json:"why"`
}

// Head is the pair of head screws.
type Head struct {
	Lower ScrewChoice   `json:"lower"`
	Upper ScrewChoice   `json:"upper"`
	Need  *units.Length `json:"neck_need,omitempty"` // height the two screws need in the neck
	Why   []Reason      `json:"why"`
}

// A ScrewChoice is one head screw: the length to ask for, kept apart from the
// room it was worked out from.
type ScrewChoice struct {
	Ask      units.MM      `json:"ask_mm"`             // 0: not decided
	Room     *units.Length `json:"room,omitempty"`     // length that would end exactly at the clearance
	ToJoint  *units.Length `json:"to_joint,omitempty"` // what the chosen screw leaves to the joint surface
	Shorter  units.MM      `json:"next_shorter_mm,omitempty"`
	Longer   units.MM      `json:"next_longer_mm,omitempty"`
	LongerTo *units.Length `json:"longer_to_joint,omitempty"` // what the next longer would leave
	Stock    int           `json:"stock"`
	Measured bool          `json:"measured"` // from a wire at the table, not from a film
	Close    bool          `json:"too_close_to_call"`
	Why      []Reason      `json:"why"`
	Problems []Problem     `json:"problems,omitempty"`
}
