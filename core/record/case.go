// Package record is the case: what a person said, pointed at and ticked, and
// nothing that was worked out. Lengths and sizes are always worked out again,
// so a better formula never changes a file. FORMAT.md is the specification.
package record

import (
	"isthmus/core/anatomy"
	"isthmus/core/geom"
	"isthmus/core/units"
)

// An Answer is what a person said to a question. The zero value is no answer.
type Answer string

const (
	NotAsked Answer = ""
	Yes      Answer = "yes"
	No       Answer = "no"
	Unsure   Answer = "unsure"
)

// A Case is one broken femur. Its zero value claims nothing. The tag since is
// the version of the file in which a field began.
type Case struct {
	ID       string       `json:"id"`     // 32 hexadecimal digits
	Label    string       `json:"label"`  // what the team calls it; never a name
	Made     string       `json:"made"`   // RFC 3339, UTC
	Edited   string       `json:"edited"` // RFC 3339, UTC
	Side     anatomy.Side `json:"side,omitempty"`
	Injury   Injury       `json:"injury"`
	Films    []Film       `json:"films,omitempty"`
	Readings []Reading    `json:"readings,omitempty"`
	Settings []Setting    `json:"settings,omitempty"`           // policy values that differ from the default
	Implants []Implant    `json:"implants,omitempty"`           // what was really put in
	Existing []Implant    `json:"existing,omitempty" since:"2"` // what was in the bone before, known or described by hand
	Followed []Followed   `json:"followed,omitempty" since:"2"` // films looked at afterwards
	Notes    string       `json:"notes,omitempty"`
	Practice string       `json:"practice,omitempty" since:"3"` // key of the drawn case that this is; empty: a patient's
}

// Injury holds the answers about the fracture and the patient that decide how
// the nail is locked and whether it may be used at all.
type Injury struct {
	Code       string `json:"code,omitempty"`         // AO/OTA 2018, e.g. 32A3(b)
	Neck       Answer `json:"neck,omitempty"`         // is the femoral neck broken?
	NeckByCT   Answer `json:"neck_by_ct,omitempty"`   // thin-cut CT looked at
	NeckByFilm Answer `json:"neck_by_film,omitempty"` // film in internal rotation looked at
	Level      Level  `json:"level,omitempty"`
	OpenPhysis Answer `json:"open_physis,omitempty"`
	Infection  Answer `json:"infection,omitempty"`
	Implant    Answer `json:"implant,omitempty"` // something already in the way
	Atypical   Answer `json:"atypical,omitempty"`
	Pathologic Answer `json:"pathologic,omitempty"`
	AgeYears   *int   `json:"age_years,omitempty"`

	NeckByMRI      Answer       `json:"neck_by_mri,omitempty" since:"2"`      // MRI looked at
	NeckInTheatre  Answer       `json:"neck_in_theatre,omitempty" since:"2"`  // image intensifier, both views, before the nail
	NeckAfter      Answer       `json:"neck_after,omitempty" since:"2"`       // films after the nail, before waking
	Wound          Wound        `json:"wound,omitempty" since:"2"`            // Gustilo and Anderson
	WoundMM        *units.MM    `json:"wound_mm,omitempty" since:"2"`         // length of the wound
	Comminution    Comminution  `json:"comminution,omitempty" since:"2"`      // Winquist and Hansen
	MedialPieces   Answer       `json:"medial_pieces,omitempty" since:"2"`    // is the medial cortex broken to pieces?
	LesserWhole    Answer       `json:"lesser_whole,omitempty" since:"2"`     // is the lesser trochanter whole?
	HighEnergy     Answer       `json:"high_energy,omitempty" since:"2"`      //
	ManyInjuries   Answer       `json:"many_injuries,omitempty" since:"2"`    // other injuries, of the chest or with shock
	BothFemurs     Answer       `json:"both_femurs,omitempty" since:"2"`      // is the other femur broken too?
	StatureMM      *units.MM    `json:"stature_mm,omitempty" since:"2"`       // body height
	Entry          Entry        `json:"entry,omitempty" since:"2"`            // where in the trochanter the nail enters, from the side
	AtypicalSigns  *AtypicalSay `json:"atypical_signs,omitempty" since:"2"`   // what speaks for an atypical fracture, one by one
	OneScrewReason string       `json:"one_screw_reason,omitempty" since:"2"` // why one distal screw is enough, in the surgeon's words
}

// A Wound is the type of an open fracture after Gustilo and Anderson.
type Wound string

