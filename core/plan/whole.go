package plan

import (
	"isthmus/core/anatomy"
	"isthmus/core/implant"
	"isthmus/core/record"
	"isthmus/core/units"
)

// Parts of the plan beyond nail and head.
const (
	PartKit    Part = "kit"
	PartAfter  Part = "after" // alignment, union
	PartRemove Part = "remove"
)

// Class is what the answers about the injury amount to.
type Class struct {
	Code        *FractureCode      `json:"code,omitempty"` // nil: not given, or not a code of AO/OTA 2018
	Atypical    record.Answer      `json:"atypical,omitempty"`
	Majors      [3]int             `json:"majors"` // of the five major signs: yes, no, not known
	Wound       record.Wound       `json:"wound,omitempty"`
	Comminution record.Comminution `json:"comminution,omitempty"`
	Stable      record.Answer      `json:"stable,omitempty"` // do the pieces carry length by themselves?
	NeckDone    []string           `json:"neck_done,omitempty"`
	NeckLeft    []string           `json:"neck_left,omitempty"` // looks at the neck that remain, in the order of the operation
	Why         []Reason           `json:"why,omitempty"`
}

// Distal is the locking at the lower end.
type Distal struct {
	Dynamic  record.Answer `json:"dynamic,omitempty"`  // yes: locked in the slot; no: static
	Later    record.Answer `json:"later,omitempty"`    // can this pattern be made dynamic later by taking one screw out?
	TakeOut  int           `json:"take_out,omitempty"` // which hole's screw would come out then; 1 is the highest
	Holes    []HolePlace   `json:"holes,omitempty"`    // every hole of the nail, highest first
	Toggle   *units.Angle  `json:"toggle,omitempty"`   // of the nail, for each millimetre that the canal is wider than it
	Why      []Reason      `json:"why,omitempty"`
	Problems []Problem     `json:"-"`
}

// A HolePlace is one distal hole of the chosen nail and its screw.
type HolePlace struct {
	Hole       int           `json:"hole"` // 1 is the highest
	Plane      implant.Plane `json:"plane"`
	Slot       bool          `json:"slot"`
	Use        bool          `json:"use"`                   // the plan puts a screw here
	Level      *units.Length `json:"level,omitempty"`       // below the tip of the trochanter
	ToFracture *units.Length `json:"to_fracture,omitempty"` // beyond the lower end of the fracture
	Depth      *units.Length `json:"depth,omitempty"`       // read at the table
	Ask        units.MM      `json:"ask_mm,omitempty"`      // screw to ask for; 0: measure first
	Past       *units.Length `json:"past,omitempty"`        // what stands out of the far cortex
	Stock      int           `json:"stock,omitempty"`
	Why        []Reason      `json:"why,omitempty"`
}

// Seat is where the nail lies along the bone, and what closes its top.
type Seat struct {
	Burial      *units.Length `json:"burial,omitempty"`       // top of the nail below the trochanter tip
	Cap         *implant.Cap  `json:"cap,omitempty"`          // nil: not decided
	CapLeft     *units.Length `json:"cap_left,omitempty"`     // top of the cap below the tip (above it: negative)
	ToNotch     *units.Length `json:"to_notch,omitempty"`     // nail tip to the roof of the notch; below zero: past it
	PastPatella *units.Length `json:"past_patella,omitempty"` // nail tip beyond the upper pole of the kneecap
	BoneRadius  *units.Length `json:"bone_radius,omitempty"`  // of the bow of the canal
	NailRadius  units.MM      `json:"nail_radius_mm,omitempty"`
	Mismatch    *units.Length `json:"mismatch,omitempty"` // height of the bone's bow over the nail's, along the length of the nail
	Entry       record.Entry  `json:"entry,omitempty"`
	Why         []Reason      `json:"why,omitempty"`
}

// Align is how the leg stands, from readings of both legs.
type Align struct {
	TurnInjured *units.Angle  `json:"turn_injured,omitempty"` // version, forwards positive
	TurnSound   *units.Angle  `json:"turn_sound,omitempty"`
	Turn        *units.Angle  `json:"turn,omitempty"`       // of the lower piece, outwards positive: version of the sound femur less that of the injured
	Lesser      *units.Angle  `json:"lesser,omitempty"`     // turn from the profile of the lesser trochanter, outwards positive
	Length      *units.Length `json:"length,omitempty"`     // injured less sound; longer positive
	Shaft       *units.Angle  `json:"neck_shaft,omitempty"` // neck–shaft angle, injured less sound; varus negative
	Version     *units.Angle  `json:"version,omitempty"`    // true version from two films of the injured side
	TrueNSA     *units.Angle  `json:"true_neck_shaft,omitempty"`
	Gap         *units.Length `json:"gap,omitempty"`
	Why         []Reason      `json:"why,omitempty"`
}

// Union is what later films say.
type Union struct {
	Scores []UnionScore `json:"scores,omitempty"` // in the order of time
	Why    []Reason     `json:"why,omitempty"`
}

// A UnionScore is one film scored at four cortices.
type UnionScore struct {
	ID     string        `json:"id"`
	At     string        `json:"at"`
	Scale  string        `json:"scale"`
	Score  int           `json:"score"`
	Lo, Hi int           `json:"-"`
	United record.Answer `json:"united,omitempty"`
}

// KitRole says why a part is on the list.
type KitRole string

const (
	Planned   KitRole = "planned"
	Neighbour KitRole = "neighbour" // worth having in the room
	Always    KitRole = "always"    // needed whatever the size
	Removing  KitRole = "removing"  // to take out what is there, or this nail again
)

