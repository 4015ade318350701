// Package anatomy holds names only: sides, views and the landmarks of the
// femur. What a landmark looks like in a file is its value here; what it is
// called on the screen is in app/text.
package anatomy

import "slices"

// A Side is the side of the body. The zero value claims nothing.
type Side string

const (
	NoSide Side = ""
	Left   Side = "left"
	Right  Side = "right"
)

// Valid reports whether the side is known.
func (s Side) Valid() bool { return s == Left || s == Right }

// Other returns the opposite side, or NoSide.
func (s Side) Other() Side {
	switch s {
	case Left:
		return Right
	case Right:
		return Left
	}
	return NoSide
}

// A View is the direction a film was taken in. The zero value claims nothing.
type View string

const (
	NoView  View = ""
	AP      View = "ap"
	Lateral View = "lateral"
)

// Valid reports whether the view is known.
func (v View) Valid() bool { return v == AP || v == Lateral }

// A Bone says which femur a film shows.
type Bone string

const (
	NoBone  Bone = ""
	Injured Bone = "injured"
	Sound   Bone = "sound" // the other, uninjured femur
)

// Valid reports whether the bone is known.
func (b Bone) Valid() bool { return b == Injured || b == Sound }

// A Landmark is a place on the femur that a person can point at on a film.
//
// On a lateral film the neck is pointed at by its front and back edges,
// NeckFront and NeckBack: it has no upper and lower edge there. NeckUpper and
// NeckLower stay valid on a lateral film for cases from before these two; what
// measures a lateral film takes NeckFront and NeckBack first.
//
// Join is any mark that two films of one bone both show; Film.JoinMM of
// core/record says what the ruler shows there. SecondUpper and SecondLower are
// placed only where the shaft is broken twice. FlareA and FlareB compare the
// canal above the lesser trochanter with that at the isthmus, on a front film;
// LesserMiddle says from where their level counts. BowUpper, BowMiddle and
// BowLower lie between ShaftUpper and ShaftLower on a lateral film, so that an
// arc is laid through five places and not through three.
type Landmark string

const (
	TrochanterTip Landmark = "trochanter-tip" // tip of the greater trochanter
	DistalTarget  Landmark = "distal-target"  // where the nail should end, e.g. the physeal scar
	Notch         Landmark = "notch"          // roof of the intercondylar notch
	LesserTroch   Landmark = "lesser-troch"   // lower border of the lesser trochanter
	FractureUpper Landmark = "fracture-upper" // most proximal end of the fracture
	FractureLower Landmark = "fracture-lower" // most distal end of the fracture
	CanalA        Landmark = "canal-a"        // inner cortex at the isthmus, one side
	CanalB        Landmark = "canal-b"        // inner cortex at the isthmus, other side
	OuterA        Landmark = "outer-a"        // outer cortex at the isthmus, same side as canal-a
	OuterB        Landmark = "outer-b"        // outer cortex at the isthmus, same side as canal-b
	ShaftUpper    Landmark = "shaft-upper"    // middle of the canal below the lesser trochanter
	ShaftLower    Landmark = "shaft-lower"    // middle of the canal further down
	HeadRim1      Landmark = "head-rim-1"     // three places on the rim of the head
	HeadRim2      Landmark = "head-rim-2"     //
	HeadRim3      Landmark = "head-rim-3"     //
	NeckUpper     Landmark = "neck-upper"     // inner upper edge of the neck at its narrowest
	NeckLower     Landmark = "neck-lower"     // inner lower edge of the neck at its narrowest
	LateralCortex Landmark = "lateral-cortex" // outer lateral cortex where the lower head screw enters

	Join         Landmark = "join"           // a mark that is seen on another film of the same bone too
	SecondUpper  Landmark = "second-upper"   // a second break: its most proximal end
	SecondLower  Landmark = "second-lower"   // … its most distal end
	PatellaTop   Landmark = "patella-top"    // upper pole of the kneecap
	FlareA       Landmark = "flare-a"        // inner cortex 20 mm above the middle of the lesser trochanter, one side
	FlareB       Landmark = "flare-b"        // … other side
	NeckFront    Landmark = "neck-front"     // lateral film: inner front edge of the neck at its narrowest
	NeckBack     Landmark = "neck-back"      // … inner back edge
	PieceUpper   Landmark = "piece-upper"    // a place on the break of the upper piece …
	PieceLower   Landmark = "piece-lower"    // … and the place of the lower piece that belongs against it
	OldNailTop   Landmark = "old-nail-top"   // upper end of a nail that is already there
	OldNailLower Landmark = "old-nail-lower" // … lower end
	LesserMiddle Landmark = "lesser-middle"  // middle of the lesser trochanter, half way down it
	BowUpper     Landmark = "bow-upper"      // lateral film: middle of the canal, a quarter of the way down the shaft
	BowMiddle    Landmark = "bow-middle"     // … half way
	BowLower     Landmark = "bow-lower"      // … three quarters
)

var landmarks = map[View][]Landmark{
	AP: {TrochanterTip, DistalTarget, CanalA, CanalB, OuterA, OuterB, FractureUpper, FractureLower,
		LesserTroch, Notch, ShaftUpper, ShaftLower, HeadRim1, HeadRim2, HeadRim3, NeckUpper, NeckLower, LateralCortex,
		Join, SecondUpper, SecondLower, PatellaTop, FlareA, FlareB, PieceUpper, PieceLower, OldNailTop, OldNailLower, LesserMiddle},
	Lateral: {TrochanterTip, DistalTarget, CanalA, CanalB, OuterA, OuterB, FractureUpper, FractureLower,
		ShaftUpper, ShaftLower, HeadRim1, HeadRim2, HeadRim3, NeckUpper, NeckLower,
		NeckFront, NeckBack, Join, SecondUpper, SecondLower, PatellaTop, PieceUpper, PieceLower, OldNailTop, OldNailLower,
		BowUpper, BowMiddle, BowLower},
}

// Landmarks returns the landmarks that can be placed on a film of this view,
// in the order in which a person is asked for them; none for an unknown view.
// On a lateral film NeckUpper and NeckLower are taken and not asked for: see
// Landmark.
func Landmarks(v View) []Landmark { return slices.Clone(landmarks[v]) }

// In reports whether the landmark can be placed on a film of this view.
func (l Landmark) In(v View) bool { return slices.Contains(landmarks[v], l) }