const (
	NoWoundSaid Wound = ""
	Closed      Wound = "closed"
	WoundI      Wound = "I"
	WoundII     Wound = "II"
	WoundIIIA   Wound = "IIIA"
	WoundIIIB   Wound = "IIIB"
	WoundIIIC   Wound = "IIIC"
)

// Comminution is the grade after Winquist and Hansen.
type Comminution string

const (
	NoComminutionSaid Comminution = ""
	Comminution0      Comminution = "0"
	ComminutionI      Comminution = "I"
	ComminutionII     Comminution = "II"
	ComminutionIII    Comminution = "III"
	ComminutionIV     Comminution = "IV"
)

// Entry is the third of the greater trochanter in which the nail enters, seen
// from the side.
type Entry string

const (
	NoEntry     Entry = ""
	EntryFront  Entry = "front"
	EntryMiddle Entry = "middle"
	EntryBack   Entry = "back"
)

// AtypicalSay holds an answer to each major and minor sign of an atypical
// fracture of the femur. Source: ASBMR task force 2013.
type AtypicalSay struct {
	MinimalTrauma Answer `json:"minimal_trauma,omitempty"`
	LateralStart  Answer `json:"lateral_start,omitempty"`     // starts at the lateral cortex, transverse there
	SpikeOrPart   Answer `json:"spike_or_part,omitempty"`     // complete, perhaps with a medial spike; or lateral cortex only
	FewPieces     Answer `json:"few_pieces,omitempty"`        // no comminution, or minimal
	LateralThick  Answer `json:"lateral_thickness,omitempty"` // local thickening of the lateral cortex at the fracture
	ThickCortices Answer `json:"thick_cortices,omitempty"`    // minor: thick cortices in general
	PainBefore    Answer `json:"pain_before,omitempty"`       // minor: pain in the groin or thigh before
	BothSides     Answer `json:"both_sides,omitempty"`        // minor
	SlowHealing   Answer `json:"slow_healing,omitempty"`      // minor
}

// A Level is where the shaft is broken, as a person reads it off the film.
type Level string

const (
	NoLevel       Level = ""
	NearLesser    Level = "near-lesser"     // close to the lesser trochanter
	Subtrochanter Level = "subtrochanteric" // within 5 cm below the lesser trochanter
	MidShaft      Level = "mid-shaft"
	BelowIsthmus  Level = "below-isthmus"
)

// A Film is one image: which file, what it shows, and every point a person
// accepted on it, in original pixels.
type Film struct {
	SHA256   string       `json:"sha256"` // of the file as it was opened
	Bytes    int64        `json:"bytes"`
	Kind     string       `json:"kind"`  // dicom, jpeg, png
	Frame    int          `json:"frame"` // from 0; always written, for nobody may guess which one was measured
	Width    int          `json:"width_px"`
	Height   int          `json:"height_px"`
	View     anatomy.View `json:"view,omitempty"`
	Bone     anatomy.Bone `json:"bone,omitempty"`
	Reduced  Answer       `json:"reduced,omitempty"` // is the bone at its length on this film?
	Tags     *Tags        `json:"tags,omitempty"`
	Evidence []Evidence   `json:"evidence,omitempty"`
	Chosen   string       `json:"chosen,omitempty"` // ID of the evidence a person chose in a dispute; "header" for the tags
	Points   []Point      `json:"points,omitempty"`
	Photo    *Photo       `json:"photo,omitempty" since:"2"`   // the picture is a photo of a film or of a screen
	JoinMM   *units.MM    `json:"join_mm,omitempty" since:"2"` // what the ruler shows at the point join, if it is a graduation

	Letter      Letter `json:"letter,omitempty" since:"3"`       // the side letter that a person sees on the film
	LetterReads Answer `json:"letter_reads,omitempty" since:"3"` // does it read the right way round, on the film as it is stored?
}

// A Letter is the side marker that is seen on a film.
type Letter string

const (
	NoLetterSaid Letter = ""
	LetterLeft   Letter = "left"
	LetterRight  Letter = "right"
	LetterNone   Letter = "none" // a person looked, and there is none
)

// A Photo says where the corners of the film lie in a photo of it.
type Photo struct {
	Corners []geom.Pt[units.Px] `json:"corners_px"`          // as the film is read: top left, top right, bottom right, bottom left
	Slip    units.Px            `json:"slip_px"`             // standard uncertainty of one corner
	Width   *units.MM           `json:"width_mm,omitempty"`  // of the film between these corners
	Height  *units.MM           `json:"height_mm,omitempty"` //
	Edges   *PhotoEdges         `json:"edges,omitempty" since:"3"`
}