// A KitItem is one line of the list for the theatre.
type KitItem struct {
	Kind     string        `json:"kind"` // nail, head-screw, locking-screw, end-cap, reamer-head, guide-rod, guide-wire, or a kind of tool
	Place    implant.Place `json:"place,omitempty"`
	Role     KitRole       `json:"role"`
	ID       string        `json:"id,omitempty"` // of the part on the shelf
	Diameter units.MM      `json:"diameter_mm,omitempty"`
	Length   units.MM      `json:"length_mm,omitempty"`
	Side     anatomy.Side  `json:"side,omitempty"`
	Fits     string        `json:"fits,omitempty"`
	Note     string        `json:"note,omitempty"` // the shelf's own words
	Need     int           `json:"need"`
	Have     int           `json:"have"`
	Chance   float64       `json:"chance,omitempty"` // that this size is the right one; 0: not worked out
	Why      []Reason      `json:"why,omitempty"`
}

// Kit is what to have in the room.
type Kit struct {
	Items   []KitItem          `json:"items,omitempty"`
	Missing []KitItem          `json:"missing,omitempty"` // what the shelf does not hold
	Cover   map[string]float64 `json:"cover,omitempty"`   // by kind: chance that the right size is in the room and on the shelf
}

// Removal is how to take out what is in the bone.
type Removal struct {
	Of      string        `json:"of,omitempty"`    // record: from what was put in; existing: described by hand
	Parts   []RemovalPart `json:"parts,omitempty"` // in the order in which they come out
	Steps   []Reason      `json:"steps,omitempty"` // in order; worded by code
	Bring   []KitItem     `json:"bring,omitempty"`
	Unknown []string      `json:"unknown,omitempty"` // fields that nobody knows
}

// A RemovalPart is one part to take out.
type RemovalPart struct {
	Index  int            `json:"index"` // in the list of the case
	Part   record.Implant `json:"part"`
	Order  int            `json:"order"`
	Broken bool           `json:"broken"`
}

// Space is the two head screws in three dimensions: where the nail must lie
// and turn, and what room each screw then has in both views. Nil lengths were
// not worked out.
type Space struct {
	Solved    bool          `json:"solved"`
	Top       *units.Length `json:"top,omitempty"`  // top of the nail below the trochanter tip (above: negative)
	Turn      *units.Angle  `json:"turn,omitempty"` // of the screws forwards from the AP plane
	Room      *units.Length `json:"room,omitempty"` // smallest margin beyond its clearance; below zero: so much is missing
	Both      record.Answer `json:"both,omitempty"` // do both screws fit? unsure: too close to call
	Lower     SpaceScrew    `json:"lower"`
	Upper     SpaceScrew    `json:"upper"`
	Needs     []string      `json:"needs,omitempty"` // what must be measured before it can be solved
	Longer    implant.Place `json:"longer,omitempty"`
	Version   *units.Angle  `json:"version,omitempty"`          // true, of the neck that was measured
	NeckShaft *units.Angle  `json:"neck_shaft_angle,omitempty"` // true
	Alone     *SpaceAlone   `json:"alone,omitempty"`            // the lower screw without the upper one, where both do not fit
	Model     *SpaceModel   `json:"model,omitempty"`            // for drawings
	Why       []Reason      `json:"why,omitempty"`
}

// A SpaceModel is what was solved, in plain numbers and for the eye only: the
// frame is that of core/neck, its origin the level of the trochanter tip on
// the axis of the nail.
type SpaceModel struct {
	Medial, Up, Front units.MM  // centre of the head
	Radius            units.MM  // of the head
	NeckShaft         units.Deg // true, obtuse
	Version           units.Deg // forwards positive
	Height, Width     units.MM  // inner, of the neck
	Behind            units.MM  // narrowest place of the neck behind the centre of the head
	Lateral           units.MM  // outer cortex from the axis of the nail, along a screw; 0: not known
	Depth             units.MM  // from the origin down to where the lower screw crosses the nail
	Turn              units.Deg
	Angle             units.Deg // between nail and screws, obtuse
	Spacing, Dia      units.MM
	Top               units.MM // from the origin down to the top of the nail; of no use where HeadDepth is 0
	HeadDepth         units.MM
}

// A SpaceAlone is the lower screw by itself in its own best place.
type SpaceAlone struct {
	Room *units.Length `json:"room"`
	Turn units.Angle   `json:"turn"`
	Fits record.Answer `json:"fits"`
}

// A SpaceScrew is one head screw in three dimensions.
type SpaceScrew struct {
	Up      *units.Length `json:"up,omitempty"`    // to the walls of the neck, where least
	Down    *units.Length `json:"down,omitempty"`  //
	Front   *units.Length `json:"front,omitempty"` //
	Back    *units.Length `json:"back,omitempty"`  //
	Wall    *units.Length `json:"wall,omitempty"`  // to the nearest wall in any direction
	Above   *units.Length `json:"above,omitempty"` // its axis above the centre of the head
	Ahead   *units.Length `json:"ahead,omitempty"` // its axis in front of the centre of the head
	Length  *units.Length `json:"length,omitempty"`
	TipApex *units.Length `json:"tip_apex,omitempty"` // of the chosen screw
	Calcar  *units.Length `json:"calcar,omitempty"`   // … referenced to the calcar
	Nearest *units.Length `json:"nearest,omitempty"`  // tip to joint surface, the shortest way
}