// PhotoEdges are points that were found on the edges of a film in a photo of
// it, as the film is read. They check the corners.
type PhotoEdges struct {
	Top    []geom.Pt[units.Px] `json:"top_px,omitempty"`
	Right  []geom.Pt[units.Px] `json:"right_px,omitempty"`
	Bottom []geom.Pt[units.Px] `json:"bottom_px,omitempty"`
	Left   []geom.Pt[units.Px] `json:"left_px,omitempty"`
	Slip   units.Px            `json:"slip_px"` // standard uncertainty of one such point
}

// Sides returns the points by edge: top, right, bottom, left; none of nil.
func (e *PhotoEdges) Sides() [4][]geom.Pt[units.Px] {
	if e == nil {
		return [4][]geom.Pt[units.Px]{}
	}
	return [4][]geom.Pt[units.Px]{e.Top, e.Right, e.Bottom, e.Left}
}

// Tags is what the DICOM header says about size. Nothing here is trusted
// before core/calibrate has judged it; a missing value is nil, never zero.
type Tags struct {
	Modality       string      `json:"modality,omitempty"`
	Laterality     string      `json:"laterality,omitempty"` // R, L or empty, as written
	ViewPosition   string      `json:"view_position,omitempty"`
	PixelSpacing   *[2]float64 `json:"pixel_spacing_mm,omitempty"`   // (0028,0030) row, column
	ImagerSpacing  *[2]float64 `json:"imager_spacing_mm,omitempty"`  // (0018,1164) row, column
	ScannedSpacing *[2]float64 `json:"scanned_spacing_mm,omitempty"` // (0018,2010) row, column
	Calibration    string      `json:"calibration,omitempty"`        // (0028,0A02)
	CalibrationBy  string      `json:"calibration_by,omitempty"`     // (0028,0A04), verbatim
	Factor         *float64    `json:"factor,omitempty"`             // (0018,1114)
	SID            *float64    `json:"sid_mm,omitempty"`             // (0018,1110)
	SOD            *float64    `json:"sod_mm,omitempty"`             // (0018,1111)
	Aspect         *[2]int     `json:"aspect,omitempty"`             // (0028,0034) vertical, horizontal
}

// EvidenceKind is a way to know how large a pixel is.
type EvidenceKind string

const (
	Ball      EvidenceKind = "ball"      // rim points of a ball of known diameter
	Disc      EvidenceKind = "disc"      // rim points of a disc or coin of known diameter
	Ruler     EvidenceKind = "ruler"     // two graduations, known distance apart
	Distances EvidenceKind = "distances" // SID with SOD or OID, on a film with imager spacing
	Header    EvidenceKind = "header"    // what the DICOM tags say
	Assumed   EvidenceKind = "assumed"   // a site's usual factor

	TwoMarkers EvidenceKind = "two-markers" // balls behind and in front of the bone
	KnownPart  EvidenceKind = "known-part"  // two points across a screw or a nail of known size that is in the bone
)

// Evidence is one way in which the scale of a film is known.
type Evidence struct {
	ID      string              `json:"id"`
	Kind    EvidenceKind        `json:"kind"`
	At      []geom.Pt[units.Px] `json:"at_px,omitempty"`            // rim points, or two graduations
	Slip    units.Px            `json:"slip_px,omitempty"`          // standard uncertainty of one point; with points only
	True    *units.MM           `json:"true_mm,omitempty"`          // diameter, or distance of the graduations
	AtBone  Answer              `json:"at_bone,omitempty"`          // at the depth of the bone?
	HMarker *units.MM           `json:"marker_height_mm,omitempty"` // above the detector
	HBone   *units.MM           `json:"bone_height_mm,omitempty"`   // above the detector
	SID     *units.MM           `json:"sid_mm,omitempty"`
	SOD     *units.MM           `json:"sod_mm,omitempty"`
	OID     *units.MM           `json:"oid_mm,omitempty"`
	Factor  *float64            `json:"factor,omitempty"` // assumed magnification

	AtFront   []geom.Pt[units.Px] `json:"at_front_px,omitempty" since:"2"`   // two-markers: rim of the ball in front; at_px is the one behind
	TrueFront *units.MM           `json:"true_front_mm,omitempty" since:"2"` // its diameter
	Fraction  *float64            `json:"fraction,omitempty" since:"2"`      // way from the ball behind to the one in front at which the bone lies, 0 to 1
	Along     Answer              `json:"along,omitempty" since:"2"`         // known-part: measured along the part (yes) or across it (no)
}

// A Point is a landmark that a person accepted on a film.
type Point struct {
	Name anatomy.Landmark  `json:"name"`
	At   geom.Pt[units.Px] `json:"at_px"`
	Slip units.Px          `json:"slip_px"` // standard uncertainty, from the zoom it was placed at
}

// ReadingKind is a measurement taken with the hands.
type ReadingKind string

const (
	TwoRods   ReadingKind = "two-rods"   // First: length of a rod, Second: what stands out
	SkinRuler ReadingKind = "skin-ruler" // First: trochanter tip to distal target
	WireLower ReadingKind = "wire-lower" // First: what the gauge shows on the lower wire
	WireUpper ReadingKind = "wire-upper" // First: what the gauge shows on the upper wire

	OtherTrial    ReadingKind = "other-trial"    // First: trochanter tip to distal target of the sound femur, by a rod or ruler
	DistalDepth   ReadingKind = "distal-depth"   // First: depth at a distal hole, Hole says which
	BurialFound   ReadingKind = "burial"         // First: top of the nail below the trochanter tip, as it is now
	GapFound      ReadingKind = "gap"            // First: widest gap of the fracture, as it is now
	LengthInjured ReadingKind = "length-injured" // First: length of the broken femur, as it is now
	LengthSound   ReadingKind = "length-sound"   // First: length of the sound femur, measured in the same way
	TurnInjured   ReadingKind = "turn-injured"   // Angle, AngleTwo: C-arm with the condyles and with the neck in line
	TurnSound     ReadingKind = "turn-sound"     // … of the sound femur
	LesserInjured ReadingKind = "lesser-injured" // First: lateral cortex to the tip of the lesser trochanter
	LesserSound   ReadingKind = "lesser-sound"   // … of the sound femur, kneecap forward
)

// A Reading is one measurement taken with the hands, and the answers that
// say what it is worth.
type Reading struct {
	ID        string      `json:"id"`
	Kind      ReadingKind `json:"kind"`
	At        string      `json:"at"` // RFC 3339, UTC
	First     *units.MM   `json:"first_mm,omitempty"`
	Second    *units.MM   `json:"second_mm,omitempty"`
	Reduced   Answer      `json:"reduced,omitempty"`                 // fracture at its length?
	OnBone    Answer      `json:"on_bone,omitempty"`                 // sleeve or rod tip on bone?
	OffBone   *units.MM   `json:"off_bone_mm,omitempty"`             // known gap of the sleeve
	GapLeft   *units.MM   `json:"gap_left_mm,omitempty"`             // wire tip to joint surface
	Subtracts *units.MM   `json:"subtracts_mm,omitempty"`            // what the gauge has taken off already
	Hole      *int        `json:"hole,omitempty" since:"2"`          // distal hole, 1 is the highest
	Angle     *units.Deg  `json:"angle_deg,omitempty" since:"2"`     // C-arm when the condyles lie over each other
	AngleTwo  *units.Deg  `json:"angle_two_deg,omitempty" since:"2"` // C-arm when neck and shaft lie in line
}

// Followed is what one later film showed at each cortex: front, back, medial,
// lateral, from the two views.
type Followed struct {
	ID       string `json:"id"`
	At       string `json:"at"`       // RFC 3339, UTC
	Scale    string `json:"scale"`    // rust or mrust
	Cortices []int  `json:"cortices"` // four scores, 1 to 3 for rust, 1 to 4 for mrust
}

// A Setting is a policy value that this case sets itself. Keys, units and
// ranges are those of core/plan.
type Setting struct {
	Key   string  `json:"key"`
	Value float64 `json:"value"`
}

// An Implant is one part that was put in, as read off its packet.
type Implant struct {
	Kind     string       `json:"kind"` // nail, head-screw-lower, head-screw-upper, locking-screw, end-cap; existing: plate, other too
	Side     anatomy.Side `json:"side,omitempty"`
	Diameter *units.MM    `json:"diameter_mm,omitempty"`
	Length   *units.MM    `json:"length_mm,omitempty"`
	Lot      string       `json:"lot,omitempty"`
	Device   string       `json:"device,omitempty"`           // UDI or what the packet says
	At       string       `json:"at"`                         // RFC 3339, UTC
	Drive    string       `json:"drive,omitempty" since:"2"`  // kind and size of what turns or pulls it, e.g. hexagon 5 mm
	Broken   Answer       `json:"broken,omitempty" since:"2"` // bent, broken or stripped
}
